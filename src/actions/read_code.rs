//! Says what a scanned text is, and gives the web address of the same identity.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::ids::{Scanned, read_scanned};

/// Whether a code is in order.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum CodeStanding {
    /// In order.
    Valid,
    /// Something is missing or wrong.
    Invalid,
}

/// What a scanned text is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CodeAnswer {
    /// `sscc`, `gtin`, `grai`, `giai`, `digital_link`, `element_string`, `urn` or `plain`.
    pub kind: String,
    /// Whether it is in order.
    pub answer: CodeStanding,
    /// Values by application identifier, such as `00` or `21`; `uuid` for the number of a URN.
    pub parts: BTreeMap<String, String>,
    /// The web address of the same identity, where it was asked for and there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub link: Option<String>,
    /// What is missing or wrong.
    pub reasons: Vec<Reason>,
}

/// What `text` is; with its web address below `stem`, where one is given.
#[must_use]
pub fn read_code(text: &str, stem: Option<&str>) -> CodeAnswer {
    let scanned = read_scanned(text);
    let (link, faults) = match stem.map(|stem| scanned.link(stem)) {
        None => (None, scanned.faults.clone()),
        Some(Ok(link)) => (Some(link), Vec::new()),
        Some(Err(faults)) => (None, faults),
    };
    let Scanned { kind, parts, .. } = scanned;
    CodeAnswer {
        kind: kind.word().to_owned(),
        answer: if faults.is_empty() {
            CodeStanding::Valid
        } else {
            CodeStanding::Invalid
        },
        parts: parts
            .into_iter()
            .map(|part| (part.ai, part.value))
            .collect(),
        link,
        reasons: faults.into_iter().map(Reason::from).collect(),
    }
}
