//! `packdown show`.

use crate::actions::{self, Asked, Interview, Question, Status};
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, ShowArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, granted, json, list, paragraph, reasons, table};
use crate::procedure::{EvidenceKind, Role, Value};
use crate::store::JobFolder;

pub(super) fn show(args: &ShowArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let folder = JobFolder::at(&args.job);
    if let Some(step) = &args.step {
        return asked(folder, step, args.module.as_deref(), out);
    }
    let status = if folder.has_ledger() {
        let open = folder.open()?;
        Status {
            hand_overs: actions::hand_overs(&open.log),
            ..actions::status(&open.job)
        }
    } else {
        actions::status(&folder.new_job(None, None)?.0)
    };
    let exit = if status.is_refused() {
        Exit::No
    } else {
        Exit::Done
    };
    if out.format() == Format::Json {
        json(out, &status)?;
    } else {
        text(&status, out)?;
    }
    Ok(exit)
}

fn text(status: &Status, out: &mut dyn Answer) -> Result<(), CommandError> {
    paragraph(
        out,
        "",
        &format!(
            "Job {} by {}: {} of {} steps passed, {} entries",
            status.job, status.procedure, status.passed, status.steps, status.entries
        ),
    )?;
    if let Some(why) = &status.stopped {
        paragraph(out, "", &format!("STOPPED: {why}"))?;
    }
    if status.is_refused() {
        out.line("REFUSED, the job stands here:")?;
        reasons(out, &status.refused)?;
    }
    table(
        out,
        &[
            "module",
            "serial",
            "soundness",
            "findings",
            "charge",
            "stands",
        ],
        status.modules.iter().map(|module| {
            vec![
                module.module.clone(),
                if module.serial_proved {
                    module.serial.clone()
                } else if !module.looked_at {
                    "not read yet".into()
                } else {
                    format!("{} (unproved)", module.serial)
                },
                module
                    .soundness
                    .clone()
                    .unwrap_or_else(|| "not judged".into()),
                module.findings.join(" "),
                module.state_of_charge.clone(),
                module.stands.clone(),
            ]
        }),
    )?;
    list(
        out,
        "Charge, what to do:",
        &of_modules(status, |one| &one.state_of_charge_next),
    )?;
    list(
        out,
        "Gates before an offer for reuse:",
        &of_modules(status, |one| &one.reuse_gates),
    )?;
    list(out, "No longer proved:", &status.stale)?;
    list(out, "Tried, not passed:", &status.not_passed)?;
    list(
        out,
        "Not known, with the safe consequence:",
        &status.unknowns,
    )?;
    list(out, "Handed over:", &status.hand_overs)?;
    let open: Vec<String> = status
        .open
        .iter()
        .map(|open| {
            let module = open
                .module
                .as_ref()
                .map(|m| format!(" of {m}"))
                .unwrap_or_default();
            format!("{}{module}: {} [{}]", open.step, open.does, open.who)
        })
        .collect();
    list(out, "Open now:", &open)?;
    if status.not_entitled_to_papers.is_empty() {
        out.line("Papers: the job is entitled to them.")?;
    } else {
        out.line("Papers: not yet, because")?;
        reasons(out, &status.not_entitled_to_papers)?;
    }
    paragraph(
        out,
        "",
        "Battery terminals stay live whatever stands here. A named competent person decides.",
    )?;
    Ok(())
}

/// What is said of each module, alike ones together.
fn of_modules(
    status: &Status,
    lines: impl Fn(&crate::actions::ModuleStatus) -> &Vec<String>,
) -> Vec<String> {
    let mut said: Vec<(&str, Vec<&str>)> = Vec::new();
    for module in &status.modules {
        for line in lines(module) {
            match said.iter_mut().find(|(known, _)| known == line) {
                Some((_, modules)) => modules.push(&module.module),
                None => said.push((line, vec![&module.module])),
            }
        }
    }
    said.into_iter()
        .map(|(line, modules)| format!("{}: {line}", modules.join(", ")))
        .collect()
}

