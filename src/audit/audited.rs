//! Asks every check of one job, and gives what later pages are made of.

use chrono::NaiveDate;
use serde::Serialize;

use crate::ledger::Hash;

use super::checks::{dead_test, small_load};
use super::on_vehicle::Loaded;
use super::table::{ASKED_LAST, CHECKS, LOOK_BACK, UNREADABLE, check};
use super::{Check, Dossier, Finding, Found, Severity};

/// A tester that failed its next check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FailedTester {
    /// Its serial.
    pub serial: String,
    /// The last day on which it was known to be good.
    pub last_good: NaiveDate,
}

/// By what a job is known again beside others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trace {
    /// Leaf of the first entry: the same in every copy of one log.
    pub first_leaf: Hash,
    /// Root over all entries.
    pub root: Hash,
    /// Serials read on the modules that were removed.
    pub serials: Vec<String>,
    /// What its hand-overs put on vehicles that were named.
    pub loaded: Vec<Loaded>,
}

/// What an audit of one job gave.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Audited {
    /// Folder or file.
    pub source: String,
    /// The job; empty where none can be read.
    pub job: String,
    /// Its site.
    pub site: String,
    /// Entries in its log.
    pub entries: u64,
    /// Whether it is an invented job, signed with the public demo key.
    pub demo: bool,
    /// What was found, the gravest first.
    pub findings: Vec<Finding>,
    /// By what the job is known again; absent where none can be read.
    #[serde(skip)]
    pub trace: Option<Trace>,
}

/// Asks every check.
#[must_use]
pub fn audit(dossier: &Dossier, failed: Option<&FailedTester>) -> Audited {
    let mut findings = Vec::new();
    for row in CHECKS {
        let said: bool = findings
            .iter()
            .any(|finding: &Finding| finding.severity < Severity::Note);
        if row.id == ASKED_LAST && said {
            continue;
        }
        let found = match (row.id, failed) {
            (LOOK_BACK, Some(failed)) => {
                dead_test::tested_since(dossier, &failed.serial, failed.last_good)
            }
            _ => (row.ask)(dossier),
        };
        findings.extend(found.into_iter().map(|found| finding(row, dossier, found)));
    }
    findings.sort();
    Audited {
        source: dossier.source.clone(),
        job: dossier.plan().job.clone(),
        site: dossier.plan().site.name.clone(),
        entries: dossier.record.size,
        demo: dossier.plan().demo,
        findings,
        trace: trace(dossier),
    }
}

/// A folder or file that no job can be read from.
#[must_use]
pub fn unreadable(source: &str, why: &str) -> Audited {
    let found = Found::new("the record", why)
        .limit("a job folder, a bundle or a register that can be read")
        .way_out("ask for another copy; `packdown verify` names the breaks of a job folder");
    let findings = check(UNREADABLE)
        .map(|row| Finding::of(row, ("", ""), source, found))
        .into_iter()
        .collect();
    Audited {
        source: source.to_owned(),
        job: String::new(),
        site: String::new(),
        entries: 0,
        demo: false,
        findings,
        trace: None,
    }
}

fn trace(dossier: &Dossier) -> Option<Trace> {
    let log = &dossier.record.log;
    Some(Trace {
        first_leaf: log.leaf(0)?,
        root: log.root(),
        serials: (0..dossier.frame().modules.len())
            .filter(|module| dossier.job.progress().is_lifted(dossier.frame(), *module))
            .map(|module| dossier.job.identity(module))
            .filter(|(_, read)| *read)
            .map(|(serial, _)| serial)
            .collect(),
        loaded: small_load::loaded(dossier),
    })
}

fn finding(row: &Check, dossier: &Dossier, mut found: Found) -> Finding {
    let by = found.person.take();
    found.person = by.map(|id| dossier.frame().name_of(&id).to_owned());
    let plan = dossier.plan();
    Finding::of(row, (&plan.job, &plan.site.name), &dossier.source, found)
}
