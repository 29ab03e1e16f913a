//! `packdown calc`.

use serde_json::Value;

use crate::actions::{self, Calculated, Sum};
use crate::cli::advice::CommandError;
use crate::cli::args::{CalcArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json};

pub(super) fn calc(args: &CalcArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let sum = actions::find_sum(&args.name)?;
    let answers = sum.calculate_file(&args.file)?;
    if out.format() == Format::Json {
        match answers {
            Calculated::One(answer) => json(out, &answer)?,
            Calculated::Array(answers) => json(out, &answers)?,
            Calculated::Lines(answers) => {
                for answer in answers {
                    out.line(&answer.to_string())?;
                }
            }
        }
        return Ok(Exit::Done);
    }
    let answers = match answers {
        Calculated::One(answer) => vec![answer],
        Calculated::Array(answers) | Calculated::Lines(answers) => answers,
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
