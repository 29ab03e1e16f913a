//! `packdown run`: plays a field record, or asks step by step.

use crate::actions::{self, Played, Print};
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, RunArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list, not_printed, paragraph, reasons};
use crate::papers::summary;
use crate::store::JobFolder;

pub(super) fn run(args: &RunArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let folder = JobFolder::at(&args.job);
    let played = actions::play(
        &folder,
        &args.out,
        args.record.as_deref(),
        args.procedure.as_deref(),
        args.settings.as_deref(),
        args.draft,
        &print(&args.papers),
    )?;
    let all_printed = played
        .issued
        .as_ref()
        .is_none_or(|issued| issued.not_printed.is_empty());
    let exit = if played.not_entitled.is_empty() && all_printed {
        Exit::Done
    } else {
        Exit::No
    };
    if out.format() == Format::Json {
        json_answer(&played, out)?;
    } else {
        text(&played, out)?;
    }
    Ok(exit)
}

/// What `--papers` asks for: `none` is nothing and gives way to any name, `all` is everything.
fn print(names: &[String]) -> Print {
    let names: Vec<String> = names
        .iter()
        .filter(|name| *name != "none")
        .cloned()
        .collect();
    if names.iter().any(|name| name == "all") {
        Print::All
    } else if names.is_empty() {
        Print::Nothing
    } else {
        Print::Only(names)
    }
}

fn json_answer(played: &Played, out: &mut dyn Answer) -> Result<(), CommandError> {
    let refused = played.job.refusal().map(|(number, taken)| {
        serde_json::json!({ "entry": number, "step": taken.entry.step, "reasons": taken.judgement.reasons })
    });
    json(
        out,
        &serde_json::json!({
            "job": played.job.plan().job,
            "out": played.folder.path(),
            "entries": played.job.taken().len(),
            "not_taken": played.not_taken,
            "refused": refused,
            "papers": played.issued.as_ref().map(|issued| {
                issued.all_files().map(|(name, _)| name.as_str()).collect::<Vec<_>>()
            }),
            "not_printed": played.issued.as_ref().map(|issued| &issued.not_printed),
            "draft": played.issued.as_ref().is_some_and(|issued| issued.draft),
            "not_entitled_to_papers": played.not_entitled,
            "status": actions::status(&played.job),
        }),
    )?;
    Ok(())
}

fn text(played: &Played, out: &mut dyn Answer) -> Result<(), CommandError> {
    if let Some((number, taken)) = played.job.refusal() {
        let what = taken
            .entry
            .step
            .as_deref()
            .unwrap_or(taken.entry.kind.name());
        paragraph(
            out,
            "",
            &format!(
                "REFUSED at entry {number}: {what}, {} by {}",
                taken.entry.at,
                played.job.frame().name_of(&taken.entry.by)
            ),
        )?;
        reasons(out, &taken.judgement.reasons)?;
        out.line(&match played.not_taken {
            0 => "The record ends there.".to_owned(),
            1 => "The record was stopped there; 1 later entry was not taken.".to_owned(),
            n => format!("The record was stopped there; {n} later entries were not taken."),
        })?;
    }
    if let Some(issued) = &played.issued {
        out.text(&summary::text(&issued.manifest).map_err(actions::ActionError::from)?)?;
        not_printed(out, &issued.not_printed)?;
    }
    if !played.not_entitled.is_empty() {
        out.line("")?;
        out.line(if played.issued.is_some() {
            "The papers are DRAFTS, because"
        } else {
            "No papers were issued, because"
        })?;
        reasons(out, &played.not_entitled)?;
    }
    let unknowns = played.job.progress().unknowns();
    if !unknowns.is_empty() {
        out.line("")?;
    }
    list(out, "Not known, with the safe consequence", unknowns)?;
    out.line("")?;
    let mut files = vec!["ledger/device.jsonl".to_owned()];
    if let Some(issued) = &played.issued {
        files.extend(issued.all_files().map(|(name, _)| name.clone()));
    }
    out.line(&format!("Written to {}", played.folder.path().display()))?;
    paragraph(out, "  ", &files.join(", "))?;
    if played.job.plan().demo {
        out.line("An invented job, signed with the public demo key: it proves nothing.")?;
    }
    Ok(())
}
