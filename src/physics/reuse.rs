//! The gates before a module may be offered for reuse, each open, closed or unknown.
//!
//! The gates are those of `health`, chosen here: there is no legal line for stationary modules.
//! Unknown is not closed, and not open either: a module is offered only where every gate is open.
//! Not covered: remaining life, power at cold, whether anybody wants it.

use super::curves::{CellKind, published};
use super::domain::DomainError;
use super::health::{HealthInput, ReuseFacts, gates, health};
use super::self_discharge::{
    PLATEAU_MV_PER_PERCENT, SelfDischargeInput, SelfDischargeOutcome, self_discharge,
};
use crate::units::Decimal;

/// A discharge between two known charges.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PartialDischarge {
    /// Rated capacity, ampere-hours.
    pub rated_capacity_ah: Decimal,
    /// Taken out, ampere-hours.
    pub removed_ah: Decimal,
    /// Error of that, per cent.
    pub error_percent: Decimal,
    /// Bounds at the start, per cent.
    pub start_percent: (Decimal, Decimal),
    /// Bounds at the end, per cent.
    pub end_percent: (Decimal, Decimal),
}

/// What a job knows for the gates; `None` is not known.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReuseEvidence {
    /// Whether it was judged sound with no finding that counts.
    pub sound: Option<bool>,
    /// Partial discharge, for the state of health.
    pub discharge: Option<PartialDischarge>,
    /// Resistance over that when new.
    pub resistance_ratio: Option<Decimal>,
    /// Loss, per cent a day.
    pub loss_percent_per_day: Option<Decimal>,
    /// Insulation, ohms per volt.
    pub insulation_ohm_per_v: Option<Decimal>,
    /// Lowest and highest rested cell, volts.
    pub cells_v: Option<(Decimal, Decimal)>,
    /// Kind of cell, for the slope there.
    pub chemistry: CellKind,
    /// Whether the management system can be read.
    pub management_readable: Option<bool>,
    /// Whether the maker's papers are held.
    pub papers_held: Option<bool>,
}

/// Where a gate stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GateState {
    /// Shown.
    Open,
    /// Shown that not.
    Closed,
    /// Not known.
    Unknown,
}

impl GateState {
    /// The word on papers.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Closed => "closed",
            Self::Unknown => "unknown",
        }
    }
}

/// The gates with their state, and the state of health as an interval in whole per cent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReuseGates {
    /// Every gate, in order.
    pub gates: Vec<(&'static str, GateState)>,
    /// State of health, per cent of the rated capacity, rounded outwards.
    pub health_percent: Option<(Decimal, Decimal)>,
}

impl ReuseGates {
    /// Whether every gate is open.
    #[must_use]
    pub fn may_be_offered(&self) -> bool {
        self.gates
            .iter()
            .all(|(_, state)| *state == GateState::Open)
    }
}

