//! A small revised simplex: the fewest packages, in fractions, made of known patterns.
//!
//! Floating point, and so believed by nobody: patterns it mixes are whole by themselves, and bounds
//! are proved from its prices by the exact search of `knapsack`. Only `+ - * /` on `f64`, in a fixed
//! order, so that every machine gives the same bits.

#![allow(
    clippy::indexing_slicing,
    reason = "rows and columns are numbered here and only here"
)]

use super::pattern::Pattern;

/// Below this a reduced cost or a pivot is none.
const SMALL: f64 = 1e-9;

/// What stands in a row of the basis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Basic {
    /// A pattern, by its place in the list.
    Pattern(usize),
    /// More of a kind than is asked for, by row.
    Surplus(usize),
}

/// The fewest packages in fractions over the patterns so far.
#[derive(Debug, Clone)]
pub(super) struct Simplex {
    rows: usize,
    /// Row of each kind.
    row_of: Vec<Option<usize>>,
    demand: Vec<f64>,
    /// Patterns by row, as sparse columns.
    columns: Vec<Vec<(usize, f64)>>,
    basic: Vec<Basic>,
    is_basic: Vec<bool>,
    inverse: Vec<f64>,
    level: Vec<f64>,
    price: Vec<f64>,
    since: usize,
    /// Steps taken times the square of the rows: the work done.
    pub work: u64,
    column: Vec<f64>,
}

impl Simplex {
    /// For the kinds with something `left`; `single` is the most of each that a package takes.
    pub(super) fn new(left: &[u32], single: impl Fn(usize) -> u32) -> Self {
        let kinds: Vec<usize> = (0..left.len()).filter(|kind| left[*kind] > 0).collect();
        let rows = kinds.len();
        let mut simplex = Self {
            rows,
            row_of: vec![None; left.len()],
            demand: Vec::with_capacity(rows),
            columns: Vec::new(),
            basic: Vec::with_capacity(rows),
            is_basic: Vec::new(),
            inverse: vec![0.0; rows * rows],
            level: Vec::with_capacity(rows),
            price: vec![0.0; rows],
            since: 0,
            work: 0,
            column: vec![0.0; rows],
        };
        for (row, &kind) in kinds.iter().enumerate() {
            simplex.row_of[kind] = Some(row);
            // A hair more for each row, each another hair: ties would make it walk in circles.
            let hair = 1e-7 * (1.0 + (row as f64 * 0.618_033_988_749_895) % 1.0);
            simplex.demand.push(f64::from(left[kind]) + hair);
        }
        for &kind in &kinds {
            let count = single(kind).min(left[kind]).max(1);
            simplex.add(&[(kind as u32, count)]);
        }
        for row in 0..rows {
            let count = simplex.columns[row][0].1;
            simplex.basic.push(Basic::Pattern(row));
            simplex.is_basic[row] = true;
            simplex.inverse[row * rows + row] = 1.0 / count;
            simplex.level.push(simplex.demand[row] / count);
            simplex.price[row] = 1.0 / count;
        }
        simplex
    }

    /// Adds a pattern.
    pub(super) fn add(&mut self, pattern: &[(u32, u32)]) {
        let column = pattern
            .iter()
            .filter_map(|&(kind, count)| {
                let row = (*self.row_of.get(kind as usize)?)?;
                Some((row, f64::from(count)))
            })
            .collect();
        self.columns.push(column);
        self.is_basic.push(false);
    }

    /// Steps until no known pattern helps, or `most` steps.
    pub(super) fn run(&mut self, most: u64) {
        for _ in 0..most {
            let Some(enter) = self.entering() else { return };
            if !self.step(enter) {
                return;
            }
        }
    }

    /// Packages in fractions.
    pub(super) fn value(&self) -> f64 {
        self.basic
            .iter()
            .zip(&self.level)
            .filter(|(basic, _)| matches!(basic, Basic::Pattern(_)))
            .map(|(_, level)| level.max(0.0))
            .sum()
    }

    /// Price of each kind: what one more would cost, in packages. Nothing for kinds without a row.
    pub(super) fn price_of(&self, kind: usize) -> f64 {
        self.row_of
            .get(kind)
            .copied()
            .flatten()
            .map_or(0.0, |row| self.price[row].max(0.0))
    }

    /// The patterns in use with their fraction, by number in the order added.
    pub(super) fn mixture(&self) -> Vec<(usize, f64)> {
        let mut used: Vec<(usize, f64)> = self
            .basic
            .iter()
            .zip(&self.level)
            .filter_map(|(basic, level)| match basic {
                Basic::Pattern(column) if *level > 1e-6 => Some((*column, *level)),
                _ => None,
            })
            .collect();
        used.sort_unstable_by_key(|used| used.0);
        used
    }

    fn entering(&self) -> Option<Basic> {
        let mut best = (-SMALL * 100.0, None);
        for (at, column) in self.columns.iter().enumerate() {
            if self.is_basic[at] {
                continue;
            }
            let worth: f64 = column
                .iter()
                .map(|(row, count)| self.price[*row] * count)
                .sum();
            if 1.0 - worth < best.0 {
                best = (1.0 - worth, Some(Basic::Pattern(at)));
            }
        }
        for (row, price) in self.price.iter().enumerate() {
            if *price < best.0 {
                best = (*price, Some(Basic::Surplus(row)));
            }
        }
        best.1
    }

