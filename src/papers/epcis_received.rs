//! EPCIS events of a place that receives, from its register: what was taken in, and what was sent
//! onward. Things of a known job have the same names as in the giver's own events.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::PaperError;
use super::epcis::{self, Event, What, Wrong};
use super::names::{job_name, module_name, package_name, party_name, place_name};
use crate::clock::Moment;
use crate::custody::{
    Arrived, Dispatched, IdentityMerged, ReceiptClosed, ReceiptOpened, RegisterEvent, Site,
};
use crate::ids::name_uuid;
use crate::ledger::{Log, LogEntry, sha256, to_hex};

/// One document of every receipt that was closed and every dispatch; a load that was refused changed
/// no hands and gives none.
///
/// # Errors
/// An entry of another form, or content that the document cannot show.
pub fn received_document(site: &Site, log: &Log, created: Moment) -> Result<String, PaperError> {
    let mut register = Told {
        site,
        log,
        receipts: BTreeMap::new(),
        jobs: BTreeMap::new(),
        events: Vec::new(),
    };
    for entry in log.entries() {
        let body =
            RegisterEvent::read(&entry.kind, &entry.body).map_err(|why| PaperError::Json {
                paper: "EPCIS document",
                what: why.to_string(),
            })?;
        match body {
            Some(RegisterEvent::ReceiptOpened(opened)) => {
                register.receipts.insert(opened.receipt.clone(), *opened);
            }
            Some(RegisterEvent::ReceiptClosed(closed)) => register.closed(entry, &closed),
            Some(RegisterEvent::Dispatched(gone)) => register.dispatched(entry, &gone),
            Some(RegisterEvent::IdentityMerged(merged)) => register.merged(entry, &merged),
            _ => {}
        }
    }
    epcis::document(created, &register.events)
}

/// What was told so far.
struct Told<'a> {
    site: &'a Site,
    log: &'a Log,
    receipts: BTreeMap<String, ReceiptOpened>,
    /// The job that a module came from, by its identity.
    jobs: BTreeMap<String, String>,
    events: Vec<Event>,
}

/// A thing by its name for machines, and what is said of it.
type Thing = (String, Value);

fn thing(name: String, kind: &str, serial: &str, condition: &str) -> Thing {
    let mut said = json!({
        "packdown:epc": name,
        "packdown:kind": kind,
        "packdown:serial": serial,
    });
    if let Some(said) = said.as_object_mut().filter(|_| !condition.is_empty()) {
        said.insert("packdown:condition".to_owned(), condition.into());
    }
    (name, said)
}

fn ledger_place(log: &Log, seq: u64, leaf: &[u8; 32]) -> Value {
    json!({
        "packdown:log": log.origin(),
        "packdown:seq": seq,
        "packdown:leafHash": to_hex(leaf),
    })
}

/// Whether the text stands anywhere in the value.
fn names(value: &Value, text: &str) -> bool {
    match value {
        Value::String(own) => own == text,
        Value::Array(items) => items.iter().any(|item| names(item, text)),
        Value::Object(fields) => fields.values().any(|field| names(field, text)),
        _ => false,
    }
}

