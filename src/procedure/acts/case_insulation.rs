//! Insulation of a module from its two readings to the case, and what it makes of the module.

use super::ruling::Rules;
use crate::citation::Reason;
use crate::physics::{CaseReadings, case_insulation};
use crate::procedure::frame::Frame;
use crate::procedure::progress::Progress;
use crate::procedure::{Evidence, Per};
use crate::units::Decimal;

/// Below this the insulation has failed, ohms for each volt: UN R100, 5.1.3 (read), a vehicle rule.
const FAILED: i32 = 100;
/// Below this it is weak: the same clause where ac and dc are joined.
const WEAK: i32 = 500;

/// Insulation by the two readings in `said`, ohms for each volt; `None` where they are not both
/// there.
///
/// # Errors
/// Readings that the method cannot use, or a nominal or pole to pole voltage that is not known.
pub fn two_reading_insulation(
    frame: &Frame,
    progress: &Progress,
    module: usize,
    said: &Evidence,
) -> Option<Result<Decimal, Reason>> {
    let known_ohm = said.number("known_resistor_ohm")?;
    let with_known_v = said.number("with_resistor_v")?;
    let name = frame.modules.get(module).map_or("", |one| one.id.as_str());
    let refuse = |value: String| {
        Reason::new(format!("two readings to the case of {name}"), value)
            .limit("the method of UN R100: both sides, then the greater one with a known resistor")
            .clause("UN R100, measurement of insulation resistance (read)")
            .way_out(
                "meter again, or leave both out: a pole that stays above the limit to the case then \
                 counts as failed insulation",
            )
    };
    let missing = |what: &str| Err(refuse(format!("{what} is not known")));
    let metered = || {
        frame
            .procedure
            .steps
            .iter()
            .enumerate()
            .filter(|(_, step)| step.per == Per::Module)
            .filter_map(|(place, _)| progress.passed_entry(place, Some(module)))
            .filter_map(|entry| entry.evidence.number("terminal_voltage_v"))
            .next_back()
    };
    let nominal = frame
        .modules
        .get(module)
        .and_then(|one| one.nominal_voltage_v);
    let (Some(positive), Some(negative), Some(whole), Some(nominal)) = (
        said.number("positive_to_case_v"),
        said.number("negative_to_case_v"),
        metered(),
        nominal,
    ) else {
        return Some(missing(
            "a voltage to the case, pole to pole (M04), or the nominal voltage",
        ));
    };
    Some(
        case_insulation(&CaseReadings {
            pole_to_pole_v: whole,
            positive_to_case_v: positive,
            negative_to_case_v: negative,
            known_ohm,
            with_known_v,
            nominal_voltage_v: nominal.decimal(),
        })
        .map_err(|error| refuse(error.to_string())),
    )
}

impl Rules<'_> {
    /// M05: the two readings are worked out here and are F26 or F25 where the insulation is low; a
    /// pole that stays above the limit to the case without any test counts as failed (F26).
    pub(super) fn poles_to_case(&mut self) {
        let limit = self.frame.setting("pole_to_case_v");
        let above = ["positive_to_case_v", "negative_to_case_v"]
            .into_iter()
            .any(|name| {
                self.evidence()
                    .number(name)
                    .is_some_and(|v| v.magnitude() > limit)
            });
        let found = self.slot.and_then(|module| {
            two_reading_insulation(self.frame, self.progress, module, self.evidence())
        });
        match found {
            Some(Err(reason)) => self.fail(reason),
            Some(Ok(ohm_per_v)) => {
                self.ruling
                    .notes
                    .push(format!("insulation by the two readings: {ohm_per_v} ohm/V"));
                let finding = if ohm_per_v < Decimal::whole(FAILED) {
                    Some("F26")
                } else if ohm_per_v < Decimal::whole(WEAK) {
                    Some("F25")
                } else {
                    None
                };
                self.ruling.findings.extend(finding.map(str::to_owned));
            }
            None if above && self.evidence().number("insulation_ohm_per_v").is_none() => {
                self.ruling.findings.push("F26".into());
            }
            None => {}
        }
    }
}
