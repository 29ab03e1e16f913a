//! State of charge from a rested open-circuit voltage: bounds that hold, and a verdict on a limit.
//!
//! e = meter + hysteresis + rest + temperature + curve, added up because the bound must hold.
//! Lower bound: the least of every curve of the group at the lowest cell − e; upper: the greatest
//! at the highest cell + e. Proven where the upper bound is at the limit or below, disproven where
//! the lower is above it, else not proven, which is an answer. Volts a cell, per cent of *present*
//! capacity, 5 to 35 °C. Sources: relaxation doi 10.3390/batteries11050186 and batteries8080077
//! (abstracts); every other allowance is chosen here and said so beside it. Not covered: aged
//! cells whose curve has shifted; single cells hidden behind a module voltage of unknown spread.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::charge_reasons::{ChargeReason, Reasons, next_action};
use super::curves::{CellKind, Curve, CurveNames, group_of};
use super::domain::{DomainError, above_zero, not_below_zero, round, within};
use super::rested_reading::{CoulombCount, LastCurrent, MakerCurve, Meter, RestedReading};

macro_rules! text {
    ($($part:tt)*) => { ChargeReason::from(format!($($part)*)) };
}

/// Whether a state of charge is at a limit or below.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Proof {
    /// It is, whatever the errors.
    Proven,
    /// It is not, whatever the errors.
    Disproven,
    /// The evidence does not decide.
    NotProven,
}

/// The terms of the error of one cell, millivolts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct ErrorTerms {
    /// Meter.
    pub meter_mv: f64,
    /// Charge and discharge branch.
    pub hysteresis_mv: f64,
    /// Relaxation that is left.
    pub rest_mv: f64,
    /// Distance from 25 °C.
    pub temperature_mv: f64,
    /// Doubt in the curve.
    pub curve_mv: f64,
}

/// The bounds and what they decide. Voltages in volts a cell.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ChargeVerdict {
    /// Lower bound, per cent of present capacity.
    pub low_percent: f64,
    /// Upper bound, per cent of present capacity.
    pub high_percent: f64,
    /// Upper bound by the evidence that may prove: a rest that is too short for its chemistry bounds
    /// but proves nothing.
    #[serde(skip)]
    pub proved_high_percent: f64,
    /// Sum of all error terms of a cell; absent where the voltage says nothing.
    pub error_mv: Option<f64>,
    /// Meter term of it.
    pub meter_error_mv: Option<f64>,
    /// Every term of it.
    pub error_terms: Option<ErrorTerms>,
    /// The verdict.
    pub verdict: Proof,
    /// The limit, per cent.
    pub limit_percent: f64,
    /// Highest rested cell that would prove it with this meter; rounded down to a millivolt.
    pub proving_cell_voltage_v: Option<f64>,
    /// The curves in play.
    pub curves: CurveNames,
    /// Bounds of each evidence by itself disagree: a finding.
    pub contradiction: bool,
    /// Why it is not proven, and what to do.
    pub reasons: Vec<ChargeReason>,
}

/// What the voltage alone says.
struct FromVoltage {
    low: f64,
    high: f64,
    terms: ErrorTerms,
    proving: Option<f64>,
    curves: CurveNames,
    may_prove: bool,
}

const LFP_REST_H: f64 = 24.0;

