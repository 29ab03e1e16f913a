//! State of health from a full or a partial discharge, and the gates before an offer for reuse.
//!
//! SoH = measured Ah / rated Ah. Partial: C_lo = Ah·(1 − err)/(S1_hi − S2_lo), C_hi = Ah·(1 +
//! err)/(S1_lo − S2_hi). Untested health is unknown, not 1. R = |dV/dI| of a step of the current. The gates
//! are chosen here; there is no legal line for stationary modules. Not covered: remaining life, power at cold.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::annex_vii::{AnnexParameter, annex_vii_shown};
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
    /// A step of the current, for the resistance.
    #[serde(default)]
    pub step: Option<ResistanceStep>,
    /// What else the gates of reuse ask.
    #[serde(default)]
    pub reuse: Option<ReuseFacts>,
}

/// Volts and amperes before a step of the current and a stated time after it; a current out counts
/// below 0.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ResistanceStep {
    /// Volts before.
    pub before_v: f64,
    /// Volts after.
    pub after_v: f64,
    /// Amperes before.
    pub before_a: f64,
    /// Amperes after.
    pub after_a: f64,
    /// Resistance when new by the same step, at the same charge and temperature, ohms.
    #[serde(default)]
    pub new_ohm: Option<f64>,
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
    /// Resistance by the step, ohms.
    pub resistance_ohm: Option<f64>,
    /// That over the resistance when new.
    pub resistance_ratio: Option<f64>,
    /// Whether it may be offered for reuse; absent where that was not asked.
    pub may_be_offered: Option<bool>,
    /// Gates that are closed.
    pub closed: Vec<&'static str>,
    /// Where an offer was asked for: what Annex VII of (EU) 2023/1542 lists (second-hand), and what is
    /// shown of it.
    pub annex_vii: Vec<AnnexParameter>,
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
        let percent = |share: f64| round(share * 100.0, 3);
        return Err(DomainError::new(
            "start_low_percent",
            format!(
                "{} (start {} to {}, end {} to {})",
                percent(start_low),
                percent(start_low),
                percent(start_high),
                percent(end_low),
                percent(end_high)
            ),
            "bounds in order, the whole start above the whole end",
        ));
    }
    let low = ah * (1.0 - error) / (start_high - end_low);
    let high = ah * (1.0 + error) / (start_low - end_high);
    let (ohm, ratio) = match &input.step {
        Some(step) => step.resistance()?,
        None => (None, None),
    };
    let (mut closed, mut annex) = (Vec::new(), Vec::new());
    if let Some(facts) = &input.reuse {
        // Of two ratios the greater counts.
        let resistance_ratio = [facts.resistance_ratio, ratio]
            .into_iter()
            .flatten()
            .reduce(f64::max);
        let facts = ReuseFacts {
            resistance_ratio,
            ..*facts
        };
        closed = not_open(&facts, low / rated)?;
        annex = annex_vii_shown(
            (round(low, 2), round(high, 2)),
            facts.self_discharge_percent_per_day,
            ohm.map(|ohm| round(ohm, 6)),
        );
    }
    Ok(HealthAnswer {
        capacity_low_ah: round(low, 2),
        capacity_high_ah: round(high, 2),
        health_low: round(low / rated, 4),
        health_high: round(high / rated, 4),
        resistance_ohm: ohm.map(|ohm| round(ohm, 6)),
        resistance_ratio: ratio.map(|ratio| round(ratio, 3)),
        may_be_offered: input.reuse.map(|_| closed.is_empty()),
        closed,
        annex_vii: annex,
    })
}

impl ResistanceStep {
    /// Its resistance, and that over the one when new.
    fn resistance(&self) -> Result<(Option<f64>, Option<f64>), DomainError> {
        let volts = |field: &str, value| within(field, value, 0.0, 5000.0);
        let ampere = |field: &str, value| within(field, value, -1e5, 1e5);
        let volts = volts("step.after_v", self.after_v)? - volts("step.before_v", self.before_v)?;
        let ampere =
            ampere("step.after_a", self.after_a)? - ampere("step.before_a", self.before_a)?;
        // A current out pulls the voltage down, so both move the same way.
        if ampere.abs() < 1e-9 || volts / ampere < 0.0 {
            return Err(DomainError::new(
                "step.after_a",
                self.after_a,
                "a step of the current, out below 0, whose voltage moves the same way",
            ));
        }
        let ohm = volts / ampere;
        let new = self
            .new_ohm
            .map(|ohm| above_zero("step.new_ohm", ohm))
            .transpose()?;
        Ok((Some(ohm), new.map(|new| ohm / new)))
    }
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
    // A rise is no loss that was assessed.
    let loss = number(
        "reuse.self_discharge_percent_per_day",
        facts.self_discharge_percent_per_day,
    )?;
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
fn not_open(facts: &ReuseFacts, health_low: f64) -> Result<Vec<&'static str>, DomainError> {
    Ok(gates(facts, Some(health_low >= 0.70))?
        .into_iter()
        .filter(|(open, _)| *open != Some(true))
        .map(|(_, gate)| gate)
        .collect())
}
