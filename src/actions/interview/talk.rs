//! The conversation about one job: which step is next, who may do it, what becomes of the answers.
//!
//! Nothing is kept in memory that a cut could lose: a step is in the ledger, on disk, before the
//! next one is asked. Stopping at any question loses at most the answers to the step at hand.

use super::happening::{Asks, Happening};
use super::question::{Choice, Question};
use super::typed;
use crate::actions::{ActionError, Added, add_entry};
use crate::citation::Reason;
use crate::clock::Moment;
use crate::job::Job;
use crate::procedure::{
    self, Branch, Entry, Evidence, EvidenceKind, Kind, People, Per, Photo, Slot, Step, Value,
};
use crate::store::JobFolder;

/// A conversation about one job.
#[derive(Debug)]
pub struct Interview {
    folder: JobFolder,
    job: Job,
}

/// A step with its questions.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Its place in the procedure.
    pub place: usize,
    /// The module, where it is one module's.
    pub slot: Slot,
    /// Id of the module.
    pub module: Option<String>,
    /// The step.
    pub step: Step,
    /// Its questions.
    pub questions: Vec<Question>,
    /// Whether a second person may be named.
    pub asks_second: bool,
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
    pub fn next(&self) -> Option<Asked> {
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
        let (place, slot) = open
            .iter()
            .find(|(place, slot)| at_site(*place) && begun(*slot))
            .or_else(|| open.iter().find(|(place, _)| at_site(*place)))
            .copied()?;
        self.asked(place, slot)
    }

    /// The step of that name with its questions; of `module` where it is one module's, the first
    /// where none is named.
    ///
    /// # Errors
    /// No such step or module, and what there is.
    pub fn look_up(&self, step: &str, module: Option<&str>) -> Result<Asked, Reason> {
        let frame = self.job.frame();
        let steps = &frame.procedure.steps;
        let place = steps
            .iter()
            .position(|one| one.id.eq_ignore_ascii_case(step))
            .ok_or_else(|| {
                Reason::new(
                    "step",
                    format!("`{step}` is not in the procedure {}", frame.procedure.id),
                )
                .limit("an id of the procedure")
                .way_out(format!(
                    "see `packdown procedure show {}`",
                    frame.procedure.id
                ))
            })?;
        let is_named = |id: &str| module.is_none_or(|name| name.eq_ignore_ascii_case(id));
        let slot = match steps.get(place).map(|one| one.per) {
            Some(Per::Module) => Some(
                frame
                    .modules
                    .iter()
                    .position(|one| is_named(&one.id))
                    .ok_or_else(|| {
                        let known: Vec<&str> =
                            frame.modules.iter().map(|one| one.id.as_str()).collect();
                        Reason::new("module", format!("`{}`", module.unwrap_or_default()))
                            .limit(known.join(", "))
                            .way_out("name one of these")
                    })?,
            ),
            _ => None,
        };
        self.asked(place, slot)
            .ok_or_else(|| Reason::new("step", format!("`{step}`")).limit("an id of the procedure"))
    }

    fn asked(&self, place: usize, slot: Slot) -> Option<Asked> {
        let frame = self.job.frame();
        let step = frame.step_at(place)?.clone();
        Some(Asked {
            place,
            slot,
            module: slot
                .and_then(|number| frame.modules.get(number))
                .map(|module| module.id.clone()),
            questions: self.questions(&step),
            asks_second: step.people != People::One || step.is_touching(),
            step,
        })
    }

    /// Why the step is shut now, whoever does it; empty where it is open.
    #[must_use]
    pub fn shut(&self, asked: &Asked) -> Vec<Reason> {
        let (frame, progress) = (self.job.frame(), self.job.progress());
        procedure::closed(
            frame,
            progress,
            asked.place,
            asked.slot,
            Some(Moment::present()),
        )
    }

    /// The questions of a step, in order.
    #[must_use]
    pub fn questions(&self, step: &Step) -> Vec<Question> {
        let today = Moment::present().local_day();
        let specs = step.evidence.iter();
        specs
            .map(|spec| Question::of(spec, self.job.frame(), today))
            .collect()
    }

    /// Who may do the step today, by the plan.
    #[must_use]
    pub fn who_may(&self, step: &Step) -> Vec<Choice> {
        let today = Moment::present().local_day();
        let people = self.job.frame().people.iter();
        people
            .filter_map(|person| {
                let as_what = person.competence(&step.role, today)?;
                let words = format!("{}, {}", person.name, as_what.role.words());
                Some(Choice::new(&person.id, words))
            })
            .collect()
    }

    /// Everybody of the plan but `by`.
    #[must_use]
    pub fn others(&self, by: &str) -> Vec<Choice> {
        let people = self.job.frame().people.iter();
        people
            .filter(|person| person.id != by)
            .map(|person| Choice::new(&person.id, &person.name))
            .collect()
    }

    /// The id of the person that a typed line means: an id of the plan, or a place in `choices`.
    ///
    /// # Errors
    /// What is wanted instead.
    pub fn person(&self, typed: &str, choices: &[Choice]) -> Result<String, String> {
        let on_the_plan = self.job.frame().person(typed.trim());
        match on_the_plan {
            Some(person) => Ok(person.id.clone()),
            None => typed::chosen(typed.trim(), choices).map(str::to_owned),
        }
    }

    /// Why the step may not begin now with these people; empty where it may.
    #[must_use]
    pub fn not_now(&self, asked: &Asked, by: &str, with: Option<&str>) -> Vec<Reason> {
        let (frame, progress) = (self.job.frame(), self.job.progress());
        let at = Moment::present();
        let mut reasons = procedure::closed(frame, progress, asked.place, asked.slot, Some(at));
        reasons.extend(procedure::people(
            frame,
            progress,
            &asked.step,
            at,
            by,
            with,
        ));
        reasons
    }

    /// The questions that a happening asks, in order.
    #[must_use]
    pub fn questions_of(&self, happening: &Happening) -> Vec<Question> {
        happening
            .asks
            .iter()
            .flat_map(|asks| self.questions_for(*asks))
            .collect()
    }

    fn questions_for(&self, asks: Asks) -> Vec<Question> {
        let plain = |name: &str, ask: &str, kind, optional| Question {
            name: name.into(),
            ask: ask.into(),
            kind,
            unit: "",
            choices: Vec::new(),
            unknown: String::new(),
            optional,
            limits: Vec::new(),
            columns: Vec::new(),
            rows: Vec::new(),
            only_these: false,
        };
        let module = |ask: &str, optional| Question {
            choices: (self.job.frame().modules.iter())
                .map(|module| {
                    let serial = module.serial.clone().unwrap_or_default();
                    Choice::new(&module.id, serial)
                })
                .collect(),
            ..plain("module", ask, EvidenceKind::Choice, optional)
        };
        let volts = |name: &str, ask: &str| Question {
            unit: "V",
            ..plain(name, ask, EvidenceKind::Number, true)
        };
        match asks {
            Asks::ModuleOrJob => {
                vec![module("Which module? Enter alone: the whole job.", true)]
            }
            Asks::Module => vec![module("Which module?", false)],
            Asks::Findings => vec![plain(
                "findings",
                "What was it?",
                EvidenceKind::Findings,
                false,
            )],
            Asks::DeadSide => vec![
                volts("dead_side_voltage_v", "Direct voltage on the dead side?"),
                volts(
                    "dead_side_ac_voltage_v",
                    "Alternating voltage on the dead side?",
                ),
            ],
            Asks::PeopleLeft => vec![Question {
                choices: vec![Choice::new("yes", ""), Choice::new("no", "")],
                unknown: "taken as yes".into(),
                ..plain(
                    "people_left",
                    "Did the people leave the place while work was stopped?",
                    EvidenceKind::YesNo,
                    false,
                )
            }],
            Asks::Second => vec![Question {
                choices: self.others(""),
                ..plain("with", "Who takes over?", EvidenceKind::Person, true)
            }],
            Asks::Why => vec![plain("reason", "Why?", EvidenceKind::Text, false)],
        }
    }

    /// Writes a step down.
    ///
    /// # Errors
    /// As [`fn@add_entry`].
    pub fn take_step(
        &mut self,
        asked: &Asked,
        by: &str,
        with: Option<&str>,
        evidence: Evidence,
        photos: Vec<Photo>,
    ) -> Result<Added, ActionError> {
        self.add(Entry {
            step: Some(asked.step.id.clone()),
            module: asked.module.clone(),
            with: with.map(str::to_owned),
            evidence,
            photos,
            ..bare(Kind::Step, by)
        })
    }

    /// Writes a happening down. The answers carry the module, the second person and the reason
    /// beside the evidence.
    ///
    /// # Errors
    /// As [`fn@add_entry`].
    pub fn take_happening(
        &mut self,
        happening: &Happening,
        by: &str,
        answers: &Evidence,
    ) -> Result<Added, ActionError> {
        let apart = ["module", "with", "reason"];
        let mut evidence = Evidence::default();
        for (name, value) in answers.iter() {
            if !apart.contains(&name) && *value != Value::Unknown {
                evidence.put(name, value.clone());
            }
        }
        let [module, with, reason] = apart.map(|name| answers.text(name).map(str::to_owned));
        self.add(Entry {
            module,
            with,
            reason,
            evidence,
            ..bare(happening.kind, by)
        })
    }

    fn add(&mut self, entry: Entry) -> Result<Added, ActionError> {
        let added = add_entry(&self.folder, entry, None)?;
        self.job = added.job.clone();
        Ok(added)
    }
}

fn bare(kind: Kind, by: &str) -> Entry {
    Entry {
        kind,
        step: None,
        module: None,
        at: Moment::present(),
        by: by.to_owned(),
        with: None,
        evidence: Evidence::default(),
        reason: None,
        happened_at: None,
        amends: None,
        photos: Vec::new(),
    }
}
