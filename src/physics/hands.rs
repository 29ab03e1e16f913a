//! Where the hands are at both ends of a lift, and how far it goes, in one system of units.
//!
//! NIOSH 94-110 revised 9/2021, pp. 7 and 8, read in a restatement: H that cannot be measured is 20 +
//! W/2 cm, or 25 + W/2 below 25 cm of height (8 and 10 inches in the US). The two systems are no exact
//! conversions of each other, so a lift is given in one of them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, absent, not_below_zero, within};

/// Which set of constants.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Kilograms and centimetres.
    #[default]
    Metric,
    /// Pounds and inches.
    Us,
}

/// Where the hands are at one end of a lift. Give centimetres (metric) or inches (us).
#[derive(Debug, Clone, Copy, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hands {
    /// Horizontal distance of the hands from the ankles, cm.
    #[serde(default)]
    pub h_cm: Option<f64>,
    /// Height of the hands, cm.
    #[serde(default)]
    pub v_cm: Option<f64>,
    /// Horizontal distance, inches.
    #[serde(default)]
    pub h_in: Option<f64>,
    /// Height, inches.
    #[serde(default)]
    pub v_in: Option<f64>,
    /// Width of the load away from the body, cm, instead of a horizontal distance that cannot be
    /// measured: 20 cm and half of it, 25 cm and half of it where the hands are below 25 cm.
    #[serde(default)]
    pub w_cm: Option<f64>,
    /// The same in inches: 8 or 10 inches and half of it.
    #[serde(default)]
    pub w_in: Option<f64>,
    /// Asymmetry, degrees, 0 to 180.
    #[serde(default)]
    pub a_deg: f64,
}

/// Constants of a unit system: load, reach, reach above it for half a width, far reach, height,
/// slope, highest, least travel, travel, most travel.
pub(super) struct Constants {
    pub(super) load: f64,
    pub(super) reach: f64,
    pub(super) near: f64,
    pub(super) farthest: f64,
    pub(super) height: f64,
    pub(super) slope: f64,
    pub(super) highest: f64,
    pub(super) travel: f64,
    pub(super) most_travel: f64,
}

impl Units {
    pub(super) const fn constants(self) -> Constants {
        match self {
            Self::Metric => Constants {
                load: 23.0,
                reach: 25.0,
                near: 20.0,
                farthest: 63.0,
                height: 75.0,
                slope: 0.003,
                highest: 175.0,
                travel: 4.5,
                most_travel: 175.0,
            },
            Self::Us => Constants {
                load: 51.0,
                reach: 10.0,
                near: 8.0,
                farthest: 25.0,
                height: 30.0,
                slope: 0.0075,
                highest: 70.0,
                travel: 1.8,
                most_travel: 70.0,
            },
        }
    }

    /// Height at which the table's column changes, 75 cm or 30 in.
    pub(super) const fn knuckle_height(self) -> f64 {
        self.constants().height
    }

    /// The value that stands in this system's field of `name`; one in the other's is refused, since
    /// the two are no exact conversions of each other.
    pub(super) fn pick(
        self,
        name: &str,
        of: Quantity,
        metric: Option<f64>,
        us: Option<f64>,
    ) -> Result<Option<f64>, DomainError> {
        let (cm, inch) = match of {
            Quantity::Length => ("cm", "in"),
            Quantity::Mass => ("kg", "lb"),
        };
        let (here, own, other, foreign, word) = match self {
            Self::Metric => (metric, cm, us, inch, "metric"),
            Self::Us => (us, inch, metric, cm, "us"),
        };
        if let Some(value) = other {
            return Err(DomainError::new(
                format!("{name}_{foreign}"),
                value,
                format!("`units` us or metric, not both: with {word} give {name}_{own} only"),
            ));
        }
        here.map(|value| not_below_zero(&format!("{name}_{own}"), value))
            .transpose()
    }

    /// The same where the sum needs it.
    pub(super) fn need(
        self,
        name: &str,
        of: Quantity,
        metric: Option<f64>,
        us: Option<f64>,
    ) -> Result<f64, DomainError> {
        let unit = match (self, of) {
            (Self::Metric, Quantity::Length) => "cm",
            (Self::Metric, Quantity::Mass) => "kg",
            (Self::Us, Quantity::Length) => "in",
            (Self::Us, Quantity::Mass) => "lb",
        };
        self.pick(name, of, metric, us)?
            .ok_or_else(|| absent(format!("{name}_{unit}"), "lifts of which it is known"))
    }

    /// The same where it is a load: above 0.
    pub(super) fn load(
        self,
        name: &str,
        metric: Option<f64>,
        us: Option<f64>,
    ) -> Result<f64, DomainError> {
        above_zero(name, self.need(name, Quantity::Mass, metric, us)?)
    }
}

/// What a field measures.
#[derive(Clone, Copy)]
pub(super) enum Quantity {
    Length,
    Mass,
}

impl Hands {
    /// Reach, height and asymmetry of the hands, in the units of the system; `end` names them in a
    /// refusal.
    pub(super) fn place(&self, units: Units, end: &str) -> Result<(f64, f64, f64), DomainError> {
        let name = |part: &str| format!("{end}.{part}");
        let v = units.need(&name("v"), Quantity::Length, self.v_cm, self.v_in)?;
        let width = units.pick(&name("w"), Quantity::Length, self.w_cm, self.w_in)?;
        let h = match (self.h_cm.or(self.h_in), width) {
            (Some(h), Some(_)) => {
                return Err(DomainError::new(
                    name("h"),
                    h,
                    "either a measured h or a width w, not both",
                ));
            }
            (None, Some(width)) => {
                let k = units.constants();
                let clear = if v < k.reach { k.reach } else { k.near };
                clear + width / 2.0
            }
            _ => units.need(&name("h"), Quantity::Length, self.h_cm, self.h_in)?,
        };
        Ok((h, v, within(&name("a_deg"), self.a_deg, 0.0, 180.0)?))
    }
}

/// How far it is lifted: between the two heights, or as said where it is let go on the way.
pub(super) fn travel(
    units: Units,
    from: f64,
    to: Option<f64>,
    [metric, us]: [Option<f64>; 2],
) -> Result<f64, DomainError> {
    let said = units.pick("travel", Quantity::Length, metric, us)?;
    match (to, said) {
        (Some(to), None) => Ok((to - from).abs()),
        (None, Some(travel)) => Ok(travel),
        (Some(_), Some(travel)) => Err(DomainError::new(
            "travel",
            travel,
            "either a destination or the vertical travel, not both",
        )),
        (None, None) => Err(absent(
            "destination",
            "a destination, or the vertical travel as travel_cm or travel_in",
        )),
    }
}
