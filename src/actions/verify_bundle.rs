//! Looks at everything in a hand-over bundle and names every fault.

use std::path::Path;

use serde::Serialize;

use super::ActionError;
use crate::custody::Handover;
use crate::ledger::{PaperWitness, Signed, Verifier, to_hex};
use crate::store::bag::inspect_bundle;
use crate::store::is_demo_origin;

/// What was found.
#[derive(Debug, Clone, Serialize)]
pub struct BundleVerification {
    /// The hand-over, where it can be read.
    pub handover: Option<Handover>,
    /// Origin of the giver's log.
    pub log: String,
    /// Entries in it.
    pub entries: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
    /// What the signature is worth, in words.
    pub signature: String,
    /// Whether a key that is trusted here signed.
    pub trusted: bool,
    /// Files of the payload.
    pub files: usize,
    /// Everything that is wrong.
    pub faults: Vec<String>,
    /// What a person should know.
    pub notes: Vec<String>,
    /// Whether the bundle holds and a trusted key signed it.
    pub holds: bool,
}

/// Verifies the bundle at `path`, trusting `more` keys beside this device's own, and
/// compares its log with what papers say.
///
/// # Errors
/// A file that is not taken at all. A broken bundle is an answer, not an error.
pub fn verify_bundle(
    path: &Path,
    more: &[Verifier],
    witnesses: &[PaperWitness],
) -> Result<BundleVerification, ActionError> {
    let found = inspect_bundle(path, more)?;
    let mut shown = BundleVerification {
        handover: None,
        log: String::new(),
        entries: 0,
        root: String::new(),
        signature: "no checkpoint that can be read".into(),
        trusted: false,
        files: found.bag.files.len(),
        faults: found.faults,
        notes: found.notes,
        holds: false,
    };
    if let Some(bundle) = found.bundle {
        let against = witnesses
            .iter()
            .filter_map(|paper| paper.against(&bundle.job_log));
        shown.faults.extend(against);
        let verification = &bundle.verification;
        shown.trusted = verification.signed == Signed::Signed;
        shown.signature = match verification.signed {
            Signed::Signed if is_demo_origin(&bundle.checkpoint.origin) => {
                "signed with the public demo key, which proves nothing".into()
            }
            Signed::Signed => format!("signed by {}", verification.signers.join(", ")),
            Signed::Unsigned => "not signed".into(),
            Signed::BadSignature => "the signature is false".into(),
            Signed::UnknownKey => "signed only by keys that are not trusted here".into(),
        };
        shown.log = bundle.checkpoint.origin.clone();
        shown.entries = verification.size;
        shown.root = to_hex(&verification.root);
        shown.handover = Some(bundle.handover);
    }
    shown.holds = shown.faults.is_empty() && shown.trusted;
    Ok(shown)
}
