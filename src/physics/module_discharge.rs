//! The discharge that would let a module's rested cells prove a limit, for a record sheet.
//!
//! Target: the state of charge at which every curve of the chemistry lies at or below the highest
//! cell voltage that proves the limit (cell values of ±5 mV, 25 °C), rounded down to 1 %; where no
//! voltage proves it, 5 points under the limit, to be proved by counting (chosen here). Current:
//! 0.2 of the rated capacity unless the maker says less (chosen here). Sums of `discharge`; the
//! module's resistance is assumed: 12 mΩ iron phosphate, 20 mΩ others (chosen here).

use super::crew_load::{ByLoad, CrewLoad, by_load};
use super::curves::{CellKind, Curve, published};
use super::discharge::{AtLoad, DischargeInput, Ended, Load, usual_minimum_v, watched};
use super::domain::DomainError;
use super::module_charge::proving_volts;
use super::rested_reading::MakerCurve;
use crate::units::Decimal;

/// Minutes between readings: at the start, each 15 min and at the end (chosen here).
pub const READ_EVERY_MIN: u32 = 15;
/// Error of cell values that a technician can usually have, millivolts.
const CELL_ERROR_MV: f64 = 5.0;
/// Greatest current without the maker's figure, share of the rated capacity (chosen here).
pub(super) const RATE: f64 = 0.2;
/// Error of a counter: 1 % and 0.05 A.
const COUNT: (f64, f64) = (0.01, 0.05);

/// A module that is to be brought down.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargedModule {
    /// Kind of cell.
    pub chemistry: CellKind,
    /// Cells in series.
    pub cells: u32,
    /// Rated capacity, ampere-hours: the largest that it may have.
    pub capacity_ah: Decimal,
    /// The most that it may hold, per cent.
    pub high_percent: Decimal,
    /// The limit to be proved, per cent.
    pub limit_percent: Decimal,
    /// The maker's own table.
    pub curve: Option<MakerCurve>,
    /// The load that the crew has.
    pub load: Option<CrewLoad>,
}

/// A row of the sheet that is foreseen, if the module holds the most it may.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DischargeMark {
    /// Minutes since the start.
    pub minute: u32,
    /// Volts at the poles under load.
    pub voltage_v: Decimal,
}

/// The discharge that is foreseen; times rounded up, so that nobody waits for less.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DischargePlan {
    /// Where to stop, per cent.
    pub target_percent: Decimal,
    /// Highest rested cell that proves the limit, volts; `None`: only counting proves it.
    pub proving_cell_v: Option<Decimal>,
    /// Greatest current, amperes.
    pub current_a: Decimal,
    /// A resistor that draws no more than that, ohms, rounded up.
    pub resistor_ohm: Decimal,
    /// Watts that the load must bear, rounded up.
    pub load_w: Decimal,
    /// Watt-hours into the load.
    pub energy_wh: Decimal,
    /// Minutes at that current.
    pub minutes: u32,
    /// Minutes with that resistor.
    pub minutes_by_resistor: u32,
    /// Kelvin that the module warms by itself, no heat lost.
    pub rise_k: Decimal,
    /// Least voltage of a cell under load, volts (from memory; the maker's goes before it).
    pub least_cell_v: Decimal,
    /// Ampere-hours that a counter of ±1 % and 0.05 A must show to prove the limit by counting.
    pub counted_ah: Decimal,
    /// Whether a cell would come to its least voltage before the target.
    pub ends_early: bool,
    /// What is foreseen at each reading, at that current.
    pub marks: Vec<DischargeMark>,
    /// By the load that the crew has; in words where the module cannot feed it.
    pub by_load: Option<Result<ByLoad, String>>,
}

impl DischargePlan {
    /// By the load that the crew has, where nothing speaks against it.
    #[must_use]
    pub fn by_good_load(&self) -> Option<&ByLoad> {
        let found = self.by_load.as_ref()?.as_ref().ok()?;
        found.faults.is_empty().then_some(found)
    }
}

