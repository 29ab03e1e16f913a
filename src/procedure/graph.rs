//! The precedence graph: what is sure to have passed when a step opens.
//!
//! "Sure" is stronger than "named somewhere above": a step behind `C10?` may be left out, and of
//! `M10|X16` only what stands above both alternatives is sure. The gate and the proof ask here.

use std::collections::BTreeMap;

use crate::procedure::{Branch, Need, Step};

/// A set of steps by their place in [`Graph::steps`].
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StepSet(Vec<u64>);

impl StepSet {
    pub(super) fn none(len: usize) -> Self {
        Self(vec![0; len.div_ceil(64)])
    }

    pub(super) fn add(&mut self, step: usize) {
        if let Some(word) = self.0.get_mut(step / 64) {
            *word |= 1 << (step % 64);
        }
    }

    fn join(&mut self, other: &Self) {
        for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
            *mine |= theirs;
        }
    }

    fn keep(&mut self, other: &Self) {
        for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
            *mine &= theirs;
        }
    }

    /// Whether any step is in both.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).any(|(a, b)| a & b != 0)
    }

    /// Whether `step` is in it.
    #[must_use]
    pub fn has(&self, step: usize) -> bool {
        self.0
            .get(step / 64)
            .is_some_and(|word| word & (1 << (step % 64)) != 0)
    }

    /// The steps, lowest place first.
    pub fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.0.len() * 64).filter(|step| self.has(*step))
    }
}

/// A way through the needs that ends where it began; the first step stands again at the end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cycle(pub Vec<String>);

/// The precedence graph of one procedure, built once.
#[derive(Debug, Clone)]
pub struct Graph {
    ids: Vec<String>,
    places: BTreeMap<String, usize>,
    before: Vec<Vec<usize>>,
    guaranteed: Vec<StepSet>,
    order: Vec<usize>,
}

impl Graph {
    /// The graph of `steps`. A need that names no step of them adds nothing.
    ///
    /// # Errors
    /// The cycle, where there is one.
    pub fn new(steps: &[Step]) -> Result<Self, Cycle> {
        let places: BTreeMap<String, usize> = steps
            .iter()
            .enumerate()
            .map(|(place, step)| (step.id.clone(), place))
            .collect();
        let before: Vec<Vec<usize>> = steps
            .iter()
            .map(|step| {
                step.needs
                    .iter()
                    .flat_map(Need::ids)
                    .filter_map(|id| places.get(id).copied())
                    .collect()
            })
            .collect();
        let ids: Vec<String> = steps.iter().map(|step| step.id.clone()).collect();
        let order = in_order(steps, &before).map_err(|left| cycle(&ids, &before, &left))?;
        let mut graph = Self {
            guaranteed: vec![StepSet::none(ids.len()); ids.len()],
            ids,
            places,
            before,
            order,
        };
        for place in graph.order.clone() {
            let Some(step) = steps.get(place) else {
                continue;
            };
            let sure = graph.sure_before(step);
            if let Some(slot) = graph.guaranteed.get_mut(place) {
                *slot = sure;
            }
        }
        Ok(graph)
    }

    /// What is sure to have passed before `step`, from the sets of the steps it needs.
    fn sure_before(&self, step: &Step) -> StepSet {
        let mut sure = StepSet::none(self.ids.len());
        for need in &step.needs {
            match need {
                Need::Step(id) | Need::EveryModule(id) => {
                    if let Some(with) = self.with_itself(id) {
                        sure.join(&with);
                    }
                }
                Need::IfPlanned(_) => {}
                Need::AnyOf(ids) => {
                    let mut all = ids.iter().map(|id| {
                        self.with_itself(id)
                            .unwrap_or_else(|| StepSet::none(self.ids.len()))
                    });
                    if let Some(mut common) = all.next() {
                        all.for_each(|other| common.keep(&other));
                        sure.join(&common);
                    }
                }
            }
        }
        sure
    }

