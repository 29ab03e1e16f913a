//! Why something could not be done at all. A "no" of the gate is not here: that is an answer.

use std::path::PathBuf;

use crate::citation::Reason;
use crate::job::PlanError;
use crate::ledger::LedgerError;
use crate::packing::PackingError;
use crate::papers::PaperError;
use crate::procedure::{Escape, ProcedureError};

/// Why something could not be done.
#[derive(Debug, thiserror::Error)]
pub enum ActionError {
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
    /// The plan cannot be used.
    #[error("`{}`: {why}", path.display())]
    Plan {
        /// The file.
        path: PathBuf,
        /// Why.
        why: PlanError,
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
    /// A paper cannot be made.
    #[error("paper: {0}")]
    Paper(Box<PaperError>),
    /// The job is not entitled to papers.
    #[error("the job is not entitled to papers yet")]
    NotEntitled(Vec<Reason>),
    /// An instance or a plan cannot be read or packed.
    #[error("`{}`: {why}", path.display())]
    Packing {
        /// The file.
        path: PathBuf,
        /// Why.
        why: PackingError,
    },
    /// The solver gave a plan that the checker refuses: a bug.
    #[error("plan for `{name}` does not hold: {fault}")]
    PlanDoesNotHold {
        /// The instance.
        name: String,
        /// The first fault.
        fault: String,
    },
    /// A key cannot be made or read.
    #[error("device key: {0}")]
    Key(String),
    /// There is no such schema.
    #[error("there is no schema `{name}`; there are {}", known.join(", "))]
    NoSuchSchema {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: Vec<&'static str>,
    },
    /// Something that was written as `name=value` is not.
    #[error("`{0}` is not `name=value`")]
    NotNameValue(String),
    /// A form of ours that does not go into JSON: a bug.
    #[error("internal form: {0}")]
    Form(#[from] serde_json::Error),
}

impl ActionError {
    /// A file that cannot be read or written.
    pub(super) fn file(path: impl Into<PathBuf>) -> impl FnOnce(std::io::Error) -> Self {
        let path = path.into();
        move |why| Self::File { path, why }
    }
}

impl From<LedgerError> for ActionError {
    fn from(error: LedgerError) -> Self {
        Self::Ledger(Box::new(error))
    }
}

impl From<PaperError> for ActionError {
    fn from(error: PaperError) -> Self {
        Self::Paper(Box::new(error))
    }
}
