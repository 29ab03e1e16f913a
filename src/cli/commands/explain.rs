//! `packdown explain`: each decision in prose.

use crate::actions::{self, Worst};
use crate::cli::advice::CommandError;
use crate::cli::args::{ExplainArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json};
use crate::papers::answers::{Depth, prose};

pub(super) fn explain(args: &ExplainArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let mut begun = false;
    let as_json = out.format() == Format::Json;
    let (_, tally) = actions::classify(&args.file, &args.said.said(), &mut |_,
                                                                            facts,
                                                                            decision|
     -> Result<
        (),
        CommandError,
    > {
        let lines = prose(&decision, facts.package.is_some(), Depth::Full);
        if as_json {
            json(
                out,
                &serde_json::json!({ "id": decision.id, "prose": lines }),
            )?;
            return Ok(());
        }
        if begun {
            out.line("")?;
        }
        begun = true;
        for line in lines {
            out.line(&line)?;
        }
        Ok(())
    })?;
    Ok(match tally.worst() {
        Worst::Allowed => Exit::Done,
        Worst::NotDetermined => Exit::NotDetermined,
        Worst::Refused => Exit::No,
    })
}
