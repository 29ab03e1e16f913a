//! Reads one job into a dossier, broken or not: what can be read is audited.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Mutex;

use chrono::NaiveDate;

use super::places::{Kind, Place};
use crate::audit::{Dossier, Given, PaperHeld, opening_of};
use crate::ledger::{Log, Verification, Verifier};
use crate::procedure::{Procedure, Settings};
use crate::store::{
    JobFolder, StoreError, load_procedure, load_settings, papers_there, settings_sha256,
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

    /// A procedure that ships.
    fn shipped(&self, name: &str) -> Result<Procedure, StoreError> {
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

    /// The job at a place.
    ///
    /// # Errors
    /// What stands in the way of reading it, in words.
    pub(super) fn dossier(&self, place: &Place) -> Result<Dossier, String> {
        match place.kind {
            Kind::Job => self.job(&place.path),
            Kind::Bundle | Kind::Register => Err("this kind of record is not read here".into()),
        }
    }

    fn job(&self, path: &Path) -> Result<Dossier, String> {
        let folder = JobFolder::at(path);
        let record = folder
            .verification(&self.trusted)
            .map_err(|error| error.to_string())?;
        let name = opening_of(&record.log)?.plan.procedure_name().to_owned();
        let own_procedure = folder.file("procedure.toml");
        let procedure = if own_procedure.exists() {
            load_procedure(&name, Some(&own_procedure))
        } else {
            self.shipped(&name)
        }
        .map_err(|error| error.to_string())?;
        let own_settings = folder.file("settings.toml");
        let (settings, sha256) = if own_settings.exists() {
            let settings = load_settings(Some(&own_settings)).map_err(|error| error.to_string())?;
            let sha256 = settings_sha256(&settings);
            (settings, sha256)
        } else {
            (self.settings.clone(), self.settings_sha256.clone())
        };
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
        self.read(record, path, procedure, settings, sha256, papers)
    }

    fn read(
        &self,
        record: Verification,
        path: &Path,
        procedure: Procedure,
        settings: Settings,
        settings_sha256: String,
        papers: Vec<PaperHeld>,
    ) -> Result<Dossier, String> {
        Dossier::read(
            record,
            Given {
                source: path.display().to_string(),
                procedure,
                settings,
                settings_sha256,
                papers,
                day: self.day,
            },
        )
    }
}

/// The log at a place, to compare it with another copy.
pub(super) fn log_at(path: &Path) -> Option<Log> {
    JobFolder::at(path)
        .verification(&[])
        .ok()
        .map(|found| found.log)
}
