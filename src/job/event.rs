//! What stands in the ledger: the body of each kind of entry.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{OPENED, Plan, Taken};
use crate::citation::Reason;
use crate::clock::Moment;
use crate::ledger::{Log, LogEntry};
use crate::procedure::{Entry, Outcome};

/// The first entry: the plan and everything that decides with it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenedBody {
    /// The plan, whole.
    pub plan: Plan,
    /// Name of the procedure.
    pub procedure: String,
    /// SHA-256 of the procedure as joined.
    pub procedure_sha256: String,
    /// SHA-256 of the settings.
    pub settings_sha256: String,
    /// Version of this program.
    pub program: String,
    /// Where the entries come from: `field record` (played from a file; its times are those of
    /// the file) or `device` (made one by one on the device that signs).
    pub entries_from: String,
}

/// An entry of the field record with what became of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct EntryBody {
    /// The entry as made.
    pub entry: Entry,
    /// What became of it.
    pub outcome: Outcome,
    /// Why it was refused or did not pass.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub reasons: Vec<Reason>,
    /// What follows from it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

/// Papers that were issued, with their hashes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PapersBody {
    /// Number of the issue, from 1; a later issue supersedes the ones before.
    pub issue: u32,
    /// Whether they are drafts.
    pub draft: bool,
    /// Why these papers make the ones before void; they may not be used themselves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub void: Option<String>,
    /// Rule set that decided.
    pub rule_set: String,
    /// File name and SHA-256 of each.
    pub papers: Vec<(String, String)>,
}

impl EntryBody {
    /// Reads the body of an entry of a log.
    ///
    /// # Errors
    /// A body of another form.
    pub fn read(body: &Value) -> Result<Self, serde_json::Error> {
        let rest = Rest::deserialize(body)?;
        Ok(Self {
            entry: Entry::of_json(body.get("entry").unwrap_or(&Value::Null))?,
            outcome: rest.outcome,
            reasons: rest.reasons,
            notes: rest.notes,
        })
    }

    /// The body of an entry as it was taken, as JSON for the ledger. The forms hold no number, so
    /// nothing can be lost in one.
    ///
    /// # Errors
    /// None for any entry that was read before.
    pub fn value_of(taken: &Taken) -> Result<Value, serde_json::Error> {
        serde_json::to_value(EntryBodyRef {
            entry: &taken.entry,
            outcome: taken.judgement.outcome,
            reasons: &taken.judgement.reasons,
            notes: &taken.judgement.notes,
        })
    }
}

/// [`EntryBody`] without the entry.
#[derive(Deserialize)]
struct Rest {
    outcome: Outcome,
    #[serde(default)]
    reasons: Vec<Reason>,
    #[serde(default)]
    notes: Vec<String>,
}

/// [`EntryBody`] while it is written: nothing is copied.
#[derive(Serialize)]
struct EntryBodyRef<'a> {
    entry: &'a Entry,
    outcome: Outcome,
    #[serde(skip_serializing_if = "<[Reason]>::is_empty")]
    reasons: &'a [Reason],
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    notes: &'a [String],
}

/// When the entry is recorded: now. In a job that was played from a field record, whose entries
/// bear the times of that record, when it happened, so that the same record gives the same bytes;
/// never before the entry that stands before it.
#[must_use]
pub fn recorded_at(log: &Log, happened: Moment) -> Moment {
    let of_device = log
        .entries()
        .first()
        .filter(|entry| entry.kind == OPENED)
        .and_then(|entry| entry.body.get("entries_from"))
        .is_some_and(|from| from == "device");
    if of_device {
        return Moment::present();
    }
    let last = log.entries().last().map(LogEntry::moment);
    last.map_or(happened, |last| last.max(happened))
}
