//! Where the goods changed hands, as either side wrote it down.

use std::collections::BTreeSet;

use super::Dossier;
use crate::clock::Moment;
use crate::custody::{Handover, RELEASED};
use crate::ledger::to_hex;
use crate::procedure::Act;

/// Which side wrote it down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// The one that gave the goods away.
    Gave,
    /// The one that took them.
    Took,
}

/// A package as it changed hands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExchangedPackage {
    /// Its id; empty where only modules were counted.
    pub id: String,
    /// Its seal.
    pub seal: Option<String>,
    /// Serials or job serials in it.
    pub identities: BTreeSet<String>,
}

/// A change of hands as one side wrote it down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exchange {
    /// Which side wrote it.
    pub side: Side,
    /// When.
    pub at: Moment,
    /// Where; empty where nobody said.
    pub place: String,
    /// Who gave; empty where nobody said.
    pub from: String,
    /// Who took; empty where nobody said.
    pub to: String,
    /// Address of who took; empty where nobody said.
    pub to_address: String,
    /// The vehicle it was loaded on, where that was said.
    pub vehicle: Option<String>,
    /// Packages counted.
    pub count: Option<u64>,
    /// What changed hands, where it was listed.
    pub packages: Option<Vec<ExchangedPackage>>,
    /// Whether seals were whole, or those of the paper.
    pub seals_whole: Option<bool>,
    /// In words; empty where nobody said.
    pub condition: String,
    /// The log it stands in, and the number in it.
    pub log: String,
    /// Number in that log.
    pub seq: u64,
    /// The leaf of this entry, lower-case hex.
    pub leaf: String,
    /// Leaf of the other side's entry that this one answers.
    pub answers: Option<String>,
    /// The job that it is of.
    pub job: String,
    /// Number of the hand-over in the job; 0 where it has none of its own.
    pub number: u32,
}

impl Exchange {
    /// Every identity that changed hands; `None` where they were not listed.
    #[must_use]
    pub fn identities(&self) -> Option<BTreeSet<String>> {
        let packages = self.packages.as_ref()?;
        Some(
            packages
                .iter()
                .flat_map(|package| package.identities.iter().cloned())
                .collect(),
        )
    }
}

/// The changes of hands in a job's own log. A hand-over with its own entry stands for the step that
/// signed for it.
pub(super) fn exchanges_of(dossier: &Dossier) -> Vec<Exchange> {
    let origin = dossier.record.log.origin();
    let mut found: Vec<Exchange> = dossier
        .record
        .log
        .entries()
        .iter()
        .filter(|logged| logged.kind == RELEASED)
        .filter_map(|logged| {
            let handover: Handover = serde_json::from_value(logged.body.clone()).ok()?;
            let leaf = dossier.record.log.leaf(logged.seq)?;
            Some(given_away(&handover, origin, logged.seq, &to_hex(&leaf)))
        })
        .collect();
    let has_own = !found.is_empty();
    for (act, side) in [(Act::Release, Side::Gave), (Act::Receive, Side::Took)] {
        if has_own && side == Side::Gave {
            continue;
        }
        for one in dossier.doing(act) {
            let said = &one.entry.evidence;
            let text = |name: &str| said.text(name).unwrap_or_default().to_owned();
            found.push(Exchange {
                side,
                at: one.entry.at,
                place: text("place"),
                from: text("released_by_name"),
                to: text("received_by_name"),
                to_address: String::new(),
                vehicle: None,
                count: said
                    .number("packages")
                    .and_then(crate::units::Decimal::as_whole)
                    .and_then(|n| u64::try_from(n).ok()),
                packages: None,
                seals_whole: said
                    .yes_no("seals_intact")
                    .or_else(|| said.yes_no("seals_match")),
                condition: said
                    .text("condition")
                    .or_else(|| said.text("damage"))
                    .unwrap_or_default()
                    .to_owned(),
                log: origin.to_owned(),
                seq: one.seq,
                leaf: dossier
                    .record
                    .log
                    .leaf(one.seq)
                    .map_or_else(String::new, |leaf| to_hex(&leaf)),
                answers: None,
                job: dossier.plan().job.clone(),
                number: 0,
            });
        }
    }
    found.sort_by_key(|one| one.at);
    found
}

/// A hand-over as the giver wrote it.
pub(super) fn given_away(handover: &Handover, log: &str, seq: u64, leaf: &str) -> Exchange {
    let packages: Vec<ExchangedPackage> = handover
        .packages
        .iter()
        .map(|package| ExchangedPackage {
            id: package.id.clone(),
            seal: package.seal.clone(),
            identities: package
                .modules
                .iter()
                .map(|module| module.identity.clone())
                .collect(),
        })
        .collect();
    let conditions: Vec<&str> = handover
        .packages
        .iter()
        .map(|package| package.condition.as_str())
        .filter(|condition| !condition.is_empty())
        .collect();
    Exchange {
        side: Side::Gave,
        at: handover.at,
        place: handover.place.clone(),
        from: handover.released_by.clone(),
        to: handover.to.name.clone(),
        to_address: handover.to.address.clone(),
        vehicle: handover.vehicle.clone(),
        count: u64::try_from(packages.len()).ok(),
        packages: Some(packages),
        seals_whole: None,
        condition: conditions.join("; "),
        log: log.to_owned(),
        seq,
        leaf: leaf.to_owned(),
        answers: None,
        job: handover.job.clone(),
        number: handover.number,
    }
}
