//! The receiver's cosignature comes back to the giver, who keeps it in the job's ledger.

use std::path::Path;

use serde::Serialize;

use super::load::handovers;
use crate::actions::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{COSIGNED, Cosigned, Taken};
use crate::job::recorded_at;
use crate::ledger::{Checkpoint, Draft, Note, Verifier, to_hex};
use crate::store::{JobFolder, read_text, signing_key, trusted};

/// What taking a cosignature gave.
#[derive(Debug, Clone, Serialize)]
pub struct CosignatureTaken {
    /// What is kept.
    pub cosigned: Cosigned,
    /// Number of the entry in the ledger; none where it stood there already.
    pub entry: Option<u64>,
    /// Other keys that cosigned the same hand-over: two receivers of one load.
    pub also_by: Vec<String>,
}

/// Takes the receiver's cosignature from `file` into the job's ledger, trusting `more` keys.
///
/// # Errors
/// A file that is no checkpoint of this job, or without a cosignature of a key that is known here.
pub fn take_cosignature(
    folder: &JobFolder,
    file: &Path,
    more: &[Verifier],
) -> Result<CosignatureTaken, ActionError> {
    let text = read_text(file)?;
    let (text, statement) = Taken::cut(&text);
    let note = Note::parse(text)?;
    let checkpoint = Checkpoint::parse(note.text())?;
    let refuse = |what: &str, value: String, limit: &str, way_out: &str| {
        ActionError::Handover(
            Reason::new(what, value)
                .limit(limit)
                .clause("C2SP tlog-cosignature")
                .way_out(way_out),
        )
    };
    let _lock = folder.lock()?;
    let mut open = folder.open()?;
    if !open.log.extends(&checkpoint) {
        return Err(refuse(
            "cosigned checkpoint",
            format!(
                "{} entries, root {}",
                checkpoint.size,
                to_hex(&checkpoint.root)
            ),
            "the beginning of this job's ledger",
            "another job, or a fork: compare both with `packdown merge` before anything else",
        ));
    }
    let found = note.cosignatures(&trusted(more)?);
    let cosignature = found.iter().find(|one| one.holds).ok_or_else(|| {
        if found.is_empty() {
            let names: Vec<&str> = note
                .signatures()
                .iter()
                .map(|line| line.name.as_str())
                .collect();
            refuse(
                "cosignature",
                format!("signatures by {}", names.join(", ")),
                "one by a key that is known here",
                "ask the receiver for the key that `packdown key show` prints there, and add it \
                 with --trust",
            )
        } else {
            refuse(
                "cosignature",
                "it is false".into(),
                "the receiver's own",
                "ask for the file again",
            )
        }
    })?;
    let all = handovers(&open.log);
    let covered = |number: u32| {
        let entry = open.log.entries().iter().find(|entry| {
            entry.kind == crate::custody::RELEASED
                && entry.body.get("number").and_then(serde_json::Value::as_u64)
                    == Some(u64::from(number))
        });
        entry.is_some_and(|entry| entry.seq < checkpoint.size)
    };
    let handover = all
        .iter()
        .rfind(|handover| covered(handover.number))
        .ok_or_else(|| {
            refuse(
                "cosigned checkpoint",
                format!("{} entries", checkpoint.size),
                "a checkpoint behind a hand-over",
                "hand over first; the receiver cosigns the bundle",
            )
        })?;
    let keys = trusted(more)?;
    let taken = statement
        .map(|statement| Taken::read(statement, &cosignature.by, &checkpoint, &keys))
        .transpose()
        .map_err(|why| {
            refuse(
                "statement of who takes the load",
                why,
                "one that the receiver's device signed of this checkpoint",
                "ask for the file again",
            )
        })?;
    let at = Moment::from_unix_s(cosignature.unix_s).unwrap_or_else(Moment::present);
    let cosigned = Cosigned {
        handover: handover.number,
        by: cosignature.by.clone(),
        size: checkpoint.size,
        root: to_hex(&checkpoint.root),
        at,
        note: note.to_string(),
        taken,
    };
    let kept = open
        .log
        .entries()
        .iter()
        .filter(|entry| entry.kind == COSIGNED);
    let mut also_by: Vec<String> = kept
        .filter_map(|entry| serde_json::from_value::<Cosigned>(entry.body.clone()).ok())
        .filter(|other| other.handover == cosigned.handover && other.by != cosigned.by)
        .map(|other| other.by)
        .collect();
    also_by.dedup();
    let body = serde_json::to_value(&cosigned)?;
    if open
        .log
        .entries()
        .iter()
        .any(|entry| entry.kind == COSIGNED && entry.body == body)
    {
        return Ok(CosignatureTaken {
            cosigned,
            entry: None,
            also_by,
        });
    }
    let good_bytes = open.log.good_bytes();
    let draft = Draft {
        time: recorded_at(&open.log, at),
        actor: "packdown".into(),
        kind: COSIGNED.into(),
        body,
        refs: Vec::new(),
        photos: Vec::new(),
    };
    let appended = open.log.append(draft)?;
    let key = signing_key(open.job.plan().demo)?;
    folder.append(&open.log, good_bytes, &appended.line, &key)?;
    Ok(CosignatureTaken {
        cosigned,
        entry: Some(appended.seq),
        also_by,
    })
}
