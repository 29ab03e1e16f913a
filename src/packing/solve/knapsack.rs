//! The most valuable way to fill one package, for whole-number values: the question that column
//! generation asks, and whose answer makes a lower bound exact.
//!
//! Depth first over kinds by value for a blend of the limits. The blend is a relaxation whatever
//! its weights, so they may come from anywhere; a bad blend costs time, not truth.

#![allow(
    clippy::indexing_slicing,
    reason = "kinds and limits are numbered here and only here"
)]

use super::greedy::{fit, put};
use super::kinds::{Kinds, ONE};
use super::pattern::Pattern;

/// Bits after the point in value for a part of the blend.
const FINE: u32 = 20;

/// What a search found.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// Ways above the threshold, each better than the one before.
    pub patterns: Vec<(u64, Pattern)>,
    /// No way is worth more than the threshold and the best of `patterns`.
    pub complete: bool,
    /// Work done.
    pub nodes: u64,
}

/// Searches for valuable packages.
#[derive(Debug, Clone)]
pub(super) struct Knapsack {
    /// Weight of each limit in the blend; kept from call to call as a start.
    blend: Vec<u64>,
    kinds: Vec<Row>,
    chosen: Vec<(u32, u32)>,
}

#[derive(Debug, Clone)]
struct Row {
    kind: u32,
    most: u32,
    value: u64,
    /// Value for a part of the blend, rounded up.
    yield_up: u64,
    blend: u64,
}

struct Search<'a> {
    kinds: &'a Kinds,
    rows: &'a [Row],
    best: u64,
    budget: u64,
    found: Found,
    chosen: &'a mut Vec<(u32, u32)>,
    room: Vec<u64>,
}

impl Knapsack {
    pub(super) fn new(limits: usize) -> Self {
        Self {
            blend: vec![64; limits],
            kinds: Vec::new(),
            chosen: Vec::new(),
        }
    }

    /// Looks for packages worth more than `threshold`, with at most `left` of each kind and at most
    /// `budget` steps. `value` of each kind is at most 2^30.
    pub(super) fn search(
        &mut self,
        kinds: &Kinds,
        value: &[u64],
        left: &[u32],
        threshold: u64,
        budget: u64,
    ) -> Found {
        self.kinds.clear();
        for kind in 0..kinds.len() {
            let most = kinds.most(kind).min(left[kind]);
            if value[kind] > 0 && most > 0 {
                self.kinds.push(Row {
                    kind: kind as u32,
                    most,
                    value: value[kind],
                    yield_up: 0,
                    blend: 0,
                });
            }
        }
        self.choose_blend(kinds, threshold);
        let room = self.blend.iter().sum::<u64>() * ONE;
        if self.relaxed(room) <= threshold {
            return Found {
                complete: true,
                nodes: self.kinds.len() as u64,
                ..Found::default()
            };
        }
        let mut search = Search {
            kinds,
            rows: &self.kinds,
            best: threshold,
            budget,
            found: Found {
                complete: true,
                ..Found::default()
            },
            chosen: &mut self.chosen,
            room: kinds.cap.clone(),
        };
        search.chosen.clear();
        search.deeper(0, 0, room);
        search.found
    }

    /// Sorts by the blend and moves its weights toward the limits that the relaxed answer breaks.
    fn choose_blend(&mut self, kinds: &Kinds, threshold: u64) {
        let limits = self.blend.len();
        let mut best = (u64::MAX, self.blend.clone());
        let mut weights: Vec<f64> = self.blend.iter().map(|w| *w as f64).collect();
        let rounds = if limits > 1 { 6 } else { 1 };
        for round in 0..rounds {
            let sum: f64 = weights.iter().sum();
            self.blend = weights
                .iter()
                .map(|w| (w / sum * 255.0).round() as u64 + u64::from(limits == 1))
                .collect();
            self.sort(kinds);
            let room = self.blend.iter().sum::<u64>() * ONE;
            let (bound, load) = self.relaxed_load(kinds, room);
            if bound < best.0 {
                best = (bound, self.blend.clone());
            }
            if bound <= threshold || round + 1 == rounds {
                break;
            }
            let total: f64 = load.iter().sum::<f64>().max(1.0);
            let step = 1.0 / (1.0 + round as f64);
            for (weight, load) in weights.iter_mut().zip(&load) {
                let over = load / total * limits as f64;
                *weight = (*weight * (1.0 + step * (over - 1.0) * 2.0)).max(0.5);
            }
        }
        if best.1 != self.blend {
            self.blend = best.1;
            self.sort(kinds);
        }
    }

