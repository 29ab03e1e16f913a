//! `packdown hold`.

use crate::actions::{self, ActionError, HoldList};
use crate::battery::Soundness;
use crate::cli::advice::CommandError;
use crate::cli::args::Format;
use crate::cli::dock_args::{
    ClearArgs, HoldCommand, HoldListArgs, HoldPutArgs, HoldTagArgs, RereadArgs,
};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, granted, json, list, paragraph, reasons, running};
use crate::clock::Moment;
use crate::custody::{ClearanceAsked, Held, Reread};
use crate::store::RegisterFolder;

pub(super) fn hold(command: &HoldCommand, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    match command {
        HoldCommand::List(args) => show(args, out),
        HoldCommand::Put(args) => put(args, out),
        HoldCommand::Reread(args) => reread(args, out),
        HoldCommand::Tag(args) => tag(args, out),
        HoldCommand::Clear(args) => clear(args, out),
    }
}

fn show(args: &HoldListArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let now = args.at.unwrap_or_else(|| Moment::present().whole_seconds());
    let found = actions::hold_list(&RegisterFolder::at(&args.register), now)?;
    if out.format() == Format::Json {
        json(out, &found)?;
    } else {
        text(&found, out)?;
    }
    Ok(if found.calls() { Exit::No } else { Exit::Done })
}

fn text(found: &HoldList, out: &mut dyn Answer) -> Result<(), CommandError> {
    if found.held.is_empty() {
        out.line("Nothing is held.")?;
    }
    for one in &found.held {
        let word = match one.outcome {
            "escalate" => "GET AWAY, CALL",
            "may_be_offered" => "two people may sign",
            _ => "stays held",
        };
        let bay = match &one.bay {
            Some(bay) => format!("bay {bay}"),
            None => "at the dock, NO HOLD BAY HAS ROOM".into(),
        };
        paragraph(
            out,
            "",
            &format!(
                "{}: {word}; {} in {bay}, since {}: {}",
                one.identity, one.soundness, one.since, one.reason
            ),
        )?;
        if let Some((at, warm)) = &one.last {
            out.line(&format!("  {} readings, last {warm} at {at}", one.readings))?;
        }
        let due: Vec<String> = one
            .due
            .iter()
            .map(|(at, now)| {
                if *now {
                    format!("{at} DUE NOW")
                } else {
                    at.to_string()
                }
            })
            .collect();
        if !due.is_empty() {
            paragraph(out, "  read at ", &due.join(", "))?;
        }
        paragraph(out, "  not before ", &one.not_before.to_string())?;
        // A reading that is due is said above; how to take it is the same each time.
        let others: Vec<String> = one
            .reasons
            .iter()
            .filter(|reason| {
                !reason.what.starts_with("reading at ") && reason.what != "quiet hours"
            })
            .map(|reason| format!("{}: {} -> {}", reason.what, reason.value, reason.way_out))
            .collect();
        list(out, "  still:", &others)?;
    }
    if found.held.iter().any(|one| !one.due.is_empty()) {
        paragraph(
            out,
            "",
            "Each reading: warmest marked spot, air beside it, gas, smell, smoke; out of the sun, \
             same spot, same instrument; the voltage at the first and at the last.",
        )?;
    }
    running(out, &found.discrepancies)?;
    if !found.held.is_empty() {
        paragraph(
            out,
            "",
            "A clock alone never releases. Heat, smoke, hiss or smell: get away, keep others \
             away, call the fire service.",
        )?;
    }
    Ok(())
}

fn tag(args: &HoldTagArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let now = args.at.unwrap_or_else(|| Moment::present().whole_seconds());
    let folder = RegisterFolder::at(&args.register);
    let printed = actions::print_hold_tags(
        &folder,
        &args.identities,
        &args.out,
        now,
        args.language,
        args.stock.into(),
    )?;
    let printed = match printed {
        Ok(printed) => printed,
        Err(why) => return Ok(granted(out, Err(why), "")?),
    };
    if out.format() == Format::Json {
        json(out, &printed)?;
    } else {
        for tag in &printed.tags {
            out.line(&format!("HOLD {}: {}", tag.identity, tag.reason))?;
        }
        for file in &printed.files {
            out.line(&format!("Written to {}", file.display()))?;
        }
    }
    Ok(Exit::Done)
}

fn put(args: &HoldPutArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = ActionError::in_time(args.pen.at)?;
    let codes: Vec<&str> = args.finding.iter().map(String::as_str).collect();
    let holding = Held {
        identity: args.identity.clone(),
        reason: args.reason.clone(),
        findings: args.finding.clone(),
        soundness: crate::inspection::soundness_of(&codes).max(Soundness::Suspect),
        by: args.pen.by.clone(),
    };
    let given = actions::put_in_hold(&RegisterFolder::at(&args.pen.register), holding, at)?;
    let done = match &given {
        Ok(Some(bay)) => format!("{} is held, in bay {bay}", args.identity),
        _ => format!(
            "{} is held; NO HOLD BAY HAS ROOM: set it apart outdoors",
            args.identity
        ),
    };
    Ok(granted(out, given.map(|_| ()), &done)?)
}

fn reread(args: &RereadArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = ActionError::in_time(args.pen.at)?;
    let reading = Reread {
        identity: args.identity.clone(),
        by: args.pen.by.clone(),
        instrument: args.instrument.clone(),
        surface_temperature_c: args.surface_c,
        ambient_temperature_c: args.air_c,
        twin_temperature_c: args.twin_c,
        terminal_voltage_v: args.voltage_v,
        lowest_cell_v: args.lowest_cell_v,
        cell_kind: args.cell_kind,
        gas: args.gas,
        smell: args.smell,
        smoke: args.smoke,
        findings: args.finding.clone(),
    };
    match actions::reread(&RegisterFolder::at(&args.pen.register), reading, at)? {
        Err(why) => Ok(granted(out, Err(why), "")?),
        Ok(follows) => {
            if out.format() == Format::Json {
                json(
                    out,
                    &serde_json::json!({ "done": "read", "follows": follows }),
                )?;
            } else {
                out.line(&format!("{}: reading kept", args.identity))?;
                reasons(out, &follows)?;
            }
            Ok(Exit::Done)
        }
    }
}

fn clear(args: &ClearArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = ActionError::in_time(args.pen.at)?;
    let soundness = match args.condition.as_deref() {
        None => None,
        Some(word) => Some(
            [
                Soundness::Sound,
                Soundness::Suspect,
                Soundness::Undiagnosed,
                Soundness::Damaged,
            ]
            .into_iter()
            .find(|one| one.word() == word)
            .ok_or_else(|| {
                CommandError::Argument(format!(
                    "--as `{word}`: sound, suspect, undiagnosed or damaged"
                ))
            })?,
        ),
    };
    let asked = ClearanceAsked {
        identity: args.identity.clone(),
        by: args.pen.by.clone(),
        with: args.with.clone(),
        reason: args.reason.clone(),
        soundness,
    };
    let given = actions::clear_hold(&RegisterFolder::at(&args.pen.register), &asked, at)?;
    let done = match &given {
        Ok(soundness) => format!(
            "{} is out of the hold as {soundness}, signed by {} and {}",
            args.identity, args.pen.by, args.with
        ),
        Err(_) => String::new(),
    };
    Ok(granted(out, given.map(|_| ()), &done)?)
}
