//! `packdown register`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::Format;
use crate::cli::dock_args::{
    MergeArgs, RegisterArgs, RegisterCommand, RegisterOpenArgs, SettleArgs, StateArgs,
};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, granted, json, list};
use crate::custody::{FactsStated, IdentityMerged, Settled};
use crate::store::RegisterFolder;

pub(super) fn register(
    command: &RegisterCommand,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    match command {
        RegisterCommand::Open(args) => open(args, out),
        RegisterCommand::Verify(args) => verify(args, out),
        RegisterCommand::MergeIdentity(args) => merge(args, out),
        RegisterCommand::State(args) => state(args, out),
        RegisterCommand::Settle(args) => settle(args, out),
    }
}

fn open(args: &RegisterOpenArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let folder = RegisterFolder::at(&args.register);
    let opened = actions::open_register(&folder, actions::ActionError::in_time(args.at)?)?;
    if out.format() == Format::Json {
        json(out, &opened)?;
    } else {
        out.line(&format!(
            "{} {}: {} bays, {} people, {} entries",
            if opened.opened_now {
                "Register opened for"
            } else {
                "Register of"
            },
            opened.site,
            opened.bays,
            opened.people,
            opened.entries
        ))?;
    }
    Ok(Exit::Done)
}

fn verify(args: &RegisterArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let found = actions::verify_register(&RegisterFolder::at(&args.register))?;
    if out.format() == Format::Json {
        json(out, &found)?;
    } else {
        out.line(&format!("Log        {}", found.log))?;
        out.line(&format!("Entries    {}", found.entries))?;
        out.line(&format!("Root       {}", found.root))?;
        list(out, "Found:", &found.breaks)?;
        list(out, "Entries that cannot be:", &found.misfits)?;
        list(out, "Photographs and certificates:", &found.photos)?;
        out.line(if found.holds {
            "The register holds: complete, unchanged, signed."
        } else {
            "THE REGISTER DOES NOT HOLD as it stands."
        })?;
    }
    Ok(if found.holds {
        Exit::Done
    } else {
        Exit::LedgerBroken
    })
}

fn merge(args: &MergeArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = actions::ActionError::in_time(args.pen.at)?;
    let merged = IdentityMerged {
        temporary: args.temporary.clone(),
        serial: args.serial.clone(),
        by: args.pen.by.clone(),
        reason: args.reason.clone(),
    };
    let given = actions::merge_identity(&RegisterFolder::at(&args.pen.register), merged, at)?;
    Ok(granted(
        out,
        given,
        &format!("{} is {} from here on", args.temporary, args.serial),
    )?)
}

fn state(args: &StateArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = actions::ActionError::in_time(args.pen.at)?;
    let stated = FactsStated {
        identity: args.identity.clone(),
        by: args.pen.by.clone(),
        reason: args.reason.clone(),
        chemistry: args.chemistry.clone(),
        rated_energy_wh: args.energy_wh,
        net_mass_kg: args.mass_kg,
        volume_m3: args.volume_m3,
    };
    let given = actions::state_facts(&RegisterFolder::at(&args.pen.register), stated, at)?;
    Ok(granted(
        out,
        given,
        &format!("stated of {}", args.identity),
    )?)
}

fn settle(args: &SettleArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = actions::ActionError::in_time(args.pen.at)?;
    let settled = Settled {
        id: args.id.clone(),
        by: args.pen.by.clone(),
        reason: args.reason.clone(),
    };
    let given = actions::settle_discrepancy(&RegisterFolder::at(&args.pen.register), settled, at)?;
    Ok(granted(out, given, &format!("settled: {}", args.id))?)
}
