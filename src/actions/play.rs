//! Plays a field record: plan and record in, ledger and papers out.
//!
//! The record stops at the first entry that breaks the order; what came before is kept with the
//! refusal at its end. One durable sync, of the ledger, before success is reported. A new folder
//! appears whole or not at all.

use std::fs;
use std::path::{Path, PathBuf};

use super::ActionError;
use crate::citation::Reason;
use crate::job::Job;
use crate::papers::{Issued, Look, data_papers, papers_of, print_papers, refuse_unknown};
use crate::procedure::Outcome;
use crate::store::{
    JobFolder, RULES_FILE, StoreError, draft_of, photographs_of, read_record, record_of, start_log,
};

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

/// Which papers a played record leaves beside the data that every one leaves.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Print {
    /// None.
    #[default]
    Nothing,
    /// Every paper.
    All,
    /// Those of these names.
    Only(Vec<String>),
}

/// Plays `from`'s record into `out`. `draft` prints papers for a job that is not entitled to
/// them, with a word across that says so; what `print` asks for is part of the same issue.
///
/// # Errors
/// Files that cannot be read or used, a paper that does not exist, or an `out` that holds another
/// record. Nothing is written then.
pub fn play(
    from: &JobFolder,
    out: &Path,
    record: Option<&Path>,
    procedure: Option<&Path>,
    settings: Option<&Path>,
    draft: bool,
    print: &Print,
) -> Result<Played, ActionError> {
    if let Print::Only(names) = print {
        refuse_unknown(names)?;
    }
    let (mut job, plan_text) = from.new_job(procedure, settings)?;
    let entries = match record {
        Some(path) => read_record(path)?,
        None => record_of(from)?,
    };
    let begun = entries.first().map(|entry| entry.at);
    let Some(begun) = begun else {
        return Err(StoreError::Record {
            path: record.map_or_else(|| from.file("record.jsonl"), Path::to_path_buf),
            line: 1,
            why: "the record has no entry".into(),
        }
        .into());
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
    let mut issued = None;
    if not_entitled.is_empty() || draft {
        let mut look = Look {
            templates: from.templates()?,
            ..Look::default()
        };
        let mut papers = papers_of(&job, &log, 1, !not_entitled.is_empty(), &look)?;
        if *print != Print::Nothing {
            if let Print::Only(names) = print {
                look.only.clone_from(names);
            }
            print_papers(&job, &mut papers, &look)?;
            let data = data_papers(&job, &log, &papers, &look.only)?;
            papers.add_data(data, &look.only);
        }
        lines.push_str(&log.append(papers.draft_entry()?)?.line);
        issued = Some(papers);
    }
    let mut files: Vec<(PathBuf, Vec<u8>)> = vec![("job.json".into(), plan_text.into_bytes())];
    for (name, file) in [("procedure.toml", procedure), ("settings.toml", settings)] {
        let own = from.file(name);
        if let Some(source) = file.or_else(|| own.exists().then_some(own.as_path())) {
            files.push((
                name.into(),
                fs::read(source).map_err(StoreError::file(source))?,
            ));
        }
    }
    let rules = from.rules_to_keep(&job, procedure, settings)?;
    files.push((RULES_FILE.into(), rules));
    if let Some(papers) = &issued {
        files.extend(
            papers
                .files
                .iter()
                .map(|(name, bytes)| (name.into(), bytes.clone())),
        );
        if *print != Print::Nothing {
            let kept = Path::new("papers").join(format!("issue-{}", papers.issue));
            let whole = papers.all_files();
            files.extend(whole.map(|(name, bytes)| (kept.join(name), bytes.clone())));
        }
    }
    let folder = JobFolder::at(out);
    let checkpoint = log.checkpoint(&key)?.to_string();
    let photos = photographs_of(from, job.taken().iter().map(|taken| &*taken.entry));
    folder.write_whole(&files, &photos, &lines, &checkpoint)?;
    Ok(Played {
        job,
        folder,
        not_taken,
        issued,
        not_entitled,
    })
}
