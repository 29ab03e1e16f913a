//! Instruments, findings and the inspection sheet of one module.

mod finding;
mod hold_events;
mod instrument;
mod quarantine;
mod sheet;
mod triage;

pub use finding::{Finding, FindingError, Outcome, catalogue, finding, soundness_of};
pub use instrument::{GloveClass, Instrument, InstrumentKind};
pub use quarantine::{
    DueReading, DueState, Hold, HoldOutcome, HoldReading, HoldVerdict, VoltageTrend, judge_hold,
};
pub use sheet::{LimitVerdict, Sheet, StateOfCharge};
pub use triage::{NEVER_DISCHARGE, Triage, triage};
