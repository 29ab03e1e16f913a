//! Watt-hours: what a module is rated at and what may still be inside.
//!
//! Rated Wh = Ah × V (49 CFR 171.8). Remaining: rated × health × share of the energy below the
//! state of charge, least of every curve of the group for the lower bound, greatest for the upper.
//! Health that was not tested counts as 1, an unread module as full. Not covered: energy that heat
//! or a fire sets free, which is several times the electrical one.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::curves::{CellKind, published};
use super::domain::{DomainError, above_zero, round, within};
use crate::units::{Decimal, MilliwattHours};

/// A module's rating and what is known of its charge.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnergyInput {
    /// Kind of cell; decides the curves.
    #[serde(default)]
    pub chemistry: CellKind,
    /// Rated capacity, ampere-hours.
    #[serde(default)]
    pub rated_capacity_ah: Option<f64>,
    /// Nominal voltage, volts.
    #[serde(default)]
    pub nominal_voltage_v: Option<f64>,
    /// Cells in series, 1 to 1000: the nominal voltage is then held against the chemistry.
    #[serde(default)]
    pub cells: Option<u32>,
    /// Watt-hours as marked; stands where it is given.
    #[serde(default)]
    pub marked_energy_wh: Option<f64>,
    /// Lower bound of the state of charge, per cent; 0 where absent.
    #[serde(default)]
    pub low_percent: Option<f64>,
    /// Upper bound of the state of charge, per cent; 100 where absent.
    #[serde(default)]
    pub high_percent: Option<f64>,
    /// Lower bound of the state of health, 0 to 1; 0 where absent.
    #[serde(default)]
    pub health_low: Option<f64>,
    /// Upper bound of the state of health, 0 to 1.2; 1 where absent.
    #[serde(default)]
    pub health_high: Option<f64>,
}

/// Watt-hours.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EnergyAnswer {
    /// The rating that counts: as marked, else computed.
    pub rated_energy_wh: f64,
    /// Capacity × nominal voltage, where both are known.
    pub computed_energy_wh: Option<f64>,
    /// Least that is inside.
    pub low_wh: f64,
    /// Most that is inside.
    pub high_wh: f64,
    /// Remarks.
    pub notes: Vec<String>,
}

/// Rating and remaining energy.
///
/// # Errors
/// No rating at all, bounds that cross, values outside their ranges.
pub fn energy(input: &EnergyInput) -> Result<EnergyAnswer, DomainError> {
    let mut notes = Vec::new();
    let computed = match (input.rated_capacity_ah, input.nominal_voltage_v) {
        (Some(ah), Some(v)) => {
            Some(above_zero("rated_capacity_ah", ah)? * above_zero("nominal_voltage_v", v)?)
        }
        _ => None,
    };
    let marked = input
        .marked_energy_wh
        .map(|wh| above_zero("marked_energy_wh", wh))
        .transpose()?;
    let rated = marked.or(computed).ok_or_else(|| {
        DomainError::new(
            "marked_energy_wh",
            "absent",
            "a marked energy, or a capacity with its nominal voltage",
        )
        .by("49 CFR 171.8: rated capacity times nominal voltage")
    })?;
    if let (Some(marked), Some(computed)) = (marked, computed)
        && (marked - computed).abs() > 0.02 * computed
    {
        notes.push(format!(
            "marked {marked} Wh and computed {computed:.2} Wh differ by more than 2 % (limit \
             chosen here); the marked one counts"
        ));
    }
    let low = within("low_percent", input.low_percent.unwrap_or(0.0), 0.0, 100.0)?;
    let high = within(
        "high_percent",
        input.high_percent.unwrap_or(100.0),
        low,
        100.0,
    )?;
    let worst = within("health_low", input.health_low.unwrap_or(0.0), 0.0, 1.2)?;
    let best = within("health_high", input.health_high.unwrap_or(1.0), worst, 1.2)?;
    if let (Some(cells), Some(volts)) = (input.cells, input.nominal_voltage_v) {
        if !(1..=1000).contains(&cells) {
            return Err(DomainError::new(
                "cells",
                cells,
                "1 to 1000 cells in series",
            ));
        }
        notes.extend(input.chemistry.nominal_fault(volts, cells));
    }
    if input.high_percent.is_none() {
        notes.push("state of charge not known: the whole rating counts".into());
    }
    if input.health_high.is_none() {
        notes.push("health not tested: it counts as 1".into());
    }
    let curves = if input.chemistry.needs_makers_curve() {
        &[]
    } else {
        published(input.chemistry)
    };
    let (mut least, mut most) = (1.0_f64, 0.0_f64);
    for curve in curves {
        least = least.min(curve.energy_share_below(low / 100.0));
        most = most.max(curve.energy_share_below(high / 100.0));
    }
    if curves.is_empty() {
        // Without a curve nothing is claimed below, and the share cannot exceed the charge: a voltage
        // that rises with it puts less than half of the energy into the lower half.
        (least, most) = (0.0, high / 100.0);
        let why = if input.chemistry == CellKind::Unknown {
            "chemistry not known"
        } else {
            "no published curve is good enough for this chemistry"
        };
        notes.push(format!(
            "{why}: share of the energy taken as the state of charge"
        ));
    }
    Ok(EnergyAnswer {
        rated_energy_wh: rated,
        computed_energy_wh: computed.map(|wh| round(wh, 3)),
        low_wh: round(rated * worst * least, 1),
        high_wh: round(rated * best * most, 1),
        notes,
    })
}

/// What a module may hold, in whole watt-hours rounded outwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EnergyBounds {
    /// The least.
    pub low_wh: Decimal,
    /// The most.
    pub high_wh: Decimal,
}

/// What a module of this rating holds between two charges, per cent; health, per cent of the rated
/// capacity, where it was tested.
///
/// # Errors
/// As [`energy`].
pub fn module_energy(
    chemistry: CellKind,
    rated: MilliwattHours,
    (low, high): (Decimal, Decimal),
    health: Option<(Decimal, Decimal)>,
) -> Result<EnergyBounds, DomainError> {
    let share = |percent: Decimal| (percent.to_f64() / 100.0).clamp(0.0, 1.2);
    let found = energy(&EnergyInput {
        chemistry,
        marked_energy_wh: Some(rated.to_f64()),
        low_percent: Some(low.to_f64()),
        high_percent: Some(high.to_f64()),
        health_low: health.map(|(low, _)| share(low)),
        health_high: health.map(|(_, high)| share(high)),
        ..EnergyInput::default()
    })?;
    let whole = |wh: f64| Decimal::from_thousandths(wh as i64 * 1000);
    Ok(EnergyBounds {
        // The casts saturate. Both are rounded to 0.1 Wh before.
        low_wh: whole(libm::floor(found.low_wh)),
        high_wh: whole(libm::ceil(found.high_wh)),
    })
}
