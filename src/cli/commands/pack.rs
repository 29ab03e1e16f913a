//! `packdown pack`: bare instances in, plans out; or plans in, faults out.

use std::io;

use serde::Serialize;

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, PackArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, list};

pub(super) fn pack(args: &PackArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    match &args.check {
        Some(plans) => check(args, plans, out),
        None => plans(args, out),
    }
}

/// One line a plan: for programs by default, because a plan of numbers is for them.
fn plans(args: &PackArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    for plan in actions::pack_instances(&args.instance)? {
        if out.format() == Format::Plain {
            let close = if plan.proven {
                ""
            } else {
                "; not proven that none uses fewer"
            };
            out.line(&format!(
                "{}: {} packages; no plan can use fewer than {} ({}){close}",
                plan.name, plan.count, plan.lower_bound, plan.bound_by
            ))?;
        } else {
            line_of_json(out, &plan)?;
        }
    }
    Ok(Exit::Done)
}

fn check(
    args: &PackArgs,
    plans: &std::path::Path,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    let judged = actions::check_plans(&args.instance, plans)?;
    for plan in &judged {
        if out.format() == Format::Json {
            line_of_json(out, plan)?;
            continue;
        }
        let packages = plan
            .packages
            .map_or(String::new(), |count| format!(", {count} packages"));
        let word = if plan.holds { "HOLDS" } else { "DOES NOT HOLD" };
        list(
            out,
            &format!("{word}: {}{packages}", plan.name),
            &plan.faults,
        )?;
        if plan.faults.is_empty() {
            out.line(&format!("{word}: {}{packages}", plan.name))?;
        }
    }
    Ok(if judged.iter().all(|plan| plan.holds) {
        Exit::Done
    } else {
        Exit::No
    })
}

fn line_of_json(out: &mut dyn Answer, value: &impl Serialize) -> io::Result<()> {
    out.line(&serde_json::to_string(value).map_err(io::Error::other)?)
}
