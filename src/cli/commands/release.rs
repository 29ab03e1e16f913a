//! `packdown release`.

use std::path::Path;

use crate::actions::{self, ActionError, ReleaseSaid, Released};
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, ReleaseArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, paragraph, reasons, table};
use crate::cli::typed::{keys, moment};
use crate::custody::Keeping;
use crate::store::JobFolder;
use crate::units::Decimal;

pub(super) fn release(args: &ReleaseArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let folder = JobFolder::at(&args.job);
    if let Some(file) = &args.cosigned {
        return cosigned(args, &folder, file, out);
    }
    let result = match args.rewrite {
        Some(number) => actions::rewrite_bundle(&folder, number, args.out.as_deref()),
        None => actions::release(&folder, &said(args)?),
    };
    let (refused, missing) = match result {
        Ok(released) => {
            shown(&released, args.rewrite.is_some(), out)?;
            return Ok(Exit::Done);
        }
        Err(ActionError::NotReleased { refused, missing }) => (refused, missing),
        Err(error) => return Err(error.into()),
    };
    if out.format() == Format::Json {
        json(
            out,
            &serde_json::json!({ "released": false, "refused": refused, "missing": missing }),
        )?;
    } else {
        out.line("NOT handed over; nothing was written.")?;
        if !refused.is_empty() {
            out.line("Against it:")?;
            reasons(out, &refused)?;
        }
        if !missing.is_empty() {
            out.line("Not known:")?;
            reasons(out, &missing)?;
        }
    }
    Ok(if refused.is_empty() {
        Exit::NotDetermined
    } else {
        Exit::No
    })
}

fn shown(released: &Released, again: bool, out: &mut dyn Answer) -> Result<(), CommandError> {
    if out.format() == Format::Json {
        json(out, released)?;
        return Ok(());
    }
    let handover = &released.handover;
    out.line(&format!(
        "{} {} of job {}: {} packages, {} modules",
        if again {
            "Bundle written again for hand-over"
        } else {
            "Handed over, number"
        },
        handover.number,
        handover.job,
        handover.packages.len(),
        handover.modules().count()
    ))?;
    let firm = handover.taken_by_organisation.as_ref();
    let firm = firm.map_or_else(String::new, |firm| format!(", {firm}"));
    out.line(&format!(
        "From {} to {}{firm}, for {}",
        handover.released_by, handover.taken_by, handover.to.name
    ))?;
    out.line(&format!("At {}, {}", handover.at, handover.place))?;
    let first = handover.packages.first().map(|package| &package.condition);
    let alike = handover
        .packages
        .iter()
        .all(|package| Some(&package.condition) == first);
    let rows = handover.packages.iter().map(|package| {
        let warm = |value: Decimal| format!("{value} C");
        vec![
            package.id.clone(),
            package.seal.clone().unwrap_or_default(),
            package.modules.len().to_string(),
            package
                .gross_mass_kg
                .map(|mass| format!("{mass} kg"))
                .unwrap_or_default(),
            match (package.surface_temperature_c, handover.warmest_c) {
                (Some(own), _) => warm(own),
                (None, Some(most)) => format!("at most {}", warm(most)),
                (None, None) => String::new(),
            },
            package.condition.clone(),
        ]
    });
    let heads = [
        "package",
        "seal",
        "modules",
        "gross",
        "surface",
        "condition",
    ];
    // What is said of all alike is said once.
    let columns = heads.len() - usize::from(alike);
    let rows = rows.map(|mut row| {
        row.truncate(columns);
        row
    });
    table(out, heads.get(..columns).unwrap_or(&heads), rows)?;
    if let Some(package) = handover.packages.first().filter(|_| alike) {
        paragraph(out, "Condition: ", &package.condition)?;
    }
    for (package, module) in handover.modules() {
        if let Some(hold) = &module.hold {
            out.line(&format!(
                "HOLD {} in {}: {hold}",
                module.identity, package.id
            ))?;
        }
    }
    out.line(&format!("Bundle  {}", released.bundle.display()))?;
    out.line(&format!(
        "Ledger  {} entries, root {}",
        released.size, released.root
    ))?;
    if released.demo {
        out.line("Signed with the public demo key, which proves nothing.")?;
    }
    out.line(
        "Give the bundle to the receiver, whose device signs what it saw with `packdown cosign`.",
    )?;
    Ok(())
}

