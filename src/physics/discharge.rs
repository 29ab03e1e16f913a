//! How long a load takes to bring a module down to a target, and what gets warm meanwhile.
//!
//! The cell's open-circuit curve at 25 °C less current × module resistance, stepped by a second
//! (longer for discharges over 55 h). Module's own heat is I²R with none lost. Not covered: cells
//! that differ, a resistance that rises when cold or empty, the load's own limits. Whether a module
//! may be discharged at all is a question of its findings, asked before this one.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::curves::{CellKind, Curve, published_named};
use super::domain::{DomainError, above_zero, not_below_zero, round, within};
use super::rested_reading::MakerCurve;

/// A load.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Load {
    /// A resistor.
    Resistor {
        /// Ohms, above 0.
        ohm: f64,
    },
    /// Constant power.
    Power {
        /// Watts, above 0.
        watt: f64,
    },
    /// Constant current.
    Current {
        /// Amperes, above 0.
        ampere: f64,
    },
}

/// A module and its load.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DischargeInput {
    /// Kind of cell.
    pub chemistry: CellKind,
    /// Cells in series, 1 to 1000.
    pub cells: u32,
    /// Capacity, ampere-hours: the largest the module may have.
    pub capacity_ah: f64,
    /// State of charge at the start, per cent: the upper bound.
    pub from_percent: f64,
    /// State of charge to stop at, per cent, below the start.
    pub to_percent: f64,
    /// Resistance of the module, ohms.
    pub module_resistance_ohm: f64,
    /// The load.
    pub load: Load,
    /// Stop when a cell under load falls to this, volts; 2.5 LFP, 3.0 NMC, NCA, NCO and LCO, 1.8
    /// LTO, 2.0 sodium ion where absent (from memory).
    #[serde(default)]
    pub minimum_cell_v: Option<f64>,
    /// Mass that gets warm, kilograms; 0.0281 (LFP) or 0.0283 kg for each ampere-hour of each cell
    /// where absent (chosen here).
    #[serde(default)]
    pub mass_kg: Option<f64>,
    /// The maker's greatest continuous current, amperes; 0.2 of the capacity where absent.
    #[serde(default)]
    pub greatest_current_a: Option<f64>,
    /// The maker's own table.
    #[serde(default)]
    pub curve: Option<MakerCurve>,
}

/// What the load sees.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct AtLoad {
    /// Volts.
    pub voltage_v: f64,
    /// Amperes.
    pub current_a: f64,
    /// Watts into the load.
    pub power_w: f64,
}

/// Why it ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Ended {
    /// The target was reached.
    TargetReached,
    /// A cell came to its least voltage first.
    CellMinimum,
}

/// The discharge.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DischargeAnswer {
    /// Hours.
    pub hours: f64,
    /// Ampere-hours taken out: what a counter at the load is to show.
    pub charge_ah: f64,
    /// Watt-hours into the load: all of it heat where it is a resistor.
    pub energy_wh: f64,
    /// At the start.
    pub start: AtLoad,
    /// At the end.
    pub end: AtLoad,
    /// First current over capacity, per hour.
    pub c_rate: f64,
    /// Kelvin that the module warms by its own resistance, no heat lost.
    pub temperature_rise_k: f64,
    /// Watt-hours that stay in the module as heat.
    pub inner_heat_wh: f64,
    /// State of charge at the end, per cent.
    pub end_percent: f64,
    /// Why it ended.
    pub ended: Ended,
    /// Limits of the discharge that it would break, and what was assumed.
    pub cautions: Vec<String>,
}

/// More steps than this are made longer.
const MOST_STEPS: f64 = 200_000.0;

/// The discharge of a module through a load.
///
/// # Errors
/// Values outside their ranges; a load that the module cannot feed.
pub fn discharge(input: &DischargeInput) -> Result<DischargeAnswer, DomainError> {
    watched(input, &mut |_, _, _| {})
}

