//! Testers, meters, gloves and tools: what each may be used for, and until when.

use chrono::{Months, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::units::{Decimal, Grams, Millivolts};

/// What an instrument, glove or tool is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum InstrumentKind {
    /// Clamp meter for direct current.
    ClampMeter,
    /// Meter for carbon monoxide, flammable gas and oxygen.
    GasMeter,
    /// Insulating gloves.
    Gloves,
    /// Insulated hand tools.
    InsulatedTools,
    /// Insulation tester.
    InsulationTester,
    /// Lifter, crane or trolley.
    LiftingAid,
    /// Multimeter.
    Multimeter,
    /// Known source that proves a tester.
    ProvingUnit,
    /// Scale.
    Scale,
    /// Thermal camera.
    ThermalCamera,
    /// Contact thermometer.
    Thermometer,
    /// Torque wrench.
    TorqueWrench,
    /// Voltmeter.
    Voltmeter,
    /// Two-pole voltage tester.
    VoltageTester,
}

impl InstrumentKind {
    /// The name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ClampMeter => "clamp_meter",
            Self::GasMeter => "gas_meter",
            Self::Gloves => "gloves",
            Self::InsulatedTools => "insulated_tools",
            Self::InsulationTester => "insulation_tester",
            Self::LiftingAid => "lifting_aid",
            Self::Multimeter => "multimeter",
            Self::ProvingUnit => "proving_unit",
            Self::Scale => "scale",
            Self::ThermalCamera => "thermal_camera",
            Self::Thermometer => "thermometer",
            Self::TorqueWrench => "torque_wrench",
            Self::Voltmeter => "voltmeter",
            Self::VoltageTester => "voltage_tester",
        }
    }
}

/// Class of an insulating glove.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum GloveClass {
    /// Class 00.
    #[serde(rename = "00")]
    Class00,
    /// Class 0.
    #[serde(rename = "0")]
    Class0,
    /// Class 1.
    #[serde(rename = "1")]
    Class1,
    /// Class 2.
    #[serde(rename = "2")]
    Class2,
}

impl GloveClass {
    /// The highest direct voltage that the glove is accepted for here.
    ///
    /// Class 00: 750 V dc, read (OSHA letter of 1994-08-12 on the class 00 glove). For the other
    /// classes the dc figure (1.5 times ac) is only remembered, so the lower ac maximum, which
    /// was read in a maker's table, is used for dc as well.
    #[must_use]
    pub const fn accepted_dc(self) -> Millivolts {
        match self {
            Self::Class00 => Millivolts::thousandths(750_000),
            Self::Class0 => Millivolts::thousandths(1_000_000),
            Self::Class1 => Millivolts::thousandths(7_500_000),
            Self::Class2 => Millivolts::thousandths(17_000_000),
        }
    }
}

/// An instrument, glove or tool on the job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// Serial; the name in the record.
    pub serial: String,
    /// What it is.
    pub kind: InstrumentKind,
    /// Highest direct voltage it is rated for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_dc_voltage_v: Option<Millivolts>,
    /// Measurement category as marked, such as `CAT III 1000 V`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub category: Option<String>,
    /// Accuracy: share of the reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accuracy_percent_of_reading: Option<Decimal>,
    /// Accuracy: counts of the last digit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accuracy_digits: Option<u32>,
    /// Day until which the calibration or check holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calibration_due_on: Option<NaiveDate>,
    /// Gloves: day of the last electrical test.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tested_on: Option<NaiveDate>,
    /// Gloves: class.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub glove_class: Option<GloveClass>,
    /// Proving unit: lowest voltage it may show.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub proving_low_v: Option<Millivolts>,
    /// Proving unit: highest voltage it may show.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub proving_high_v: Option<Millivolts>,
    /// Lifting aid: greatest load.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lifting_capacity_kg: Option<Grams>,
}

impl Instrument {
    /// Why it may not be used on `day`; `None` where it may.
    ///
    /// Gloves: tested within the six months before (29 CFR 1910.137; the interval read in a restatement,
    /// the clause from memory).
    /// Everything else with a due date: that day or earlier. An instrument that measures and has
    /// no due date on record is refused; a lifting aid or tool set needs none.
    #[must_use]
    pub fn out_of_date(&self, day: NaiveDate) -> Option<Reason> {
        let name = format!("{} {}", self.kind.name().replace('_', " "), self.serial);
        if self.kind == InstrumentKind::Gloves {
            let last = self
                .tested_on
                .and_then(|tested| tested.checked_add_months(Months::new(6)));
            return match (self.tested_on, last) {
                (Some(tested), Some(last)) if tested <= day && day <= last => None,
                (Some(tested), _) => Some(
                    Reason::new(format!("electrical test of {name}"), tested.to_string())
                        .limit(format!("within six months before {day}"))
                        .clause(
                            "29 CFR 1910.137, Table I-5 (interval second-hand, clause from memory)",
                        )
                        .way_out("take gloves that are in date; nobody on site may waive this"),
                ),
                (None, _) => Some(
                    Reason::new(format!("electrical test of {name}"), "not known")
                        .limit(format!("within six months before {day}"))
                        .clause(
                            "29 CFR 1910.137, Table I-5 (interval second-hand, clause from memory)",
                        )
                        .way_out("take gloves with a readable test date"),
                ),
            };
        }
        let needs_none = matches!(
            self.kind,
            InstrumentKind::LiftingAid | InstrumentKind::InsulatedTools
        );
        match self.calibration_due_on {
            Some(due) if day <= due => None,
            None if needs_none => None,
            due => Some(
                Reason::new(
                    format!("calibration of {name}"),
                    due.map_or("not known".into(), |due| format!("due {due}")),
                )
                .limit(format!("{day} or later"))
                .clause("DOE-HDBK-1092 on instrument recall (read); interval set by the owner")
                .way_out("use an instrument that is in date, and flag what this one tested since"),
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gloves(tested_on: Option<&str>) -> Instrument {
        Instrument {
            serial: "GL-1".into(),
            kind: InstrumentKind::Gloves,
            rated_dc_voltage_v: None,
            category: None,
            accuracy_percent_of_reading: None,
            accuracy_digits: None,
            calibration_due_on: None,
            tested_on: tested_on.map(|day| day.parse().unwrap()),
            glove_class: Some(GloveClass::Class00),
            proving_low_v: None,
            proving_high_v: None,
            lifting_capacity_kg: None,
        }
    }

    #[test]
    fn gloves_hold_for_six_months_to_the_day() {
        // 29 CFR 1910.137: six months, as restated on a glove seller's page (second-hand).
        let day = "2026-11-25".parse().unwrap();
        assert_eq!(gloves(Some("2026-05-25")).out_of_date(day), None);
        assert!(gloves(Some("2026-05-24")).out_of_date(day).is_some());
        assert!(
            gloves(Some("2026-11-26")).out_of_date(day).is_some(),
            "tested tomorrow"
        );
        assert!(gloves(None).out_of_date(day).is_some());
    }

    #[test]
    fn class_00_is_accepted_to_750_v_dc() {
        // OSHA letter of interpretation, 1994-08-12, read: class 00, 500 V ac / 750 V dc.
        assert_eq!(GloveClass::Class00.accepted_dc(), "750".parse().unwrap());
    }
}
