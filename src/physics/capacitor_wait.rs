//! The wait before the dead test, from a label, from figures, or the default; and what is stored.
//!
//! Required = the greatest of the label and the computed time (tolerances at their upper end),
//! 300 s where there is neither (29 CFR 1910.269(w), second-hand). A floor, never proof: a bleeder
//! may be open, so the measured voltage decides. Not covered: capacitors that a source recharges.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, absent, not_below_zero, round, within};
use super::wait::{StoredEnergy, stored_energy};

/// Capacitors and their bleeder.
#[derive(Debug, Clone, Copy, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WaitInput {
    /// Resistance of the bleeder, ohms, above 0.
    #[serde(default)]
    pub resistance_ohm: Option<f64>,
    /// Capacitance, farads, above 0.
    #[serde(default)]
    pub capacitance_f: Option<f64>,
    /// Voltage at the start, volts.
    #[serde(default)]
    pub from_v: Option<f64>,
    /// Voltage to come down to, volts, above 0; 60 where absent.
    #[serde(default)]
    pub to_v: Option<f64>,
    /// Tolerance of the resistance as a fraction, 0 to 1.
    #[serde(default)]
    pub resistance_tolerance: f64,
    /// Tolerance of the capacitance as a fraction, 0 to 1.
    #[serde(default)]
    pub capacitance_tolerance: f64,
    /// Seconds on the label.
    #[serde(default)]
    pub label_s: Option<f64>,
}

/// A published limit and whether the stored charge or energy is above it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StoredLimit {
    /// What it is.
    pub limit: &'static str,
    /// Where it is from.
    pub source: &'static str,
    /// Whether it is exceeded at the start.
    pub exceeded: bool,
}

/// A published limit of the voltage, and when the capacitors come down to it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct VoltageLimit {
    /// Volts dc.
    pub limit_v: f64,
    /// What it is for.
    pub is_for: &'static str,
    /// Where it is from.
    pub source: &'static str,
    /// Seconds until it is reached, tolerances at their upper end; absent without figures.
    pub reached_s: Option<f64>,
}

/// The wait.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WaitAnswer {
    /// Seconds as computed; absent without figures.
    pub computed_s: Option<f64>,
    /// Whole seconds that are to pass before the dead test.
    pub required_s: f64,
    /// Where that is from.
    pub required_from: &'static str,
    /// Joules at the start.
    pub energy_j: Option<f64>,
    /// Seconds.
    pub time_constant_s: Option<f64>,
    /// Coulombs at the start.
    pub charge_c: Option<f64>,
    /// Watts in the bleeder at the start, by its nominal resistance.
    pub first_power_w: Option<f64>,
    /// Published limits of stored charge and energy.
    pub limits: Vec<StoredLimit>,
    /// Published limits of the voltage; none of them is a proof.
    pub voltage_limits: Vec<VoltageLimit>,
}

/// Seconds to wait where there is neither label nor figure.
const NEITHER_S: f64 = 300.0;

