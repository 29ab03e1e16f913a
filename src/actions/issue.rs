//! Issues the papers of a job that has a ledger.

use std::path::Path;

use super::ActionError;
use crate::papers::{Issued, papers_of};
use crate::store::{JobFolder, issue_folder, keep_older, refuse_other, signing_key, write_into};

/// Issues the papers of a job that has a ledger, those in `only` or all of them; a later issue
/// of a paper supersedes the ones before it, which are kept. `copies` gets the files too.
///
/// # Errors
/// A ledger that is broken, a job that is not entitled to papers and no draft was asked for, a
/// paper that does not exist, or `copies` with another file of the same name. Nothing is issued
/// then.
pub fn issue_papers(
    folder: &JobFolder,
    draft: bool,
    only: &[String],
    copies: Option<&Path>,
) -> Result<Issued, ActionError> {
    let _lock = folder.lock()?;
    let mut open = folder.open()?;
    let not_entitled = open.job.not_entitled_to_papers();
    if !not_entitled.is_empty() && !draft {
        return Err(ActionError::NotEntitled(not_entitled));
    }
    let mut issued = papers_of(
        &open.job,
        &open.log,
        open.last_issue.saturating_add(1),
        !not_entitled.is_empty(),
        folder.manifest_template()?.as_deref(),
    )?;
    issued.keep_only(only)?;
    if let Some(copies) = copies {
        refuse_other(copies, &issued.files)?;
    }
    keep_older(folder, &open.log)?;
    write_into(&issue_folder(folder, issued.issue), &issued.files)?;
    let good_bytes = open.log.good_bytes();
    let line = open.log.append(issued.draft_entry()?)?.line;
    folder.append(
        &open.log,
        good_bytes,
        &line,
        &signing_key(open.job.plan().demo)?,
    )?;
    write_into(folder.path(), &issued.files)?;
    if let Some(copies) = copies {
        write_into(copies, &issued.files)?;
    }
    Ok(issued)
}
