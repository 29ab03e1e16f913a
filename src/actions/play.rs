//! Plays a field record: plan and record in, ledger and papers out.
//!
//! The record stops at the first entry that breaks the order; what came before is kept with the
//! refusal at its end. One durable sync, of the ledger, before success is reported. A new folder
//! appears whole or not at all.

use std::fs;
use std::path::{Path, PathBuf};

use super::ActionError;
use super::folder::{JobFolder, draft_of, record_of, replace, start_log};
use super::issue_papers::{Issued, papers_for};
use crate::citation::Reason;
use crate::job::Job;
use crate::procedure::Outcome;

/// What playing a record gave.
#[derive(Debug)]
pub struct Played {
    /// The job as the record makes it.
    pub job: Job,
    /// Where it was written.
    pub folder: JobFolder,
    /// Lines of the record that were not taken, because one before them was refused.
    pub not_taken: usize,
    /// Papers, where the job is entitled to them or drafts were asked for.
    pub issued: Option<Issued>,
    /// Why no papers were issued.
    pub not_entitled: Vec<Reason>,
}

/// Plays `from`'s record into `out`. `draft` prints papers for a job that is not entitled to
/// them, with a word across that says so.
///
/// # Errors
/// Files that cannot be read or used, or an `out` that holds another record. Nothing is written
/// then.
pub fn play(
    from: &JobFolder,
    out: &Path,
    record: Option<&Path>,
    procedure: Option<&Path>,
    settings: Option<&Path>,
    draft: bool,
) -> Result<Played, ActionError> {
    let (mut job, plan_text) = from.new_job(procedure, settings)?;
    let entries = match record {
        Some(path) => super::read_record(path)?,
        None => record_of(from)?,
    };
    let begun = entries.first().map(|entry| entry.at);
    let Some(begun) = begun else {
        return Err(ActionError::Record {
            path: record.map_or_else(|| from.file("record.jsonl"), Path::to_path_buf),
            line: 1,
            why: "the record has no entry".into(),
        });
    };
    let total = entries.len();
    let (mut log, mut lines, key) = start_log(&job, begun, "field record")?;
    for entry in entries {
        let taken = job.take(entry);
        lines.push_str(&log.append(draft_of(&taken)?)?.line);
        if taken.judgement.outcome == Outcome::Refused {
            break;
        }
    }
    let not_taken = total - job.taken().len();
    let not_entitled = job.not_entitled_to_papers();
    let template = from.file("templates/manifest.html");
    let mut issued = None;
    if not_entitled.is_empty() || draft {
        let papers = papers_for(&job, &log, 1, !not_entitled.is_empty(), &template)?;
        lines.push_str(&log.append(papers.draft_entry()?)?.line);
        issued = Some(papers);
    }
    let mut files: Vec<(PathBuf, Vec<u8>)> = vec![("job.json".into(), plan_text.into_bytes())];
    for (name, file) in [("procedure.toml", procedure), ("settings.toml", settings)] {
        let own = from.file(name);
        if let Some(source) = file.or_else(|| own.exists().then_some(own.as_path())) {
            files.push((
                name.into(),
                fs::read(source).map_err(ActionError::file(source))?,
            ));
        }
    }
    if let Some(papers) = &issued {
        files.extend(
            papers
                .files
                .iter()
                .map(|(name, text)| (name.into(), text.clone().into_bytes())),
        );
    }
    let folder = JobFolder::at(out);
    let checkpoint = log.checkpoint(&key)?.to_string();
    write_out(&folder, &files, &lines, &checkpoint)?;
    Ok(Played {
        job,
        folder,
        not_taken,
        issued,
        not_entitled,
    })
}

/// Writes the folder. A new one is made beside and renamed, so it appears whole; one that already
/// holds the beginning of the same log is brought up to date, the ledger last.
fn write_out(
    folder: &JobFolder,
    files: &[(PathBuf, Vec<u8>)],
    lines: &str,
    checkpoint: &str,
) -> Result<(), ActionError> {
    let out = folder.path();
    if folder.has_ledger() {
        let _lock = folder.lock()?;
        let old = fs::read(folder.log_file()).map_err(ActionError::file(folder.log_file()))?;
        if !lines.as_bytes().starts_with(&old) {
            return Err(ActionError::OtherRecord {
                path: out.into(),
                what: "its ledger does not begin like this one".into(),
            });
        }
        for (name, bytes) in files {
            replace(&out.join(name), bytes)?;
        }
        return write_ledger(folder, lines, checkpoint);
    }
    if out.exists()
        && fs::read_dir(out)
            .map_err(ActionError::file(out))?
            .next()
            .is_some()
    {
        return Err(ActionError::OtherRecord {
            path: out.into(),
            what: "it is not empty and has no ledger".into(),
        });
    }
    let name = out
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let beside = out.with_file_name(format!(".{name}.partial"));
    if beside.exists() {
        // Left by a run that was cut off before it reported anything.
        fs::remove_dir_all(&beside).map_err(ActionError::file(&beside))?;
    }
    let staged = JobFolder::at(&beside);
    fs::create_dir_all(beside.join("ledger")).map_err(ActionError::file(&beside))?;
    for (name, bytes) in files {
        let path = beside.join(name);
        fs::write(&path, bytes).map_err(ActionError::file(&path))?;
    }
    write_ledger(&staged, lines, checkpoint)?;
    if out.exists() {
        fs::remove_dir(out).map_err(ActionError::file(out))?;
    }
    fs::rename(&beside, out).map_err(ActionError::file(out))
}

/// The ledger, on disk before this returns.
fn write_ledger(folder: &JobFolder, lines: &str, checkpoint: &str) -> Result<(), ActionError> {
    use std::io::Write;
    replace(&folder.checkpoint_file(), checkpoint.as_bytes())?;
    let path = folder.log_file();
    let beside = path.with_extension("partial");
    let mut file = fs::File::create(&beside).map_err(ActionError::file(&beside))?;
    file.write_all(lines.as_bytes())
        .map_err(ActionError::file(&beside))?;
    file.sync_data().map_err(ActionError::file(&beside))?;
    fs::rename(&beside, &path).map_err(ActionError::file(&path))
}