    fn sort(&mut self, kinds: &Kinds) {
        for row in &mut self.kinds {
            let share = &kinds.share[row.kind as usize];
            row.blend = share
                .iter()
                .zip(&self.blend)
                .map(|(share, weight)| share * weight)
                .sum();
            // At most 2^50; what the blend does not see comes first and is never cut off.
            row.yield_up = if row.blend == 0 {
                u64::MAX
            } else {
                (row.value << FINE).div_ceil(row.blend)
            };
        }
        self.kinds
            .sort_unstable_by(|a, b| b.yield_up.cmp(&a.yield_up).then(a.kind.cmp(&b.kind)));
    }

    /// The most that the blend alone lets a package be worth, rounded up.
    fn relaxed(&self, mut room: u64) -> u64 {
        let mut worth = 0_u64;
        for row in &self.kinds {
            let whole = row.blend * u64::from(row.most);
            if whole <= room {
                room -= whole;
                worth = worth.saturating_add(row.value * u64::from(row.most));
            } else {
                return worth.saturating_add(part(room, row.yield_up));
            }
        }
        worth
    }

    /// The same, with what the relaxed package holds of each limit.
    fn relaxed_load(&self, kinds: &Kinds, mut room: u64) -> (u64, Vec<f64>) {
        let mut load = vec![0.0; self.blend.len()];
        let mut worth = 0_u64;
        for row in &self.kinds {
            let whole = row.blend * u64::from(row.most);
            let share = &kinds.share[row.kind as usize];
            let count = if whole <= room {
                f64::from(row.most)
            } else {
                room as f64 / row.blend as f64
            };
            for (load, share) in load.iter_mut().zip(share) {
                *load += *share as f64 * count;
            }
            if whole <= room {
                room -= whole;
                worth = worth.saturating_add(row.value * u64::from(row.most));
            } else {
                return (worth.saturating_add(part(room, row.yield_up)), load);
            }
        }
        (worth, load)
    }
}

/// The worth of `room` parts of the blend, rounded up.
fn part(room: u64, yield_up: u64) -> u64 {
    u64::try_from((u128::from(room) * u128::from(yield_up)) >> FINE)
        .unwrap_or(u64::MAX)
        .saturating_add(1)
}

impl Search<'_> {
    fn deeper(&mut self, from: usize, worth: u64, blend: u64) {
        for at in from..self.rows.len() {
            let row = &self.rows[at];
            if self.budget == 0 {
                self.found.complete = false;
                return;
            }
            // Later kinds yield less: nothing after this one can be enough either.
            if row.blend > 0 && worth.saturating_add(part(blend, row.yield_up)) <= self.best {
                return;
            }
            self.budget -= 1;
            self.found.nodes += 1;
            let size = &self.kinds.size[row.kind as usize];
            let most = fit(&self.room, size).min(row.most);
            for count in (1..=most).rev() {
                put(&mut self.room, size, count);
                self.chosen.push((row.kind, count));
                let worth = worth + row.value * u64::from(count);
                if worth > self.best {
                    self.best = worth;
                    let mut pattern = self.chosen.clone();
                    pattern.sort_unstable();
                    self.found.patterns.push((worth, pattern));
                }
                self.deeper(
                    at + 1,
                    worth,
                    blend.saturating_sub(row.blend * u64::from(count)),
                );
                self.chosen.pop();
                for (room, size) in self.room.iter_mut().zip(size) {
                    *room += size * u64::from(count);
                }
                if self.budget == 0 {
                    self.found.complete = false;
                    return;
                }
            }
        }
    }
}
