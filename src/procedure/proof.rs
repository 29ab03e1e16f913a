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
use std::fmt;

use crate::battery::Variant;
use crate::procedure::{
    Act, Branch, Cycle, EvidenceKind, Graph, Need, Per, Procedure, Step, StepSet, When,
};

/// One act of the chain and the step that does it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// The act.
    pub act: Act,
    /// The step's id.
    pub step: String,
}

/// What was proved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proof {
    /// The procedure's name.
    pub procedure: String,
    /// How many steps it has.
    pub steps: usize,
    /// The one start.
    pub start: String,
    /// Each touching step with the chain that is sure to stand before it.
    pub touching: Vec<(String, Vec<Link>)>,
    /// Each lifting step with the step that covers both poles before it.
    pub lifts: Vec<(String, String)>,
    /// Each bonding step; none may be on a conductor with a battery.
    pub bonds: Vec<String>,
}

/// A way round the proof, or another reason why there is none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Escape {
    /// Steps need each other.
    Circle(Cycle),
    /// Not exactly one step has no needs.
    Starts(Vec<String>),
    /// A step can be reached without an act that must stand before it.
    Without {
        /// The touching step.
        step: String,
        /// A way from the start to it along which the act never occurs.
        path: Vec<String>,
        /// The act.
        act: Act,
        /// The one step that does it, where it must be that one.
        by: Option<String>,
    },
    /// An act of the chain can be reached without the one that must stand before it.
    OutOfOrder {
        /// The touching step.
        step: String,
        /// The step of the chain that comes too early.
        rests_on: String,
        /// What it does.
        act: Act,
        /// A way from the start to it along which the earlier act never occurs.
        path: Vec<String>,
        /// The earlier act.
        without: Act,
    },
    /// A step that can never open, or one that is open to doubt.
    Flaw {
        /// The step.
        step: String,
        /// What is wrong, in words.
        what: String,
    },
}

impl Escape {
    /// The step that it is about, where it is about one.
    #[must_use]
    pub fn step(&self) -> Option<&str> {
        match self {
            Self::Circle(_) | Self::Starts(_) => None,
            Self::Without { step, .. }
            | Self::OutOfOrder { step, .. }
            | Self::Flaw { step, .. } => Some(step),
        }
    }
}

impl fmt::Display for Escape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Circle(Cycle(path)) => {
                write!(
                    f,
                    "steps need each other in a circle: {}",
                    path.join(" -> ")
                )
            }
            Self::Starts(starts) if starts.is_empty() => f.write_str("no step can come first"),
            Self::Starts(starts) => write!(
                f,
                "one step comes first, and here {} have no needs: {}",
                starts.len(),
                starts.join(", ")
            ),
            Self::Without {
                step,
                path,
                act,
                by,
            } => {
                write!(
                    f,
                    "{step} can be reached by {} without: {}",
                    path.join(" -> "),
                    act.words()
                )?;
                match by {
                    Some(by) => write!(f, " ({by})"),
                    None => Ok(()),
                }
            }
            Self::OutOfOrder {
                step,
                rests_on,
                act,
                path,
                without,
            } => write!(
                f,
                "{step} rests on {rests_on} to {}; {rests_on} can be reached by {} without: {}",
                act.words(),
                path.join(" -> "),
                without.words()
            ),
            Self::Flaw { step, what } => write!(f, "{step} {what}"),
        }
    }
}

