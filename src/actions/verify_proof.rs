//! Checks proofs that somebody brought along, without the log that they are of.

use std::path::Path;

use serde::Serialize;

use super::ActionError;
use crate::ledger::{Log, Standing, TlogProof, Verifier, to_hex};
use crate::store::{is_demo_origin, read_text, trusted};

/// What was found.
#[derive(Debug, Clone, Serialize)]
pub struct ProofVerification {
    /// Origin of the log.
    pub log: String,
    /// Entries of the log that the checkpoint covers.
    pub size: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
    /// What the signature is worth, in words.
    pub signature: String,
    /// Every entry that is proved.
    pub entries: Vec<ProvedEntry>,
    /// Everything that is wrong.
    pub faults: Vec<String>,
    /// Whether every proof holds under one checkpoint that a trusted key signed.
    pub holds: bool,
}

/// One entry.
#[derive(Debug, Clone, Serialize)]
pub struct ProvedEntry {
    /// Place in the log, from 0.
    pub seq: u64,
    /// When, as the device recorded it.
    pub time: String,
    /// Who.
    pub actor: String,
    /// What kind of entry.
    pub kind: String,
    /// The step, where it is one.
    pub step: Option<String>,
    /// The module, by its id in the job.
    pub module: Option<String>,
    /// The entry as it stands in the log.
    pub body: serde_json::Value,
}

/// Whether a file holds proofs to take away.
#[must_use]
pub fn is_proof(path: &Path) -> bool {
    path.extension()
        .is_some_and(|ending| ending == "tlog-proof")
        || std::fs::read(path).is_ok_and(|bytes| bytes.starts_with(b"c2sp.org/tlog-proof@"))
}

/// Checks the proofs in `path`, trusting `more` keys beside this device's own.
///
/// # Errors
/// A file that holds no proofs. One that does not hold is an answer, not an error.
pub fn verify_proof(path: &Path, more: &[Verifier]) -> Result<ProofVerification, ActionError> {
    let proofs = TlogProof::parse_all(&read_text(path)?)?;
    let mut shown = ProofVerification {
        log: String::new(),
        size: 0,
        root: String::new(),
        signature: String::new(),
        entries: Vec::new(),
        faults: Vec::new(),
        holds: false,
    };
    let mut signed = false;
    if let Some(first) = proofs.first() {
        let checkpoint = first.checkpoint()?;
        let (words, trusted_key) = match first.note.standing(&trusted(more)?) {
            Standing::Signed(by) if !by.contains(&checkpoint.origin) => {
                ("signed only by keys of other logs".to_owned(), false)
            }
            Standing::Signed(_) if is_demo_origin(&checkpoint.origin) => {
                let words = "signed with the public demo key, which proves nothing";
                (words.to_owned(), true)
            }
            Standing::Signed(by) => (format!("signed by {}", by.join(", ")), true),
            Standing::Bad(by) => {
                shown
                    .faults
                    .push(format!("the signature in the name of {by} is false"));
                ("the signature is false".to_owned(), false)
            }
            Standing::Unknown => (
                "signed only by keys that are not trusted here; add --trust".to_owned(),
                false,
            ),
        };
        signed = trusted_key;
        shown.signature = words;
        shown.root = to_hex(&checkpoint.root);
        shown.size = checkpoint.size;
        shown.log = checkpoint.origin;
    }
    for proof in &proofs {
        shown.add(proof, proofs.first());
    }
    shown.holds = signed && shown.faults.is_empty();
    Ok(shown)
}

impl ProofVerification {
    fn add(&mut self, proof: &TlogProof, first: Option<&TlogProof>) {
        let index = proof.index;
        let mut fault = |what: &str| self.faults.push(format!("entry {index}: {what}"));
        if !proof.holds() {
            fault("is not in the log that was signed");
        }
        if first.is_some_and(|first| first.note != proof.note) {
            fault("stands under another checkpoint than the first");
        }
        if proof.line.is_empty() {
            fault("the proof does not bring the entry itself");
            return;
        }
        let (log, _) = Log::read(&[&proof.line[..], b"\n"].concat());
        let Some(entry) = log.entries().first() else {
            fault("is no entry of a log");
            return;
        };
        if entry.seq != index || entry.log != self.log {
            fault("says that it stands elsewhere");
        }
        let said = |name: &str| {
            let value = entry.body.get("entry").and_then(|entry| entry.get(name));
            value.and_then(|value| value.as_str()).map(str::to_owned)
        };
        self.entries.push(ProvedEntry {
            seq: index,
            time: entry.moment().local(),
            actor: entry.actor.clone(),
            kind: entry.kind.clone(),
            step: said("step"),
            module: said("module"),
            body: entry.body.clone(),
        });
    }
}