/// What one step asks, for who writes entries with `packdown step`.
fn asked(
    folder: JobFolder,
    step: &str,
    module: Option<&str>,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    let talk = Interview::begin(folder)?;
    let asked = match talk.look_up(step, module) {
        Ok(asked) => asked,
        Err(why) => return Ok(granted(out, Err(vec![why]), "")?),
    };
    let shut = talk.shut(&asked);
    let who_may = talk.who_may(&asked.step);
    let exit = if shut.is_empty() {
        Exit::Done
    } else {
        Exit::No
    };
    if out.format() == Format::Json {
        json(
            out,
            &serde_json::json!({
                "step": asked.step.id,
                "module": asked.module,
                "does": asked.step.does,
                "roles": asked.step.role,
                "second_person_may_be_named": asked.asks_second,
                "who_may": who_may,
                "hazard": asked.step.hazard,
                "cautions": asked.step.cautions,
                "if_not": asked.step.if_fails,
                "shut": shut,
                "answers": asked.questions,
            }),
        )?;
        return Ok(exit);
    }
    head(&asked, out)?;
    let people: Vec<String> = who_may
        .iter()
        .map(|one| format!("{}: {}", one.value, one.words))
        .collect();
    list(out, "Who may, by the plan, today:", &people)?;
    let answers: Vec<String> = asked.questions.iter().map(answer_wanted).collect();
    list(out, "Answers, each as --evidence NAME=VALUE:", &answers)?;
    if shut.is_empty() {
        out.line("It is open now.")?;
    } else {
        out.line("SHUT now, because")?;
        reasons(out, &shut)?;
    }
    Ok(exit)
}

fn head(asked: &Asked, out: &mut dyn Answer) -> Result<(), CommandError> {
    let step = &asked.step;
    let of = asked
        .module
        .as_ref()
        .map_or_else(String::new, |module| format!(" of {module}"));
    paragraph(out, "", &format!("{}{of}: {}", step.id, step.does))?;
    let second = if asked.asks_second {
        "; a second person with --with"
    } else {
        ""
    };
    out.line(&format!("  who: {}{second}", Role::any_of(&step.role)))?;
    for (what, text) in [("hazard", &step.hazard), ("if not", &step.if_fails)] {
        if !text.is_empty() {
            paragraph(out, "  ", &format!("{what}: {text}"))?;
        }
    }
    Ok(())
}

/// One answer: its name, the question, its form, and what it is where nobody knows it.
fn answer_wanted(question: &Question) -> String {
    let mut words = format!("{}: {} ({}", question.name, question.ask, form(question));
    if !question.unknown.is_empty() {
        words.push_str(&format!("; unknown: {}", question.unknown));
    } else if question.optional {
        words.push_str("; may be left out");
    }
    words.push(')');
    for limit in &question.limits {
        words.push_str(&format!("; {limit}"));
    }
    words
}

fn form(question: &Question) -> String {
    let choices: Vec<&str> = question
        .choices
        .iter()
        .map(|choice| choice.value.as_str())
        .collect();
    if !choices.is_empty() && question.kind != EvidenceKind::Text {
        return choices.join(" or ");
    }
    match question.kind {
        EvidenceKind::Time => "time with its offset, 2026-11-25T08:50:00+01:00".into(),
        EvidenceKind::Findings => {
            "codes, F10 or F10,F17, or none: `packdown procedure findings`".into()
        }
        EvidenceKind::List => "one text, or [\"one\", \"another\"]".into(),
        EvidenceKind::Instrument => {
            "serial of an instrument of the plan; it has none that serves".into()
        }
        EvidenceKind::Table => rows(question),
        EvidenceKind::Text => "text".into(),
        _ => question.form(),
    }
}

/// A table to fill in: the rows that are wanted, else one.
fn rows(question: &Question) -> String {
    let row = |given: &[Value]| {
        let cells = question.columns.iter().enumerate().map(|(n, column)| {
            let value = given.get(n).map_or_else(
                || format!("<{}>", form(column)),
                |value| format!("\"{value}\""),
            );
            format!("\"{}\": {value}", column.name)
        });
        format!("{{{}}}", cells.collect::<Vec<_>>().join(", "))
    };
    let wanted = if question.rows.is_empty() {
        vec![row(&[])]
    } else {
        question.rows.iter().map(|given| row(given)).collect()
    };
    format!("[{}]", wanted.join(", "))
}
