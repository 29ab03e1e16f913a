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

    /// With the part of the input that the field stands in, such as one of several tasks.
    pub(super) fn within_part(mut self, part: &str, number: usize) -> Self {
        self.field = format!("{part} {number}, {}", self.field);
        self
    }
}

/// A value as a person writes it; one with more places than a page is wide in its short form.
fn shown(value: f64) -> String {
    let size = value.abs();
    if size >= 1e12 || (size > 0.0 && size < 1e-9) {
        format!("{value:e}")
    } else {
        value.to_string()
    }
}

/// A field that is absent where the sum needs it.
pub(super) fn absent(field: impl Into<String>, domain: &str) -> DomainError {
    DomainError::new(field, "absent", domain)
}

/// `value`, where it lies in `low..=high`.
pub(super) fn within(field: &str, value: f64, low: f64, high: f64) -> Result<f64, DomainError> {
    if value.is_finite() && value >= low && value <= high {
        Ok(value)
    } else {
        Err(DomainError::new(
            field,
            shown(value),
            format!("{} to {}", shown(low), shown(high)),
        ))
    }
}

/// `value`, where it is finite and above zero.
pub(super) fn above_zero(field: &str, value: f64) -> Result<f64, DomainError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(DomainError::new(field, shown(value), "values above 0"))
    }
}

/// `value`, where it is finite and not below zero.
pub(super) fn not_below_zero(field: &str, value: f64) -> Result<f64, DomainError> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(DomainError::new(field, shown(value), "values from 0 up"))
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

/// What a reader of JSON says of an input, in the words of people instead of those of the program.
#[must_use]
pub fn in_plain_words(said: &str) -> String {
    let mut plain = said.to_owned();
    for (theirs, ours) in [
        ("expected f64", "expected a number"),
        ("expected u32", "expected a whole number from 0 up"),
        ("expected u8", "expected a whole number from 0 up"),
        ("expected a boolean", "expected true or false"),
        ("expected string or map", "expected one of its words"),
        (
            "expected map with a single key",
            "expected one of its words",
        ),
        ("expected a sequence", "expected an array"),
        ("invalid type: sequence", "invalid type: array"),
    ] {
        plain = plain.replace(theirs, ours);
    }
    for theirs in ["expected struct ", "expected internally tagged enum "] {
        if let Some((before, _)) = plain.split_once(theirs) {
            return format!("{before}expected an object with its fields");
        }
    }
    plain
}
