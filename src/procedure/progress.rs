//! Where the job stands: which steps passed, which went stale, and why.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::frame::{Frame, Slot};
use super::needs::Search;
use super::{Act, Branch, Entry, Evidence, EvidenceSpec, Kind, Need, Per, Step, When};
use crate::battery::Soundness;
use crate::clock::Moment;
use crate::units::Decimal;

/// Where one step stands.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Standing {
    /// Nobody has begun it.
    #[default]
    NotBegun,
    /// Tried; its evidence does not pass it. Number of the entry.
    NotPassed(usize),
    /// Passed. Number of the entry.
    Passed(usize),
    /// Passed, but what it proved may no longer be so.
    Stale {
        /// Number of the entry that passed it.
        entry: usize,
        /// What made it stale.
        why: String,
    },
    /// Its evidence was taken back or is no longer so.
    Void {
        /// Number of the entry that had passed it.
        entry: usize,
        /// Why.
        why: String,
    },
}

impl Standing {
    /// The entry it rests on.
    #[must_use]
    pub const fn entry(&self) -> Option<usize> {
        match self {
            Self::NotBegun => None,
            Self::NotPassed(entry)
            | Self::Passed(entry)
            | Self::Stale { entry, .. }
            | Self::Void { entry, .. } => Some(*entry),
        }
    }
}

/// A stop that is in force.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// Since when.
    pub since: Moment,
    /// Why.
    pub why: String,
    /// Whether it came from a red flag, so that only the way back opens it.
    pub red_flag: bool,
}

/// Where the job stands after some entries. The first entry of the record has number 1.
#[derive(Debug, Clone, Default)]
pub struct Progress {
    entries: Vec<Arc<Entry>>,
    refused: BTreeSet<usize>,
    /// By place of the step, then the job's own and one for each module.
    standings: Vec<Vec<Standing>>,
    pub(super) stop: Option<Stop>,
    pub(super) last_at: Option<Moment>,
    /// When somebody last did something on site: what is only written down later does not count.
    pub(super) last_work_at: Option<Moment>,
    pub(super) largest_group_v: Option<Decimal>,
    pub(super) findings: BTreeMap<Slot, BTreeSet<String>>,
    pub(super) soundness: BTreeMap<usize, Soundness>,
    pub(super) left_behind: BTreeMap<usize, String>,
    pub(super) serials: BTreeMap<usize, Option<String>>,
    pub(super) unknowns: Vec<String>,
}

impl Progress {
    /// Number of entries accepted so far, refused ones included.
    #[must_use]
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether nothing was entered.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// The entry of that number; the first is 1.
    #[must_use]
    pub fn entry(&self, number: usize) -> Option<&Entry> {
        self.entries.get(number.checked_sub(1)?).map(Arc::as_ref)
    }

    /// Whether the entry of that number was refused, so that nothing rests on it.
    #[must_use]
    pub fn was_refused(&self, number: usize) -> bool {
        self.refused.contains(&number)
    }

    /// The stop in force.
    #[must_use]
    pub const fn stop(&self) -> Option<&Stop> {
        self.stop.as_ref()
    }

    /// When the last entry was made.
    #[must_use]
    pub const fn last_at(&self) -> Option<Moment> {
        self.last_at
    }

    /// Voltage of the largest joined group now: as measured, else the plan's maximum.
    #[must_use]
    pub fn largest_group_v(&self, frame: &Frame) -> Decimal {
        self.largest_group_v
            .unwrap_or_else(|| frame.installation.max_voltage_v.decimal())
    }

    /// Finding codes on a module, or on the job as a whole, in order.
    #[must_use]
    pub fn findings(&self, slot: Slot) -> Vec<&str> {
        self.findings
            .get(&slot)
            .into_iter()
            .flatten()
            .map(String::as_str)
            .collect()
    }

    /// Soundness of a module as last judged.
    #[must_use]
    pub fn soundness(&self, module: usize) -> Option<Soundness> {
        self.soundness.get(&module).copied()
    }

