//! A closed receipt as answers show it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{Closing, Line, Subject, verdict};
use crate::store::OpenRegister;

/// One line.
#[derive(Debug, Clone, Serialize)]
pub struct LineShown {
    /// What.
    pub what: String,
    /// Its package.
    pub package: Option<String>,
    /// Answers.
    pub answers: Vec<&'static str>,
    /// How it was received.
    pub how: Option<String>,
    /// What the sender stated.
    pub sent: BTreeMap<String, String>,
    /// What was found.
    pub found: BTreeMap<String, String>,
    /// Why.
    pub reasons: Vec<Reason>,
}

/// A module that is held.
#[derive(Debug, Clone, Serialize)]
pub struct HeldShown {
    /// Which.
    pub identity: String,
    /// Why.
    pub reason: String,
    /// Condition.
    pub soundness: &'static str,
    /// Bay; absent where none had room.
    pub bay: Option<String>,
    /// When it is to be read.
    pub read_at: Vec<Moment>,
}

/// A closed receipt.
#[derive(Debug, Clone, Serialize)]
pub struct ReceiptShown {
    /// Name.
    pub receipt: String,
    /// Who received.
    pub received_by: String,
    /// Who brought it.
    pub delivered_by: String,
    /// From whom.
    pub from: String,
    /// How the statement is proved.
    pub proof: String,
    /// When it was closed.
    pub at: Moment,
    /// Lines by answer.
    pub count: BTreeMap<&'static str, usize>,
    /// Every line.
    pub lines: Vec<LineShown>,
    /// Held modules.
    pub held: Vec<HeldShown>,
    /// Modules that found no bay.
    pub at_the_dock: Vec<(String, Vec<Reason>)>,
    /// What nobody looked at.
    pub not_looked_at: Vec<String>,
    /// The first day on which a discrepancy must be settled, with why and where that is written.
    pub settle_by: Option<(NaiveDate, String, String)>,
    /// Limits that are broken now.
    pub limits: Vec<Reason>,
}

impl ReceiptShown {
    /// Whether every line is as stated.
    #[must_use]
    pub fn is_as_stated(&self) -> bool {
        self.lines.iter().all(|line| line.answers == ["received"])
    }
}

pub(super) fn line_shown(line: &Line) -> LineShown {
    LineShown {
        what: line.subject.to_string(),
        package: line.package.clone(),
        answers: line.answers.iter().map(|answer| answer.name()).collect(),
        how: line.how.clone(),
        sent: line.sent.clone(),
        found: line.found.clone(),
        reasons: line.reasons.clone(),
    }
}

pub(super) fn receipt_shown(
    open: &OpenRegister,
    name: &str,
    closing: &Closing,
    now: Moment,
) -> ReceiptShown {
    let receipt = open.register.receipts.get(name);
    let mut count = BTreeMap::new();
    for line in &closing.compared.lines {
        if line.subject == Subject::Load {
            continue;
        }
        for answer in &line.answers {
            *count.entry(answer.name()).or_insert(0) += 1;
        }
    }
    let held = open
        .register
        .on_site()
        .into_iter()
        .filter(|item| item.receipt == name)
        .filter_map(|item| {
            let hold = item.hold.as_ref()?;
            Some(HeldShown {
                identity: item.arrived.identity.clone(),
                reason: hold.reason.clone(),
                soundness: item.soundness.word(),
                bay: item.bay.clone(),
                read_at: verdict(item, &open.tolerances, now)
                    .map(|verdict| verdict.due.iter().map(|due| due.at).collect())
                    .unwrap_or_default(),
            })
        })
        .collect();
    let settle_by = open
        .register
        .open_cases()
        .into_iter()
        .find(|case| case.opened.receipt == name)
        .map(|case| {
            let clock = &case.opened.clock;
            (clock.due, clock.basis.clone(), clock.clause.clone())
        });
    ReceiptShown {
        receipt: name.to_owned(),
        received_by: receipt
            .and_then(|one| one.ended_by.clone())
            .unwrap_or_default(),
        delivered_by: receipt.map_or_else(String::new, |one| one.opened.delivered_by.clone()),
        from: receipt.map_or_else(String::new, |one| one.opened.handover.from.name.clone()),
        proof: receipt.map_or_else(String::new, |one| one.opened.proof.clone()),
        at: now,
        count,
        lines: closing.compared.lines.iter().map(line_shown).collect(),
        held,
        at_the_dock: closing.at_the_dock.clone(),
        not_looked_at: closing.compared.not_looked_at.clone(),
        settle_by,
        limits: crate::custody::Stock::of(&open.site, &open.register).broken(&open.site),
    }
}