    /// One exchange; whether there was one.
    fn step(&mut self, enter: Basic) -> bool {
        let rows = self.rows;
        self.work += (rows * rows) as u64;
        let mut column = std::mem::take(&mut self.column);
        self.through_inverse(enter, &mut column);
        let mut leave: Option<(usize, f64)> = None;
        for (row, (&along, &level)) in column.iter().zip(&self.level).enumerate() {
            if along > 1e-7 {
                let ratio = level.max(0.0) / along;
                let closer = leave.is_none_or(|(best, least)| {
                    ratio < least - 1e-12 || (ratio < least + 1e-12 && along > column[best])
                });
                if closer {
                    leave = Some((row, ratio));
                }
            }
        }
        let Some((leave, ratio)) = leave else {
            self.column = column;
            return false;
        };
        let pivot = column[leave];
        let cost = match enter {
            Basic::Pattern(at) => {
                let worth: f64 = self.columns[at]
                    .iter()
                    .map(|(row, count)| self.price[*row] * count)
                    .sum();
                1.0 - worth
            }
            Basic::Surplus(row) => self.price[row],
        };
        for (level, along) in self.level.iter_mut().zip(&column) {
            *level -= along * ratio;
        }
        self.level[leave] = ratio;
        let pivot_row: Vec<f64> = self.inverse[leave * rows..(leave + 1) * rows]
            .iter()
            .map(|x| x / pivot)
            .collect();
        for (row, &along) in column.iter().enumerate() {
            let target = &mut self.inverse[row * rows..(row + 1) * rows];
            if row == leave {
                target.copy_from_slice(&pivot_row);
            } else if along != 0.0 {
                for (x, p) in target.iter_mut().zip(&pivot_row) {
                    *x -= along * p;
                }
            }
        }
        for (price, p) in self.price.iter_mut().zip(&pivot_row) {
            *price += cost * p;
        }
        if let Basic::Pattern(at) = self.basic[leave] {
            self.is_basic[at] = false;
        }
        if let Basic::Pattern(at) = enter {
            self.is_basic[at] = true;
        }
        self.basic[leave] = enter;
        self.column = column;
        self.since += 1;
        if self.since >= 200 {
            self.start_afresh();
        }
        true
    }

    /// The entering column through the inverse.
    fn through_inverse(&self, enter: Basic, out: &mut [f64]) {
        match enter {
            Basic::Pattern(at) => {
                let column = &self.columns[at];
                for (out, line) in out.iter_mut().zip(self.inverse.chunks_exact(self.rows)) {
                    *out = column.iter().map(|(row, count)| line[*row] * count).sum();
                }
            }
            Basic::Surplus(row) => {
                for (out, line) in out.iter_mut().zip(self.inverse.chunks_exact(self.rows)) {
                    *out = -line[row];
                }
            }
        }
    }

    /// Inverse, levels and prices anew from the basis: rounding does not gather.
    fn start_afresh(&mut self) {
        self.since = 0;
        let rows = self.rows;
        let mut left = vec![0.0; rows * rows];
        for (at, basic) in self.basic.iter().enumerate() {
            match basic {
                Basic::Pattern(column) => {
                    for (row, count) in &self.columns[*column] {
                        left[row * rows + at] = *count;
                    }
                }
                Basic::Surplus(row) => left[row * rows + at] = -1.0,
            }
        }
        let mut right = vec![0.0; rows * rows];
        for row in 0..rows {
            right[row * rows + row] = 1.0;
        }
        self.work += (rows * rows * rows) as u64;
        for at in 0..rows {
            let pivot_row = (at..rows).max_by(|a, b| {
                left[a * rows + at]
                    .abs()
                    .total_cmp(&left[b * rows + at].abs())
                    .then(b.cmp(a))
            });
            let Some(pivot_row) = pivot_row else { return };
            if left[pivot_row * rows + at].abs() < 1e-11 {
                // Singular by rounding: keep what there is.
                return;
            }
            if pivot_row != at {
                for column in 0..rows {
                    left.swap(at * rows + column, pivot_row * rows + column);
                    right.swap(at * rows + column, pivot_row * rows + column);
                }
            }
            let pivot = left[at * rows + at];
            for column in 0..rows {
                left[at * rows + column] /= pivot;
                right[at * rows + column] /= pivot;
            }
            let (left_row, right_row) = (
                left[at * rows..(at + 1) * rows].to_vec(),
                right[at * rows..(at + 1) * rows].to_vec(),
            );
            for row in (0..rows).filter(|row| *row != at) {
                let factor = left[row * rows + at];
                if factor != 0.0 {
                    for column in 0..rows {
                        left[row * rows + column] -= factor * left_row[column];
                        right[row * rows + column] -= factor * right_row[column];
                    }
                }
            }
        }
        self.inverse = right;
        for (row, level) in self.level.iter_mut().enumerate() {
            *level = self.inverse[row * rows..(row + 1) * rows]
                .iter()
                .zip(&self.demand)
                .map(|(x, demand)| x * demand)
                .sum();
        }
        self.price.fill(0.0);
        for (row, basic) in self.basic.iter().enumerate() {
            if matches!(basic, Basic::Pattern(_)) {
                for (price, x) in self.price.iter_mut().zip(&self.inverse[row * rows..]) {
                    *price += x;
                }
            }
        }
    }
}

/// Patterns known so far, each once.
#[derive(Debug, Clone, Default)]
pub(super) struct Pool {
    list: Vec<Pattern>,
    known: std::collections::BTreeSet<Pattern>,
}

impl Pool {
    /// Adds a pattern; whether it is new.
    pub(super) fn add(&mut self, pattern: Pattern) -> bool {
        let new = !pattern.is_empty() && self.known.insert(pattern.clone());
        if new {
            self.list.push(pattern);
        }
        new
    }

    /// The patterns in the order added.
    pub(super) fn list(&self) -> &[Pattern] {
        &self.list
    }
}
