//! Issues the papers of a job that has a ledger.

use std::path::Path;

use super::ActionError;
use crate::citation::Reason;
use crate::job::recorded_at;
use crate::ledger::Draft;
use crate::papers::{
    Issued, Look, data_papers, papers_of, print_papers, refuse_unknown, void_papers_of,
};
use crate::store::{
    JobFolder, issue_folder, keep_into, keep_older, refuse_other, signing_key, write_into,
};

/// What an issue is to be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Papers to be used.
    Issued,
    /// Drafts, where the job is not entitled to papers.
    Draft,
    /// Papers with `VOID` across and why, for those who hold the ones before.
    Void(String),
}

/// Issues the papers of a job that has a ledger, those in `only` or all of them; a later issue
/// of a paper supersedes the ones before it, which are kept. `copies` gets the files too.
///
/// What a missing fact or a no keeps from being printed is named in the answer; where that is all
/// that was asked for, nothing is issued.
///
/// # Errors
/// A ledger that is broken, a job that is not entitled to papers and no draft was asked for, a
/// paper that does not exist, or `copies` with another file of the same name. Nothing is issued
/// then.
pub fn issue_papers(
    folder: &JobFolder,
    standing: &Standing,
    only: &[String],
    copies: Option<&Path>,
    look: Look,
) -> Result<Issued, ActionError> {
    refuse_unknown(only)?;
    let look = Look {
        templates: folder.templates()?,
        only: only.to_vec(),
        ..look
    };
    let _lock = folder.lock()?;
    let mut open = folder.open()?;
    let not_entitled = open.job.not_entitled_to_papers();
    let number = open.last_issue.saturating_add(1);
    let mut issued = match standing {
        Standing::Void(_) if open.last_issue == 0 => {
            return Err(ActionError::NotEntitled(vec![
                Reason::new("papers to make void", "none was issued")
                    .limit("an issue before this one"),
            ]));
        }
        Standing::Void(why) => void_papers_of(&open.job, &open.log, number, why, &look)?,
        Standing::Issued if !not_entitled.is_empty() => {
            return Err(ActionError::NotEntitled(not_entitled));
        }
        Standing::Issued | Standing::Draft => {
            let draft = !not_entitled.is_empty();
            papers_of(&open.job, &open.log, number, draft, &look)?
        }
    };
    print_papers(&open.job, &mut issued, &look)?;
    // Data that nobody may rely on is not given out anew.
    if !matches!(standing, Standing::Void(_)) {
        let data = data_papers(&open.job, &open.log, &issued, only)?;
        issued.files.extend(data);
    }
    issued.keep_only(only);
    let whole: Vec<(String, Vec<u8>)> = issued.all_files().cloned().collect();
    if whole.is_empty() {
        return Ok(issued);
    }
    if let Some(copies) = copies {
        refuse_other(copies, &whole)?;
    }
    keep_older(folder, &open.log)?;
    keep_into(&issue_folder(folder, issued.issue), &whole)?;
    let good_bytes = open.log.good_bytes();
    let draft = issued.draft_entry()?;
    let line = open
        .log
        .append(Draft {
            time: recorded_at(&open.log, draft.time),
            ..draft
        })?
        .line;
    folder.append(
        &open.log,
        good_bytes,
        &line,
        &signing_key(open.job.plan().demo)?,
    )?;
    write_into(folder.path(), &issued.files)?;
    if let Some(copies) = copies {
        write_into(copies, &whole)?;
    }
    Ok(issued)
}
