//! `packdown pack`: a job or bare instances in, plans out; or plans in, faults out.

use std::io;
use std::path::Path;

use serde::Serialize;

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, PackArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list, paragraph, reasons, table};
use crate::packing::{Haul, Load};
use crate::store::JobFolder;

pub(super) fn pack(args: &PackArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    match (&args.job, &args.instance, &args.check) {
        (_, Some(instances), Some(plans)) => check(instances, plans, out),
        (_, Some(instances), None) => plans(instances, out),
        (Some(job), None, Some(plan)) => {
            let faults = actions::check_job_plan(&JobFolder::at(job), tables(args), plan)?;
            judged(&faults, out)
        }
        (Some(job), None, None) => {
            let load = actions::pack_job(&JobFolder::at(job), tables(args))?;
            load_of(&load, out)
        }
        (None, None, _) => Err(CommandError::Argument(
            "give a job, or --instance FILE".into(),
        )),
    }
}

fn tables(args: &PackArgs) -> actions::PackTables<'_> {
    actions::PackTables {
        stock: args.stock.as_deref(),
        carriers: args.carriers.as_deref(),
        modules: args.modules.as_deref(),
    }
}

fn load_of(load: &Load, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let exit = if load.not_packed.is_empty() && load.count > 0 {
        Exit::Done
    } else {
        Exit::No
    };
    if out.format() == Format::Json {
        json(out, load)?;
        return Ok(exit);
    }
    if load.count > 0 {
        let close = if load.proven {
            ""
        } else {
            "; not proven that none uses fewer"
        };
        out.line(&format!(
            "{}: {} {}; no plan with this stock can use fewer than {}{close}",
            load.job,
            load.count,
            if load.count == 1 {
                "package"
            } else {
                "packages"
            },
            load.lower_bound
        ))?;
        packages_of(load, out)?;
    } else if load.not_packed.is_empty() {
        out.line(&format!(
            "{}: nothing to pack; no module is off the wall yet",
            load.job
        ))?;
    } else {
        out.line(&format!("{}: no package can be planned", load.job))?;
    }
    whys(
        out,
        load.packages.iter().flat_map(|package| {
            let placements = package.placements.iter();
            placements.map(|one| (&package.id, &one.module, &one.why))
        }),
    )?;
    // Modules that are left out for the same reasons are said in one go.
    for alike in load.not_packed.chunk_by(|a, b| a.reasons == b.reasons) {
        let names: Vec<&str> = alike.iter().map(|one| one.module.as_str()).collect();
        paragraph(out, "", &format!("NOT PACKED: {}", names.join(", ")))?;
        if let Some(first) = alike.first() {
            reasons(out, &first.reasons)?;
        }
    }
    for one in &load.passed_over {
        out.line(&format!("NOT USED: {}", one.packaging))?;
        reasons(out, &one.reasons)?;
    }
    list(out, "When packing:", &load.duties)?;
    match &load.haul {
        None => Ok(exit),
        Some(haul) => {
            haul_of(haul, out)?;
            Ok(if haul.not_carried.is_empty() {
                exit
            } else {
                Exit::No
            })
        }
    }
}

/// What stands where, and what each package weighs. Layers are shown where there are any.
fn packages_of(load: &Load, out: &mut dyn Answer) -> io::Result<()> {
    let layers = load.packages.iter().any(|package| package.dividers > 0);
    let rows = load.packages.iter().flat_map(|package| {
        package.placements.iter().map(move |one| {
            let mut row = vec![
                package.id.clone(),
                package.packaging.clone(),
                one.module.clone(),
            ];
            if layers {
                let (layer, of) = package.layer_of(one);
                row.push(format!("{layer} of {of}"));
                row.push(format!("{}, {}, {}", one.x_mm, one.y_mm, one.z_mm));
            } else {
                row.push(format!("{}, {}", one.x_mm, one.y_mm));
            }
            row.push(format!(
                "{} x {} x {}",
                one.length_mm, one.width_mm, one.height_mm
            ));
            row
        })
    });
    let mut heads = vec!["package", "packaging", "module", "at mm", "stands mm"];
    if layers {
        heads.insert(3, "layer");
    }
    table(out, &heads, rows)?;
    let rows = load.packages.iter().map(|package| {
        let mut row = vec![
            package.id.clone(),
            package.placements.len().to_string(),
            package.net_mass_kg.decimal().to_string(),
            package.gross_mass_kg.decimal().to_string(),
            package
                .rated_energy_wh
                .map_or("not known".into(), |energy| energy.decimal().to_string()),
        ];
        if layers {
            row.insert(2, package.dividers.to_string());
        }
        row
    });
    let mut heads = vec!["package", "modules", "net kg", "gross kg", "energy Wh"];
    if layers {
        heads.insert(2, "dividers");
    }
    table(out, &heads, rows)
}

