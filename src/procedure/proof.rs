//! Proves that no way through a procedure touches anything before the whole chain of making dead,
//! or names the way that escapes it.
//!
//! Presence of the acts is not enough, nor is their order in the file: each must be *sure* to have
//! passed, before the next one, whatever the plan leaves out and whichever alternative is taken.
//!
//! A sound battery needs all of [`Act::CHAIN`]. A damaged one may take no command and show no
//! break, so there the chain is: name sources, isolate, lock, wait, prove the tester, test, prove
//! the tester, cover, release. In exchange nobody comes near before the watch and every leave to
//! return, and nothing is lifted before the container stands at the lift point.

use std::collections::BTreeMap;

use crate::battery::Variant;
use crate::procedure::{
    Act, Branch, Escape, Graph, Link, Need, Procedure, Proof, Step, StepSet, When,
};

/// The acts that must stand before every touching step of a variant.
fn chain_of(variant: Variant) -> Vec<Act> {
    let takes_commands = variant != Variant::DamagedPack;
    Act::CHAIN
        .into_iter()
        .filter(|act| {
            takes_commands
                || !matches!(
                    act,
                    Act::StopCurrent | Act::BlockRestart | Act::SeeBreak | Act::TryStart
                )
        })
        .collect()
}

/// Proves a procedure.
///
/// # Errors
/// Every way that escapes, and every other flaw found; never empty.
pub fn prove(procedure: &Procedure) -> Result<Proof, Vec<Escape>> {
    let graph = Graph::new(&procedure.steps).map_err(|cycle| vec![Escape::Circle(cycle)])?;
    let mut prover = Prover {
        procedure,
        graph: &graph,
        rank: ranks(&graph),
        escapes: Vec::new(),
    };
    let start = prover.one_start();
    prover.acts_are_named();
    prover.acts_are_shown();
    prover.every_step_can_open();
    let touching = prover.touching();
    let lifts = prover.lifts();
    prover.tester_sets();
    let bonds = prover.bonds();
    if procedure.variant == Variant::DamagedPack {
        prover.nobody_near_before_return();
    }
    match (start, prover.escapes) {
        (Some(start), escapes) if escapes.is_empty() => Ok(Proof {
            procedure: procedure.id.clone(),
            steps: procedure.steps.len(),
            start,
            touching,
            lifts,
            bonds,
        }),
        (_, escapes) => Err(escapes),
    }
}

fn ranks(graph: &Graph) -> BTreeMap<usize, usize> {
    graph
        .order()
        .iter()
        .enumerate()
        .map(|(rank, place)| (*place, rank))
        .collect()
}

pub(super) struct Prover<'a> {
    pub(super) procedure: &'a Procedure,
    pub(super) graph: &'a Graph,
    rank: BTreeMap<usize, usize>,
    pub(super) escapes: Vec<Escape>,
}

/// An act at its place: the step, and where in the step's list.
type Spot = (usize, usize);

