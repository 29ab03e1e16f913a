//! Goes through the open steps: who, the answers, the photographs, what became of them.

use super::beside::{beside, stop_work};
use super::terminal::{SIGNS, Said, Terminal, Turn};
use crate::actions::{self, Added, Asked, Interview, outcome_word};
use crate::cli::advice::CommandError;
use crate::cli::exit::Exit;
use crate::cli::output::{AGAINST_PACKAGE, Answer, list, paragraph, reasons};
use crate::procedure::{Evidence, Outcome, People, Photo, Role, Value};
use crate::store::JobFolder;

const PHOTOS: &str = "Photo files in photos/, separated by ; (may stay empty)";

/// What has been said to the step at hand.
#[derive(Default)]
struct Sheet {
    by: Option<String>,
    with: Option<Option<String>>,
    answers: Vec<Value>,
    /// The people for whom the gate has already said no.
    warned: Option<(String, Option<String>)>,
}

pub(in super::super) fn interview(
    folder: JobFolder,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    let mut talk = Interview::begin(folder)?;
    let stdin = std::io::stdin();
    let mut input = stdin.lock();
    let mut terminal = Terminal::new(&mut input, out);
    terminal.out.line(
        "Answer each line; a number picks from a list. Enter alone: unknown, or passed over.",
    )?;
    let signs = SIGNS.map(|(sign, means)| format!("`{sign}` {means}"));
    paragraph(terminal.out, "", &format!("{}.", signs.join("; ")))?;
    let mut last = String::new();
    loop {
        let Some(asked) = talk.next() else {
            match nothing_open(&mut talk, &mut terminal, &last)? {
                Some(exit) => return Ok(exit),
                None => continue,
            }
        };
        head(&talk, &asked, terminal.out)?;
        let turn = match fill(&talk, &asked, &mut last, &mut terminal)? {
            Said::This((sheet, photos)) => {
                let added = take(&mut talk, &asked, sheet, photos)?;
                became(&added, Some(&asked), terminal.out)?;
                continue;
            }
            Said::Turn(turn) => turn,
        };
        match turn {
            Turn::Leave => return left(terminal.out),
            Turn::StopWork(why) => {
                if stop_work(&mut talk, &mut terminal, &last, &why)?.is_none() {
                    return left(terminal.out);
                }
            }
            Turn::Beside => {
                if beside(&mut talk, &mut terminal, &last)?.is_none() {
                    return left(terminal.out);
                }
            }
            Turn::Back => {}
        }
    }
}

fn head(talk: &Interview, asked: &Asked, out: &mut dyn Answer) -> Result<(), CommandError> {
    let status = actions::status(talk.job());
    let step = &asked.step;
    let of = asked
        .module
        .as_ref()
        .map_or_else(String::new, |module| format!(" of module {module}"));
    out.line("")?;
    paragraph(
        out,
        "",
        &format!(
            "{}{of}: {} ({} of {} steps passed)",
            step.id, step.does, status.passed, status.steps
        ),
    )?;
    let people = match step.people {
        People::One => "",
        People::Two => ", two people",
        People::TwoIfHeavy => ", two people above 23 kg",
    };
    out.line(&format!("  who: {}{people}", Role::any_of(&step.role)))?;
    if !step.hazard.is_empty() {
        paragraph(out, "  ", &format!("hazard: {}", step.hazard))?;
    }
    for caution in &step.cautions {
        paragraph(out, "  ", &format!("caution: {caution}"))?;
    }
    Ok(())
}

