//! Column generation: the fewest packages in fractions, and the lower bound it proves.
//!
//! The simplex gives prices in floating point. They are cut to whole numbers, and the exact search
//! then says what the most valuable package is worth at those whole prices. However the prices came
//! about, everything to pack together is worth no more than packages times that worth (Farley,
//! Operations Research 38 (1990) 922-923; from memory): the bound is exact integer arithmetic.

#![allow(
    clippy::indexing_slicing,
    reason = "kinds and patterns are numbered here and only here"
)]

use super::greedy::{fit, put};
use super::kinds::Kinds;
use super::knapsack::Knapsack;
use super::pattern::{Pattern, clipped};
use super::simplex::{Pool, Simplex};

/// One package in whole-number prices.
const PACKAGE: u64 = 1 << 30;

/// Never look for packages worth less than 1 in 2^20 above a package: that is rounding.
const WORTH_A_LOOK: u64 = PACKAGE + (PACKAGE >> 20);

/// Part of a package by which the fractions may stay above their least, all packages together.
const NEAR: u64 = 10;

/// Most steps of one search for a package.
const ONE_SEARCH: u64 = 1_000_000;

/// The same where it is for a better mixture only, not for a proof.
const POLISH: u64 = 20_000;

/// One further pattern a round for so many kinds.
const KINDS_A_PATTERN: usize = 12;

/// Whole-number prices of kinds, and what no package is worth more than.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    /// By kind.
    pub value: Vec<u64>,
    /// No package is worth more.
    pub worth: u64,
}

/// The relaxed answer.
#[derive(Debug, Clone, Default)]
pub(super) struct Relaxed {
    /// Packages in fractions. An upper estimate where not `settled`.
    pub value: f64,
    /// The patterns in use with their fractions.
    pub mixture: Vec<(Pattern, f64)>,
    /// Proven: no fewer packages.
    pub bound: u64,
    /// What proves it.
    pub prices: Option<Prices>,
    /// Nothing more to find.
    pub settled: bool,
}

/// How much work is left, in steps of about a nanosecond or few. Counted, never timed: the same
/// question has the same answer on a slow day.
#[derive(Debug, Clone, Copy)]
pub(super) struct Budget(pub u64);

impl Budget {
    pub(super) fn spend(&mut self, steps: u64) {
        self.0 = self.0.saturating_sub(steps);
    }
}

/// What is already known of the answer.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known {
    /// No fewer packages, or no fewer are of interest.
    pub least: u64,
    /// A bound of so many ends the search.
    pub enough: u64,
}

