//! What a step rests on, all the way up, and which of it does not hold.

use super::frame::{Frame, Slot};
use super::progress::{Progress, Standing};
use super::{Need, Per};

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
        let Some(step) = self.frame.step_at(place) else {
            return;
        };
        for need in &step.needs {
            match need {
                Need::IfPlanned(id)
                    if self
                        .frame
                        .place(id)
                        .is_some_and(|place| !self.progress.is_called_for(self.frame, place)) => {}
                Need::Step(id) | Need::IfPlanned(id) => self.require(id, slot),
                Need::EveryModule(id) => {
                    for module in 0..self.frame.modules.len() {
                        if self.progress.left_behind(module).is_none() {
                            self.require(id, Some(module));
                        }
                    }
                }
                Need::AnyOf(ids) => {
                    let passed = ids.iter().find(|id| self.has_passed(id, slot));
                    match passed {
                        Some(id) => self.require(id, slot),
                        None => {
                            let meant = ids.iter().filter_map(|id| self.target(id, slot)).find(
                                |(place, slot)| {
                                    self.frame
                                        .step_at(*place)
                                        .is_some_and(|step| self.progress.is_for(step, *slot))
                                },
                            );
                            self.first = self.first.or(meant);
                            self.say_open(&ids.join(" or "), slot);
                        }
                    }
                }
            }
        }
    }

    fn target(&self, id: &str, slot: Slot) -> Option<(usize, Slot)> {
        let place = self.frame.place(id)?;
        match self.frame.step_at(place)?.per {
            Per::Job => Some((place, None)),
            Per::Module => Some((place, slot)),
        }
    }

    fn has_passed(&self, id: &str, slot: Slot) -> bool {
        self.target(id, slot)
            .is_some_and(|(place, slot)| self.is_good(self.progress.standing(place, slot)))
    }

    fn is_good(&self, standing: &Standing) -> bool {
        match standing {
            Standing::Passed(_) => true,
            Standing::Stale { .. } => !self.fresh,
            _ => false,
        }
    }

    fn require(&mut self, id: &str, slot: Slot) {
        let Some((place, slot)) = self.target(id, slot) else {
            self.say_open(id, slot);
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
            self.say_open(id, slot);
        }
    }

    fn say_open(&mut self, id: &str, slot: Slot) {
        let module = slot.and_then(|number| self.frame.modules.get(number));
        let is_module_step = self
            .frame
            .step(id.split(' ').next().unwrap_or(id))
            .is_some_and(|s| s.per == Per::Module);
        let text = match module {
            Some(module) if is_module_step => format!("{id} of {}", module.id),
            _ => id.to_owned(),
        };
        if !self.open.contains(&text) {
            self.open.push(text);
        }
    }
}
