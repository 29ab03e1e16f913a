//! Rows of the custody table, taken from a job's entries and the log they stand in.

use super::ChargeRange;
use super::custody::{CustodyRow, Event, ItemKind, SealState};
use super::custody_handed::handed_rows;
use super::manifest_of::charge_range;
use super::names::{module_name, package_code};
use crate::battery::Soundness;
use crate::job::{Contents, Job, record_entries};
use crate::ledger::{Log, to_hex};
use crate::procedure::{Act, Entry, Kind, Outcome};
use crate::units::{Decimal, Grams};

/// One row for each item of each event that moves, opens, closes or judges it.
pub(super) fn custody_rows(job: &Job, log: &Log) -> Vec<CustodyRow> {
    let told = Told::of(job, log);
    let mut rows = Vec::new();
    for (n, taken) in job.taken().iter().enumerate() {
        let outcome = taken.judgement.outcome;
        let entry = &taken.entry;
        let counts = matches!(outcome, Outcome::Passed | Outcome::Recorded);
        if !counts {
            continue;
        }
        for (event, items) in told.events_of(n, entry) {
            for item in items {
                rows.extend(told.row(n, entry, event, item));
            }
        }
    }
    rows.extend(handed_rows(job, log));
    rows
}

/// What the rows are taken from: what the entries amount to is summed up once for all rows.
struct Told<'a> {
    job: &'a Job,
    log: &'a Log,
    /// Place in the log of each entry of the record: others, such as an issue of papers, may stand
    /// between.
    places: Vec<u64>,
    modules: Vec<OfModule>,
    packages: Vec<Contents>,
}

/// What the entries say of a module.
struct OfModule {
    serial: String,
    soundness: Soundness,
    net_mass_kg: Option<Grams>,
    charge: Option<ChargeRange>,
    package: Option<String>,
    seal: Option<String>,
}

/// An item of an event.
#[derive(Debug, Clone, PartialEq, Eq)]
enum CustodyItem {
    Module(usize),
    Package(String),
}

impl<'a> Told<'a> {
    fn of(job: &'a Job, log: &'a Log) -> Self {
        let of_module = |module| {
            let charge = job.state_of_charge(module);
            OfModule {
                serial: job.identity(module).0,
                soundness: job.soundness_by(module, &charge),
                net_mass_kg: job.net_mass(module),
                charge: charge_range(charge),
                package: job.package_of(module),
                seal: job.seal_of(module),
            }
        };
        Self {
            job,
            log,
            places: record_entries(log).map(|entry| entry.seq).collect(),
            modules: (0..job.frame().modules.len()).map(of_module).collect(),
            packages: job.contents(),
        }
    }

    /// What an entry did in terms of custody, and to which items.
    fn events_of(&self, n: usize, entry: &Entry) -> Vec<(Event, Vec<CustodyItem>)> {
        let job = self.job;
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
                    self.packages
                        .iter()
                        .flat_map(|c| c.modules.iter().map(|m| CustodyItem::Module(*m)))
                        .chain(
                            self.packages
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
                            let package = self.modules.get(m).and_then(|one| one.package.clone());
                            let package = package
                                .filter(|package| !self.more_goes_in(n, package))
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

    /// Whether a later entry seals another module into the package.
    fn more_goes_in(&self, n: usize, package: &str) -> bool {
        let job = self.job;
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
                && module
                    .and_then(|m| self.modules.get(m))
                    .is_some_and(|m| m.package.as_deref() == Some(package))
        })
    }

    fn row(&self, n: usize, entry: &Entry, event: Event, item: CustodyItem) -> Option<CustodyRow> {
        let (job, log) = (self.job, self.log);
        let plan = job.plan();
        let frame = job.frame();
        let seq = *self.places.get(n)?;
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
        let (module, package) = match &item {
            CustodyItem::Module(module) => (Some(self.modules.get(*module)?), None),
            CustodyItem::Package(id) => (None, self.packages.iter().find(|one| one.package == *id)),
        };
        let seal = match event {
            Event::Sealed | Event::Released | Event::Received => module
                .and_then(|module| module.seal.clone())
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
        let inside = || {
            let numbers = package.map_or(&[][..], |package| &package.modules);
            numbers
                .iter()
                .filter_map(|number| self.modules.get(*number))
        };
        let condition = match module {
            Some(module) => module.soundness.word().to_owned(),
            None => inside()
                .map(|module| module.soundness)
                .max()
                .map_or_else(String::new, |worst| format!("contents {worst}")),
        };
        let charge = module.and_then(|module| module.charge.as_ref());
        let net_mass_kg = match (module, package) {
            (Some(module), _) => module.net_mass_kg,
            (None, Some(_)) => inside()
                .map(|module| module.net_mass_kg)
                .try_fold(Grams::default(), |sum, mass| sum.plus(mass?)),
            (None, None) => None,
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
        let (item_id, item_kind, item_uri) = match &item {
            CustodyItem::Module(_) => {
                let serial = module.map_or_else(String::new, |module| module.serial.clone());
                let uri = module_name(&plan.job, &serial);
                (serial, ItemKind::Module, uri)
            }
            CustodyItem::Package(id) => (
                id.clone(),
                ItemKind::Package,
                package_code(job, id).square(),
            ),
        };
        let voltage_v = reading("terminal_voltage_v");
        let surface_temperature_c = reading("face_temperature_c");
        Some(CustodyRow {
            event_id: logged.id.clone(),
            item_id,
            item_kind,
            event,
            at: entry.at,
            place: entry.evidence.text("place").map_or_else(
                || match event {
                    Event::Received => {
                        format!("{}, {}", plan.consignee.name, plan.consignee.address)
                    }
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
            state_of_charge_low_percent: charge.map(|charge| charge.low_percent),
            state_of_charge_high_percent: charge.map(|charge| charge.high_percent),
            voltage_v,
            surface_temperature_c,
            net_mass_kg,
            reason,
            amends: entry
                .amends
                .and_then(|number| self.places.get((number as usize).checked_sub(1)?))
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
