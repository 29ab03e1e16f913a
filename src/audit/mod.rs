//! Checks over many jobs or many events. Bytes and values in, findings out; decides nothing.

mod events;

pub use events::{
    Audited, Check, ChecksDone, EventRow, EventsAnswer, EventsFault, EventsFinding, EventsInput,
    EventsQuestion, Heads, audit_events,
};
