//! A site's register as its entries make it: receipts, modules on site, discrepancies, holds.
//!
//! A fold over log entries: the same entries give the same register. Entries of several devices
//! are put in order by stamp, log and place first, so that any order of merging gives the same.
//! An entry that cannot be (a module moved that never came) is kept as a fault, never dropped
//! silently and never a crash.

use std::collections::{BTreeMap, BTreeSet};

use super::event::{
    Arrived, CertificateTaken, Cleared, ColumnsConfirmed, Dispatched, Held, ReceiptClosed,
    ReceiptOpened, RegisterEvent, Reread, Scanned, Settled,
};
use super::receipt::{Discrepancy, Line, Scan, Subject};
use super::same_form;
use super::site::Site;
use crate::battery::Soundness;
use crate::clock::Moment;
use crate::ledger::LogEntry;

/// How a receipt stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReceiptState {
    /// Scans are still taken.
    Open,
    /// Closed and signed.
    Closed,
    /// The load was refused.
    Refused,
}

/// One receipt.
#[derive(Debug, Clone, PartialEq)]
pub struct Receipt {
    /// What opened it.
    pub opened: ReceiptOpened,
    /// When.
    pub opened_at: Moment,
    /// Who opened it.
    pub opened_by: String,
    /// Scans, in order.
    pub scans: Vec<Scan>,
    /// How it stands.
    pub state: ReceiptState,
    /// When it was closed or refused.
    pub ended_at: Option<Moment>,
    /// Who closed or refused it.
    pub ended_by: Option<String>,
    /// Why it was refused.
    pub refused_for: Option<String>,
    /// Lines with their answers, once closed or refused.
    pub lines: Vec<Line>,
    /// What nobody looked at.
    pub not_looked_at: Vec<String>,
}

/// A module in the hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoldRecord {
    /// Since when.
    pub since: Moment,
    /// Why.
    pub reason: String,
    /// Finding codes.
    pub findings: Vec<String>,
    /// Readings, with when they were taken.
    pub readings: Vec<(Moment, Reread)>,
}

/// A module that left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Departure {
    /// When.
    pub at: Moment,
    /// How.
    pub dispatched: Dispatched,
}

/// One module that came to the site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// As it arrived, with what was stated since. Its identity is the serial once it is merged.
    pub arrived: Arrived,
    /// Identities it bore before.
    pub also: Vec<String>,
    /// The receipt.
    pub receipt: String,
    /// From whom.
    pub from: String,
    /// What for.
    pub purpose: String,
    /// When it was received.
    pub received_at: Moment,
    /// Where it stands; absent: at the dock.
    pub bay: Option<String>,
    /// The unit it was put in.
    pub unit: Option<String>,
    /// Condition now.
    pub soundness: Soundness,
    /// The hold it is in.
    pub hold: Option<HoldRecord>,
    /// Holds it was let out of.
    pub cleared: Vec<(Moment, Cleared)>,
    /// How it left, where it did.
    pub gone: Option<Departure>,
    /// Certificates of treaters that name it.
    pub certified: Vec<Certified>,
}

/// A certificate that names a module.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Certified {
    /// When it came in.
    pub at: Moment,
    /// Its number.
    pub number: String,
    /// Who treated.
    pub treater: String,
}

/// A discrepancy and how it was settled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Case {
    /// As opened.
    pub opened: Discrepancy,
    /// When and how it was settled.
    pub settled: Option<(Moment, Settled)>,
}

/// An entry that cannot be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// Log.
    pub log: String,
    /// Place in it.
    pub seq: u64,
    /// Why.
    pub why: String,
}

/// A site's register.
#[derive(Debug, Clone, Default)]
pub struct Register {
    /// The site as last stated.
    pub site: Option<Site>,
    /// Receipts by name.
    pub receipts: BTreeMap<String, Receipt>,
    /// Modules that came, by identity in one form; those that left stay here.
    pub items: BTreeMap<String, Item>,
    /// Discrepancies by name.
    pub cases: BTreeMap<String, Case>,
    /// Units that were put together: name to seal.
    pub units: BTreeMap<String, Option<String>>,
    /// Confirmed columns of foreign tables, latest last.
    pub columns: Vec<ColumnsConfirmed>,
    /// Treaters' certificates, in order.
    pub certificates: Vec<(Moment, CertificateTaken)>,
    /// Entries that cannot be.
    pub misfits: Vec<Misfit>,
    /// Kinds that this program passes over, such as those of a later one.
    pub passed_over: BTreeSet<String>,
    /// Identities borne before, in one form, with the key of the module that bore them.
    pub borne: BTreeMap<String, String>,
}

