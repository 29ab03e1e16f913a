//! Custody events in bulk: one table of hand-overs of many modules, checked in one reading.
//!
//! Every module has a chain of events, numbered from 1. The chain must have no hole, each holder
//! must hand over what he was given, the clock must not run back, the chain must end with the last
//! step, and the module must leave within the time allowed. The order of the rows in the file does
//! not matter for the answer; it only matters for the time taken.

mod answer;
mod column;
mod custody;
mod fault;
mod fold;
mod heads;
mod names;
mod rounds;
mod row;
mod second_reading;

pub use answer::{Check, ChecksDone, EventsAnswer, EventsFinding, EventsQuestion};
pub use column::EventRow;
pub use custody::{Audited, EventsInput, audit_events};
pub use fault::EventsFault;
pub use heads::Heads;
