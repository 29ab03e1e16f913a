//! Instruments, findings and the inspection sheet of one module.

mod finding;
mod instrument;
mod sheet;

pub use finding::{Finding, FindingError, Outcome, catalogue, finding, soundness_of};
pub use instrument::{GloveClass, Instrument, InstrumentKind};
pub use sheet::{Sheet, StateOfCharge};
