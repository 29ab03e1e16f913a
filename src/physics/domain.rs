//! What a sum refuses: a value outside the range its formula holds for, with that range named.

/// A value that is outside the domain of a sum.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{field}` is {value}; the sum holds for {domain}")]
pub struct DomainError {
    /// The field, as in the input.
    pub field: String,
    /// Its value.
    pub value: String,
    /// The range the sum holds for.
    pub domain: String,
}

impl DomainError {
    /// A refusal in words.
    pub fn new(field: impl Into<String>, value: impl ToString, domain: impl Into<String>) -> Self {
        Self {
            field: field.into(),
            value: value.to_string(),
            domain: domain.into(),
        }
    }
}

impl DomainError {
    /// With the place that the range is from.
    pub(super) fn by(mut self, source: &str) -> Self {
        self.domain = format!("{} ({source})", self.domain);
        self
    }
}

/// `value`, where it lies in `low..=high`.
pub(super) fn within(field: &str, value: f64, low: f64, high: f64) -> Result<f64, DomainError> {
    if value.is_finite() && value >= low && value <= high {
        Ok(value)
    } else {
        Err(DomainError::new(field, value, format!("{low} to {high}")))
    }
}

/// `value`, where it is finite and above zero.
pub(super) fn above_zero(field: &str, value: f64) -> Result<f64, DomainError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(DomainError::new(field, value, "values above 0"))
    }
}

/// `value`, where it is finite and not below zero.
pub(super) fn not_below_zero(field: &str, value: f64) -> Result<f64, DomainError> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(DomainError::new(field, value, "values from 0 up"))
    }
}

/// Nearest multiple of ten to the minus `places`, for an answer that people read.
pub(super) fn round(value: f64, places: u8) -> f64 {
    let scale = (0..places).fold(1.0, |scale, _| scale * 10.0);
    let rounded = libm::round(value * scale) / scale;
    // Beyond 2^53 / scale there is nothing to round.
    if rounded.is_finite() { rounded } else { value }
}

/// The default of a count that is one unless it is said.
pub(super) const fn one() -> u32 {
    1
}
