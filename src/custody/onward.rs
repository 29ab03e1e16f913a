//! A load that leaves a site again: the consignment as values, made from the register alone.
//!
//! A register tells of many senders, so it does not go along. What leaves has a log of its own: one
//! entry that opens it and names the register's entry, one for each module that says how it came
//! and which release of its sender it answers, and the hand-over. It is made from the register's
//! entries only, so it can be made again at any time, the same bytes.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::event::Dispatched;
use super::handover::{HandedModule, HandedPackage, Handover, LeafRef, LogState, Organisation};
use super::receipt::{DockPhoto, Subject};
use super::register::{Item, Register};
use super::site::Site;
use crate::clock::Moment;

/// The kind of the first entry of a consignment's log.
pub const CONSIGNMENT_OPENED: &str = "consignment_opened";

/// The kind of the entry of one module in it.
pub const CARRIED_ON: &str = "carried_on";

/// The first entry: whose consignment it is, and which entry of which register sends it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConsignmentOpened {
    /// Name of the consignment: site and count, `DBW-D1`.
    pub consignment: String,
    /// The site that sends.
    pub from: Organisation,
    /// Whether the site is invented.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub demo: bool,
    /// The `dispatched` entry of the site's register.
    pub register: LeafRef,
    /// Program and version.
    pub program: String,
}

/// How one module came to the site that sends it on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedOn {
    /// Serial, or the identity it was given.
    pub identity: String,
    /// Identities it bore before.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<String>,
    /// Unit it was put in here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Package it came in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub came_in: Option<String>,
    /// Receipt here.
    pub receipt: String,
    /// When it was received.
    pub received_at: Moment,
    /// From whom.
    pub received_from: String,
    /// The sender's job.
    pub job: String,
    /// Number of the hand-over in that job.
    pub handover: u32,
    /// The sender's `released` entry, where there is a log.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub released: Option<LeafRef>,
    /// The state of the sender's log that came with it: what its earlier proofs must lead to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checkpoint: Option<LogState>,
    /// Condition when it left.
    pub soundness: String,
    /// How often it was let out of the hold here.
    pub cleared: u32,
    /// Photographs taken of it and of its package at the dock.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<DockPhoto>,
}

/// A consignment, before its entries have places in a log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Onward {
    /// What opens it.
    pub opened: ConsignmentOpened,
    /// Its modules, in the order of the hand-over.
    pub carried: Vec<CarriedOn>,
    /// The hand-over; the last entry of each module is filled in by whoever writes the log.
    pub handover: Handover,
}

/// The consignment that `dispatched` sent from `site`, with the register as it was right after.
/// `entry` is the register's entry, `number` counts the consignments of the site from 1.
#[must_use]
pub fn onward(
    register: &Register,
    site: &Site,
    dispatched: &Dispatched,
    entry: LeafRef,
    number: usize,
    at: Moment,
) -> Onward {
    let consignment = format!("{}-D{number}", site.site);
    let organisation = |name: &str, address: &str, country: Option<String>| Organisation {
        name: name.to_owned(),
        address: address.to_owned(),
        country,
    };
    let from = organisation(&site.name, &site.address, Some(site.country.clone()));
    let mut boxes: BTreeMap<String, Vec<&Item>> = BTreeMap::new();
    for identity in &dispatched.identities {
        if let Some(item) = register.item(identity) {
            boxes.entry(container(item)).or_default().push(item);
        }
    }
    let mut carried = Vec::new();
    let mut packages = Vec::new();
    for (id, items) in boxes {
        carried.extend(items.iter().map(|item| carried_on(register, item)));
        packages.push(HandedPackage {
            seal: items
                .first()
                .and_then(|item| register.units.get(item.unit.as_ref()?).cloned().flatten()),
            id,
            sscc: None,
            net_mass_kg: None,
            gross_mass_kg: None,
            condition: worst(&items),
            surface_temperature_c: None,
            modules: items.iter().map(|item| handed(register, item)).collect(),
        });
    }
    let person = |id: &str| {
        let known = site.people.iter().find(|person| person.id == id);
        known.map_or_else(|| id.to_owned(), |person| person.name.clone())
    };
    Onward {
        handover: Handover {
            number: 1,
            job: consignment.clone(),
            at,
            place: format!("{}, {}", site.name, site.address),
            from: from.clone(),
            released_by: person(&dispatched.released_by),
            to: organisation(&dispatched.to, &dispatched.address, None),
            taken_by: dispatched.taken_by.clone(),
            taken_by_organisation: None,
            vehicle: None,
            purpose: dispatched.purpose.clone(),
            kept: None,
            warmest_c: None,
            packages,
            papers: Vec::new(),
            remarks: None,
        },
        opened: ConsignmentOpened {
            consignment,
            from,
            demo: site.demo,
            register: entry,
            program: format!("packdown {}", env!("CARGO_PKG_VERSION")),
        },
        carried,
    }
}

