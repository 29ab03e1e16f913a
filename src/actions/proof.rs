//! What is known of one module, to take away: its entries with proofs, and nothing of the others.

use std::path::Path;

use serde::Serialize;

use super::ActionError;
use crate::citation::Reason;
use crate::custody::RELEASED;
use crate::job::{Job, module_entries};
use crate::ledger::{Log, Note, TlogProof};
use crate::store::bag::{file_in, open_bundle, proof_file};
use crate::store::{JobFolder, read_text};

/// The proofs of a module.
#[derive(Debug, Clone, Serialize)]
pub struct ModuleProof {
    /// Serial, or the serial that the job gave it.
    pub module: String,
    /// Entries that are proved.
    pub entries: usize,
    /// Entries that no checkpoint covers yet.
    pub not_signed: usize,
    /// The text of the proofs.
    pub text: String,
}

/// The proofs of `module` (serial, or id in the plan) from a job's folder or a bundle; with those
/// of the hand-overs where `handovers` is set, which name everything that left together.
///
/// # Errors
/// A job or bundle that does not hold, or a module that is not in it.
pub fn module_proof(
    path: &Path,
    module: &str,
    handovers: bool,
) -> Result<ModuleProof, ActionError> {
    let is_bundle = path.is_file() || path.join("bagit.txt").exists();
    let (identity, mut text, log, note) = if is_bundle {
        of_bundle(path, module)?
    } else {
        of_job(path, module)?
    };
    let entries = text.0;
    let mut not_signed = text.1;
    let mut shown = entries;
    if handovers {
        for entry in log.entries().iter().filter(|entry| entry.kind == RELEASED) {
            match TlogProof::of(&log, entry.seq, &note) {
                Some(proof) => {
                    text.2.push_str(&proof.to_string());
                    shown += 1;
                }
                None => not_signed += 1,
            }
        }
    }
    Ok(ModuleProof {
        module: identity,
        entries: shown,
        not_signed,
        text: text.2,
    })
}

/// Proved entries, entries that are not signed yet, and the text.
type Text = (usize, usize, String);

fn of_job(path: &Path, module: &str) -> Result<(String, Text, Log, Note), ActionError> {
    let folder = JobFolder::at(path);
    let open = folder.open()?;
    let note = Note::parse(&read_text(&folder.checkpoint_file())?)?;
    let found = find(&open.job, module).ok_or_else(|| {
        let known: Vec<String> = (0..open.job.frame().modules.len())
            .map(|n| open.job.identity(n).0)
            .collect();
        unknown(module, &known)
    })?;
    let (id, identity) = found;
    let mut text = (0, 0, String::new());
    for seq in module_entries(&open.log, &id) {
        match TlogProof::of(&open.log, seq, &note) {
            Some(proof) => {
                text.0 += 1;
                text.2.push_str(&proof.to_string());
            }
            None => text.1 += 1,
        }
    }
    Ok((identity, text, open.log, note))
}

/// Id in the plan and identity of a module named by either.
fn find(job: &Job, module: &str) -> Option<(String, String)> {
    let named = |n: &usize| {
        let planned = job.frame().modules.get(*n);
        job.identity(*n).0 == module || planned.is_some_and(|planned| planned.id == module)
    };
    let n = (0..job.frame().modules.len()).find(named)?;
    let planned = job.frame().modules.get(n)?;
    Some((planned.id.clone(), job.identity(n).0))
}

fn of_bundle(path: &Path, module: &str) -> Result<(String, Text, Log, Note), ActionError> {
    let bundle = open_bundle(path)?;
    if bundle.handover.module(module).is_none() {
        let known: Vec<String> = bundle
            .handover
            .modules()
            .map(|(_, module)| module.identity.clone())
            .collect();
        return Err(unknown(module, &known));
    }
    let bytes = file_in(path, &proof_file(module))?.unwrap_or_default();
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let entries = TlogProof::parse_all(&text)?.len();
    let module = module.to_owned();
    Ok((module, (entries, 0, text), bundle.job_log, bundle.note))
}

fn unknown(module: &str, known: &[String]) -> ActionError {
    ActionError::Handover(
        Reason::new("module", module)
            .limit(format!("one of {}", known.join(", ")))
            .way_out("look at the label again"),
    )
}