impl fmt::Display for Proof {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{}: {} steps, no circle, one start ({}), every step can open",
            self.procedure, self.steps, self.start
        )?;
        // Steps with the same chain stand in one line.
        let mut chains: Vec<(String, Vec<&str>)> = Vec::new();
        for (step, chain) in &self.touching {
            let words: Vec<String> = chain
                .iter()
                .map(|link| format!("{} ({})", link.act.words(), link.step))
                .collect();
            let words = words.join(", ");
            match chains.iter_mut().find(|(known, _)| *known == words) {
                Some((_, steps)) => steps.push(step),
                None => chains.push((words, vec![step])),
            }
        }
        writeln!(
            f,
            "{} touching steps; before each it is sure, in this order:",
            self.touching.len()
        )?;
        for (words, steps) in chains {
            writeln!(f, "  {}: {words}", steps.join(" "))?;
        }
        for (lift, cover) in &self.lifts {
            writeln!(
                f,
                "  {lift} lifts only after {cover} has covered both poles"
            )?;
        }
        for bond in &self.bonds {
            writeln!(f, "  {bond} bonds only a conductor without a battery")?;
        }
        Ok(())
    }
}

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

struct Prover<'a> {
    procedure: &'a Procedure,
    graph: &'a Graph,
    rank: BTreeMap<usize, usize>,
    escapes: Vec<Escape>,
}

/// An act at its place: the step, and where in the step's list.
type Spot = (usize, usize);

