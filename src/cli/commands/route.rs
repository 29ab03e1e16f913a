//! `packdown route`: each leg of a way, and the one package that is good on all of them.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{ExplainArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, JsonAnswers};
use crate::papers::answers::{Depth, prose};
use crate::papers::route_words::route_prose;
use crate::transport;

pub(super) fn route(args: &ExplainArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let said = args.said.said();
    let as_json = out.format() == Format::Json;
    let mut answers = JsonAnswers::of(1);
    let mut worst = (
        transport::Answer::Allowed,
        transport::PackageAnswer::Accepted,
    );
    let form = actions::decide_routes(&args.file, &said, &mut |form,
                                                               route|
     -> Result<(), CommandError> {
        worst = (worst.0.max(route.answer), worst.1.max(route.package.answer));
        if as_json {
            return Ok(answers.push(out, form, &route)?);
        }
        for decision in &route.legs {
            for line in prose(decision, false, Depth::Short) {
                out.line(&line)?;
            }
        }
        for line in route_prose(&route) {
            out.line(&line)?;
        }
        Ok(())
    })?;
    if as_json {
        answers.end(out, form)?;
    }
    Ok(match worst {
        (transport::Answer::Forbidden, _) | (_, transport::PackageAnswer::Refused) => Exit::No,
        (transport::Answer::NotDetermined, _) | (_, transport::PackageAnswer::NotDetermined) => {
            Exit::NotDetermined
        }
        _ => Exit::Done,
    })
}
