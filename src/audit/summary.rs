//! What an audit found over all jobs: by weight, check, site and person.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Audited, Finding, Severity};

/// Findings under one name.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Counted {
    /// The name.
    pub name: String,
    /// All of them.
    pub findings: u64,
    /// Of these critical.
    pub critical: u64,
    /// Of these major.
    pub major: u64,
    /// Of these minor.
    pub minor: u64,
    /// Of these to be looked at.
    pub notes: u64,
}

/// What an audit found over all jobs.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Summary {
    /// Jobs looked at.
    pub jobs: u64,
    /// Registers of receivers looked at.
    pub registers: u64,
    /// Of the jobs with at least one finding.
    pub jobs_with_findings: u64,
    /// Of these invented ones, signed with the public demo key.
    pub demo_jobs: u64,
    /// Entries in their logs.
    pub entries: u64,
    /// All findings.
    pub total: Counted,
    /// By check, by name.
    pub by_check: Vec<Counted>,
    /// By site, the worst first.
    pub by_site: Vec<Counted>,
    /// By person, the worst first.
    pub by_person: Vec<Counted>,
    #[serde(skip)]
    checks: BTreeMap<String, Counted>,
    #[serde(skip)]
    sites: BTreeMap<String, Counted>,
    #[serde(skip)]
    persons: BTreeMap<String, Counted>,
}

impl Counted {
    fn add(&mut self, severity: Severity) {
        self.findings += 1;
        match severity {
            Severity::Critical => self.critical += 1,
            Severity::Major => self.major += 1,
            Severity::Minor => self.minor += 1,
            Severity::Note => self.notes += 1,
        }
    }
}

impl Summary {
    /// Counts what one job gave.
    pub fn add(&mut self, audited: &Audited) {
        self.jobs += 1;
        self.demo_jobs += u64::from(audited.demo);
        self.entries += audited.entries;
        self.jobs_with_findings += u64::from(!audited.findings.is_empty());
        for finding in &audited.findings {
            self.add_finding(finding);
        }
    }

    /// Counts what the register of a receiver gave.
    pub fn add_register(&mut self, audited: &Audited) {
        self.registers += 1;
        self.entries += audited.entries;
        for finding in &audited.findings {
            self.add_finding(finding);
        }
    }

    /// Counts a finding over several jobs.
    pub fn add_finding(&mut self, finding: &Finding) {
        self.total.add(finding.severity);
        count(&mut self.checks, &finding.check, finding.severity);
        if !finding.site.is_empty() {
            count(&mut self.sites, &finding.site, finding.severity);
        }
        if let Some(person) = &finding.person {
            count(&mut self.persons, person, finding.severity);
        }
    }

    /// Puts the lists in order, once everything is counted.
    pub fn finish(&mut self) {
        self.total.name = "all".into();
        self.by_check = self.checks.values().cloned().collect();
        self.by_site = worst_first(&self.sites);
        self.by_person = worst_first(&self.persons);
    }
}

fn count(into: &mut BTreeMap<String, Counted>, name: &str, severity: Severity) {
    into.entry(name.to_owned())
        .or_insert_with(|| Counted {
            name: name.to_owned(),
            ..Counted::default()
        })
        .add(severity);
}

fn worst_first(all: &BTreeMap<String, Counted>) -> Vec<Counted> {
    let mut list: Vec<Counted> = all.values().cloned().collect();
    list.sort_by(|a, b| {
        (b.critical, b.major, b.minor, b.notes, &a.name)
            .cmp(&(a.critical, a.major, a.minor, a.notes, &b.name))
    });
    list
}