impl<'a> Prover<'a> {
    fn steps(&self) -> impl Iterator<Item = (usize, &'a Step)> + use<'a> {
        self.procedure.steps.iter().enumerate()
    }

    fn flaw(&mut self, step: &Step, what: impl Into<String>) {
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

    /// A need that a plan, a module's soundness or a quiet day can leave without an answer keeps
    /// its step shut for ever.
    fn every_step_can_open(&mut self) {
        for (_, step) in self.steps() {
            for need in &step.needs {
                if let Some(what) = self.never_met(step, need) {
                    self.flaw(step, what);
                }
            }
        }
    }

    fn never_met(&self, step: &Step, need: &Need) -> Option<String> {
        let named: Vec<&Step> = need
            .ids()
            .into_iter()
            .filter_map(|id| self.procedure.step(id))
            .collect();
        let is_sure = !matches!(need, Need::IfPlanned(_));
        if named.is_empty() {
            return is_sure.then(|| format!("can never open: there is no step `{need}`"));
        }
        if is_sure && step.branch != Branch::RedFlag {
            let all_red = named.iter().all(|other| other.branch == Branch::RedFlag);
            if all_red {
                return Some(format!(
                    "can never open on a quiet day: `{need}` belongs to stop-work"
                ));
            }
        }
        if let Need::Step(id) = need
            && named.iter().any(|other| other.optional)
        {
            return Some(format!(
                "can never open where the plan leaves `{id}` out; write `{id}?`"
            ));
        }
        let per_module = named.iter().all(|other| other.per == Per::Module);
        match (need, step.per) {
            (Need::EveryModule(id), _) if !per_module => {
                return Some(format!("needs `{id}` of every module, and it is done once"));
            }
            (Need::EveryModule(_), Per::Module) => {
                return Some(format!(
                    "is done for one module and waits for all: `{need}`"
                ));
            }
            (Need::Step(id), Per::Job) if per_module => {
                return Some(format!(
                    "is done once and needs `{id}`, which is done for each module; write `{id}*`"
                ));
            }
            _ => {}
        }
        let asks_for = |when: When| match when {
            When::Always => vec![When::NotDamaged, When::Damaged],
            one => vec![one],
        };
        let met_by = |case: When| {
            named
                .iter()
                .any(|other| other.per == Per::Job || asks_for(other.when).contains(&case))
        };
        let unmet = is_sure && asks_for(step.when).into_iter().any(|case| !met_by(case));
        unmet.then(|| {
            format!("can never open for some modules: `{need}` is not done for all of them")
        })
    }

    /// The steps that do `act`.
    fn doing(&self, act: Act) -> StepSet {
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
        for act in chain {
            let only = isolate.filter(|_| *act == Act::Isolate);
            let spots: Vec<Spot> = self
                .spots(*act, to)
                .into_iter()
                .filter(|spot| only.is_none_or(|only| spot.0 == only))
                .collect();
            let Some(earliest) = spots.first().copied() else {
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
                let before = layers.last().map_or(*act, |(act, _)| *act);
                let avoided = isolate.filter(|_| before == Act::Isolate);
                return Err(Box::new(
                    self.out_of_order(to, earliest, *act, before, avoided),
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

    fn out_of_order(
        &self,
        to: usize,
        spot: Spot,
        act: Act,
        without: Act,
        only: Option<usize>,
    ) -> Escape {
        let avoid = self.avoided(without, only);
        Escape::OutOfOrder {
            step: self.graph.id(to).to_owned(),
            rests_on: self.graph.id(spot.0).to_owned(),
            act,
            path: self.way_round(spot.0, &avoid),
            without,
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

    /// Proof of the tester, test, proof of the tester: one set, with nothing between.
    fn tester_sets(&mut self) {
        for (at, step) in self.steps() {
            let Some(place) = step.acts.iter().position(|act| *act == Act::TestDead) else {
                continue;
            };
            let own = |place: Option<usize>, act| {
                place.and_then(|place| step.acts.get(place)) == Some(&act)
            };
            let before = own(place.checked_sub(1), Act::ProveTesterBefore)
                || (place == 0
                    && step.needs.iter().any(|need| {
                        matches!(need, Need::Step(id) if self.procedure.step(id).is_some_and(
                            |other| other.acts.last() == Some(&Act::ProveTesterBefore)
                        ))
                    }));
            if !before {
                self.flaw(
                    step,
                    "tests for absence of voltage without a need on the step that proves the \
                     tester just before",
                );
            }
            let after = own(Some(place + 1), Act::ProveTesterAfter)
                || (place + 1 == step.acts.len()
                    && self.steps().any(|(_, other)| {
                        other.acts.first() == Some(&Act::ProveTesterAfter)
                            && other.needs.contains(&Need::Step(step.id.clone()))
                    }));
            if !after {
                self.flaw(
                    step,
                    "tests for absence of voltage, and no step that needs it proves the tester \
                     just after",
                );
            }
            if let Some(between) = self.between_test_and_proofs(at) {
                self.flaw(
                    step,
                    format!("is parted from the proofs of the tester by {between}"),
                );
            }
        }
    }

    /// A step that is sure to come between the proof before and the test, or the test and the
    /// proof after.
    fn between_test_and_proofs(&self, test: usize) -> Option<String> {
        let befores = self.doing(Act::ProveTesterBefore);
        let afters = self.doing(Act::ProveTesterAfter);
        let sure =
            |at: usize, place: usize| self.graph.guaranteed(at).is_some_and(|set| set.has(place));
        self.steps()
            .find(|(place, _)| {
                let after_a_proof = befores
                    .iter()
                    .any(|before| sure(*place, before) && sure(test, before));
                let before_the_test = sure(test, *place);
                let before_a_proof = afters.iter().any(|after| sure(after, *place));
                *place != test
                    && ((after_a_proof && before_the_test)
                        || (sure(*place, test) && before_a_proof))
            })
            .map(|(_, step)| step.id.clone())
    }

    /// A bonding step must ask, for each conductor, whether a battery is on it, and take only no.
    fn bonds(&mut self) -> Vec<String> {
        let mut proved = Vec::new();
        for (_, step) in self.steps() {
            if !step.does_act(Act::Bond) {
                continue;
            }
            let asks = step.evidence.iter().any(|spec| {
                spec.kind == EvidenceKind::Table
                    && spec.columns.iter().any(|column| {
                        column.name == "has_battery"
                            && !column.optional
                            && column.unknown.is_empty()
                            && column
                                .limits
                                .iter()
                                .any(|limit| limit.is.as_deref() == Some("no"))
                    })
            });
            if asks {
                proved.push(step.id.clone());
            } else {
                self.flaw(
                    step,
                    "bonds a conductor and does not ask, with no as the only answer, whether a \
                     battery is on it (`has_battery`)",
                );
            }
        }
        proved
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
