//! The charge of one module of a job: its exact readings in, an interval that holds out.
//!
//! The sum is that of `state_of_charge`; here the digits of the record become its input and the
//! bounds become exact decimals again, rounded outwards to 0.1 %, so that no rounding narrows them.

use super::curves::{CellKind, published};
use super::domain::DomainError;
use super::rested_reading::{
    CoulombCount, LastCurrent, MakerCurve, ManagementValue, Meter, RestedReading, StableReadings,
};
use super::state_of_charge::{Proof, state_of_charge};
use crate::units::Decimal;

/// Accuracy of an instrument as its record has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MeterRecord {
    /// Per cent of the reading.
    pub percent_of_reading: Decimal,
    /// Counts of the last digit.
    pub digits: u32,
}

/// Charge counted from a known point, as entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counted {
    /// Greatest state of charge at the known point, per cent.
    pub anchor_high_percent: Decimal,
    /// Ampere-hours taken out since.
    pub removed_ah: Decimal,
    /// Gain error of the counter, per cent.
    pub gain_error_percent: Decimal,
    /// Offset of the counter, amperes.
    pub offset_a: Decimal,
    /// Hours counted.
    pub hours: Decimal,
    /// Rated capacity, ampere-hours: the largest that the module may have.
    pub rated_capacity_ah: Decimal,
}

/// What a job knows of one module's charge at one time; `None` is not known.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ModuleEvidence {
    /// Kind of cell.
    pub chemistry: CellKind,
    /// Cells in series.
    pub cells: Option<u32>,
    /// Nominal voltage of the plate, volts.
    pub nominal_voltage_v: Option<Decimal>,
    /// Pole to pole, volts, with the digits that the meter showed.
    pub terminal_voltage_v: Option<Decimal>,
    /// Lowest cell, volts.
    pub cell_voltage_lowest_v: Option<Decimal>,
    /// Highest cell, volts.
    pub cell_voltage_highest_v: Option<Decimal>,
    /// Error of the cell values, millivolts, where whoever read them says it.
    pub cell_voltage_error_mv: Option<Decimal>,
    /// Greatest distance of a cell from the mean, millivolts.
    pub cell_spread_mv: Option<Decimal>,
    /// The meter of the pole to pole reading.
    pub meter: Option<MeterRecord>,
    /// Surface, degrees Celsius.
    pub temperature_c: Option<Decimal>,
    /// Minutes without current.
    pub rested_min: Option<u32>,
    /// Current at the reading, amperes.
    pub current_a: Option<Decimal>,
    /// Which way the last current went.
    pub last: LastCurrent,
    /// Two readings of the module, volts, and the minutes between them.
    pub stable: Option<(Decimal, Decimal, Decimal)>,
    /// Value of the management system and its accuracy, per cent.
    pub management: Option<(Decimal, Option<Decimal>)>,
    /// A finding stands against the management system.
    pub management_doubtful: bool,
    /// A finding says that a cell is outside its limits: the voltage does not speak.
    pub voltage_doubtful: bool,
    /// Charge counted.
    pub counted: Option<Counted>,
    /// The maker's own table.
    pub curve: Option<MakerCurve>,
    /// The limit that a leg asks for, per cent.
    pub limit_percent: Option<Decimal>,
}

/// What the evidence amounts to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ModuleCharge {
    /// Lower bound, per cent of present capacity, rounded down to 0.1.
    pub low_percent: Decimal,
    /// Upper bound by what may prove, rounded up to 0.1.
    pub high_percent: Decimal,
    /// Whether any evidence narrowed it.
    pub narrowed: bool,
    /// Whether the rested voltage is part of it, and the sum of its error terms, millivolts.
    pub voltage_error_mv: Option<Decimal>,
    /// Curves in play.
    pub curves: Vec<String>,
    /// The verdict on the limit.
    pub verdict: Proof,
    /// Highest rested cell that would prove the limit, volts.
    pub proving_cell_voltage_v: Option<Decimal>,
    /// The evidence contradicts itself.
    pub contradiction: bool,
    /// Why it is not proven, and what to do.
    pub reasons: Vec<String>,
}

