//! `packdown issue`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, IssueArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json};
use crate::papers::summary;
use crate::store::JobFolder;

pub(super) fn issue(args: &IssueArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let issued = actions::issue_papers(
        &JobFolder::at(&args.job),
        args.draft,
        &args.paper,
        args.out.as_deref(),
    )?;
    let names: Vec<&str> = issued.files.iter().map(|(name, _)| name.as_str()).collect();
    if out.format() == Format::Json {
        json(
            out,
            &serde_json::json!({ "issue": issued.issue, "draft": issued.draft, "papers": names }),
        )?;
        return Ok(Exit::Done);
    }
    out.text(&summary::text(&issued.manifest).map_err(actions::ActionError::from)?)?;
    let what = if issued.draft { "Drafts" } else { "Papers" };
    out.line(&format!(
        "{what}, issue {}: {}",
        issued.issue,
        names.join(", ")
    ))?;
    Ok(Exit::Done)
}
