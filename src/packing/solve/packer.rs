//! What is tried when: sums and first fit, then fractions, then dives, then everything.

use std::collections::BTreeMap;

use super::columns::{Budget, Prices, relax};
use super::dive::Dive;
use super::greedy::{best_fit_of_orders, fill_one_by_one};
use super::kinds::Kinds;
use super::knapsack::Knapsack;
use super::pattern::Pattern;
use super::search::{Search, Verdict};
use super::simplex::Pool;
use crate::packing::bound::{Bound, Why, simple_bound};
use crate::packing::{Instance, Plan};

/// Most kinds that column generation takes on; above, the sums and first fit must do.
const MOST_KINDS: usize = 600;

/// Work for the fractions, for the dives and for the exact search of one instance.
const FRACTIONS: u64 = 300_000_000;
const DIVES: u64 = 200_000_000;
const SEARCH: u64 = 20_000_000;

/// Second choices of the dives, one dive after another.
const SECOND_CHOICES: [u32; 4] = [0, 1, 2, 3];

/// Packs one instance after another; good patterns of one are a start for the next with the same
/// limits. The same sequence gives the same plans.
#[derive(Debug, Default)]
pub struct Packer {
    known: BTreeMap<Vec<u64>, Vec<Vec<(Vec<u64>, u32)>>>,
}

/// Packs one instance.
#[must_use]
pub fn solve(instance: &Instance) -> Plan {
    Packer::default().pack(instance)
}

/// The state of one instance.
struct Attempt<'a> {
    kinds: &'a Kinds,
    bound: Bound,
    best: Vec<Pattern>,
    pool: Pool,
    knapsack: Knapsack,
    prices: Option<Prices>,
}

impl Packer {
    /// Packs one instance.
    pub fn pack(&mut self, instance: &Instance) -> Plan {
        let kinds = Kinds::gather(instance);
        let mut attempt = Attempt {
            bound: simple_bound(
                &kinds.cap,
                &kinds
                    .size
                    .iter()
                    .zip(&kinds.demand)
                    .map(|(size, count)| (size.as_slice(), u64::from(*count)))
                    .collect::<Vec<_>>(),
            ),
            best: best_fit_of_orders(&kinds, &kinds.demand),
            pool: Pool::default(),
            knapsack: Knapsack::new(kinds.cap.len()),
            prices: None,
            kinds: &kinds,
        };
        attempt.tight();
        if !attempt.is_done() && kinds.len() <= MOST_KINDS {
            self.recall(&kinds, &mut attempt.pool);
            attempt.fractions_and_dives();
            self.remember(&kinds, &attempt.best);
        }
        attempt.plan(instance)
    }

    /// Patterns of earlier instances that this one has the kinds for.
    fn recall(&self, kinds: &Kinds, pool: &mut Pool) {
        let Some(known) = self.known.get(&kinds.cap) else { return };
        let number: BTreeMap<&[u64], u32> =
            kinds.size.iter().map(Vec::as_slice).zip(0_u32..).collect();
        for pattern in known {
            let mut here: Pattern = pattern
                .iter()
                .filter_map(|(size, count)| Some((*number.get(size.as_slice())?, *count)))
                .collect();
            here.sort_unstable();
            pool.add(here);
        }
    }

    fn remember(&mut self, kinds: &Kinds, plan: &[Pattern]) {
        let known = self.known.entry(kinds.cap.clone()).or_default();
        let mut new: Vec<Vec<(Vec<u64>, u32)>> = plan
            .iter()
            .map(|pattern| {
                pattern
                    .iter()
                    .filter_map(|(kind, count)| {
                        Some((kinds.size.get(*kind as usize)?.clone(), *count))
                    })
                    .collect()
            })
            .collect();
        new.extend(std::mem::take(known));
        new.sort_unstable();
        new.dedup();
        new.truncate(2_000);
        *known = new;
    }
}

