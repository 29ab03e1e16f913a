//! The questions that inspectors ask, in the order in which they ask them: training first, then
//! packaging and closure, then papers, then what lies on the floor. Each is answered from the record
//! of a job, or names the paper that is missing from it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::questions::QUESTIONS;
use crate::audit::{Dossier, Finding, Subject};
use crate::citation::Known;
use crate::procedure::Role;

/// How a question is answered.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// The record shows it.
    Shown,
    /// The record shows that it was not so.
    NotSo,
    /// The record does not hold it: a paper has to be fetched.
    NotInRecord,
    /// Not asked of this job.
    NotAsked,
}

impl Standing {
    /// The word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shown => "shown",
            Self::NotSo => "NOT SO",
            Self::NotInRecord => "PAPER MISSING",
            Self::NotAsked => "not asked",
        }
    }
}

/// An answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Answered {
    /// Number of the question, from 1.
    pub number: usize,
    /// What it is about.
    pub subject: String,
    /// The question.
    pub question: String,
    /// How it is answered.
    pub standing: Standing,
    /// What the record says.
    pub says: String,
    /// The paper to fetch; empty where none is missing.
    pub fetch: String,
    /// Where it is written, and how that is known.
    pub clause: String,
}

/// What a record says to a question.
pub(super) enum Said {
    /// It shows this.
    Shows(String),
    /// It does not hold it; the text is the paper to fetch.
    Missing(String, String),
    /// The question does not arise.
    NotAsked,
}

pub(super) struct Question {
    pub(super) subject: Subject,
    pub(super) question: &'static str,
    pub(super) clause: &'static str,
    pub(super) known: Known,
    /// Checks whose findings answer "no".
    pub(super) checks: &'static [&'static str],
    pub(super) look: fn(&Dossier) -> Said,
}

/// Answers every question for one job; `findings` are those of its audit.
#[must_use]
pub fn answers(dossier: &Dossier, findings: &[Finding]) -> Vec<Answered> {
    QUESTIONS
        .iter()
        .enumerate()
        .map(|(n, asked)| {
            let against: Vec<&Finding> = findings
                .iter()
                .filter(|finding| asked.checks.contains(&finding.check.as_str()))
                .collect();
            let (standing, says, fetch) = match ((asked.look)(dossier), against.first()) {
                (_, Some(first)) => {
                    let more = match against.len() {
                        1 => String::new(),
                        n => format!("; and {} more", n - 1),
                    };
                    let place = first
                        .entry
                        .map_or(String::new(), |n| format!(" (entry {n})"));
                    let says = format!("{}: {}{place}{more}", first.what, first.found);
                    (Standing::NotSo, says, first.way_out.clone())
                }
                (Said::Shows(says), None) => (Standing::Shown, says, String::new()),
                (Said::Missing(says, fetch), None) => (Standing::NotInRecord, says, fetch),
                (Said::NotAsked, None) => (Standing::NotAsked, String::new(), String::new()),
            };
            Answered {
                number: n + 1,
                subject: asked.subject.words().to_owned(),
                question: asked.question.to_owned(),
                standing,
                says,
                fetch,
                clause: match asked.known {
                    Known::Read => asked.clause.to_owned(),
                    other => format!("{} ({})", asked.clause, other.words()),
                },
            }
        })
        .collect()
}

/// Roles that an inspector of dangerous goods asks about first.
pub(in crate::audit) const SHIPPING_ROLES: [Role; 4] = [
    Role::Packer,
    Role::Driver,
    Role::WarehouseReceiver,
    Role::ComplianceOfficer,
];
