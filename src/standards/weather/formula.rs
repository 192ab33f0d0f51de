//! Wind chill and heat index as published, each with the name of the form that was used.

use libm::{fabs, pow, sqrt};

/// Degrees Fahrenheit of degrees Celsius, not rounded.
#[must_use]
pub fn fahrenheit(celsius: f64) -> f64 {
    celsius * 9.0 / 5.0 + 32.0
}

/// Degrees Celsius of degrees Fahrenheit, not rounded.
#[must_use]
pub fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) * 5.0 / 9.0
}

/// Forms of the wind chill.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum WindChillForm {
    /// Too warm or too calm for a wind chill: the air temperature stands.
    Air,
    /// US National Weather Service, 2001, degrees Fahrenheit and miles per hour.
    Weather2001,
    /// The same of 2001 in degrees Celsius and kilometres per hour.
    Metric2001,
    /// The Canadian form for winds under 5 km/h; from memory.
    MetricLowWind,
}

impl WindChillForm {
    /// Its name, with its source.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            WindChillForm::Air => "air temperature (no wind chill when mild or calm)",
            WindChillForm::Weather2001 => "wind chill, US National Weather Service 2001",
            WindChillForm::Metric2001 => "wind chill, metric form of 2001",
            WindChillForm::MetricLowWind => "wind chill, Canadian low-wind form (from memory)",
        }
    }
}

/// Wind chill in degrees Fahrenheit of the air (F) and the wind (mph), not rounded.
///
/// US National Weather Service, wind chill index, 2001 (verified). It holds up to 50 F (from
/// memory) and above 3 mph (verified); outside of that the air temperature stands.
#[must_use]
pub fn wind_chill(air: f64, wind: f64) -> (f64, WindChillForm) {
    if air > 50.0 || wind <= 3.0 {
        return (air, WindChillForm::Air);
    }
    let power = pow(wind, 0.16);
    let chill = 35.74 + 0.6215 * air - 35.75 * power + 0.4275 * air * power;
    (chill, WindChillForm::Weather2001)
}

/// Wind chill in degrees Celsius of the air (C) and the wind (km/h), not rounded.
///
/// The metric form of 2001 (verified), up to 10 C; under 5 km/h and at or below 0 C the Canadian
/// low-wind form (from memory).
#[must_use]
pub fn wind_chill_metric(air: f64, wind: f64) -> (f64, WindChillForm) {
    if air > 10.0 || wind <= 0.0 || (wind < 5.0 && air > 0.0) {
        return (air, WindChillForm::Air);
    }
    if wind < 5.0 {
        let chill = air + (-1.59 + 0.1345 * air) / 5.0 * wind;
        return (chill, WindChillForm::MetricLowWind);
    }
    let power = pow(wind, 0.16);
    let chill = 13.12 + 0.6215 * air - 11.37 * power + 0.3965 * air * power;
    (chill, WindChillForm::Metric2001)
}

/// Forms of the heat index.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum HeatIndexForm {
    /// The simple formula averaged with the temperature, while that stays under 80 F.
    Averaged,
    /// The full regression.
    Full,
    /// The full regression less the adjustment for dry air.
    FullDry,
    /// The full regression plus the adjustment for humid air.
    FullHumid,
}

impl HeatIndexForm {
    /// Its name, with its source.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            HeatIndexForm::Averaged => {
                "heat index, US National Weather Service, simple form averaged with the air"
            }
            HeatIndexForm::Full => "heat index, US National Weather Service, full form",
            HeatIndexForm::FullDry => {
                "heat index, US National Weather Service, full form adjusted for dry air"
            }
            HeatIndexForm::FullHumid => {
                "heat index, US National Weather Service, full form adjusted for humid air"
            }
        }
    }
}

/// Heat index in degrees Fahrenheit of the air (F) and the relative humidity (percent), not
/// rounded.
///
/// US National Weather Service, heat index equation (verified): the simple form averaged with the
/// temperature; from 80 F on the full regression with its adjustments. (Whether the simple form is
/// that average already can be read both ways; the readings differ only near 80 F.)
#[must_use]
pub fn heat_index(air: f64, humidity: f64) -> (f64, HeatIndexForm) {
    let averaged = f64::midpoint(simple_heat_index(air, humidity), air);
    if averaged < 80.0 {
        return (averaged, HeatIndexForm::Averaged);
    }
    let full = full_heat_index(air, humidity);
    if humidity < 13.0 && (80.0..=112.0).contains(&air) {
        let less = (13.0 - humidity) / 4.0 * sqrt((17.0 - fabs(air - 95.0)) / 17.0);
        return (full - less, HeatIndexForm::FullDry);
    }
    if humidity > 85.0 && (80.0..=87.0).contains(&air) {
        let more = (humidity - 85.0) / 10.0 * ((87.0 - air) / 5.0);
        return (full + more, HeatIndexForm::FullHumid);
    }
    (full, HeatIndexForm::Full)
}

/// The simple form alone, in degrees Fahrenheit.
#[must_use]
pub fn simple_heat_index(air: f64, humidity: f64) -> f64 {
    0.5 * (air + 61.0 + (air - 68.0) * 1.2 + humidity * 0.094)
}

/// The full regression alone, without adjustments, in degrees Fahrenheit.
#[must_use]
pub fn full_heat_index(air: f64, humidity: f64) -> f64 {
    let (t, r) = (air, humidity);
    -42.379 + 2.049_015_23 * t + 10.143_331_27 * r
        - 0.224_755_41 * t * r
        - 0.006_837_83 * t * t
        - 0.054_817_17 * r * r
        + 0.001_228_74 * t * t * r
        + 0.000_852_82 * t * r * r
        - 0.000_001_99 * t * t * r * r
}
