//! Going out or staying in, by published formulas and thresholds.
//!
//! ```
//! use fairturn::standards::weather::{Act, Temperature, Weather, Wind, find, judge};
//! let weather = Weather {
//!     temperature: Some(Temperature::Celsius(7.0)),
//!     wind: Some(Wind::KilometresPerHour(30.0)),
//!     ..Weather::default()
//! };
//! let verdict = judge(&weather, find("cfoc-current").expect("a built-in rule set"));
//! assert_eq!(verdict.act, Act::GoOut);
//! ```
//!
//! Map: [`formula`] wind chill and heat index, [`threshold`] published limits. Nothing is rounded
//! before it is compared, and only `libm` computes powers and roots, so every machine agrees.

pub mod formula;
pub mod threshold;

pub use threshold::{Act, Basis, DEFAULT, Operator, RuleSet, Threshold, Unit, find, rule_sets};

use formula::{celsius, fahrenheit};

/// The weather as somebody read it; what is not said is not judged.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Weather {
    /// Air temperature in the shade.
    pub temperature: Option<Temperature>,
    /// Wind, at the height of the weather service's mast.
    pub wind: Option<Wind>,
    /// Relative humidity in percent.
    pub humidity: Option<f64>,
    /// Air quality index, 0 to 500.
    pub air_quality: Option<u32>,
    /// Thunder or lightning is about.
    pub lightning: bool,
    /// It rains, or the ground is wet.
    pub wet: bool,
    /// Id of the published thresholds to judge by; `None`: [`DEFAULT`].
    pub rule_set: Option<String>,
}

/// An air temperature.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Temperature {
    /// In degrees Celsius.
    Celsius(f64),
    /// In degrees Fahrenheit.
    Fahrenheit(f64),
}

/// A wind speed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Wind {
    /// In kilometres per hour.
    KilometresPerHour(f64),
    /// In miles per hour.
    MilesPerHour(f64),
}

/// Kilometres in a mile.
const MILE: f64 = 1.609_344;

impl Temperature {
    /// In the unit asked for, not rounded.
    #[must_use]
    pub fn in_unit(self, unit: Unit) -> f64 {
        match (self, unit) {
            (Temperature::Celsius(c), Unit::Fahrenheit) => fahrenheit(c),
            (Temperature::Fahrenheit(f), Unit::Celsius) => celsius(f),
            (Temperature::Celsius(t) | Temperature::Fahrenheit(t), _) => t,
        }
    }
}

impl Wind {
    /// In miles per hour with degrees Fahrenheit, else in kilometres per hour; not rounded.
    #[must_use]
    pub fn in_unit(self, unit: Unit) -> f64 {
        match (self, unit) {
            (Wind::KilometresPerHour(v), Unit::Fahrenheit) => v / MILE,
            (Wind::MilesPerHour(v), Unit::Celsius) => v * MILE,
            (Wind::KilometresPerHour(v) | Wind::MilesPerHour(v), _) => v,
        }
    }
}

/// A figure that a threshold was held against.
#[derive(Clone, PartialEq, Debug)]
pub struct Reading {
    /// What it is.
    pub basis: Basis,
    /// Not rounded; 1 or 0 for lightning.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
    /// Name of the formula, where one was used.
    pub formula: Option<&'static str>,
}

/// What the thresholds say about a weather.
#[derive(Clone, PartialEq, Debug)]
pub struct Verdict {
    /// Go out, shorten or stay in.
    pub act: Act,
    /// The threshold that decided it; `None` when they go out.
    pub threshold: Option<&'static Threshold>,
    /// Every figure that was compared, in the order of the thresholds, each once.
    pub readings: Vec<Reading>,
    /// The reading that decided it.
    pub decided_by: Option<Reading>,
}

/// Holds a weather against a set of thresholds; the strictest one that is met decides, of equals
/// the first.
#[must_use]
pub fn judge(weather: &Weather, rules: &'static RuleSet) -> Verdict {
    let mut verdict =
        Verdict { act: Act::GoOut, threshold: None, readings: Vec::new(), decided_by: None };
    for threshold in &rules.thresholds {
        let Some(reading) = read(weather, threshold.basis, threshold.unit) else { continue };
        if !verdict.readings.contains(&reading) {
            verdict.readings.push(reading.clone());
        }
        if threshold.operator.holds(reading.value, threshold.value) && threshold.act > verdict.act {
            verdict.act = threshold.act;
            verdict.threshold = Some(threshold);
            verdict.decided_by = Some(reading);
        }
    }
    verdict
}

/// A figure of the weather in a unit; `None` when what it needs was not said.
fn read(weather: &Weather, basis: Basis, unit: Unit) -> Option<Reading> {
    let air = || weather.temperature.map(|t| t.in_unit(unit)).filter(|t| t.is_finite());
    let (value, formula) = match basis {
        Basis::Air => (air()?, None),
        Basis::WindChill => {
            let wind = weather.wind.map_or(0.0, |w| w.in_unit(unit));
            let (value, form) = match unit {
                Unit::Celsius => formula::wind_chill_metric(air()?, wind),
                _ => formula::wind_chill(air()?, wind),
            };
            (value, Some(form.name()))
        }
        Basis::HeatIndex => {
            let humidity = weather.humidity.filter(|h| h.is_finite())?.clamp(0.0, 100.0);
            let (index, form) =
                formula::heat_index(weather.temperature?.in_unit(Unit::Fahrenheit), humidity);
            (if unit == Unit::Celsius { celsius(index) } else { index }, Some(form.name()))
        }
        Basis::AirQuality => (f64::from(weather.air_quality?), None),
        Basis::Lightning => (f64::from(u8::from(weather.lightning)), None),
    };
    value.is_finite().then_some(Reading { basis, value, unit, formula })
}
