//! The receiver's device signs what it saw of the giver's log, and remembers it.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::ActionError;
use crate::clock::Moment;
use crate::ledger::to_hex;
use crate::store::bag::open_bundle;
use crate::store::{cosign, replace};

/// What cosigning gave.
#[derive(Debug, Clone, Serialize)]
pub struct CosignedBundle {
    /// The file to send back to the giver.
    pub file: PathBuf,
    /// Name of the key that signed.
    pub by: String,
    /// When.
    pub at: Moment,
    /// The giver's log.
    pub log: String,
    /// Entries that the checkpoint covers.
    pub size: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
    /// Entries of the same log that this device had seen before; none at the first sight.
    pub seen_before: Option<u64>,
    /// Whether the job is invented, so that nothing is proved.
    pub demo: bool,
}

/// Cosigns the checkpoint of the bundle at `path` and writes the note to `out`.
///
/// # Errors
/// A bundle with a fault, or one whose log is not the continuation of what this device saw of it
/// before: a fork, which nobody but people can resolve.
pub fn cosign_bundle(
    path: &Path,
    out: &Path,
    at: Option<Moment>,
) -> Result<CosignedBundle, ActionError> {
    let bundle = open_bundle(path)?;
    let at = at.unwrap_or_else(Moment::present).whole_seconds();
    let cosigned = cosign(&bundle, at)?;
    replace(out, cosigned.note.to_string().as_bytes())?;
    Ok(CosignedBundle {
        file: out.into(),
        by: cosigned.by,
        at,
        log: bundle.checkpoint.origin.clone(),
        size: bundle.checkpoint.size,
        root: to_hex(&bundle.checkpoint.root),
        seen_before: cosigned.seen_before,
        demo: cosigned.demo,
    })
}
