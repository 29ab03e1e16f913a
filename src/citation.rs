//! Where a rule or a number comes from, and the one form in which every "no" is explained.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::ids::CodeFault;

/// How a fact is known. Anything but [`Known::Read`] may only make an answer stricter, and is
/// said to the user.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Known {
    /// The text of the clause was read in a stored copy.
    Read,
    /// Read in somebody's restatement, not in the rule itself.
    Secondary,
    /// From memory, unverified.
    Memory,
    /// No published figure was found; a setting of this project with an owner.
    ProjectDefault,
    /// What the trade does; no source.
    CommonPractice,
}

impl Known {
    /// The words a reader sees.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Secondary => "second-hand",
            Self::Memory => "from memory, unverified",
            Self::ProjectDefault => "project default, not law",
            Self::CommonPractice => "common practice, no source",
        }
    }
}

/// A numbered place in a document, in one edition, and how it is known.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Clause {
    /// The document, as the regulator names it.
    pub document: String,
    /// The edition or the date of the text that was read; empty where it has none.
    pub edition: String,
    /// The numbered place.
    pub place: String,
    /// How it is known.
    pub known: Known,
}

impl fmt::Display for Clause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.document)?;
        if !self.edition.is_empty() {
            write!(f, " {}", self.edition)?;
        }
        if !self.place.is_empty() {
            write!(f, ", {}", self.place)?;
        }
        match self.known {
            Known::Read => Ok(()),
            other => write!(f, " ({})", other.words()),
        }
    }
}

/// Why an answer is what it is: what was looked at, its value, the limit, the clause that sets
/// the limit, and what to do now.
///
/// Every field is text for a person; an empty one does not apply.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Reason {
    /// What was looked at.
    pub what: String,
    /// The value found.
    pub value: String,
    /// What it had to be.
    pub limit: String,
    /// Where that is written.
    pub clause: String,
    /// What to do now, and who may do it.
    pub way_out: String,
}

impl Reason {
    /// A reason with what was looked at and the value found.
    #[must_use]
    pub fn new(what: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            value: value.into(),
            ..Self::default()
        }
    }

    /// With the limit.
    #[must_use]
    pub fn limit(mut self, limit: impl Into<String>) -> Self {
        self.limit = limit.into();
        self
    }

    /// With the clause.
    #[must_use]
    pub fn clause(mut self, clause: impl fmt::Display) -> Self {
        self.clause = clause.to_string();
        self
    }

    /// With the next action.
    #[must_use]
    pub fn way_out(mut self, way_out: impl Into<String>) -> Self {
        self.way_out = way_out.into();
        self
    }
}

impl From<CodeFault> for Reason {
    fn from(fault: CodeFault) -> Self {
        Self::new(fault.what, fault.value)
            .limit(fault.limit)
            .clause(fault.clause)
            .way_out(fault.way_out)
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)?;
        if !self.value.is_empty() {
            write!(f, ": {}", self.value)?;
        }
        if !self.limit.is_empty() {
            write!(f, "; limit: {}", self.limit)?;
        }
        if !self.clause.is_empty() {
            write!(f, " [{}]", self.clause)?;
        }
        if !self.way_out.is_empty() {
            write!(f, " -> {}", self.way_out)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clause_says_how_it_is_known_unless_it_was_read() {
        let mut clause = Clause {
            document: "49 CFR".into(),
            edition: "text of Dec 2022".into(),
            place: "173.185(f)".into(),
            known: Known::Read,
        };
        assert_eq!(clause.to_string(), "49 CFR text of Dec 2022, 173.185(f)");
        clause.known = Known::Memory;
        assert_eq!(
            clause.to_string(),
            "49 CFR text of Dec 2022, 173.185(f) (from memory, unverified)"
        );
    }

    #[test]
    fn a_reason_reads_what_value_limit_clause_next_action() {
        let reason = Reason::new("voltage of the group", "240.1 V")
            .limit("240 V dc")
            .clause("NEC 2020, 480.7(C)")
            .way_out("open the next split point first");
        assert_eq!(
            reason.to_string(),
            "voltage of the group: 240.1 V; limit: 240 V dc [NEC 2020, 480.7(C)] -> open the next \
             split point first"
        );
    }
}