    /// Why a module stays where it is.
    #[must_use]
    pub fn left_behind(&self, module: usize) -> Option<&str> {
        self.left_behind.get(&module).map(String::as_str)
    }

    /// The serial read on a module: `None` nobody looked yet, `Some(None)` unreadable.
    #[must_use]
    pub fn serial(&self, module: usize) -> Option<Option<&str>> {
        self.serials.get(&module).map(Option::as_deref)
    }

    /// Answers that were "unknown", each with its safe consequence.
    #[must_use]
    pub fn unknowns(&self) -> &[String] {
        &self.unknowns
    }

    /// Where a step stands.
    #[must_use]
    pub fn standing(&self, place: usize, slot: Slot) -> &Standing {
        const NOT_BEGUN: &Standing = &Standing::NotBegun;
        let of_step = self.standings.get(place);
        of_step
            .and_then(|slots| slots.get(number_of(slot)))
            .unwrap_or(NOT_BEGUN)
    }

    /// The entry that passed a step, stale or not.
    #[must_use]
    pub fn passed_entry(&self, place: usize, slot: Slot) -> Option<&Entry> {
        match self.standing(place, slot) {
            Standing::Passed(entry) | Standing::Stale { entry, .. } => self.entry(*entry),
            _ => None,
        }
    }

    /// The evidence of the entry that passed the step with this id, stale or not.
    #[must_use]
    pub fn evidence_of(&self, frame: &Frame, id: &str, slot: Slot) -> Option<&Evidence> {
        let place = frame.place(id)?;
        let slot = if frame.step_at(place)?.per == Per::Job {
            None
        } else {
            slot
        };
        self.passed_entry(place, slot).map(|entry| &entry.evidence)
    }

