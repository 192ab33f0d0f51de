//! Going out or staying in, by published formulas and thresholds.

/// The weather as somebody read it.
#[derive(Clone, PartialEq, Debug)]
pub struct Weather {
    /// Air temperature in degrees Celsius.
    pub celsius: Option<f64>,
}