    fn with_itself(&self, id: &str) -> Option<StepSet> {
        let place = self.place(id)?;
        let mut set = self.guaranteed.get(place)?.clone();
        set.add(place);
        Some(set)
    }

    /// The ids, in the order of the steps that the graph was built from.
    #[must_use]
    pub fn steps(&self) -> &[String] {
        &self.ids
    }

    /// The place of a step in [`Graph::steps`].
    #[must_use]
    pub fn place(&self, id: &str) -> Option<usize> {
        self.places.get(id).copied()
    }

    /// The id at a place.
    #[must_use]
    pub fn id(&self, place: usize) -> &str {
        self.ids.get(place).map_or("", String::as_str)
    }

    /// Everything that is sure to have passed when the step at `place` opens.
    #[must_use]
    pub fn guaranteed(&self, place: usize) -> Option<&StepSet> {
        self.guaranteed.get(place)
    }

    /// Whether `earlier` is sure to have passed when `later` opens.
    #[must_use]
    pub fn is_sure_before(&self, earlier: &str, later: &str) -> bool {
        match (self.place(earlier), self.place(later)) {
            (Some(earlier), Some(later)) => {
                self.guaranteed(later).is_some_and(|sure| sure.has(earlier))
            }
            _ => false,
        }
    }

    /// The steps that the step at `place` names in its needs, of whatever kind.
    #[must_use]
    pub fn before(&self, place: usize) -> &[usize] {
        self.before.get(place).map_or(&[], Vec::as_slice)
    }

    /// All places, each after everything it names: the ordinary way first, then custody, then the
    /// red flag, and otherwise as in the file.
    #[must_use]
    pub fn order(&self) -> &[usize] {
        &self.order
    }
}

/// An order in which each step stands after what it names, or the places that cannot be ordered.
fn in_order(steps: &[Step], before: &[Vec<usize>]) -> Result<Vec<usize>, Vec<usize>> {
    let part = |place: usize| match steps.get(place).map(|step| step.branch) {
        Some(Branch::Main) => 0,
        Some(Branch::Custody) => 1,
        Some(Branch::RedFlag) | None => 2,
    };
    let mut waits: Vec<usize> = before.iter().map(Vec::len).collect();
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); steps.len()];
    for (place, named) in before.iter().enumerate() {
        for earlier in named {
            if let Some(list) = after.get_mut(*earlier) {
                list.push(place);
            }
        }
    }
    let mut ready: std::collections::BTreeSet<(usize, usize)> = waits
        .iter()
        .enumerate()
        .filter(|(_, waits)| **waits == 0)
        .map(|(place, _)| (part(place), place))
        .collect();
    let mut order = Vec::with_capacity(steps.len());
    while let Some((_, place)) = ready.pop_first() {
        order.push(place);
        for later in after.get(place).into_iter().flatten() {
            if let Some(wait) = waits.get_mut(*later) {
                *wait -= 1;
                if *wait == 0 {
                    ready.insert((part(*later), *later));
                }
            }
        }
    }
    if order.len() == steps.len() {
        Ok(order)
    } else {
        Err((0..steps.len())
            .filter(|place| !order.contains(place))
            .collect())
    }
}

/// One cycle among the places that could not be ordered: each of them has such a step before it,
/// so walking back must come round.
fn cycle(ids: &[String], before: &[Vec<usize>], left: &[usize]) -> Cycle {
    let mut way: Vec<usize> = Vec::new();
    let mut next = left.first().copied();
    while let Some(place) = next {
        if let Some(start) = way.iter().position(|seen| *seen == place) {
            way.drain(..start);
            way.push(place);
            break;
        }
        way.push(place);
        next = before
            .get(place)
            .and_then(|named| named.iter().find(|earlier| left.contains(earlier)))
            .copied();
    }
    way.reverse();
    Cycle(
        way.iter()
            .filter_map(|place| ids.get(*place).cloned())
            .collect(),
    )
}