/// The discharge of a module from the most it may hold; `None` where it holds no more than the
/// target already, so that only a reading is missing.
///
/// # Errors
/// A chemistry without a curve, no cells, no capacity, a table of the maker that falls.
pub fn module_discharge(module: &ChargedModule) -> Result<Option<DischargePlan>, DomainError> {
    let limit = module.limit_percent.to_f64();
    let proving = proving_volts(
        module.chemistry,
        module.curve.as_ref(),
        limit,
        CELL_ERROR_MV,
    );
    let own = module.curve.as_ref().map(MakerCurve::read).transpose()?;
    let group: Vec<&Curve> = match &own {
        Some(curve) => vec![curve],
        None => published(module.chemistry).to_vec(),
    };
    let target = match proving {
        Some(volts) => group
            .iter()
            .map(|curve| curve.state_of_charge(volts) * 100.0)
            .fold(limit, f64::min),
        None => (limit - 5.0).max(0.0),
    };
    let target = libm::floor(target + 1e-9);
    let high = module.high_percent.to_f64();
    if high <= target {
        return Ok(None);
    }
    let capacity = module.capacity_ah.to_f64();
    let ohm = if module.chemistry == CellKind::Lfp {
        0.012
    } else {
        0.020
    };
    let input = DischargeInput {
        chemistry: module.chemistry,
        cells: module.cells,
        capacity_ah: capacity,
        from_percent: high,
        to_percent: target,
        module_resistance_ohm: ohm,
        load: Load::Current {
            ampere: capacity * RATE,
        },
        minimum_cell_v: None,
        mass_kg: None,
        greatest_current_a: None,
        curve: module.curve.clone(),
    };
    let mut marks: Vec<DischargeMark> = Vec::new();
    let answer = watched(&input, &mut |seconds, _, at| mark(&mut marks, seconds, at))?;
    let crew = module.load.as_ref().map(|load| by_load(&input, load));
    let crew_hours = match &crew {
        Some(Ok(found)) if found.faults.is_empty() => f64::from(found.minutes) / 60.0,
        _ => 0.0,
    };
    let resistor = libm::ceil(answer.start.voltage_v / (capacity * RATE) * 10.0) / 10.0;
    let by_resistor = watched(
        &DischargeInput {
            load: Load::Resistor { ohm: resistor },
            ..input
        },
        &mut |_, _, _| {},
    )?;
    let hours = f64::max(answer.hours, by_resistor.hours).max(crew_hours);
    let wanted = (high - limit).max(0.0) / 100.0 * capacity;
    // The casts saturate, and the values are small.
    let minutes = |hours: f64| libm::ceil(hours * 60.0) as u32;
    Ok(Some(DischargePlan {
        target_percent: thousandths(target, 1.0, libm::floor),
        proving_cell_v: proving.map(|volts| thousandths(volts, 1000.0, libm::floor)),
        current_a: thousandths(capacity * RATE, 10.0, libm::floor),
        resistor_ohm: thousandths(resistor, 10.0, libm::ceil),
        load_w: thousandths(answer.start.power_w, 1.0, libm::ceil),
        energy_wh: thousandths(answer.energy_wh, 1.0, libm::ceil),
        minutes: minutes(answer.hours),
        minutes_by_resistor: minutes(by_resistor.hours),
        rise_k: thousandths(answer.temperature_rise_k, 10.0, libm::ceil),
        least_cell_v: thousandths(usual_minimum_v(module.chemistry), 10.0, libm::round),
        counted_ah: thousandths(
            (wanted + COUNT.1 * hours) / (1.0 - COUNT.0),
            10.0,
            libm::ceil,
        ),
        ends_early: answer.ended == Ended::CellMinimum,
        marks,
        by_load: crew.map(|found| found.map_err(|error| error.to_string())),
    }))
}

/// Adds a row of the sheet where its minute has come.
pub(super) fn mark(marks: &mut Vec<DischargeMark>, seconds: f64, at: AtLoad) {
    let next = marks.last().map_or(0, |mark| mark.minute + READ_EVERY_MIN);
    if seconds / 60.0 + 1e-9 >= f64::from(next) {
        marks.push(DischargeMark {
            minute: next,
            voltage_v: thousandths(at.voltage_v, 100.0, libm::round),
        });
    }
}

/// A decimal of `parts` to the unit, at most a thousand; noise of the last bits is no part.
pub(super) fn thousandths(value: f64, parts: f64, round: fn(f64) -> f64) -> Decimal {
    let whole = round(libm::round(value * parts * 1e6) / 1e6);
    Decimal::from_thousandths((whole * (1000.0 / parts)) as i64)
}
