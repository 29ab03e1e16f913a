//! What is asked about a transport document, and the form of the answer.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::transport::decision::Words;
use crate::transport::facts::{Facts, Mode, Regime};
use crate::units::{Decimal, Grams};

/// What is asked about a document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DocumentQuestion {
    /// Body of rules; the one in the facts where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regime: Option<Regime>,
    /// How it travels; as in the facts where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<Mode>,
    /// Day of carriage; the one in the facts where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<NaiveDate>,
    /// The battery, as for `classify`; its regime may be left out where it stands above.
    pub facts: Facts,
    /// The lines of the document, as written.
    pub lines: Vec<String>,
    /// Statements, where they stand apart from the lines.
    #[serde(default)]
    pub statements: Vec<String>,
    /// Quantity, as the document gives it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub quantity: Option<Quantity>,
    /// Whether the carriage relies on the relief for small loads (ADR 1.1.3.6).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub small_load: Option<bool>,
    /// Points of the category, as the document gives them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points: Option<Decimal>,
}

/// The quantity in a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Quantity {
    /// Mass of the batteries without packaging.
    pub net_mass_kg: Grams,
    /// Whether it was estimated, not weighed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub estimated: Option<bool>,
}

/// Whether a document is good.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum DocumentStanding {
    /// It is.
    Accepted,
    /// Something is not known, or somebody must decide.
    NotDetermined,
    /// Something in it is wrong or missing.
    Refused,
}

/// The answer for a document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DocumentAnswer {
    /// The answer.
    pub answer: DocumentStanding,
    /// The edition it was made by; empty where none is encoded for the leg.
    pub edition: Words,
    /// Hash of every row.
    pub rule_set: Words,
    /// What is wrong or not known, with its cure; empty where it is accepted.
    pub reasons: Vec<Reason>,
}
