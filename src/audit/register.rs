//! The register of a site that receives: its receipts as the other half of hand-overs, and its own
//! duties.
//!
//! An auditor reads only what is asked about here; members that are not looked at may change.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Months, NaiveDate};
use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::checks::record::{clock_of, signed_of, tail_of, whole_of};
use super::exchange::{Exchange, ExchangedPackage, Side};
use super::table::check;
use super::{Audited, Finding, Found, Trace};
use crate::custody::{Handover, IdentityMerged, LeafRef, Subject};
use crate::ledger::{LogEntry, Verification, to_hex};

/// A register as an auditor reads it.
#[derive(Debug)]
pub struct RegisterRecord {
    /// Folder, as the user named it.
    pub source: String,
    /// What a verifier says of its log.
    pub record: Verification,
    /// Day of the audit.
    pub day: NaiveDate,
}

#[derive(Deserialize)]
struct OpenedSeen {
    site: SiteSeen,
}

#[derive(Deserialize, Clone, Default)]
struct SiteSeen {
    name: String,
    #[serde(default)]
    address: String,
    #[serde(default)]
    region: String,
}

#[derive(Deserialize)]
struct ReceiptOpenedSeen {
    receipt: String,
    handover: Handover,
    #[serde(default)]
    released: Option<LeafRef>,
    #[serde(default)]
    delivered_by: String,
}

#[derive(Deserialize)]
pub(super) struct ReceiptClosedSeen {
    pub(super) receipt: String,
    received_by: String,
    #[serde(default)]
    lines: Vec<LineSeen>,
    pub(super) arrived: Vec<ArrivedSeen>,
}

#[derive(Deserialize)]
struct LineSeen {
    #[serde(default)]
    subject: Option<Subject>,
    #[serde(default)]
    answers: Vec<String>,
    #[serde(default)]
    hold: Option<String>,
}

#[derive(Deserialize)]
pub(super) struct ArrivedSeen {
    pub(super) identity: String,
    #[serde(default)]
    package: Option<String>,
}

#[derive(Deserialize)]
struct RefusedSeen {
    receipt: String,
}

#[derive(Deserialize)]
struct DiscrepancySeen {
    id: String,
    clock: ClockSeen,
}

#[derive(Deserialize)]
struct ClockSeen {
    #[serde(default)]
    basis: String,
    #[serde(default)]
    clause: String,
    due: NaiveDate,
}

#[derive(Deserialize)]
struct SettledSeen {
    id: String,
}

#[derive(Deserialize)]
struct HeldSeen {
    identity: String,
}

#[derive(Deserialize)]
struct ClearedSeen {
    identity: String,
    by: String,
    with: String,
    #[serde(default)]
    reason: String,
    #[serde(default)]
    readings: u32,
}

#[derive(Deserialize)]
pub(super) struct DispatchedSeen {
    pub(super) identities: Vec<String>,
    #[serde(default)]
    pub(super) purpose: String,
    #[serde(default)]
    pub(super) to: String,
}

impl RegisterRecord {
    /// Entries of one kind with their bodies, in order; one of another form is passed over.
    pub(super) fn of<B: DeserializeOwned>(&self, kind: &str) -> Vec<(&LogEntry, B)> {
        self.record
            .log
            .entries()
            .iter()
            .filter(|entry| entry.kind == kind)
            .filter_map(|entry| {
                let body = serde_json::from_value(entry.body.clone()).ok()?;
                Some((entry, body))
            })
            .collect()
    }

    fn site(&self) -> SiteSeen {
        self.of::<OpenedSeen>("register_opened")
            .pop()
            .map(|(_, opened)| opened.site)
            .unwrap_or_default()
    }

    /// Every closed receipt as the taking half of a hand-over. Where the giver's entry is named,
    /// `answers` holds its leaf.
    #[must_use]
    pub fn receipts(&self) -> Vec<Exchange> {
        let site = self.site();
        let opened: BTreeMap<String, ReceiptOpenedSeen> = self
            .of::<ReceiptOpenedSeen>("receipt_opened")
            .into_iter()
            .map(|(_, opened)| (opened.receipt.clone(), opened))
            .collect();
        self.of::<ReceiptClosedSeen>("receipt_closed")
            .into_iter()
            .filter_map(|(entry, closed)| {
                let opened = opened.get(&closed.receipt)?;
                Some(self.receipt(entry, &closed, opened, &site))
            })
            .collect()
    }

