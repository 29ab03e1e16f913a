//! Something that happened earlier and is only now written down.

use super::step::take_step;
use super::taken::{Judgement, recorded, refused, target};
use crate::citation::Reason;
use crate::procedure::frame::Frame;
use crate::procedure::progress::Progress;
use crate::procedure::{Entry, EvidenceKind, EvidenceSpec, Step};

/// Something that happened earlier. It never passes a step of the proof, one that touches, or one
/// that measures whether something is dead: the gate has to be asked before the act, not after.
pub(super) fn take_late(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    match entry.happened_at {
        Some(happened) if happened <= entry.at => {}
        happened => {
            return refused(vec![
                Reason::new(
                    "time it happened",
                    happened.map_or("not given".into(), |t| t.to_string()),
                )
                .limit(format!("at or before {}", entry.at))
                .clause("rule G13 of the procedure")
                .way_out("say when it happened"),
            ]);
        }
    }
    let Some(step) = &entry.step else {
        return recorded(vec!["late entry, kept as such".into()]);
    };
    let (place, _) = match target(frame, entry) {
        Ok(target) => target,
        Err(reasons) => return refused(reasons),
    };
    let Some(found) = frame.step_at(place) else {
        return refused(Vec::new());
    };
    if !found.acts.is_empty() || measures_dead(found) {
        return refused(vec![
            Reason::new(
                format!("late entry for {step}"),
                "a step that the gate depends on",
            )
            .limit("late entries only for steps that prove nothing and touch nothing")
            .clause("rule G13 of the procedure")
            .way_out("do the step again now, with its readings"),
        ]);
    }
    let mut judgement = take_step(frame, progress, entry);
    judgement.notes.insert(0, "late entry, kept as such".into());
    judgement
}

/// Whether a step shows with a meter that something is dead or carries nothing: R03, B01, B03, Z01.
fn measures_dead(step: &Step) -> bool {
    let by_meter = |spec: &EvidenceSpec| {
        spec.kind == EvidenceKind::Instrument
            && spec
                .of
                .iter()
                .any(|kind| kind == "voltage_tester" || kind == "clamp_meter")
    };
    step.evidence.iter().any(by_meter)
}