/// Asks everything that the step needs. Going back before the first question is a turn.
fn fill(
    talk: &Interview,
    asked: &Asked,
    last: &mut String,
    terminal: &mut Terminal<'_>,
) -> Result<Said<(Sheet, Vec<Photo>)>, CommandError> {
    let mut sheet = Sheet::default();
    loop {
        let turn = match next_answer(talk, asked, last, &mut sheet, terminal)? {
            Said::This(None) => continue,
            Said::This(Some(photos)) => return Ok(Said::This((sheet, photos))),
            Said::Turn(turn) => turn,
        };
        // Back takes the last answer off, whatever it was.
        let had = match turn {
            Turn::Back if sheet.answers.pop().is_some() => true,
            Turn::Back if asked.asks_second && sheet.with.take().is_some() => true,
            Turn::Back => {
                sheet.with = None;
                sheet.by.take().is_some()
            }
            _ => false,
        };
        if !had {
            if !sheet.answers.is_empty() {
                let id = &asked.step.id;
                let told = format!("  What was typed to {id} is not kept; it is asked again.");
                terminal.out.line(&told)?;
            }
            return Ok(Said::Turn(turn));
        }
    }
}

/// Asks what is still missing on the sheet; photographs come last and complete it.
fn next_answer(
    talk: &Interview,
    asked: &Asked,
    last: &mut String,
    sheet: &mut Sheet,
    terminal: &mut Terminal<'_>,
) -> Result<Said<Option<Vec<Photo>>>, CommandError> {
    let Some(by) = sheet.by.clone() else {
        return Ok(match by_whom(talk, asked, last, terminal)? {
            Said::Turn(turn) => Said::Turn(turn),
            Said::This(by) => {
                last.clone_from(&by);
                sheet.by = Some(by);
                Said::This(None)
            }
        });
    };
    if sheet.with.is_none() {
        let with = if asked.asks_second {
            match with_whom(talk, &by, terminal)? {
                Said::Turn(turn) => return Ok(Said::Turn(turn)),
                Said::This(with) => with,
            }
        } else {
            None
        };
        sheet.with = Some(with.clone());
        let why = talk.not_now(asked, &by, with.as_deref());
        let people = (by, with);
        if !why.is_empty() && sheet.warned.as_ref() != Some(&people) {
            terminal.out.line("  NOT NOW, because")?;
            reasons(terminal.out, &why)?;
            terminal
                .out
                .line("  The same people again go on, and the try is kept as refused.")?;
            *sheet = Sheet {
                warned: Some(people),
                ..Sheet::default()
            };
        }
        return Ok(Said::This(None));
    }
    let done = sheet.answers.len();
    if let Some(question) = asked.questions.get(done) {
        let place = format!("{}/{} ", done + 1, asked.questions.len());
        return Ok(match terminal.answer(question, "  ", &place)? {
            Said::Turn(turn) => Said::Turn(turn),
            Said::This(value) => {
                sheet.answers.push(value);
                Said::This(None)
            }
        });
    }
    let photos = terminal.ask("  ", PHOTOS, &[], |line| {
        let files = line.split(';').map(str::trim);
        let photos: Vec<Photo> = files
            .filter(|file| !file.is_empty())
            .map(|file| Photo {
                file: file.to_owned(),
                sha256: None,
            })
            .collect();
        match photos.iter().find(|photo| !photo.has_plain_name()) {
            Some(photo) => Err(format!(
                "`{}`: a plain file name, without its folder",
                photo.file
            )),
            None => Ok(photos),
        }
    })?;
    Ok(match photos {
        Said::Turn(turn) => Said::Turn(turn),
        Said::This(photos) => Said::This(Some(photos)),
    })
}

fn by_whom(
    talk: &Interview,
    asked: &Asked,
    last: &str,
    terminal: &mut Terminal<'_>,
) -> Result<Said<String>, CommandError> {
    let may = talk.who_may(&asked.step);
    if may.is_empty() {
        paragraph(
            terminal.out,
            "  ",
            "Nobody on the plan may do this today: enter the person in the plan, with competence \
             and last day.",
        )?;
    }
    terminal.choices("  ", &may)?;
    let usual = may
        .iter()
        .find(|choice| choice.value == last)
        .map(|choice| choice.value.clone());
    let caption = match &usual {
        Some(usual) => format!("By whom? (Enter alone: {usual})"),
        None => "By whom?".to_owned(),
    };
    terminal.ask("  ", &caption, &[], |line| match (line, &usual) {
        ("", Some(usual)) => Ok(usual.clone()),
        ("", None) => Err("a number of the list, or an id of the plan".to_owned()),
        _ => talk.person(line, &may),
    })
}

