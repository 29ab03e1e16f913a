//! What is said where a limit of the state of charge is not proven: how much it may be, what to do.

use std::borrow::Cow;
use std::fmt;

use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::figure::Digits;

/// One reason; its words are made where they are read.
#[derive(Debug, Clone, PartialEq, JsonSchema)]
#[schemars(with = "String")]
pub enum ChargeReason {
    /// In words.
    Said(Cow<'static, str>),
    /// How much it may be, per cent, and the limit.
    MayBe(f64, f64),
    /// What would prove it, with the rested cell voltage that would, volts.
    Next(Option<f64>),
}

/// Reasons in the order in which they are said.
pub(super) type Reasons = Vec<ChargeReason>;

impl From<&'static str> for ChargeReason {
    fn from(text: &'static str) -> Self {
        Self::Said(text.into())
    }
}

impl From<String> for ChargeReason {
    fn from(text: String) -> Self {
        Self::Said(text.into())
    }
}

impl fmt::Display for ChargeReason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Said(text) => f.write_str(text),
            Self::MayBe(high, limit) => {
                f.write_str("may be as much as ")?;
                f.write_str(places(*high, 1).as_str())?;
                f.write_str(" %; the limit is ")?;
                if limit.fract().abs() > 0.0 {
                    write!(f, "{limit}")?;
                } else {
                    f.write_str(places(*limit, 0).as_str())?;
                }
                f.write_str(" %")
            }
            Self::Next(Some(volts)) => {
                f.write_str(
                    "do one of these: read the management system's value; count the charge from a \
                     known point; discharge until the highest rested cell is at ",
                )?;
                f.write_str(places(*volts, 3).as_str())?;
                f.write_str(" V or below")
            }
            Self::Next(None) => f.write_str(
                "do one of these: read the management system's value; count the charge from a \
                 known point; get the maker's own voltage table",
            ),
        }
    }
}

impl Serialize for ChargeReason {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Said(text) => serializer.serialize_str(text),
            other => serializer.collect_str(other),
        }
    }
}

/// Says how much it may be, and which voltage or other evidence would prove the limit.
pub(super) fn next_action(reasons: &mut Reasons, limit: f64, high: f64, proving: Option<f64>) {
    if high > limit {
        reasons.push(ChargeReason::MayBe(high, limit));
    }
    reasons.push(ChargeReason::Next(proving));
}

/// A figure from 0 to 1000 with up to three places; the way of `format!` takes five times as long,
/// which counts over a million rows.
fn places(value: f64, places: u8) -> Digits {
    let scale = 10_u32.pow(places.into());
    // The cast saturates, and the value is small.
    let whole = libm::round(value * f64::from(scale)) as u64;
    Digits::of(whole, places.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_in_reasons_are_those_of_the_standard_way() {
        for (value, count) in [
            (0.0, 1),
            (0.04, 1),
            (9.96, 1),
            (99.0, 1),
            (100.0, 1),
            (3.179, 3),
            (0.5, 3),
            (30.0, 0),
            (0.0, 0),
        ] {
            let text = places(value, count);
            assert_eq!(text.as_str(), format!("{value:.0$}", usize::from(count)));
        }
    }
}
