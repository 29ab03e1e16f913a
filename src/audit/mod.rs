//! Checks over many jobs or many events. Bytes and values in, findings out; decides nothing.

mod events;

pub use events::{
    Audited, Check, ChecksDone, EventRow, EventsAnswer, EventsFault, EventsFinding, EventsInput,
    EventsQuestion, Heads, audit_events,
};
//! What an auditor asks of a job: a table of checks over everything that is at hand about it.
//!
//! The checks share no code with the gate: they are its second opinion. Nothing here touches a
//! file or a clock; the caller gives the dossier and the day. `events` audits a bare table of custody
//! events instead, in bulk.

mod audited;
mod checks;
mod dossier;
pub mod events;
mod exchange;
mod finding;
mod retention;
mod sample;
mod summary;
mod table;
mod together;

pub use audited::{Audited, FailedTester, Trace, audit, unreadable};
pub use dossier::{Difference, Dossier, Given, Issue, PaperHeld, Recorded, opening_of};
pub use exchange::{Exchange, ExchangedPackage, Side};
pub use finding::{Finding, Found, Severity};
pub use retention::{CountedFrom, KEEP_RULES, KeepRule, Kept, calendar};
pub use sample::Sample;
pub use summary::{Counted, Summary};
pub use table::{
    ASKED_LAST, CHECKS, Check, ELSEWHERE, FORK, LOOK_BACK, Subject, UNREADABLE, check,
};
pub use together::{Beside, Together, forked};
