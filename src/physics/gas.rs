//! Hydrogen fluoride and carbon monoxide: ppm and mg/m³, limits as cautions, what a fire gives off.
//!
//! mg/m³ = ppm·M/24.45 at 25 °C and 1 atm. HF 20 to 200 mg for each nominal Wh (published fire
//! tests, read). Clearing t = k·(V/Q)·ln(C0/C), well mixed, no further source; k 3 to 10 for poor
//! mixing (from memory). Not covered: other gases, explosion limits. A figure never says "enter".

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, absent, not_below_zero, round, within};

/// A gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Gas {
    /// Hydrogen fluoride.
    HydrogenFluoride,
    /// Carbon monoxide.
    CarbonMonoxide,
}

/// What is known of the air.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GasInput {
    /// The gas.
    pub gas: Gas,
    /// Concentration, parts in a million.
    #[serde(default)]
    pub ppm: Option<f64>,
    /// Concentration, milligrams in a cubic metre, instead.
    #[serde(default)]
    pub mg_per_m3: Option<f64>,
    /// Nominal energy of what burns, watt-hours (hydrogen fluoride only).
    #[serde(default)]
    pub energy_wh: Option<f64>,
    /// Room, cubic metres, for the time to clear.
    #[serde(default)]
    pub room_m3: Option<f64>,
    /// Fresh air, cubic metres a second.
    #[serde(default)]
    pub air_m3_per_s: Option<f64>,
    /// Concentration to come down to, parts in a million.
    #[serde(default)]
    pub to_ppm: Option<f64>,
    /// Mixing factor, 1 (perfect) to 10; 10, the slowest, where absent.
    #[serde(default)]
    pub mixing_factor: Option<f64>,
}

/// A published limit of exposure.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ExposureLimit {
    /// Parts in a million.
    pub ppm: f64,
    /// What it is.
    pub what: &'static str,
    /// Whether it is exceeded; absent without a concentration.
    pub exceeded: Option<bool>,
}

/// The air.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct GasAnswer {
    /// Parts in a million.
    pub ppm: Option<f64>,
    /// Milligrams in a cubic metre.
    pub mg_per_m3: Option<f64>,
    /// Least hydrogen fluoride from the fire, kilograms.
    pub yield_low_kg: Option<f64>,
    /// Most hydrogen fluoride from the fire, kilograms.
    pub yield_high_kg: Option<f64>,
    /// Cubic metres of air that the least of it brings to what is immediately dangerous.
    pub air_low_m3: Option<f64>,
    /// Cubic metres of air that the most of it brings to what is immediately dangerous.
    pub air_high_m3: Option<f64>,
    /// Minutes to clear the room, no further source.
    pub clearing_min: Option<f64>,
    /// Limits, as cautions.
    pub limits: Vec<ExposureLimit>,
    /// What the figures do not say.
    pub cautions: Vec<&'static str>,
}

/// Litres of a mole of gas at 25 °C and 1 atm.
const MOLE_L: f64 = 24.45;
/// Immediately dangerous by hydrogen fluoride, ppm (NIOSH, read).
const DANGEROUS_PPM: f64 = 30.0;

/// The air and what a fire adds to it.
///
/// # Errors
/// Values outside their ranges; a clearing time with parts missing.
pub fn gas(input: &GasInput) -> Result<GasAnswer, DomainError> {
    let (molar, limits): (f64, &[(f64, &str)]) = match input.gas {
        Gas::HydrogenFluoride => (
            20.006,
            &[
                (3.0, "8 h, OSHA"),
                (6.0, "15 min ceiling, NIOSH (from memory)"),
                (20.0, "one-hour planning value, AIHA"),
                (DANGEROUS_PPM, "immediately dangerous, NIOSH"),
                (170.0, "a danger to life in 10 min, AEGL-3"),
            ],
        ),
        Gas::CarbonMonoxide => (
            28.01,
            &[
                (35.0, "working shift, NIOSH"),
                (50.0, "8 h, OSHA"),
                (200.0, "ceiling, NIOSH"),
                (1200.0, "immediately dangerous, NIOSH"),
            ],
        ),
    };
    let ppm = match (input.ppm, input.mg_per_m3) {
        (Some(_), Some(mg)) => {
            return Err(DomainError::new(
                "mg_per_m3",
                mg,
                "one of ppm and mg_per_m3",
            ));
        }
        (Some(ppm), None) => Some(within("ppm", ppm, 0.0, 1e6)?),
        (None, Some(mg)) => Some(not_below_zero("mg_per_m3", mg)? * MOLE_L / molar),
        (None, None) => None,
    };
    let energy = input
        .energy_wh
        .map(|wh| not_below_zero("energy_wh", wh))
        .transpose()?;
    if let Some(wh) = energy.filter(|_| input.gas != Gas::HydrogenFluoride) {
        return Err(DomainError::new(
            "energy_wh",
            wh,
            "hydrogen_fluoride; no yield of another gas is known here",
        ));
    }
    let clearing = match (ppm, input.room_m3, input.air_m3_per_s, input.to_ppm) {
        (_, None, None, None) if input.mixing_factor.is_none() => None,
        (Some(from), Some(room), Some(air), Some(to)) => {
            let mixing = within(
                "mixing_factor",
                input.mixing_factor.unwrap_or(10.0),
                1.0,
                10.0,
            )?;
            let room = above_zero("room_m3", room)?;
            let air = above_zero("air_m3_per_s", air)?;
            let to = above_zero("to_ppm", to)?;
            let falls = if from > to { libm::log(from / to) } else { 0.0 };
            Some(mixing * room / air * falls / 60.0)
        }
        (from, room, air, _) => {
            let missing = match (from, room, air) {
                (None, ..) => "ppm",
                (_, None, _) => "room_m3",
                (.., None) => "air_m3_per_s",
                _ => "to_ppm",
            };
            return Err(absent(
                missing,
                "a concentration, room_m3, air_m3_per_s and to_ppm together",
            ));
        }
    };
    let dangerous_kg_per_m3 = DANGEROUS_PPM * molar / MOLE_L * 1e-6;
    let air = |kg_per_wh: f64| energy.map(|wh| round(wh * kg_per_wh / dangerous_kg_per_m3, 0));
    let mut cautions = vec!["no figure says that a room may be entered"];
    if energy.is_some() {
        cautions.push(
            "phosphoryl fluoride comes beside it: 15 to 22 mg/Wh in some of the same tests (read)",
        );
    }
    if clearing.is_some() && input.mixing_factor.is_none() {
        cautions
            .push("how the air mixes is not known: ten times the well-mixed time (from memory)");
    }

    Ok(GasAnswer {
        ppm: ppm.map(|ppm| round(ppm, 3)),
        mg_per_m3: ppm.map(|ppm| round(ppm * molar / MOLE_L, 3)),
        yield_low_kg: energy.map(|wh| round(wh * 20e-6, 4)),
        yield_high_kg: energy.map(|wh| round(wh * 200e-6, 4)),
        air_low_m3: air(20e-6),
        air_high_m3: air(200e-6),
        clearing_min: clearing.map(|min| round(min, 1)),
        limits: limits
            .iter()
            .map(|(limit, what)| ExposureLimit {
                ppm: *limit,
                what,
                exceeded: ppm.map(|ppm| ppm > *limit),
            })
            .collect(),
        cautions,
    })
}
