//! First plans: first fit in several orders, then a package at a time filled as well as may be.

#![allow(
    clippy::indexing_slicing,
    reason = "kinds, limits and open packages are numbered here and only here"
)]

use super::kinds::{Kinds, ONE};
use super::pattern::Pattern;

/// Most open packages looked at for one item. Past that the oldest are closed: a bound on the
/// work, reached only by plans of thousands of packages.
const OPEN: usize = 4096;

/// Best of the orders for the items in `left`.
pub(super) fn best_fit_of_orders(kinds: &Kinds, left: &[u32]) -> Vec<Pattern> {
    let dims = kinds.cap.len();
    let mut best: Option<Vec<Pattern>> = None;
    let mut order: Vec<usize> = (0..kinds.len()).filter(|kind| left[*kind] > 0).collect();
    for key in 0..dims + 2 {
        if dims == 1 && key > 0 {
            break;
        }
        order.sort_by_key(|&kind| {
            let share = &kinds.share[kind];
            let value = match key {
                0 => share.iter().sum(),
                1 => share.iter().copied().max().unwrap_or(0),
                limit => share[limit - 2],
            };
            (std::cmp::Reverse(value), kind)
        });
        let plan = first_fit(kinds, left, &order);
        if best.as_ref().is_none_or(|best| plan.len() < best.len()) {
            best = Some(plan);
        }
    }
    best.unwrap_or_default()
}

/// First fit of the items in `left`, kind by kind in `order`.
pub(super) fn first_fit(kinds: &Kinds, left: &[u32], order: &[usize]) -> Vec<Pattern> {
    let mut bins: Vec<(Vec<u64>, Pattern)> = Vec::new();
    for &kind in order {
        let size = &kinds.size[kind];
        let mut remaining = left[kind];
        let from = bins.len().saturating_sub(OPEN);
        for (room, pattern) in &mut bins[from..] {
            if remaining == 0 {
                break;
            }
            let count = fit(room, size).min(remaining);
            if count > 0 {
                put(room, size, count);
                pattern.push((kind as u32, count));
                remaining -= count;
            }
        }
        let full = kinds.most(kind);
        while remaining > 0 {
            let count = full.min(remaining).max(1);
            let mut room = kinds.cap.clone();
            put(&mut room, size, count);
            bins.push((room, vec![(kind as u32, count)]));
            remaining -= count;
        }
    }
    bins.into_iter()
        .map(|(_, mut pattern)| {
            pattern.sort_unstable();
            pattern
        })
        .collect()
}

/// A package at a time: each next item is the one whose sizes lie closest to the room left, with
/// scarce limits weighing more.
pub(super) fn fill_one_by_one(kinds: &Kinds, left: &[u32]) -> Vec<Pattern> {
    let dims = kinds.cap.len();
    let mut left = left.to_vec();
    let mut alive: Vec<usize> = (0..kinds.len()).filter(|kind| left[*kind] > 0).collect();
    let mut bins = Vec::new();
    while !alive.is_empty() {
        let weight: Vec<u128> = (0..dims)
            .map(|dim| {
                alive.iter().map(|&kind| u128::from(left[kind]) * u128::from(kinds.share[kind][dim])).sum()
            })
            .collect();
        let scale = weight.iter().copied().max().unwrap_or(1).max(1);
        let weight: Vec<u64> = weight.iter().map(|w| (w * 1024 / scale) as u64).collect();
        let mut room = kinds.cap.clone();
        let mut open: Vec<u64> = vec![ONE; dims];
        let mut pattern: Pattern = Vec::new();
        loop {
            let next = alive
                .iter()
                .filter(|&&kind| left[kind] > 0 && fit(&room, &kinds.size[kind]) > 0)
                .map(|&kind| {
                    let share = &kinds.share[kind];
                    let likeness: u128 = (0..dims)
                        .map(|dim| u128::from(weight[dim]) * u128::from(share[dim]) * u128::from(open[dim]))
                        .sum();
                    (likeness, std::cmp::Reverse(kind))
                })
                .max();
            let Some((_, std::cmp::Reverse(kind))) = next else { break };
            put(&mut room, &kinds.size[kind], 1);
            for (open, share) in open.iter_mut().zip(&kinds.share[kind]) {
                *open = open.saturating_sub(*share);
            }
            left[kind] -= 1;
            match pattern.iter_mut().find(|(of, _)| *of == kind as u32) {
                Some((_, count)) => *count += 1,
                None => pattern.push((kind as u32, 1)),
            }
        }
        pattern.sort_unstable();
        alive.retain(|&kind| left[kind] > 0);
        bins.push(pattern);
    }
    bins
}

/// How many of `size` the room takes.
pub(super) fn fit(room: &[u64], size: &[u64]) -> u32 {
    let mut fit = u64::from(u32::MAX);
    for (&room, &size) in room.iter().zip(size) {
        if size > room {
            return 0;
        }
        if size > 0 {
            // A division costs more than all the rest; most rooms take one or two.
            fit = fit.min(if room < 2 * size { 1 } else { room / size });
        }
    }
    u32::try_from(fit).unwrap_or(u32::MAX)
}

/// Takes `count` of `size` from the room.
pub(super) fn put(room: &mut [u64], size: &[u64], count: u32) {
    for (room, size) in room.iter_mut().zip(size) {
        *room -= size * u64::from(count);
    }
}
