//! `packdown step`: one entry from a script.

use crate::actions::{self, Added};
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, StepArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{AGAINST_PACKAGE, Answer, json, list, paragraph, reasons};
use crate::cli::typed::moment;
use crate::clock::Moment;
use crate::procedure::{Entry, Evidence, Kind, Outcome, Photo, Value};
use crate::store::JobFolder;

/// Steps named as open after an entry; `packdown show` names them all.
const MOST_OPEN: usize = 6;

pub(super) fn step(args: &StepArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = match &args.at {
        Some(text) => Some(moment("--at", text)?),
        None => None,
    };
    let added = actions::add_entry(&JobFolder::at(&args.job), entry(args)?, at)?;
    let judgement = &added.judgement;
    let open = open_next(&added);
    if out.format() == Format::Json {
        json(
            out,
            &serde_json::json!({
                "entry": added.number,
                "ledger_seq": added.seq,
                "outcome": judgement.outcome,
                "reasons": judgement.reasons,
                "notes": judgement.notes,
                "against_package": added.against_package,
                "open": open,
            }),
        )?;
    } else {
        let what = args.step.as_deref().unwrap_or(&args.kind);
        out.line(&format!(
            "entry {} {what}: {}",
            added.number,
            actions::outcome_word(judgement.outcome)
        ))?;
        reasons(out, &judgement.reasons)?;
        list(out, "What follows:", &judgement.notes)?;
        list(out, AGAINST_PACKAGE, &added.against_package)?;
        if !open.is_empty() {
            paragraph(out, "", &format!("Open now: {}", open.join(", ")))?;
        }
    }
    Ok(match judgement.outcome {
        Outcome::Passed | Outcome::Recorded => Exit::Done,
        Outcome::NotPassed | Outcome::Refused => Exit::No,
    })
}

/// The first steps that may be done next: `C02`, `M04 of m1`.
fn open_next(added: &Added) -> Vec<String> {
    let open = actions::status(&added.job).open;
    open.into_iter()
        .take(MOST_OPEN)
        .map(|open| match open.module {
            Some(module) => format!("{} of {module}", open.step),
            None => open.step,
        })
        .collect()
}

fn entry(args: &StepArgs) -> Result<Entry, CommandError> {
    let kind: Kind = serde_json::from_value(args.kind.clone().into())
        .map_err(|error| CommandError::Argument(format!("--kind: {error}")))?;
    let mut evidence = Evidence::default();
    for pair in &args.evidence {
        let (name, value) = pair
            .split_once('=')
            .ok_or_else(|| CommandError::Argument(format!("`{pair}` is not `name=value`")))?;
        evidence.put(name.trim(), value_of(name, value)?);
    }
    Ok(Entry {
        kind,
        step: args.step.clone(),
        module: args.module.clone(),
        // Said anew where it is written down.
        at: Moment::present(),
        by: args.by.clone(),
        with: args.with.clone(),
        evidence,
        reason: args.reason.clone(),
        happened_at: args
            .happened_at
            .as_deref()
            .map(|text| moment("--happened-at", text))
            .transpose()?,
        amends: args.amends,
        photos: args
            .photo
            .iter()
            .map(|file| Photo {
                file: file.clone(),
                sha256: None,
            })
            .collect(),
    })
}

/// A plain value, or JSON for lists and tables.
fn value_of(name: &str, text: &str) -> Result<Value, CommandError> {
    if !text.starts_with(['[', '{']) {
        return Ok(Value::typed(text));
    }
    let wrapped = format!("{{\"value\":{text}}}");
    let read: Evidence = serde_json::from_str(&wrapped)
        .map_err(|error| CommandError::Argument(format!("--evidence {name}: {error}")))?;
    Ok(read.answer("value").cloned().unwrap_or(Value::Unknown))
}
