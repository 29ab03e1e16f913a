//! How a module is lifted on this site, where the plan says it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::Decimal;

/// Quality of the grip; the worse where in doubt. Insulating gloves are never better than fair.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Coupling {
    /// Good.
    Good,
    /// Fair.
    Fair,
    /// Poor.
    Poor,
}

/// Why the lifting equation does not apply (NIOSH 94-110 revised 9/2021, p. 6, read in a
/// restatement).
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum OutsideScope {
    /// One hand.
    OneHand,
    /// Seated or kneeling.
    SeatedOrKneeling,
    /// Cellar, loft or crawl space that does not let the body straighten.
    RestrictedSpace,
    /// The load moves in itself.
    UnstableObject,
    /// While carrying, pushing or pulling; stairs.
    Carrying,
    /// Wheelbarrow or shovel.
    WheelbarrowOrShovel,
    /// Faster than about 76 cm/s.
    Fast,
    /// Floor friction under 0.4.
    SlipperyFloor,
    /// Well outside 19 to 26 °C or 35 to 50 % humidity.
    Climate,
}

impl OutsideScope {
    /// The words on sheets.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::OneHand => "one hand",
            Self::SeatedOrKneeling => "seated or kneeling",
            Self::RestrictedSpace => "restricted space",
            Self::UnstableObject => "unstable object",
            Self::Carrying => "carrying, pushing, pulling or stairs",
            Self::WheelbarrowOrShovel => "wheelbarrow or shovel",
            Self::Fast => "faster than about 76 cm/s",
            Self::SlipperyFloor => "floor friction under 0.4",
            Self::Climate => "well outside 19 to 26 °C or 35 to 50 % humidity",
        }
    }
}

/// How modules are lifted on this site. What is absent is assumed, and the plan says so.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiftPlace {
    /// Distance of the hands from the ankles, cm; 40 where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hands_out_cm: Option<Decimal>,
    /// Height of the grip on the lowest module, cm; 10 where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lowest_grip_cm: Option<Decimal>,
    /// Height of one module, cm; 20 where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub module_height_cm: Option<Decimal>,
    /// Height of the hands when it is set down, cm; 40 cm of travel where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_down_cm: Option<Decimal>,
    /// Twist of the body, degrees; 0 where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub twist_deg: Option<Decimal>,
    /// Grip; poor where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grip: Option<Coupling>,
    /// What puts the lift outside the equation: then no figure is given.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub outside_scope: Vec<OutsideScope>,
}
