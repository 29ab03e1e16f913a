//! What Annex VII of Regulation (EU) 2023/1542 lists for the health and the lifetime of a stationary
//! battery, and which of it a discharge has shown.
//!
//! The list stands in `reference/annex_vii_parameters.csv` and is second-hand. The management system
//! holds the rest; who bought the battery, or acts for that person, may read it there at any time
//! (Article 14, read in an article on the proposal). Not covered: vehicle batteries.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::table;

/// One parameter of the annex.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AnnexParameter {
    /// `A` state of health, `B` expected lifetime.
    pub part: String,
    /// What it is.
    pub parameter: String,
    /// `where possible`, or empty.
    pub condition: String,
    /// What is shown of it here; absent where the management system is to be asked.
    pub shown: Option<String>,
}

#[derive(Deserialize)]
struct Row {
    part: String,
    parameter: String,
    condition: String,
}

/// The parameters of a stationary battery, none shown yet.
#[must_use]
pub fn annex_vii() -> Vec<AnnexParameter> {
    let rows: Vec<Row> = table::rows(
        "annex_vii_parameters",
        include_str!("../reference/annex_vii_parameters.csv"),
    )
    .unwrap_or_default();
    let parameters = rows.into_iter().map(|row| AnnexParameter {
        part: row.part,
        parameter: row.parameter,
        condition: row.condition,
        shown: None,
    });
    parameters.collect()
}

/// The same with what was measured.
pub(super) fn annex_vii_shown(
    capacity_ah: (f64, f64),
    loss_percent_per_day: Option<f64>,
    resistance_ohm: Option<f64>,
) -> Vec<AnnexParameter> {
    let mut all = annex_vii();
    for one in &mut all {
        one.shown = match one.parameter.as_str() {
            "remaining capacity" => Some(format!("{} to {} Ah", capacity_ah.0, capacity_ah.1)),
            "evolution of self-discharging rates" => {
                loss_percent_per_day.map(|percent| format!("{percent} % a day, once"))
            }
            "ohmic resistance" => resistance_ohm.map(|ohm| format!("{ohm} ohm")),
            _ => None,
        };
    }
    all
}
