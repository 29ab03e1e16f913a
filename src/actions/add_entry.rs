//! Adds one entry to a job's ledger: on disk before anybody is told that it is taken.

use super::ActionError;
use crate::clock::Moment;
use crate::job::Job;
use crate::ledger::Log;
use crate::procedure::{Entry, Judgement};
use crate::store::{JobFolder, RULES_FILE, draft_of, hash_photos, replace, signing_key, start_log};

/// An entry may lie this far ahead of the device's clock; clocks are read by people.
const MOST_AHEAD_S: i64 = 60;

/// What adding an entry gave.
#[derive(Debug)]
pub struct Added {
    /// Number of the entry in the record, from 1: what a correction names.
    pub number: usize,
    /// Place of the entry in the ledger; what else is kept there counts too.
    pub seq: u64,
    /// What became of it.
    pub judgement: Judgement,
    /// The job after it.
    pub job: Job,
}

/// Adds `entry` to the job in `folder`, opening its ledger where there is none yet.
///
/// A refused entry is kept as well: the ledger shows that it was tried. Since the job stops at a
/// refusal only in a played record, the next entry may put right what was wrong.
///
/// # Errors
/// A job that cannot be opened, a ledger that is broken, or one that is being written elsewhere.
pub fn add_entry(folder: &JobFolder, mut entry: Entry) -> Result<Added, ActionError> {
    let ahead = entry.at.seconds_since(Moment::present());
    if ahead > MOST_AHEAD_S {
        return Err(ActionError::InTheFuture {
            at: entry.at,
            seconds: ahead,
        });
    }
    let _lock = folder.lock()?;
    let (mut job, mut log, good_bytes, mut lines, key) = if folder.has_ledger() {
        let open = folder.open()?;
        let key = signing_key(open.job.plan().demo)?;
        let good = open.log.good_bytes();
        (open.job, open.log, good, String::new(), key)
    } else {
        let (job, _) = folder.new_job(None, None)?;
        // Before the ledger is there: a cut leaves a file too many, never an entry without its rules.
        replace(
            &folder.file(RULES_FILE),
            &folder.rules_to_keep(&job, None, None)?,
        )?;
        let (log, line, key) = start_log(&job, entry.at, "device")?;
        (job, log, 0, line, key)
    };
    entry = entry.composed();
    hash_photos(folder, &mut entry)?;
    let (seq, judgement) = add(&mut job, &mut log, &mut lines, entry)?;
    folder.append(&log, good_bytes, &lines, &key)?;
    Ok(Added {
        number: job.taken().len(),
        seq,
        judgement,
        job,
    })
}

fn add(
    job: &mut Job,
    log: &mut Log,
    lines: &mut String,
    entry: Entry,
) -> Result<(u64, Judgement), ActionError> {
    let taken = job.take(entry);
    let appended = log.append(draft_of(&taken)?)?;
    lines.push_str(&appended.line);
    Ok((appended.seq, taken.judgement.clone()))
}
