//! Hydrogen fluoride and carbon monoxide: ppm and mg/m³, limits as cautions, what a fire gives off.
//!
//! mg/m³ = ppm·M/24.45 at 25 °C and 1 atm. HF 20 to 200 mg for each nominal Wh (published fire
//! tests, read). Clearing t = k·(V/Q)·ln(C0/C), well mixed, no further source; k 3 to 10 for poor
//! mixing (from memory). Not covered: other gases, explosion limits. A figure never says "enter".

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, not_below_zero, round, within};

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
    /// Minutes to clear the room, no further source.
    pub clearing_min: Option<f64>,
    /// Limits, as cautions.
    pub limits: Vec<ExposureLimit>,
}

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
                (20.0, "one-hour planning value, AIHA"),
                (30.0, "immediately dangerous, NIOSH"),
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
        (None, Some(mg)) => Some(not_below_zero("mg_per_m3", mg)? * 24.45 / molar),
        (None, None) => None,
    };
    let energy = input
        .energy_wh
        .map(|wh| not_below_zero("energy_wh", wh))
        .transpose()?
        .filter(|_| input.gas == Gas::HydrogenFluoride);
    let clearing = match (ppm, input.room_m3, input.air_m3_per_s, input.to_ppm) {
        (_, None, None, None) => None,
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
        _ => {
            return Err(DomainError::new(
                "room_m3",
                "given without the others",
                "a concentration, room_m3, air_m3_per_s and to_ppm together",
            ));
        }
    };
    Ok(GasAnswer {
        ppm: ppm.map(|ppm| round(ppm, 3)),
        mg_per_m3: ppm.map(|ppm| round(ppm * molar / 24.45, 3)),
        yield_low_kg: energy.map(|wh| round(wh * 20e-6, 4)),
        yield_high_kg: energy.map(|wh| round(wh * 200e-6, 4)),
        clearing_min: clearing.map(|min| round(min, 1)),
        limits: limits
            .iter()
            .map(|(limit, what)| ExposureLimit {
                ppm: *limit,
                what,
                exceeded: ppm.map(|ppm| ppm > *limit),
            })
            .collect(),
    })
}
