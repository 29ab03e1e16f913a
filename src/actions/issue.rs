//! Issues the papers of a job that has a ledger.

use super::ActionError;
use crate::papers::{Issued, papers_of};
use crate::store::{JobFolder, replace, signing_key};

/// Issues the papers of a job that has a ledger; a later issue supersedes the ones before it.
///
/// # Errors
/// A ledger that is broken, or a job that is not entitled to papers and no draft was asked for.
pub fn issue_papers(folder: &JobFolder, draft: bool) -> Result<Issued, ActionError> {
    let _lock = folder.lock()?;
    let mut open = folder.open()?;
    let not_entitled = open.job.not_entitled_to_papers();
    if !not_entitled.is_empty() && !draft {
        return Err(ActionError::NotEntitled(not_entitled));
    }
    let issued = papers_of(
        &open.job,
        &open.log,
        open.last_issue.saturating_add(1),
        !not_entitled.is_empty(),
        folder.manifest_template()?.as_deref(),
    )?;
    let good_bytes = open.log.good_bytes();
    let line = open.log.append(issued.draft_entry()?)?.line;
    for (name, text) in &issued.files {
        replace(&folder.file(name), text.as_bytes())?;
    }
    folder.append(
        &open.log,
        good_bytes,
        &line,
        &signing_key(open.job.plan().demo)?,
    )?;
    Ok(issued)
}
