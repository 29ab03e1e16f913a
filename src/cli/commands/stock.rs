//! `packdown stock`.

use std::path::Path;

use crate::actions::{self, ActionError, CertificateSaid, StockShown};
use crate::cli::advice::CommandError;
use crate::cli::args::Format;
use crate::cli::dock_args::{
    CertificateArgs, ConsolidateArgs, DispatchArgs, MoveArgs, StockArgs, StockCommand,
};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, granted, json, list, paragraph, reasons, running, table};
use crate::clock::Moment;
use crate::custody::{AmountShown, Dispatched};
use crate::store::{RegisterFolder, StoreError};

pub(super) fn stock(args: &StockArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    match &args.command {
        Some(StockCommand::Move(args)) => move_to(args, out),
        Some(StockCommand::Consolidate(args)) => consolidate(args, out),
        Some(StockCommand::Dispatch(args)) => dispatch(args, out),
        Some(StockCommand::Certificate(args)) => certificate(args, out),
        None => show(args, out),
    }
}

fn show(args: &StockArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let now = args.at.unwrap_or_else(|| Moment::present().whole_seconds());
    let folder = RegisterFolder::at(&args.register);
    if let Some(path) = &args.fire_page {
        let page = actions::fire_page(&folder, now, args.language, args.stock.map(Into::into))?;
        let is_pdf = path
            .extension()
            .is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
        let bytes = if is_pdf {
            page.pdf()
        } else {
            page.html(None).map(String::into_bytes)
        };
        write(path, &bytes.map_err(ActionError::from)?)?;
        if out.format() == Format::Json {
            json(out, &page)?;
        } else {
            out.text(&page.text())?;
            out.line(&format!("Written to {}", path.display()))?;
        }
        return Ok(Exit::Done);
    }
    if let Some(path) = &args.epcis {
        write(path, actions::received_events(&folder, now)?.as_bytes())?;
        out.line(&match out.format() {
            Format::Json => serde_json::json!({ "written": path }).to_string(),
            _ => format!("Written to {}", path.display()),
        })?;
        return Ok(Exit::Done);
    }
    if let (Some(name), Some(into)) = (&args.receipt, &args.out) {
        let written = match actions::print_receipt(
            &folder,
            name,
            into,
            args.language,
            args.stock.map(Into::into),
        )? {
            Ok(written) => written,
            Err(why) => return Ok(granted(out, Err(why), "")?),
        };
        if out.format() == Format::Json {
            json(out, &serde_json::json!({ "written": written }))?;
        } else {
            for file in &written {
                out.line(&format!("Written to {}", file.display()))?;
            }
        }
        return Ok(Exit::Done);
    }
    let found = actions::stock(&folder, now)?;
    if out.format() == Format::Json {
        json(out, &found)?;
    } else {
        text(&found, args.items, out)?;
    }
    Ok(if found.is_out_of_order() {
        Exit::No
    } else {
        Exit::Done
    })
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), CommandError> {
    std::fs::write(path, bytes).map_err(|why| {
        CommandError::Store(StoreError::File {
            path: path.to_path_buf(),
            why,
        })
    })
}

fn with_unknown(value: &impl ToString, unknown: u32) -> String {
    match unknown {
        0 => value.to_string(),
        some => format!("{} + {some} ?", value.to_string()),
    }
}

fn amounts(amount: &AmountShown) -> [String; 4] {
    [
        amount.pieces.to_string(),
        with_unknown(&amount.mass_kg, amount.mass_unknown),
        with_unknown(&amount.energy_kwh, amount.energy_unknown),
        with_unknown(&amount.volume_m3, amount.volume_unknown),
    ]
}

fn text(found: &StockShown, items: bool, out: &mut dyn Answer) -> Result<(), CommandError> {
    out.line(&format!("{}, {}", found.site, found.at))?;
    let of = |value: String, limit: Option<String>| match limit {
        Some(limit) => format!("{value} of {limit}"),
        None => value,
    };
    let rows = found
        .bays
        .iter()
        .map(|bay| {
            let [pieces, kg, kwh, m3] = amounts(&bay.amount);
            let most = &bay.limits;
            vec![
                bay.bay.clone(),
                bay.kind.to_owned(),
                of(pieces, most.pieces.map(|v| v.to_string())),
                of(kg, most.mass_kg.map(|v| v.decimal().to_string())),
                of(kwh, most.energy_kwh.map(|v| v.to_string())),
                of(m3, most.volume_m3.map(|v| v.to_string())),
                bay.oldest.map(|day| day.to_string()).unwrap_or_default(),
            ]
        })
        .chain([{
            let [pieces, kg, kwh, m3] = amounts(&found.all);
            vec![
                "in all".into(),
                String::new(),
                pieces,
                kg,
                kwh,
                m3,
                String::new(),
            ]
        }]);
    table(
        out,
        &["bay", "kind", "pieces", "kg", "kWh", "m3", "oldest"],
        rows,
    )?;
    if found.all.mass_unknown + found.all.energy_unknown + found.all.volume_unknown > 0 {
        out.line("?: pieces of which it is not known")?;
    }
    if items {
        table(
            out,
            &["module", "from", "bay", "is", "last day", "Wh"],
            found.items.iter().map(|item| {
                vec![
                    item.identity.clone(),
                    match &item.unit {
                        Some(unit) => format!("{}, unit {unit}", item.package),
                        None => item.package.clone(),
                    },
                    item.bay.clone().unwrap_or_else(|| "dock".into()),
                    if item.held {
                        format!("{}, held", item.soundness)
                    } else {
                        item.soundness.to_owned()
                    },
                    item.last_day
                        .as_ref()
                        .map(|(day, ..)| day.to_string())
                        .unwrap_or_default(),
                    item.rated_energy_wh.clone().unwrap_or_default(),
                ]
            }),
        )?;
    }
    if !found.limits.is_empty() {
        out.line("LIMITS:")?;
        reasons(out, &found.limits)?;
    }
    let ending: Vec<String> = found
        .ending
        .iter()
        .filter_map(|item| {
            let (day, left, why) = item.last_day.as_ref()?;
            let left = if *left < 0 {
                format!("OVER by {} days", -left)
            } else {
                format!("{left} days left")
            };
            Some(format!("{}: {left}, last day {day}: {why}", item.identity))
        })
        .collect();
    list(out, "Stays that end:", &ending)?;
    running(out, &found.discrepancies)?;
    list(out, "Receipts that are open:", &found.open_receipts)?;
    list(
        out,
        "Storage duties, Regulation (EU) 2023/1542, Annex XII part A (second-hand):",
        &found.duties,
    )?;
    list(out, "ENTRIES THAT CANNOT BE:", &found.misfits)?;
    paragraph(
        out,
        "",
        "Energy counts as full. Limits are those of site.json; a named competent person answers \
         for them.",
    )?;
    Ok(())
}

