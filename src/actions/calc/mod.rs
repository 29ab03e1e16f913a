//! One sum by itself, without a job: reads its input as JSON or CSV, gives its answer as JSON.

mod answer;
mod calculate;
mod row;
mod sum;
mod table;
mod table_rows;

pub use calculate::Calculated;
pub use sum::{SUMS, Sum, find_sum};
pub use table::Rows;