    fn receipt(
        &self,
        entry: &LogEntry,
        closed: &ReceiptClosedSeen,
        opened: &ReceiptOpenedSeen,
        site: &SiteSeen,
    ) -> Exchange {
        let mut packages: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
        for one in &closed.arrived {
            packages
                .entry(one.package.as_deref().unwrap_or(""))
                .or_default()
                .insert(one.identity.clone());
        }
        let loose = packages.contains_key("");
        let broken = closed.lines.iter().any(|line| {
            line.answers
                .iter()
                .any(|answer| matches!(answer.as_str(), "seal_broken" | "seal_missing"))
        });
        Exchange {
            side: Side::Took,
            at: entry.moment(),
            place: format!("{}, {}", site.name, site.address),
            from: opened.delivered_by.clone(),
            to: site.name.clone(),
            to_address: site.address.clone(),
            vehicle: None,
            count: (!loose).then_some(packages.len() as u64),
            packages: Some(
                packages
                    .into_iter()
                    .map(|(id, identities)| ExchangedPackage {
                        id: id.to_owned(),
                        seal: None,
                        identities,
                    })
                    .collect(),
            ),
            seals_whole: Some(!broken),
            condition: format!("received by {}", closed.received_by),
            log: self.record.log.origin().to_owned(),
            seq: entry.seq,
            leaf: self
                .record
                .log
                .leaf(entry.seq)
                .map_or_else(String::new, |leaf| to_hex(&leaf)),
            answers: opened
                .released
                .as_ref()
                .map(|released| released.leaf_hash.clone())
                .or_else(|| entry.refs.first().cloned()),
            job: opened.handover.job.clone(),
            number: opened.handover.number,
        }
    }

