//! A screening figure for the heat of a dc arc, and what a short circuit can drive.
//!
//! Short circuit: I = Ns·V / (Ns·R/Np + Rlinks). Arc at maximum power: Iarc = I/2, E = 0.01·V·Iarc·
//! t/D² cal/cm², boundary at 1.2 cal/cm² (NFPA 70E annex D.5.1, from memory; agrees with the one
//! published table row, 250 V 4 kA 2 s: 3 ft). Up to 1000 V dc. Not covered: the lower, tested
//! arc-resistance methods, blast, fuses that are not proven present. Below 100 V the method is
//! silent, which is not "safe".

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, not_below_zero, one, round, within};

/// Modules that can feed a fault.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ShortCircuitInput {
    /// Open-circuit voltage of one module, volts.
    pub module_voltage_v: f64,
    /// Lowest credible resistance of one module, warm and full, ohms.
    pub module_resistance_ohm: f64,
    /// Modules in series, 1 to 1000; 1 where absent.
    #[serde(default = "one")]
    pub modules_in_series: u32,
    /// Strings in parallel, 1 to 1000; 1 where absent.
    #[serde(default = "one")]
    pub strings_in_parallel: u32,
    /// Resistance of all links of the fault's path, ohms.
    #[serde(default)]
    pub link_resistance_ohm: f64,
}

/// What a short circuit can drive.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct ShortCircuitAnswer {
    /// Open-circuit voltage, volts.
    pub voltage_v: f64,
    /// Prospective current, amperes; the maker's declared figure wins.
    pub current_a: f64,
}

/// The prospective short-circuit current.
///
/// # Errors
/// Values outside their ranges.
pub fn short_circuit(input: &ShortCircuitInput) -> Result<ShortCircuitAnswer, DomainError> {
    let count = |field: &str, n: u32| within(field, f64::from(n), 1.0, 1000.0);
    let series = count("modules_in_series", input.modules_in_series)?;
    let strings = count("strings_in_parallel", input.strings_in_parallel)?;
    let volts = above_zero("module_voltage_v", input.module_voltage_v)? * series;
    let ohm = above_zero("module_resistance_ohm", input.module_resistance_ohm)?;
    let links = not_below_zero("link_resistance_ohm", input.link_resistance_ohm)?;
    Ok(ShortCircuitAnswer {
        voltage_v: round(volts, 3),
        current_a: round(volts / (series * ohm / strings + links), 1),
    })
}

/// Where an arc could burn.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ArcInput {
    /// System voltage, volts dc, up to 1000.
    pub system_voltage_v: f64,
    /// Prospective short-circuit current, amperes.
    pub short_circuit_a: f64,
    /// Seconds until it is cut; 2 where no device is proven.
    #[serde(default)]
    pub duration_s: Option<f64>,
    /// Distance of face and chest, centimetres; 45.7 where absent.
    #[serde(default)]
    pub distance_cm: Option<f64>,
    /// In a box that throws the heat forward: three times as much (ac research).
    #[serde(default)]
    pub enclosed: bool,
    /// Rating of the voltage tester, volts dc.
    #[serde(default)]
    pub tester_rating_v: Option<f64>,
}

/// A screening figure for the heat of the arc and for what touches the voltage.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ArcAnswer {
    /// Amperes in the arc at maximum power.
    pub arc_current_a: f64,
    /// Calories on a square centimetre at the distance.
    pub incident_energy_cal_cm2: f64,
    /// Joules on a square centimetre at the distance.
    pub incident_energy_j_cm2: f64,
    /// Distance of 1.2 cal/cm², centimetres.
    pub boundary_cm: f64,
    /// Lowest glove class whose dc use voltage is not exceeded; absent above them all.
    pub glove_class: Option<&'static str>,
    /// Least dc rating of a tester: 1.2 times the voltage (chosen here), volts.
    pub tester_least_v: f64,
    /// Whether the tester's rating is enough; absent where it was not given.
    pub tester_enough: Option<bool>,
    /// Limited approach to a fixed part, centimetres; absent below 100 V and above 1000 V.
    pub limited_approach_cm: Option<f64>,
    /// Restricted approach, centimetres.
    pub restricted_approach_cm: Option<f64>,
    /// What the figure does not say.
    pub cautions: Vec<&'static str>,
}