/// The bounds of a reading, unrounded where a rule is to be decided by them.
///
/// # Errors
/// Impossible input: a table that falls, cells outside 1 to 1000, negative errors, voltages
/// outside 0 to 5 V a cell.
pub fn state_of_charge(reading: &RestedReading) -> Result<ChargeVerdict, DomainError> {
    let limit = within(
        "limit_percent",
        reading.limit_percent.unwrap_or(30.0),
        0.0,
        100.0,
    )?;
    let mut reasons = Vec::new();
    let voltage = from_voltage(reading, limit, &mut reasons)?;
    let (mut low, mut high) = (0.0, 100.0);
    let mut contradiction = false;
    // The upper bound by evidence that may prove; a short rest bounds but proves nothing.
    let mut proved_high = 100.0;
    let mut anything = false;
    let mut narrow = |bounds: (f64, f64), may_prove: bool| {
        if may_prove {
            proved_high = f64::min(proved_high, bounds.1);
        }
        low = f64::max(low, bounds.0);
        high = f64::min(high, bounds.1);
        anything = true;
        contradiction |= low > high;
    };
    if let Some(found) = &voltage {
        narrow((found.low * 100.0, found.high * 100.0), found.may_prove);
    }
    if let Some(counted) = reading.coulomb {
        narrow((0.0, counted_high(&counted)?), true);
    }
    if let Some(value) = reading.management {
        let percent = within("management.percent", value.percent, 0.0, 100.0)?;
        let accuracy = not_below_zero(
            "management.accuracy_percent",
            value.accuracy_percent.unwrap_or(5.0),
        )?;
        if reading.management_doubtful {
            reasons.push("the management value is doubted by a finding and does not count".into());
        } else {
            let bounds = (
                (percent - accuracy).max(0.0),
                (percent + accuracy).min(100.0),
            );
            narrow(bounds, true);
        }
    }
    let mut verdict = if !anything {
        Proof::NotProven
    } else if high <= limit {
        Proof::Proven
    } else if low > limit {
        Proof::Disproven
    } else {
        Proof::NotProven
    };
    if contradiction {
        reasons.push(text!(
            "the evidence contradicts itself: at least {low:.1} % and at most {high:.1} %; record \
             finding F37 and read again"
        ));
        (low, high) = (0.0, 100.0);
        proved_high = 100.0;
        verdict = Proof::NotProven;
    } else if verdict == Proof::Proven && proved_high > limit {
        reasons.push(text!(
            "rest: lithium iron phosphate proves nothing before {LFP_REST_H} h without current"
        ));
        verdict = Proof::NotProven;
    }
    let proving = voltage.as_ref().and_then(|found| found.proving);
    if verdict == Proof::NotProven {
        next_action(&mut reasons, limit, high, proving);
    }
    Ok(ChargeVerdict {
        low_percent: low,
        high_percent: high,
        proved_high_percent: proved_high,
        error_mv: voltage.as_ref().map(|found| found.terms.sum()),
        meter_error_mv: voltage.as_ref().map(|found| found.terms.meter_mv),
        error_terms: voltage.as_ref().map(|found| found.terms),
        verdict,
        limit_percent: limit,
        proving_cell_voltage_v: proving,
        curves: voltage.map(|found| found.curves).unwrap_or_default(),
        contradiction,
        reasons,
    })
}

impl ErrorTerms {
    fn sum(&self) -> f64 {
        self.meter_mv + self.allowances()
    }

    fn allowances(&self) -> f64 {
        self.hysteresis_mv + self.rest_mv + self.temperature_mv + self.curve_mv
    }
}

impl ChargeVerdict {
    /// The same with figures as people read them: 0.1 %, 0.01 mV. The verdict stands as decided
    /// on the unrounded ones.
    #[must_use]
    pub fn rounded(mut self) -> Self {
        self.low_percent = round(self.low_percent, 1);
        self.high_percent = round(self.high_percent, 1);
        for value in [&mut self.error_mv, &mut self.meter_error_mv] {
            *value = value.map(|mv| round(mv, 2));
        }
        if let Some(terms) = &mut self.error_terms {
            terms.meter_mv = round(terms.meter_mv, 2);
            terms.temperature_mv = round(terms.temperature_mv, 2);
        }
        self
    }
}

/// Greatest state of charge after charge was taken out, per cent.
fn counted_high(count: &CoulombCount) -> Result<f64, DomainError> {
    let anchor = within(
        "coulomb.anchor_high_percent",
        count.anchor_high_percent,
        0.0,
        100.0,
    )?;
    let removed = not_below_zero("coulomb.removed_ah", count.removed_ah)?;
    let gain = within(
        "coulomb.gain_error_percent",
        count.gain_error_percent,
        0.0,
        100.0,
    )?;
    let offset = not_below_zero("coulomb.offset_a", count.offset_a)?;
    let hours = not_below_zero("coulomb.hours", count.hours)?;
    let capacity = above_zero("coulomb.largest_capacity_ah", count.largest_capacity_ah)?;
    let sure = (removed * (1.0 - gain / 100.0) - offset * hours).max(0.0);
    // More out than the largest capacity would hold: the count or the anchor is wrong.
    if sure > capacity * anchor / 100.0 {
        return Err(DomainError::new(
            "coulomb.removed_ah",
            count.removed_ah,
            format!(
                "no more than the {anchor} % of {capacity} Ah that it began with: the count, the \
                 starting point or the capacity is wrong"
            ),
        ));
    }
    Ok(anchor - 100.0 * sure / capacity)
}

