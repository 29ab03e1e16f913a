//! Rows of the custody table, taken from a job's entries and the log they stand in.

use super::custody::{CustodyRow, Event, ItemKind, SealState};
use super::custody_handed::handed_rows;
use super::manifest_of::charge_range;
use super::names::{module_name, package_code};
use crate::job::{Job, record_entries};
use crate::ledger::{Log, to_hex};
use crate::procedure::{Act, Entry, Kind, Outcome};
use crate::units::{Decimal, Grams};

/// One row for each item of each event that moves, opens, closes or judges it.
pub(super) fn custody_rows(job: &Job, log: &Log) -> Vec<CustodyRow> {
    // Other entries, such as an issue of papers, may stand between those of the record.
    let places: Vec<u64> = record_entries(log).map(|entry| entry.seq).collect();
    let mut rows = Vec::new();
    for (n, taken) in job.taken().iter().enumerate() {
        let outcome = taken.judgement.outcome;
        let entry = &taken.entry;
        let counts = matches!(outcome, Outcome::Passed | Outcome::Recorded);
        if !counts {
            continue;
        }
        for (event, items) in events_of(job, n, entry) {
            for item in items {
                rows.extend(custody_row(job, log, &places, n, entry, event, item));
            }
        }
    }
    rows.extend(handed_rows(job, log));
    rows
}

/// An item of an event.
#[derive(Debug, Clone, PartialEq, Eq)]
enum CustodyItem {
    Module(usize),
    Package(String),
}

/// What an entry did in terms of custody, and to which items.
fn events_of(job: &Job, n: usize, entry: &Entry) -> Vec<(Event, Vec<CustodyItem>)> {
    let frame = job.frame();
    let module = entry
        .module
        .as_deref()
        .and_then(|id| frame.module_number(id));
    let one = |module: usize| vec![CustodyItem::Module(module)];
    match entry.kind {
        Kind::LeftBehind => module
            .map(|m| (Event::LeftBehind, one(m)))
            .into_iter()
            .collect(),
        Kind::Correction => {
            let number = entry.amends.map_or(0, |number| number as usize);
            let old = job.progress().entry(number);
            let module = old
                .and_then(|old| old.module.as_deref())
                .and_then(|id| frame.module_number(id));
            module
                .map(|m| (Event::Corrected, one(m)))
                .into_iter()
                .collect()
        }
        Kind::Step => {
            let Some(step) = entry.step.as_deref().and_then(|id| frame.step(id)) else {
                return Vec::new();
            };
            let everything = || {
                let contents = job.contents();
                contents
                    .iter()
                    .flat_map(|c| c.modules.iter().map(|m| CustodyItem::Module(*m)))
                    .chain(
                        contents
                            .iter()
                            .map(|c| CustodyItem::Package(c.package.clone())),
                    )
                    .collect::<Vec<_>>()
            };
            step.acts
                .iter()
                .filter_map(|act| match (act, module) {
                    (Act::LiftModule, Some(m)) => Some((Event::Removed, one(m))),
                    (Act::Judge, Some(m)) => Some((Event::Inspected, one(m))),
                    (Act::Pack, Some(m)) => Some((Event::Packed, one(m))),
                    (Act::EnterOnManifest, Some(m)) => {
                        // A package is sealed once, with the last module that goes into it.
                        let package = job.sheet(m).package;
                        let package = package
                            .filter(|package| !more_goes_in(job, n, package))
                            .map(CustodyItem::Package);
                        Some((Event::Sealed, one(m).into_iter().chain(package).collect()))
                    }
                    (Act::Release, _) => Some((Event::Released, everything())),
                    (Act::Receive, _) => Some((Event::Received, everything())),
                    _ => None,
                })
                .collect()
        }
        _ => Vec::new(),
    }
}

/// The last reading of that name on a module in what had passed up to entry `n`, counted from 0.
fn reading_by(job: &Job, n: usize, module: usize, name: &str) -> Option<Decimal> {
    let id = job.frame().modules.get(module)?.id.as_str();
    (0..=n).rev().find_map(|at| {
        let passed = job.taken().get(at)?.judgement.outcome == Outcome::Passed;
        // As corrected since, where it was.
        let entry = job.progress().entry(at + 1)?;
        (passed && entry.module.as_deref() == Some(id)).then(|| entry.evidence.number(name))?
    })
}

/// Whether a later entry seals another module into the package.
fn more_goes_in(job: &Job, n: usize, package: &str) -> bool {
    let frame = job.frame();
    job.taken().iter().skip(n + 1).any(|later| {
        let entry = &later.entry;
        let seals = entry
            .step
            .as_deref()
            .and_then(|id| frame.step(id))
            .is_some_and(|step| step.does_act(Act::EnterOnManifest));
        let module = entry
            .module
            .as_deref()
            .and_then(|id| frame.module_number(id));
        seals
            && later.judgement.outcome == Outcome::Passed
            && module.is_some_and(|m| job.sheet(m).package.as_deref() == Some(package))
    })
}

/// The person named under `name` and the firm: as written down, else the plan's of the person
/// who made the entry.
fn party(job: &Job, entry: &Entry, name: &str) -> Option<String> {
    let who = entry.evidence.text(name)?;
    let by = job.frame().person(&entry.by);
    let firm = entry
        .evidence
        .text("received_by_organisation")
        .or_else(|| by.filter(|by| by.name == who)?.organisation.as_deref());
    Some(firm.map_or_else(|| who.to_owned(), |firm| format!("{who}, {firm}")))
}

