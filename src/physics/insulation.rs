//! Insulation: the installation table, the ohm-per-volt classes, and two readings on a battery.
//!
//! Table: up to 50 V 250 V and 0.5 MΩ, up to 500 V 500 V and 1 MΩ, above 1000 V and 1 MΩ (a
//! rail operator's table, read; IEC 60364-6 from memory). Classes: under 100 Ω/V damaged, under
//! 500 Ω/V suspect (UN R100 minima, read; this use of them chosen here). Two readings:
//! Ri = Ro·(Vb/V1′ − Vb/V1), the resistance of the weaker side (ISO 6469 method, read). No test
//! voltage is ever put on a battery with its management system connected.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, not_below_zero, round};
use crate::units::Decimal;

/// What is known.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(tag = "method", rename_all = "snake_case", deny_unknown_fields)]
pub enum InsulationInput {
    /// A part of a low-voltage installation without battery.
    Table {
        /// Nominal voltage, volts.
        installation_v: f64,
        /// As measured, megohms.
        #[serde(default)]
        measured_mohm: Option<f64>,
    },
    /// A resistance from pole to case.
    Class {
        /// As measured, ohms.
        ohm: f64,
        /// Working voltage, volts.
        working_voltage_v: f64,
    },
    /// Readings with a voltmeter of 10 MΩ or more and a known resistor.
    TwoReading {
        /// Pole to pole, volts.
        pole_to_pole_v: f64,
        /// Negative pole to case, volts.
        negative_to_case_v: f64,
        /// Positive pole to case, volts.
        positive_to_case_v: f64,
        /// The known resistor, put across the side that read more, ohms.
        known_ohm: f64,
        /// That side's reading with the resistor in place, volts.
        with_known_v: f64,
        /// Nominal voltage, volts; pole to pole is not to be below it.
        nominal_voltage_v: f64,
    },
}

/// What an insulation is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum InsulationClass {
    /// 500 Ω/V or more, or the table's least or more.
    Sound,
    /// Below 500 Ω/V.
    Suspect,
    /// Below 100 Ω/V, or below the table's least.
    Damaged,
}

/// The insulation.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct InsulationAnswer {
    /// Resistance of the weaker side, ohms.
    pub ohm: Option<f64>,
    /// Ohms for each volt.
    pub ohm_per_v: Option<f64>,
    /// Test voltage, volts; only for the table.
    pub test_voltage_v: Option<f64>,
    /// Least resistance, megohms; only for the table.
    pub least_mohm: Option<f64>,
    /// The class; absent where nothing was measured.
    pub class: Option<InsulationClass>,
    /// Resistor to choose, ohms: 100 Ω/V of the nominal voltage; only for two readings.
    pub resistor_to_choose_ohm: Option<f64>,
    /// What the measurement asks for, and what the figure does not say.
    pub cautions: Vec<&'static str>,
}

/// Where the ranges of two readings are from.
const METHOD: &str = "two-reading method of ISO 6469 and UN R100, read";

/// How much both sides may read above pole to pole together.
const TOGETHER: f64 = 0.05;
/// Share of pole to pole from which a side that does not fall says that the other pole lies on the case
/// (chosen here).
const ON_THE_CASE: f64 = 0.99;

/// Cells with their electronics on.
const NO_TESTER: &str =
    "no insulation tester across or onto cells with a management system connected";

/// Class of an insulation.
///
/// # Errors
/// Values outside their ranges; a reading that does not fall with the resistor in place.
pub fn insulation(input: &InsulationInput) -> Result<InsulationAnswer, DomainError> {
    let none = InsulationAnswer {
        ohm: None,
        ohm_per_v: None,
        test_voltage_v: None,
        least_mohm: None,
        class: None,
        resistor_to_choose_ohm: None,
        cautions: vec![NO_TESTER],
    };
    match *input {
        InsulationInput::Table {
            installation_v,
            measured_mohm,
        } => {
            let volts = above_zero("installation_v", installation_v)?;
            let (test, least) = match volts {
                v if v <= 50.0 => (250.0, 0.5),
                v if v <= 500.0 => (500.0, 1.0),
                _ => (1000.0, 1.0),
            };
            let measured = measured_mohm
                .map(|mohm| not_below_zero("measured_mohm", mohm))
                .transpose()?;
            Ok(InsulationAnswer {
                ohm: measured.map(|mohm| mohm * 1e6),
                test_voltage_v: Some(test),
                least_mohm: Some(least),
                class: measured.map(|mohm| {
                    if mohm >= least {
                        InsulationClass::Sound
                    } else {
                        InsulationClass::Damaged
                    }
                }),
                ..none
            })
        }
        InsulationInput::Class {
            ohm,
            working_voltage_v,
        } => {
            let ohm = not_below_zero("ohm", ohm)?;
            let mut answer = classed(
                ohm,
                above_zero("working_voltage_v", working_voltage_v)?,
                none,
            );
            answer.cautions.push(
                "measured on a module that stands alone, with half of its working voltage or more and \
                 no more than the maker allows (vehicle method, read); below 60 V many makers allow none",
            );
            Ok(answer)
        }
        InsulationInput::TwoReading {
            pole_to_pole_v,
            negative_to_case_v,
            positive_to_case_v,
            known_ohm,
            with_known_v,
            nominal_voltage_v,
        } => {
            let nominal = above_zero("nominal_voltage_v", nominal_voltage_v)?;
            if above_zero("pole_to_pole_v", pole_to_pole_v)? < nominal {
                return Err(DomainError::new(
                    "pole_to_pole_v",
                    pole_to_pole_v,
                    "the nominal voltage or more",
                )
                .by(METHOD));
            }
            let ohm = weaker_side(
                pole_to_pole_v,
                [negative_to_case_v, positive_to_case_v],
                known_ohm,
                with_known_v,
            )?;
            let mut answer = classed(ohm, nominal, none);
            answer
                .cautions
                .push("read with a voltmeter of 10 Mohm or more, until it stands still");
            // Ro = required ohm/V × nominal ± 20 %, for 100 or for 500 ohm/V (ISO 6469 method, read).
            let per_volt = known_ohm / nominal;
            if !(80.0..=120.0).contains(&per_volt) && !(400.0..=600.0).contains(&per_volt) {
                answer.cautions.push(
                    "the known resistor is not within 20 % of 100 or 500 ohm/V of the nominal voltage: \
                     read again with one that is",
                );
            }
            Ok(InsulationAnswer {
                resistor_to_choose_ohm: Some(round(100.0 * nominal, 1)),
                ..answer
            })
        }
    }
}

