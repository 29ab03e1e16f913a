//! EPCIS events of a job, taken from the rows of its custody table.
//!
//! An event is never changed. Where a later entry corrects it, it is given again under its own id
//! with the declaration that it was wrong, and what it should have said follows under the id of
//! the correction. To know what was said before, the job is played up to each correction.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};

use super::custody::{CustodyRow, Event as Happened, ItemKind};
use super::custody_handed::onward_rows;
use super::custody_of::custody_rows;
use super::epcis::{DE_ENERGISING, Event, LEAVING_ON_SITE, SensorReport, What, Wrong};
use super::names::{job_name, pack_name, package_code, party_name, place_name};
use crate::battery::Soundness;
use crate::ids::name_uuid;
use crate::job::{Job, record_entries};
use crate::ledger::{Log, sha256, to_hex};
use crate::procedure::{Act, Kind, Outcome};

/// An event, and the number in the log of the entry that it comes from.
struct Told {
    seq: u64,
    event: Event,
}

/// Every event of the job, in the order in which it became known.
pub(super) fn epcis_events(job: &Job, log: &Log) -> Vec<Event> {
    let mut out: Vec<Event> = Vec::new();
    // Events given so far as they stand now, by the id under which each came first.
    let mut given: BTreeMap<String, Event> = BTreeMap::new();
    let mut view = job.as_of(0);
    let places = places(log);
    for (n, taken) in job.taken().iter().enumerate() {
        let corrects =
            taken.entry.kind == Kind::Correction && taken.judgement.outcome == Outcome::Recorded;
        if !corrects {
            view.take_as_recorded((*taken.entry).clone(), taken.judgement.outcome);
            continue;
        }
        let before = events_of(&view, log);
        tell_new(&before, &mut given, &mut out);
        view.take_as_recorded((*taken.entry).clone(), taken.judgement.outcome);
        let after = events_of(&view, log);
        let Some(correction) = places.get(n).and_then(|seq| log.entry(*seq)) else {
            continue;
        };
        let amended = taken.entry.amends.and_then(|n| n.checked_sub(1));
        let amended = amended.and_then(|n| places.get(n as usize)).copied();
        let takes_back = taken.entry.evidence.is_empty();
        let mut corrected = 0;
        for told in &before {
            let id = told.event.id.clone();
            let Some(was) = given.get(&id).cloned() else {
                continue;
            };
            let same_entry = amended == Some(told.seq);
            let later = after.iter().find(|later| later.event.id == id);
            if takes_back && same_entry {
                given.remove(&id);
                out.push(Event {
                    wrong: Some((taken.entry.at, Wrong::DidNotOccur)),
                    ..was
                });
            } else if let Some(later) = later.filter(|later| later.event != told.event) {
                let new = nth_id(&correction.id, corrected);
                corrected += 1;
                let right = Event {
                    id: new.clone(),
                    ..later.event.clone()
                };
                given.insert(id, right.clone());
                out.push(Event {
                    wrong: Some((taken.entry.at, Wrong::IncorrectData(vec![new]))),
                    ..was
                });
                out.push(right);
            }
        }
    }
    tell_new(&events_of(job, log), &mut given, &mut out);
    out
}

fn tell_new(told: &[Told], given: &mut BTreeMap<String, Event>, out: &mut Vec<Event>) {
    let known: BTreeSet<String> = out.iter().map(|event| event.id.clone()).collect();
    for Told { event, .. } in told {
        if !known.contains(&event.id) {
            given.insert(event.id.clone(), event.clone());
            out.push(event.clone());
        }
    }
}

/// Id of the `nth` event of an entry: its own for the first.
fn nth_id(entry: &str, nth: usize) -> String {
    match nth {
        0 => entry.to_owned(),
        nth => name_uuid(&sha256(format!("{entry}\0event\0{nth}").as_bytes())),
    }
}

/// Where the crew's entries stand in the log: an issue of papers may lie between them.
fn places(log: &Log) -> Vec<u64> {
    record_entries(log).map(|entry| entry.seq).collect()
}

/// Events as the job knows them, in the order of its entries.
fn events_of(job: &Job, log: &Log) -> Vec<Told> {
    let mut events = proofs(job, log);
    let rows = custody_rows(job, log);
    let mut nth = 0;
    let mut entry = None;
    for group in rows.chunk_by(|a, b| a.event_id == b.event_id && a.event == b.event) {
        let Some(first) = group.first() else { continue };
        nth = if entry == Some(&first.event_id) {
            nth + 1
        } else {
            0
        };
        entry = Some(&first.event_id);
        events.extend(
            event_of(job, first, group, nth_id(&first.event_id, nth)).map(|event| Told {
                seq: first.ledger_seq,
                event,
            }),
        );
    }
    events.sort_by_key(|told| told.seq);
    events
}

