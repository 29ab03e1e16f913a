//! Insulation of a module or a rack from its two readings to the case or frame, and what it makes
//! of it.

use super::ruling::Rules;
use crate::citation::Reason;
use crate::physics::{CaseReadings, case_insulation, resistor_to_choose_ohm};
use crate::procedure::frame::Frame;
use crate::procedure::progress::Progress;
use crate::procedure::{Evidence, Per};
use crate::units::{Decimal, Millivolts};

/// Below this the insulation has failed, ohms for each volt: UN R100, 5.1.3 (read), a vehicle rule.
const FAILED: i32 = 100;
/// Below this it is weak: the same clause where ac and dc are joined.
const WEAK: i32 = 500;

const CLAUSE: &str = "UN R100, measurement of insulation resistance (read)";

/// Two readings to the case of a module or to the frame of a rack, as far as they are known.
struct Two<'a> {
    /// "the case of m1".
    of: String,
    said: &'a Evidence,
    /// The two poles, and the resistor's reading.
    names: [&'static str; 2],
    pole_to_pole_v: Option<Decimal>,
    /// Where pole to pole is read.
    read_in: &'static str,
    nominal_v: Option<Decimal>,
    otherwise: &'static str,
}

impl Two<'_> {
    fn refuse(&self, value: String, way_out: String) -> Reason {
        Reason::new(format!("two readings to {}", self.of), value)
            .limit("the method of UN R100: both sides, then the greater one with a known resistor")
            .clause(CLAUSE)
            .way_out(way_out)
    }

    /// Which resistor goes where, in words.
    fn next(&self) -> String {
        let [positive, negative] = self.names.map(|name| self.said.number(name));
        let side = match positive.zip(negative) {
            Some((plus, minus)) if plus.magnitude() > minus.magnitude() => "plus",
            Some(_) => "minus",
            None => "the side that reads more",
        };
        let ohm = self.nominal_v.map_or_else(
            || "of 100 ohm for each volt of the nominal voltage".to_owned(),
            |volts| format!("of about {} ohm", resistor_to_choose_ohm(volts)),
        );
        let of = &self.of;
        format!("read both sides, then {side} to {of} again with a resistor {ohm} across it")
    }

    fn worked_out(&self) -> Option<Result<Decimal, Reason>> {
        let known_ohm = self.said.number("known_resistor_ohm");
        let with_known_v = self.said.number("with_resistor_v");
        if known_ohm.is_none() && with_known_v.is_none() {
            return None;
        }
        let [positive, negative] = self.names.map(|name| self.said.number(name));
        let asked = [
            ("the resistor in ohm", known_ohm),
            ("the reading with it", with_known_v),
            ("plus to the case", positive),
            ("minus to the case", negative),
            (self.read_in, self.pole_to_pole_v),
            ("the nominal voltage in the plan", self.nominal_v),
        ];
        let missing: Vec<&str> = asked
            .iter()
            .filter(|(_, value)| value.is_none())
            .map(|(name, _)| *name)
            .collect();
        let (
            Some(known_ohm),
            Some(with_known_v),
            Some(positive_to_case_v),
            Some(negative_to_case_v),
            Some(pole_to_pole_v),
            Some(nominal_voltage_v),
        ) = (
            known_ohm,
            with_known_v,
            positive,
            negative,
            self.pole_to_pole_v,
            self.nominal_v,
        )
        else {
            return Some(Err(self.refuse(
                format!("not known: {}", missing.join(", ")),
                format!("{}; {}", self.next(), self.otherwise),
            )));
        };
        let found = case_insulation(&CaseReadings {
            pole_to_pole_v,
            positive_to_case_v,
            negative_to_case_v,
            known_ohm,
            with_known_v,
            nominal_voltage_v,
        });
        Some(match found {
            Err(error) => Err(self.refuse(
                error.to_string(),
                format!("meter again: {}; {}", self.next(), self.otherwise),
            )),
            Ok(found) if found.below_nominal && found.ohm_per_v >= Decimal::whole(FAILED) => {
                Err(self.refuse(
                    format!(
                        "{} ohm/V, read at {pole_to_pole_v} V, below the nominal \
                         {nominal_voltage_v} V: a bad value would count, a good one proves nothing",
                        found.ohm_per_v
                    ),
                    format!(
                        "do not charge it for this; ask the maker for an instrument that may be used \
                         on it and write what that shows; {}",
                        self.otherwise
                    ),
                ))
            }
            Ok(found) => Ok(found.ohm_per_v),
        })
    }
}

/// Insulation by the two readings in `said`, ohms for each volt; `None` where neither the resistor
/// nor the reading with it is there.
///
/// # Errors
/// Readings that the method cannot use, one that is missing, or a module that stands below its
/// nominal voltage and reads well there.
pub fn two_reading_insulation(
    frame: &Frame,
    progress: &Progress,
    module: usize,
    said: &Evidence,
) -> Option<Result<Decimal, Reason>> {
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
    let planned = frame.modules.get(module);
    Two {
        of: format!("the case of {}", planned.map_or("", |one| one.id.as_str())),
        said,
        names: ["positive_to_case_v", "negative_to_case_v"],
        pole_to_pole_v: metered(),
        read_in: "pole to pole (M04)",
        nominal_v: planned
            .and_then(|one| one.nominal_voltage_v)
            .map(Millivolts::decimal),
        otherwise: "or leave both out: a pole that stays above the limit to the case then counts as \
                    failed insulation",
    }
    .worked_out()
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

    /// R04: the two readings of a rack are worked out here; without them an instrument's value is
    /// needed. Insulation that failed lets nobody split the string.
    pub(super) fn poles_to_frame(&mut self) {
        let asks = |name: &str| self.step.evidence.iter().any(|spec| spec.name == name);
        if !asks("positive_to_frame_v") {
            return;
        }
        let said = self.evidence();
        let two = Two {
            of: "the frame".into(),
            said,
            names: ["positive_to_frame_v", "negative_to_frame_v"],
            pole_to_pole_v: said.number("pole_to_pole_v"),
            read_in: "pole to pole",
            nominal_v: self
                .frame
                .installation
                .nominal_voltage_v
                .map(Millivolts::decimal),
            otherwise: "or write what an insulation instrument that the maker allows shows",
        };
        match two.worked_out() {
            Some(Err(reason)) => self.fail(reason),
            Some(Ok(ohm_per_v)) if ohm_per_v < Decimal::whole(FAILED) => self.fail(
                Reason::new(
                    self.what("insulation by the two readings"),
                    format!("{ohm_per_v} ohm/V"),
                )
                .limit(format!("{FAILED} ohm/V"))
                .clause("UN R100, 5.1.3: 100 ohm per volt dc (a vehicle rule, used here) (read)")
                .way_out("no splitting: the string counts as damaged; go on as in X12"),
            ),
            Some(Ok(ohm_per_v)) => self
                .ruling
                .notes
                .push(format!("insulation by the two readings: {ohm_per_v} ohm/V")),
            None if said.number("insulation_ohm_per_v").is_none() => {
                let reason = two.refuse(
                    "neither two readings nor a value".into(),
                    format!("{}; {}", two.next(), two.otherwise),
                );
                self.fail(reason);
            }
            None => {}
        }
    }
}
