//! Can what is left go into so many packages? Every way is tried, or the budget ends first.
//!
//! The first kind left must go somewhere: the search runs over all full ways to pack a package that
//! holds one. Sums bound it: over every limit and at every known whole-number price, what is left
//! must fit into the packages left, so a package must hold at least what the others cannot.

#![allow(
    clippy::indexing_slicing,
    reason = "kinds, limits and prices are numbered here and only here"
)]

use std::collections::HashMap;

use super::columns::{Budget, Prices};
use super::greedy::{fit, put};
use super::kinds::{Kinds, ONE};
use super::pattern::{Packed, Pattern, take};

/// Most ways to fill one package that are listed at one place of the search.
const WAYS: usize = 20_000;

/// Most places remembered as hopeless.
const REMEMBERED: usize = 200_000;

/// What the search says.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// It can; thus.
    Packed(Packed),
    /// It cannot: every way was tried.
    Impossible,
    /// The budget ended first.
    Unknown,
}

/// A sum that no package exceeds.
struct Measure {
    value: Vec<u64>,
    worth: u64,
}

/// The search.
pub(super) struct Search<'a> {
    kinds: &'a Kinds,
    measures: Vec<Measure>,
    budget: &'a mut Budget,
    /// What was left, and for how many packages it was too much. Looked up only.
    hopeless: HashMap<Vec<u32>, u64>,
    cut_short: bool,
}

/// Lists the full ways to fill one package.
struct Ways<'a> {
    kinds: &'a Kinds,
    measures: &'a [Measure],
    left: &'a [u32],
    /// Kinds that may join, in order.
    order: Vec<usize>,
    /// Least size of all from a place in `order` on, by limit.
    least: Vec<Vec<u64>>,
    need: Vec<u64>,
    room: Vec<u64>,
    held: Vec<u64>,
    chosen: Pattern,
    ways: Vec<(u64, Pattern)>,
    steps: u64,
    most_steps: u64,
    cut_short: bool,
}

impl<'a> Search<'a> {
    pub(super) fn new(kinds: &'a Kinds, prices: Option<&Prices>, budget: &'a mut Budget) -> Self {
        let mut measures: Vec<Measure> = Vec::new();
        // The first measure says which way is tried first.
        if let Some(prices) = prices {
            measures.push(Measure {
                value: prices.value.clone(),
                worth: prices.worth,
            });
        }
        measures.push(Measure {
            value: kinds.share.iter().map(|share| share.iter().sum()).collect(),
            worth: kinds.cap.len() as u64 * ONE,
        });
        for (limit, cap) in kinds.cap.iter().enumerate() {
            measures.push(Measure {
                value: kinds.size.iter().map(|size| size[limit]).collect(),
                worth: *cap,
            });
        }
        Self {
            kinds,
            measures,
            budget,
            hopeless: HashMap::new(),
            cut_short: false,
        }
    }

    /// Whether what is `left` goes into so many `packages`.
    pub(super) fn run(&mut self, left: &[u32], packages: u64) -> Verdict {
        match self.deeper(left, packages) {
            Some(mut plan) => {
                plan.reverse();
                Verdict::Packed(plan)
            }
            None if self.cut_short => Verdict::Unknown,
            None => Verdict::Impossible,
        }
    }

    fn deeper(&mut self, left: &[u32], packages: u64) -> Option<Packed> {
        let Some(first) = left.iter().position(|count| *count > 0) else {
            return Some(Vec::new());
        };
        let need = self.need(left, packages)?;
        if self
            .hopeless
            .get(left)
            .is_some_and(|for_packages| *for_packages >= packages)
        {
            return None;
        }
        if self.budget.0 == 0 {
            self.cut_short = true;
            return None;
        }
        let was_cut_short = std::mem::take(&mut self.cut_short);
        let ways = self.ways(left, first, need);
        for way in ways {
            let mut rest = left.to_vec();
            take(&way, 1, &mut rest);
            if let Some(mut plan) = self.deeper(&rest, packages - 1) {
                plan.push((way, 1));
                return Some(plan);
            }
            if self.budget.0 == 0 {
                self.cut_short = true;
                break;
            }
        }
        if !self.cut_short && self.hopeless.len() < REMEMBERED {
            self.hopeless.insert(left.to_vec(), packages);
        }
        self.cut_short |= was_cut_short;
        None
    }

