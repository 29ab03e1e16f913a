//! Condition in transport terms, and why the battery leaves.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Condition in transport terms, from best to worst.
///
/// INVARIANT: the order of the variants is the order of severity; `max` is "the worse of two".
/// `Undiagnosed` stands between: the law treats it as damaged (ADR 2025, SP 376, third case).
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Soundness {
    /// Nothing found.
    Sound,
    /// Something to watch; not damaged in the sense of the law.
    Suspect,
    /// Cannot be diagnosed before it travels: treated as damaged.
    Undiagnosed,
    /// Damaged or defective.
    Damaged,
    /// Damaged, and liable to react dangerously on the way.
    Critical,
}

impl Soundness {
    /// The word on papers.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Suspect => "suspect",
            Self::Undiagnosed => "undiagnosed",
            Self::Damaged => "damaged",
            Self::Critical => "critical",
        }
    }

    /// Whether the law treats it as damaged or defective.
    #[must_use]
    pub fn is_damaged_in_law(self) -> bool {
        self >= Self::Undiagnosed
    }
}

impl fmt::Display for Soundness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What the battery is carried for.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Purpose {
    /// Disposal.
    Disposal,
    /// Testing of a prototype or a run of at most a hundred.
    PrototypeTest,
    /// Recycling.
    Recycling,
    /// Reuse, or evaluation for it.
    Reuse,
    /// Back to the maker for a safety reason.
    SafetyReturn,
    /// To a place that sorts.
    Sorting,
    /// Ordinary use.
    Use,
    /// Back to the maker under warranty.
    WarrantyReturn,
}

impl Purpose {
    /// Whether the holder discards it, so that waste law stands beside transport law.
    #[must_use]
    pub const fn is_waste(self) -> bool {
        matches!(self, Self::Disposal | Self::Recycling | Self::Sorting)
    }

    /// The words on papers.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Disposal => "disposal",
            Self::PrototypeTest => "prototype test",
            Self::Recycling => "recycling",
            Self::Reuse => "reuse",
            Self::SafetyReturn => "safety return",
            Self::Sorting => "sorting",
            Self::Use => "use",
            Self::WarrantyReturn => "warranty return",
        }
    }
}

impl fmt::Display for Purpose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}
