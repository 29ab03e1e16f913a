//! Equal items are one kind: a thousand like modules are one row of the sums.
//!
//! Limits that can never bind are dropped, items that need nothing are set aside, and kinds that
//! can share a package with no other are counted at once.

use std::collections::HashMap;

use crate::packing::Instance;

/// One in the scale of normalised sizes.
pub(super) const ONE: u64 = 1 << 20;

/// What the solver works on: kinds in descending size, and how many of each.
#[derive(Debug, Clone, Default)]
pub(super) struct Kinds {
    /// Limits that can bind.
    pub cap: Vec<u64>,
    /// Sizes by kind.
    pub size: Vec<Vec<u64>>,
    /// The same as a share of the limit, rounded down, in parts of [`ONE`].
    pub share: Vec<Vec<u64>>,
    /// How many of each kind.
    pub demand: Vec<u32>,
    /// The items of each kind.
    pub members: Vec<Vec<u32>>,
    /// Items that share with none, a package each.
    pub alone: Vec<u32>,
    /// Items that need nothing.
    pub weightless: Vec<u32>,
}

impl Kinds {
    /// Gathers the items of `instance`.
    pub(super) fn gather(instance: &Instance) -> Self {
        // Looked up only, never listed: its order is in no answer.
        let mut number: HashMap<&[u64], usize> = HashMap::new();
        let mut groups: Vec<(&[u64], Vec<u32>)> = Vec::new();
        for (item, sizes) in (0_u32..).zip(instance.items()) {
            let next = groups.len();
            let at = *number.entry(sizes).or_insert(next);
            if at == next {
                groups.push((sizes, Vec::new()));
            }
            if let Some((_, members)) = groups.get_mut(at) {
                members.push(item);
            }
        }
        let mut kinds = Self::default();
        let binding: Vec<usize> = instance
            .cap
            .iter()
            .enumerate()
            .filter(|(limit, cap)| {
                let sum: u128 = groups
                    .iter()
                    .filter_map(|(sizes, of)| Some((sizes.get(*limit)?, of.len())))
                    .map(|(size, count)| u128::from(*size) * count as u128)
                    .sum();
                sum > u128::from(**cap)
            })
            .map(|(limit, _)| limit)
            .collect();
        let pick = |of: &[u64]| {
            binding
                .iter()
                .filter_map(|limit| of.get(*limit).copied())
                .collect()
        };
        kinds.cap = pick(&instance.cap);
        let mut rows: Vec<(u64, Vec<u64>, Vec<u32>)> = Vec::new();
        for (sizes, members) in groups {
            let sizes: Vec<u64> = pick(sizes);
            if sizes.iter().all(|size| *size == 0) {
                kinds.weightless.extend(members);
            } else {
                let sum = shares(&sizes, &kinds.cap).iter().sum();
                rows.push((sum, sizes, members));
            }
        }
        rows.sort_unstable_by(|a, b| (b.0, &b.1, &b.2).cmp(&(a.0, &a.1, &a.2)));
        // Two kinds may have become one where a limit was dropped.
        let mut merged: Vec<(Vec<u64>, Vec<u32>)> = Vec::new();
        for (_, sizes, members) in rows {
            match merged.last_mut() {
                Some((last, of)) if *last == sizes => of.extend(members),
                _ => merged.push((sizes, members)),
            }
        }
        for (sizes, mut members) in kinds.set_aside_alone(merged) {
            members.sort_unstable();
            kinds.share.push(shares(&sizes, &kinds.cap));
            kinds.size.push(sizes);
            kinds
                .demand
                .push(u32::try_from(members.len()).unwrap_or(u32::MAX));
            kinds.members.push(members);
        }
        kinds.weightless.sort_unstable();
        kinds
    }

    /// Sets aside what can share with none; gives the rest.
    fn set_aside_alone(&mut self, rows: Vec<(Vec<u64>, Vec<u32>)>) -> Vec<(Vec<u64>, Vec<u32>)> {
        let fits = |a: &[u64], b: &[u64]| {
            a.iter()
                .zip(b)
                .zip(&self.cap)
                .all(|((a, b), cap)| a + b <= *cap)
        };
        let is_alone = |at: usize, (sizes, members): &(Vec<u64>, Vec<u32>)| {
            (members.len() < 2 || !fits(sizes, sizes))
                // From the smallest: the first that fits ends the look.
                && !rows.iter().enumerate().rev().any(|(other, (of, _))| other != at && fits(sizes, of))
        };
        let alone: Vec<bool> = rows
            .iter()
            .enumerate()
            .map(|(at, row)| is_alone(at, row))
            .collect();
        let mut rest = Vec::new();
        for (row, alone) in rows.into_iter().zip(alone) {
            if alone {
                self.alone.extend(row.1);
            } else {
                rest.push(row);
            }
        }
        self.alone.sort_unstable();
        rest
    }

    /// How many kinds.
    pub(super) const fn len(&self) -> usize {
        self.size.len()
    }

    /// The most of one kind that a package takes.
    pub(super) fn most(&self, kind: usize) -> u32 {
        let Some(sizes) = self.size.get(kind) else {
            return 0;
        };
        let fit = sizes
            .iter()
            .zip(&self.cap)
            .filter_map(|(size, cap)| cap.checked_div(*size))
            .min()
            .unwrap_or(u64::MAX);
        u32::try_from(fit).unwrap_or(u32::MAX)
    }
}

fn shares(sizes: &[u64], cap: &[u64]) -> Vec<u64> {
    sizes
        .iter()
        .zip(cap)
        .map(|(size, cap)| {
            let share = u128::from(*size) * u128::from(ONE) / u128::from((*cap).max(1));
            u64::try_from(share).unwrap_or(ONE)
        })
        .collect()
}
