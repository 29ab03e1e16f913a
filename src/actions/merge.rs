//! Puts the logs of several devices together and shows every contradiction.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::ActionError;
use crate::ledger::to_hex;
use crate::store::{Gathered, gather, trusted, write_merged};

/// What was found.
#[derive(Debug, Clone, Serialize)]
pub struct MergeShown {
    /// Copies that were read.
    pub copies: u32,
    /// Every log.
    pub logs: Vec<LogShown>,
    /// Forks, checkpoints that no copy leads to, entries that are missing.
    pub conflicts: Vec<String>,
    /// Copies that were left out, with the reason.
    pub unusable: Vec<String>,
    /// Entries that answer an entry of a log which is not at hand.
    pub open_ends: Vec<String>,
    /// Files written.
    pub written: Vec<PathBuf>,
}

/// One log.
#[derive(Debug, Clone, Serialize)]
pub struct LogShown {
    /// The job, or `register`.
    pub about: String,
    /// The device.
    pub origin: String,
    /// Entries of each copy of which none continues another; more than one is a fork.
    pub entries: Vec<u64>,
    /// Roots of the same, lower-case hexadecimal.
    pub roots: Vec<String>,
    /// Checkpoints that somebody holds.
    pub checkpoints: usize,
    /// Trusted keys that cosigned one of them.
    pub cosigned_by: Vec<String>,
}

/// Merges everything below `paths`, and into the folder `into` where one is given; what is there
/// already counts too.
///
/// # Errors
/// A path that cannot be read or written. A fork is an answer, not an error.
pub fn merge(paths: &[PathBuf], into: Option<&Path>) -> Result<MergeShown, ActionError> {
    let mut found = Gathered::default();
    for path in paths {
        gather(path, &mut found)?;
    }
    if let Some(into) = into.filter(|into| into.exists()) {
        gather(into, &mut found)?;
    }
    let trusted = trusted(&[])?;
    let logs = found.merged.logs().map(|(name, branches)| {
        let notes: Vec<_> = branches.notes().collect();
        let mut cosigned_by: Vec<String> = notes
            .iter()
            .flat_map(|note| note.cosignatures(&trusted))
            .filter(|one| one.holds)
            .map(|one| one.by)
            .collect();
        cosigned_by.sort();
        cosigned_by.dedup();
        LogShown {
            about: name.about.clone(),
            origin: name.origin.clone(),
            entries: branches.copies().map(|(_, one)| one.log.len()).collect(),
            roots: branches.copies().map(|(root, _)| to_hex(root)).collect(),
            checkpoints: notes.len(),
            cosigned_by,
        }
    });
    let logs = logs.collect();
    let written = match into {
        Some(into) => write_merged(into, &found.merged)?,
        None => Vec::new(),
    };
    Ok(MergeShown {
        copies: found.copies,
        logs,
        conflicts: found
            .merged
            .conflicts()
            .iter()
            .map(ToString::to_string)
            .collect(),
        unusable: found.unusable,
        open_ends: found
            .merged
            .open_ends()
            .into_iter()
            .map(|(name, seq, leaf)| format!("entry {seq} of {name} answers {leaf}"))
            .collect(),
        written,
    })
}
