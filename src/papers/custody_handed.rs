//! Rows of the custody table for hand-overs that only the `released` entry knows of: the crew's
//! own entry of signing over is not in the record, or a site sent on what it had received.

use std::collections::BTreeMap;

use super::custody::{CustodyRow, Event, ItemKind, SealState};
use super::names::{module_name, package_name};
use crate::custody::{
    CARRIED_ON, CONSIGNMENT_OPENED, CarriedOn, ConsignmentOpened, HandedModule, HandedPackage,
    Handover, Organisation, RELEASED,
};
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
        rows.extend(rows_of(&handover, log, entry));
    }
    rows
}

/// One row for each module and package of a hand-over.
fn rows_of(handover: &Handover, log: &Log, entry: &LogEntry) -> Vec<CustodyRow> {
    let modules = handover
        .modules()
        .filter_map(|(package, module)| row(handover, log, entry, package, Some(module)));
    let packages = handover
        .packages
        .iter()
        // A module that stands in nothing is no package.
        .filter(|package| !package.id.is_empty())
        .filter_map(|package| row(handover, log, entry, package, None));
    modules.chain(packages).collect()
}

/// The rows of a load that a site sent on: how each module came to the site, and the hand-over.
pub(super) fn onward_rows(log: &Log) -> Vec<CustodyRow> {
    let mut rows = Vec::new();
    let mut site = None;
    let mut jobs = BTreeMap::new();
    for entry in log.entries() {
        let body = || entry.body.clone();
        match entry.kind.as_str() {
            CONSIGNMENT_OPENED => {
                let opened: Option<ConsignmentOpened> = serde_json::from_value(body()).ok();
                site = opened.map(|opened| opened.from);
            }
            CARRIED_ON => {
                let came: Option<CarriedOn> = serde_json::from_value(body()).ok();
                let Some((came, site)) = came.zip(site.as_ref()) else {
                    continue;
                };
                rows.extend(came_row(&came, site, log, entry));
                jobs.insert(came.identity, came.job);
            }
            RELEASED => {
                let handover: Option<Handover> = serde_json::from_value(body()).ok();
                let gone = handover.iter().flat_map(|one| rows_of(one, log, entry));
                rows.extend(gone.map(|mut row| {
                    // A module keeps the name that its first job gave it.
                    if let Some(job) = jobs.get(&row.item_id)
                        && row.item_kind == ItemKind::Module
                    {
                        row.item_uri = module_name(job, &row.item_id);
                    }
                    row
                }));
            }
            _ => {}
        }
    }
    rows
}

/// The receipt of a module that was sent on.
fn came_row(
    came: &CarriedOn,
    site: &Organisation,
    log: &Log,
    entry: &LogEntry,
) -> Option<CustodyRow> {
    let released = came.released.as_ref();
    let answers = released.map_or_else(String::new, |leaf| {
        format!(", answers entry {} of {}", leaf.seq, leaf.log)
    });
    Some(CustodyRow {
        event_id: entry.id.clone(),
        item_id: came.identity.clone(),
        item_kind: ItemKind::Module,
        event: Event::Received,
        at: came.received_at,
        place: format!("{}, {}", site.name, site.address),
        released_by: Some(came.received_from.clone()),
        received_by: Some(site.name.clone()),
        purpose: String::new(),
        condition: String::new(),
        seal_number: None,
        seal_state: None,
        state_of_charge_low_percent: None,
        state_of_charge_high_percent: None,
        voltage_v: None,
        surface_temperature_c: None,
        net_mass_kg: None,
        reason: format!(
            "receipt {} of hand-over {} of job {}{answers}",
            came.receipt, came.handover, came.job
        ),
        amends: None,
        evidence_sha256: came
            .photos
            .iter()
            .map(|photo| photo.sha256.clone())
            .collect(),
        ledger_log: log.origin().to_owned(),
        ledger_seq: entry.seq,
        leaf_hash: to_hex(&log.leaf(entry.seq)?),
        item_uri: module_name(&came.job, &came.identity),
    })
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