    /// Asks the register's own checks.
    #[must_use]
    pub fn audited(&self) -> Audited {
        let site = self.site();
        let name = format!("register of {}", site.name);
        let mut findings = Vec::new();
        let mut add = |id: &str, found: Vec<Found>| {
            let Some(row) = check(id) else { return };
            let of = |found| Finding::of(row, (&name, &site.name), &self.source, found);
            findings.extend(found.into_iter().map(of));
        };
        add("ledger.whole", whole_of(&self.record));
        add("ledger.signed", signed_of(&self.record, true));
        add("ledger.tail", tail_of(&self.record));
        add("ledger.clock", clock_of(&self.record));
        add("register.receipts", self.open_receipts());
        add("register.discrepancies", self.discrepancies());
        add("register.holds", self.holds());
        add("register.stay", self.stay(&site));
        add("register.certificates", self.certificates_due());
        add("register.entries", self.entries());
        findings.sort();
        Audited {
            source: self.source.clone(),
            job: format!("register of {}", site.name),
            site: site.name,
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

    /// Receipts that were opened and never closed nor refused.
    fn open_receipts(&self) -> Vec<Found> {
        let mut ended: BTreeSet<String> = self
            .of::<ReceiptClosedSeen>("receipt_closed")
            .into_iter()
            .map(|(_, closed)| closed.receipt)
            .collect();
        ended.extend(
            self.of::<RefusedSeen>("load_refused")
                .into_iter()
                .map(|(_, refused)| refused.receipt),
        );
        self.of::<ReceiptOpenedSeen>("receipt_opened")
            .into_iter()
            .filter(|(_, opened)| !ended.contains(&opened.receipt))
            .filter(|(entry, _)| entry.moment().local_day() < self.day)
            .map(|(entry, opened)| {
                seen(entry, format!("receipt {}", opened.receipt), "never closed")
                    .limit("closed or refused on the day")
                    .way_out("count the load again, and close it")
            })
            .collect()
    }

    /// Discrepancies that nobody settled in time.
    fn discrepancies(&self) -> Vec<Found> {
        let settled: BTreeMap<String, NaiveDate> = self
            .of::<SettledSeen>("discrepancy_settled")
            .into_iter()
            .map(|(entry, settled)| (settled.id, entry.moment().local_day()))
            .collect();
        self.of::<DiscrepancySeen>("discrepancy")
            .into_iter()
            .filter_map(|(entry, one)| {
                let found = match settled.get(&one.id) {
                    Some(day) if *day <= one.clock.due => return None,
                    Some(day) => format!("settled {day}"),
                    None if self.day <= one.clock.due => return None,
                    None => "not settled".to_owned(),
                };
                Some(
                    seen(entry, format!("discrepancy {}", one.id), found)
                        .limit(format!("until {} ({})", one.clock.due, one.clock.basis))
                        .clause(one.clock.clause)
                        .way_out("settle it with the sender, or write to the authority"),
                )
            })
            .collect()
    }

    /// Clearances from the hold that one person gave, or that rest on no reading or no reason.
    fn holds(&self) -> Vec<Found> {
        let mut found: Vec<Found> = self
            .of::<ClearedSeen>("cleared")
            .into_iter()
            .filter_map(|(entry, one)| {
                let what = if one.by == one.with || one.with.is_empty() {
                    "by one person"
                } else if one.reason.trim().is_empty() {
                    "without a reason"
                } else if one.readings == 0 {
                    "without a reading in the hold"
                } else {
                    return None;
                };
                Some(
                    seen(
                        entry,
                        format!("{} cleared from the hold", one.identity),
                        what,
                    )
                    .limit("two different people, a reason, readings")
                    .way_out("put it back into the hold, and read it again"),
                )
            })
            .collect();
        let cleared: Vec<(u64, String)> = self
            .of::<ClearedSeen>("cleared")
            .into_iter()
            .map(|(entry, one)| (entry.seq, self.names().now(one.identity)))
            .collect();
        let names = self.names();
        let closed = self.of::<ReceiptClosedSeen>("receipt_closed");
        let at_receipt = closed.iter().flat_map(|(entry, closed)| {
            let held = closed.lines.iter().filter(|line| line.hold.is_some());
            held.filter_map(|line| match &line.subject {
                Some(Subject::Module(identity)) => Some((entry.seq, identity.clone())),
                _ => None,
            })
        });
        let later = self.of::<HeldSeen>("held").into_iter();
        let held: Vec<(u64, String)> = later
            .map(|(entry, one)| (entry.seq, one.identity))
            .chain(at_receipt)
            .map(|(seq, identity)| (seq, names.now(identity)))
            .collect();
        for (entry, sent) in self.of::<DispatchedSeen>("dispatched") {
            for identity in sent.identities {
                let last_held = held
                    .iter()
                    .filter(|(before, one)| *one == identity && *before < entry.seq)
                    .map(|(before, _)| *before)
                    .max();
                let Some(since) = last_held else { continue };
                let out = cleared
                    .iter()
                    .any(|(seq, one)| *one == identity && (since..entry.seq).contains(seq));
                if !out {
                    found.push(
                        seen(entry, format!("{identity} sent on"), "while it was held")
                            .limit("cleared from the hold before it leaves")
                            .way_out("tell carrier and receiver today"),
                    );
                }
            }
        }
        found
    }

    /// Identities that were given here and merged later.
    pub(super) fn names(&self) -> Names {
        let merged = self.of::<IdentityMerged>("identity_merged").into_iter();
        Names(merged.map(|(_, one)| (one.temporary, one.serial)).collect())
    }

    /// Modules that stayed longer than a year, in the United States.
    fn stay(&self, site: &SiteSeen) -> Vec<Found> {
        if site.region != "us" {
            return Vec::new();
        }
        let names = self.names();
        let mut gone: BTreeMap<String, NaiveDate> = BTreeMap::new();
        for (entry, sent) in self.of::<DispatchedSeen>("dispatched") {
            for identity in sent.identities {
                gone.insert(identity, entry.moment().local_day());
            }
        }
        let mut found = Vec::new();
        for (entry, closed) in self.of::<ReceiptClosedSeen>("receipt_closed") {
            let Some(last) = entry
                .moment()
                .local_day()
                .checked_add_months(Months::new(12))
            else {
                continue;
            };
            for one in closed.arrived {
                let until = gone
                    .get(&names.now(one.identity.clone()))
                    .copied()
                    .unwrap_or(self.day);
                if until > last {
                    found.push(
                        seen(
                            entry,
                            format!("{} on site", one.identity),
                            format!("until {until}"),
                        )
                        .limit(format!("one year, until {last}"))
                        .way_out("send it on, or show that it is kept to gather a load"),
                    );
                }
            }
        }
        found
    }
}

/// What identities became.
pub(super) struct Names(BTreeMap<String, String>);

impl Names {
    /// The name that `identity` bears now.
    pub(super) fn now(&self, identity: String) -> String {
        self.0.get(&identity).cloned().unwrap_or(identity)
    }
}

pub(super) fn seen(entry: &LogEntry, what: impl Into<String>, found: impl Into<String>) -> Found {
    let mut one = Found::new(what, found).at_seq(entry.seq);
    one.person = Some(entry.actor.clone());
    one.at = Some(entry.moment().to_string());
    one.step = Some(entry.kind.replace('_', " "));
    one
}