/// The fewest packages in fractions for what is `left`, to a tenth of a package, and the bound
/// rounded up.
pub(super) fn relax(
    kinds: &Kinds,
    left: &[u32],
    pool: &mut Pool,
    knapsack: &mut Knapsack,
    known: Known,
    budget: &mut Budget,
) -> Relaxed {
    let mut simplex = Simplex::new(left, |kind| kinds.most(kind));
    let mut columns: Vec<Pattern> = (0..kinds.len())
        .filter(|kind| left[*kind] > 0)
        .map(|kind| vec![(kind as u32, kinds.most(kind).min(left[kind]))])
        .collect();
    for pattern in pool.list() {
        let pattern = clipped(pattern, left);
        if pattern.iter().map(|of| of.1).sum::<u32>() > 1 {
            simplex.add(&pattern);
            columns.push(pattern);
        }
    }
    budget.spend((columns.len() * 40) as u64);
    let mut relaxed = Relaxed {
        bound: known.least,
        ..Relaxed::default()
    };
    let mut value = vec![0_u64; kinds.len()];
    let mut steps = 2_000_u64;
    let near = (PACKAGE + PACKAGE / (NEAR * known.least.max(1))).max(WORTH_A_LOOK);
    let mut threshold = near;
    loop {
        let before = simplex.work;
        simplex.run(2_000);
        budget.spend(simplex.work - before + (columns.len() * 8) as u64);
        let mut total = 0_u128;
        for (kind, value) in value.iter_mut().enumerate() {
            // At most a package: the price of a kind that fits alone never needs to be more.
            *value = ((simplex.price_of(kind) * PACKAGE as f64) as u64).min(PACKAGE);
            total += u128::from(*value) * u128::from(left[kind]);
        }
        relaxed.value = simplex.value();
        let found = knapsack.search(kinds, &value, left, threshold, steps.min(budget.0));
        budget.spend(found.nodes * 20);
        if found.complete {
            let worth = found.patterns.last().map_or(threshold, |best| best.0);
            let bound = u64::try_from(total.div_ceil(u128::from(worth))).unwrap_or(0);
            if bound > relaxed.bound || relaxed.prices.is_none() || found.patterns.is_empty() {
                relaxed.bound = relaxed.bound.max(bound);
                relaxed.prices = Some(Prices {
                    value: value.clone(),
                    worth,
                });
            }
            if relaxed.bound >= known.enough {
                relaxed.settled = true;
                break;
            }
            if found.patterns.is_empty() {
                // The bound cannot rise above the value rounded up: once there, the rest is polish.
                let most = (relaxed.value - 1e-4).ceil();
                if relaxed.bound as f64 >= most || threshold == WORTH_A_LOOK {
                    relaxed.settled = true;
                    break;
                }
                // Nothing worth more than this, and the bound is the value rounded up.
                let proof = total.saturating_sub(1) / (most as u128).saturating_sub(1).max(1);
                let proof = u64::try_from(proof).unwrap_or(near).max(WORTH_A_LOOK);
                threshold = if proof < threshold {
                    proof
                } else {
                    WORTH_A_LOOK
                };
                continue;
            }
        } else if found.patterns.is_empty() {
            // Where no bound is to be proved, what is not found soon is not missed.
            let proves = (relaxed.value - 1e-4).ceil() > relaxed.bound as f64;
            if steps >= budget.0.min(if proves { ONE_SEARCH } else { POLISH }) {
                break;
            }
            steps *= 8;
            continue;
        }
        if budget.0 == 0 {
            break;
        }
        let mut patterns: Vec<Pattern> = found
            .patterns
            .into_iter()
            .rev()
            .take(3)
            .map(|found| found.1)
            .collect();
        let best = patterns.first().cloned().unwrap_or_default();
        patterns.extend(others(
            kinds, &value, left, knapsack, threshold, best, budget,
        ));
        for pattern in patterns {
            let pattern = filled(kinds, left, pattern);
            if pool.add(pattern.clone()) {
                simplex.add(&pattern);
                columns.push(pattern);
            }
        }
    }
    relaxed.mixture = simplex
        .mixture()
        .into_iter()
        .map(|(at, share)| (columns[at].clone(), share))
        .collect();
    relaxed
}

/// Further patterns worth the threshold, none with a kind of another: with many kinds, a set of
/// them moves the prices of all at once.
fn others(
    kinds: &Kinds,
    value: &[u64],
    left: &[u32],
    knapsack: &mut Knapsack,
    threshold: u64,
    best: Pattern,
    budget: &mut Budget,
) -> Vec<Pattern> {
    let mut value = value.to_vec();
    let mut last = best;
    let mut others = Vec::new();
    for _ in 0..kinds.len() / KINDS_A_PATTERN {
        for (kind, _) in &last {
            value[*kind as usize] = 0;
        }
        let found = knapsack.search(kinds, &value, left, threshold, 500.min(budget.0));
        budget.spend(found.nodes * 20);
        let Some((_, next)) = found.patterns.into_iter().next_back() else {
            break;
        };
        last = next;
        others.push(last.clone());
    }
    others
}

/// The pattern with whatever else still fits, largest first.
pub(super) fn filled(kinds: &Kinds, left: &[u32], mut pattern: Pattern) -> Pattern {
    let mut room = kinds.cap.clone();
    for &(kind, count) in &pattern {
        put(&mut room, &kinds.size[kind as usize], count);
    }
    for (kind, &left) in left.iter().enumerate() {
        let at = pattern.iter().position(|of| of.0 == kind as u32);
        let has = at.map_or(0, |at| pattern[at].1);
        let count = fit(&room, &kinds.size[kind]).min(left.saturating_sub(has));
        if count > 0 {
            put(&mut room, &kinds.size[kind], count);
            match at {
                Some(at) => pattern[at].1 += count,
                None => pattern.push((kind as u32, count)),
            }
        }
    }
    pattern.sort_unstable();
    pattern
}