impl Attempt<'_> {
    fn is_done(&self) -> bool {
        self.best.len() as u64 <= self.bound.packages
    }

    fn keep(&mut self, plan: Vec<Pattern>) {
        if plan.len() < self.best.len() {
            self.best = plan;
        }
    }

    /// Where hardly any room may be wasted, few ways to fill a package remain: search at once.
    fn tight(&mut self) {
        if self.is_done() {
            return;
        }
        if self.kinds.len() <= MOST_KINDS {
            self.keep(fill_one_by_one(self.kinds, &self.kinds.demand));
        }
        let packages = u128::from(self.bound.packages);
        let is_tight = self.kinds.cap.iter().enumerate().any(|(limit, cap)| {
            let sum: u128 = self
                .kinds
                .size
                .iter()
                .zip(&self.kinds.demand)
                .filter_map(|(size, count)| Some((size.get(limit)?, count)))
                .map(|(size, count)| u128::from(*size) * u128::from(*count))
                .sum();
            let room = packages * u128::from(*cap);
            room.saturating_sub(sum) * 400 < room
        });
        let few = self.kinds.demand.iter().map(|d| u64::from(*d)).sum::<u64>() <= 12;
        if self.is_done() || !(is_tight || few) {
            return;
        }
        let mut budget = Budget(if few { 20_000 } else { SEARCH });
        let verdict = Search::new(self.kinds, None, &mut budget)
            .run(&self.kinds.demand, self.bound.packages);
        match verdict {
            Verdict::Packed(plan) => self.keep(plan),
            Verdict::Impossible => {
                self.bound = Bound { packages: self.bound.packages + 1, why: Why::Search };
            }
            Verdict::Unknown => {}
        }
    }

    fn fractions_and_dives(&mut self) {
        let demand = &self.kinds.demand;
        let mut budget = Budget(FRACTIONS);
        let relaxed = relax(
            self.kinds,
            demand,
            &mut self.pool,
            &mut self.knapsack,
            self.best.len() as u64,
            &mut budget,
        );
        if relaxed.bound > self.bound.packages {
            self.bound = Bound { packages: relaxed.bound, why: Why::Patterns };
        }
        self.prices = relaxed.prices;
        let mut aim = self.bound.packages;
        while aim < self.best.len() as u64 {
            let mut budget = Budget(DIVES);
            for second in SECOND_CHOICES {
                let mut dive = Dive {
                    kinds: self.kinds,
                    pool: &mut self.pool,
                    knapsack: &mut self.knapsack,
                    budget: &mut budget,
                };
                if let Some(plan) = dive.pack(demand, aim, second) {
                    self.keep(plan);
                    return;
                }
            }
            let mut budget = Budget(SEARCH);
            match Search::new(self.kinds, self.prices.as_ref(), &mut budget).run(demand, aim) {
                Verdict::Packed(plan) => {
                    self.keep(plan);
                    return;
                }
                Verdict::Impossible if aim == self.bound.packages => {
                    self.bound = Bound { packages: aim + 1, why: Why::Search };
                }
                Verdict::Impossible | Verdict::Unknown => {}
            }
            aim += 1;
        }
    }

    /// Items for kinds: the plan in the asker's numbers.
    fn plan(self, instance: &Instance) -> Plan {
        let kinds = self.kinds;
        let mut stock: Vec<std::slice::Iter<'_, u32>> =
            kinds.members.iter().map(|members| members.iter()).collect();
        let mut bins: Vec<Vec<usize>> = Vec::with_capacity(self.best.len() + kinds.alone.len());
        for pattern in &self.best {
            let mut bin: Vec<usize> = Vec::new();
            for &(kind, count) in pattern {
                if let Some(stock) = stock.get_mut(kind as usize) {
                    bin.extend(stock.by_ref().take(count as usize).map(|item| *item as usize));
                }
            }
            bin.sort_unstable();
            bins.push(bin);
        }
        bins.extend(kinds.alone.iter().map(|item| vec![*item as usize]));
        if bins.is_empty() && !kinds.weightless.is_empty() {
            bins.push(Vec::new());
        }
        if let Some(bin) = bins.first_mut() {
            bin.extend(kinds.weightless.iter().map(|item| *item as usize));
            bin.sort_unstable();
        }
        bins.sort_unstable();
        let mut bound = self.bound;
        if !kinds.alone.is_empty() {
            bound.packages += kinds.alone.len() as u64;
            if self.best.is_empty() {
                bound.why = Why::Alone;
            }
        } else if self.best.is_empty() {
            bound = Bound { packages: bins.len() as u64, why: Why::Something };
        }
        let lower_bound = usize::try_from(bound.packages).unwrap_or(usize::MAX);
        Plan {
            name: instance.name.clone(),
            count: bins.len(),
            lower_bound,
            proven: bins.len() == lower_bound,
            bound_by: bound.why.words(),
            bins,
        }
    }
}