/// Resistance of the weaker side by two readings, ohms, at whatever voltage the battery has.
fn weaker_side(
    whole: f64,
    [negative, positive]: [f64; 2],
    known_ohm: f64,
    with_known_v: f64,
) -> Result<f64, DomainError> {
    let whole = above_zero("pole_to_pole_v", whole)?;
    let known = above_zero("known_ohm", known_ohm)?;
    let after = above_zero("with_known_v", with_known_v)?;
    let before = f64::max(
        not_below_zero("negative_to_case_v", negative)?,
        not_below_zero("positive_to_case_v", positive)?,
    );
    if before > whole {
        let greater = if negative >= positive {
            "negative_to_case_v"
        } else {
            "positive_to_case_v"
        };
        return Err(DomainError::new(greater, before, "at most pole to pole").by(METHOD));
    }
    // Each side was read by itself through a meter that draws some current, so both are less together.
    if negative + positive > whole * (1.0 + TOGETHER) {
        return Err(DomainError::new(
            "positive_to_case_v",
            positive,
            "both sides together at most pole to pole, 5 % for drift (chosen here)",
        )
        .by(METHOD));
    }
    if after >= before {
        // The other pole lies on the case: this one reads the whole battery with and without.
        if before >= whole * ON_THE_CASE {
            return Ok(0.0);
        }
        return Err(DomainError::new(
            "with_known_v",
            after,
            "less than the same side read without the resistor",
        )
        .by(METHOD));
    }
    Ok(known * (whole / after - whole / before))
}

fn classed(ohm: f64, volts: f64, none: InsulationAnswer) -> InsulationAnswer {
    let per_volt = ohm / volts;
    InsulationAnswer {
        ohm: Some(round(ohm, 1)),
        ohm_per_v: Some(round(per_volt, 2)),
        class: Some(match per_volt {
            r if r < 100.0 => InsulationClass::Damaged,
            r if r < 500.0 => InsulationClass::Suspect,
            _ => InsulationClass::Sound,
        }),
        ..none
    }
}

/// The readings of the two-reading method on a module, as entered; signs do not count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CaseReadings {
    /// Pole to pole, volts.
    pub pole_to_pole_v: Decimal,
    /// Positive pole to case, volts.
    pub positive_to_case_v: Decimal,
    /// Negative pole to case, volts.
    pub negative_to_case_v: Decimal,
    /// The known resistor, ohms.
    pub known_ohm: Decimal,
    /// The side that read more, with the resistor across it, volts.
    pub with_known_v: Decimal,
    /// Nominal voltage of the module, volts.
    pub nominal_voltage_v: Decimal,
}

/// What two readings on a battery give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CaseInsulation {
    /// The weaker side, ohms for each volt of the nominal voltage, rounded down to a whole ohm.
    pub ohm_per_v: Decimal,
    /// Read below the nominal voltage: what is bad there is bad, and what is good proves nothing.
    pub below_nominal: bool,
}

/// Insulation of the weaker side.
///
/// # Errors
/// As [`insulation`], except that a battery may stand below its nominal voltage.
pub fn case_insulation(readings: &CaseReadings) -> Result<CaseInsulation, DomainError> {
    let volts = |value: Decimal| value.magnitude().to_f64();
    let nominal = above_zero("nominal_voltage_v", volts(readings.nominal_voltage_v))?;
    let ohm = weaker_side(
        volts(readings.pole_to_pole_v),
        [
            volts(readings.negative_to_case_v),
            volts(readings.positive_to_case_v),
        ],
        readings.known_ohm.to_f64(),
        volts(readings.with_known_v),
    )?;
    // To the hundredth first, as the answer of the sum shows it.
    let whole = libm::floor(round(ohm / nominal, 2) + 1e-9);
    Ok(CaseInsulation {
        // More than any voltmeter can show is no figure to print.
        ohm_per_v: Decimal::from_thousandths(whole.clamp(0.0, 1e9) as i64 * 1000),
        below_nominal: volts(readings.pole_to_pole_v) < nominal,
    })
}

/// The resistor to choose for the second reading: 100 ohms for each volt of the nominal voltage.
#[must_use]
pub fn resistor_to_choose_ohm(nominal_v: Decimal) -> Decimal {
    let ohm = libm::ceil(nominal_v.magnitude().to_f64() * 100.0);
    Decimal::from_thousandths(ohm.clamp(0.0, 1e9) as i64 * 1000)
}