/// dc use voltage of glove classes; class 00 read, the rest from memory (1.5 × the ac figure).
const GLOVES: [(&str, f64); 6] = [
    ("00", 750.0),
    ("0", 1500.0),
    ("1", 11_250.0),
    ("2", 25_500.0),
    ("3", 39_750.0),
    ("4", 54_000.0),
];

/// Amperes, seconds and centimetres that no site goes beyond (chosen here): a figure outside is a slip
/// of the pen.
const MOST_A: f64 = 1e6;
const MOST_S: f64 = 3600.0;
const DISTANCES_CM: (f64, f64) = (1.0, 10_000.0);

/// The arc at maximum power.
///
/// # Errors
/// Values outside their ranges; more than 1000 V.
pub fn arc(input: &ArcInput) -> Result<ArcAnswer, DomainError> {
    let volts = above_zero("system_voltage_v", input.system_voltage_v)?;
    let volts = within("system_voltage_v", volts, 0.0, 1000.0)
        .map_err(|error| error.by("NFPA 70E, annex D.5.1, from memory: dc up to 1000 V"))?;
    let fault = above_zero("short_circuit_a", input.short_circuit_a)?;
    let fault = within("short_circuit_a", fault, 0.0, MOST_A)?;
    let seconds = above_zero("duration_s", input.duration_s.unwrap_or(2.0))?;
    let seconds = within("duration_s", seconds, 0.0, MOST_S)?;
    let (near, far) = DISTANCES_CM;
    let distance = within("distance_cm", input.distance_cm.unwrap_or(45.7), near, far)?;
    let rating = input
        .tester_rating_v
        .map(|v| above_zero("tester_rating_v", v))
        .transpose()?;
    let current = 0.5 * fault;
    let factor = if input.enclosed { 3.0 } else { 1.0 };
    let strength = 0.01 * volts * current * seconds * factor;
    let energy = strength / (distance * distance);
    let mut cautions = vec!["a screening figure: an upper-bound estimate, not a test"];
    if volts < 100.0 {
        cautions.push("below 100 V the method is silent; that is not safe");
    }
    if input.duration_s.is_none() {
        cautions.push("no cut-off proven: 2 s taken");
    }
    let (limited, restricted) = if volts < 100.0 {
        (None, None)
    } else {
        (Some(107.0), Some(30.5))
    };
    if (100.0..=300.0).contains(&volts) {
        // The row of 500 V was read. That of 100 to 300 V is from memory and asks for less.
        cautions.push(
            "approach: the row of 301 V to 1 kV is taken; that of 100 to 300 V is from memory, says \
             \"avoid contact\" and depends on the edition",
        );
    }
    let glove_class = GLOVES
        .iter()
        .find(|(_, most)| volts <= *most)
        .map(|(class, _)| *class);
    if glove_class != Some("00") {
        cautions.push(
            "gloves: the use voltage of classes above 00 is from memory (1.5 times that of ac)",
        );
    }
    Ok(ArcAnswer {
        arc_current_a: round(current, 1),
        incident_energy_cal_cm2: round(energy, 2),
        incident_energy_j_cm2: round(energy * 4.184, 2),
        boundary_cm: round(libm::sqrt(strength / 1.2), 1),
        glove_class,
        tester_least_v: round(1.2 * volts, 1),
        tester_enough: rating.map(|v| v >= 1.2 * volts),
        limited_approach_cm: limited,
        restricted_approach_cm: restricted,
        cautions,
    })
}