fn with_whom(
    talk: &Interview,
    by: &str,
    terminal: &mut Terminal<'_>,
) -> Result<Said<Option<String>>, CommandError> {
    let others = talk.others(by);
    terminal.choices("  ", &others)?;
    let caption = "With whom? Only who is there. (Enter alone: nobody)";
    terminal.ask("  ", caption, &[], |line| match line {
        "" => Ok(None),
        _ => talk.person(line, &others).map(Some),
    })
}

fn take(
    talk: &mut Interview,
    asked: &Asked,
    sheet: Sheet,
    photos: Vec<Photo>,
) -> Result<Added, CommandError> {
    let mut evidence = Evidence::default();
    for (question, value) in asked.questions.iter().zip(sheet.answers) {
        if value != Value::Unknown || !question.optional {
            evidence.put(question.name.clone(), value);
        }
    }
    let by = sheet.by.unwrap_or_default();
    let with = sheet.with.flatten();
    Ok(talk.take_step(asked, &by, with.as_deref(), evidence, photos)?)
}

/// Says what became of an entry.
pub(super) fn became(
    added: &Added,
    asked: Option<&Asked>,
    out: &mut dyn Answer,
) -> Result<(), CommandError> {
    let outcome = added.judgement.outcome;
    out.line(&format!(
        "  entry {}: {}",
        added.number,
        outcome_word(outcome)
    ))?;
    reasons(out, &added.judgement.reasons)?;
    list(out, "  What follows:", &added.judgement.notes)?;
    list(out, AGAINST_PACKAGE, &added.against_package)?;
    let if_fails = asked.map_or("", |asked| asked.step.if_fails.as_str());
    if matches!(outcome, Outcome::NotPassed | Outcome::Refused) && !if_fails.is_empty() {
        paragraph(out, "  ", &format!("if not: {if_fails}"))?;
    }
    Ok(())
}

fn left(out: &mut dyn Answer) -> Result<Exit, CommandError> {
    out.line("Left. `packdown run` goes on where it stood; a pause makes the dead proof stale.")?;
    Ok(Exit::Done)
}

/// Nothing is open: the work on site is done, or it is stopped, or it cannot go on. `None` where
/// something was written down and the steps are looked at again.
fn nothing_open(
    talk: &mut Interview,
    terminal: &mut Terminal<'_>,
    last: &str,
) -> Result<Option<Exit>, CommandError> {
    let not_entitled = talk.job().not_entitled_to_papers();
    if not_entitled.is_empty() {
        terminal
            .out
            .line("Every step on site has passed. `packdown issue` writes the papers.")?;
        return Ok(Some(Exit::Done));
    }
    terminal.out.line("")?;
    terminal.out.line("No step is open, because")?;
    if let Some(stop) = talk.job().progress().stop() {
        let line = format!("work is stopped: {}", stop.why);
        paragraph(terminal.out, "  - ", &line)?;
    } else {
        reasons(terminal.out, &not_entitled)?;
    }
    let caption = "`*` writes down that work goes on, or what else happened; Enter alone leaves";
    let exit = match terminal.ask("", caption, &[], |_| Ok(()))? {
        Said::Turn(Turn::Beside) => beside(talk, terminal, last)?,
        Said::Turn(Turn::StopWork(why)) => stop_work(talk, terminal, last, &why)?,
        Said::This(()) | Said::Turn(_) => None,
    };
    Ok(match exit {
        Some(()) => None,
        None => Some(Exit::No),
    })
}