/// The dead state was proved: the last act of the chain before work is released.
fn proofs(job: &Job, log: &Log) -> Vec<Told> {
    let frame = job.frame();
    let plan = job.plan();
    let place = format!("{}, {}", plan.site.name, plan.site.address);
    let places = places(log);
    let mut events = Vec::new();
    for (taken, &seq) in job.taken().iter().zip(&places) {
        let step = taken.entry.step.as_deref().and_then(|id| frame.step(id));
        let proves = taken.entry.kind == Kind::Step
            && taken.judgement.outcome == Outcome::Passed
            && step.is_some_and(|step| step.does_act(Act::ProveTesterAfter));
        let (true, Some(logged), Some(leaf)) = (proves, log.entry(seq), log.leaf(seq)) else {
            continue;
        };
        let mut own = vec![
            ("place", Value::from(place.as_str())),
            (
                "identities",
                json!([{ "packdown:epc": pack_name(&plan.job), "packdown:kind": "battery pack" }]),
            ),
        ];
        own.push(ledger(log.origin(), seq, &to_hex(&leaf)));
        events.push(Told {
            seq,
            event: Event {
                id: logged.id.clone(),
                at: taken.entry.at,
                what: What::Observed {
                    things: vec![pack_name(&plan.job)],
                },
                step: DE_ENERGISING,
                disposition: Some("unavailable"),
                read_point: place_name(&place),
                transaction: job_name(&plan.job),
                hand_over: None,
                readings: Vec::new(),
                own,
                wrong: None,
            },
        });
    }
    events
}

fn ledger(log: &str, seq: u64, leaf_hash: &str) -> (&'static str, Value) {
    (
        "ledger",
        json!({
            "packdown:log": log,
            "packdown:seq": seq,
            "packdown:leafHash": leaf_hash,
        }),
    )
}

/// Every event of a load that a site sent on, from the load's own log: how each module came to the
/// site, and the hand-over.
pub(super) fn onward_events(log: &Log, consignment: &str) -> Vec<Event> {
    let rows = onward_rows(log);
    let groups = rows.chunk_by(|a, b| a.event_id == b.event_id && a.event == b.event);
    let events = groups.filter_map(|group| {
        let first = group.first()?;
        let outer = outer_of(group);
        let (step, disposition) = handed(first.event)?;
        Some(Event {
            id: first.event_id.clone(),
            at: first.at,
            what: What::Observed {
                things: outer.iter().map(|row| row.item_uri.clone()).collect(),
            },
            step,
            disposition: Some(disposition),
            read_point: place_name(&first.place),
            transaction: job_name(consignment),
            hand_over: between(first),
            readings: Vec::new(),
            own: own(first, &outer, None),
            wrong: None,
        })
    });
    events.collect()
}

/// What travels is the package; what lies in it was said when it was packed.
fn outer_of(rows: &[CustodyRow]) -> Vec<&CustodyRow> {
    let packages: Vec<&CustodyRow> = rows
        .iter()
        .filter(|row| row.item_kind == ItemKind::Package)
        .collect();
    if packages.is_empty() {
        rows.iter().collect()
    } else {
        packages
    }
}

/// Step and disposition of a change of hands. Not `receiving`, which may not stand beside
/// `accepting`.
const fn handed(event: Happened) -> Option<(&'static str, &'static str)> {
    match event {
        Happened::Released => Some(("accepting", "in_transit")),
        Happened::Received => Some(("accepting", "in_progress")),
        _ => None,
    }
}

/// From whom to whom, of a change of hands.
fn between(row: &CustodyRow) -> Option<(String, String)> {
    handed(row.event)?;
    let (from, to) = row.released_by.as_ref().zip(row.received_by.as_ref())?;
    Some((party_name(from), party_name(to)))
}