impl<'a> Prover<'a> {
    pub(super) fn steps(&self) -> impl Iterator<Item = (usize, &'a Step)> + use<'a> {
        self.procedure.steps.iter().enumerate()
    }

    pub(super) fn flaw(&mut self, step: &Step, what: impl Into<String>) {
        self.escapes.push(Escape::Flaw {
            step: step.id.clone(),
            what: what.into(),
        });
    }

    fn one_start(&mut self) -> Option<String> {
        let red_counts = self.procedure.variant == Variant::DamagedPack;
        let may_come_first = |step: &Step| {
            step.needs
                .iter()
                .all(|need| matches!(need, Need::IfPlanned(_)))
        };
        let starts: Vec<String> = self
            .steps()
            .filter(|(_, step)| red_counts || step.branch != Branch::RedFlag)
            .filter(|(_, step)| may_come_first(step))
            .map(|(_, step)| step.id.clone())
            .collect();
        if let [start] = starts.as_slice() {
            return Some(start.clone());
        }
        self.escapes.push(Escape::Starts(starts));
        None
    }

    /// The steps that do `act`.
    pub(super) fn doing(&self, act: Act) -> StepSet {
        let mut set = StepSet::none(self.procedure.steps.len());
        for (place, step) in self.steps() {
            if step.does_act(act) {
                set.add(place);
            }
        }
        set
    }

    /// Where `act` is sure to have been done before the step at `to` touches anything.
    fn spots(&self, act: Act, to: usize) -> Vec<Spot> {
        let mut spots = Vec::new();
        for (place, step) in self.steps() {
            let sure = self.graph.guaranteed(to).is_some_and(|set| set.has(place));
            if !sure && place != to {
                continue;
            }
            for (at, done) in step.acts.iter().enumerate() {
                if place == to && done.is_touching() {
                    break;
                }
                if *done == act {
                    spots.push((place, at));
                }
            }
        }
        spots
    }

    /// As [`Self::spots`]; of the isolating steps only the one asked about.
    fn spots_through(&self, act: Act, to: usize, isolate: Option<usize>) -> Vec<Spot> {
        let only = isolate.filter(|_| act == Act::Isolate);
        self.spots(act, to)
            .into_iter()
            .filter(|spot| only.is_none_or(|only| spot.0 == only))
            .collect()
    }

    fn is_sure_order(&self, earlier: Spot, later: Spot) -> bool {
        if earlier.0 == later.0 {
            return earlier.1 < later.1;
        }
        self.graph
            .guaranteed(later.0)
            .is_some_and(|set| set.has(earlier.0))
    }

    fn touching(&mut self) -> Vec<(String, Vec<Link>)> {
        let chain = chain_of(self.procedure.variant);
        let isolates: Vec<usize> = self
            .steps()
            .filter(|(_, step)| step.does_act(Act::Isolate) && !step.optional)
            .map(|(place, _)| place)
            .collect();
        let mut proved = Vec::new();
        for (to, step) in self.steps() {
            if !step.is_touching() {
                continue;
            }
            match self.chain_before(to, &chain, &isolates) {
                Ok(links) => proved.push((step.id.clone(), links)),
                Err(escape) => self.escapes.push(*escape),
            }
        }
        proved
    }

    /// The chain before one step, through each isolating step that no plan may leave out.
    fn chain_before(
        &self,
        to: usize,
        chain: &[Act],
        isolates: &[usize],
    ) -> Result<Vec<Link>, Box<Escape>> {
        let mut links = self.chain_through(to, chain, None)?;
        // Not every break can be looked at, but every one must be open before the first lock.
        let without_look: Vec<Act> = chain
            .iter()
            .copied()
            .filter(|act| *act != Act::SeeBreak)
            .collect();
        for isolate in isolates {
            let through = self.chain_through(to, &without_look, Some(*isolate))?;
            for link in through {
                if link.act == Act::Isolate && !links.contains(&link) {
                    let end = links
                        .iter()
                        .rposition(|known| known.act == Act::Isolate)
                        .map_or(0, |at| at + 1);
                    links.insert(end, link);
                }
            }
        }
        Ok(links)
    }

    /// One chain before the step at `to`: for each act, in order, a spot that is sure to come
    /// after a spot of the act before it.
    fn chain_through(
        &self,
        to: usize,
        chain: &[Act],
        isolate: Option<usize>,
    ) -> Result<Vec<Link>, Box<Escape>> {
        // Each layer holds the spots that some whole chain so far leads to, with where it came from.
        let mut layers: Vec<(Act, Vec<(Spot, usize)>)> = Vec::new();
        for (at, act) in chain.iter().enumerate() {
            let spots = self.spots_through(*act, to, isolate);
            let Some(earliest) = spots.first().copied() else {
                let only = isolate.filter(|_| *act == Act::Isolate);
                return Err(Box::new(self.without(to, *act, only)));
            };
            let reached: Vec<(Spot, usize)> = match layers.last() {
                None => spots.into_iter().map(|spot| (spot, 0)).collect(),
                Some((_, before)) => spots
                    .into_iter()
                    .filter_map(|spot| {
                        let from = before
                            .iter()
                            .position(|(earlier, _)| self.is_sure_order(*earlier, spot))?;
                        Some((spot, from))
                    })
                    .collect(),
            };
            if reached.is_empty() {
                return Err(Box::new(
                    self.out_of_order(to, earliest, chain, at, isolate),
                ));
            }
            layers.push((*act, reached));
        }
        let mut links = Vec::new();
        let mut from = 0;
        for (act, reached) in layers.iter().rev() {
            if let Some((spot, earlier)) = reached.get(from) {
                links.push(Link {
                    act: *act,
                    step: self.graph.id(spot.0).to_owned(),
                });
                from = *earlier;
            }
        }
        links.reverse();
        Ok(links)
    }

    fn without(&self, to: usize, act: Act, only: Option<usize>) -> Escape {
        let avoid = self.avoided(act, only);
        Escape::Without {
            step: self.graph.id(to).to_owned(),
            path: self.way_round(to, &avoid),
            act,
            by: only.map(|place| self.graph.id(place).to_owned()),
        }
    }

    /// The first spot of the chain, walked back from one that no whole chain leads to, before which
    /// the act before it is not sure.
    fn out_of_order(
        &self,
        to: usize,
        from: Spot,
        chain: &[Act],
        from_at: usize,
        isolate: Option<usize>,
    ) -> Escape {
        let (mut spot, mut at) = (from, from_at);
        loop {
            let act = chain.get(at).copied().unwrap_or(Act::ReleaseWork);
            let without = chain.get(at.wrapping_sub(1)).copied().unwrap_or(act);
            let sure_before = self
                .spots_through(without, to, isolate)
                .into_iter()
                .find(|earlier| self.is_sure_order(*earlier, spot));
            match sure_before {
                Some(earlier) if at > 0 => (spot, at) = (earlier, at - 1),
                _ => {
                    let only = isolate.filter(|_| without == Act::Isolate);
                    return Escape::OutOfOrder {
                        step: self.graph.id(to).to_owned(),
                        rests_on: self.graph.id(spot.0).to_owned(),
                        act,
                        path: self.way_round(spot.0, &self.avoided(without, only)),
                        without,
                    };
                }
            }
        }
    }

    fn avoided(&self, act: Act, only: Option<usize>) -> StepSet {
        match only {
            None => self.doing(act),
            Some(place) => {
                let mut set = StepSet::none(self.procedure.steps.len());
                set.add(place);
                set
            }
        }
    }

    /// A way from a start to the step at `to`, each step of which opens without any of `avoid`.
    fn way_round(&self, to: usize, avoid: &StepSet) -> Vec<String> {
        let mut way = vec![self.graph.id(to).to_owned()];
        let mut at = to;
        while let Some(step) = self.procedure.steps.get(at) {
            let opens_without = |place: &usize| {
                !avoid.has(*place)
                    && self
                        .graph
                        .guaranteed(*place)
                        .is_some_and(|sure| !sure.meets(avoid))
            };
            let latest = |ids: Vec<&str>| {
                ids.into_iter()
                    .filter_map(|id| self.graph.place(id))
                    .filter(opens_without)
                    .max_by_key(|place| self.rank.get(place))
            };
            let (sure, if_planned): (Vec<&Need>, Vec<&Need>) = step
                .needs
                .iter()
                .partition(|need| !matches!(need, Need::IfPlanned(_)));
            let next = latest(sure.into_iter().flat_map(Need::ids).collect())
                .or_else(|| latest(if_planned.into_iter().flat_map(Need::ids).collect()));
            let Some(next) = next else { break };
            way.push(self.graph.id(next).to_owned());
            at = next;
        }
        way.reverse();
        way
    }

    fn lifts(&mut self) -> Vec<(String, String)> {
        let mut proved = Vec::new();
        for (to, step) in self.steps() {
            if !step.does_act(Act::LiftModule) {
                continue;
            }
            match self.sure_step(to, Act::CoverPoles, Act::LiftModule) {
                Some(cover) => proved.push((step.id.clone(), cover)),
                None => {
                    let escape = self.without(to, Act::CoverPoles, None);
                    self.escapes.push(escape);
                }
            }
            let is_damaged =
                self.procedure.variant == Variant::DamagedPack || step.when == When::Damaged;
            if is_damaged
                && self
                    .sure_step(to, Act::PlaceContainer, Act::LiftModule)
                    .is_none()
            {
                let escape = self.without(to, Act::PlaceContainer, None);
                self.escapes.push(escape);
            }
        }
        proved
    }

    /// A step that is sure to do `act` before the step at `to` does `until`.
    fn sure_step(&self, to: usize, act: Act, until: Act) -> Option<String> {
        let step = self.procedure.steps.get(to)?;
        let own = step
            .acts
            .iter()
            .take_while(|done| **done != until)
            .any(|done| *done == act);
        if own {
            return Some(step.id.clone());
        }
        let sure = self.graph.guaranteed(to)?;
        self.steps()
            .find(|(place, earlier)| sure.has(*place) && earlier.does_act(act))
            .map(|(_, earlier)| earlier.id.clone())
    }

    /// In a damaged battery: the watch, and every leave to return, before anybody touches it.
    fn nobody_near_before_return(&mut self) {
        for (to, step) in self.steps() {
            if !step.is_touching() {
                continue;
            }
            for act in [Act::Withdraw, Act::Watch, Act::Return] {
                let sure = self.graph.guaranteed(to);
                let missed: Vec<usize> = self
                    .doing(act)
                    .iter()
                    .filter(|place| sure.is_none_or(|set| !set.has(*place)))
                    .collect();
                if self.doing(act).iter().next().is_none() {
                    let escape = self.without(to, act, None);
                    self.escapes.push(escape);
                }
                for place in missed {
                    let escape = self.without(to, act, Some(place));
                    self.escapes.push(escape);
                }
            }
        }
    }
}
