//! Judges every battery of an input for each leg: one by one with reasons, as a table, or what a
//! later day changes.

mod compare;
mod judge;
mod kept_rows;
mod row_key;
mod table;

pub use compare::{Change, ChangedAlike, Comparison, compare};
pub use judge::{Tally, Worst, classify};
pub use table::{Progress, classify_to_table, classify_to_writer};
