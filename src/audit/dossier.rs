//! Everything that is at hand about one job when it is audited. Checks read this and nothing else.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde_json::Value;

use super::exchange::{Exchange, Side, exchanges_of};
use super::register_certificates::CertifiedBy;
use crate::clock::Moment;
use crate::custody::same_form;
use crate::job::{EntryBody, Job, OpenedBody, PapersBody, Plan, Verdict};
use crate::ledger::{Log, LogEntry, Verification};
use crate::procedure::{Act, Entry, Frame, Kind, Outcome, Procedure, Settings, Slot, Step};
use crate::transport;

/// An entry of the field record as it stands in the log.
#[derive(Debug, Clone)]
pub struct Recorded {
    /// Number in the log, from 0.
    pub seq: u64,
    /// Number in the field record, from 1.
    pub number: usize,
    /// The entry, as corrected since.
    pub entry: Entry,
    /// The entry as it was first written, where it was corrected since.
    pub first_written: Option<Entry>,
    /// What became of it, as recorded.
    pub outcome: Outcome,
    /// Place of its step in the procedure.
    pub place: Option<usize>,
    /// The module, by number.
    pub slot: Slot,
}

/// An entry whose recorded outcome the gate does not come to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// Number in the log.
    pub seq: u64,
    /// As recorded.
    pub recorded: Outcome,
    /// As the gate says.
    pub now: Outcome,
    /// The first reason of the gate.
    pub why: String,
}

/// An issue of papers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Issue {
    /// Number in the log.
    pub seq: u64,
    /// When.
    pub at: Moment,
    /// What was issued.
    pub body: PapersBody,
}

/// A paper that was issued, as it lies there now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaperHeld {
    /// Number of its issue.
    pub issue: u32,
    /// File name.
    pub name: String,
    /// Whether it is there at all.
    pub there: bool,
    /// Whether it is what was issued.
    pub as_issued: bool,
    /// Its text, kept of `decisions.json` only.
    pub text: Option<String>,
}

/// What is given beside the log of a job.
#[derive(Debug, Clone)]
pub struct Given {
    /// Folder or file, as the user named it.
    pub source: String,
    /// The procedure that the plan asks for.
    pub procedure: Procedure,
    /// The settings.
    pub settings: Settings,
    /// Hash of the settings, as the opening of a job writes it.
    pub settings_sha256: String,
    /// Papers of every issue.
    pub papers: Vec<PaperHeld>,
    /// What is wrong with the bundle that it came in; empty for a folder.
    pub bundle_faults: Vec<String>,
    /// Day of the audit: deadlines are counted to it.
    pub day: NaiveDate,
}

/// Everything at hand about one job.
#[derive(Debug)]
pub struct Dossier {
    /// Folder or file, as the user named it.
    pub source: String,
    /// The job as the record has it, whatever the gate would have said.
    pub job: Job,
    /// What a verifier says of the log.
    pub record: Verification,
    /// How the job was opened.
    pub opened: OpenedBody,
    /// Entries of the field record, in order.
    pub entries: Vec<Recorded>,
    /// Whether procedure and settings at hand are those that the job was opened with.
    pub same_rules: bool,
    /// Entries whose recorded outcome the gate does not come to.
    pub differences: Vec<Difference>,
    /// Issues of papers, in order.
    pub issues: Vec<Issue>,
    /// Papers of every issue.
    pub papers: Vec<PaperHeld>,
    /// What is wrong with the bundle that it came in.
    pub bundle_faults: Vec<String>,
    /// Hand-overs and receipts, in order of time, from this log and from registers of receivers.
    pub exchanges: Vec<Exchange>,
    /// Day of the audit.
    pub day: NaiveDate,
    /// Certificates that registers took, by serial in one form.
    pub certificates: BTreeMap<String, CertifiedBy>,
    decisions: OnceCell<Vec<Verdict>>,
}

/// The first entry of a job's log.
///
/// # Errors
/// A log that does not begin by opening a job, in words.
pub fn opening_of(log: &Log) -> Result<OpenedBody, String> {
    let first = log
        .entries()
        .first()
        .ok_or_else(|| "no entry of its log can be read".to_owned())?;
    if first.kind != "job_opened" {
        return Err(format!(
            "its log begins with `{}`, not with the opening of a job",
            first.kind
        ));
    }
    serde_json::from_value(first.body.clone())
        .map_err(|error| format!("entry 0 of its log is not the opening of a job: {error}"))
}

