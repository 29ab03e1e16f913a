//! Exact quantities: what a meter showed, and what a plate says, without a float in between.
//!
//! A [`Decimal`] keeps the digits as they stood on the instrument. The other types are whole
//! thousandths of their unit, so that sums of masses and comparisons with limits are exact.

use std::borrow::Cow;
use std::cmp::Ordering;
use std::fmt;
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum UnitError {
    /// Not an ordinary decimal number.
    #[error("`{0}` is not a plain decimal number such as 51.2")]
    NotDecimal(String),
    /// More than fifteen significant digits, or more than nine decimals.
    #[error("`{0}` has more digits than any instrument shows (15 in all, 9 decimals)")]
    TooManyDigits(String),
    /// Finer than a thousandth of the unit.
    #[error("`{value}` is finer than 0.001 {unit}")]
    TooFine {
        /// The text as given.
        value: String,
        /// The unit it was read in.
        unit: &'static str,
    },
}

/// A decimal number with the digits it was written with: `48.10` stays `48.10`.
///
/// At most fifteen significant digits and nine decimals; no exponent, no NaN, no infinity.
/// Two decimals are equal when their values are: `0.0 == 0`.
#[derive(Debug, Clone, Copy)]
pub struct Decimal {
    digits: i64,
    decimals: u8,
}

impl Decimal {
    /// The whole number `value`.
    #[must_use]
    pub const fn whole(value: i32) -> Self {
        Self {
            digits: value as i64,
            decimals: 0,
        }
    }

    /// The value without its sign.
    #[must_use]
    pub fn magnitude(self) -> Self {
        Self {
            digits: self.digits.abs(),
            ..self
        }
    }

    /// The value in whole thousandths, or `None` where it is finer than that.
    #[must_use]
    pub fn thousandths(self) -> Option<i64> {
        match self.decimals {
            0..=3 => self
                .digits
                .checked_mul(10_i64.pow(3 - u32::from(self.decimals))),
            finer => {
                let step = 10_i64.pow(u32::from(finer) - 3);
                (self.digits % step == 0).then_some(self.digits / step)
            }
        }
    }

    /// The value as a whole number, or `None` where it has a fraction.
    #[must_use]
    pub fn as_whole(self) -> Option<i64> {
        let step = 10_i64.pow(u32::from(self.decimals));
        (self.digits % step == 0).then_some(self.digits / step)
    }

    /// One count of the last digit that was written: 0.01 for `52.80`.
    #[must_use]
    pub const fn last_place(self) -> Self {
        Self {
            digits: 1,
            decimals: self.decimals,
        }
    }

    /// The nearest double; for `physics` only.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        // Both factors are exact doubles (below 2^53 and a power of ten up to 10^9), so the
        // quotient is the correctly rounded value on every machine.
        self.digits as f64 / 10_f64.powi(i32::from(self.decimals))
    }

    /// Lossless from thousandths, without trailing zeros.
    #[must_use]
    pub fn from_thousandths(value: i64) -> Self {
        let mut digits = value;
        let mut decimals = 3;
        while decimals > 0 && digits % 10 == 0 {
            digits /= 10;
            decimals -= 1;
        }
        Self { digits, decimals }
    }

    fn scaled(self) -> i128 {
        i128::from(self.digits) * 10_i128.pow(9 - u32::from(self.decimals))
    }
}

impl PartialEq for Decimal {
    fn eq(&self, other: &Self) -> bool {
        self.scaled() == other.scaled()
    }
}

impl Eq for Decimal {}

impl PartialOrd for Decimal {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Decimal {
    fn cmp(&self, other: &Self) -> Ordering {
        self.scaled().cmp(&other.scaled())
    }
}

/// As [`Decimal::to_f64`], for writers that take any number.
impl From<Decimal> for f64 {
    fn from(value: Decimal) -> Self {
        value.to_f64()
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.digits < 0 { "-" } else { "" };
        let magnitude = self.digits.unsigned_abs();
        if self.decimals == 0 {
            return write!(f, "{sign}{magnitude}");
        }
        let step = 10_u64.pow(u32::from(self.decimals));
        let width = usize::from(self.decimals);
        write!(f, "{sign}{}.{:0width$}", magnitude / step, magnitude % step)
    }
}

impl FromStr for Decimal {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        let not_decimal = || UnitError::NotDecimal(shown(text));
        let (negative, unsigned) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let (whole, fraction) = unsigned.split_once('.').unwrap_or((unsigned, ""));
        let all_digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty()
            || !all_digits(whole)
            || !all_digits(fraction)
            || unsigned.ends_with('.')
        {
            return Err(not_decimal());
        }
        let significant = whole.trim_start_matches('0').len() + fraction.len();
        if significant > 15 || fraction.len() > 9 {
            return Err(UnitError::TooManyDigits(shown(text)));
        }
        let mut digits = 0_i64;
        for b in whole.bytes().chain(fraction.bytes()) {
            digits = digits * 10 + i64::from(b - b'0');
        }
        let decimals = u8::try_from(fraction.len()).map_err(|_| not_decimal())?;
        Ok(Self {
            digits: if negative { -digits } else { digits },
            decimals,
        })
    }
}

/// The text as it may stand in a message: never longer than a line.
fn shown(text: &str) -> String {
    let mut short: String = text.chars().take(40).collect();
    if text.chars().count() > 40 {
        short.push('…');
    }
    short
}