/// Puts the second text of each pair in the place of the first, wherever it is the whole text.
fn rename(value: &mut Value, renamed: &[(&str, &str)]) {
    match value {
        Value::String(own) => {
            if let Some((_, new)) = renamed.iter().find(|(old, _)| own == old) {
                *own = (*new).to_owned();
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| rename(item, renamed)),
        Value::Object(fields) => fields.values_mut().for_each(|field| rename(field, renamed)),
        _ => {}
    }
}

impl Told<'_> {
    /// A receipt was closed: packages as wholes, and modules that came in none.
    fn closed(&mut self, entry: &LogEntry, closed: &ReceiptClosed) {
        let Some(opened) = self.receipts.get(&closed.receipt).cloned() else {
            return;
        };
        let job = match opened.handover.job.as_str() {
            "" => format!("{} {}", self.log.origin(), closed.receipt),
            job => job.to_owned(),
        };
        let came_in = |package: &str| {
            let inside = |one: &&Arrived| one.package.as_deref() == Some(package);
            closed.arrived.iter().filter(inside).count()
        };
        let mut outer: Vec<Thing> = Vec::new();
        let mut seals: Vec<Value> = Vec::new();
        for package in &opened.handover.packages {
            if came_in(&package.id) == 0 {
                continue;
            }
            let name = package_name(&job, &package.id, package.sscc.as_deref());
            outer.push(thing(name, "package", &package.id, &package.condition));
            if let Some(number) = &package.seal {
                seals.push(json!({
                    "packdown:package": package.id,
                    "packdown:number": number,
                    "packdown:state": "not_checked",
                }));
            }
        }
        let known = |one: &Arrived| {
            let listed = |id: &String| opened.handover.packages.iter().any(|one| one.id == *id);
            one.package.as_ref().is_some_and(listed)
        };
        let mut inside: Vec<Value> = Vec::new();
        for one in &closed.arrived {
            self.jobs.insert(one.identity.clone(), job.clone());
            let name = module_name(&job, &one.identity);
            let module = thing(name, "battery module", &one.identity, one.soundness.word());
            if known(one) {
                inside.push(module.1);
            } else {
                outer.push(module);
            }
        }
        let mut own = vec![
            (
                "purpose",
                Value::from(opened.handover.purpose.replace('_', " ")),
            ),
            ("reason", format!("receipt {}", closed.receipt).into()),
            ("releasedBy", closed.delivered_by.as_str().into()),
            ("receivedBy", closed.received_by.as_str().into()),
        ];
        if !seals.is_empty() {
            own.push(("seals", seals.into()));
        }
        let from = match opened.handover.taken_by_organisation.as_deref() {
            Some(carrier) => format!("{}, {carrier}", closed.delivered_by),
            None => closed.delivered_by.clone(),
        };
        let hand_over = (from, self.site.name.clone());
        self.tell(entry, &job, "in_progress", outer, inside, hand_over, own);
    }

    /// A module that had no serial to read turned out to be this one. What was told of it is never
    /// changed: each such event is given again with the declaration that it was wrong, and what it
    /// should have said follows under an id that comes from the entry.
    fn merged(&mut self, entry: &LogEntry, merged: &IdentityMerged) {
        let Some(job) = self.jobs.get(&merged.temporary).cloned() else {
            return;
        };
        let name = module_name(&job, &merged.temporary);
        let new_name = module_name(&job, &merged.serial);
        self.jobs.insert(merged.serial.clone(), job);
        let renamed = [
            (name.as_str(), new_name.as_str()),
            (merged.temporary.as_str(), merged.serial.as_str()),
        ];
        let wrong_before: Vec<&String> = self
            .events
            .iter()
            .filter(|event| event.wrong.is_some())
            .map(|event| &event.id)
            .collect();
        let told: Vec<Event> = self
            .events
            .iter()
            .filter(|event| event.wrong.is_none() && !wrong_before.contains(&&event.id))
            .filter(|event| event.own.iter().any(|(_, value)| names(value, &name)))
            .cloned()
            .collect();
        for (n, event) in told.into_iter().enumerate() {
            // The first correction has the id of the entry itself.
            let id = match n {
                0 => entry.id.clone(),
                _ => name_uuid(&sha256(format!("{} {}", entry.id, event.id).as_bytes())),
            };
            let mut right = event.clone();
            right.id.clone_from(&id);
            if let What::Observed { things } = &mut right.what {
                for thing in things.iter_mut().filter(|thing| **thing == name) {
                    thing.clone_from(&new_name);
                }
            }
            for (_, value) in &mut right.own {
                rename(value, &renamed);
            }
            let leaf = self.log.leaf(entry.seq);
            let ledger = right.own.iter_mut().find(|(key, _)| *key == "ledger");
            if let (Some(leaf), Some((_, value))) = (leaf, ledger) {
                *value = ledger_place(self.log, entry.seq, &leaf);
            }
            let wrong = Event {
                wrong: Some((entry.moment(), Wrong::IncorrectData(vec![id]))),
                ..event
            };
            self.events.extend([wrong, right]);
        }
    }

    /// Modules left: each by itself, since what they travel in is not the package they came in.
    fn dispatched(&mut self, entry: &LogEntry, gone: &Dispatched) {
        let mut by_job: BTreeMap<String, Vec<Thing>> = BTreeMap::new();
        for identity in &gone.identities {
            let job = self.jobs.get(identity).cloned();
            let job = job.unwrap_or_else(|| self.log.origin().to_owned());
            let name = module_name(&job, identity);
            let module = thing(name, "battery module", identity, "");
            by_job.entry(job).or_default().push(module);
        }
        // One event has one transaction here: the register's own, whatever jobs it came from.
        let things: Vec<Thing> = by_job.into_values().flatten().collect();
        let own = vec![
            ("purpose", Value::from(gone.purpose.replace('_', " "))),
            ("releasedBy", gone.released_by.as_str().into()),
            (
                "receivedBy",
                format!("{}, {}", gone.taken_by, gone.to).into(),
            ),
        ];
        let hand_over = (
            self.site.name.clone(),
            format!("{}, {}", gone.taken_by, gone.to),
        );
        let origin = self.log.origin().to_owned();
        self.tell(
            entry,
            &origin,
            "in_transit",
            things,
            Vec::new(),
            hand_over,
            own,
        );
    }

    #[allow(
        clippy::too_many_arguments,
        reason = "an event is many things; this is the one place that makes one"
    )]
    fn tell(
        &mut self,
        entry: &LogEntry,
        job: &str,
        disposition: &'static str,
        things: Vec<Thing>,
        inside: Vec<Value>,
        hand_over: (String, String),
        more: Vec<(&'static str, Value)>,
    ) {
        let (names, mut identities): (Vec<String>, Vec<Value>) = things.into_iter().unzip();
        let Some(leaf) = self.log.leaf(entry.seq).filter(|_| !names.is_empty()) else {
            return;
        };
        identities.extend(inside);
        let place = format!("{}, {}", self.site.name, self.site.address);
        let mut own = vec![
            ("identities", Value::from(identities)),
            ("place", place.as_str().into()),
        ];
        let is_said =
            |(_, value): &(&str, Value)| value.as_str().is_none_or(|text| !text.trim().is_empty());
        own.extend(more.into_iter().filter(is_said));
        own.push(("ledger", ledger_place(self.log, entry.seq, &leaf)));
        self.events.push(Event {
            id: entry.id.clone(),
            at: entry.moment(),
            what: What::Observed { things: names },
            step: "accepting",
            disposition: Some(disposition),
            read_point: place_name(&place),
            transaction: job_name(job),
            hand_over: Some((party_name(&hand_over.0), party_name(&hand_over.1))),
            readings: Vec::new(),
            own,
            wrong: None,
        });
    }
}