    /// What one package must hold by each measure; nothing where it cannot be.
    fn need(&self, left: &[u32], packages: u64) -> Option<Vec<u64>> {
        let others = packages.checked_sub(1)?;
        self.measures
            .iter()
            .map(|measure| {
                let total: u128 = left
                    .iter()
                    .zip(&measure.value)
                    .map(|(count, value)| u128::from(*count) * u128::from(*value))
                    .sum();
                let need = total.saturating_sub(u128::from(others) * u128::from(measure.worth));
                u64::try_from(need)
                    .ok()
                    .filter(|need| *need <= measure.worth)
            })
            .collect()
    }

    /// Full ways to fill a package that holds one of `first`, the fullest first.
    fn ways(&mut self, left: &[u32], first: usize, need: Vec<u64>) -> Vec<Pattern> {
        let kinds = self.kinds;
        let order: Vec<usize> = (first + 1..kinds.len())
            .filter(|kind| left[*kind] > 0)
            .collect();
        let limits = kinds.cap.len();
        let mut least = vec![vec![u64::MAX; limits]; order.len() + 1];
        for (at, &kind) in order.iter().enumerate().rev() {
            least[at] = kinds.size[kind]
                .iter()
                .zip(&least[at + 1])
                .map(|(size, least)| *size.min(least))
                .collect();
        }
        let mut ways = Ways {
            kinds,
            measures: &self.measures,
            left,
            order,
            least,
            need,
            room: kinds.cap.clone(),
            held: vec![0; self.measures.len()],
            chosen: Vec::new(),
            ways: Vec::new(),
            steps: 0,
            most_steps: self.budget.0,
            cut_short: false,
        };
        let most = kinds.most(first).min(left[first]);
        for count in (1..=most).rev() {
            ways.choose(first, count);
            ways.deeper(0);
            ways.unchoose(first, count);
        }
        self.cut_short |= ways.cut_short;
        self.budget.spend(ways.steps);
        let mut found = ways.ways;
        found.sort_unstable_by(|a, b| b.cmp(a));
        found.into_iter().map(|way| way.1).collect()
    }
}

impl Ways<'_> {
    fn choose(&mut self, kind: usize, count: u32) {
        put(&mut self.room, &self.kinds.size[kind], count);
        for (held, measure) in self.held.iter_mut().zip(self.measures) {
            *held += measure.value[kind] * u64::from(count);
        }
        self.chosen.push((kind as u32, count));
    }

    fn unchoose(&mut self, kind: usize, count: u32) {
        self.chosen.pop();
        for (held, measure) in self.held.iter_mut().zip(self.measures) {
            *held -= measure.value[kind] * u64::from(count);
        }
        for (room, size) in self.room.iter_mut().zip(&self.kinds.size[kind]) {
            *room += size * u64::from(count);
        }
    }

    fn deeper(&mut self, from: usize) {
        if self
            .held
            .iter()
            .zip(&self.need)
            .all(|(held, need)| held >= need)
            && self.is_full()
        {
            if self.ways.len() >= WAYS {
                self.cut_short = true;
                return;
            }
            self.ways.push((self.held[0], self.chosen.clone()));
        }
        if self.least[from]
            .iter()
            .zip(&self.room)
            .any(|(least, room)| least > room)
        {
            return;
        }
        for at in from..self.order.len() {
            if self.steps >= self.most_steps {
                self.cut_short = true;
                return;
            }
            self.steps += 1;
            let kind = self.order[at];
            let most = fit(&self.room, &self.kinds.size[kind]).min(self.left[kind]);
            for count in (1..=most).rev() {
                self.choose(kind, count);
                self.deeper(at + 1);
                self.unchoose(kind, count);
            }
        }
    }

    /// Whether nothing left would still fit.
    fn is_full(&mut self) -> bool {
        self.steps += 1 + self.order.len() as u64 / 8;
        let chosen = |kind: usize| {
            self.chosen
                .iter()
                .find(|of| of.0 as usize == kind)
                .map_or(0, |of| of.1)
        };
        let first = self.chosen.first().map(|of| of.0 as usize);
        first
            .into_iter()
            .chain(self.order.iter().copied())
            .all(|kind| {
                fit(&self.room, &self.kinds.size[kind]) == 0 || chosen(kind) >= self.left[kind]
            })
    }
}
