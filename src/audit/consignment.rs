//! A load that a site sent on: its bundle beside the receipts that answer it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use serde::Deserialize as _;

use super::checks::custody::differing;
use super::checks::record::{bundle_of, clock_of, signed_of, tail_of, whole_of};
use super::exchange::{Exchange, given_away};
use super::table::check;
use super::{Audited, Finding, Found, Trace};
use crate::custody::{CARRIED_ON, CONSIGNMENT_OPENED, CarriedOn, Handover};
use crate::ledger::{Log, Verification};

/// Days after which an auditor asks for the receipt, as of a job.
const DAYS: i64 = 35;

/// Whether a log is that of a load that was sent on.
#[must_use]
pub fn is_consignment(log: &Log) -> bool {
    let first = log.entries().first();
    first.is_some_and(|entry| entry.kind == CONSIGNMENT_OPENED)
}

/// A consignment as an auditor reads it.
#[derive(Debug)]
pub struct ConsignmentRecord {
    /// File, as the user named it.
    pub source: String,
    /// What a verifier says of its log.
    pub record: Verification,
    /// What was handed over.
    pub handover: Handover,
    /// Leaf of that entry, lower-case hexadecimal.
    pub leaf: String,
    /// What is wrong with the bundle.
    pub bundle_faults: Vec<String>,
    /// Day of the audit.
    pub day: NaiveDate,
}

impl ConsignmentRecord {
    /// Asks its checks, with every receipt at hand by the job that it names.
    #[must_use]
    pub fn audited(&self, receipts: &BTreeMap<String, Vec<Exchange>>) -> Audited {
        let mut findings = Vec::new();
        let names = (self.handover.job.as_str(), self.handover.from.name.as_str());
        let mut add = |id: &str, found: Vec<Found>| {
            let Some(row) = check(id) else { return };
            let of = |found| Finding::of(row, names, &self.source, found);
            findings.extend(found.into_iter().map(of));
        };
        let gave = given_away(
            &self.handover,
            self.record.log.origin(),
            self.record.size.saturating_sub(1),
            &self.leaf,
        );
        let took: Vec<&Exchange> = receipts
            .get(&self.handover.job)
            .into_iter()
            .flatten()
            .filter(|one| one.answers.as_deref() == Some(self.leaf.as_str()))
            .collect();
        add("bundle.whole", bundle_of(&self.bundle_faults));
        add("ledger.whole", whole_of(&self.record));
        add("ledger.signed", signed_of(&self.record, true));
        add("ledger.tail", tail_of(&self.record));
        add("ledger.clock", clock_of(&self.record));
        add("custody.serials", self.serials(&gave, &took));
        add("custody.open", self.open(&took));
        findings.sort();
        Audited {
            source: self.source.clone(),
            job: self.handover.job.clone(),
            site: self.handover.from.name.clone(),
            entries: self.record.size,
            demo: self.record.log.origin() == crate::ledger::DEMO_ORIGIN,
            findings,
            trace: self.record.log.leaf(0).map(|first_leaf| Trace {
                first_leaf,
                root: self.record.log.root(),
                serials: Vec::new(),
                loaded: Vec::new(),
            }),
        }
    }

    /// The serials on the list, those whose way here is told, and those received.
    fn serials(&self, gave: &Exchange, took: &[&Exchange]) -> Vec<Found> {
        let listed = gave.identities().unwrap_or_default();
        let entries = self.record.log.entries().iter();
        let told: BTreeSet<String> = entries
            .filter(|entry| entry.kind == CARRIED_ON)
            .filter_map(|entry| CarriedOn::deserialize(&entry.body).ok())
            .map(|one| one.identity)
            .collect();
        let received = took.iter().filter_map(|one| one.identities());
        [(told, "whose way to the site is told".to_owned())]
            .into_iter()
            .chain(received.map(|set| (set, format!("received by {}", self.handover.to.name))))
            .filter_map(|(set, word)| {
                let what = differing(&listed, &set)?.replace("never removed", "never sent");
                Some(
                    Found::new(format!("serials {word}"), what)
                        .at_seq(gave.seq)
                        .limit("the same serials at both ends, each once")
                        .way_out("settle with the other side which module it is"),
                )
            })
            .collect()
    }

    fn open(&self, took: &[&Exchange]) -> Vec<Found> {
        let days = (self.day - self.handover.at.local_day()).num_days();
        if !took.is_empty() || days <= DAYS {
            return Vec::new();
        }
        vec![
            Found::new(
                "receipt of the goods",
                format!("none known after {days} days"),
            )
            .at_seq(self.record.size.saturating_sub(1))
            .limit(format!("the receiver's word within {DAYS} days"))
            .way_out("ask carrier and receiver where the goods are; give the audit their register"),
        ]
    }
}
