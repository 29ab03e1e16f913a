//! `packdown issue`.

use crate::actions::{self, Standing};
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, IssueArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, not_printed, paragraph};
use crate::papers::{Look, summary};
use crate::store::JobFolder;

pub(super) fn issue(args: &IssueArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let issued = actions::issue_papers(
        &JobFolder::at(&args.job),
        &match &args.void {
            Some(why) => Standing::Void(why.clone()),
            None if args.draft => Standing::Draft,
            None => Standing::Issued,
        },
        &args.paper,
        args.out.as_deref(),
        Look {
            stock: args.stock.map(Into::into),
            label_stock: args.label_stock.map(Into::into),
            language: args.language,
            ..Look::default()
        },
    )?;
    let names: Vec<&str> = issued.all_files().map(|(name, _)| name.as_str()).collect();
    // A draft is asked for because something is still missing.
    let exit = if issued.not_printed.is_empty() || (issued.draft && !names.is_empty()) {
        Exit::Done
    } else {
        Exit::No
    };
    if out.format() == Format::Json {
        json(
            out,
            &serde_json::json!({ "issue": issued.issue, "draft": issued.draft, "void": issued.void, "papers": names, "not_printed": issued.not_printed }),
        )?;
        return Ok(exit);
    }
    out.text(&summary::text(&issued.manifest).map_err(actions::ActionError::from)?)?;
    let what = match &issued.void {
        Some(_) => "VOID papers",
        None if issued.draft => "Drafts",
        None => "Papers",
    };
    if names.is_empty() {
        out.line("Nothing was issued.")?;
    } else {
        paragraph(
            out,
            "",
            &format!("{what}, issue {}: {}", issued.issue, names.join(", ")),
        )?;
    }
    not_printed(out, &issued.not_printed)?;
    Ok(exit)
}
