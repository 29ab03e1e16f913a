//! `packdown verify`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, VerifyArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list};
use crate::ledger::Verifier;

pub(super) fn verify(args: &VerifyArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let keys: Vec<Verifier> = args
        .trust
        .iter()
        .map(|text| {
            text.parse()
                .map_err(|error| CommandError::Argument(format!("--trust: {error}")))
        })
        .collect::<Result<_, _>>()?;
    let found = actions::verify_job(&args.job, &keys)?;
    if out.format() == Format::Json {
        json(out, &found)?;
    } else {
        out.line(&format!("Log        {}", found.log))?;
        out.line(&format!(
            "Entries    {} ({} signed)",
            found.entries, found.signed_entries
        ))?;
        out.line(&format!("Root       {}", found.root))?;
        out.line(&format!("Signature  {}", found.signature))?;
        let breaks: Vec<String> = found
            .breaks
            .iter()
            .map(|fault| {
                let weight = if fault.lawful { "noted" } else { "BREAK" };
                format!("{weight} [{}] {}", fault.kind, fault.text)
            })
            .collect();
        list(out, "Found:", &breaks)?;
        list(
            out,
            "Played again, the entries give something else:",
            &found.differences,
        )?;
        list(out, "Papers:", &found.changed_papers)?;
        out.line(if found.holds {
            "The record holds: complete, unchanged, signed."
        } else {
            "THE RECORD DOES NOT HOLD as it stands."
        })?;
    }
    Ok(if found.holds {
        Exit::Done
    } else {
        Exit::LedgerBroken
    })
}
