//! Whether a cell loses charge by itself, from two rested voltages a day or more apart.
//!
//! Rate %/day = (dV/dt) / slope of the curve there, the flattest curve of the group; leak current
//! I = C·rate/24. V1 1 %/day or more: suspect; V2 3 %/day or more: damaged (chosen here). Not
//! assessable where the slope is 2 mV per % or less (the LFP plateau), outside of the curves, within
//! 24 h, with 5 K between the readings, or where the voltage rose; relaxation looks like self-discharge, so the first must be rested.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::curves::{CellKind, Curve, published};
use super::domain::{DomainError, above_zero, not_below_zero, round, within};
use super::rested_reading::MakerCurve;

/// Two rested readings of one cell.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SelfDischargeInput {
    /// Kind of cell.
    pub chemistry: CellKind,
    /// First voltage, volts.
    pub first_cell_v: f64,
    /// Second voltage, volts.
    pub second_cell_v: f64,
    /// Hours between them.
    pub hours_apart: f64,
    /// Surface at the first, degrees Celsius.
    pub first_temperature_c: f64,
    /// Surface at the second, degrees Celsius.
    pub second_temperature_c: f64,
    /// Whether the rest test was met at the first.
    pub rested: bool,
    /// Error of the difference, millivolts; 1 where absent.
    #[serde(default)]
    pub meter_error_mv: Option<f64>,
    /// Capacity, ampere-hours, for the leak current.
    #[serde(default)]
    pub capacity_ah: Option<f64>,
    /// The maker's own table.
    #[serde(default)]
    pub curve: Option<MakerCurve>,
}

/// What two voltages say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SelfDischargeOutcome {
    /// Below V1 whatever the meter's error.
    NoRuleBroken,
    /// The voltages cannot tell; compare cell with cell.
    NotAssessable,
    /// V1.
    Suspect,
    /// V2.
    Damaged,
}

/// The loss of charge.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SelfDischargeAnswer {
    /// Fall, millivolts a day.
    pub mv_per_day: f64,
    /// Slope of the flattest curve there, millivolts for each per cent.
    pub slope_mv_per_percent: Option<f64>,
    /// Loss, per cent a day; absent where not assessable.
    pub percent_per_day: Option<f64>,
    /// Leak current, amperes.
    pub leak_a: Option<f64>,
    /// What it amounts to.
    pub outcome: SelfDischargeOutcome,
    /// Why it cannot be assessed.
    pub reasons: Vec<String>,
}

/// Slope below which a voltage says nothing of the charge, mV per %.
pub(super) const PLATEAU_MV_PER_PERCENT: f64 = 2.0;

/// The loss of charge between two readings.
///
/// # Errors
/// Values outside their ranges; a table that does not rise.
pub fn self_discharge(input: &SelfDischargeInput) -> Result<SelfDischargeAnswer, DomainError> {
    let first = within("first_cell_v", input.first_cell_v, 0.0, 5.0)?;
    let second = within("second_cell_v", input.second_cell_v, 0.0, 5.0)?;
    let hours = above_zero("hours_apart", input.hours_apart)?;
    let error = not_below_zero("meter_error_mv", input.meter_error_mv.unwrap_or(1.0))?;
    let t1 = within(
        "first_temperature_c",
        input.first_temperature_c,
        -90.0,
        200.0,
    )?;
    let t2 = within(
        "second_temperature_c",
        input.second_temperature_c,
        -90.0,
        200.0,
    )?;
    let capacity = input
        .capacity_ah
        .map(|ah| above_zero("capacity_ah", ah))
        .transpose()?;
    let own = input.curve.as_ref().map(MakerCurve::read).transpose()?;
    let group: Vec<&Curve> = match &own {
        Some(curve) => vec![curve],
        None => published(input.chemistry).to_vec(),
    };
    let middle = (first + second) / 2.0;
    let covered = group.iter().any(|curve| {
        let (least, most) = curve.ends();
        (least..=most).contains(&middle)
    });
    let slope = group
        .iter()
        // Volts per unit and per cent: 1 V per unit is 10 mV per %.
        .map(|curve| curve.slope(curve.state_of_charge(middle)) * 10.0)
        .fold(None, |least: Option<f64>, s| {
            Some(least.map_or(s, |l| l.min(s)))
        });
    let per_day = (first - second) * 1000.0 * 24.0 / hours;
    let mut reasons = Vec::new();
    if !input.rested {
        reasons.push("not rested at the first reading: relaxation looks the same".into());
    }
    if hours < 24.0 {
        reasons.push(format!("{} h apart; 24 h at the least", round(hours, 2)));
    }
    if (t1 - t2).abs() > 5.0 {
        reasons.push(format!(
            "{} K between the readings; 5 K at the most",
            round((t1 - t2).abs(), 2)
        ));
    }
    match slope {
        None => reasons.push("the chemistry is not known".into()),
        Some(_) if !covered => reasons.push(format!(
            "{} V a cell lies outside the curves of this chemistry",
            round(middle, 3)
        )),
        Some(slope) if slope <= PLATEAU_MV_PER_PERCENT => reasons.push(format!(
            "the curve rises {slope:.2} mV for each per cent there; {PLATEAU_MV_PER_PERCENT} at the least. \
             Compare cell with cell"
        )),
        Some(_) => {}
    }
    // A rested cell that nobody charges does not rise.
    if second - first > error / 1000.0 + 1e-9 {
        reasons.push(
            "the voltage rose by more than the meter's error: charged, not rested, or another cell"
                .into(),
        );
    }
    let rate = slope
        .filter(|_| reasons.is_empty())
        .map(|slope| per_day / slope);
    let mut outcome = match rate {
        None => SelfDischargeOutcome::NotAssessable,
        Some(rate) if rate >= 3.0 => SelfDischargeOutcome::Damaged,
        Some(rate) if rate >= 1.0 => SelfDischargeOutcome::Suspect,
        Some(_) => SelfDischargeOutcome::NoRuleBroken,
    };
    let slack = slope.map_or(0.0, |slope| error * 24.0 / hours / slope);
    if outcome == SelfDischargeOutcome::NoRuleBroken && rate.is_some_and(|r| r + slack >= 1.0) {
        reasons.push("below 1 % a day as read, but not with the meter's error".into());
        outcome = SelfDischargeOutcome::NotAssessable;
    }
    Ok(SelfDischargeAnswer {
        mv_per_day: round(per_day, 3),
        slope_mv_per_percent: slope.map(|slope| round(slope, 3)),
        percent_per_day: rate.map(|rate| round(rate, 3)),
        leak_a: rate
            .zip(capacity)
            .map(|(rate, ah)| round(ah * rate / 2400.0, 4)),
        outcome,
        reasons,
    })
}
