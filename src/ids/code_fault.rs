//! Why a code is not in order.

/// Why a code is not in order: what was looked at, its value, what it had to be, where that is
/// written, what to do. Each is text for a person; an empty one does not apply.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CodeFault {
    /// What was looked at.
    pub what: String,
    /// The value found.
    pub value: String,
    /// What it had to be.
    pub limit: String,
    /// Where that is written.
    pub clause: &'static str,
    /// What to do now.
    pub way_out: &'static str,
}

/// The standard that element strings, keys and check digits follow; read as its machine-readable
/// dictionary, not as the text.
pub(super) const SYNTAX: &str = "GS1 Syntax Dictionary (2026)";
/// The standard of the addresses; from memory and second-hand, apart from published examples.
pub(super) const LINK: &str = "GS1 Digital Link, URI syntax (second-hand)";
/// What helps with most faults.
pub(super) const SCAN_AGAIN: &str = "scan it again, or compare every digit with the label";

impl CodeFault {
    pub(super) fn new(
        what: impl Into<String>,
        value: impl Into<String>,
        limit: impl Into<String>,
        clause: &'static str,
    ) -> Self {
        Self {
            what: what.into(),
            value: value.into(),
            limit: limit.into(),
            clause,
            way_out: SCAN_AGAIN,
        }
    }

    pub(super) fn way_out(mut self, way_out: &'static str) -> Self {
        self.way_out = way_out;
        self
    }
}
