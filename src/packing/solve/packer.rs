//! What is tried when: sums and first fit, then fractions, then dives, then everything.

use std::collections::{BTreeMap, VecDeque};
use std::sync::atomic::{AtomicUsize, Ordering};

use super::columns::{Budget, Known, Prices, filled, relax};
use super::dive::Dive;
use super::greedy::{best_fit_of_orders, fill_one_by_one};
use super::kinds::Kinds;
use super::knapsack::Knapsack;
use super::pattern::{Packed, Pattern, packages, take};
use super::search::{Search, Verdict};
use super::simplex::Pool;
use crate::packing::bound::{Bound, Why, simple_bound};
use crate::packing::{Instance, Plan};

/// Most kinds that column generation takes on; above, the sums and first fit must do.
const MOST_KINDS: usize = 600;

/// Work for the fractions, for the dives and for the exact search of one instance.
const FRACTIONS: u64 = 300_000_000;
const DIVES: u64 = 250_000_000;
const SEARCH: u64 = 5_000_000;
/// Most packages that the exact search is asked about.
const SEARCHABLE: u64 = 150;
/// Of so many packages, one more or less is worth half the work of the dives; of twice as many a
/// third, and so on.
const ONE_OF_MANY: u64 = 100;

/// Most patterns kept for the next instance with the same limits.
const REMEMBERED: usize = 600;

/// How many instances with the same limits learn from each other.
const SCORE: usize = 20;

/// Second choices of the dives, one dive after another.
const SECOND_CHOICES: [u32; 4] = [0, 1, 2, 3];

/// A pattern by sizes rather than kinds, so that another instance can use it.
type BySize = Vec<(Vec<u64>, u32)>;

/// Packs one instance after another; good patterns of one are a start for the next with the same
/// limits. The same sequence gives the same plans.
#[derive(Debug, Default)]
pub struct Packer {
    /// By limits.
    known: BTreeMap<Vec<u64>, VecDeque<BySize>>,
}

/// Packs one instance.
#[must_use]
pub fn solve(instance: &Instance) -> Plan {
    Packer::default().pack(instance)
}

/// Packs many instances, on as many threads as there are cores. Those with the same limits learn
/// from each other by the score, in the order given, so the plans do not depend on the cores.
#[must_use]
pub fn solve_all(instances: &[Instance]) -> Vec<Plan> {
    let mut alike: BTreeMap<&[u64], Vec<usize>> = BTreeMap::new();
    for (at, instance) in instances.iter().enumerate() {
        alike.entry(&instance.cap).or_default().push(at);
    }
    let shares: Vec<&[usize]> = alike.values().flat_map(|of| of.chunks(SCORE)).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        while let Some(share) = shares.get(next.fetch_add(1, Ordering::Relaxed)) {
            let mut packer = Packer::default();
            for &at in *share {
                if let Some(instance) = instances.get(at) {
                    done.push((at, packer.pack(instance)));
                }
            }
        }
        done
    };
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut plans: Vec<(usize, Plan)> = if cores.min(shares.len()) <= 1 {
        work()
    } else {
        std::thread::scope(|scope| {
            let threads: Vec<_> = (0..cores.min(shares.len()))
                .map(|_| scope.spawn(work))
                .collect();
            threads
                .into_iter()
                .flat_map(|thread| {
                    thread
                        .join()
                        .unwrap_or_else(|why| std::panic::resume_unwind(why))
                })
                .collect()
        })
    };
    plans.sort_unstable_by_key(|plan| plan.0);
    plans.into_iter().map(|plan| plan.1).collect()
}

/// From so many kinds on, with few of each, the best package after another is tried too.
const UNLIKE: usize = 40;
/// Above so many that would take long and gain little.
const MOST_UNLIKE: usize = 5_000;

/// See [`fill_best`].
const FAVOURS: [u64; 2] = [100, 600];

/// The state of one instance.
struct Attempt<'a> {
    kinds: &'a Kinds,
    bound: Bound,
    best: Packed,
    pool: Pool,
    knapsack: Knapsack,
    prices: Option<Prices>,
    /// The patterns of the relaxed answer.
    mixed: Vec<Pattern>,
}

impl Packer {
    /// Packs one instance.
    pub fn pack(&mut self, instance: &Instance) -> Plan {
        let kinds = Kinds::gather(instance);
        let asked: Vec<(&[u64], u64)> = kinds
            .size
            .iter()
            .map(Vec::as_slice)
            .zip(kinds.demand.iter().map(|d| u64::from(*d)))
            .collect();
        let bound = simple_bound(&kinds.cap, &asked);
        let mut attempt = Attempt {
            best: best_fit_of_orders(&kinds, &kinds.demand, bound.packages),
            bound,
            pool: Pool::default(),
            knapsack: Knapsack::new(kinds.cap.len()),
            prices: None,
            mixed: Vec::new(),
            kinds: &kinds,
        };
        attempt.tight();
        if !attempt.is_done() && kinds.len() <= MOST_KINDS {
            self.recall(&kinds, &mut attempt.pool);
            attempt.fractions_and_dives();
            self.remember(&kinds, &attempt.mixed);
        }
        attempt.plan(instance)
    }

