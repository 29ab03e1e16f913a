//! The solver: equal items gathered to kinds, greedy plans, column generation, dives, exact search.
//!
//! Deterministic: work is counted, not timed. Floating point only steers; every package is whole
//! numbers within its limits, and every bound is proved in whole numbers (`columns`, `search`).

mod columns;
mod dive;
mod greedy;
mod kinds;
mod knapsack;
#[cfg(test)]
mod oracle;
mod packer;
mod pattern;
mod search;
mod simplex;

pub use packer::{Packer, solve, solve_all};
