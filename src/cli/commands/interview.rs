//! The questions of `packdown run` at a terminal, a line each.
//!
//! Plain lines, not a screen: it works in gloves with a scanner that types a line, over any
//! connection, and with a screen reader.

use std::io::BufRead;

use crate::actions::{Interview, Question, add_entry, outcome_word};
use crate::cli::advice::CommandError;
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, list, reasons};
use crate::clock::Moment;
use crate::procedure::{Evidence, EvidenceKind, Outcome, People, Photo, Role, Value};
use crate::store::JobFolder;

const HELP: &str = "Answer each line. Enter alone: unknown, or passed over where it may be. \
                    `stop` ends here; everything answered up to the last step is kept.";

/// What a typed line was.
enum Typed {
    Line(String),
    Stop,
}

pub(super) fn interview(folder: JobFolder, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let mut talk = Interview::begin(folder)?;
    let stdin = std::io::stdin();
    let mut input = stdin.lock();
    out.line(HELP)?;
    let mut by = String::new();
    loop {
        let Some((place, slot)) = talk.next() else {
            return ended(&talk, out);
        };
        let Some(step) = talk.step(place).cloned() else {
            return Ok(Exit::Bug);
        };
        let module = slot
            .and_then(|n| talk.job().frame().modules.get(n))
            .map(|m| m.id.clone());
        out.line("")?;
        let of = module
            .as_ref()
            .map(|m| format!(" of module {m}"))
            .unwrap_or_default();
        out.line(&format!("{}{of}: {}", step.id, step.does))?;
        let people = match step.people {
            People::One => "",
            People::Two => ", two people",
            People::TwoIfHeavy => ", two people above 23 kg",
        };
        out.line(&format!("  who: {}{people}", Role::any_of(&step.role)))?;
        if !step.hazard.is_empty() {
            out.line(&format!("  hazard: {}", step.hazard))?;
        }
        for caution in &step.cautions {
            out.line(&format!("  caution: {caution}"))?;
        }
        let caption = if by.is_empty() {
            "  by whom (id)? ".to_owned()
        } else {
            format!("  by whom (id)? [{by}] ")
        };
        match ask(&caption, &mut input, out)? {
            Typed::Stop => return stopped(out),
            Typed::Line(line) if line.is_empty() => {}
            Typed::Line(line) => by = line,
        }
        let with = match step.people {
            People::One => None,
            People::Two | People::TwoIfHeavy => match ask("  with whom (id)? ", &mut input, out)? {
                Typed::Stop => return stopped(out),
                Typed::Line(line) => (!line.is_empty()).then_some(line),
            },
        };
        let mut evidence = Evidence::default();
        for question in Interview::questions(&step) {
            match answer(&question, "  ", &mut input, out)? {
                None => return stopped(out),
                Some(Value::Unknown) if question.optional => {}
                Some(value) => evidence.put(question.name, value),
            }
        }
        let photos = match ask(
            "  photo files in photos/, separated by ;? ",
            &mut input,
            out,
        )? {
            Typed::Stop => return stopped(out),
            Typed::Line(line) => line
                .split(';')
                .map(str::trim)
                .filter(|file| !file.is_empty())
                .map(|file| Photo {
                    file: file.to_owned(),
                    sha256: None,
                })
                .collect(),
        };
        let entry = talk.entry(place, slot, &by, with.as_deref(), evidence, photos);
        let added = add_entry(talk.folder(), entry)?;
        talk.go_on(added.job.clone());
        out.line(&format!(
            "  entry {}: {}",
            added.number,
            outcome_word(added.judgement.outcome)
        ))?;
        reasons(out, &added.judgement.reasons)?;
        list(out, "  What follows:", &added.judgement.notes)?;
        if matches!(
            added.judgement.outcome,
            Outcome::NotPassed | Outcome::Refused
        ) && !step.if_fails.is_empty()
        {
            out.line(&format!("  if not: {}", step.if_fails))?;
        }
    }
}

/// Asks one question until it is answered; `None` is `stop`.
fn answer(
    question: &Question,
    indent: &str,
    input: &mut impl BufRead,
    out: &mut dyn Answer,
) -> Result<Option<Value>, CommandError> {
    if question.kind == EvidenceKind::Table {
        return rows(question, indent, input, out);
    }
    let unknown = if question.unknown.is_empty() {
        String::new()
    } else {
        format!("; unknown: {}", question.unknown)
    };
    let caption = format!("{indent}{} ({}{unknown}) ", question.ask, question.form);
    match ask(&caption, input, out)? {
        Typed::Stop => Ok(None),
        Typed::Line(line) => Ok(Some(question.answer(&line, Moment::present()))),
    }
}

/// Asks for the rows of a table until one is left empty.
fn rows(
    question: &Question,
    indent: &str,
    input: &mut impl BufRead,
    out: &mut dyn Answer,
) -> Result<Option<Value>, CommandError> {
    out.line(&format!(
        "{indent}{} Enter alone at the first question ends the list.",
        question.ask
    ))?;
    let mut rows = Vec::new();
    let deeper = format!("{indent}  {}", "");
    loop {
        let mut row = Evidence::default();
        for (n, column) in question.columns.iter().enumerate() {
            let caption = format!("{deeper}{}. ", rows.len() + 1);
            match answer(column, &caption, input, out)? {
                None => return Ok(None),
                Some(Value::Unknown) if n == 0 => {
                    let none = rows.is_empty() && question.optional;
                    return Ok(Some(if none {
                        Value::Unknown
                    } else {
                        Value::List(rows)
                    }));
                }
                Some(Value::Unknown) if column.optional => {}
                Some(value) => row.put(column.name.clone(), value),
            }
        }
        rows.push(Value::Row(row));
    }
}

fn ask(
    caption: &str,
    input: &mut impl BufRead,
    out: &mut dyn Answer,
) -> Result<Typed, CommandError> {
    out.text(caption)?;
    out.show_now()?;
    let mut line = String::new();
    if input.read_line(&mut line)? == 0 {
        out.line("")?;
        return Ok(Typed::Stop);
    }
    let line = line.trim().to_owned();
    Ok(if line.eq_ignore_ascii_case("stop") {
        Typed::Stop
    } else {
        Typed::Line(line)
    })
}

fn stopped(out: &mut dyn Answer) -> Result<Exit, CommandError> {
    out.line(
        "Stopped. `packdown run` goes on where it stood; a pause makes the dead proof stale.",
    )?;
    Ok(Exit::Done)
}

fn ended(talk: &Interview, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let not_entitled = talk.job().not_entitled_to_papers();
    if not_entitled.is_empty() {
        out.line("Every step on site has passed. `packdown issue` writes the papers.")?;
        return Ok(Exit::Done);
    }
    out.line("No step is open, because")?;
    if let Some(stop) = talk.job().progress().stop() {
        out.line(&format!("  work is stopped: {}", stop.why))?;
    }
    reasons(out, &not_entitled)?;
    out.line("A stop, a shift change or a correction is entered with `packdown step`.")?;
    Ok(Exit::No)
}