    /// Patterns of earlier instances that this one has the kinds for.
    fn recall(&self, kinds: &Kinds, pool: &mut Pool) {
        let Some(known) = self.known.get(&kinds.cap) else {
            return;
        };
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

    fn remember(&mut self, kinds: &Kinds, patterns: &[Pattern]) {
        let known = self.known.entry(kinds.cap.clone()).or_default();
        for pattern in patterns {
            let by_size: BySize = pattern
                .iter()
                .filter_map(|(kind, count)| Some((kinds.size.get(*kind as usize)?.clone(), *count)))
                .collect();
            if !known.contains(&by_size) {
                known.push_back(by_size);
            }
        }
        while known.len() > REMEMBERED {
            known.pop_front();
        }
    }
}

/// A package at a time, each the most valuable that a short search finds. A value grows faster than
/// the size by `favour`, so that what is hard to place later goes first.
fn fill_best(kinds: &Kinds, knapsack: &mut Knapsack, favour: u64) -> Packed {
    let mut left = kinds.demand.clone();
    let mut packed = Packed::new();
    let limits = kinds.cap.len();
    while left.iter().any(|count| *count > 0) {
        let mut scarce = vec![0_u64; limits];
        for (share, count) in kinds.share.iter().zip(&left) {
            for (scarce, share) in scarce.iter_mut().zip(share) {
                *scarce += share * u64::from(*count);
            }
        }
        let most = scarce.iter().copied().max().unwrap_or(1).max(1);
        let value: Vec<u64> = kinds
            .share
            .iter()
            .map(|share| {
                let size: u64 = share
                    .iter()
                    .zip(&scarce)
                    .map(|(share, scarce)| share * (scarce * 128 / most))
                    .sum();
                let largest = share.iter().copied().max().unwrap_or(0);
                size / limits as u64 * (1_000 + favour * largest / super::kinds::ONE) / 1_000
            })
            .collect();
        let found = knapsack.search(kinds, &value, &left, 0, 2_000);
        let Some((_, pattern)) = found.patterns.into_iter().next_back() else {
            break;
        };
        let pattern = filled(kinds, &left, pattern);
        take(&pattern, 1, &mut left);
        packed.push((pattern, 1));
    }
    packed
}

impl Attempt<'_> {
    fn is_done(&self) -> bool {
        packages(&self.best) <= self.bound.packages
    }

    /// Whether there are many kinds and few of each.
    fn is_unlike(&self) -> bool {
        let items: u64 = self
            .kinds
            .demand
            .iter()
            .map(|count| u64::from(*count))
            .sum();
        let kinds = self.kinds.len();
        (UNLIKE..=MOST_UNLIKE).contains(&kinds) && items <= 8 * kinds as u64
    }

    fn keep(&mut self, plan: Packed) {
        if packages(&plan) < packages(&self.best) {
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
        if !self.is_done() && self.is_unlike() {
            for favour in FAVOURS {
                let packed = fill_best(self.kinds, &mut self.knapsack, favour);
                self.keep(packed);
            }
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
        // With many items a package there are too many ways all the same.
        let items = self.kinds.demand.iter().map(|d| u64::from(*d)).sum::<u64>();
        let few = items <= 12;
        let is_tight = is_tight && items <= 300.min(6 * self.bound.packages);
        if self.is_done() || !(is_tight || few) {
            return;
        }
        let mut budget = Budget(if few { 20_000 } else { 300_000 });
        let verdict =
            Search::new(self.kinds, None, &mut budget).run(&self.kinds.demand, self.bound.packages);
        match verdict {
            Verdict::Packed(plan) => self.keep(plan),
            Verdict::Impossible => {
                self.bound = Bound {
                    packages: self.bound.packages + 1,
                    why: Why::Search,
                };
            }
            Verdict::Unknown => {}
        }
    }

    fn fractions_and_dives(&mut self) {
        let demand = &self.kinds.demand;
        for (pattern, _) in &self.best {
            self.pool.add(pattern.clone());
        }
        let mut budget = Budget(FRACTIONS);
        let relaxed = relax(
            self.kinds,
            demand,
            &mut self.pool,
            &mut self.knapsack,
            Known {
                least: self.bound.packages,
                enough: packages(&self.best),
            },
            &mut budget,
        );
        if relaxed.bound > self.bound.packages {
            self.bound = Bound {
                packages: relaxed.bound,
                why: Why::Patterns,
            };
        }
        self.prices = relaxed.prices;
        self.mixed = relaxed.mixture.into_iter().map(|used| used.0).collect();
        let mut aim = self.bound.packages;
        while aim < packages(&self.best) {
            let mut budget = Budget(DIVES / (1 + aim / ONE_OF_MANY));
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
            if aim > SEARCHABLE {
                aim += 1;
                continue;
            }
            let mut budget = Budget(SEARCH);
            match Search::new(self.kinds, self.prices.as_ref(), &mut budget).run(demand, aim) {
                Verdict::Packed(plan) => {
                    self.keep(plan);
                    return;
                }
                Verdict::Impossible if aim == self.bound.packages => {
                    self.bound = Bound {
                        packages: aim + 1,
                        why: Why::Search,
                    };
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
        let mut bins: Vec<Vec<usize>> = Vec::new();
        for (pattern, times) in &self.best {
            for _ in 0..*times {
                let mut bin: Vec<usize> = Vec::new();
                for &(kind, count) in pattern {
                    if let Some(stock) = stock.get_mut(kind as usize) {
                        bin.extend(
                            stock
                                .by_ref()
                                .take(count as usize)
                                .map(|item| *item as usize),
                        );
                    }
                }
                // A pattern may give more than there was left to pack.
                if !bin.is_empty() {
                    bin.sort_unstable();
                    bins.push(bin);
                }
            }
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
            bound = Bound {
                packages: bins.len() as u64,
                why: Why::Something,
            };
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
