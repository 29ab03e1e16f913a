//! Judges every battery of an input for each leg: one by one with reasons, as a table, over a whole
//! route, or what a later day changes.

mod compare;
mod judge;
mod kept_rows;
mod route;
mod row_key;
mod table;

pub use compare::{Change, ChangedAlike, Comparison, compare};
pub use judge::{Tally, Worst, classify};
pub use route::decide_routes;
pub use table::{Progress, classify_to_table, classify_to_writer};