/// Lowest and highest cell, the meter's error on one in volts, and its slope with the cell's
/// voltage and its fixed part, for the proving voltage.
struct Cells {
    low: f64,
    high: f64,
    meter: f64,
    slope: f64,
    fixed: f64,
}

fn cells(reading: &RestedReading, reasons: &mut Reasons) -> Result<Option<Cells>, DomainError> {
    if !(1..=1000).contains(&reading.cells) {
        return Err(DomainError::new(
            "cells",
            reading.cells,
            "1 to 1000 cells in series",
        ));
    }
    let count = f64::from(reading.cells);
    if let Some(meter) = reading.instrument {
        not_below_zero("instrument.percent_of_reading", meter.percent_of_reading)?;
        not_below_zero("instrument.digits", meter.digits)?;
        above_zero("instrument.resolution_v", meter.resolution_v)?;
    }
    if let Some(volts) = reading.module_voltage_v {
        within("module_voltage_v", volts, 0.0, 5.0 * count)?;
    }
    if let Some(mv) = reading.cell_spread_mv {
        not_below_zero("cell_spread_mv", mv)?;
    }
    let taps = reading.cell_voltages_v.as_deref().unwrap_or_default();
    if !taps.is_empty() {
        if taps.len() != reading.cells as usize {
            return Err(DomainError::new(
                "cell_voltages_v",
                format!("{} values", taps.len()),
                "one value for each of `cells`",
            ));
        }
        let meter = reading.instrument.unwrap_or(Meter {
            resolution_v: 0.01,
            ..Meter::NOT_KNOWN
        });
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for volts in taps {
            within("cell_voltages_v", *volts, 0.0, 5.0)?;
            low = low.min(*volts);
            high = high.max(*volts);
        }
        let slope = meter.percent_of_reading / 100.0;
        let fixed = meter.digits * meter.resolution_v;
        return Ok(Some(Cells {
            low,
            high,
            meter: slope * high + fixed,
            slope,
            fixed,
        }));
    }
    let Some(volts) = reading.module_voltage_v else {
        reasons.push("no voltage was read".into());
        return Ok(None);
    };
    let Some(spread) = reading.cell_spread_mv else {
        reasons.push(
            "a module voltage says nothing of the cells: no cell values, and their spread is not \
             known from elsewhere"
                .into(),
        );
        return Ok(None);
    };
    let meter = reading.instrument.unwrap_or(Meter::NOT_KNOWN);
    let slope = meter.percent_of_reading / 100.0;
    let fixed = meter.digits * meter.resolution_v / count;
    let mean = volts / count;
    Ok(Some(Cells {
        low: mean - spread / 1000.0,
        high: mean + spread / 1000.0,
        meter: slope * mean + fixed,
        slope,
        fixed,
    }))
}

/// Whether the rest test lets the voltage speak, and whether it may prove.
fn rest(reading: &RestedReading, reasons: &mut Reasons) -> Result<(bool, bool), DomainError> {
    let Some(hours) = reading.rested_h else {
        reasons.push("how long it rested is not known; rest it 3 h, LFP 24 h".into());
        return Ok((false, false));
    };
    let hours = not_below_zero("rested_h", hours)?;
    if let Some(two) = reading.stable_readings {
        let apart = not_below_zero("stable_readings.minutes_apart", two.minutes_apart)?;
        let count = f64::from(reading.cells.max(1));
        let volts = |field: &str, value| within(field, value, 0.0, 5.0 * count);
        let first = volts("stable_readings.first_v", two.first_v)?;
        let second = volts("stable_readings.second_v", two.second_v)?;
        // A meter whose last place is coarser than a millivolt a cell cannot show that it stands still.
        let place = reading.instrument.unwrap_or(Meter::NOT_KNOWN).resolution_v / count;
        let shows = place <= 0.001 + 1e-12;
        if hours >= 1.0 && apart >= 30.0 && (first - second).abs() / count < 0.001 && shows {
            return Ok((true, true));
        }
        if !shows {
            reasons.push(text!(
                "the last place of the meter is {} mV a cell: too coarse to show that it stands still \
                 within 1 mV",
                round(place * 1000.0, 2)
            ));
        }
    }
    if hours < 3.0 {
        reasons.push(text!(
            "rested {} h; 3 h at the least, or after 1 h two readings 30 min apart that \
             differ by less than 1 mV a cell",
            round(hours, 2)
        ));
        return Ok((false, false));
    }
    // A cell of which only the maker's table is known may be iron phosphate.
    let rests_slowly = matches!(reading.chemistry, CellKind::Lfp | CellKind::Unknown);
    Ok((true, !rests_slowly || hours >= LFP_REST_H))
}