/// The wait before the dead test.
///
/// # Errors
/// Values outside their ranges; some but not all of resistance, capacitance and start voltage.
pub fn capacitor_wait(input: &WaitInput) -> Result<WaitAnswer, DomainError> {
    let label = input
        .label_s
        .map(|s| not_below_zero("label_s", s))
        .transpose()?;
    let to = above_zero("to_v", input.to_v.unwrap_or(60.0))?;
    let more_ohm = within("resistance_tolerance", input.resistance_tolerance, 0.0, 1.0)?;
    let more_farad = within(
        "capacitance_tolerance",
        input.capacitance_tolerance,
        0.0,
        1.0,
    )?;
    let stored = match (input.resistance_ohm, input.capacitance_f, input.from_v) {
        (Some(ohm), Some(farad), Some(from)) => {
            let nominal = above_zero("resistance_ohm", ohm)?;
            let ohm = nominal * (1.0 + more_ohm);
            let farad = above_zero("capacitance_f", farad)? * (1.0 + more_farad);
            let from = not_below_zero("from_v", from)?;
            let sum = stored_energy(ohm, farad, from, to)
                .map_err(|why| DomainError::new("resistance_ohm", ohm, why.to_string()))?;
            if !sum.wait_s.is_finite() || !sum.energy_j.is_finite() {
                return Err(DomainError::new(
                    "resistance_ohm",
                    ohm,
                    "figures whose wait and energy can be written down",
                ));
            }
            // A longer wait goes with more ohms, more heat with fewer: the tolerance is for the wait.
            let first_power_w = from * from / nominal;
            let sum = StoredEnergy {
                first_power_w,
                ..sum
            };
            Some((sum, from))
        }
        (None, None, None) => None,
        (ohm, farad, _) => {
            let missing = match (ohm, farad) {
                (None, _) => "resistance_ohm",
                (_, None) => "capacitance_f",
                _ => "from_v",
            };
            return Err(absent(
                missing,
                "resistance_ohm, capacitance_f and from_v together, or none of them",
            ));
        }
    };
    let computed = stored.map(|(sum, _)| sum.wait_s);
    let (required_s, required_from) = match (label, computed) {
        (Some(label), Some(computed)) if computed > label => (computed, "computed"),
        (Some(label), _) => (label, "label"),
        (None, Some(computed)) => (computed, "computed"),
        (None, None) => (NEITHER_S, "default: no label and no figures"),
    };
    let limits = stored.map_or(Vec::new(), |(sum, from)| {
        limits(sum.charge_c, sum.energy_j, from)
    });
    Ok(WaitAnswer {
        computed_s: computed.map(|s| round(s, 2)),
        required_s: libm::ceil(required_s),
        required_from,
        energy_j: stored.map(|(sum, _)| round(sum.energy_j, 3)),
        time_constant_s: stored.map(|(sum, _)| round(sum.time_constant_s, 6)),
        charge_c: stored.map(|(sum, _)| round(sum.charge_c, 9)),
        first_power_w: stored.map(|(sum, _)| round(sum.first_power_w, 3)),
        limits,
        voltage_limits: voltage_limits(stored),
    })
}

/// 120, 60 and 50 V: what each is for.
fn voltage_limits(stored: Option<(StoredEnergy, f64)>) -> Vec<VoltageLimit> {
    [
        (
            120.0,
            "top of extra-low voltage, ripple-free dc",
            "IEC vocabulary, SELV (read)",
        ),
        (
            60.0,
            "dc that may be touched; machines come down to it within 5 s or say how long it takes",
            "IEC vocabulary (read); IEC 60204-1, 6.2.4 (second-hand)",
        ),
        (
            50.0,
            "below it need not be made dead, where no burn or arc is added; capacitors come down to \
             it within 1 min (up to 600 V)",
            "29 CFR 1910.333(a)(1), read in WAC 296-24-975; NEC 460.6 (read in a code quiz)",
        ),
    ]
    .into_iter()
    .map(|(limit_v, is_for, source)| VoltageLimit {
        limit_v,
        is_for,
        source,
        reached_s: stored.map(|(sum, from)| {
            let falls = if from > limit_v {
                libm::log(from / limit_v)
            } else {
                0.0
            };
            round(sum.time_constant_s * falls, 2)
        }),
    })
    .collect()
}

fn limits(charge_c: f64, energy_j: f64, from_v: f64) -> Vec<StoredLimit> {
    let limit = |limit, source, exceeded| StoredLimit {
        limit,
        source,
        exceeded,
    };
    vec![
        limit(
            "60 µC: parts with no more are exempt from 60 V within 5 s",
            "IEC 60204-1, 6.2.4 (second-hand)",
            charge_c > 60e-6,
        ),
        limit(
            "45 µC above 60 V dc",
            "IEC 61010-1, 6.3 (second-hand)",
            from_v > 60.0 && charge_c > 45e-6,
        ),
        limit(
            "0.2 J after a crash",
            "ISO 6469-4 (second-hand)",
            energy_j > 0.2,
        ),
        limit(
            "350 mJ and 50 µC above 120 V dc",
            "German live-work screening (read)",
            from_v > 120.0 && (energy_j > 0.35 || charge_c > 50e-6),
        ),
        limit(
            "20 J: hazardous energy of a power converter",
            "IEC 62109-1 (from memory)",
            energy_j >= 20.0,
        ),
        limit(
            "100 J below 100 V, 1 J from 100 V, 0.25 J from 400 V",
            "NFPA 70E, article 360 (from memory)",
            if from_v >= 400.0 {
                energy_j > 0.25
            } else if from_v >= 100.0 {
                energy_j > 1.0
            } else {
                energy_j > 100.0
            },
        ),
    ]
}
