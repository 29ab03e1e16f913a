//! `packdown cosign`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{CosignArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json};
use crate::cli::typed::moment;
use crate::custody::Taken;

pub(super) fn cosign(args: &CosignArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = args
        .at
        .as_deref()
        .map(|text| moment("--at", text))
        .transpose()?;
    let by = args.by.as_deref().map(|person| actions::TakenBy {
        person,
        site: args.site.as_deref(),
    });
    let cosigned = actions::cosign_bundle(&args.bundle, &args.out, at, by)?;
    if out.format() == Format::Json {
        json(out, &cosigned)?;
        return Ok(Exit::Done);
    }
    out.line(&format!("Log     {}", cosigned.log))?;
    out.line(&format!(
        "Seen    {} entries, root {}",
        cosigned.size, cosigned.root
    ))?;
    out.line(&match cosigned.seen_before {
        Some(before) => format!("Before  {before} entries, and these continue them"),
        None => "Before  nothing of this log".to_owned(),
    })?;
    out.line(&format!("Signed  by {} at {}", cosigned.by, cosigned.at))?;
    out.line(&match &cosigned.taken {
        Some(taken) => format!("Taken   by {}", person(taken)),
        None => "Taken   nobody was named: the device alone says what it saw".to_owned(),
    })?;
    if cosigned.demo {
        out.line("Signed with the public demo key, which proves nothing.")?;
    }
    out.line(&format!(
        "Send {} back to the giver: `packdown release JOB --cosigned FILE`.",
        cosigned.file.display()
    ))?;
    Ok(Exit::Done)
}

/// The person who took a load, and what is known of the competence.
fn person(taken: &Taken) -> String {
    match (&taken.site, &taken.competence) {
        (Some(site), Some(competence)) => format!("{}, {competence}, {site}", taken.person),
        _ => format!("{}; nobody looked whether that person may", taken.person),
    }
}
