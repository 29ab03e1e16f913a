//! `packdown read-code`.

use crate::actions::{self, CodeStanding};
use crate::cli::advice::CommandError;
use crate::cli::args::{CodeArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, reasons};
use crate::papers::plain_text;

pub(super) fn read_code(args: &CodeArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let answer = actions::read_code(&args.text, args.link.then_some(args.stem.as_str()));
    match (&answer.link, out.format()) {
        (_, Format::Json) => json(out, &answer)?,
        (Some(link), _) => out.line(link)?,
        (None, _) => {
            out.line(&format!(
                "{}: {}{}",
                plain_text(&args.text),
                answer.kind.replace('_', " "),
                match answer.answer {
                    CodeStanding::Valid => ", in order",
                    CodeStanding::Invalid => ", NOT IN ORDER",
                }
            ))?;
            for (ai, value) in &answer.parts {
                out.line(&format!("  {ai}: {}", plain_text(value)))?;
            }
            reasons(out, &answer.reasons)?;
        }
    }
    Ok(match answer.answer {
        CodeStanding::Valid => Exit::Done,
        CodeStanding::Invalid => Exit::No,
    })
}
