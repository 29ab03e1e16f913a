//! What is asked of a table of custody events, and the answer.

use schemars::JsonSchema;
use serde::Serialize;

/// What is asked: the numbers that no file says about itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventsQuestion {
    /// Number of the event that closes a chain.
    pub last_step: u32,
    /// Most days from removal to dispatch.
    pub deadline_days: u32,
    /// The `kind` of a removal.
    pub removed: String,
    /// The `kind` of a dispatch.
    pub dispatched: String,
    /// Columns to pass over.
    pub ignored: Vec<String>,
    /// Whether to hash the chain of each module.
    pub chain: bool,
}

impl Default for EventsQuestion {
    /// Ten steps from removed to recycled. One year from removal to dispatch: the longest time that
    /// a handler may keep universal waste without saying why (40 CFR 273.15(a), 273.35(a)); where
    /// other law governs, say its days.
    fn default() -> Self {
        Self {
            last_step: 10,
            deadline_days: 365,
            removed: "removed".to_owned(),
            dispatched: "dispatched".to_owned(),
            ignored: Vec::new(),
            chain: false,
        }
    }
}

/// A check of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Check {
    /// A number that is not one more than the number before it.
    SequenceHole,
    /// Handed over by somebody who did not hold it.
    HandOverGap,
    /// A time before the time of the event before it.
    ClockReversal,
    /// A chain whose last event is not the closing one.
    OpenChain,
    /// Dispatched later than the days allowed after the removal.
    LateDispatch,
    /// A chain whose first event is not number 1.
    LateStart,
    /// The hash over the chain is another than the one kept.
    HeadDiffers,
    /// A hash is kept for a module that the file does not know.
    ModuleMissing,
    /// The file knows a module for which no hash is kept.
    ModuleUnknown,
}

impl Check {
    /// Every check, in the order of the report.
    pub const ALL: [Self; 9] = [
        Self::SequenceHole,
        Self::HandOverGap,
        Self::ClockReversal,
        Self::OpenChain,
        Self::LateDispatch,
        Self::LateStart,
        Self::HeadDiffers,
        Self::ModuleMissing,
        Self::ModuleUnknown,
    ];

    /// Its name in JSON and CSV.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::SequenceHole => "sequence_hole",
            Self::HandOverGap => "hand_over_gap",
            Self::ClockReversal => "clock_reversal",
            Self::OpenChain => "open_chain",
            Self::LateDispatch => "late_dispatch",
            Self::LateStart => "late_start",
            Self::HeadDiffers => "head_differs",
            Self::ModuleMissing => "module_missing",
            Self::ModuleUnknown => "module_unknown",
        }
    }

    /// What is counted, in words.
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::SequenceHole => "sequence holes",
            Self::HandOverGap => "hand-over gaps",
            Self::ClockReversal => "clock reversals",
            Self::OpenChain => "open chains",
            Self::LateDispatch => "late dispatches",
            Self::LateStart => "chains that begin late",
            Self::HeadDiffers => "chains changed since their hash was kept",
            Self::ModuleMissing => "modules with a kept hash and no event",
            Self::ModuleUnknown => "modules without a kept hash",
        }
    }

    /// Whether it compares with hashes kept before.
    #[must_use]
    pub const fn needs_heads(self) -> bool {
        matches!(
            self,
            Self::HeadDiffers | Self::ModuleMissing | Self::ModuleUnknown
        )
    }
}

/// One fault, where it is and what it rests on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct EventsFinding {
    /// The check.
    pub check: Check,
    /// Line of the file, from 1; absent where it is about the whole chain.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<u64>,
    /// The module.
    pub module_id: String,
    /// Number of the event in its chain; of the last one where it is about the whole chain.
    pub seq: u32,
    /// What the file says.
    pub is: String,
    /// What it would have to say.
    pub wanted: String,
}

/// How often a check found something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ChecksDone {
    /// The check.
    pub check: Check,
    /// Findings.
    pub count: u64,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EventsAnswer {
    /// Events read.
    pub events: u64,
    /// Modules they are about.
    pub modules: u64,
    /// Modules whose rows do not stand in the order of their numbers; read a second time.
    pub out_of_order: u64,
    /// Number of the closing event asked for.
    pub last_step: u32,
    /// Days allowed from removal to dispatch.
    pub deadline_days: u32,
    /// Each check that was made, with its count.
    pub checks: Vec<ChecksDone>,
    /// RFC 6962 root over the lines of the heads file, where the chains were hashed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub root: Option<String>,
    /// The first findings of each check, in the order of the file.
    pub findings: Vec<EventsFinding>,
}

impl EventsAnswer {
    /// How often this check found something; 0 where it was not made.
    #[must_use]
    pub fn count(&self, check: Check) -> u64 {
        self.checks
            .iter()
            .find(|done| done.check == check)
            .map_or(0, |done| done.count)
    }

    /// Whether anything was found.
    #[must_use]
    pub fn has_findings(&self) -> bool {
        self.checks.iter().any(|done| done.count > 0)
    }
}
