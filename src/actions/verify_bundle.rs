//! Looks at everything in a hand-over bundle and names every fault.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Serialize;

use super::ActionError;
use crate::custody::{CONSIGNMENT_OPENED, Handover};
use crate::ledger::{PaperWitness, Signed, Verifier, to_hex};
use crate::papers::{custody_table, event_document, onward_document, onward_table};
use crate::store::bag::{Bundle, inspect_bundle};
use crate::store::{is_demo_origin, replay};

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

/// What the tables of a bundle gave.
#[derive(Default)]
struct Tables {
    faults: Vec<String>,
    notes: Vec<String>,
}

/// No signature covers the tables and events of a bundle: they are made from its log once more, and
/// must be what it brings. Another version of the program may lay them out otherwise.
fn tables(
    path: &Path,
    texts: &BTreeMap<&'static str, String>,
    bundle: &Bundle,
) -> Result<Tables, ActionError> {
    let mut found = Tables::default();
    let log = &bundle.job_log;
    let first = log.entries().first();
    let made: Vec<(&str, String)> = if first.is_some_and(|one| one.kind == CONSIGNMENT_OPENED) {
        let (table, about) = onward_table(log)?;
        let events = onward_document(log, &bundle.handover.job, bundle.handover.at)?;
        vec![
            ("custody.csv", table),
            ("datapackage.json", about),
            ("epcis.jsonld", events),
        ]
    } else {
        let read = &mut |name: &str| Ok(texts.get(name).cloned());
        let then = match replay(path, bundle.verification.clone(), read) {
            Ok(then) if then.differences.is_empty() => then,
            other => {
                let why = match other {
                    Ok(then) => then.differences.join("; "),
                    Err(error) => error.to_string(),
                };
                found.notes.push(format!(
                    "tables and events were not compared with the log: {why}"
                ));
                return Ok(found);
            }
        };
        let (table, about) = custody_table(&then.job, &then.log)?;
        let events = event_document(&then.job, &then.log, bundle.handover.at)?;
        vec![
            ("custody.csv", table),
            ("datapackage.json", about),
            ("epcis.jsonld", events),
        ]
    };
    let this = format!("packdown {}", env!("CARGO_PKG_VERSION"));
    let opened = first.and_then(|one| one.body.get("program")?.as_str());
    let other: Vec<&str> = made
        .iter()
        .filter(|(name, text)| texts.get(name) != Some(text))
        .map(|(name, _)| *name)
        .collect();
    for name in other {
        let there = if texts.contains_key(name) {
            "is not what the log gives"
        } else {
            "is not there"
        };
        match opened {
            Some(opened) if opened != this => found.notes.push(format!(
                "`data/{name}` {there}; the job was begun with {opened}, which may lay it out otherwise"
            )),
            _ => found.faults.push(format!("`data/{name}` {there}")),
        }
    }
    Ok(found)
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
        faults: found.faults.clone(),
        notes: found.notes.clone(),
        holds: false,
    };
    if let Some(bundle) = &found.bundle {
        let tables = tables(path, &found.texts, bundle)?;
        shown.faults.extend(tables.faults);
        shown.notes.extend(tables.notes);
    }
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
