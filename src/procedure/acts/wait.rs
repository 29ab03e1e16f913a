//! The wait for stored energy that is required, and what it comes from.

use crate::procedure::Frame;

/// The wait that is required, and what it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RequiredWait {
    /// Seconds.
    pub seconds: i64,
    /// What decided.
    pub from: String,
}

/// The greatest of the label's time and the computed time; 300 s where there is neither.
///
/// Capacitors that cannot be computed count as if nothing were known.
#[must_use]
pub fn required_wait_s(frame: &Frame) -> RequiredWait {
    let label = frame.installation.stored_energy_label_s.map(i64::from);
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
