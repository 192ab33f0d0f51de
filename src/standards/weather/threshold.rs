//! Published limits for going out, as data: basis, operator, figure, what to do.

use crate::standards::Source;
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;

/// Id of the rule set that holds when nobody names another.
pub const DEFAULT: &str = "cfoc-current";

/// A set of thresholds.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RuleSet {
    /// Stable id.
    pub id: String,
    /// Name as people know it.
    pub label: String,
    /// Its thresholds.
    pub thresholds: Vec<Threshold>,
}

/// One published limit.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Threshold {
    /// What is compared.
    pub basis: Basis,
    /// How.
    pub operator: Operator,
    /// With what; 1 for lightning.
    pub value: f64,
    /// In which unit.
    pub unit: Unit,
    /// What to do then.
    pub act: Act,
    /// Where that comes from.
    pub source: Source,
}

/// What a threshold is about.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Air temperature.
    Air,
    /// Wind chill.
    WindChill,
    /// Heat index.
    HeatIndex,
    /// Air quality index.
    AirQuality,
    /// Thunder or lightning.
    Lightning,
}

/// How a figure is compared.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Operator {
    /// `<`.
    Below,
    /// `<=`.
    AtOrBelow,
    /// `>`.
    Above,
    /// `>=`.
    AtOrAbove,
}

/// Units of figures.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// Degrees Fahrenheit.
    Fahrenheit,
    /// Degrees Celsius.
    Celsius,
    /// Plain number.
    Number,
}

/// What to do, mildest first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Act {
    /// Out as planned.
    GoOut,
    /// Out, for a shorter time.
    Shorten,
    /// Indoors.
    StayIn,
}

impl Operator {
    /// Whether a figure meets the limit.
    #[must_use]
    pub fn holds(self, figure: f64, limit: f64) -> bool {
        match self {
            Operator::Below => figure < limit,
            Operator::AtOrBelow => figure <= limit,
            Operator::Above => figure > limit,
            Operator::AtOrAbove => figure >= limit,
        }
    }
}

impl fmt::Display for Operator {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Operator::Below => "below",
            Operator::AtOrBelow => "at or below",
            Operator::Above => "above",
            Operator::AtOrAbove => "at or above",
        })
    }
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Basis::Air => "air temperature",
            Basis::WindChill => "wind chill",
            Basis::HeatIndex => "heat index",
            Basis::AirQuality => "air quality index",
            Basis::Lightning => "lightning",
        })
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Unit::Fahrenheit => " F",
            Unit::Celsius => " C",
            Unit::Number => "",
        })
    }
}

impl fmt::Display for Threshold {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.basis == Basis::Lightning {
            return write!(f, "any lightning; {}", self.source);
        }
        let Threshold { basis, operator, value, unit, source, .. } = self;
        write!(f, "{basis} {operator} {value}{unit}; {source}")
    }
}

static RULE_SETS: LazyLock<Vec<RuleSet>> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../data/weather.json")).expect("built-in thresholds read")
});

/// Every built-in set of thresholds.
#[must_use]
pub fn rule_sets() -> &'static [RuleSet] {
    &RULE_SETS
}

/// The built-in set of an id.
#[must_use]
pub fn find(id: &str) -> Option<&'static RuleSet> {
    rule_sets().iter().find(|set| set.id == id)
}
