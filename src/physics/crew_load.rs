//! A load that a crew has, against a module: how long, how many watts and amperes, and what speaks
//! against it.
//!
//! Its own rating is its plate's. Without the maker's figure the current stays within 0.2 of the
//! capacity and the module within 10 K of warming (both chosen here). Sums of `discharge`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::discharge::{AtLoad, DischargeInput, Ended, Load, watched};
use super::domain::DomainError;
use super::module_discharge::{DischargeMark, RATE, mark, thousandths};
use crate::units::Decimal;

/// What a load draws.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Draws {
    /// A resistor.
    Resistor {
        /// Ohms, above 0.
        ohm: Decimal,
    },
    /// Constant power, such as an inverter that feeds in.
    Power {
        /// Watts, above 0.
        watt: Decimal,
    },
    /// Constant current, such as an electronic load.
    Current {
        /// Amperes, above 0.
        ampere: Decimal,
    },
}

impl Draws {
    /// In words: `5 ohm`.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Resistor { ohm } => format!("{ohm} ohm"),
            Self::Power { watt } => format!("{watt} W"),
            Self::Current { ampere } => format!("{ampere} A"),
        }
    }

    fn load(self) -> Load {
        match self {
            Self::Resistor { ohm } => Load::Resistor { ohm: ohm.to_f64() },
            Self::Power { watt } => Load::Power {
                watt: watt.to_f64(),
            },
            Self::Current { ampere } => Load::Current {
                ampere: ampere.to_f64(),
            },
        }
    }
}

/// A load with the power that it bears.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CrewLoad {
    /// What it draws.
    pub draws: Draws,
    /// The most that it bears, watts.
    pub max_power_w: Decimal,
}

/// What the load sees at one end of the discharge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LoadPoint {
    /// Volts.
    pub voltage_v: Decimal,
    /// Amperes, rounded up.
    pub current_a: Decimal,
    /// Watts, rounded up.
    pub power_w: Decimal,
}

/// What speaks against a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadFault {
    /// More watts than it bears.
    Power(Decimal),
    /// More amperes than the module may give.
    Current(Decimal),
    /// The module warms by more kelvin than a discharge may.
    Rise(Decimal),
    /// A cell comes to its least voltage before the target.
    CellMinimum,
}

/// The discharge by a load of the crew.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ByLoad {
    /// Minutes, rounded up.
    pub minutes: u32,
    /// Watt-hours into the load, rounded up.
    pub energy_wh: Decimal,
    /// At the start.
    pub start: LoadPoint,
    /// At the end.
    pub end: LoadPoint,
    /// Kelvin that the module warms, no heat lost.
    pub rise_k: Decimal,
    /// What is foreseen at each reading.
    pub marks: Vec<DischargeMark>,
    /// What speaks against it; it is not used where anything does.
    pub faults: Vec<LoadFault>,
}

/// Most that a module may warm by its own resistance, kelvin (chosen here).
const RISE_K: f64 = 10.0;

/// The discharge of `input` by `load` instead of its own.
///
/// # Errors
/// As [`super::discharge::discharge`]: a load that the module cannot feed.
pub(super) fn by_load(input: &DischargeInput, load: &CrewLoad) -> Result<ByLoad, DomainError> {
    let mut marks = Vec::new();
    let input = DischargeInput {
        load: load.draws.load(),
        ..input.clone()
    };
    let answer = watched(&input, &mut |seconds, _, at| mark(&mut marks, seconds, at))?;
    let ends = [answer.start, answer.end];
    // A resistor draws most at the start, constant power most at the end.
    let most = |part: fn(&AtLoad) -> f64| ends.iter().map(part).fold(0.0, f64::max);
    let (current, power) = (most(|at| at.current_a), most(|at| at.power_w));
    let rate = input.greatest_current_a.unwrap_or(input.capacity_ah * RATE);
    let point = |at: AtLoad| LoadPoint {
        voltage_v: thousandths(at.voltage_v, 100.0, libm::round),
        current_a: thousandths(at.current_a, 100.0, libm::ceil),
        power_w: thousandths(at.power_w, 1.0, libm::ceil),
    };
    let rise_k = thousandths(answer.temperature_rise_k, 10.0, libm::ceil);
    let mut faults = Vec::new();
    if power > load.max_power_w.to_f64() {
        faults.push(LoadFault::Power(thousandths(power, 1.0, libm::ceil)));
    }
    if current > rate {
        faults.push(LoadFault::Current(thousandths(current, 100.0, libm::ceil)));
    }
    if answer.temperature_rise_k > RISE_K {
        faults.push(LoadFault::Rise(rise_k));
    }
    if answer.ended == Ended::CellMinimum {
        faults.push(LoadFault::CellMinimum);
    }
    Ok(ByLoad {
        // The cast saturates, and the value is small.
        minutes: libm::ceil(answer.hours * 60.0) as u32,
        energy_wh: thousandths(answer.energy_wh, 1.0, libm::ceil),
        start: point(answer.start),
        end: point(answer.end),
        rise_k,
        marks,
        faults,
    })
}
