//! Who is on the job and what each may do, on the day.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Role;

/// A person on the job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// Name in the record.
    pub id: String,
    /// Name on papers.
    pub name: String,
    /// Firm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub organisation: Option<String>,
    /// What the person was shown able to do, and until when.
    pub competences: Vec<Competence>,
}

/// One role a person may take.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Competence {
    /// The role.
    pub role: Role,
    /// The task and equipment it covers; being able for one is not being able for all.
    pub covers: String,
    /// Last day.
    pub expires_on: NaiveDate,
}

impl Person {
    /// The competence for one of `roles` that holds on `day`.
    #[must_use]
    pub fn competence(&self, roles: &[Role], day: NaiveDate) -> Option<&Competence> {
        self.competences
            .iter()
            .find(|one| roles.contains(&one.role) && day <= one.expires_on)
    }

    /// Whether any competence holds on `day`.
    #[must_use]
    pub fn is_competent_at_all(&self, day: NaiveDate) -> bool {
        self.competences.iter().any(|one| day <= one.expires_on)
    }
}