impl Register {
    /// The register that `entries` make, of one log or of several.
    #[must_use]
    pub fn fold<'e>(entries: impl IntoIterator<Item = &'e LogEntry>) -> Self {
        let mut entries: Vec<&LogEntry> = entries.into_iter().collect();
        entries.sort_by(|one, other| {
            (one.stamp(), &one.log, one.seq).cmp(&(other.stamp(), &other.log, other.seq))
        });
        let mut register = Self::default();
        for entry in entries {
            register.take(entry);
        }
        register
    }

    /// Takes one more entry.
    pub fn take(&mut self, entry: &LogEntry) {
        let taken = match RegisterEvent::read(&entry.kind, &entry.body) {
            Ok(Some(event)) => self.apply(&event, entry.moment(), &entry.actor),
            Ok(None) => {
                self.passed_over.insert(entry.kind.clone());
                Ok(())
            }
            Err(error) => Err(format!("{}: {error}", entry.kind)),
        };
        if let Err(why) = taken {
            self.misfits.push(Misfit {
                log: entry.log.clone(),
                seq: entry.seq,
                why,
            });
        }
    }

    /// The module of that identity, or of an identity it bore before.
    #[must_use]
    pub fn item(&self, identity: &str) -> Option<&Item> {
        let form = same_form(identity);
        self.items
            .get(&form)
            .or_else(|| self.items.get(self.borne.get(&form)?))
    }

    /// Modules on site, oldest first.
    #[must_use]
    pub fn on_site(&self) -> Vec<&Item> {
        let mut items: Vec<&Item> = self
            .items
            .values()
            .filter(|item| item.gone.is_none())
            .collect();
        items.sort_by(|one, other| {
            (one.received_at, &one.arrived.identity)
                .cmp(&(other.received_at, &other.arrived.identity))
        });
        items
    }

    /// Discrepancies that are not settled, the first due first.
    #[must_use]
    pub fn open_cases(&self) -> Vec<&Case> {
        let mut open: Vec<&Case> = self
            .cases
            .values()
            .filter(|case| case.settled.is_none())
            .collect();
        open.sort_by(|one, other| {
            (one.opened.clock.due, &one.opened.id).cmp(&(other.opened.clock.due, &other.opened.id))
        });
        open
    }

    /// The name of the next receipt.
    #[must_use]
    pub fn next_receipt(&self) -> String {
        format!("R{}", self.receipts.len() + 1)
    }

    pub(super) fn item_mut(&mut self, identity: &str) -> Result<&mut Item, String> {
        let form = self
            .item(identity)
            .map(|item| same_form(&item.arrived.identity))
            .ok_or_else(|| format!("`{identity}` never came to this site"))?;
        self.items
            .get_mut(&form)
            .ok_or_else(|| format!("`{identity}` never came to this site"))
    }

    pub(super) fn on_site_mut(&mut self, identity: &str) -> Result<&mut Item, String> {
        let item = self.item_mut(identity)?;
        if item.gone.is_some() {
            return Err(format!("`{identity}` has left the site"));
        }
        Ok(item)
    }

    fn receipt_mut(&mut self, name: &str) -> Result<&mut Receipt, String> {
        let receipt = self
            .receipts
            .get_mut(name)
            .ok_or_else(|| format!("there is no receipt {name}"))?;
        if receipt.state != ReceiptState::Open {
            return Err(format!("receipt {name} is not open"));
        }
        Ok(receipt)
    }

    /// Applies one event.
    ///
    /// # Errors
    /// Why it cannot be; nothing, or as much as could be, was changed.
    pub fn apply(&mut self, event: &RegisterEvent, at: Moment, actor: &str) -> Result<(), String> {
        match event {
            RegisterEvent::Opened(opened) => self.site = Some(opened.site.clone()),
            RegisterEvent::ReceiptOpened(opened) => self.open_receipt(opened, at, actor)?,
            RegisterEvent::Scanned(scanned) => self.scanned(scanned)?,
            RegisterEvent::ReceiptClosed(closed) => self.close(closed, at)?,
            RegisterEvent::LoadRefused(refused) => {
                let receipt = self.receipt_mut(&refused.receipt)?;
                receipt.state = ReceiptState::Refused;
                receipt.ended_at = Some(at);
                receipt.ended_by = Some(refused.refused_by.clone());
                receipt.refused_for = Some(refused.reason.clone());
                receipt.lines.clone_from(&refused.lines);
            }
            RegisterEvent::Discrepancy(opened) => {
                // The same difference written twice, as after a cut, is one case.
                self.cases.entry(opened.id.clone()).or_insert_with(|| Case {
                    opened: (**opened).clone(),
                    settled: None,
                });
            }
            RegisterEvent::Settled(settled) => {
                let case = self
                    .cases
                    .get_mut(&settled.id)
                    .ok_or_else(|| format!("there is no discrepancy {}", settled.id))?;
                if case.settled.is_some() {
                    return Err(format!("{} was settled before", settled.id));
                }
                case.settled = Some((at, (**settled).clone()));
            }
            RegisterEvent::Held(held) => self.hold(held, at)?,
            RegisterEvent::Reread(reread) => {
                let item = self.on_site_mut(&reread.identity)?;
                let hold = item
                    .hold
                    .as_mut()
                    .ok_or_else(|| format!("{} is not held", reread.identity))?;
                hold.findings.extend(reread.findings.iter().cloned());
                hold.readings.push((at, (**reread).clone()));
            }
            RegisterEvent::Cleared(cleared) => {
                let item = self.on_site_mut(&cleared.identity)?;
                if item.hold.take().is_none() {
                    return Err(format!("{} is not held", cleared.identity));
                }
                item.soundness = cleared.soundness;
                item.cleared.push((at, (**cleared).clone()));
            }
            RegisterEvent::Moved(moved) => {
                for identity in &moved.identities {
                    self.on_site_mut(identity)?.bay = Some(moved.to.clone());
                }
            }
            RegisterEvent::Consolidated(consolidated) => {
                for identity in &consolidated.identities {
                    self.on_site_mut(identity)?.unit = Some(consolidated.unit.clone());
                }
                self.units
                    .insert(consolidated.unit.clone(), consolidated.seal.clone());
            }
            RegisterEvent::Dispatched(dispatched) => {
                for identity in &dispatched.identities {
                    let item = self.on_site_mut(identity)?;
                    item.gone = Some(Departure {
                        at,
                        dispatched: (**dispatched).clone(),
                    });
                }
            }
            RegisterEvent::CertificateTaken(taken) => self.certify(taken, at)?,
            RegisterEvent::IdentityMerged(merged) => {
                self.merge(&merged.temporary, &merged.serial)?;
            }
            RegisterEvent::FactsStated(stated) => self.state(stated)?,
            RegisterEvent::ColumnsConfirmed(columns) => self.columns.push((**columns).clone()),
        }
        Ok(())
    }

    fn open_receipt(
        &mut self,
        opened: &ReceiptOpened,
        at: Moment,
        actor: &str,
    ) -> Result<(), String> {
        if self.receipts.contains_key(&opened.receipt) {
            return Err(format!("receipt {} was opened before", opened.receipt));
        }
        self.receipts.insert(
            opened.receipt.clone(),
            Receipt {
                opened: opened.clone(),
                opened_at: at,
                opened_by: actor.to_owned(),
                scans: Vec::new(),
                state: ReceiptState::Open,
                ended_at: None,
                ended_by: None,
                refused_for: None,
                lines: Vec::new(),
                not_looked_at: Vec::new(),
            },
        );
        Ok(())
    }

    fn scanned(&mut self, scanned: &Scanned) -> Result<(), String> {
        let receipt = self.receipt_mut(&scanned.receipt)?;
        let next = u32::try_from(receipt.scans.len() + 1).unwrap_or(u32::MAX);
        if scanned.number != next {
            return Err(format!(
                "scan {} of {} where {next} comes next",
                scanned.number, scanned.receipt
            ));
        }
        receipt.scans.push(scanned.scan.clone());
        Ok(())
    }

    fn close(&mut self, closed: &ReceiptClosed, at: Moment) -> Result<(), String> {
        let receipt = self.receipt_mut(&closed.receipt)?;
        receipt.state = ReceiptState::Closed;
        receipt.ended_at = Some(at);
        receipt.ended_by = Some(closed.received_by.clone());
        receipt.lines.clone_from(&closed.lines);
        receipt.not_looked_at.clone_from(&closed.not_looked_at);
        let (from, purpose) = (
            receipt.opened.handover.from.name.clone(),
            receipt.opened.handover.purpose.clone(),
        );
        let mut twice = Vec::new();
        for arrived in &closed.arrived {
            let plain = arrived.identity.clone();
            let mut form = same_form(&plain);
            let taken = self
                .items
                .get(&form)
                .is_some_and(|item| item.gone.is_none());
            if taken {
                // Two modules under one serial: both are kept, and told apart by the receipt.
                twice.push(arrived.identity.clone());
                form = same_form(&format!("{}#{}", arrived.identity, closed.receipt));
            }
            let mut arrived = arrived.clone();
            if taken {
                arrived.identity = format!("{}#{}", arrived.identity, closed.receipt);
            }
            // The hold is part of the closing entry, so that no cut can part the two.
            let hold = closed
                .lines
                .iter()
                .find(|line| line.subject == Subject::Module(plain.clone()))
                .and_then(|line| line.hold.clone())
                .map(|reason| HoldRecord {
                    since: at,
                    reason,
                    findings: arrived.findings.clone(),
                    readings: Vec::new(),
                });
            let item = Item {
                bay: arrived.bay.clone(),
                soundness: arrived.soundness,
                also: Vec::new(),
                receipt: closed.receipt.clone(),
                from: from.clone(),
                purpose: purpose.clone(),
                received_at: at,
                unit: None,
                hold,
                cleared: Vec::new(),
                gone: None,
                certified: Vec::new(),
                arrived,
            };
            self.items.insert(form, item);
        }
        if twice.is_empty() {
            Ok(())
        } else {
            Err(format!(
                "{} stood here already when receipt {} was closed",
                twice.join(", "),
                closed.receipt
            ))
        }
    }

    fn hold(&mut self, held: &Held, at: Moment) -> Result<(), String> {
        let item = self.on_site_mut(&held.identity)?;
        if item.hold.is_none() {
            item.hold = Some(HoldRecord {
                since: at,
                reason: held.reason.clone(),
                findings: held.findings.clone(),
                readings: Vec::new(),
            });
        }
        item.soundness = item.soundness.max(held.soundness);
        Ok(())
    }
}