fn from_voltage(
    reading: &RestedReading,
    limit: f64,
    reasons: &mut Reasons,
) -> Result<Option<FromVoltage>, DomainError> {
    let own = reading.curve.as_ref().map(MakerCurve::read).transpose()?;
    let cells = cells(reading, reasons)?;
    let (rested, may_prove) = rest(reading, reasons)?;
    let mut speaks = rested;
    match reading.current_a {
        Some(ampere) if ampere.abs() <= 0.0 => {}
        Some(ampere) => {
            reasons.push(text!(
                "current is {ampere} A; only a cell without current is rested"
            ));
            speaks = false;
        }
        None => {
            reasons.push("the current is not known; it must be 0 A".into());
            speaks = false;
        }
    }
    let temperature = match reading.temperature_c {
        Some(c) if (5.0..=35.0).contains(&c) => c,
        Some(c) => {
            within("temperature_c", c, -90.0, 200.0)?;
            reasons.push(text!("surface is {c} °C; the sum holds for 5 to 35 °C"));
            return Ok(None);
        }
        None => {
            reasons.push("the surface temperature is not known".into());
            return Ok(None);
        }
    };
    let alone: [&Curve; 1];
    let (group, names): (&[&Curve], _) = match &own {
        Some(curve) => {
            alone = [curve];
            (&alone, Cow::Owned(vec![curve.name().clone()]))
        }
        None => {
            let (group, names) = group_of(reading.chemistry);
            (group, Cow::Borrowed(names))
        }
    };
    if group.is_empty() {
        reasons.push("the chemistry is not known".into());
        return Ok(None);
    }
    if own.is_none() && reading.chemistry.needs_makers_curve() {
        reasons.push(
            "no published curve is good enough for this chemistry; the maker's own table is needed"
                .into(),
        );
        return Ok(None);
    }
    let Some(cells) = cells else { return Ok(None) };
    let outside = reading
        .cell_minimum_v
        .is_some_and(|least| cells.low < least)
        || reading.cell_maximum_v.is_some_and(|most| cells.high > most);
    if outside {
        reasons.push("a cell is outside its maker's limits: record the finding".into());
        speaks = false;
    }
    if !speaks {
        return Ok(None);
    }
    let terms = ErrorTerms {
        meter_mv: cells.meter * 1000.0,
        hysteresis_mv: match reading.chemistry {
            // Half of a gap of up to 25 mV, read in a trade article.
            CellKind::Lfp => 12.5,
            // Chosen here, as are those below.
            CellKind::Nmc | CellKind::Nca | CellKind::Nco | CellKind::Lco => 5.0,
            CellKind::SodiumIon | CellKind::Lto => 10.0,
            CellKind::Unknown => 12.5,
        },
        rest_mv: 5.0,
        temperature_mv: 0.5 * (temperature - 25.0).abs(),
        // Half of what four curves of one chemistry differ by at 30 %.
        curve_mv: if own.is_none() && group.len() < 2 {
            52.0
        } else {
            0.0
        },
    };
    let e = terms.sum() / 1000.0;
    let below = match reading.last {
        LastCurrent::Discharging => e - terms.hysteresis_mv / 1000.0,
        _ => e,
    };
    let (mut low, mut high, mut lowest_at_limit) = (1.0_f64, 0.0_f64, f64::INFINITY);
    for curve in group {
        low = low.min(curve.state_of_charge(cells.low - below));
        high = high.max(curve.state_of_charge(cells.high + e));
        lowest_at_limit = lowest_at_limit.min(curve.voltage(limit / 100.0));
    }
    // V + slope·V + fixed + allowances = lowest curve at the limit, solved for V.
    let proving =
        (lowest_at_limit - cells.fixed - terms.allowances() / 1000.0) / (1.0 + cells.slope);
    Ok(Some(FromVoltage {
        low,
        high,
        terms,
        proving: (proving > 0.0).then(|| libm::floor(proving * 1000.0 + 1e-6) / 1000.0),
        curves: names,
        may_prove,
    }))
}