impl ModuleEvidence {
    /// Whether there is anything to judge by.
    #[must_use]
    pub const fn says_something(&self) -> bool {
        self.terminal_voltage_v.is_some()
            || self.cell_voltage_highest_v.is_some()
            || self.management.is_some()
            || self.counted.is_some()
    }

    /// Why the plate is not one of a battery of this chemistry and these cells. The maker's own curve
    /// goes before the kind.
    fn nominal_fault(&self) -> Option<String> {
        let (nominal, cells) = self.nominal_voltage_v.zip(self.cells)?;
        let kind = Some(self.chemistry).filter(|_| self.curve.is_none())?;
        kind.nominal_fault(nominal.to_f64(), cells)
    }

    fn reading(&self) -> Result<RestedReading, DomainError> {
        let float = |value: Option<Decimal>| value.map(Decimal::to_f64);
        let no_voltage =
            self.voltage_doubtful || self.cells.is_none() || self.nominal_fault().is_some();
        let cells = self.cells.unwrap_or(1);
        // Only the lowest and the highest cell decide; the others lie between them.
        let taps = match (self.cell_voltage_lowest_v, self.cell_voltage_highest_v) {
            (Some(low), Some(high)) if !no_voltage => {
                if low > high {
                    return Err(DomainError::new(
                        "cell_voltage_lowest_v",
                        low,
                        "not above cell_voltage_highest_v",
                    ));
                }
                let mut taps = vec![high.to_f64(); cells.clamp(1, 1000) as usize];
                if let Some(first) = taps.first_mut().filter(|_| cells > 1) {
                    *first = low.to_f64();
                }
                Some(taps)
            }
            _ => None,
        };
        let instrument = if taps.is_some() {
            let written = finer(self.cell_voltage_lowest_v, self.cell_voltage_highest_v);
            Some(match self.cell_voltage_error_mv {
                Some(error) => Meter {
                    percent_of_reading: 0.0,
                    digits: 1.0,
                    resolution_v: error.magnitude().to_f64() / 1000.0,
                },
                None => Meter {
                    resolution_v: written,
                    ..Meter::NOT_KNOWN
                },
            })
        } else {
            let written = finer(self.terminal_voltage_v, None);
            Some(self.meter.map_or(
                Meter {
                    resolution_v: written,
                    ..Meter::NOT_KNOWN
                },
                |record| Meter {
                    percent_of_reading: record.percent_of_reading.to_f64(),
                    digits: f64::from(record.digits),
                    resolution_v: written,
                },
            ))
        };
        Ok(RestedReading {
            chemistry: self.chemistry,
            cells,
            module_voltage_v: float(self.terminal_voltage_v).filter(|_| !no_voltage),
            cell_voltages_v: taps,
            cell_spread_mv: float(self.cell_spread_mv),
            instrument: instrument.filter(|meter| meter.resolution_v > 0.0),
            temperature_c: float(self.temperature_c),
            rested_h: self.rested_min.map(|minutes| f64::from(minutes) / 60.0),
            current_a: float(self.current_a),
            last: self.last,
            limit_percent: float(self.limit_percent),
            curve: self.curve.clone(),
            stable_readings: self.stable.map(|(first, second, minutes)| StableReadings {
                first_v: first.to_f64(),
                second_v: second.to_f64(),
                minutes_apart: minutes.to_f64(),
            }),
            cell_minimum_v: None,
            cell_maximum_v: None,
            management: self.management.map(|(percent, accuracy)| ManagementValue {
                percent: percent.to_f64(),
                accuracy_percent: accuracy.map(|a| a.magnitude().to_f64()),
            }),
            management_doubtful: self.management_doubtful,
            coulomb: self.counted.map(|count| CoulombCount {
                anchor_high_percent: count.anchor_high_percent.to_f64(),
                removed_ah: count.removed_ah.to_f64(),
                gain_error_percent: count.gain_error_percent.to_f64(),
                offset_a: count.offset_a.to_f64(),
                hours: count.hours.to_f64(),
                largest_capacity_ah: count.rated_capacity_ah.to_f64(),
            }),
        })
    }
}

