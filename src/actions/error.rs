//! Why something could not be done at all. A "no" of the gate is not here: that is an answer.

use std::path::PathBuf;

use crate::citation::Reason;
use crate::clock::Moment;
use crate::ledger::LedgerError;
use crate::packing::PackingError;
use crate::papers::PaperError;
use crate::store::StoreError;

/// Why something could not be done.
#[derive(Debug, thiserror::Error)]
pub enum ActionError {
    /// A job cannot be read or written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// There is no such rule.
    #[error("there is no rule `{id}`")]
    NoSuchRule {
        /// The name asked for.
        id: String,
        /// The names there are.
        known: Vec<String>,
    },
    /// A paper cannot be made.
    #[error("paper: {0}")]
    Paper(Box<PaperError>),
    /// The job is not entitled to papers.
    #[error("the job is not entitled to papers yet")]
    NotEntitled(Vec<Reason>),
    /// A load may not be handed over.
    #[error("the load is not handed over")]
    NotReleased {
        /// What stands against it.
        refused: Vec<Reason>,
        /// What is not known yet.
        missing: Vec<Reason>,
    },
    /// A hand-over cannot be written again, or a cosignature not be taken.
    #[error("{0}")]
    Handover(Reason),
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
    /// An entry that has not happened yet by this device's clock.
    #[error("the entry's time `{at}` is {seconds} s ahead of this device's clock")]
    InTheFuture {
        /// The time given.
        at: Moment,
        /// How far ahead.
        seconds: i64,
    },
    /// There is no such schema.
    #[error("there is no schema `{name}`; there are {}", known.join(", "))]
    NoSuchSchema {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: Vec<&'static str>,
    },
    /// There is no such sum.
    #[error("there is no sum `{name}`; there are {}", known.join(", "))]
    NoSuchSum {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: Vec<&'static str>,
    },
    /// A sum has no answer to its input.
    #[error("calc {name}{place}: {why}")]
    Sum {
        /// Its name.
        name: &'static str,
        /// Which of several inputs, after a space; empty for one.
        place: String,
        /// Why, with the domain named.
        why: String,
    },
    /// A form of ours that does not go into JSON: a bug.
    #[error("internal form: {0}")]
    Form(#[from] serde_json::Error),
}

impl ActionError {
    /// The time of an entry: now, or one said outright that does not lie ahead of the device's
    /// clock by more than a minute; clocks are read by people.
    ///
    /// # Errors
    /// A time that lies ahead.
    pub fn in_time(at: Option<Moment>) -> Result<Moment, Self> {
        let present = Moment::present();
        let Some(at) = at else { return Ok(present) };
        let seconds = at.seconds_since(present);
        if seconds > 60 {
            return Err(Self::InTheFuture { at, seconds });
        }
        Ok(at)
    }
}

impl From<LedgerError> for ActionError {
    fn from(error: LedgerError) -> Self {
        Self::Store(error.into())
    }
}

impl From<PaperError> for ActionError {
    fn from(error: PaperError) -> Self {
        Self::Paper(Box::new(error))
    }
}
