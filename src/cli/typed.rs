//! Words of the command line that stand for values: times and keys.

use super::advice::CommandError;
use crate::clock::Moment;
use crate::ledger::{PaperWitness, Verifier};

/// The time behind `flag`.
pub(super) fn moment(flag: &str, text: &str) -> Result<Moment, CommandError> {
    text.parse()
        .map_err(|error| CommandError::Argument(format!("{flag}: {error}")))
}

/// The keys behind `--trust`.
pub(super) fn keys(trust: &[String]) -> Result<Vec<Verifier>, CommandError> {
    let read = |text: &String| {
        text.parse()
            .map_err(|error| CommandError::Argument(format!("--trust: {error}")))
    };
    trust.iter().map(read).collect()
}

/// The papers behind `--paper`.
pub(super) fn papers(papers: &[String]) -> Result<Vec<PaperWitness>, CommandError> {
    let read = |text: &String| {
        text.parse()
            .map_err(|error| CommandError::Argument(format!("--paper: {error}")))
    };
    papers.iter().map(read).collect()
}