fn move_to(args: &MoveArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = ActionError::in_time(args.pen.at)?;
    let folder = RegisterFolder::at(&args.pen.register);
    let given = actions::move_stock(&folder, &args.what, &args.to, &args.pen.by, at)?;
    let done = format!("moved to {}: {}", args.to, args.what.join(", "));
    Ok(granted(out, given, &done)?)
}

fn consolidate(args: &ConsolidateArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = ActionError::in_time(args.pen.at)?;
    let given = actions::consolidate_stock(
        &RegisterFolder::at(&args.pen.register),
        &args.what,
        &args.unit,
        args.seal.as_deref(),
        &args.pen.by,
        at,
    )?;
    let done = format!("unit {}: {}", args.unit, args.what.join(", "));
    Ok(granted(out, given, &done)?)
}

fn dispatch(args: &DispatchArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = ActionError::in_time(args.pen.at)?;
    let said = |text: &Option<String>| text.clone().unwrap_or_default();
    let going = Dispatched {
        identities: Vec::new(),
        to: said(&args.to),
        address: said(&args.address),
        released_by: args.pen.by.clone(),
        taken_by: said(&args.taken_by),
        purpose: args.purpose.clone(),
    };
    let folder = RegisterFolder::at(&args.pen.register);
    let place = args.out.as_deref();
    let given = match args.rewrite {
        Some(number) => actions::rewrite_dispatch(&folder, number, place)?,
        None => actions::dispatch_stock(&folder, &args.what, &going, at, place)?,
    };
    let sent = match given {
        Ok(sent) => sent,
        Err(why) => return Ok(granted(out, Err(why), "")?),
    };
    if out.format() == Format::Json {
        json(out, &sent)?;
        return Ok(Exit::Done);
    }
    let handover = &sent.handover;
    out.line(&format!(
        "{}: {} modules gone to {}, given by {}, taken by {}",
        handover.job,
        handover.modules().count(),
        handover.to.name,
        handover.released_by,
        handover.taken_by
    ))?;
    for package in &handover.packages {
        let modules: Vec<&str> = package
            .modules
            .iter()
            .map(|module| module.identity.as_str())
            .collect();
        let of = match (package.id.as_str(), &package.seal) {
            ("", _) => "loose".to_owned(),
            (id, Some(seal)) => format!("{id}, seal {seal}"),
            (id, None) => id.to_owned(),
        };
        out.line(&format!("  {of}: {}", modules.join(", ")))?;
    }
    out.line(&format!("Bundle  {}", sent.bundle.display()))?;
    out.line(&format!(
        "Log     {} entries, root {}",
        sent.size, sent.root
    ))?;
    if sent.demo {
        out.line("Signed with the public demo key, which proves nothing.")?;
    }
    paragraph(
        out,
        "",
        "The papers of this leg are made and signed by whoever is competent for it; this bundle is \
         the custody, not a transport document.",
    )?;
    Ok(Exit::Done)
}

fn certificate(args: &CertificateArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let at = ActionError::in_time(args.pen.at)?;
    let said = CertificateSaid {
        list: args.list.clone(),
        document: args.document.clone(),
        number: args.number.clone(),
        treater: args.treater.clone(),
        issued_on: args.issued_on,
        treatment: args.treatment.clone(),
    };
    let folder = RegisterFolder::at(&args.pen.register);
    let found = match actions::take_certificate(&folder, &said, &args.pen.by, at)? {
        Ok(found) => found,
        Err(why) => return Ok(granted(out, Err(why), "")?),
    };
    let taken = &found.certificate;
    let whole = taken.never_sent.is_empty() && taken.named_before.is_empty();
    let exit = if whole { Exit::Done } else { Exit::No };
    if out.format() == Format::Json {
        json(out, &found)?;
        return Ok(exit);
    }
    out.line(&format!(
        "Certificate {} of {} kept: {} serials, {} of them left this site",
        taken.number,
        taken.treater,
        taken.serials.len(),
        found.matched
    ))?;
    list(out, "On it, and never sent from here:", &taken.never_sent)?;
    list(
        out,
        "On it, and named by another certificate before:",
        &taken.named_before,
    )?;
    let waiting: Vec<String> = found
        .waiting
        .iter()
        .map(|(identity, left)| format!("{identity}, left {left}"))
        .collect();
    list(
        out,
        "Sent for treatment, and on no certificate yet:",
        &waiting,
    )?;
    Ok(exit)
}
