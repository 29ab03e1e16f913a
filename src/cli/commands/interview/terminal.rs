//! Asks one question until it is answered, and knows the few signs that mean something else.

use std::io::BufRead;

use crate::actions::{Choice, Question};
use crate::cli::advice::CommandError;
use crate::cli::output::{Answer, paragraph};
use crate::clock::Moment;
use crate::procedure::{Evidence, EvidenceKind, Value};

/// What the signs mean; shown at the beginning and by `?`.
pub(super) const SIGNS: [(&str, &str); 5] = [
    ("?", "says more about a question"),
    ("<", "goes back to the question before"),
    ("!", "stops work, with a word why behind it: `! smoke`"),
    ("*", "writes down what happened beside the steps"),
    ("leave", "ends here; every finished step is kept"),
];

/// A list of choices up to this many characters stands behind its question.
const SHORT: usize = 48;

/// What turns the conversation away from the question at hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Turn {
    /// Back to the question before.
    Back,
    /// Work stops; why, as far as it was typed.
    StopWork(String),
    /// Something happened beside the steps.
    Beside,
    /// The terminal is left.
    Leave,
}

/// What was said to a question.
pub(super) enum Said<T> {
    /// The answer.
    This(T),
    /// Something else.
    Turn(Turn),
}

/// A typed line.
enum Typed {
    Line(String),
    More,
    Turn(Turn),
}

/// The two ends of the conversation.
pub(super) struct Terminal<'a> {
    input: &'a mut dyn BufRead,
    pub(super) out: &'a mut dyn Answer,
}

impl<'a> Terminal<'a> {
    pub(super) fn new(input: &'a mut dyn BufRead, out: &'a mut dyn Answer) -> Self {
        Self { input, out }
    }