impl Dossier {
    /// Reads a job from its log. Entries that are no entry of a field record are passed over;
    /// those of a kind that an audit knows are kept beside.
    ///
    /// # Errors
    /// A log that does not begin by opening a job, in words.
    pub fn read(record: Verification, given: Given) -> Result<Self, String> {
        let opened = opening_of(&record.log)?;
        let same_rules = given.procedure.fingerprint == opened.procedure_sha256
            && given.settings_sha256 == opened.settings_sha256;
        let mut job = Job::open(opened.plan.clone(), given.procedure, given.settings);
        let mut rows: Vec<(u64, Outcome)> = Vec::new();
        let mut differences = Vec::new();
        let mut issues = Vec::new();
        for logged in record.log.entries().iter().skip(1) {
            if let Some(issue) = issue_of(logged) {
                issues.push(issue);
                continue;
            }
            let Ok(body) = EntryBody::read(&logged.body) else {
                continue;
            };
            let judged = job.take_as_recorded(body.entry, body.outcome);
            if judged.outcome != body.outcome {
                differences.push(Difference {
                    seq: logged.seq,
                    recorded: body.outcome,
                    now: judged.outcome,
                    why: judged
                        .reasons
                        .first()
                        .map(ToString::to_string)
                        .unwrap_or_default(),
                });
            }
            rows.push((logged.seq, body.outcome));
        }
        let entries = rows
            .iter()
            .zip(job.taken())
            .enumerate()
            .filter_map(|(n, ((seq, outcome), taken))| {
                let entry = job.progress().entry(n + 1)?.clone();
                let step = entry.step.as_deref();
                let place = step.and_then(|id| job.frame().place(id));
                let module = entry.module.as_deref();
                Some(Recorded {
                    seq: *seq,
                    number: n + 1,
                    first_written: (entry != *taken.entry).then(|| (*taken.entry).clone()),
                    outcome: *outcome,
                    place,
                    slot: module.and_then(|id| job.frame().module_number(id)),
                    entry,
                })
            })
            .collect();
        let mut dossier = Self {
            source: given.source,
            job,
            record,
            opened,
            entries,
            same_rules,
            differences,
            issues,
            papers: given.papers,
            bundle_faults: given.bundle_faults,
            exchanges: Vec::new(),
            day: given.day,
            certificates: BTreeMap::new(),
            decisions: OnceCell::new(),
        };
        dossier.exchanges = exchanges_of(&dossier);
        Ok(dossier)
    }

    /// With what registers of receivers say of this job's goods; `receipts` by job. A receipt
    /// answers the hand-over whose leaf it names; one that was taken from paper names none, and
    /// answers the hand-over of its number.
    pub fn add_receipts(&mut self, receipts: &BTreeMap<String, Vec<Exchange>>) {
        let Some(of_job) = receipts.get(&self.plan().job) else {
            return;
        };
        let gave: Vec<&Exchange> = self
            .exchanges
            .iter()
            .filter(|one| one.side == Side::Gave)
            .collect();
        let answers: Vec<Exchange> = of_job
            .iter()
            .filter_map(|receipt| {
                let answered = gave.iter().find(|gave| match &receipt.answers {
                    Some(leaf) => *leaf == gave.leaf,
                    None => gave.number > 0 && receipt.number == gave.number,
                })?;
                Some(Exchange {
                    answers: Some(answered.leaf.clone()),
                    ..receipt.clone()
                })
            })
            .collect();
        self.exchanges.extend(answers);
        self.exchanges.sort_by_key(|one| one.at);
    }

    /// With what treaters certified of this job's modules; `all` by serial in one form.
    pub fn add_certificates(&mut self, all: &BTreeMap<String, CertifiedBy>) {
        for identity in self.removed_identities() {
            let form = same_form(&identity);
            if let Some(by) = all.get(&form) {
                self.certificates.insert(form, by.clone());
            }
        }
    }

    /// Whether certificates in registers name every module that was removed.
    #[must_use]
    pub fn all_certified(&self) -> bool {
        let removed = self.removed_identities();
        !removed.is_empty() && removed.iter().all(|one| self.certified(one).is_some())
    }

    /// The certificate in a register that names the module.
    #[must_use]
    pub fn certified(&self, identity: &str) -> Option<&CertifiedBy> {
        self.certificates.get(&same_form(identity))
    }

