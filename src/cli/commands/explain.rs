//! `packdown explain`: each decision in prose.

use crate::actions::{self, Worst};
use crate::cli::advice::CommandError;
use crate::cli::args::{ExplainArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, JsonAnswers};
use crate::papers::answers::{Depth, prose};

pub(super) fn explain(args: &ExplainArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let said = args.said.said();
    let as_json = out.format() == Format::Json;
    let mut answers = JsonAnswers::of(said.legs.len());
    let mut begun = false;
    let (form, tally) =
        actions::classify(
            &args.file,
            &said,
            &mut |form, facts, decision| -> Result<(), CommandError> {
                let lines = prose(&decision, facts.package.is_some(), Depth::Full);
                if as_json {
                    let answer = serde_json::json!({ "id": decision.id, "prose": lines });
                    return Ok(answers.push(out, form, &answer)?);
                }
                if begun {
                    out.line("")?;
                }
                begun = true;
                for line in lines {
                    out.line(&line)?;
                }
                Ok(())
            },
        )?;
    if as_json {
        answers.end(out, form)?;
    }
    Ok(match tally.worst() {
        Worst::Allowed => Exit::Done,
        Worst::NotDetermined => Exit::NotDetermined,
        Worst::Refused => Exit::No,
    })
}
