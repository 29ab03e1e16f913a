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
            Calculated::Lines(pieces) => {
                for piece in pieces {
                    out.text(&piece)?;
                }
            }
        }
        return Ok(Exit::Done);
    }
    let answers: Vec<Value> = match &answers {
        Calculated::One(answer) => read(std::iter::once(answer.as_str()))?,
        Calculated::Array(answers) => read(answers.iter().map(String::as_str))?,
        Calculated::Lines(pieces) => read(pieces.iter().flat_map(|piece| piece.lines()))?,
    };
    for (n, answer) in answers.iter().enumerate() {
        if answers.len() > 1 {
            out.line(&format!("{}.", n + 1))?;
        }
        shown(out, answer, 0)?;
    }
    explained(out, sum)?;
    Ok(Exit::Done)
}

fn read<'a>(answers: impl Iterator<Item = &'a str>) -> Result<Vec<Value>, ActionError> {
    Ok(answers
        .map(serde_json::from_str)
        .collect::<Result<_, _>>()?)
}

/// One fact a line, parts indented below what they belong to.
fn shown(out: &mut dyn Answer, value: &Value, depth: usize) -> std::io::Result<()> {
    let indent = "  ".repeat(depth);
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                let name = name.replace('_', " ");
                match value {
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
