//! What happened beside the steps: stops, findings, shifts, locks off, modules that stay.

use super::conversation::became;
use super::terminal::{Said, Terminal, Turn};
use crate::actions::{Choice, HAPPENINGS, Happening, Interview};
use crate::cli::advice::CommandError;
use crate::procedure::{Evidence, Kind, Value};

/// What a stop says where nobody had time for words.
const NO_WORDS: &str = "stopped at the terminal, no words given";

/// Asks which of them it was and writes it down; `None` where the terminal was left.
pub(super) fn beside(
    talk: &mut Interview,
    terminal: &mut Terminal<'_>,
    last: &str,
) -> Result<Option<()>, CommandError> {
    terminal.out.line("")?;
    let choices: Vec<Choice> = HAPPENINGS
        .iter()
        .map(|one| Choice {
            value: one.words.to_owned(),
            words: String::new(),
        })
        .collect();
    terminal.choices("", &choices)?;
    let caption = "What happened? (a number; Enter alone: nothing)";
    let said = terminal.ask("", caption, &[], |line| {
        if line.is_empty() {
            return Ok(None);
        }
        let place = line.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
        let one = place.and_then(|n| HAPPENINGS.get(n)).copied();
        one.map(Some)
            .ok_or_else(|| format!("`{line}`: a number from 1 to {}", HAPPENINGS.len()))
    })?;
    match said {
        Said::This(None) | Said::Turn(Turn::Back | Turn::Beside) => Ok(Some(())),
        Said::This(Some(happening)) => write_down(talk, terminal, last, &happening),
        Said::Turn(Turn::StopWork(why)) => stop_work(talk, terminal, last, &why),
        Said::Turn(Turn::Leave) => Ok(None),
    }
}

/// Work stops: written down at once where it is known who says so.
pub(super) fn stop_work(
    talk: &mut Interview,
    terminal: &mut Terminal<'_>,
    last: &str,
    why: &str,
) -> Result<Option<()>, CommandError> {
    let by = if last.is_empty() {
        match who(talk, terminal, last)? {
            Some(by) => by,
            None => return Ok(None),
        }
    } else {
        last.to_owned()
    };
    let why = if why.is_empty() { NO_WORDS } else { why };
    let mut answers = Evidence::default();
    answers.put("reason", Value::Text(why.to_owned()));
    let stop = HAPPENINGS.iter().find(|one| one.kind == Kind::StopWork);
    if let Some(stop) = stop {
        let added = talk.take_happening(stop, &by, &answers)?;
        became(&added, None, terminal.out)?;
    }
    terminal.out.line(
        "  Smoke, hiss, smell or heat: get everyone out and call first; then `*` and the finding.",
    )?;
    Ok(Some(()))
}

fn write_down(
    talk: &mut Interview,
    terminal: &mut Terminal<'_>,
    last: &str,
    happening: &Happening,
) -> Result<Option<()>, CommandError> {
    let Some(by) = who(talk, terminal, last)? else {
        return Ok(None);
    };
    let mut answers = Evidence::default();
    for question in talk.questions_of(happening) {
        match terminal.answer(&question, "  ", "")? {
            Said::This(value) => answers.put(question.name, value),
            Said::Turn(Turn::StopWork(why)) => return stop_work(talk, terminal, &by, &why),
            Said::Turn(Turn::Leave) => return Ok(None),
            Said::Turn(Turn::Back | Turn::Beside) => return beside(talk, terminal, &by),
        }
    }
    let added = talk.take_happening(happening, &by, &answers)?;
    became(&added, None, terminal.out)?;
    Ok(Some(()))
}

/// Who says so; `None` where the terminal was left.
fn who(
    talk: &Interview,
    terminal: &mut Terminal<'_>,
    last: &str,
) -> Result<Option<String>, CommandError> {
    let everybody = talk.others("");
    terminal.choices("  ", &everybody)?;
    let caption = match last {
        "" => "Who says so?".to_owned(),
        last => format!("Who says so? (Enter alone: {last})"),
    };
    let said = terminal.ask("  ", &caption, &[], |line| match (line, last) {
        ("", "") => Err("a number of the list, or an id of the plan".to_owned()),
        ("", last) => Ok(last.to_owned()),
        _ => talk.person(line, &everybody),
    })?;
    Ok(match said {
        Said::This(by) => Some(by),
        Said::Turn(_) => None,
    })
}
