//! What an auditor asks of a job: a table of checks over everything that is at hand about it.
//!
//! The checks share no code with the gate: they are its second opinion. Nothing here touches a
//! file or a clock; the caller gives the dossier and the day. `events` audits a bare table of custody
//! events instead, in bulk.

mod audited;
mod certificate;
mod checks;
mod consignment;
mod dossier;
pub mod events;
mod exchange;
mod finding;
mod inspector;
mod masses;
mod module_file;
mod on_vehicle;
mod register;
mod register_certificates;
mod register_entries;
mod retention;
mod sample;
mod summary;
mod table;
mod together;
mod training;

pub use audited::{Audited, FailedTester, Trace, audit, unreadable};
pub use certificate::{Certificate, CertificateMatch, ListFault, Unmatched, handed_over};
pub use consignment::{ConsignmentRecord, is_consignment};
pub use dossier::{Difference, Dossier, Given, Issue, PaperHeld, Recorded, opening_of};
pub use exchange::{Exchange, ExchangedPackage, Side};
pub use finding::{Finding, Found, Severity};
pub use inspector::{Answered, Standing, answers};
pub use masses::{MassLine, MassPart, MassReport, mass_part};
pub use module_file::{LifeLine, ModuleFile, module_file};
pub use on_vehicle::Loaded;
pub use register::RegisterRecord;
pub use register_certificates::CertifiedBy;
pub use retention::{CountedFrom, KEEP_RULES, KeepRule, Kept, calendar};
pub use sample::Sample;
pub use summary::{Counted, Summary};
pub use table::{
    ASKED_LAST, BUNDLE, CHECKS, Check, ELSEWHERE, FORK, LOOK_BACK, Subject, UNREADABLE, VEHICLE,
    check,
};
pub use together::{Beside, Together, forked};
pub use training::{InDate, Trained, TrainingMatrix, trained};