/// The last place that was written, volts: of two figures of one display the finer, since a
/// trailing zero may have been left out.
fn finer(a: Option<Decimal>, b: Option<Decimal>) -> f64 {
    let place = |value: Decimal| value.last_place().to_f64();
    a.into_iter().chain(b).map(place).fold(1.0, f64::min)
}

/// The charge of a module by its evidence.
///
/// # Errors
/// Impossible input: see [`state_of_charge`].
pub fn module_charge(evidence: &ModuleEvidence) -> Result<ModuleCharge, DomainError> {
    let verdict = state_of_charge(&evidence.reading()?)?;
    let mut reasons = verdict.reasons;
    if evidence.voltage_doubtful {
        reasons.insert(
            0,
            "a finding says that a cell is outside its limits: its voltage does not count".into(),
        );
    }
    if let Some(fault) = evidence.nominal_fault() {
        reasons.insert(0, format!("{fault}; the voltage does not count").into());
    }
    if evidence.cells.is_none() {
        reasons.insert(
            0,
            "the number of cells in series is not known: the voltage does not count".into(),
        );
    }
    let tenth = |value: f64, up: bool| {
        // Noise of the last bits is no tenth of a per cent.
        let tenths = libm::round(value * 1e7) / 1e6;
        let whole = if up {
            libm::ceil(tenths)
        } else {
            libm::floor(tenths)
        };
        Decimal::from_thousandths(whole.clamp(0.0, 1000.0) as i64 * 100)
    };
    Ok(ModuleCharge {
        low_percent: tenth(verdict.low_percent, false),
        high_percent: tenth(verdict.proved_high_percent, true),
        narrowed: verdict.low_percent > 0.0 || verdict.proved_high_percent < 100.0,
        voltage_error_mv: verdict
            .error_mv
            .map(|mv| Decimal::from_thousandths(libm::ceil(mv * 100.0 - 1e-6) as i64 * 10)),
        curves: verdict.curves.iter().map(ToString::to_string).collect(),
        verdict: verdict.verdict,
        proving_cell_voltage_v: verdict
            .proving_cell_voltage_v
            .map(|volts| Decimal::from_thousandths(libm::round(volts * 1000.0) as i64)),
        contradiction: verdict.contradiction,
        reasons: reasons.iter().map(ToString::to_string).collect(),
    })
}

/// Highest rested cell that proves a limit at 25 °C with cell values of this error, volts; `None`
/// where no voltage proves it without the maker's own table.
#[must_use]
pub fn proving_cell_voltage(
    chemistry: CellKind,
    limit: Decimal,
    error_mv: Decimal,
) -> Option<Decimal> {
    let volts = proving_volts(chemistry, None, limit.to_f64(), error_mv.to_f64())?;
    Some(Decimal::from_thousandths(libm::round(volts * 1000.0) as i64))
}

/// The same in volts, with the maker's own table where there is one.
pub(super) fn proving_volts(
    chemistry: CellKind,
    curve: Option<&MakerCurve>,
    limit_percent: f64,
    error_mv: f64,
) -> Option<f64> {
    let middle = match curve {
        Some(own) => own.read().ok()?.voltage(0.5),
        None => published(chemistry).first()?.voltage(0.5),
    };
    let reading = RestedReading {
        chemistry,
        cells: 1,
        cell_voltages_v: Some(vec![middle]),
        instrument: Some(Meter {
            percent_of_reading: 0.0,
            digits: 1.0,
            resolution_v: error_mv / 1000.0,
        }),
        temperature_c: Some(25.0),
        rested_h: Some(24.0),
        current_a: Some(0.0),
        limit_percent: Some(limit_percent),
        curve: curve.cloned(),
        ..RestedReading::default()
    };
    state_of_charge(&reading).ok()?.proving_cell_voltage_v
}
