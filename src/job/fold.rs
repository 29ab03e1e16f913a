//! Intent and state to events: each entry is taken in turn, and the state is what they add up to.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Plan;
use crate::citation::Reason;
use crate::procedure::{
    Act, Entry, Frame, Judgement, Kind, Outcome, Procedure, Progress, Settings, Slot, Standing,
    closed, open_steps, take, take_as_recorded,
};

/// An entry and what became of it.
#[derive(Debug, Clone)]
pub struct Taken {
    /// The entry as made.
    pub entry: Arc<Entry>,
    /// What became of it.
    pub judgement: Judgement,
}

/// A removal job as far as its entries go.
#[derive(Debug, Clone)]
pub struct Job {
    plan: Plan,
    frame: Frame,
    progress: Progress,
    taken: Vec<Arc<Taken>>,
    /// Places in `taken` of readings outside a step, so that a long record is not searched again.
    readings: Vec<usize>,
    /// Places of entries that a later one corrects.
    corrected: BTreeSet<usize>,
}

impl Job {
    /// Opens a job: nothing was entered yet.
    #[must_use]
    pub fn open(plan: Plan, procedure: Procedure, settings: Settings) -> Self {
        let left_out: BTreeSet<String> = plan.left_out.iter().cloned().collect();
        let frame = Frame::new(
            procedure,
            settings,
            plan.installation.clone(),
            plan.modules.clone(),
            plan.people.clone(),
            plan.instruments.clone(),
            &left_out,
        );
        Self {
            plan,
            frame,
            progress: Progress::default(),
            taken: Vec::new(),
            readings: Vec::new(),
            corrected: BTreeSet::new(),
        }
    }

    /// Takes the next entry and says what became of it.
    pub fn take(&mut self, entry: Entry) -> Arc<Taken> {
        let entry = Arc::new(entry);
        let judgement = take(&self.frame, &mut self.progress, &entry);
        self.keep(entry, judgement)
    }

    fn keep(&mut self, entry: Arc<Entry>, judgement: Judgement) -> Arc<Taken> {
        match entry.kind {
            Kind::Reading if judgement.outcome == Outcome::Recorded => {
                self.readings.push(self.taken.len());
            }
            Kind::Correction if judgement.outcome != Outcome::Refused => {
                let number = entry.amends.and_then(|n| (n as usize).checked_sub(1));
                self.corrected.extend(number);
            }
            _ => {}
        }
        let taken = Arc::new(Taken { entry, judgement });
        self.taken.push(Arc::clone(&taken));
        taken
    }

    /// Takes the next entry of a record as it stands, for auditors: `recorded` is followed where the
    /// gate would have said otherwise. Gives the gate's own judgement.
    pub fn take_as_recorded(&mut self, entry: Entry, recorded: Outcome) -> Judgement {
        let entry = Arc::new(entry);
        let judgement = take_as_recorded(&self.frame, &mut self.progress, &entry, recorded);
        let kept = Judgement {
            outcome: recorded,
            ..judgement.clone()
        };
        self.keep(entry, kept);
        judgement
    }

    /// The job as it stood after the first `entries` of them, each with the outcome it has here.
    #[must_use]
    pub fn as_of(&self, entries: usize) -> Self {
        let mut earlier = Self {
            plan: self.plan.clone(),
            frame: self.frame.clone(),
            progress: Progress::default(),
            taken: Vec::new(),
            readings: Vec::new(),
            corrected: BTreeSet::new(),
        };
        for taken in self.taken.iter().take(entries) {
            earlier.take_as_recorded((*taken.entry).clone(), taken.judgement.outcome);
        }
        earlier
    }

    /// The plan.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        &self.plan
    }

    /// What was fixed before the first entry.
    #[must_use]
    pub const fn frame(&self) -> &Frame {
        &self.frame
    }

    /// Where the job stands.
    #[must_use]
    pub const fn progress(&self) -> &Progress {
        &self.progress
    }

    /// Every entry with what became of it; the first has number 1.
    #[must_use]
    pub fn taken(&self) -> &[Arc<Taken>] {
        &self.taken
    }

    /// Readings on a module outside a step that nobody took back, in order.
    pub fn readings(&self, module: usize) -> impl Iterator<Item = &Entry> {
        let id = self.frame.modules.get(module).map(|one| one.id.as_str());
        self.readings
            .iter()
            .filter(|number| !self.corrected.contains(*number))
            .filter_map(|number| self.taken.get(*number))
            .map(|taken| taken.entry.as_ref())
            .filter(move |entry| id.is_some() && entry.module.as_deref() == id)
    }

    /// The refusal that the job stands at: its last entry, where that was refused. One that was
    /// put right by a later entry no longer counts.
    #[must_use]
    pub fn refusal(&self) -> Option<(usize, &Taken)> {
        let last = self.taken.last()?;
        (last.judgement.outcome == Outcome::Refused).then_some((self.taken.len(), last))
    }

    /// Steps that may be done next.
    #[must_use]
    pub fn open_steps(&self) -> Vec<(usize, Slot)> {
        open_steps(&self.frame, &self.progress)
    }

    /// Why papers are not issued for the job; empty where it is entitled to them.
    ///
    /// It is, once every module is counted as removed or left behind, with everything that the
    /// count rests on still passed and no stop in force.
    #[must_use]
    pub fn not_entitled_to_papers(&self) -> Vec<Reason> {
        let mut reasons = Vec::new();
        if let Some(stop) = self.progress.stop() {
            reasons.push(
                Reason::new("work is stopped", stop.why.clone())
                    .limit("no stop in force")
                    .way_out(if stop.red_flag {
                        "go the way back (X01 to X08) first"
                    } else {
                        "resume, or finish the job"
                    }),
            );
        }
        if let Some((number, taken)) = self.refusal() {
            reasons.push(
                Reason::new(
                    "the record was stopped",
                    format!(
                        "entry {number} ({}) was refused",
                        taken
                            .entry
                            .step
                            .as_deref()
                            .unwrap_or(taken.entry.kind.name())
                    ),
                )
                .limit("a record without a refusal")
                .way_out("put right on site what was refused, then go on from there"),
            );
        }
        for (place, step) in self.frame.steps_doing(Act::Count) {
            let passed = matches!(
                self.progress.standing(place, None),
                Standing::Passed(_) | Standing::Stale { .. }
            );
            let open = self.progress.open_needs(&self.frame, place, None, false);
            if !passed || !open.is_empty() {
                let mut shown = open.iter().take(6).cloned().collect::<Vec<_>>().join(", ");
                if open.len() > 6 {
                    shown.push_str(&format!(" and {} more", open.len() - 6));
                }
                reasons.push(
                    Reason::new(
                        format!("{} {}", step.id, step.does.trim_end_matches('.')),
                        if open.is_empty() {
                            "not done".into()
                        } else {
                            format!("open before it: {shown}")
                        },
                    )
                    .limit("planned = removed + left behind, each module accounted for")
                    .clause("rule G1 of the procedure")
                    .way_out("finish the open steps; `packdown show` lists them"),
                );
            }
        }
        reasons
    }

    /// Why the step is shut now; empty where it is open.
    #[must_use]
    pub fn closed(&self, place: usize, slot: Slot) -> Vec<Reason> {
        closed(&self.frame, &self.progress, place, slot, None)
    }
}
