//! Why a job cannot be read from disk or written to it.

use std::path::PathBuf;

use crate::ledger::LedgerError;
use crate::procedure::{Escape, ProcedureError};
use crate::written::WrittenError;

/// Why a job cannot be read or written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// A file cannot be read or written.
    #[error("`{}`: {why}", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What the system says.
        why: std::io::Error,
    },
    /// A file is not UTF-8.
    #[error("`{}` is not UTF-8 text (byte {at})", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// The first byte that is not.
        at: usize,
    },
    /// A file or line is larger than anything of its kind.
    #[error("`{}` {what}", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// What is too large, and the limit.
        what: String,
    },
    /// A file of facts, or a piece of it, cannot be read.
    #[error("`{name}`{}{place}: {why}", if place.is_empty() { "" } else { " " })]
    Input {
        /// The file, or standard input.
        name: String,
        /// Line, column, object; empty where it is the whole.
        place: String,
        /// Why.
        why: String,
        /// Names that would have been known there.
        known: Vec<String>,
    },
    /// The plan cannot be used.
    #[error("`{}`: {why}", path.display())]
    Plan {
        /// The file.
        path: PathBuf,
        /// Why.
        why: WrittenError,
    },
    /// `site.json` cannot be used.
    #[error("`{}`: {why}", path.display())]
    Site {
        /// The file.
        path: PathBuf,
        /// Why.
        why: WrittenError,
    },
    /// A line of the record cannot be read.
    #[error("`{}` line {line}: {why}", path.display())]
    Record {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// Why.
        why: String,
    },
    /// A procedure cannot be read.
    #[error("procedure `{name}`: {why}")]
    Procedure {
        /// Its name or file.
        name: String,
        /// Why.
        why: Box<ProcedureError>,
    },
    /// There is no such procedure.
    #[error("there is no procedure `{name}`; there are {}", known.join(", "))]
    NoSuchProcedure {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: Vec<&'static str>,
    },
    /// A procedure is not safe.
    #[error("procedure `{name}` is not accepted: its proof fails")]
    Unproved {
        /// Its name.
        name: String,
        /// Each way round.
        escapes: Vec<Escape>,
    },
    /// The settings cannot be used.
    #[error("settings `{}`: {why}", path.display())]
    Settings {
        /// The file.
        path: PathBuf,
        /// Why.
        why: Box<ProcedureError>,
    },
    /// The folder holds another record.
    #[error("`{}` holds another record: {what}", path.display())]
    OtherRecord {
        /// The folder.
        path: PathBuf,
        /// What differs.
        what: String,
    },
    /// Somebody else is writing to the job.
    #[error("`{}` is being written by another program", path.display())]
    Busy {
        /// The folder.
        path: PathBuf,
    },
    /// There is no ledger where one is needed.
    #[error("`{}` has no ledger yet", path.display())]
    NoLedger {
        /// The folder.
        path: PathBuf,
    },
    /// The ledger is broken, so nothing may be built on it.
    #[error("the ledger of `{}` is broken: {what}", path.display())]
    LedgerBroken {
        /// The folder.
        path: PathBuf,
        /// The first break.
        what: String,
    },
    /// The ledger cannot be written.
    #[error("ledger: {0}")]
    Ledger(Box<LedgerError>),
    /// A key cannot be made or read.
    #[error("device key: {0}")]
    Key(String),
    /// A bundle that is not taken at all.
    #[error("the bundle `{}` is refused: {what}", path.display())]
    Bundle {
        /// The file or folder.
        path: PathBuf,
        /// What is wrong.
        what: String,
    },
    /// A bundle whose content does not hold.
    #[error("the bundle `{}` does not hold: {what}", path.display())]
    BundleBroken {
        /// The file or folder.
        path: PathBuf,
        /// The first fault.
        what: String,
    },
    /// Two copies of one log contradict each other.
    #[error("FORK: `{}`: {what}", path.display())]
    Fork {
        /// The copy that was looked at.
        path: PathBuf,
        /// Where they differ.
        what: String,
    },
    /// A copy of a log that is older than what was seen.
    #[error(
        "`{}` holds {found} entries of a log of which this device has seen {seen}",
        path.display()
    )]
    Older {
        /// The copy.
        path: PathBuf,
        /// Its entries.
        found: u64,
        /// The entries that were seen.
        seen: u64,
    },
    /// A form of ours that does not go into JSON: a bug.
    #[error("internal form: {0}")]
    Form(#[from] serde_json::Error),
}

impl StoreError {
    /// A fault in an input, without names to compare with.
    pub(crate) fn input(
        name: impl std::fmt::Display,
        place: impl Into<String>,
        why: impl Into<String>,
    ) -> Self {
        Self::Input {
            name: name.to_string(),
            place: place.into(),
            why: why.into(),
            known: Vec::new(),
        }
    }

    /// A bundle that is not taken at all.
    pub(crate) fn bundle(path: impl Into<PathBuf>, what: impl Into<String>) -> Self {
        Self::Bundle {
            path: path.into(),
            what: what.into(),
        }
    }

    /// A file that cannot be read or written.
    pub(crate) fn file(path: impl Into<PathBuf>) -> impl FnOnce(std::io::Error) -> Self {
        let path = path.into();
        move |why| Self::File { path, why }
    }
}

impl From<LedgerError> for StoreError {
    fn from(error: LedgerError) -> Self {
        Self::Ledger(Box::new(error))
    }
}