    /// The entries that passed a step with `act`, stale or not, in order of the procedure.
    pub fn passed_doing<'a>(
        &'a self,
        frame: &'a Frame,
        act: Act,
        slot: Slot,
    ) -> impl Iterator<Item = &'a Entry> {
        frame.steps_doing(act).filter_map(move |(place, step)| {
            self.passed_entry(place, if step.per == Per::Job { None } else { slot })
        })
    }

    /// Whether a module was lifted out.
    #[must_use]
    pub fn is_lifted(&self, frame: &Frame, module: usize) -> bool {
        self.passed_doing(frame, Act::LiftModule, Some(module))
            .next()
            .is_some()
    }

    /// Whether a step is for the module in this slot, as far as its soundness is judged.
    #[must_use]
    pub fn is_for(&self, step: &Step, slot: Slot) -> bool {
        let Some(module) = slot else { return true };
        match (step.when, self.soundness(module)) {
            (When::Always, _) | (_, None) => true,
            (When::NotDamaged, Some(soundness)) => !soundness.is_damaged_in_law(),
            (When::Damaged, Some(soundness)) => soundness.is_damaged_in_law(),
        }
    }

    /// Whether a step is called for: the plan keeps it, and no earlier answer says otherwise.
    #[must_use]
    pub fn is_called_for(&self, frame: &Frame, place: usize) -> bool {
        if frame.is_left_out(place) {
            return false;
        }
        let Some(only) = frame.step_at(place).and_then(|step| step.only_for.as_ref()) else {
            return true;
        };
        let answer = only
            .answer
            .split_once('.')
            .and_then(|(step, name)| self.evidence_of(frame, step, None)?.text(name));
        answer.is_none_or(|answer| only.is.iter().any(|one| one == answer))
    }

    /// Needs of a step that have not passed, as text such as `C20` or `M12 of m3`; `fresh` also
    /// counts what went stale. Every step that a need rests on is looked at too, so evidence
    /// taken back far up the way closes everything below it.
    #[must_use]
    pub fn open_needs(&self, frame: &Frame, place: usize, slot: Slot, fresh: bool) -> Vec<String> {
        let mut search = Search::new(frame, self, fresh);
        search.look_above(place, slot);
        search.open
    }

    /// The first step that is open on the way to a shut one: what to do now. `None` where the
    /// step itself is open.
    #[must_use]
    pub fn first_on_the_way(
        &self,
        frame: &Frame,
        place: usize,
        slot: Slot,
        fresh: bool,
    ) -> Option<(usize, Slot)> {
        let mut at = (place, slot);
        let mut found = None;
        // Each turn goes one step up a graph without cycles, so it ends.
        for _ in 0..frame.procedure.steps.len() {
            let mut search = Search::new(frame, self, fresh);
            search.look_above(at.0, at.1);
            match search.first {
                Some(next) => {
                    found = Some(next);
                    at = next;
                }
                None => break,
            }
        }
        found
    }

    pub(super) fn set_standing(&mut self, place: usize, slot: Slot, standing: Standing) {
        if self.standings.len() <= place {
            self.standings.resize_with(place + 1, Vec::new);
        }
        let number = number_of(slot);
        if let Some(slots) = self.standings.get_mut(place) {
            if slots.len() <= number {
                slots.resize(number + 1, Standing::NotBegun);
            }
            if let Some(known) = slots.get_mut(number) {
                *known = standing;
            }
        }
    }

    /// Keeps an entry. A refused one does not move the clock on: its time may be what was wrong.
    pub(super) fn push(&mut self, entry: Arc<Entry>, refused: bool) {
        if refused {
            self.refused.insert(self.entries.len() + 1);
        } else {
            self.last_at = Some(self.last_at.map_or(entry.at, |last| last.max(entry.at)));
            if !matches!(entry.kind, Kind::Correction | Kind::LateEntry) {
                self.last_work_at = self.last_at;
            }
        }
        self.entries.push(entry);
    }

    /// Whether the locks came off at the end of the work: from then on nothing is proved dead,
    /// and nothing needs to be.
    #[must_use]
    pub fn locks_are_off(&self, frame: &Frame) -> bool {
        self.passed_doing(frame, Act::RemoveLocks, None)
            .next()
            .is_some()
    }

    pub(super) fn amend(&mut self, number: usize, evidence: Evidence) {
        if let Some(entry) = number.checked_sub(1).and_then(|n| self.entries.get_mut(n)) {
            Arc::make_mut(entry).evidence = evidence;
        }
    }

    /// Makes the proof of the dead state stale: everything from the try-start to the release, and what
    /// was measured dead beside it.
    pub(super) fn make_proof_stale(&mut self, frame: &Frame, why: &str) {
        for (place, step) in frame.procedure.steps.iter().enumerate() {
            if step.acts.iter().any(|act| belongs_to_proof(*act))
                || self.is_measured_beside(frame, place)
            {
                self.make_stale(place, None, why);
            }
        }
    }

    /// Whether a step measures dead beside the proof (the inputs of an inverter, a bus that racks
    /// share) and something that rests on it is still to be parted.
    ///
    /// Rule G4 of the procedure names the steps of the trunk only. But these readings were taken under
    /// the same locks, so what makes the proof stale makes them stale too. Once what rests on them is
    /// parted they have served, and an inverter that is gone is not asked for again.
    fn is_measured_beside(&self, frame: &Frame, place: usize) -> bool {
        frame.step_at(place).is_some_and(measures_dead) && !self.has_served(frame, place)
    }

    /// Whether everything that rests on a step is parted.
    fn has_served(&self, frame: &Frame, place: usize) -> bool {
        let Some(id) = frame.step_at(place).map(|step| step.id.as_str()) else {
            return true;
        };
        let rests_on_it = |step: &&Step| {
            let mut named = step.needs.iter().flat_map(Need::steps);
            named.any(|need| need == id)
        };
        let mut later = frame.procedure.steps.iter().filter(rests_on_it);
        later.all(|step| {
            let Some(at) = frame.place(&step.id) else {
                return false;
            };
            matches!(self.standing(at, None), Standing::Passed(_))
                && (step.is_touching() || self.has_served(frame, at))
        })
    }

    /// Makes stale what stands after `step` in the proof: it rested on it.
    pub(super) fn make_rest_of_proof_stale(&mut self, frame: &Frame, step: &Step, why: &str) {
        let from = step
            .acts
            .iter()
            .filter(|act| belongs_to_proof(**act))
            .max()
            .copied();
        for (place, later) in frame.procedure.steps.iter().enumerate() {
            let in_proof = later
                .acts
                .iter()
                .any(|act| belongs_to_proof(*act) && Some(*act) > from);
            let beside =
                from <= Some(Act::ProveTesterAfter) && self.is_measured_beside(frame, place);
            if in_proof || beside {
                self.make_stale(place, None, why);
            }
        }
    }

    /// Makes one step stale.
    pub(super) fn make_stale(&mut self, place: usize, slot: Slot, why: &str) {
        if let Standing::Passed(entry) = self.standing(place, slot) {
            let standing = Standing::Stale {
                entry: *entry,
                why: why.to_owned(),
            };
            self.set_standing(place, slot, standing);
        }
    }

    /// Makes one step void.
    pub(super) fn make_void(&mut self, place: usize, slot: Slot, why: &str) {
        if let Standing::Passed(entry) | Standing::Stale { entry, .. } = self.standing(place, slot)
        {
            let standing = Standing::Void {
                entry: *entry,
                why: why.to_owned(),
            };
            self.set_standing(place, slot, standing);
        }
    }

    /// Makes every step with `act` void.
    pub(super) fn make_act_void(&mut self, frame: &Frame, act: Act, why: &str) {
        let places: Vec<usize> = frame.steps_doing(act).map(|(place, _)| place).collect();
        for place in places {
            self.make_void(place, None, why);
        }
    }

    /// A red flag: stops the job, and the way back must be gone from its beginning.
    pub(super) fn raise_red_flag(&mut self, frame: &Frame, at: Moment, why: &str) {
        for (place, step) in frame.procedure.steps.iter().enumerate() {
            let way_back = [Act::Withdraw, Act::Watch, Act::Return];
            if step.branch == Branch::RedFlag || way_back.iter().any(|act| step.does_act(*act)) {
                self.set_standing(place, None, Standing::NotBegun);
            }
        }
        self.make_proof_stale(frame, why);
        self.stop = Some(Stop {
            since: at,
            why: why.to_owned(),
            red_flag: true,
        });
    }

    /// Whether every step that allows to return has passed.
    #[must_use]
    pub(super) fn may_return(&self, frame: &Frame) -> bool {
        let mut any = false;
        for (place, _) in frame.steps_doing(Act::Return) {
            any = true;
            if !matches!(self.standing(place, None), Standing::Passed(_)) {
                return false;
            }
        }
        any
    }
}

/// Whether all that a step does is to measure dead.
fn measures_dead(step: &Step) -> bool {
    let dead = |spec: &EvidenceSpec| spec.limits.iter().any(|limit| limit.breaks_dead_proof);
    let asked = step.evidence.iter();
    step.acts.is_empty()
        && asked
            .flat_map(|spec| spec.columns.iter().chain([spec]))
            .any(dead)
}

/// Place of a slot among those of its step.
fn number_of(slot: Slot) -> usize {
    slot.map_or(0, |module| module + 1)
}

/// Whether an act belongs to the isolation that the proof rests on.
pub(super) const fn belongs_to_isolation(act: Act) -> bool {
    matches!(
        act,
        Act::FindSources
            | Act::StopCurrent
            | Act::BlockRestart
            | Act::Isolate
            | Act::SeeBreak
            | Act::Lock
    )
}

/// Whether an act belongs to what goes stale: from the try-start to the release.
pub(super) const fn belongs_to_proof(act: Act) -> bool {
    matches!(
        act,
        Act::TryStart
            | Act::WaitStoredEnergy
            | Act::ProveTesterBefore
            | Act::TestDead
            | Act::ProveTesterAfter
            | Act::Bond
            | Act::CoverLive
            | Act::ReleaseWork
    )
}
