//! The plan of what stands on what.

use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::units::{Decimal, Grams};

/// Which package stands on which pallet or in which overpack, and which of those on which vehicle.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Haul {
    /// Pallets and overpacks, then vehicles.
    pub carried: Vec<Carried>,
    /// Packages that no carrier takes, and why.
    #[serde(default)]
    pub not_carried: Vec<NotCarried>,
    /// How many pallets and overpacks.
    pub handling_units: Counted,
    /// How many vehicles.
    pub vehicles: Counted,
}

/// A count with its lower bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counted {
    /// How many.
    pub count: usize,
    /// No plan for what is carried can use fewer.
    pub lower_bound: usize,
    /// Whether the two are equal.
    pub proven: bool,
}

impl Default for Counted {
    /// None, and none can be fewer.
    fn default() -> Self {
        Self {
            count: 0,
            lower_bound: 0,
            proven: true,
        }
    }
}

/// One carrier with its load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Carried {
    /// Name in the plan: `L1` for a pallet or overpack, `V1` for a vehicle.
    pub id: String,
    /// Name of the carrier in the list.
    pub carrier: String,
    /// Mass of what stands on it.
    pub load_kg: Grams,
    /// Mass with the carrier itself.
    pub gross_kg: Grams,
    /// Vehicles under ADR: points of 1.1.3.6, where they can be told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points: Option<Decimal>,
    /// Vehicles under ADR: whether the relief for small loads applies.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub small_load: Option<bool>,
    /// What is due for it.
    #[serde(default)]
    pub duties: Vec<String>,
    /// Where each thing stands.
    pub stands: Vec<Stand>,
}

/// One thing on a carrier, from its left front corner, upward from its deck.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stand {
    /// The package, or the pallet or overpack on a vehicle.
    pub what: String,
    /// Along the length of the carrier.
    pub x_mm: u32,
    /// Along its width.
    pub y_mm: u32,
    /// Above its deck.
    pub z_mm: u32,
    /// Along the length of the carrier.
    pub length_mm: u32,
    /// Along its width.
    pub width_mm: u32,
    /// Upward.
    pub height_mm: u32,
    /// Why here.
    #[serde(default)]
    pub why: String,
}

/// A package that stays behind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NotCarried {
    /// The package, pallet or overpack.
    pub what: String,
    /// Why.
    pub reasons: Vec<Reason>,
}
