//! State of health from a full or a partial discharge, and the gates before an offer for reuse.
//!
//! SoH = measured Ah / rated Ah. Partial: C_lo = Ah·(1 − err)/(S1_hi − S2_lo), C_hi = Ah·(1 +
//! err)/(S1_lo − S2_hi). Untested health is unknown, not 1. The gates are chosen here; there is no
//! legal line for stationary modules. Not covered: remaining life, power at cold.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, not_below_zero, round, within};

/// A discharge between two known states of charge.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HealthInput {
    /// Rated capacity, ampere-hours.
    pub rated_capacity_ah: f64,
    /// Charge taken out, ampere-hours.
    pub removed_ah: f64,
    /// Error of that, per cent; 0 where absent.
    #[serde(default)]
    pub removed_error_percent: f64,
    /// Lower bound at the start, per cent; 100 where absent.
    #[serde(default)]
    pub start_low_percent: Option<f64>,
    /// Upper bound at the start, per cent; 100 where absent.
    #[serde(default)]
    pub start_high_percent: Option<f64>,
    /// Lower bound at the end, per cent; 0 where absent.
    #[serde(default)]
    pub end_low_percent: Option<f64>,
    /// Upper bound at the end, per cent; 0 where absent.
    #[serde(default)]
    pub end_high_percent: Option<f64>,
    /// What else the gates of reuse ask.
    #[serde(default)]
    pub reuse: Option<ReuseFacts>,
}

/// What the gates of reuse ask; absent means not known, which closes the gate.
#[derive(Debug, Clone, Copy, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReuseFacts {
    /// Outcome of the findings: 0 sound to 3.
    #[serde(default)]
    pub outcome: Option<u8>,
    /// Resistance over that when new.
    #[serde(default)]
    pub resistance_ratio: Option<f64>,
    /// Self-discharge, per cent a day, where assessable.
    #[serde(default)]
    pub self_discharge_percent_per_day: Option<f64>,
    /// Insulation, ohms for each volt.
    #[serde(default)]
    pub insulation_ohm_per_v: Option<f64>,
    /// Spread of the cells where the curve has slope, millivolts.
    #[serde(default)]
    pub cell_spread_mv: Option<f64>,
    /// The management system can be read.
    #[serde(default)]
    pub management_readable: Option<bool>,
    /// The maker's papers are held.
    #[serde(default)]
    pub papers_held: Option<bool>,
}

/// State of health.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HealthAnswer {
    /// Least capacity, ampere-hours.
    pub capacity_low_ah: f64,
    /// Greatest capacity, ampere-hours.
    pub capacity_high_ah: f64,
    /// Least share of the rated capacity.
    pub health_low: f64,
    /// Greatest share of the rated capacity.
    pub health_high: f64,
    /// Whether it may be offered for reuse; absent where that was not asked.
    pub may_be_offered: Option<bool>,
    /// Gates that are closed.
    pub closed: Vec<&'static str>,
}

/// State of health from a discharge.
///
/// # Errors
/// Values outside their ranges; bounds that cross or touch.
pub fn health(input: &HealthInput) -> Result<HealthAnswer, DomainError> {
    let rated = above_zero("rated_capacity_ah", input.rated_capacity_ah)?;
    let ah = above_zero("removed_ah", input.removed_ah)?;
    let error = within(
        "removed_error_percent",
        input.removed_error_percent,
        0.0,
        99.0,
    )? / 100.0;
    let share = |field: &str, value: Option<f64>, usual: f64| {
        within(field, value.unwrap_or(usual), 0.0, 100.0).map(|percent| percent / 100.0)
    };
    let start_low = share("start_low_percent", input.start_low_percent, 100.0)?;
    let start_high = share("start_high_percent", input.start_high_percent, 100.0)?;
    let end_low = share("end_low_percent", input.end_low_percent, 0.0)?;
    let end_high = share("end_high_percent", input.end_high_percent, 0.0)?;
    if start_low > start_high || end_low > end_high || start_low <= end_high {
        return Err(DomainError::new(
            "start_low_percent",
            start_low * 100.0,
            "bounds in order, the whole start above the whole end",
        ));
    }
    let low = ah * (1.0 - error) / (start_high - end_low);
    let high = ah * (1.0 + error) / (start_low - end_high);
    let closed = match &input.reuse {
        Some(facts) => closed(facts, low / rated)?,
        None => Vec::new(),
    };
    Ok(HealthAnswer {
        capacity_low_ah: round(low, 2),
        capacity_high_ah: round(high, 2),
        health_low: round(low / rated, 4),
        health_high: round(high / rated, 4),
        may_be_offered: input.reuse.map(|_| closed.is_empty()),
        closed,
    })
}

/// Every gate with whether it is open; `None` where that is not known.
pub(super) fn gates(
    facts: &ReuseFacts,
    healthy: Option<bool>,
) -> Result<[(Option<bool>, &'static str); 8], DomainError> {
    let number = |field: &str, value: Option<f64>| {
        value.map(|value| not_below_zero(field, value)).transpose()
    };
    let ratio = number("reuse.resistance_ratio", facts.resistance_ratio)?;
    let insulation = number("reuse.insulation_ohm_per_v", facts.insulation_ohm_per_v)?;
    let spread = number("reuse.cell_spread_mv", facts.cell_spread_mv)?;
    // A rise reads as a negative loss; it does not open the gate by itself.
    let loss = facts.self_discharge_percent_per_day;
    Ok([
        (
            facts.outcome.map(|outcome| outcome == 0),
            "findings: outcome 0",
        ),
        (healthy, "health: 0.70 at the least"),
        (
            ratio.map(|r| r <= 2.0),
            "resistance: twice the new one at the most",
        ),
        (
            loss.map(|r| r < 1.0),
            "self-discharge: assessed and below 1 % a day",
        ),
        (insulation.map(|r| r > 500.0), "insulation: over 500 ohm/V"),
        (
            spread.map(|mv| mv <= 30.0),
            "cells: within 30 mV where the curve has slope",
        ),
        (facts.management_readable, "management system readable"),
        (facts.papers_held, "maker's papers held"),
    ])
}

/// Gates that are not shown to be open.
fn closed(facts: &ReuseFacts, health_low: f64) -> Result<Vec<&'static str>, DomainError> {
    Ok(gates(facts, Some(health_low >= 0.70))?
        .into_iter()
        .filter(|(open, _)| *open != Some(true))
        .map(|(_, gate)| gate)
        .collect())
}
