//! The shape of a decision: its names are those of the JSON answer, for every paper and page that
//! shows one.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::transport::package::PackageDecision;
use crate::transport::waste::WasteDecision;

/// A text of a row: borrowed from the row where the decision is made, so that a long list of them
/// copies none.
pub type Words = Cow<'static, str>;

/// May it travel?
///
/// INVARIANT: in order of strictness; the greatest that any row demands is the answer.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// Without any duty.
    Allowed,
    /// If everything named is done.
    AllowedWith,
    /// Facts are missing, or somebody must decide.
    NotDetermined,
    /// No.
    Forbidden,
}

/// The entry of the dangerous-goods list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DecisionEntry {
    /// The number, as that law writes it.
    pub un: Words,
    /// The name, as that law writes it.
    pub proper_shipping_name: Words,
    /// The class, as it stands in the transport document.
    pub hazard_class: Words,
    /// The model of the label.
    pub label: Words,
}

/// A mark that the package must carry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct MarkDue {
    /// The words, as they must appear.
    pub text: Words,
    /// Least height of the letters in mm; 0 where none is set.
    pub min_height_mm: u32,
}

/// What the transport document must say.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Document {
    /// The line, in legal order; empty where there is no entry.
    pub line: String,
    /// Statements, as they must appear.
    pub statements: Vec<Words>,
}

/// A duty.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RequirementDue {
    /// The rule.
    pub rule: Words,
    /// What it says.
    pub says: Words,
    /// Where it is written and how that is known.
    pub clause: Words,
}

/// What became of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TraceOutcome {
    /// It holds.
    Applies,
    /// It does not hold, or another row set it aside.
    DoesNotApply,
    /// Facts are missing.
    Unknown,
}

/// One row in the trace.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct TraceLine {
    /// The rule.
    pub rule: Words,
    /// What became of it.
    pub outcome: TraceOutcome,
    /// The facts that decided it.
    pub because: String,
}

/// The decision for one battery on one leg.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Decision {
    /// Name of the battery, as given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// The answer.
    pub answer: Answer,
    /// The edition it was made by; empty where none is encoded for the leg.
    pub edition: Words,
    /// Hash of every row.
    pub rule_set: Words,
    /// The entry, where there is one.
    pub entry: Option<DecisionEntry>,
    /// Special provisions at work.
    pub provisions: Vec<Words>,
    /// Packing instructions that may be used.
    pub packing_instructions: Vec<Words>,
    /// Transport category, where the regime has one.
    pub transport_category: Option<Words>,
    /// Marks on the package.
    pub marks: Vec<MarkDue>,
    /// Labels on the package.
    pub labels: Vec<Words>,
    /// The transport document.
    pub document: Document,
    /// Duties.
    pub requirements: Vec<RequirementDue>,
    /// The package as described.
    pub package: PackageDecision,
    /// Names of the facts that are missing.
    pub missing: Vec<Words>,
    /// Why the answer is what it is, and what cures it.
    pub reasons: Vec<Reason>,
    /// Rows in play that rest on something not verified.
    pub unverified: Vec<Words>,
    /// What waste law says; absent while it is not known what the battery is carried for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waste: Option<WasteDecision>,
    /// Every row of the edition, and what became of it.
    pub trace: Vec<TraceLine>,
}