impl Serialize for Decimal {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

struct DecimalVisitor;

impl de::Visitor<'_> for DecimalVisitor {
    type Value = Decimal;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a decimal number")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Decimal, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_i64<E: de::Error>(self, value: i64) -> Result<Decimal, E> {
        self.visit_str(&value.to_string())
    }

    fn visit_u64<E: de::Error>(self, value: u64) -> Result<Decimal, E> {
        self.visit_str(&value.to_string())
    }

    fn visit_f64<E: de::Error>(self, value: f64) -> Result<Decimal, E> {
        // Rust prints the shortest text that reads back as the same double.
        self.visit_str(&value.to_string())
    }
}

impl<'de> Deserialize<'de> for Decimal {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(DecimalVisitor)
    }
}

impl JsonSchema for Decimal {
    fn schema_name() -> Cow<'static, str> {
        "Decimal".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "a number, or the same digits as a text",
            "anyOf": [
                { "type": "number" },
                { "type": "string", "pattern": r"^-?[0-9]+(\.[0-9]{1,9})?$" }
            ]
        })
    }
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident, $unit:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
        pub struct $name(i64);

        impl $name {
            /// The unit that a name or a column head carries.
            pub const UNIT: &'static str = $unit;

            /// From whole thousandths of the unit.
            #[must_use]
            pub const fn thousandths(value: i64) -> Self {
                Self(value)
            }

            /// Whole thousandths of the unit.
            #[must_use]
            pub const fn as_thousandths(self) -> i64 {
                self.0
            }

            /// The value in the unit, exact.
            #[must_use]
            pub fn decimal(self) -> Decimal {
                Decimal::from_thousandths(self.0)
            }

            /// The value in the unit as a double; for `physics` only.
            #[must_use]
            pub fn to_f64(self) -> f64 {
                self.decimal().to_f64()
            }

            /// The sum, or `None` where it no longer fits.
            #[must_use]
            pub fn plus(self, other: Self) -> Option<Self> {
                self.0.checked_add(other.0).map(Self)
            }
        }

        impl TryFrom<Decimal> for $name {
            type Error = UnitError;

            fn try_from(value: Decimal) -> Result<Self, UnitError> {
                value.thousandths().map(Self).ok_or_else(|| UnitError::TooFine {
                    value: value.to_string(),
                    unit: $unit,
                })
            }
        }

        impl FromStr for $name {
            type Err = UnitError;

            fn from_str(text: &str) -> Result<Self, UnitError> {
                text.parse::<Decimal>()?.try_into()
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{} {}", self.decimal(), $unit)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                self.decimal().serialize(serializer)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                Decimal::deserialize(deserializer)?.try_into().map_err(de::Error::custom)
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(generator: &mut SchemaGenerator) -> Schema {
                Decimal::json_schema(generator)
            }
        }
    )*};
}

quantities! {
    /// Mass in thousandths of a kilogram.
    Grams, "kg";
    /// Voltage in thousandths of a volt.
    Millivolts, "V";
    /// Current in thousandths of an ampere.
    Milliamperes, "A";
    /// Energy in thousandths of a watt hour.
    MilliwattHours, "Wh";
    /// Charge in thousandths of an ampere hour.
    MilliampereHours, "Ah";
    /// Temperature in thousandths of a degree Celsius.
    Millidegrees, "degC";
    /// Resistance in thousandths of an ohm.
    Milliohms, "ohm";
    /// Capacitance in thousandths of a microfarad.
    Nanofarads, "uF";
    /// Length in thousandths of a metre.
    Millimetres, "m";
    /// Torque in thousandths of a newton metre.
    MillinewtonMetres, "N m";
    /// A share in thousandths of a per cent.
    MilliPercent, "%";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decimal_keeps_the_digits_the_meter_showed() {
        for text in ["48.10", "0.0", "-0.35", "51", "0.001", "123456789012345"] {
            assert_eq!(text.parse::<Decimal>().unwrap().to_string(), text);
        }
        assert_eq!("0.0".parse::<Decimal>().unwrap(), Decimal::whole(0));
    }

    #[test]
    fn words_exponents_and_endless_digits_are_refused() {
        for text in [
            "", "NaN", "inf", "1e3", "1.", ".5", "+1", "1,5", "--1", "0x10", "１",
        ] {
            let error = text.parse::<Decimal>().unwrap_err();
            assert!(matches!(error, UnitError::NotDecimal(_)), "{text}: {error}");
        }
        let long = "1234567890123456".parse::<Decimal>().unwrap_err();
        assert_eq!(
            long.to_string(),
            "`1234567890123456` has more digits than any instrument shows (15 in all, 9 decimals)"
        );
    }

    #[test]
    fn a_mass_finer_than_a_gram_is_refused_not_rounded() {
        assert_eq!("48.1".parse::<Grams>().unwrap(), Grams::thousandths(48_100));
        assert_eq!(
            "48.1000".parse::<Grams>().unwrap(),
            Grams::thousandths(48_100)
        );
        assert_eq!(
            "48.1004".parse::<Grams>().unwrap_err().to_string(),
            "`48.1004` is finer than 0.001 kg"
        );
    }

    #[test]
    fn json_numbers_and_texts_read_alike() {
        let a: Grams = serde_json::from_str("51.2").unwrap();
        let b: Grams = serde_json::from_str("\"51.20\"").unwrap();
        assert_eq!(a, b);
        assert_eq!(serde_json::to_string(&a).unwrap(), "\"51.2\"");
        assert!(serde_json::from_str::<Grams>("1e400").is_err());
    }
}
