//! `packdown calc`.

use serde_json::Value;

use crate::actions::{self, ActionError, Calculated, Sum};
use crate::cli::advice::CommandError;
use crate::cli::args::{CalcArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::Answer;

pub(super) fn calc(args: &CalcArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let sum = actions::find_sum(&args.name)?;
    let answers = sum.calculate_file(&args.file)?;
    if out.format() == Format::Json {
        match answers {
            Calculated::One(answer) => out.line(&answer)?,
            Calculated::Array(answers) if answers.is_empty() => out.line("[]")?,
            Calculated::Array(answers) => {
                // No text in JSON holds a line end, so these are those of the layout.
                let shown: Vec<String> = answers
                    .iter()
                    .map(|one| format!("  {}", one.replace('\n', "\n  ")))
                    .collect();
                out.line(&format!("[\n{}\n]", shown.join(",\n")))?;
            }
            Calculated::Lines(answers) => out.text(&answers)?,
            Calculated::Rows(rows) => {
                rows.each(&mut |answers| Ok::<_, CommandError>(out.bytes(answers)?))?;
            }
        }
        return Ok(Exit::Done);
    }
    match answers {
        Calculated::One(answer) => shown(out, &read(answer.as_bytes())?, 0)?,
        Calculated::Array(answers) => {
            let mut numbered = Numbered::of(answers.len() > 1);
            for answer in answers {
                numbered.show(out, answer.as_bytes())?;
            }
        }
        Calculated::Lines(answers) => {
            let mut numbered = Numbered::of(true);
            for answer in answers.lines() {
                numbered.show(out, answer.as_bytes())?;
            }
        }
        Calculated::Rows(rows) => {
            let mut numbered = Numbered::of(true);
            rows.each(&mut |answers| {
                answers
                    .split_inclusive(|byte| *byte == b'\n')
                    .try_for_each(|answer| numbered.show(out, answer))
            })?;
        }
    }
    explained(out, sum)?;
    Ok(Exit::Done)
}

/// Answers one below another, with a number before each where there are several.
struct Numbered {
    several: bool,
    given: u64,
}

impl Numbered {
    const fn of(several: bool) -> Self {
        Self { several, given: 0 }
    }

    fn show(&mut self, out: &mut dyn Answer, answer: &[u8]) -> Result<(), CommandError> {
        self.given += 1;
        if self.several {
            out.line(&format!("{}.", self.given))?;
        }
        Ok(shown(out, &read(answer)?, 0)?)
    }
}

fn read(answer: &[u8]) -> Result<Value, ActionError> {
    Ok(serde_json::from_slice(answer)?)
}

/// One fact a line, parts indented below what they belong to.
fn shown(out: &mut dyn Answer, value: &Value, depth: usize) -> std::io::Result<()> {
    let indent = "  ".repeat(depth);
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                let name = name.replace('_', " ");
                match value {
                    Value::Array(items) if items.is_empty() => {
                        out.line(&format!("{indent}{name}: none"))?;
                    }
                    Value::Object(_) | Value::Array(_) => {
                        out.line(&format!("{indent}{name}:"))?;
                        shown(out, value, depth + 1)?;
                    }
                    other => out.line(&format!("{indent}{name}: {}", word(other)))?,
                }
            }
        }
        Value::Array(items) => {
            for item in items {
                match item {
                    Value::Object(_) | Value::Array(_) => {
                        out.line(&format!("{indent}-"))?;
                        shown(out, item, depth + 1)?;
                    }
                    other => out.line(&format!("{indent}- {}", word(other)))?,
                }
            }
        }
        other => out.line(&format!("{indent}{}", word(other)))?,
    }
    Ok(())
}

fn word(value: &Value) -> String {
    match value {
        Value::Null => "none".into(),
        Value::Bool(true) => "yes".into(),
        Value::Bool(false) => "no".into(),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

fn explained(out: &mut dyn Answer, sum: &Sum) -> std::io::Result<()> {
    out.line("")?;
    for (caption, text) in [
        ("answers", sum.answers),
        ("formula", sum.formula),
        ("source", sum.source),
        ("holds for", sum.holds_for),
        ("leaves out", sum.leaves_out),
    ] {
        out.line(&format!("{caption}: {text}"))?;
    }
    Ok(())
}
