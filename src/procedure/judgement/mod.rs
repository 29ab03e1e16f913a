//! Takes one entry of the record: refuses it, or accepts it and says what follows.
//!
//! A refusal stops the job where the order was broken. An entry whose evidence does not pass is
//! lawful: it is kept, the step stays open, and what it disproved becomes void or stale.

mod correction;
mod event;
mod late;
mod recorded;
mod step;
mod taken;

pub use recorded::take_as_recorded;
pub use taken::{Judgement, Outcome, open_steps, take};
