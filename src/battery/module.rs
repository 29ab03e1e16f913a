//! A battery module as the plan expects it.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Grams, MilliampereHours, Millivolts, MilliwattHours};

/// Whether the casing withstands impact; the shipper judges and must be able to show it.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Casing {
    /// Strong and impact-resistant.
    Strong,
    /// Not.
    Weak,
}

/// A battery module as planned. A fact that is absent is not known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Module {
    /// The name used in the record, such as `m1`.
    pub id: String,
    /// The serial expected from the papers; what is scanned on site decides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub serial: Option<String>,
    /// Place in the order of removal: 1 is the top, or the first to leave.
    pub position: u32,
    /// Type designation on the plate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// Nominal voltage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nominal_voltage_v: Option<Millivolts>,
    /// Rated capacity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_capacity_ah: Option<MilliampereHours>,
    /// Rated energy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_energy_wh: Option<MilliwattHours>,
    /// Mass without packaging.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net_mass_kg: Option<Grams>,
    /// Cells in series.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cells_in_series: Option<u32>,
    /// Casing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub casing: Option<Casing>,
    /// Whether this module, as offered, is of a type tested under UN Manual 38.3.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tested_type: Option<bool>,
    /// Date of manufacture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_on: Option<NaiveDate>,
    /// Whether the energy stands on the outside of the case.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub energy_marked_on_case: Option<bool>,
    /// Length, width and height in mm as it stands, with everything that sticks out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outer_size_mm: Option<[u32; 3]>,
    /// Whether the maker lets it travel on its side; where that is not said, it stands upright.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub may_lie: Option<bool>,
    /// Most mass that may stand on it as it stands upright, by its maker; where that is not said,
    /// nothing stands on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stack_load_kg: Option<Grams>,
    /// Whether battery terminals are on its upper side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terminals_on_top: Option<bool>,
    /// Whether a safety recall names it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recalled_for_safety: Option<bool>,
}