/// The same; `watch` is told the seconds, the state of charge (0 to 1) and what the load sees, at
/// the start of every step.
pub(super) fn watched(
    input: &DischargeInput,
    watch: &mut dyn FnMut(f64, f64, AtLoad),
) -> Result<DischargeAnswer, DomainError> {
    let own = input.curve.as_ref().map(MakerCurve::read).transpose()?;
    let curve = match &own {
        Some(curve) => curve,
        None => usual_curve(input.chemistry)?,
    };
    if !(1..=1000).contains(&input.cells) {
        return Err(DomainError::new(
            "cells",
            input.cells,
            "1 to 1000 cells in series",
        ));
    }
    let cells = f64::from(input.cells);
    let capacity = above_zero("capacity_ah", input.capacity_ah)?;
    let from = within("from_percent", input.from_percent, 0.0, 100.0)? / 100.0;
    let to = within("to_percent", input.to_percent, 0.0, 100.0)? / 100.0;
    if to > from {
        return Err(DomainError::new(
            "to_percent",
            input.to_percent,
            format!("no more than from_percent, {} %", input.from_percent),
        ));
    }
    let inner = not_below_zero("module_resistance_ohm", input.module_resistance_ohm)?;
    let least = match input.minimum_cell_v {
        Some(volts) => within("minimum_cell_v", volts, 0.5, 5.0)?,
        None => usual_minimum_v(input.chemistry),
    };
    let at = |soc: f64| at_load(input.load, cells * curve.voltage(soc), inner);
    let start = at(from)?;
    // A tenth of a second is finer than any clock at the load.
    let estimate_s = (from - to) * capacity * 3600.0 / start.current_a;
    let step_s = f64::max(1.0, estimate_s / MOST_STEPS);
    let (mut soc, mut seconds, mut joules, mut heat) = (from, 0.0, 0.0, 0.0);
    let mut end = start;
    let mut ended = Ended::TargetReached;
    while soc > to {
        watch(seconds, soc, end);
        if end.voltage_v / cells <= least {
            ended = Ended::CellMinimum;
            break;
        }
        let whole = end.current_a * step_s / (3600.0 * capacity);
        // A load is switched off at a whole second; longer steps end where the target is.
        let part = if step_s > 1.0 {
            f64::min(1.0, (soc - to) / whole)
        } else {
            1.0
        };
        seconds += step_s * part;
        joules += end.power_w * step_s * part;
        heat += end.current_a * end.current_a * inner * step_s * part;
        soc = if part < 1.0 { to } else { soc - whole };
        match at(soc) {
            Ok(next) => end = next,
            // The voltage has sagged until the power cannot be drawn any more.
            Err(_) => {
                ended = Ended::CellMinimum;
                break;
            }
        }
    }
    let mass = match input.mass_kg {
        Some(kg) => above_zero("mass_kg", kg)?,
        None => capacity * cells * usual_mass(input.chemistry),
    };
    let rise = heat / (mass * heat_capacity(input.chemistry));
    let mut cautions = Vec::new();
    let most = match input.greatest_current_a {
        Some(ampere) => above_zero("greatest_current_a", ampere)?,
        None => 0.2 * capacity,
    };
    let highest = start.current_a.max(end.current_a);
    if highest > most {
        cautions.push(format!(
            "{highest:.1} A is above {most:.1} A: the maker's continuous figure, else 0.2 of the \
             capacity (chosen here)"
        ));
    }
    if rise > 10.0 {
        cautions.push(format!(
            "{rise:.1} K rise: more than 10 K stops the discharge (chosen here)"
        ));
    }
    cautions.push(
        "stop at 45 degC on any surface, or with a cell 5 K above its neighbours; 10 to 35 degC around \
         it, and somebody in the room (chosen here)"
            .into(),
    );
    if ended == Ended::CellMinimum {
        cautions.push(format!(
            "a cell comes to {least} V under load at {:.1} %, before the target",
            soc * 100.0
        ));
    }
    Ok(DischargeAnswer {
        hours: round(seconds / 3600.0, 3),
        charge_ah: round((from - soc) * capacity, 2),
        energy_wh: round(joules / 3600.0, 1),
        start: start.rounded(),
        end: end.rounded(),
        c_rate: round(start.current_a / capacity, 3),
        temperature_rise_k: round(rise, 2),
        inner_heat_wh: round(heat / 3600.0, 2),
        end_percent: round(soc * 100.0, 1),
        ended,
        cautions,
    })
}

impl AtLoad {
    fn rounded(self) -> Self {
        Self {
            voltage_v: round(self.voltage_v, 3),
            current_a: round(self.current_a, 3),
            power_w: round(self.power_w, 1),
        }
    }
}

fn at_load(load: Load, open_v: f64, inner: f64) -> Result<AtLoad, DomainError> {
    let current_a = match load {
        Load::Resistor { ohm } => open_v / (above_zero("load.ohm", ohm)? + inner),
        Load::Current { ampere } => above_zero("load.ampere", ampere)?,
        Load::Power { watt } => {
            let watt = above_zero("load.watt", watt)?;
            let root = open_v * open_v - 4.0 * inner * watt;
            if root < 0.0 {
                return Err(DomainError::new(
                    "load.watt",
                    watt,
                    "powers that the module can give: at most V²/4R",
                ));
            }
            // The form that does not lose digits where the resistance is small.
            2.0 * watt / (open_v + libm::sqrt(root))
        }
    };
    let voltage_v = open_v - current_a * inner;
    if voltage_v <= 0.0 {
        return Err(DomainError::new(
            "load",
            format!("{current_a} A"),
            "currents below the module's short-circuit current",
        ));
    }
    Ok(AtLoad {
        voltage_v,
        current_a,
        power_w: voltage_v * current_a,
    })
}

fn usual_curve(kind: CellKind) -> Result<&'static Curve, DomainError> {
    let name = match kind {
        CellKind::Lfp => "lfp_bpx2022",
        CellKind::Nmc => "nmc_bpx2022",
        CellKind::Nca => "nca_kim2011",
        CellKind::Nco => "nco_ecker2015",
        CellKind::Lco => "lco_ai2020",
        CellKind::SodiumIon => "naion_chayambuka2022",
        CellKind::Lto => "lto_constructed",
        CellKind::Unknown => "",
    };
    published_named(name).ok_or_else(|| {
        DomainError::new(
            "chemistry",
            "unknown",
            "a known chemistry, or the maker's own table",
        )
    })
}

pub(super) const fn usual_minimum_v(kind: CellKind) -> f64 {
    match kind {
        CellKind::Lfp => 2.5,
        CellKind::Lto => 1.8,
        CellKind::SodiumIon => 2.0,
        _ => 3.0,
    }
}

const fn usual_mass(kind: CellKind) -> f64 {
    match kind {
        CellKind::Lfp => 0.0281,
        _ => 0.0283,
    }
}

/// J/(kg K), read in the two BPX example files.
const fn heat_capacity(kind: CellKind) -> f64 {
    match kind {
        CellKind::Lfp => 999.0,
        _ => 913.0,
    }
}
