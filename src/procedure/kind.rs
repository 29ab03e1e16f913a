//! What an entry of the field record is.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What an entry of the record is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Takes an earlier entry back, or says what it should have said.
    Correction,
    /// Something seen at any time; a red flag among them stops the job.
    Finding,
    /// An isolating device was moved.
    IsolatorMoved,
    /// Something that happened earlier and is only now written down.
    LateEntry,
    /// A module stays where it is, with the reason.
    LeftBehind,
    /// A lock came off before its time.
    LockRemoved,
    /// The place of work changed.
    PlaceChanged,
    /// A reading at any time and place, outside a step.
    Reading,
    /// A lead that can restart the installation was plugged in again.
    RestartLeadPlugged,
    /// Work goes on after a stop.
    Resume,
    /// Another crew or shift takes over.
    ShiftChange,
    /// A step of the procedure.
    Step,
    /// Work stops.
    StopWork,
}

impl Kind {
    /// Every kind, by name.
    pub const ALL: [Self; 13] = [
        Self::Correction,
        Self::Finding,
        Self::IsolatorMoved,
        Self::LateEntry,
        Self::LeftBehind,
        Self::LockRemoved,
        Self::PlaceChanged,
        Self::Reading,
        Self::RestartLeadPlugged,
        Self::Resume,
        Self::ShiftChange,
        Self::Step,
        Self::StopWork,
    ];

    /// The name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Correction => "correction",
            Self::Finding => "finding",
            Self::IsolatorMoved => "isolator_moved",
            Self::LateEntry => "late_entry",
            Self::LeftBehind => "left_behind",
            Self::LockRemoved => "lock_removed",
            Self::PlaceChanged => "place_changed",
            Self::Reading => "reading",
            Self::RestartLeadPlugged => "restart_lead_plugged",
            Self::Resume => "resume",
            Self::ShiftChange => "shift_change",
            Self::Step => "step",
            Self::StopWork => "stop_work",
        }
    }
}