/// Where each gate stands.
///
/// # Errors
/// A discharge whose bounds cross, negative figures.
pub fn reuse_gates(evidence: &ReuseEvidence) -> Result<ReuseGates, DomainError> {
    let float = |value: Option<Decimal>| value.map(Decimal::to_f64);
    let found = evidence
        .discharge
        .map(|discharge| {
            health(&HealthInput {
                rated_capacity_ah: discharge.rated_capacity_ah.to_f64(),
                removed_ah: discharge.removed_ah.to_f64(),
                removed_error_percent: discharge.error_percent.to_f64(),
                start_low_percent: Some(discharge.start_percent.0.to_f64()),
                start_high_percent: Some(discharge.start_percent.1.to_f64()),
                end_low_percent: Some(discharge.end_percent.0.to_f64()),
                end_high_percent: Some(discharge.end_percent.1.to_f64()),
                step: None,
                reuse: None,
            })
        })
        .transpose()?;
    let spread = evidence.cells_v.and_then(|(low, high)| {
        let (low, high) = (low.to_f64(), high.to_f64());
        // On a plateau a spread in volts says nothing of the charge.
        let slope = flattest(evidence.chemistry, (low + high) / 2.0)?;
        (slope > PLATEAU_MV_PER_PERCENT).then_some((high - low) * 1000.0 - 1e-6)
    });
    let facts = ReuseFacts {
        outcome: evidence.sound.map(|sound| u8::from(!sound)),
        resistance_ratio: float(evidence.resistance_ratio),
        self_discharge_percent_per_day: float(evidence.loss_percent_per_day),
        insulation_ohm_per_v: float(evidence.insulation_ohm_per_v),
        cell_spread_mv: spread.map(|mv| mv.max(0.0)),
        management_readable: evidence.management_readable,
        papers_held: evidence.papers_held,
    };
    // Health that reaches over the line on both sides is not known to be on either.
    let healthy = found.as_ref().and_then(|found| {
        if found.health_low >= 0.70 {
            Some(true)
        } else if found.health_high < 0.70 {
            Some(false)
        } else {
            None
        }
    });
    let percent = |share: f64, up: bool| {
        let hundredths = libm::round(share * 1e6) / 1e4;
        let whole = if up {
            libm::ceil(hundredths)
        } else {
            libm::floor(hundredths)
        };
        Decimal::from_thousandths(whole.clamp(0.0, 1e6) as i64 * 1000)
    };
    Ok(ReuseGates {
        gates: gates(&facts, healthy)?
            .into_iter()
            .map(|(state, name)| {
                let state = match state {
                    Some(true) => GateState::Open,
                    Some(false) => GateState::Closed,
                    None => GateState::Unknown,
                };
                (name, state)
            })
            .collect(),
        health_percent: found.map(|found| {
            (
                percent(found.health_low, false),
                percent(found.health_high, true),
            )
        }),
    })
}

/// Slope of the flattest published curve at a voltage, mV per %.
fn flattest(kind: CellKind, volts: f64) -> Option<f64> {
    published(kind)
        .iter()
        .map(|curve| curve.slope(curve.state_of_charge(volts)) * 10.0)
        .fold(None, |least: Option<f64>, slope| {
            Some(least.map_or(slope, |least| least.min(slope)))
        })
}

/// Two rested readings of the lowest cell, with the hours and temperatures between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TwoReadings {
    /// Kind of cell.
    pub chemistry: CellKind,
    /// First and second, volts.
    pub cell_v: (Decimal, Decimal),
    /// Minutes between them.
    pub minutes_apart: u32,
    /// Surface at each, degrees Celsius.
    pub temperature_c: (Decimal, Decimal),
    /// Whether the first was rested.
    pub rested: bool,
}

/// Loss of charge between two readings: what it amounts to and, where it can be said, per cent a
/// day rounded up to 0.01.
///
/// # Errors
/// As [`self_discharge`].
pub fn loss_of_charge(
    two: &TwoReadings,
) -> Result<(SelfDischargeOutcome, Option<Decimal>), DomainError> {
    let answer = self_discharge(&SelfDischargeInput {
        chemistry: two.chemistry,
        first_cell_v: two.cell_v.0.to_f64(),
        second_cell_v: two.cell_v.1.to_f64(),
        hours_apart: f64::from(two.minutes_apart) / 60.0,
        first_temperature_c: two.temperature_c.0.to_f64(),
        second_temperature_c: two.temperature_c.1.to_f64(),
        rested: two.rested,
        meter_error_mv: None,
        capacity_ah: None,
        curve: None,
    })?;
    let loss = answer
        .percent_per_day
        .filter(|_| answer.outcome != SelfDischargeOutcome::NotAssessable)
        .map(|percent| {
            // A rise within the meter's error is no loss.
            let hundredths = libm::ceil(percent.max(0.0) * 100.0 - 1e-6);
            Decimal::from_thousandths(hundredths as i64 * 10)
        });
    Ok((answer.outcome, loss))
}
