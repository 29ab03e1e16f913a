//! How long a job's papers must be kept, by rule and region, and from when they may go.

use chrono::{Days, Months, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Dossier;
use super::checks::deadlines::goes_by_adr;
use crate::citation::Known;
use crate::transport::{UsWaste, WasteLaw};

/// One period of keeping.
#[derive(Debug, Clone, Copy)]
pub struct KeepRule {
    /// Permanent name.
    pub id: &'static str,
    /// Where it holds.
    pub region: &'static str,
    /// What is kept.
    pub what: &'static str,
    /// For how many months.
    pub months: u32,
    /// And days on top.
    pub days: u32,
    /// From when it is counted.
    pub from: CountedFrom,
    /// Where it is written.
    pub clause: &'static str,
    /// How that is known.
    pub known: Known,
    applies: fn(&Dossier) -> bool,
}

/// From when a period is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CountedFrom {
    /// The first carrier took the goods.
    Handover,
    /// The last entry of the job.
    LastEntry,
}

/// Every period, the shortest first. What is only remembered is there because keeping longer hurts
/// nobody.
pub const KEEP_RULES: [KeepRule; 9] = [
    KeepRule {
        id: "adr-document",
        region: "ADR states",
        what: "transport document and what goes with it, consignor and carrier",
        months: 3,
        days: 0,
        from: CountedFrom::Handover,
        clause: "ADR 2025, 5.4.4",
        known: Known::Read,
        applies: goes_by_adr,
    },
    KeepRule {
        id: "us-carrier-paper",
        region: "United States",
        what: "shipping paper, motor carrier",
        months: 12,
        days: 0,
        from: CountedFrom::Handover,
        clause: "49 CFR 177.817(f)",
        known: Known::Memory,
        applies: Dossier::is_in_the_us,
    },
    KeepRule {
        id: "us-shipping-paper",
        region: "United States",
        what: "shipping paper, shipper, with the day on which the carrier took it",
        months: 24,
        days: 0,
        from: CountedFrom::Handover,
        clause: "49 CFR 172.201(e)",
        known: Known::Memory,
        applies: Dossier::is_in_the_us,
    },
    KeepRule {
        id: "us-incident-report",
        region: "United States",
        what: "report of an incident on the way",
        months: 24,
        days: 0,
        from: CountedFrom::LastEntry,
        clause: "49 CFR 171.16(b)",
        known: Known::Read,
        applies: Dossier::is_in_the_us,
    },
    KeepRule {
        id: "us-universal-waste",
        region: "United States",
        what: "record of universal waste sent and received, large handler; kept for every handler here",
        months: 36,
        days: 0,
        from: CountedFrom::Handover,
        clause: "40 CFR 273.39(c)",
        known: Known::Read,
        applies: us_waste,
    },
    KeepRule {
        id: "us-manifest",
        region: "United States",
        what: "hazardous-waste manifest and shipping paper",
        months: 36,
        days: 0,
        from: CountedFrom::Handover,
        clause: "40 CFR 262.40(a); 49 CFR 172.201(e)",
        known: Known::Memory,
        applies: us_hazardous,
    },
    KeepRule {
        id: "us-training",
        region: "United States",
        what: "training record of each person who packed, marked or carried; 90 days after the person leaves",
        months: 36,
        days: 90,
        from: CountedFrom::LastEntry,
        clause: "49 CFR 172.704(d)",
        known: Known::Memory,
        applies: Dossier::is_in_the_us,
    },
    KeepRule {
        id: "eu-waste-shipment",
        region: "European Union",
        what: "papers of a shipment of waste; older rule three years, the new text said to be five",
        months: 60,
        days: 0,
        from: CountedFrom::Handover,
        clause: "Regulation (EU) 2024/1157",
        known: Known::Memory,
        applies: eu_waste,
    },
    KeepRule {
        id: "whole-job",
        region: "everywhere",
        what: "the whole job with its ledger, for claims",
        months: 84,
        days: 0,
        from: CountedFrom::LastEntry,
        clause: "setting retention_years",
        known: Known::ProjectDefault,
        applies: always,
    },
];

const fn always(_: &Dossier) -> bool {
    true
}

fn us_waste(dossier: &Dossier) -> bool {
    dossier.is_in_the_us() && dossier.plan().purpose.is_waste()
}

fn eu_waste(dossier: &Dossier) -> bool {
    dossier.plan().purpose.is_waste()
        && dossier.plan().route.iter().enumerate().any(|(leg, on)| {
            leg == 0 && crate::transport::waste_law(&dossier.job.facts(0, on)) == WasteLaw::Europe
        })
}

fn us_hazardous(dossier: &Dossier) -> bool {
    dossier.is_in_the_us()
        && dossier.decisions().iter().any(|verdict| {
            verdict
                .decision
                .waste
                .as_ref()
                .is_some_and(|waste| waste.us == Some(UsWaste::HazardousWaste))
        })
}

/// The period that holds a job's file longest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Longest {
    /// For how many months.
    pub(super) months: u32,
    /// What is kept.
    pub(super) what: &'static str,
}

/// The longest period of law that applies to a job.
pub(super) fn longest_for(dossier: &Dossier) -> Longest {
    KEEP_RULES
        .iter()
        .filter(|rule| rule.known != Known::ProjectDefault && (rule.applies)(dossier))
        .max_by_key(|rule| rule.months)
        .map_or(
            Longest {
                months: 0,
                what: "no rule",
            },
            |rule| Longest {
                months: rule.months,
                what: rule.what,
            },
        )
}

/// One line of the calendar.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub struct Kept {
    /// Last day of the period.
    pub until: NaiveDate,
    /// The job.
    pub job: String,
    /// The rule.
    pub rule: String,
    /// Where it holds.
    pub region: String,
    /// What is kept.
    pub what: String,
    /// From when it is counted.
    pub since: NaiveDate,
    /// Where it is written, and how that is known.
    pub clause: String,
    /// Whether a legal hold keeps it however long.
    pub legal_hold: bool,
    /// Whether it may go on the day of the audit. What is kept under a longer rule stays.
    pub may_go: bool,
}

/// The calendar of one job; `held` where a legal hold is on it.
#[must_use]
pub fn calendar(dossier: &Dossier, held: bool) -> Vec<Kept> {
    let last = dossier
        .entries
        .last()
        .map_or(dossier.plan().planned_on, |one| one.entry.at.local_day());
    let gone = dossier
        .released()
        .map_or(last, |one| one.entry.at.local_day());
    KEEP_RULES
        .iter()
        .filter(|rule| (rule.applies)(dossier))
        .filter_map(|rule| {
            let since = match rule.from {
                CountedFrom::Handover => gone,
                CountedFrom::LastEntry => last,
            };
            let until = since
                .checked_add_months(Months::new(rule.months))?
                .checked_add_days(Days::new(u64::from(rule.days)))?;
            Some(Kept {
                until,
                job: dossier.plan().job.clone(),
                rule: rule.id.to_owned(),
                region: rule.region.to_owned(),
                what: rule.what.to_owned(),
                since,
                clause: match rule.known {
                    Known::Read => rule.clause.to_owned(),
                    other => format!("{} ({})", rule.clause, other.words()),
                },
                legal_hold: held,
                may_go: !held && dossier.day > until,
            })
        })
        .collect()
}