/// What a module leaves in: its unit, else the package it came in, else nothing.
fn container(item: &Item) -> String {
    match (&item.unit, &item.arrived.package) {
        (Some(unit), _) => unit.clone(),
        (None, Some(package)) if !package.is_empty() => format!("{}/{package}", item.receipt),
        _ => String::new(),
    }
}

fn worst(items: &[&Item]) -> String {
    let worst = items.iter().map(|item| item.soundness).max();
    worst.map_or_else(String::new, |worst| format!("at the worst {worst}"))
}

fn carried_on(register: &Register, item: &Item) -> CarriedOn {
    let opened = register.receipts.get(&item.receipt).map(|one| &one.opened);
    CarriedOn {
        identity: item.arrived.identity.clone(),
        also: item.also.clone(),
        unit: item.unit.clone(),
        came_in: item.arrived.package.clone(),
        receipt: item.receipt.clone(),
        received_at: item.received_at,
        received_from: item.from.clone(),
        job: opened.map_or_else(String::new, |one| one.handover.job.clone()),
        handover: opened.map_or(0, |one| one.handover.number),
        released: opened.and_then(|one| one.released.clone()),
        checkpoint: opened.and_then(|one| one.checkpoint.clone()),
        soundness: item.soundness.word().to_owned(),
        cleared: u32::try_from(item.cleared.len()).unwrap_or(u32::MAX),
        photos: photos(register, item),
    }
}

fn photos(register: &Register, item: &Item) -> Vec<DockPhoto> {
    let is_of = |subject: &Subject| match subject {
        Subject::Load => false,
        Subject::Package(id) => item.arrived.package.as_ref() == Some(id),
        Subject::Module(identity) => {
            *identity == item.arrived.identity || item.also.contains(identity)
        }
    };
    let receipt = register.receipts.get(&item.receipt);
    let scans = receipt.into_iter().flat_map(|one| &one.scans);
    scans
        .filter(|scan| is_of(&scan.subject))
        .flat_map(|scan| scan.photos.iter().cloned())
        .collect()
}

/// A module as it is handed over: what is known here, and of its charge and its transport class
/// what its sender stated.
fn handed(register: &Register, item: &Item) -> HandedModule {
    let arrived = &item.arrived;
    let stated = register.receipts.get(&item.receipt).and_then(|one| {
        let mut names = item.also.iter().chain([&arrived.identity]);
        names.find_map(|name| one.opened.handover.module(name))
    });
    let stated = stated.map(|(_, module)| module);
    HandedModule {
        identity: arrived.identity.clone(),
        serial_readable: !arrived.temporary && stated.is_none_or(|one| one.serial_readable),
        chemistry: arrived.chemistry.clone(),
        cell_kind: arrived.cell_kind,
        soundness: item.soundness.word().to_owned(),
        rated_energy_wh: arrived.rated_energy_wh,
        net_mass_kg: arrived.net_mass_kg,
        state_of_charge_low_percent: stated.and_then(|one| one.state_of_charge_low_percent),
        state_of_charge_high_percent: stated.and_then(|one| one.state_of_charge_high_percent),
        surface_temperature_c: None,
        un: arrived.un.clone(),
        // A class is for the day and the condition; the sender's name holds while neither changed.
        shipping_name: stated
            .filter(|one| one.soundness == item.soundness.word())
            .and_then(|one| one.shipping_name.clone()),
        hold: None,
        last_entry: LeafRef {
            log: String::new(),
            seq: 0,
            leaf_hash: String::new(),
        },
    }
}