fn cosigned(
    args: &ReleaseArgs,
    folder: &JobFolder,
    file: &Path,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    let taken = actions::take_cosignature(folder, file, &keys(&args.trust)?)?;
    if out.format() == Format::Json {
        json(out, &taken)?;
        return Ok(Exit::Done);
    }
    let cosigned = &taken.cosigned;
    out.line(&format!(
        "Cosigned by {} at {}: hand-over {}, {} entries, root {}",
        cosigned.by, cosigned.at, cosigned.handover, cosigned.size, cosigned.root
    ))?;
    if let Some(by) = &cosigned.taken {
        let competence = by.competence.as_deref();
        out.line(&format!(
            "Taken over by {}{}: {}",
            by.person,
            by.site
                .as_ref()
                .map_or_else(String::new, |site| format!(", {site}")),
            competence.unwrap_or("nobody looked whether that person may"),
        ))?;
    }
    out.line(&match taken.entry {
        Some(entry) => format!("Kept in the ledger as entry {entry}."),
        None => "It stood in the ledger already.".to_owned(),
    })?;
    if !taken.also_by.is_empty() {
        out.line(&format!(
            "CAREFUL: the same load was cosigned by {} too. Ask both who has it.",
            taken.also_by.join(", ")
        ))?;
    }
    Ok(Exit::Done)
}

fn said(args: &ReleaseArgs) -> Result<ReleaseSaid, CommandError> {
    let wrong = |what: String| CommandError::Argument(what);
    let kept = args.kept.as_deref().map(|name| {
        Keeping::named(name).ok_or_else(|| {
            let known: Vec<&str> = Keeping::ALL.into_iter().map(Keeping::name).collect();
            wrong(format!("--kept: `{name}` is none of {}", known.join(", ")))
        })
    });
    let seals = args.seal.iter().map(|pair| {
        pair.split_once('=')
            .map(|(package, seal)| (package.trim().to_owned(), seal.trim().to_owned()))
            .filter(|(package, seal)| !package.is_empty() && !seal.is_empty())
            .ok_or_else(|| wrong(format!("--seal: `{pair}` is not PACKAGE=SEAL")))
    });
    let temperatures = args.temperature.iter().map(|text| {
        let (package, number) = of_package(text);
        let number: Decimal = number
            .parse()
            .map_err(|error| wrong(format!("--temperature: {error}")))?;
        Ok::<_, CommandError>((package, number))
    });
    Ok(ReleaseSaid {
        to: args.to.clone(),
        to_address: args.to_address.clone(),
        to_country: args.to_country.clone(),
        by: args.by.clone(),
        taken_by: args.taken_by.clone(),
        taken_by_firm: args.taken_by_firm.clone(),
        vehicle: args.vehicle.clone(),
        place: args.place.clone(),
        at: args
            .at
            .as_deref()
            .map(|text| moment("--at", text))
            .transpose()?,
        kept: kept.transpose()?,
        count: args.count,
        packages: args.package.clone(),
        seals: seals.collect::<Result<_, _>>()?,
        conditions: args
            .condition
            .iter()
            .map(|text| {
                let (package, words) = of_package(text);
                (package, words.to_owned())
            })
            .collect(),
        temperatures: temperatures.collect::<Result<_, _>>()?,
        remarks: args.remarks.clone(),
        again: args.again.clone(),
        out: args.out.clone(),
    })
}

/// A value of one package, `P1=words`, or of all.
fn of_package(text: &str) -> (Option<String>, &str) {
    match text.split_once('=') {
        Some((package, value)) => (Some(package.trim().to_owned()), value.trim()),
        None => (None, text.trim()),
    }
}