    /// Asks for a line; `more` is what `?` shows. `read` says what the line means or what is
    /// wrong with it, and then the question is asked again.
    pub(super) fn ask<T>(
        &mut self,
        indent: &str,
        caption: &str,
        more: &[String],
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Said<T>, CommandError> {
        paragraph(self.out, indent, caption)?;
        loop {
            match self.line(indent)? {
                Typed::Turn(turn) => return Ok(Said::Turn(turn)),
                Typed::More => {
                    for line in more {
                        paragraph(self.out, &format!("{indent}  "), line)?;
                    }
                    let signs = SIGNS.map(|(sign, means)| format!("`{sign}` {means}"));
                    paragraph(self.out, &format!("{indent}  "), &signs.join("; "))?;
                }
                Typed::Line(line) => match read(&line) {
                    Ok(value) => return Ok(Said::This(value)),
                    Err(wanted) => paragraph(self.out, &format!("{indent}  "), &wanted)?,
                },
            }
        }
    }

    fn line(&mut self, indent: &str) -> Result<Typed, CommandError> {
        self.out.text(&format!("{indent}> "))?;
        self.out.show_now()?;
        let mut line = String::new();
        if self.input.read_line(&mut line)? == 0 {
            self.out.line("")?;
            return Ok(Typed::Turn(Turn::Leave));
        }
        let line = line.trim();
        if let Some(why) = line.strip_prefix('!') {
            return Ok(Typed::Turn(Turn::StopWork(why.trim().to_owned())));
        }
        Ok(match line.to_ascii_lowercase().as_str() {
            "?" => Typed::More,
            "<" | "back" => Typed::Turn(Turn::Back),
            "*" => Typed::Turn(Turn::Beside),
            "leave" => Typed::Turn(Turn::Leave),
            "stop" => return self.which_stop(indent),
            _ => Typed::Line(line.to_owned()),
        })
    }

    /// "Stop" may mean the work or only the questions, so it is asked.
    fn which_stop(&mut self, indent: &str) -> Result<Typed, CommandError> {
        let choices = ["work stops, written down", "only the questions end here"];
        let caption = format!("Stop what? (1 {}, 2 {})", choices[0], choices[1]);
        paragraph(self.out, indent, &caption)?;
        self.out.text(&format!("{indent}> "))?;
        self.out.show_now()?;
        let mut line = String::new();
        let read = self.input.read_line(&mut line)?;
        // In doubt the work stops: a stop too many costs a word of the person in charge.
        Ok(Typed::Turn(if read == 0 || line.trim() == "2" {
            Turn::Leave
        } else {
            Turn::StopWork(String::new())
        }))
    }

    /// Asks `question`, the `place`-th of its step, until it is answered in its form.
    pub(super) fn answer(
        &mut self,
        question: &Question,
        indent: &str,
        place: &str,
    ) -> Result<Said<Value>, CommandError> {
        if question.kind == EvidenceKind::Table {
            return self.rows(question, indent, place);
        }
        let caption = format!("{place}{} ({})", question.ask, brief(question));
        if !is_short(&question.choices) {
            self.choices(indent, &question.choices)?;
        }
        let said = self.ask(indent, &caption, &more(question), |line| {
            let value = question.read(line, Moment::present())?;
            Ok((value, line.to_owned()))
        })?;
        let (value, line) = match said {
            Said::Turn(turn) => return Ok(Said::Turn(turn)),
            Said::This(read) => read,
        };
        if value == Value::Unknown {
            if !question.may_stay_unknown() {
                let told = "Unknown, and the step does not pass without it. Enter again writes it \
                            down so.";
                return self.ask(indent, told, &more(question), |line| {
                    question.read(line, Moment::present())
                });
            }
        } else if understood(&value) != line {
            self.out
                .line(&format!("{indent}  = {}", understood(&value)))?;
        }
        Ok(Said::This(value))
    }

    pub(super) fn choices(&mut self, indent: &str, choices: &[Choice]) -> Result<(), CommandError> {
        for (n, choice) in choices.iter().enumerate() {
            let words = if choice.words.is_empty() {
                String::new()
            } else {
                format!(": {}", choice.words)
            };
            let line = format!("{} {}{words}", n + 1, choice.value);
            paragraph(self.out, &format!("{indent}  "), &line)?;
        }
        Ok(())
    }

    /// Asks for the rows of a table: first those it wants, then others until one is left empty.
    fn rows(
        &mut self,
        question: &Question,
        indent: &str,
        place: &str,
    ) -> Result<Said<Value>, CommandError> {
        let how = match (question.rows.len(), question.only_these) {
            (0, _) => {
                "A row after the other; Enter alone at the first question ends the list.".into()
            }
            (wanted, true) => format!("One after the other, {wanted} of them."),
            (wanted, false) => format!("{wanted} of them, then what else there is."),
        };
        paragraph(self.out, indent, &format!("{place}{} {how}", question.ask))?;
        let deeper = format!("{indent}  ");
        let mut rows: Vec<Vec<Value>> = Vec::new();
        loop {
            if rows.last().is_none_or(|row| is_whole(question, row)) {
                match question.rows.get(rows.len()) {
                    Some(wanted) => rows.push(wanted.clone()),
                    None if question.only_these => break,
                    None => rows.push(Vec::new()),
                }
            }
            let number = rows.len();
            let given = question.rows.get(number - 1).map_or(0, Vec::len);
            let row = rows.last().map_or(&[][..], Vec::as_slice);
            let first = row.len() == given;
            let may_end = given == 0 && first;
            let Some(column) = question.columns.get(row.len()) else {
                break;
            };
            let place = if given == 0 {
                format!("row {number}: ")
            } else {
                let given: Vec<String> = row.iter().take(given).map(understood).collect();
                format!("{}: ", given.join(" ").replace('_', " "))
            };
            let asked = Question {
                optional: column.optional || may_end,
                ..column.clone()
            };
            match self.answer(&asked, &deeper, &place)? {
                Said::This(Value::Unknown) if may_end => {
                    rows.pop();
                    break;
                }
                Said::This(value) => {
                    if let Some(row) = rows.last_mut() {
                        row.push(value);
                    }
                }
                Said::Turn(Turn::Back) => {
                    if first {
                        rows.pop();
                    }
                    match rows.last_mut() {
                        Some(row) => row.pop(),
                        None => return Ok(Said::Turn(Turn::Back)),
                    };
                }
                Said::Turn(turn) => return Ok(Said::Turn(turn)),
            }
        }
        Ok(Said::This(as_table(question, rows)))
    }
}

/// Whether nothing is missing in a row: of what is not there, nothing more is asked.
fn is_whole(question: &Question, row: &[Value]) -> bool {
    let rest = question.columns.get(row.len()..).unwrap_or_default();
    let not_there =
        question.only_these && row.len() == 2 && row.last() == Some(&Value::YesNo(false));
    rest.is_empty() || (not_there && rest.iter().all(|column| column.optional))
}

fn as_table(question: &Question, rows: Vec<Vec<Value>>) -> Value {
    if rows.is_empty() && question.optional {
        return Value::Unknown;
    }
    let row = |values: Vec<Value>| {
        let mut row = Evidence::default();
        for (column, value) in question.columns.iter().zip(values) {
            if value != Value::Unknown || !column.optional {
                row.put(column.name.clone(), value);
            }
        }
        Value::Row(row)
    };
    Value::List(rows.into_iter().map(row).collect())
}

fn is_short(choices: &[Choice]) -> bool {
    choices.iter().all(|choice| choice.words.is_empty())
        && choices
            .iter()
            .map(|choice| choice.value.len() + 4)
            .sum::<usize>()
            <= SHORT
}

/// What stands in brackets behind a question.
fn brief(question: &Question) -> String {
    let mut parts = Vec::new();
    if question.choices.is_empty() || !is_short(&question.choices) {
        parts.push(question.form());
    } else {
        let numbered = question.choices.iter().enumerate();
        let numbered: Vec<String> = numbered
            .map(|(n, choice)| format!("{} {}", n + 1, choice.value.replace('_', " ")))
            .collect();
        parts.push(numbered.join(", "));
    }
    if !question.unknown.is_empty() {
        parts.push(format!("unknown: {}", question.unknown));
    } else if question.optional {
        parts.push("may stay empty".into());
    }
    parts.join("; ")
}

/// What `?` says of a question.
fn more(question: &Question) -> Vec<String> {
    let mut lines = vec![format!("Answer: {}.", question.form())];
    if !question.choices.is_empty() {
        let numbered = question.choices.iter().enumerate();
        let numbered: Vec<String> = numbered
            .map(|(n, choice)| match choice.words.as_str() {
                "" => format!("{} {}", n + 1, choice.value),
                words => format!("{} {} ({words})", n + 1, choice.value),
            })
            .collect();
        lines.push(format!("One of: {}.", numbered.join(", ")));
    }
    lines.push(match (question.unknown.as_str(), question.optional) {
        ("", false) => "Enter alone: unknown; the step then does not pass.".into(),
        ("", true) => "Enter alone: passed over.".into(),
        (unknown, _) => format!("Enter alone: unknown; {unknown}."),
    });
    for limit in &question.limits {
        lines.push(format!("Limit: {limit}."));
    }
    lines.push(format!("In the record: `{}`.", question.name));
    lines
}

/// A value as it was understood.
fn understood(value: &Value) -> String {
    match value {
        Value::Unknown => "unknown".into(),
        Value::YesNo(true) => "yes".into(),
        Value::YesNo(false) => "no".into(),
        Value::Text(text) => text.clone(),
        Value::List(items) => {
            let items: Vec<String> = items.iter().map(understood).collect();
            items.join(", ")
        }
        Value::Row(_) => "a row".into(),
    }
}