/// The event behind the rows of one event of one entry.
fn event_of(job: &Job, first: &CustodyRow, rows: &[CustodyRow], id: String) -> Option<Event> {
    let plan = job.plan();
    let outer = outer_of(rows);
    let things: Vec<String> = outer.iter().map(|row| row.item_uri.clone()).collect();
    let (step, disposition) = match first.event {
        Happened::Removed => ("removing", None),
        Happened::Inspected => ("inspecting", Some(disposition(&first.condition))),
        Happened::Packed => ("packing", None),
        Happened::Sealed => ("packing", Some("container_closed")),
        Happened::LeftBehind => (LEAVING_ON_SITE, None),
        event => {
            let (step, disposition) = handed(event)?;
            (step, Some(disposition))
        }
    };
    let container = match first.event {
        Happened::Packed => Some(package_of(job, first)?),
        _ => None,
    };
    let what = match (first.event, &container) {
        (Happened::Removed, _) => What::PartRemoved {
            whole: pack_name(&plan.job),
            parts: things,
        },
        (Happened::Packed, Some(package)) => What::PutInto {
            container: package_code(job, package).square(),
            things,
        },
        // A seal closes a package; the row of the module in it says no more.
        (Happened::Sealed, _) if outer.iter().all(|row| row.item_kind == ItemKind::Module) => {
            return None;
        }
        _ => What::Observed { things },
    };
    Some(Event {
        id,
        at: first.at,
        what,
        step,
        disposition,
        read_point: place_name(&first.place),
        transaction: job_name(&plan.job),
        hand_over: between(first),
        readings: if first.event == Happened::Inspected {
            readings(first)
        } else {
            Vec::new()
        },
        own: own(
            first,
            &outer,
            container
                .as_deref()
                .map(|package| (package, package_code(job, package).square())),
        ),
        wrong: None,
    })
}

fn package_of(job: &Job, row: &CustodyRow) -> Option<String> {
    let modules = 0..job.frame().modules.len();
    let mut found = modules.filter(|module| job.identity(*module).0 == row.item_id);
    job.package_of(found.next()?)
}

/// The word of the vocabulary for a condition; `unknown` where nobody has looked closely.
fn disposition(condition: &str) -> &'static str {
    let is = |soundness: Soundness| condition == soundness.word();
    if is(Soundness::Sound) {
        "conformant"
    } else if is(Soundness::Damaged) || is(Soundness::Critical) {
        "damaged"
    } else if is(Soundness::Suspect) {
        "non_conformant"
    } else {
        "unknown"
    }
}

/// Readings by the time of the inspection, in units of Recommendation 20.
fn readings(row: &CustodyRow) -> Vec<SensorReport> {
    let charge = row
        .state_of_charge_low_percent
        .zip(row.state_of_charge_high_percent)
        .and_then(|(low, high)| {
            SensorReport::interval("Dimensionless", low.decimal(), high.decimal(), "P1")
        })
        .map(|report| report.of("stateOfCharge"));
    let voltage = row
        .voltage_v
        .and_then(|volts| SensorReport::reading("Voltage", volts, "VLT"))
        .map(|report| report.of("batteryTerminals"));
    let temperature = row
        .surface_temperature_c
        .and_then(|celsius| SensorReport::reading("Temperature", celsius, "CEL"))
        .map(|report| report.of("hottestFace"));
    let mass = row
        .net_mass_kg
        .and_then(|mass| SensorReport::reading("Mass", mass.decimal(), "KGM"))
        .map(|report| report.of("netMass"));
    [charge, voltage, temperature, mass]
        .into_iter()
        .flatten()
        .collect()
}

/// What the vocabulary has no field for, in words of ours.
fn own(
    first: &CustodyRow,
    outer: &[&CustodyRow],
    container: Option<(&str, String)>,
) -> Vec<(&'static str, Value)> {
    let mut identities: Vec<Value> = outer
        .iter()
        .map(|row| {
            json!({
                "packdown:epc": row.item_uri,
                "packdown:kind": match row.item_kind {
                    ItemKind::Module => "battery module",
                    _ => "package",
                },
                "packdown:serial": row.item_id,
                "packdown:condition": row.condition,
            })
        })
        .collect();
    identities.extend(container.map(|(package, name)| {
        json!({
            "packdown:epc": name,
            "packdown:kind": "package",
            "packdown:serial": package,
        })
    }));
    let mut own = vec![("identities", Value::from(identities))];
    let mut text = |name: &'static str, value: &str| {
        if !value.is_empty() {
            own.push((name, value.into()));
        }
    };
    text("place", &first.place);
    text("purpose", &first.purpose);
    text("reason", &first.reason);
    text("releasedBy", first.released_by.as_deref().unwrap_or(""));
    text("receivedBy", first.received_by.as_deref().unwrap_or(""));
    let seals: Vec<Value> = outer
        .iter()
        .filter_map(|row| {
            let state = row.seal_state?;
            Some(json!({
                "packdown:package": row.item_id,
                "packdown:number": row.seal_number.as_ref()?,
                "packdown:state": state.word(),
            }))
        })
        .collect();
    if !seals.is_empty() {
        own.push(("seals", seals.into()));
    }
    if !first.evidence_sha256.is_empty() {
        own.push(("evidenceSha256", json!(first.evidence_sha256)));
    }
    own.push(ledger(
        &first.ledger_log,
        first.ledger_seq,
        &first.leaf_hash,
    ));
    own
}
