//! `packdown show`.

use crate::actions::{self, Status};
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, JobArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list, paragraph, reasons, table};
use crate::store::JobFolder;

pub(super) fn show(args: &JobArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let folder = JobFolder::at(&args.job);
    let status = if folder.has_ledger() {
        let open = folder.open()?;
        Status {
            hand_overs: actions::hand_overs(&open.log),
            ..actions::status(&open.job)
        }
    } else {
        actions::status(&folder.new_job(None, None)?.0)
    };
    let exit = if status.is_refused() {
        Exit::No
    } else {
        Exit::Done
    };
    if out.format() == Format::Json {
        json(out, &status)?;
    } else {
        text(&status, out)?;
    }
    Ok(exit)
}

fn text(status: &Status, out: &mut dyn Answer) -> Result<(), CommandError> {
    paragraph(
        out,
        "",
        &format!(
            "Job {} by {}: {} of {} steps passed, {} entries",
            status.job, status.procedure, status.passed, status.steps, status.entries
        ),
    )?;
    if let Some(why) = &status.stopped {
        paragraph(out, "", &format!("STOPPED: {why}"))?;
    }
    if status.is_refused() {
        out.line("REFUSED, the job stands here:")?;
        reasons(out, &status.refused)?;
    }
    table(
        out,
        &[
            "module",
            "serial",
            "soundness",
            "findings",
            "charge",
            "stands",
        ],
        status.modules.iter().map(|module| {
            vec![
                module.module.clone(),
                if module.serial_proved {
                    module.serial.clone()
                } else if !module.looked_at {
                    "not read yet".into()
                } else {
                    format!("{} (unproved)", module.serial)
                },
                module
                    .soundness
                    .clone()
                    .unwrap_or_else(|| "not judged".into()),
                module.findings.join(" "),
                module.state_of_charge.clone(),
                module.stands.clone(),
            ]
        }),
    )?;
    list(
        out,
        "Charge, what to do:",
        &of_modules(status, |one| &one.state_of_charge_next),
    )?;
    list(
        out,
        "Gates before an offer for reuse:",
        &of_modules(status, |one| &one.reuse_gates),
    )?;
    list(out, "No longer proved:", &status.stale)?;
    list(out, "Tried, not passed:", &status.not_passed)?;
    list(
        out,
        "Not known, with the safe consequence:",
        &status.unknowns,
    )?;
    list(out, "Handed over:", &status.hand_overs)?;
    let open: Vec<String> = status
        .open
        .iter()
        .map(|open| {
            let module = open
                .module
                .as_ref()
                .map(|m| format!(" of {m}"))
                .unwrap_or_default();
            format!("{}{module}: {} [{}]", open.step, open.does, open.who)
        })
        .collect();
    list(out, "Open now:", &open)?;
    if status.not_entitled_to_papers.is_empty() {
        out.line("Papers: the job is entitled to them.")?;
    } else {
        out.line("Papers: not yet, because")?;
        reasons(out, &status.not_entitled_to_papers)?;
    }
    paragraph(
        out,
        "",
        "Battery terminals stay live whatever stands here. A named competent person decides.",
    )?;
    Ok(())
}

/// What is said of each module, alike ones together.
fn of_modules(
    status: &Status,
    lines: impl Fn(&crate::actions::ModuleStatus) -> &Vec<String>,
) -> Vec<String> {
    let mut said: Vec<(&str, Vec<&str>)> = Vec::new();
    for module in &status.modules {
        for line in lines(module) {
            match said.iter_mut().find(|(known, _)| known == line) {
                Some((_, modules)) => modules.push(&module.module),
                None => said.push((line, vec![&module.module])),
            }
        }
    }
    said.into_iter()
        .map(|(line, modules)| format!("{}: {line}", modules.join(", ")))
        .collect()
}