/// Why each thing is where it is; things with one reason together.
fn whys<'a>(
    out: &mut dyn Answer,
    all: impl Iterator<Item = (&'a String, &'a String, &'a String)>,
) -> io::Result<()> {
    let mut said: Vec<(&String, Vec<&str>, &String)> = Vec::new();
    for (place, what, why) in all {
        match said.last_mut() {
            Some((before, things, reason)) if *before == place && *reason == why => {
                things.push(what);
            }
            _ => said.push((place, vec![what], why)),
        }
    }
    let said: Vec<String> = said
        .iter()
        .map(|(place, things, why)| format!("{place}, {}: {why}", things.join(", ")))
        .collect();
    list(out, "Why:", &said)
}

fn haul_of(haul: &Haul, out: &mut dyn Answer) -> Result<(), CommandError> {
    for (what, counted) in [
        ("Pallets and overpacks", haul.handling_units),
        ("Vehicles", haul.vehicles),
    ] {
        if counted.count > 0 {
            let close = if counted.proven {
                ""
            } else {
                "; not proven that none uses fewer"
            };
            out.line(&format!(
                "{what}: {}; no plan with these carriers can use fewer than {}{close}",
                counted.count, counted.lower_bound
            ))?;
        }
    }
    let rows = haul.carried.iter().flat_map(|carried| {
        carried.stands.iter().map(|one| {
            vec![
                carried.id.clone(),
                carried.carrier.clone(),
                one.what.clone(),
                format!("{}, {}, {}", one.x_mm, one.y_mm, one.z_mm),
                format!("{} x {} x {}", one.length_mm, one.width_mm, one.height_mm),
            ]
        })
    });
    table(out, &["on", "carrier", "stands", "at mm", "size mm"], rows)?;
    let rows = haul.carried.iter().map(|carried| {
        let points = match (carried.points, carried.small_load) {
            (Some(points), Some(true)) => format!("{points}, a small load"),
            (Some(points), _) => format!("{points}, NOT a small load"),
            (None, _) => String::new(),
        };
        vec![
            carried.id.clone(),
            carried.load_kg.decimal().to_string(),
            carried.gross_kg.decimal().to_string(),
            points,
        ]
    });
    table(out, &["on", "load kg", "gross kg", "points"], rows)?;
    whys(
        out,
        haul.carried.iter().flat_map(|carried| {
            let stands = carried.stands.iter();
            stands.map(|one| (&carried.id, &one.what, &one.why))
        }),
    )?;
    for one in &haul.not_carried {
        out.line(&format!("NOT CARRIED: {}", one.what))?;
        reasons(out, &one.reasons)?;
    }
    for carried in &haul.carried {
        list(out, &format!("For {}:", carried.id), &carried.duties)?;
    }
    Ok(())
}

fn judged(faults: &[String], out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let holds = faults.is_empty();
    if out.format() == Format::Json {
        json(
            out,
            &serde_json::json!({ "holds": holds, "faults": faults }),
        )?;
    } else if holds {
        out.line("HOLDS")?;
    } else {
        list(out, "DOES NOT HOLD", faults)?;
    }
    Ok(if holds { Exit::Done } else { Exit::No })
}

/// One line a plan: for programs by default, because a plan of numbers is for them.
fn plans(instances: &Path, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    for plan in actions::pack_instances(instances)? {
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

fn check(instances: &Path, plans: &Path, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let judged = actions::check_plans(instances, plans)?;
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
