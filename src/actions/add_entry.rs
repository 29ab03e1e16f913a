//! Adds one entry to a job's ledger: on disk before anybody is told that it is taken.

use super::ActionError;
use crate::clock::Moment;
use crate::job::Job;
use crate::ledger::Log;
use crate::procedure::{Entry, Judgement, Outcome};
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
    /// What the rules say against the package as it now is; not written down, and said at issue.
    pub against_package: Vec<String>,
    /// The job after it.
    pub job: Job,
}

/// Adds `entry` to the job in `folder`, opening its ledger where there is none yet. An entry that
/// says no time of its own (`at`) is made at the moment at which it is written: two people at two
/// terminals wait for one another, and a time taken before the wait would run backwards.
///
/// A refused entry is kept as well: the ledger shows that it was tried. Since the job stops at a
/// refusal only in a played record, the next entry may put right what was wrong.
///
/// # Errors
/// A job that cannot be opened, a ledger that is broken, or one that is being written elsewhere.
pub fn add_entry(
    folder: &JobFolder,
    mut entry: Entry,
    at: Option<Moment>,
) -> Result<Added, ActionError> {
    if let Some(at) = at {
        let seconds = at.seconds_since(Moment::present());
        if seconds > MOST_AHEAD_S {
            return Err(ActionError::InTheFuture { at, seconds });
        }
    }
    let _lock = folder.lock()?;
    entry.at = at.unwrap_or_else(Moment::present);
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
    as_named(&job, &mut entry);
    hash_photos(folder, &mut entry)?;
    let (seq, judgement) = add(&mut job, &mut log, &mut lines, entry)?;
    folder.append(&log, good_bytes, &lines, &key)?;
    let passed = judgement.outcome == Outcome::Passed;
    let last = job.taken().last().filter(|_| passed);
    Ok(Added {
        against_package: last.map_or_else(Vec::new, |taken| job.against_package(&taken.entry)),
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

/// Step, module and people as the plan writes them, where only capitals differ.
fn as_named(job: &Job, entry: &mut Entry) {
    let frame = job.frame();
    let steps = frame.procedure.steps.iter().map(|step| step.id.as_str());
    let modules = frame.modules.iter().map(|module| module.id.as_str());
    let people: Vec<&str> = frame.people.iter().map(|one| one.id.as_str()).collect();
    if let Some(step) = &mut entry.step {
        put_right(step, steps);
    }
    if let Some(module) = &mut entry.module {
        put_right(module, modules);
    }
    for person in std::iter::once(&mut entry.by).chain(&mut entry.with) {
        put_right(person, people.iter().copied());
    }
}

fn put_right<'k>(typed: &mut String, known: impl Iterator<Item = &'k str> + Clone) {
    if known.clone().any(|known| known == *typed) {
        return;
    }
    let mut alike = known.filter(|known| known.eq_ignore_ascii_case(typed));
    // Two that differ in capitals alone are two.
    if let (Some(only), None) = (alike.next(), alike.next()) {
        let only = only.to_owned();
        *typed = only;
    }
}
