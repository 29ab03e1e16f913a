//! Rows of the custody table for hand-overs that only the `released` entry knows of: the crew's
//! own entry of signing over is not in the record.

use super::custody::{CustodyRow, Event, ItemKind, SealState};
use super::names::{module_name, package_name};
use crate::custody::{HandedModule, HandedPackage, Handover, RELEASED};
use crate::job::Job;
use crate::ledger::{Log, LogEntry, to_hex};
use crate::procedure::Act;
use crate::units::{Grams, MilliPercent};

/// One row for each module and package of each such hand-over.
pub(super) fn handed_rows(job: &Job, log: &Log) -> Vec<CustodyRow> {
    let signed_over = job
        .progress()
        .passed_doing(job.frame(), Act::Release, None)
        .next()
        .is_some();
    let mut rows = Vec::new();
    for entry in log.entries().iter().filter(|entry| entry.kind == RELEASED) {
        let body: Option<Handover> = serde_json::from_value(entry.body.clone()).ok();
        let Some(handover) = body.filter(|handover| handover.number > 1 || !signed_over) else {
            continue;
        };
        let modules = handover
            .modules()
            .filter_map(|(package, module)| row(&handover, log, entry, package, Some(module)));
        rows.extend(modules);
        let packages = handover
            .packages
            .iter()
            .filter_map(|package| row(&handover, log, entry, package, None));
        rows.extend(packages);
    }
    rows
}

fn row(
    handover: &Handover,
    log: &Log,
    entry: &LogEntry,
    package: &HandedPackage,
    module: Option<&HandedModule>,
) -> Option<CustodyRow> {
    let mass = module.map_or(package.net_mass_kg, |module| module.net_mass_kg);
    let percent = |value| MilliPercent::try_from(value).ok();
    let taken_by = match &handover.taken_by_organisation {
        Some(firm) => format!("{}, {firm}", handover.taken_by),
        None => handover.taken_by.clone(),
    };
    Some(CustodyRow {
        event_id: entry.id.clone(),
        item_id: module
            .map_or(&package.id, |module| &module.identity)
            .clone(),
        item_kind: match module {
            Some(_) => ItemKind::Module,
            None => ItemKind::Package,
        },
        event: Event::Released,
        at: handover.at,
        place: handover.place.clone(),
        released_by: Some(handover.released_by.clone()),
        received_by: Some(taken_by),
        purpose: handover.purpose.replace('_', " "),
        condition: match module {
            Some(module) => module.soundness.clone(),
            None => package.condition.clone(),
        },
        seal_number: package.seal.clone(),
        seal_state: package.seal.as_ref().map(|_| SealState::NotChecked),
        state_of_charge_low_percent: module.and_then(|m| percent(m.state_of_charge_low_percent?)),
        state_of_charge_high_percent: module.and_then(|m| percent(m.state_of_charge_high_percent?)),
        voltage_v: None,
        surface_temperature_c: match module {
            Some(_) => None,
            None => package.surface_temperature_c,
        },
        net_mass_kg: mass.and_then(|mass| Grams::try_from(mass).ok()),
        reason: match &handover.remarks {
            Some(remarks) => format!("hand-over {}: {remarks}", handover.number),
            None => format!("hand-over {}", handover.number),
        },
        amends: None,
        evidence_sha256: Vec::new(),
        ledger_log: log.origin().to_owned(),
        ledger_seq: entry.seq,
        leaf_hash: to_hex(&log.leaf(entry.seq)?),
        item_uri: match module {
            Some(module) => module_name(&handover.job, &module.identity),
            None => package_name(&handover.job, &package.id, package.sscc.as_deref()),
        },
    })
}
