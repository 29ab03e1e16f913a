//! The columns of a table of custody events, and its head.

use schemars::JsonSchema;
use serde::Serialize;

use super::fault::{EventsFault, shown};

/// One row of the CSV that `packdown audit --events` reads. The head names the columns; their order
/// is free.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EventRow {
    /// A name of the event; passed over.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub event_id: Option<String>,
    /// The module: serial or other name, 1 to 200 bytes.
    pub module_id: String,
    /// Number of the event in the chain of this module, from 1 without a hole.
    pub seq: u32,
    /// When, in whole seconds since 1970-01-01T00:00:00Z; 1 to 4294967295.
    pub ts: u32,
    /// What happened; two words are looked at: that of the removal and that of the dispatch.
    pub kind: String,
    /// Who handed the module over; the holder of the event before.
    pub from_party: String,
    /// Who holds it now.
    pub to_party: String,
    /// Where; passed over.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Who wrote it down; passed over.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub actor: Option<String>,
}

/// What a column is to the audit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    PassedOver,
    Module,
    Number,
    Time,
    Kind,
    From,
    To,
}

const KNOWN: [(&str, Role); 9] = [
    ("event_id", Role::PassedOver),
    ("module_id", Role::Module),
    ("seq", Role::Number),
    ("ts", Role::Time),
    ("kind", Role::Kind),
    ("from_party", Role::From),
    ("to_party", Role::To),
    ("place", Role::PassedOver),
    ("actor", Role::PassedOver),
];

impl Role {
    /// The name of its column.
    pub(super) fn name(self) -> &'static str {
        KNOWN
            .iter()
            .find(|(_, role)| *role == self)
            .map_or("", |(name, _)| name)
    }
}

/// What each column is, by the line with their names.
///
/// # Errors
/// A name that is not known and not `ignored`, one that stands twice, one that is lacking.
pub(super) fn roles(head: &[u8], ignored: &[String]) -> Result<Vec<Role>, EventsFault> {
    let fault = |column: &str, why: String, known: Vec<String>| EventsFault::Row {
        line: 1,
        column: column.to_owned(),
        why,
        known,
    };
    let head = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head);
    let Ok(head) = std::str::from_utf8(head) else {
        return Err(fault("", "is not UTF-8 text".into(), Vec::new()));
    };
    let mut roles = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for name in head.split(',') {
        let name = name.trim();
        let name = name
            .strip_prefix('"')
            .and_then(|name| name.strip_suffix('"'))
            .unwrap_or(name);
        if seen.contains(&name) {
            return Err(fault(name, "stands twice".into(), Vec::new()));
        }
        seen.push(name);
        let role = KNOWN
            .iter()
            .find(|(known, _)| *known == name)
            .map(|(_, role)| *role)
            .or_else(|| {
                ignored
                    .iter()
                    .any(|ignored| ignored == name)
                    .then_some(Role::PassedOver)
            });
        let Some(role) = role else {
            return Err(fault(
                "",
                format!("unknown column `{}`", shown(name.as_bytes())),
                KNOWN.iter().map(|(name, _)| (*name).to_owned()).collect(),
            ));
        };
        roles.push(role);
    }
    let lacking: Vec<&str> = KNOWN
        .iter()
        .filter(|(_, role)| *role != Role::PassedOver && !roles.contains(role))
        .map(|(name, _)| *name)
        .collect();
    if !lacking.is_empty() {
        return Err(fault(
            "",
            format!("lacks the column {}", lacking.join(", ")),
            Vec::new(),
        ));
    }
    Ok(roles)
}
