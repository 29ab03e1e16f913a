//! Rules of single acts that no plain limit can say, one file for each kind of act.

mod case_insulation;
mod cells;
mod damaged;
mod isolation;
mod lifts;
mod modules;
mod plausible;
mod proof;
mod ruling;
mod second_proof;
mod wait;
mod watch;

pub use case_insulation::two_reading_insulation;
pub use lifts::modules_below;
pub(super) use plausible::cannot_be;
pub(super) use ruling::{Ruling, rule};
pub use wait::{LABEL_READ_ON_SITE, RequiredWait, required_wait_s};
