//! First plans: first fit in several orders, then a package at a time filled as well as may be.

#![allow(
    clippy::indexing_slicing,
    reason = "kinds, limits and open packages are numbered here and only here"
)]

use super::kinds::{Kinds, ONE};
use super::pattern::{Packed, Pattern, packages};

/// Most groups of like open packages looked at for one kind. Past that the oldest are closed: a
/// bound on the work, reached only by plans of thousands of unlike packages.
const OPEN: usize = 4096;

/// Of the packages that could be filled alike, one in so many is before prices are looked at again.
const ALIKE: u32 = 16;

/// Like packages, filled alike so far.
#[derive(Clone)]
struct Group {
    room: Vec<u64>,
    pattern: Pattern,
    times: u32,
}

/// Best of the orders for the items in `left`; the first that needs no more than `enough`.
pub(super) fn best_fit_of_orders(kinds: &Kinds, left: &[u32], enough: u64) -> Packed {
    let dims = kinds.cap.len();
    let mut best: Option<(u64, Packed)> = None;
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
        let count = packages(&plan);
        if best.as_ref().is_none_or(|best| count < best.0) {
            best = Some((count, plan));
        }
        if count <= enough {
            break;
        }
    }
    best.unwrap_or_default().1
}

/// First fit of the items in `left`, kind by kind in `order`.
fn first_fit(kinds: &Kinds, left: &[u32], order: &[usize]) -> Packed {
    let mut groups: Vec<Group> = Vec::new();
    let mut opened: Vec<Group> = Vec::new();
    for &kind in order {
        let size = &kinds.size[kind];
        let mut remaining = left[kind];
        let from = groups.len().saturating_sub(OPEN);
        for group in &mut groups[from..] {
            if remaining == 0 {
                break;
            }
            let each = fit(&group.room, size).min(remaining);
            if each == 0 {
                continue;
            }
            // As many of the group as the kind fills; one more that takes what is left of it.
            let whole = (remaining / each).min(group.times);
            let odd = if whole < group.times {
                remaining - whole * each
            } else {
                0
            };
            let rest = group.times - whole - u32::from(odd > 0);
            for (times, count) in [(u32::from(odd > 0), odd), (rest, 0)] {
                if times > 0 {
                    let mut other = group.clone();
                    other.times = times;
                    other.add(kind, size, count);
                    opened.push(other);
                }
            }
            group.times = whole;
            group.add(kind, size, each);
            remaining -= whole * each + odd;
        }
        groups.append(&mut opened);
        let full = kinds.most(kind).max(1);
        for (times, count) in [(remaining / full, full), (1, remaining % full)] {
            if times > 0 && count > 0 {
                let mut group = Group {
                    room: kinds.cap.clone(),
                    pattern: Vec::new(),
                    times,
                };
                group.add(kind, size, count);
                groups.push(group);
            }
        }
    }
    groups
        .into_iter()
        .map(|mut group| {
            group.pattern.sort_unstable();
            (group.pattern, group.times)
        })
        .collect()
}

impl Group {
    fn add(&mut self, kind: usize, size: &[u64], count: u32) {
        if count > 0 {
            put(&mut self.room, size, count);
            self.pattern.push((kind as u32, count));
        }
    }
}

/// A package at a time: each next item is the one whose sizes lie closest to the room left, with
/// scarce limits weighing more.
pub(super) fn fill_one_by_one(kinds: &Kinds, left: &[u32]) -> Packed {
    let dims = kinds.cap.len();
    let mut left = left.to_vec();
    let mut alive: Vec<usize> = (0..kinds.len()).filter(|kind| left[*kind] > 0).collect();
    let mut bins = Vec::new();
    while !alive.is_empty() {
        let weight: Vec<u128> = (0..dims)
            .map(|dim| {
                alive
                    .iter()
                    .map(|&kind| u128::from(left[kind]) * u128::from(kinds.share[kind][dim]))
                    .sum()
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
                        .map(|dim| {
                            u128::from(weight[dim]) * u128::from(share[dim]) * u128::from(open[dim])
                        })
                        .sum();
                    (likeness, std::cmp::Reverse(kind))
                })
                .max();
            let Some((_, std::cmp::Reverse(kind))) = next else {
                break;
            };
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
        // Where hundreds are alike, some at a time.
        let times = pattern
            .iter()
            .map(|(kind, count)| left[*kind as usize] / count)
            .min();
        let times = times.unwrap_or(0) / ALIKE;
        for (kind, count) in &pattern {
            left[*kind as usize] -= count * times;
        }
        alive.retain(|&kind| left[kind] > 0);
        bins.push((pattern, times + 1));
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
