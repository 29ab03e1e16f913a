//! Rules of single acts that no plain limit can say, one file for each kind of act.

mod damaged;
mod isolation;
mod modules;
mod proof;
mod ruling;
mod second_proof;
mod wait;
mod watch;

pub(super) use ruling::{Ruling, rule};
pub use wait::{RequiredWait, required_wait_s};
