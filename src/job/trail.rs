//! Which entries of a job's log are the crew's, and which of them are about one module.

use serde_json::Value;

use crate::custody::{COSIGNED, RELEASED};
use crate::ledger::{Log, LogEntry};

/// The first entry of a job's log.
pub const OPENED: &str = "job_opened";

/// An issue of papers.
pub const PAPERS_ISSUED: &str = "papers_issued";

/// Kinds of entries that are not the crew's: playing a job again passes over them.
const BESIDE: [&str; 4] = [OPENED, PAPERS_ISSUED, RELEASED, COSIGNED];

/// Whether an entry is one of the crew's, to be played through the gate.
#[must_use]
pub fn is_of_the_record(entry: &LogEntry) -> bool {
    !BESIDE.contains(&entry.kind.as_str())
}

/// The crew's entries in order; the first has number 1 in the record.
pub fn record_entries(log: &Log) -> impl Iterator<Item = &LogEntry> {
    log.entries().iter().filter(|entry| is_of_the_record(entry))
}

/// Places in the log of the entries about one module of the plan: its own, and corrections of
/// them.
#[must_use]
pub fn module_entries(log: &Log, module: &str) -> Vec<u64> {
    let entries: Vec<&LogEntry> = record_entries(log).collect();
    let about = |entry: &LogEntry| said(entry, "module").and_then(Value::as_str) == Some(module);
    let amended = |entry: &LogEntry| {
        let number = said(entry, "amends")?.as_u64()?.checked_sub(1)?;
        entries.get(usize::try_from(number).ok()?).copied()
    };
    entries
        .iter()
        .filter(|entry| about(entry) || amended(entry).is_some_and(about))
        .map(|entry| entry.seq)
        .collect()
}

/// A member of the entry that the crew made.
fn said<'e>(entry: &'e LogEntry, member: &str) -> Option<&'e Value> {
    entry.body.get("entry")?.get(member)
}