    /// The plan.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        self.job.plan()
    }

    /// What was fixed before the first entry.
    #[must_use]
    pub const fn frame(&self) -> &Frame {
        self.job.frame()
    }

    /// The step of an entry.
    #[must_use]
    pub fn step_of(&self, recorded: &Recorded) -> Option<&Step> {
        self.frame().step_at(recorded.place?)
    }

    /// Entries of steps that passed, in order.
    pub fn passed(&self) -> impl DoubleEndedIterator<Item = &Recorded> {
        self.entries.iter().filter(|one| {
            one.outcome == Outcome::Passed && matches!(one.entry.kind, Kind::Step | Kind::LateEntry)
        })
    }

    /// Entries that passed a step with `act`, in order.
    pub fn doing(&self, act: Act) -> impl DoubleEndedIterator<Item = &Recorded> {
        self.passed()
            .filter(move |one| self.step_of(one).is_some_and(|step| step.does_act(act)))
    }

    /// The last entry that passed the step of that id, for that module.
    #[must_use]
    pub fn last(&self, step: &str, slot: Slot) -> Option<&Recorded> {
        self.passed()
            .rfind(|one| one.entry.step.as_deref() == Some(step) && one.slot == slot)
    }

    /// The first entry that touched what must be proved dead, or a live module.
    #[must_use]
    pub fn first_touch(&self) -> Option<&Recorded> {
        self.passed()
            .find(|one| self.step_of(one).is_some_and(Step::is_touching))
    }

    /// The hand-over to the next holder.
    #[must_use]
    pub fn released(&self) -> Option<&Recorded> {
        self.doing(Act::Release).last()
    }

    /// Day of carriage: of the hand-over, else as planned.
    #[must_use]
    pub fn day_of_carriage(&self) -> NaiveDate {
        self.released()
            .map_or(self.plan().planned_on, |one| one.entry.at.local_day())
    }

    /// A fresh decision for every removed module and leg, under the edition in force on the day on
    /// which the goods went, or will go.
    #[must_use]
    pub fn decisions(&self) -> &[Verdict] {
        self.decisions.get_or_init(|| {
            let went = self.day_of_carriage();
            let mut found = Vec::new();
            for module in 0..self.frame().modules.len() {
                if self.job.progress().left_behind(module).is_some() {
                    continue;
                }
                for (leg, on) in self.plan().route.iter().enumerate() {
                    let mut facts = self.job.facts(module, on);
                    facts.on = facts.on.map(|planned| planned.max(went));
                    found.push(Verdict {
                        module,
                        leg,
                        decision: transport::decide_untraced(&facts),
                    });
                }
            }
            found
        })
    }

    /// The newest `decisions.json`, where it is as issued.
    #[must_use]
    pub fn decided(&self) -> Option<Value> {
        let paper = self
            .papers
            .iter()
            .filter(|paper| paper.name == "decisions.json")
            .max_by_key(|paper| paper.issue)
            .filter(|paper| paper.as_issued)?;
        serde_json::from_str(paper.text.as_deref()?).ok()
    }

    /// Identities of the modules that were removed, sorted.
    #[must_use]
    pub fn removed_identities(&self) -> Vec<String> {
        let mut found: Vec<String> = (0..self.frame().modules.len())
            .filter(|module| self.job.progress().is_lifted(self.frame(), *module))
            .map(|module| self.job.identity(module).0)
            .collect();
        found.sort();
        found
    }

    /// Name of a module in the plan.
    #[must_use]
    pub fn module_id(&self, module: usize) -> &str {
        self.frame()
            .modules
            .get(module)
            .map_or("", |module| module.id.as_str())
    }

    /// Whether the goods go under the law of the United States on any leg.
    #[must_use]
    pub fn is_in_the_us(&self) -> bool {
        self.plan().site.country.eq_ignore_ascii_case("US")
            || self
                .plan()
                .route
                .iter()
                .any(|leg| leg.regime == transport::Regime::Cfr49)
    }
}

fn issue_of(logged: &LogEntry) -> Option<Issue> {
    (logged.kind == "papers_issued")
        .then(|| serde_json::from_value(logged.body.clone()).ok())
        .flatten()
        .map(|body| Issue {
            seq: logged.seq,
            at: logged.moment(),
            body,
        })
}
