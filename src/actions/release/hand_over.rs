//! The entry first, on disk; then the bundle, which can be made from it again at any time.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::bag::{bag_of, name_of};
use super::load::Load;
use super::said::ReleaseSaid;
use crate::actions::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{Handover, RELEASED};
use crate::job::{PAPERS_ISSUED, recorded_at};
use crate::ledger::{Draft, Log, LogEntry, verify};
use crate::store::bag::write_bag;
use crate::store::{JobFolder, OpenJob, StoreError, signing_key, trusted};

/// An entry may lie this far ahead of the device's clock; clocks are read by people.
const MOST_AHEAD_S: i64 = 60;

/// What a hand-over gave.
#[derive(Debug, Clone, Serialize)]
pub struct Released {
    /// What was handed over.
    pub handover: Handover,
    /// The bundle.
    pub bundle: PathBuf,
    /// Origin of the log.
    pub log: String,
    /// Entries that the checkpoint in the bundle covers.
    pub size: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
    /// Whether the job is invented, so that nothing is proved.
    pub demo: bool,
}

/// Hands the load over and writes its bundle.
///
/// # Errors
/// Everything that stands against it, a ledger that is broken or being written elsewhere. Nothing
/// is written then.
pub fn release(folder: &JobFolder, said: &ReleaseSaid) -> Result<Released, ActionError> {
    if let Some(at) = said.at {
        let seconds = at.seconds_since(Moment::present());
        if seconds > MOST_AHEAD_S {
            return Err(ActionError::InTheFuture { at, seconds });
        }
    }
    let _lock = folder.lock()?;
    let mut open = folder.open()?;
    let handover = Load::of(&open, said).handover()?;
    let key = signing_key(open.job.plan().demo)?;
    let good_bytes = open.log.good_bytes();
    let line = open.log.append(draft(&open.log, &handover)?)?.line;

    // Everything is gathered before anything is written: what is missing stops the hand-over.
    let path = folder.log_file();
    let mut lines = std::fs::read(&path).map_err(StoreError::file(&path))?;
    lines.truncate(usize::try_from(good_bytes).unwrap_or(usize::MAX));
    lines.extend(line.as_bytes());
    let note = open.log.checkpoint(&key)?;
    let bag = bag_of(folder, &open, &handover, &lines, &note, &key)?;

    folder.append(&open.log, good_bytes, &line, &key)?;
    let bundle = place_of(folder, said.out.as_deref(), &handover)?;
    write_bag(&bundle, bag)?;
    Ok(released(&open, handover, bundle))
}

/// Writes the bundle of an earlier hand-over again, the same bytes; after a cut between entry and
/// bundle, or where it was lost.
///
/// # Errors
/// No such hand-over, or papers and photographs that are no longer those of the time.
pub fn rewrite_bundle(
    folder: &JobFolder,
    number: u32,
    out: Option<&Path>,
) -> Result<Released, ActionError> {
    let _lock = folder.lock()?;
    let now = folder.open()?;
    let of_number = |entry: &&LogEntry| {
        let body: Option<Handover> = serde_json::from_value(entry.body.clone()).ok();
        entry.kind == RELEASED && body.is_some_and(|body| body.number == number)
    };
    let entry = now.log.entries().iter().find(of_number).ok_or_else(|| {
        ActionError::Handover(
            Reason::new("hand-over", number.to_string())
                .limit("one that stands in the ledger")
                .way_out("`packdown show` says what left; hand over without --rewrite"),
        )
    })?;
    let handover: Handover = serde_json::from_value(entry.body.clone())?;
    let path = folder.log_file();
    let whole = std::fs::read(&path).map_err(StoreError::file(&path))?;
    let count = usize::try_from(entry.seq)
        .unwrap_or(usize::MAX)
        .saturating_add(1);
    let lines: Vec<u8> = whole
        .split_inclusive(|byte| *byte == b'\n')
        .take(count)
        .flatten()
        .copied()
        .collect();
    // The job as it was then.
    let key = signing_key(now.job.plan().demo)?;
    let (log, _) = Log::read(&lines);
    let note = log.checkpoint(&key)?;
    let verification = verify(&lines, Some(&note.to_string()), &trusted(&[])?);
    let then = folder.replay(verification)?;
    let bag = bag_of(folder, &then, &handover, &lines, &note, &key)?;
    let bundle = place_of(folder, out, &handover)?;
    write_bag(&bundle, bag)?;
    Ok(released(&then, handover, bundle))
}

fn released(open: &OpenJob, handover: Handover, bundle: PathBuf) -> Released {
    Released {
        handover,
        bundle,
        log: open.log.origin().to_owned(),
        size: open.log.len(),
        root: crate::ledger::to_hex(&open.log.root()),
        demo: open.job.plan().demo,
    }
}

fn place_of(
    folder: &JobFolder,
    out: Option<&Path>,
    handover: &Handover,
) -> Result<PathBuf, ActionError> {
    let out = out.unwrap_or(folder.path());
    std::fs::create_dir_all(out).map_err(StoreError::file(out))?;
    Ok(out.join(format!("{}.zip", name_of(handover))))
}

/// The entry. It answers the crew's own entry of signing over, and the papers that go along.
fn draft(log: &Log, handover: &Handover) -> Result<Draft, ActionError> {
    let last = |kind: &str| log.entries().iter().rfind(|entry| entry.kind == kind);
    Ok(Draft {
        time: recorded_at(log, handover.at),
        actor: handover.released_by.clone(),
        kind: RELEASED.into(),
        body: serde_json::to_value(handover)?,
        refs: last(PAPERS_ISSUED)
            .map(|entry| entry.id.clone())
            .into_iter()
            .collect(),
        photos: Vec::new(),
    })
}
