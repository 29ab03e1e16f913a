//! Audits many jobs: finds them, reads each, asks every check, and gives what was found in the order
//! of the input. One job is in memory for each core, whatever their number.

mod list;
mod load;
mod places;
mod questions;
mod report;
mod run;

pub use list::read_certificate;
pub use questions::{Inspected, QuestionTally};
pub use report::{AuditReport, CheckShown, FindingsCsv, MOST_KEPT, describe_findings, means};
pub use run::{AuditAsked, AuditRun, Look, Take, audit_jobs};
