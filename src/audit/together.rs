//! What no single job can show: two copies of one log that differ, one serial in two jobs, small loads
//! that are none together.
//!
//! Remembers some 120 bytes a log, 16 a module, 8 a finding and 100 a vehicle and day, nothing else.

use std::collections::{BTreeMap, BTreeSet};

use super::on_vehicle::Vehicles;
use super::table::{ELSEWHERE, FORK, VEHICLE, check};
use super::{Audited, Finding, Found};
use crate::ledger::{Hash, sha256};

/// What was seen so far.
#[derive(Debug, Default)]
pub struct Together {
    logs: BTreeMap<Hash, Copy>,
    serials: BTreeMap<u64, usize>,
    jobs: Vec<(String, Hash)>,
    told: BTreeMap<Hash, BTreeSet<u64>>,
    vehicles: Vehicles,
}

#[derive(Debug)]
struct Copy {
    source: String,
    root: Hash,
}

/// What one more job shows beside the others.
#[derive(Debug, Default)]
pub struct Beside {
    /// Where another copy of the same log lies that is not the same; compare the two.
    pub other_copy: Option<String>,
    /// Serials that were removed in another job too, small loads that are none together.
    pub findings: Vec<Finding>,
}

impl Together {
    /// Takes one more job.
    pub fn add(&mut self, audited: &Audited) -> Beside {
        let mut beside = Beside::default();
        let Some(trace) = &audited.trace else {
            return beside;
        };
        match self.logs.get(&trace.first_leaf) {
            Some(copy) if copy.root != trace.root => {
                beside.other_copy = Some(copy.source.clone());
            }
            Some(_) => {}
            None => {
                let copy = Copy {
                    source: audited.source.clone(),
                    root: trace.root,
                };
                self.logs.insert(trace.first_leaf, copy);
            }
        }
        let own = self.jobs.len();
        self.jobs.push((audited.job.clone(), trace.first_leaf));
        for serial in &trace.serials {
            let key = key_of(serial);
            let Some(other) = self.serials.get(&key) else {
                self.serials.insert(key, own);
                continue;
            };
            if let Some((job, log)) = self.jobs.get(*other)
                && *log != trace.first_leaf
            {
                beside.findings.extend(over_jobs(
                    ELSEWHERE,
                    audited,
                    format!("serial {serial}"),
                    format!("removed in {job} as well"),
                    "one module is removed once",
                    "find out which of the two is the module; hold both until then",
                ));
            }
        }
        let named = (audited.job.as_str(), audited.site.as_str());
        for loaded in &trace.loaded {
            let found = self.vehicles.add(loaded, own, &self.jobs);
            if let (Some(found), Some(row)) = (found, check(VEHICLE)) {
                let one = Finding::of(row, named, &audited.source, found);
                beside.findings.push(one);
            }
        }
        beside
    }

    /// Takes away what was told of another copy of the same log already: a job and the bundle that
    /// its receiver kept are one job. Copies that differ are not asked; each tells its own.
    pub fn tell_once(&mut self, audited: &mut Audited) {
        let Some(trace) = &audited.trace else { return };
        let told = self.told.entry(trace.first_leaf).or_default();
        audited.findings.retain(|finding| {
            let entry = finding
                .entry
                .map_or_else(String::new, |entry| entry.to_string());
            let module = finding.module.as_deref().unwrap_or_default();
            let person = finding.person.as_deref().unwrap_or_default();
            told.insert(key_of(&format!(
                "{}\0{entry}\0{module}\0{person}\0{}\0{}",
                finding.check, finding.what, finding.found
            )))
        });
    }
}

/// The first 64 bits of the hash of a text.
pub(super) fn key_of(text: &str) -> u64 {
    sha256(text.as_bytes())
        .iter()
        .take(8)
        .fold(0_u64, |key, byte| (key << 8) | u64::from(*byte))
}

/// The finding that two copies of one log differ at an entry.
#[must_use]
pub fn forked(audited: &Audited, other: &str, at: u64) -> Option<Finding> {
    over_jobs(
        FORK,
        audited,
        "copies of the log".to_owned(),
        format!("this one and `{other}` differ from entry {at} on"),
        "one copy is the beginning of the other",
        "keep both; ask the device's owner; neither is taken for the true one",
    )
}

fn over_jobs(
    id: &str,
    audited: &Audited,
    what: String,
    found: String,
    limit: &str,
    way_out: &str,
) -> Option<Finding> {
    let found = Found::new(what, found).limit(limit).way_out(way_out);
    let named = (audited.job.as_str(), audited.site.as_str());
    Some(Finding::of(check(id)?, named, &audited.source, found))
}
