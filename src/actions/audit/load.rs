//! Reads one job into a dossier, broken or not: what can be read is audited.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Mutex;

use chrono::NaiveDate;

use super::places::{Kind, Place};
use crate::audit::{
    ConsignmentRecord, Dossier, Given, PaperHeld, RegisterRecord, is_consignment, opening_of,
};
use crate::ledger::{Log, Verification, Verifier};
use crate::procedure::{Procedure, Settings};
use crate::store::bag::inspect_bundle;
use crate::store::{
    JobFolder, Rulebook, Rules, StoreError, load_procedure, load_settings, papers_there, rules_of,
    settings_sha256,
};

/// Procedures and settings that many jobs share, read once.
pub(super) struct Shelf {
    procedures: Mutex<BTreeMap<String, Procedure>>,
    settings: Settings,
    settings_sha256: String,
    day: NaiveDate,
    trusted: Vec<Verifier>,
}

impl Shelf {
    pub(super) fn new(day: NaiveDate, trusted: Vec<Verifier>) -> Result<Self, StoreError> {
        let settings = load_settings(None)?;
        Ok(Self {
            procedures: Mutex::default(),
            settings_sha256: settings_sha256(&settings),
            settings,
            day,
            trusted,
        })
    }

    /// The job, or the load that was sent on, at a place.
    ///
    /// # Errors
    /// What stands in the way of reading it, in words.
    pub(super) fn read(&self, place: &Place) -> Result<Read, String> {
        match place.kind {
            Kind::Job => self.job(&place.path).map(Box::new).map(Read::Job),
            Kind::Bundle => self.bundle(&place.path),
            Kind::Register => Err("a register holds no job of its own".into()),
        }
    }

    fn job(&self, path: &Path) -> Result<Dossier, String> {
        let folder = JobFolder::at(path);
        let record = folder
            .verification(&self.trusted)
            .map_err(|error| error.to_string())?;
        let opened = opening_of(&record.log)?;
        let rules = rules_of(&opened, self, &mut |name| folder.text(name))
            .map_err(|error| error.to_string())?;
        let papers = papers_there(&folder, &record.log)
            .into_iter()
            .map(|paper| PaperHeld {
                issue: paper.issue,
                there: paper.bytes.is_some(),
                as_issued: paper.as_issued,
                text: (paper.name == "decisions.json")
                    .then_some(paper.bytes)
                    .flatten()
                    .and_then(|bytes| String::from_utf8(bytes).ok()),
                name: paper.name,
            })
            .collect();
        self.dossier(record, path, rules, papers, Vec::new())
    }

    fn bundle(&self, path: &Path) -> Result<Read, String> {
        let words = |error: StoreError| error.to_string();
        let found = inspect_bundle(path, &self.trusted).map_err(words)?;
        let Some(bundle) = found.bundle else {
            let first = found.faults.into_iter().next();
            return Err(first.unwrap_or_else(|| "it has no hand-over".into()));
        };
        if is_consignment(&bundle.job_log) {
            let faults = found.faults.into_iter();
            return Ok(Read::Consignment(Box::new(ConsignmentRecord {
                source: path.display().to_string(),
                handover: bundle.handover,
                leaf: bundle.released.leaf_hash,
                record: bundle.verification,
                bundle_faults: faults.filter(|one| !one.starts_with("log: ")).collect(),
                day: self.day,
            })));
        }
        let opened = opening_of(&bundle.job_log)?;
        let rules = rules_of(&opened, self, &mut |name| {
            Ok(found.texts.get(name).cloned())
        })
        .map_err(words)?;
        let mut papers = Vec::new();
        for paper in &bundle.handover.papers {
            let place = format!("data/papers/{}", paper.name);
            let there = bundle.files.iter().find(|file| file.path == place);
            let decisions = found.texts.get("papers/decisions.json");
            papers.push(PaperHeld {
                issue: paper.issue,
                there: there.is_some(),
                as_issued: there.is_some_and(|file| file.sha256 == paper.sha256),
                text: decisions
                    .filter(|_| paper.name == "decisions.json")
                    .cloned(),
                name: paper.name.clone(),
            });
        }
        // Faults of the log are said by the checks of the log.
        let faults = found
            .faults
            .into_iter()
            .filter(|fault| !fault.starts_with("log: ") && !fault.starts_with("paper `"))
            .collect();
        self.dossier(bundle.verification, path, rules, papers, faults)
            .map(Box::new)
            .map(Read::Job)
    }

    /// The register at a place.
    ///
    /// # Errors
    /// What stands in the way of reading it, in words.
    pub(super) fn register(&self, path: &Path) -> Result<RegisterRecord, String> {
        // A register keeps its log in the manner of a job.
        let record = JobFolder::at(path)
            .verification(&self.trusted)
            .map_err(|error| error.to_string())?;
        Ok(RegisterRecord {
            source: path.display().to_string(),
            record,
            day: self.day,
        })
    }

    fn dossier(
        &self,
        record: Verification,
        path: &Path,
        rules: Rules,
        papers: Vec<PaperHeld>,
        bundle_faults: Vec<String>,
    ) -> Result<Dossier, String> {
        Dossier::read(
            record,
            Given {
                source: path.display().to_string(),
                procedure: rules.procedure,
                settings: rules.settings,
                settings_sha256: rules.settings_sha256,
                papers,
                bundle_faults,
                day: self.day,
            },
        )
    }
}

impl Rulebook for Shelf {
    fn procedure(&self, name: &str) -> Result<Procedure, StoreError> {
        // A thread that stopped in the middle of an insert left the map as it was.
        let mut kept = self
            .procedures
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(procedure) = kept.get(name) {
            return Ok(procedure.clone());
        }
        let procedure = load_procedure(name, None)?;
        kept.insert(name.to_owned(), procedure.clone());
        Ok(procedure)
    }

    fn settings(&self) -> Result<(Settings, String), StoreError> {
        Ok((self.settings.clone(), self.settings_sha256.clone()))
    }
}

/// What lies at a place.
pub(super) enum Read {
    Job(Box<Dossier>),
    /// A load that a site sent on.
    Consignment(Box<ConsignmentRecord>),
}

/// The log at a place, to compare it with another copy.
pub(super) fn log_at(path: &Path) -> Option<Log> {
    if path.is_file() || path.join("bagit.txt").is_file() {
        return inspect_bundle(path, &[])
            .ok()?
            .bundle
            .map(|bundle| bundle.job_log);
    }
    JobFolder::at(path)
        .verification(&[])
        .ok()
        .map(|found| found.log)
}