/// Who had the goods before they were received: whoever signed for them at the release.
fn carried_by(job: &Job) -> Option<String> {
    let plan = job.plan();
    job.progress()
        .passed_doing(job.frame(), Act::Release, None)
        .last()
        .and_then(|release| party(job, release, "received_by_name"))
        .or_else(|| {
            Some(
                plan.carrier
                    .as_ref()
                    .unwrap_or(&plan.consignor)
                    .name
                    .clone(),
            )
        })
}

fn custody_row(
    job: &Job,
    log: &Log,
    places: &[u64],
    n: usize,
    entry: &Entry,
    event: Event,
    item: CustodyItem,
) -> Option<CustodyRow> {
    let plan = job.plan();
    let frame = job.frame();
    let seq = *places.get(n)?;
    let logged = log.entry(seq)?;
    let name = |id: &str| frame.name_of(id).to_owned();
    let handed = matches!(event, Event::Released | Event::Received);
    let (released_by, received_by) = match event {
        Event::Removed => (Some(plan.site.name.clone()), Some(name(&entry.by))),
        Event::Released => (
            entry
                .evidence
                .text("released_by_name")
                .map(str::to_owned)
                .or_else(|| Some(plan.consignor.name.clone())),
            party(job, entry, "received_by_name"),
        ),
        Event::Received => (
            entry
                .evidence
                .text("released_by_name")
                .map(str::to_owned)
                .or_else(|| carried_by(job)),
            party(job, entry, "received_by_name"),
        ),
        _ => (None, None),
    };
    let sheet = match &item {
        CustodyItem::Module(module) => Some(job.sheet(*module)),
        CustodyItem::Package(_) => None,
    };
    let contents = job.contents();
    let package = match &item {
        CustodyItem::Module(_) => None,
        CustodyItem::Package(id) => contents.iter().find(|one| one.package == *id),
    };
    let seal = match event {
        Event::Sealed | Event::Released | Event::Received => sheet
            .as_ref()
            .and_then(|sheet| sheet.seal.clone())
            .or_else(|| package.and_then(|package| package.seal.clone())),
        _ => None,
    };
    let intact = entry
        .evidence
        .yes_no("seals_intact")
        .or(entry.evidence.yes_no("seals_match"));
    let seal_state = seal.as_ref().map(|_| match (event, intact) {
        (Event::Sealed, _) | (_, Some(true)) => SealState::Intact,
        (_, Some(false)) => SealState::Broken,
        (_, None) => SealState::NotChecked,
    });
    let worst = package.map(|package| package.modules.iter().map(|m| job.soundness(*m)).max());
    let condition = match (&item, worst) {
        (CustodyItem::Module(module), _) => job.soundness(*module).word().to_owned(),
        (_, Some(Some(worst))) => format!("contents {worst}"),
        _ => String::new(),
    };
    let charge = match &item {
        CustodyItem::Module(module) => charge_range(job, *module),
        CustodyItem::Package(_) => None,
    };
    let net_mass_kg = match (&item, package) {
        (CustodyItem::Module(module), _) => job.net_mass(*module),
        (_, Some(package)) => package
            .modules
            .iter()
            .map(|module| job.net_mass(*module))
            .try_fold(Grams::default(), |sum, mass| sum.plus(mass?)),
        _ => None,
    };
    let who = match entry.with.as_deref() {
        Some(with) => format!("{} with {}", name(&entry.by), name(with)),
        None => name(&entry.by),
    };
    let what = entry
        .step
        .clone()
        .unwrap_or_else(|| entry.kind.name().replace('_', " "));
    let reason = match entry.reason.as_deref().filter(|reason| !reason.is_empty()) {
        Some(reason) => format!("{what} by {who}: {reason}"),
        None => format!("{what} by {who}"),
    };
    // A row shows what was known when it happened, not what was read later.
    let reading = |name: &str| match item {
        CustodyItem::Module(module) if !handed => reading_by(job, n, module, name),
        _ => None,
    };
    let item_uri = match &item {
        CustodyItem::Module(module) => module_name(&plan.job, &job.identity(*module).0),
        CustodyItem::Package(id) => package_code(job, id).square(),
    };
    let voltage_v = reading("terminal_voltage_v");
    let surface_temperature_c = reading("face_temperature_c");
    Some(CustodyRow {
        event_id: logged.id.clone(),
        item_id: match &item {
            CustodyItem::Module(module) => job.identity(*module).0,
            CustodyItem::Package(id) => id.clone(),
        },
        item_kind: match item {
            CustodyItem::Module(_) => ItemKind::Module,
            CustodyItem::Package(_) => ItemKind::Package,
        },
        event,
        at: entry.at,
        place: entry.evidence.text("place").map_or_else(
            || match event {
                Event::Received => format!("{}, {}", plan.consignee.name, plan.consignee.address),
                _ => format!("{}, {}", plan.site.name, plan.site.address),
            },
            str::to_owned,
        ),
        released_by,
        received_by,
        purpose: plan.purpose.words().to_owned(),
        condition,
        seal_number: seal,
        seal_state,
        state_of_charge_low_percent: charge.as_ref().map(|charge| charge.low_percent),
        state_of_charge_high_percent: charge.as_ref().map(|charge| charge.high_percent),
        voltage_v,
        surface_temperature_c,
        net_mass_kg,
        reason,
        amends: entry
            .amends
            .and_then(|number| places.get((number as usize).checked_sub(1)?))
            .and_then(|seq| log.entry(*seq))
            .map(|old| old.id.clone()),
        evidence_sha256: entry
            .photos
            .iter()
            .filter_map(|photo| photo.sha256.clone())
            .collect(),
        ledger_log: log.origin().to_owned(),
        ledger_seq: seq,
        leaf_hash: to_hex(&log.leaf(seq)?),
        item_uri,
    })
}
