//! What a step rests on, all the way up, and which of it does not hold.

use super::frame::{Frame, Slot};
use super::progress::{Progress, Standing};
use super::{Need, Per};

/// A step that a need names, looked up once for the whole job.
#[derive(Debug, Clone)]
pub(super) struct Named {
    pub(super) id: String,
    /// Its place in the procedure; `None` where the procedure has no such step, so that what needs
    /// it stays shut.
    pub(super) place: Option<usize>,
    /// Whether it is one step for the job or one for each module.
    pub(super) per: Per,
}

impl Named {
    /// Place and slot of the step, for the module in `slot` where it is a module's.
    fn at(&self, slot: Slot) -> Option<(usize, Slot)> {
        match self.per {
            Per::Job => Some((self.place?, None)),
            Per::Module => Some((self.place?, slot)),
        }
    }
}

/// Numbers that were met before, one bit each.
#[derive(Default)]
struct Seen(Vec<u64>);

impl Seen {
    /// Notes a number; whether it is new.
    fn note(&mut self, number: usize) -> bool {
        let (word, bit) = (number / 64, 1_u64 << (number % 64));
        if self.0.len() <= word {
            self.0.resize(word + 1, 0);
        }
        let Some(word) = self.0.get_mut(word) else {
            return false;
        };
        let new = *word & bit == 0;
        *word |= bit;
        new
    }
}

/// Looks at everything that a step rests on, once each.
pub(super) struct Search<'a> {
    frame: &'a Frame,
    progress: &'a Progress,
    fresh: bool,
    seen: Seen,
    pub(super) open: Vec<String>,
    /// The first step found that has not passed.
    pub(super) first: Option<(usize, Slot)>,
}

impl<'a> Search<'a> {
    /// Looks at what stands after some entries; `fresh` also counts what went stale.
    pub(super) fn new(frame: &'a Frame, progress: &'a Progress, fresh: bool) -> Self {
        Self {
            frame,
            progress,
            fresh,
            seen: Seen::default(),
            open: Vec::new(),
            first: None,
        }
    }

    pub(super) fn look_above(&mut self, place: usize, slot: Slot) {
        for need in self.frame.needs(place) {
            match need {
                Need::IfPlanned(step)
                    if step
                        .place
                        .is_some_and(|place| !self.progress.is_called_for(self.frame, place)) => {}
                Need::Step(step) | Need::IfPlanned(step) => self.require(step, slot),
                Need::EveryModule(step) => {
                    for module in 0..self.frame.modules.len() {
                        if self.progress.left_behind(module).is_none() {
                            self.require(step, Some(module));
                        }
                    }
                }
                Need::AnyOf(steps) => {
                    let passed = steps.iter().find(|step| self.has_passed(step, slot));
                    match passed {
                        Some(step) => self.require(step, slot),
                        None => self.none_of(steps, slot),
                    }
                }
            }
        }
    }

    fn none_of(&mut self, steps: &[Named], slot: Slot) {
        let meant = steps
            .iter()
            .filter_map(|step| step.at(slot))
            .find(|(place, slot)| {
                let step = self.frame.step_at(*place);
                step.is_some_and(|step| self.progress.is_for(step, *slot))
            });
        self.first = self.first.or(meant);
        let ids: Vec<&str> = steps.iter().map(|step| step.id.as_str()).collect();
        let per = steps.first().map_or(Per::Job, |step| step.per);
        self.say_open(&ids.join(" or "), per, slot);
    }

    fn has_passed(&self, step: &Named, slot: Slot) -> bool {
        step.at(slot)
            .is_some_and(|(place, slot)| self.is_good(self.progress.standing(place, slot)))
    }

    fn is_good(&self, standing: &Standing) -> bool {
        match standing {
            Standing::Passed(_) => true,
            Standing::Stale { .. } => !self.fresh,
            _ => false,
        }
    }

    fn require(&mut self, step: &Named, slot: Slot) {
        let Some((place, slot)) = step.at(slot) else {
            self.say_open(&step.id, step.per, slot);
            return;
        };
        if !self
            .seen
            .note(place * (self.frame.modules.len() + 1) + slot.map_or(0, |n| n + 1))
        {
            return;
        }
        if self.is_good(self.progress.standing(place, slot)) {
            self.look_above(place, slot);
        } else {
            self.first = self.first.or(Some((place, slot)));
            self.say_open(&step.id, step.per, slot);
        }
    }

    fn say_open(&mut self, ids: &str, per: Per, slot: Slot) {
        let module = slot.and_then(|number| self.frame.modules.get(number));
        let text = match module {
            Some(module) if per == Per::Module => format!("{ids} of {}", module.id),
            _ => ids.to_owned(),
        };
        if !self.open.contains(&text) {
            self.open.push(text);
        }
    }
}
