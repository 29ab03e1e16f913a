//! One finding: what an auditor would write down, and the entry that it rests on.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Check, Recorded};
use crate::citation::Reason;

/// How grave a finding is; the gravest first.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Somebody could have been hurt, or nobody can say where the goods were.
    Critical,
    /// The record would not be accepted, or a duty of law was not met.
    Major,
    /// Weak evidence: to be put right before an inspector asks.
    Minor,
    /// To be looked at; perhaps nothing is wrong.
    Note,
}

impl Severity {
    /// Every one, the gravest first.
    pub const ALL: [Self; 4] = [Self::Critical, Self::Major, Self::Minor, Self::Note];

    /// The word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Critical => "critical",
            Self::Major => "major",
            Self::Minor => "minor",
            Self::Note => "note",
        }
    }
}

/// A finding.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub struct Finding {
    /// How grave it is.
    pub severity: Severity,
    /// The check that found it, by id.
    pub check: String,
    /// The job.
    pub job: String,
    /// The site of the job.
    pub site: String,
    /// The person who made the entry, by name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// The module, where it is one module's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub module: Option<String>,
    /// The entry that it rests on: its number in the log, from 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entry: Option<u64>,
    /// The step of that entry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// When that entry was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// What was looked at.
    pub what: String,
    /// What was found.
    pub found: String,
    /// What it had to be.
    pub limit: String,
    /// Where that is written, and how it is known.
    pub clause: String,
    /// What to do now.
    pub way_out: String,
    /// Folder or file it was read from.
    pub source: String,
}

impl Finding {
    /// What `row` found about a job or register of a `(name, site)`, read from `source`; people by
    /// name already. The check's own clause stands where the finding brings none.
    pub(super) fn of(row: &Check, (job, site): (&str, &str), source: &str, found: Found) -> Self {
        let Reason {
            what,
            value,
            limit,
            clause,
            way_out,
        } = found.reason;
        Self {
            severity: row.severity,
            check: row.id.to_owned(),
            job: job.to_owned(),
            site: site.to_owned(),
            person: found.person,
            module: found.module,
            entry: found.entry,
            step: found.step,
            at: found.at,
            what,
            found: value,
            limit,
            clause: if clause.is_empty() {
                row.shown_clause()
            } else {
                clause
            },
            way_out,
            source: source.to_owned(),
        }
    }
}

/// What a check gives; the table adds severity and clause, the dossier job and names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Number in the log.
    pub(super) entry: Option<u64>,
    /// Id of the person.
    pub(super) person: Option<String>,
    /// Id of the module.
    pub(super) module: Option<String>,
    pub(super) step: Option<String>,
    pub(super) at: Option<String>,
    /// What, value, limit, clause where it is not the check's own, way out.
    pub(super) reason: Reason,
}

impl Found {
    /// What was looked at, and what was found.
    #[must_use]
    pub fn new(what: impl Into<String>, found: impl Into<String>) -> Self {
        Self {
            entry: None,
            person: None,
            module: None,
            step: None,
            at: None,
            reason: Reason::new(what, found),
        }
    }

    /// The entry that it rests on.
    #[must_use]
    pub fn on(mut self, recorded: &Recorded) -> Self {
        self.entry = Some(recorded.seq);
        self.person = Some(recorded.entry.by.clone());
        self.module.clone_from(&recorded.entry.module);
        self.step.clone_from(&recorded.entry.step);
        self.at = Some(recorded.entry.at.to_string());
        self
    }

    /// The place in the log that it rests on, where it is no entry of the field record.
    #[must_use]
    pub const fn at_seq(mut self, seq: u64) -> Self {
        self.entry = Some(seq);
        self
    }

    /// The module.
    #[must_use]
    pub fn module(mut self, id: &str) -> Self {
        self.module = Some(id.to_owned());
        self
    }

    /// The person, by id.
    #[must_use]
    pub fn by(mut self, id: &str) -> Self {
        self.person = Some(id.to_owned());
        self
    }

    /// What it had to be.
    #[must_use]
    pub fn limit(mut self, limit: impl Into<String>) -> Self {
        self.reason.limit = limit.into();
        self
    }

    /// What to do now.
    #[must_use]
    pub fn way_out(mut self, way_out: impl Into<String>) -> Self {
        self.reason.way_out = way_out.into();
        self
    }

    /// Another clause than the check's own.
    #[must_use]
    pub fn clause(mut self, clause: impl Into<String>) -> Self {
        self.reason.clause = clause.into();
        self
    }
}
