//! What leaves, as the job's entries and what is said beside them make it; or why it may not.

use super::ReleaseSaid;
use crate::actions::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{HandedPackage, Handover, Keeping, Organisation, RELEASED};
use crate::job::Job;
use crate::ledger::Log;
use crate::procedure::{Act, Entry, Evidence};
use crate::store::OpenJob;
use crate::units::Decimal;

/// The step that loads the vehicle; ids of steps are permanent.
const LOADING: &str = "Z05";

/// The job and what is said, while they are put together.
pub(super) struct Load<'a> {
    pub(super) open: &'a OpenJob,
    pub(super) said: &'a ReleaseSaid,
    /// The entry that signed the load over, where it passed.
    pub(super) signed_over: Option<&'a Entry>,
    /// What was read when it was loaded, where that step passed.
    pub(super) loaded: Option<&'a Evidence>,
    pub(super) refused: Vec<Reason>,
    pub(super) missing: Vec<Reason>,
}

impl<'a> Load<'a> {
    pub(super) fn of(open: &'a OpenJob, said: &'a ReleaseSaid) -> Self {
        let (job, frame) = (&open.job, open.job.frame());
        let signed_over = job
            .progress()
            .passed_doing(frame, Act::Release, None)
            .last();
        let loaded = job.progress().evidence_of(frame, LOADING, None);
        Self {
            open,
            said,
            signed_over,
            loaded,
            refused: Vec::new(),
            missing: Vec::new(),
        }
    }

    pub(super) fn job(&self) -> &'a Job {
        &self.open.job
    }

    pub(super) fn log(&self) -> &'a Log {
        &self.open.log
    }

    /// What is said, else what the entry of signing over says.
    fn fact(&mut self, said: Option<&String>, name: &str, flag: &str, what: &str) -> String {
        let written = self.signed_over.and_then(|entry| entry.evidence.text(name));
        let known = said.map(String::as_str).or(written).map(str::trim);
        match known.filter(|text| !text.is_empty()) {
            Some(text) => text.to_owned(),
            None => {
                self.missing.push(
                    Reason::new(what, "not said")
                        .limit("both sides of a hand-over, by name, place and condition")
                        .clause("EPA Region V chain of custody manual 1978 (second-hand)")
                        .way_out(format!(
                            "say it with {flag}, or make the entry of signing over"
                        )),
                );
                String::new()
            }
        }
    }

    /// The hand-over, or every reason against it.
    pub(super) fn handover(mut self) -> Result<Handover, ActionError> {
        self.refused.extend(self.job().not_entitled_to_papers());
        let papers = self.papers();
        let earlier = handovers(self.log());
        let leaving = self.leaving(&earlier);
        self.counted(&leaving);
        let verdicts = self.job().verdicts();
        self.decisions(&leaving, &verdicts);

        let said = self.said;
        let released_by = self.fact(
            said.by.as_ref(),
            "released_by_name",
            "--by",
            "who hands over",
        );
        let taken_by = self.fact(
            said.taken_by.as_ref(),
            "received_by_name",
            "--taken-by",
            "who takes over",
        );
        let place = self.fact(
            said.place.as_ref(),
            "place",
            "--place",
            "where it is handed over",
        );
        if !taken_by.is_empty() && released_by.to_lowercase() == taken_by.to_lowercase() {
            self.refused.push(
                Reason::new("who hands over and who takes over", taken_by.clone())
                    .limit("two different people")
                    .way_out("name the person of the other side"),
            );
        }
        self.signer(&released_by);
        let to = self.receiver();
        let packages = self.packages(&leaving, &verdicts);
        let warmest_c = self.warmest(&packages);
        let plan = self.job().plan();
        let handover = Handover {
            number: earlier.last().map_or(0, |last| last.number) + 1,
            job: plan.job.clone(),
            at: said
                .at
                .or_else(|| Some(self.signed_over?.at))
                .unwrap_or_else(Moment::present),
            place,
            from: Organisation {
                name: plan.consignor.name.clone(),
                address: plan.consignor.address.clone(),
                country: None,
            },
            released_by,
            to,
            taken_by,
            taken_by_organisation: said.taken_by_firm.clone().or_else(|| {
                let firm = self
                    .signed_over?
                    .evidence
                    .text("received_by_organisation")?;
                Some(firm.to_owned())
            }),
            vehicle: said.vehicle.as_deref().and_then(registration),
            purpose: serde_json::to_value(plan.purpose)?
                .as_str()
                .unwrap_or_default()
                .to_owned(),
            // Every package is sealed, or this is never reached.
            kept: said.kept.or(Some(Keeping::UnbrokenSeal)),
            warmest_c,
            packages,
            papers,
            remarks: said.again.as_ref().map_or_else(
                || said.remarks.clone(),
                |why| {
                    let more = said.remarks.as_ref().map(|more| format!("; {more}"));
                    Some(format!(
                        "handed over again: {why}{}",
                        more.unwrap_or_default()
                    ))
                },
            ),
        };
        if self.refused.is_empty() && self.missing.is_empty() {
            Ok(handover)
        } else {
            Err(ActionError::NotReleased {
                refused: self.refused,
                missing: self.missing,
            })
        }
    }

    fn receiver(&mut self) -> Organisation {
        let plan = &self.job().plan().consignee;
        let name = self.said.to.as_ref().unwrap_or(&plan.name);
        let is_planned = *name == plan.name;
        let address = self.said.to_address.clone();
        let address = address.or_else(|| is_planned.then(|| plan.address.clone()));
        if address.is_none() {
            self.missing.push(
                Reason::new(format!("address of {name}"), "not said")
                    .limit(format!("the plan knows only the consignee {}", plan.name))
                    .way_out("say it with --to-address"),
            );
        }
        Organisation {
            name: name.clone(),
            address: address.unwrap_or_default(),
            country: self.said.to_country.clone(),
        }
    }

    fn warmest(&mut self, packages: &[HandedPackage]) -> Option<Decimal> {
        let all = packages
            .iter()
            .all(|one| one.surface_temperature_c.is_some());
        let warmest = self
            .said
            .temperatures
            .iter()
            .rfind(|(of, _)| of.is_none())
            .map(|(_, value)| *value)
            .or_else(|| self.loaded?.number("highest_temperature_c"));
        if warmest.is_none() && !all {
            self.missing.push(
                Reason::new("temperature of the packages", "not read")
                    .limit("the warmest place of the load, or every package")
                    .clause("procedure Z05: temperatures before it leaves")
                    .way_out("measure, and say it with --temperature"),
            );
        }
        warmest
    }
}

/// A registration in one form: capitals, no blanks, so that one vehicle is one vehicle.
fn registration(text: &str) -> Option<String> {
    let kept = text
        .chars()
        .filter(|sign| !sign.is_whitespace() && *sign != '-');
    let kept: String = kept.flat_map(char::to_uppercase).collect();
    (!kept.is_empty()).then_some(kept)
}

/// Every hand-over that stands in the log.
pub(super) fn handovers(log: &Log) -> Vec<Handover> {
    log.entries()
        .iter()
        .filter(|entry| entry.kind == RELEASED)
        .filter_map(|entry| serde_json::from_value(entry.body.clone()).ok())
        .collect()
}
