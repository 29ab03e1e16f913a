//! EPCIS events of a place that receives, from its register: what was taken in, and what was sent
//! onward. Things of a known job have the same names as in the giver's own events.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::PaperError;
use super::epcis::{self, Event, What};
use super::names::{job_name, module_name, package_name, party_name, place_name};
use crate::clock::Moment;
use crate::custody::{Arrived, Dispatched, ReceiptClosed, ReceiptOpened, RegisterEvent, Site};
use crate::ledger::{Log, LogEntry, to_hex};

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
        own.push((
            "ledger",
            json!({
                "packdown:log": self.log.origin(),
                "packdown:seq": entry.seq,
                "packdown:leafHash": to_hex(&leaf),
            }),
        ));
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
