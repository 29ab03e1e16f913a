//! Walks a job's ledger and names every break; then plays the entries again.

use std::path::Path;

use serde::Serialize;

use super::ActionError;
use crate::ledger::{PaperWitness, Signed, Verifier, to_hex};
use crate::store::{JobFolder, changed_papers, is_demo_origin, lawful_breaks};

/// What was found.
#[derive(Debug, Clone, Serialize)]
pub struct JobVerification {
    /// Origin of the log.
    pub log: String,
    /// Entries in it.
    pub entries: u64,
    /// Root over them, lower-case hex.
    pub root: String,
    /// How many of them a trusted signature covers.
    pub signed_entries: u64,
    /// What the signature is worth, in words.
    pub signature: String,
    /// Every break: place, kind, words.
    pub breaks: Vec<BreakShown>,
    /// Entries whose recorded outcome this program does not come to.
    pub differences: Vec<String>,
    /// What a printed paper says against the record.
    pub papers_against: Vec<String>,
    /// Papers whose text is not the one that was issued.
    pub changed_papers: Vec<String>,
    /// Whether the record holds.
    pub holds: bool,
}

/// One break.
#[derive(Debug, Clone, Serialize)]
pub struct BreakShown {
    /// Stable code.
    pub kind: String,
    /// Entry, where one can be named.
    pub entry: Option<u64>,
    /// Line of the file, where one can be named.
    pub line: Option<u64>,
    /// In words.
    pub text: String,
    /// Whether it comes about without anybody's doing wrong.
    pub lawful: bool,
}

/// Verifies the job in `path`, trusting `more` keys beside this device's own, and compares it with
/// what papers say.
///
/// # Errors
/// No ledger to verify. A broken one is an answer, not an error.
pub fn verify_job(
    path: &Path,
    more: &[Verifier],
    witnesses: &[PaperWitness],
) -> Result<JobVerification, ActionError> {
    let folder = JobFolder::at(path);
    let found = folder.verification(more)?;
    let mut shown = JobVerification {
        log: found.log.origin().to_owned(),
        entries: found.size,
        root: to_hex(&found.root),
        signed_entries: found.signed_size(),
        signature: match found.signed {
            Signed::Signed if is_demo_origin(found.log.origin()) => {
                "signed with the public demo key, which proves nothing".into()
            }
            Signed::Signed => format!("signed by {}", found.signers.join(", ")),
            Signed::Unsigned => "not signed".into(),
            Signed::BadSignature => "the signature is false".into(),
            Signed::UnknownKey => "signed only by keys that are not trusted here".into(),
        },
        breaks: found
            .breaks
            .iter()
            .map(|fault| BreakShown {
                kind: fault.kind().to_owned(),
                entry: fault.seq,
                line: fault.line,
                text: fault.to_string(),
                lawful: fault.is_lawful(),
            })
            .collect(),
        differences: Vec::new(),
        papers_against: witnesses
            .iter()
            .filter_map(|paper| paper.against(&found.log))
            .collect(),
        changed_papers: changed_papers(&folder, &found.log),
        holds: found.holds(),
    };
    if lawful_breaks(&found).len() == found.breaks.len() {
        match folder.replay(found) {
            Ok(open) => shown.differences = open.differences,
            Err(error) => shown.differences.push(error.to_string()),
        }
    }
    shown.holds = shown.holds
        && shown.papers_against.is_empty()
        && shown.differences.is_empty()
        && shown.changed_papers.is_empty();
    Ok(shown)
}
