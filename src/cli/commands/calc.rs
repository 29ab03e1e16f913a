//! `packdown calc`.

use crate::actions::{self, ActionError, Calculated, Sum};
use crate::cli::advice::CommandError;
use crate::cli::answer_text::Shown;
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
        Calculated::One(answer) => put(out, answer.as_bytes())?,
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
        put(out, answer)
    }
}

fn put(out: &mut dyn Answer, answer: &[u8]) -> Result<(), CommandError> {
    let shown: Shown = serde_json::from_slice(answer).map_err(ActionError::from)?;
    for line in shown.lines() {
        out.line(&line)?;
    }
    Ok(())
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
