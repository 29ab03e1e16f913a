//! The wait for stored energy that is required, and what it comes from.

use crate::procedure::progress::Progress;
use crate::procedure::{Frame, Per};

/// The wait that is required, and what it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RequiredWait {
    /// Seconds.
    pub seconds: i64,
    /// What decided.
    pub from: String,
}

/// The answer under which a label that was read on site stands.
pub const LABEL_READ_ON_SITE: &str = "stored_energy_label_s";

/// The longest label that is among the answers to steps of the job.
pub(super) fn label_read(frame: &Frame, progress: &Progress) -> Option<i64> {
    frame
        .procedure
        .steps
        .iter()
        .enumerate()
        .filter(|(_, step)| step.per == Per::Job && step.spec(LABEL_READ_ON_SITE).is_some())
        .filter_map(|(place, _)| progress.passed_entry(place, None))
        .filter_map(|entry| entry.evidence.number(LABEL_READ_ON_SITE)?.as_whole())
        .max()
}

/// The greatest of the label's time and the computed time; 300 s where there is neither.
///
/// The label is the longer of the plan's and of `read`, what was read on site. Capacitors that
/// cannot be computed count as if nothing were known.
#[must_use]
pub fn required_wait_s(frame: &Frame, read: Option<i64>) -> RequiredWait {
    let planned = frame.installation.stored_energy_label_s.map(i64::from);
    let label = planned.max(read);
    // Down to 60 V dc, the touch limit (IEC 60204-1, 6.2.4, second-hand).
    let computed = frame
        .installation
        .capacitors
        .as_ref()
        .and_then(|capacitors| capacitors.stored_energy_to(60.0).ok())
        .map(|stored| stored.whole_seconds());
    match (label, computed) {
        (Some(label), Some(computed)) if computed > label => RequiredWait {
            seconds: computed,
            from: format!("computed to 60 V, tolerances included; the label says {label} s"),
        },
        (Some(label), _) => RequiredWait {
            seconds: label,
            from: "the label".into(),
        },
        (None, Some(computed)) => RequiredWait {
            seconds: computed,
            from: "computed to 60 V, tolerances included".into(),
        },
        (None, None) => RequiredWait {
            seconds: frame.whole_setting("stored_energy_default_s"),
            from: "no label and no figures: project default".into(),
        },
    }
}
