//! `packdown merge`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, MergeArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list, table};

pub(super) fn merge(args: &MergeArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let merged = actions::merge(&args.paths, args.into.as_deref())?;
    let exit = if !merged.conflicts.is_empty() {
        Exit::LedgerBroken
    } else if merged.logs.is_empty() || !merged.unusable.is_empty() {
        Exit::Unreadable
    } else {
        Exit::Done
    };
    if out.format() == Format::Json {
        json(out, &merged)?;
        return Ok(exit);
    }
    out.line(&format!(
        "{} copies of {} logs",
        merged.copies,
        merged.logs.len()
    ))?;
    let rows = merged.logs.iter().map(|log| {
        let entries: Vec<String> = log.entries.iter().map(ToString::to_string).collect();
        vec![
            log.about.clone(),
            log.origin.clone(),
            entries.join(" or "),
            log.checkpoints.to_string(),
            log.cosigned_by.join(", "),
        ]
    });
    if !merged.logs.is_empty() {
        let heads = ["job", "device", "entries", "checkpoints", "cosigned by"];
        table(out, &heads, rows)?;
    }
    list(
        out,
        "CONFLICTS, for people to find out about; nothing was thrown away:",
        &merged.conflicts,
    )?;
    list(out, "Left out:", &merged.unusable)?;
    list(out, "The other side is not at hand:", &merged.open_ends)?;
    if let Some(into) = &args.into {
        out.line(&format!(
            "{} files in {}",
            merged.written.len(),
            into.display()
        ))?;
    }
    Ok(exit)
}
