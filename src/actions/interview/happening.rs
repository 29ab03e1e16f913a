//! What may happen beside the steps, at any time, and what has to be said of it.

use crate::procedure::Kind;

/// What has to be said of a happening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asks {
    /// Which module; may stay open where the whole job is meant.
    ModuleOrJob,
    /// Which module.
    Module,
    /// Codes of findings.
    Findings,
    /// Voltages on the dead side.
    DeadSide,
    /// Whether the people left the place while work was stopped.
    PeopleLeft,
    /// Who takes over or was there.
    Second,
    /// Why, in words.
    Why,
}

/// Something that happens beside the steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Happening {
    /// What the entry is.
    pub kind: Kind,
    /// In words.
    pub words: &'static str,
    /// What has to be said.
    pub asks: &'static [Asks],
}

/// Everything that a crew may write down beside the steps, stops first. Corrections and late
/// entries name another entry and are made with `packdown step`.
pub const HAPPENINGS: [Happening; 10] = [
    Happening {
        kind: Kind::StopWork,
        words: "work stops",
        asks: &[Asks::Why],
    },
    Happening {
        kind: Kind::Resume,
        words: "work goes on after a stop",
        asks: &[Asks::PeopleLeft],
    },
    Happening {
        kind: Kind::Finding,
        words: "something was seen, smelt or heard",
        asks: &[Asks::ModuleOrJob, Asks::Findings],
    },
    Happening {
        kind: Kind::Reading,
        words: "a voltage was read on the dead side",
        asks: &[Asks::DeadSide],
    },
    Happening {
        kind: Kind::ShiftChange,
        words: "another crew takes over",
        asks: &[Asks::Second, Asks::Why],
    },
    Happening {
        kind: Kind::LockRemoved,
        words: "a lock came off",
        asks: &[Asks::Why],
    },
    Happening {
        kind: Kind::IsolatorMoved,
        words: "an isolating device was moved",
        asks: &[Asks::Why],
    },
    Happening {
        kind: Kind::RestartLeadPlugged,
        words: "a lead that can restart was plugged in",
        asks: &[],
    },
    Happening {
        kind: Kind::PlaceChanged,
        words: "the place of work changed",
        asks: &[],
    },
    Happening {
        kind: Kind::LeftBehind,
        words: "a module stays where it is",
        asks: &[Asks::Module, Asks::Why],
    },
];
