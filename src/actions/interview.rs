//! Asks a crew through the job, one question at a time, and takes each step when it is answered.
//!
//! Nothing is kept in memory that a cut could lose: a step is in the ledger, on disk, before the
//! next one is asked. Stopping at any question loses at most the answers to the step at hand.

use super::ActionError;
use crate::clock::Moment;
use crate::job::Job;
use crate::procedure::{
    Branch, Entry, Evidence, EvidenceKind, EvidenceSpec, Kind, Photo, Slot, Step, Value,
};
use crate::store::JobFolder;

/// One question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Name of the answer.
    pub name: String,
    /// The question.
    pub ask: String,
    /// What may be answered.
    pub form: String,
    /// What "unknown" amounts to; empty where it does not pass the step.
    pub unknown: String,
    /// Whether it may be passed over.
    pub optional: bool,
    /// The kind of the answer.
    pub kind: EvidenceKind,
    /// Columns, where it is a table.
    pub columns: Vec<Question>,
}

/// A conversation about one job.
#[derive(Debug)]
pub struct Interview {
    folder: JobFolder,
    job: Job,
}

impl Interview {
    /// Takes up the job in `folder` where it stands.
    ///
    /// # Errors
    /// A plan that cannot be used, or a ledger that is broken.
    pub fn begin(folder: JobFolder) -> Result<Self, ActionError> {
        let job = if folder.has_ledger() {
            folder.open()?.job
        } else {
            folder.new_job(None, None)?.0
        };
        Ok(Self { folder, job })
    }

    /// The job as it stands.
    #[must_use]
    pub const fn job(&self) -> &Job {
        &self.job
    }

    /// The step to do next: the first that is open, modules one after the other.
    #[must_use]
    pub fn next(&self) -> Option<(usize, Slot)> {
        let open = self.job.open_steps();
        let frame = self.job.frame();
        // A module that was begun is finished before the next one is touched.
        let begun =
            |slot: Slot| slot.is_some_and(|module| self.job.progress().serial(module).is_some());
        let at_site = |place: usize| {
            frame
                .step_at(place)
                .is_some_and(|step| step.branch != Branch::Custody)
        };
        open.iter()
            .find(|(place, slot)| at_site(*place) && begun(*slot))
            .or_else(|| open.iter().find(|(place, _)| at_site(*place)))
            .copied()
    }

    /// The step at a place.
    #[must_use]
    pub fn step(&self, place: usize) -> Option<&Step> {
        self.job.frame().step_at(place)
    }

    /// The questions of a step.
    #[must_use]
    pub fn questions(step: &Step) -> Vec<Question> {
        step.evidence.iter().map(question).collect()
    }

    /// Goes on with the job as it stands after an entry was added to it.
    pub fn go_on(&mut self, job: Job) {
        self.job = job;
    }

    /// The folder of the job.
    #[must_use]
    pub const fn folder(&self) -> &JobFolder {
        &self.folder
    }

    /// An entry for a step, made now.
    #[must_use]
    pub fn entry(
        &self,
        place: usize,
        slot: Slot,
        by: &str,
        with: Option<&str>,
        evidence: Evidence,
        photos: Vec<Photo>,
    ) -> Entry {
        let frame = self.job.frame();
        Entry {
            kind: Kind::Step,
            step: frame.step_at(place).map(|step| step.id.clone()),
            module: slot
                .and_then(|n| frame.modules.get(n))
                .map(|module| module.id.clone()),
            at: Moment::present(),
            by: by.to_owned(),
            with: with.map(str::to_owned),
            evidence,
            reason: None,
            happened_at: None,
            amends: None,
            photos,
        }
    }
}

fn question(spec: &EvidenceSpec) -> Question {
    Question {
        name: spec.name.clone(),
        ask: spec.ask.clone(),
        form: match spec.kind {
            EvidenceKind::Number => "number".into(),
            EvidenceKind::Whole => "whole number".into(),
            EvidenceKind::Text => "text".into(),
            EvidenceKind::YesNo => "yes / no".into(),
            EvidenceKind::Choice => spec.of.join(" / "),
            EvidenceKind::Time => "now, or HH:MM of today".into(),
            EvidenceKind::Person => "person id".into(),
            EvidenceKind::Instrument => "serial".into(),
            EvidenceKind::Findings => "codes such as F10, or none".into(),
            EvidenceKind::List => "texts, separated by ;".into(),
            EvidenceKind::Table => "rows".into(),
        },
        unknown: spec.unknown.clone(),
        optional: spec.optional,
        kind: spec.kind,
        columns: spec.columns.iter().map(question).collect(),
    }
}

impl Question {
    /// What a typed line means as an answer to this question.
    #[must_use]
    pub fn answer(&self, typed: &str, present: Moment) -> Value {
        let typed = typed.trim();
        match self.kind {
            EvidenceKind::Time => clock_answer(typed, present),
            EvidenceKind::List => {
                let parts = typed
                    .split(';')
                    .map(str::trim)
                    .filter(|part| !part.is_empty());
                match Value::typed(typed) {
                    Value::Unknown => Value::Unknown,
                    _ => Value::List(parts.map(Value::typed).collect()),
                }
            }
            EvidenceKind::YesNo => match typed.to_ascii_lowercase().as_str() {
                "y" | "yes" => Value::YesNo(true),
                "n" | "no" => Value::YesNo(false),
                _ => Value::typed(typed),
            },
            // A comma is how half of Europe writes the decimal point.
            EvidenceKind::Number => Value::typed(&typed.replace(',', ".")),
            _ => Value::typed(typed),
        }
    }
}

/// `now`, or a wall-clock time of today in the device's own offset, or a whole time.
fn clock_answer(typed: &str, present: Moment) -> Value {
    if typed.eq_ignore_ascii_case("now") {
        return Value::Text(present.local());
    }
    let digits = typed.split_once(':').is_some_and(|(hours, minutes)| {
        !hours.is_empty()
            && hours.len() <= 2
            && minutes.len() == 2
            && hours
                .bytes()
                .chain(minutes.bytes())
                .all(|b| b.is_ascii_digit())
    });
    if digits {
        return Value::Text(format!(
            "{}T{typed:0>5}:00{}",
            present.local_day(),
            present.offset()
        ));
    }
    Value::typed(typed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_typed_as_it_stands_on_the_wall() {
        let present: Moment = "2026-11-25T09:41:00+01:00".parse().unwrap();
        assert_eq!(
            clock_answer("now", present).to_string(),
            "2026-11-25T09:41:00+01:00"
        );
        assert_eq!(
            clock_answer("9:05", present).to_string(),
            "2026-11-25T09:05:00+01:00"
        );
        assert_eq!(clock_answer("", present), Value::Unknown);
    }
}
