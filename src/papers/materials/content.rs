//! What the materials paper says, as data; the JSON is this.

use chrono::NaiveDate;
use serde::Serialize;

use crate::units::{Decimal, Grams, MilliwattHours};

/// Format of `materials.json`. A reader takes any minor of its own major.
pub(crate) const FORMAT: &str = "1.0";

/// What the removed modules of a job are made of.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Materials {
    pub(crate) format: &'static str,
    pub(crate) job: String,
    /// Invented data.
    pub(crate) demo: bool,
    pub(crate) from: String,
    pub(crate) to: String,
    pub(crate) on: NaiveDate,
    /// Chemistry in words, with the electrode.
    pub(crate) chemistry: String,
    /// Cells whose tables were used; empty where none is tabled.
    pub(crate) tables: Vec<&'static str>,
    /// What the ranges are and where they come from.
    pub(crate) how: Vec<String>,
    pub(crate) modules: Vec<ModuleContent>,
    pub(crate) total: Total,
    pub(crate) targets: Vec<DatedTarget>,
    /// What the recycler must do with this, each with its clause.
    pub(crate) duties: Vec<String>,
    pub(crate) not_known: Vec<String>,
}

/// One module.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ModuleContent {
    pub(crate) module: String,
    pub(crate) serial: String,
    pub(crate) serial_proved: bool,
    pub(crate) model: Option<String>,
    pub(crate) made_on: Option<NaiveDate>,
    pub(crate) net_mass_kg: Option<Grams>,
    /// Whether it was weighed in this job; else the mass is that of the plan.
    pub(crate) weighed: bool,
    pub(crate) rated_energy_wh: Option<MilliwattHours>,
    pub(crate) soundness: &'static str,
    pub(crate) package: Option<String>,
    pub(crate) materials: Vec<MaterialLine>,
}

/// One material.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct MaterialLine {
    pub(crate) material: String,
    pub(crate) low_kg: Decimal,
    pub(crate) high_kg: Decimal,
    /// `energy`, `mass` or `energy and mass`.
    pub(crate) from: &'static str,
}

/// All modules together.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Total {
    pub(crate) modules: usize,
    /// Modules whose mass is in the sum.
    pub(crate) with_mass: usize,
    pub(crate) net_mass_kg: Grams,
    /// Modules whose composition is in the sum.
    pub(crate) with_materials: usize,
    pub(crate) materials: Vec<MaterialLine>,
}

/// A target with its day.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct DatedTarget {
    pub(crate) of: String,
    pub(crate) percent: String,
    pub(crate) by: NaiveDate,
    pub(crate) how_known: String,
}
