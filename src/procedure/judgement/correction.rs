//! What was written wrong or too late: the old entry stays, the new one names it.

use super::step::{after_pass, note_groups, take_step};
use super::taken::{Judgement, recorded, refused, target};
use crate::citation::Reason;
use crate::procedure::acts;
use crate::procedure::answers;
use crate::procedure::frame::Frame;
use crate::procedure::progress::{Progress, Standing, belongs_to_proof};
use crate::procedure::{Act, Entry, Kind};

/// Something that happened earlier. It never passes a step of the proof or one that touches: the
/// gate has to be asked before the act, not after.
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
    if !found.acts.is_empty() {
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

/// The old entry stays; the new one says what it should have said, or takes it back. A correction
/// never opens a gate: what did not pass before is done again, not written better.
pub(super) fn take_correction(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let number = entry.amends.map_or(0, |number| number as usize);
    let Some(old) = progress.entry(number).cloned() else {
        return refused(vec![
            Reason::new("correction", format!("of entry {number}"))
                .limit(format!("an earlier entry, 1 to {}", progress.len()))
                .way_out("give the number of the entry that is wrong"),
        ]);
    };
    let Some((place, slot)) = (old.kind == Kind::Step)
        .then(|| target(frame, &old).ok())
        .flatten()
    else {
        return recorded(vec![format!(
            "entry {number} is corrected; nothing depends on it"
        )]);
    };
    let Some(step) = frame.step_at(place) else {
        return refused(Vec::new());
    };
    let why = entry.reason.clone().unwrap_or_default();
    let rests_on_it = progress.standing(place, slot).entry() == Some(number);
    if !rests_on_it {
        return recorded(vec![format!(
            "entry {number} is corrected; {} rests on a later one",
            step.id
        )]);
    }
    if entry.evidence.is_empty() {
        progress.make_void(place, slot, &why);
        if step.acts.iter().any(|act| belongs_to_proof(*act)) {
            progress.make_proof_stale(frame, &format!("{} was taken back", step.id));
        }
        return recorded(vec![format!(
            "{} is taken back: {why}; everything below it is closed until it passes again",
            step.id
        )]);
    }
    let mut evidence = old.evidence.clone();
    for (name, value) in entry.evidence.iter() {
        evidence.put(name, value.clone());
    }
    let amended = Entry {
        evidence: evidence.clone(),
        ..old
    };
    let answers = answers::look(frame, progress, step, slot, amended.at, &amended.evidence);
    let ruling = acts::rule(frame, progress, step, slot, &amended);
    if !answers.refusals.is_empty() || !ruling.refusals.is_empty() {
        return refused(
            answers
                .refusals
                .into_iter()
                .chain(ruling.refusals)
                .collect(),
        );
    }
    let still_passes =
        answers.fails.is_empty() && ruling.fails.is_empty() && answers.red_flag.is_none();
    progress.amend(number, evidence);
    let mut notes = Vec::new();
    for code in answers.findings.into_iter().chain(ruling.findings) {
        progress.findings.entry(slot).or_default().insert(code);
    }
    if step.does_act(Act::Split) {
        note_groups(progress, &amended);
    }
    let had_passed = matches!(
        progress.standing(place, slot),
        Standing::Passed(_) | Standing::Stale { .. }
    );
    if !had_passed {
        notes.push(format!(
            "{} had not passed; a correction does not pass it, do it again",
            step.id
        ));
    } else if !still_passes {
        progress.make_void(place, slot, &format!("corrected: {why}"));
        if step.acts.iter().any(|act| belongs_to_proof(*act)) {
            progress.make_proof_stale(frame, &format!("{} no longer passes", step.id));
        }
        notes.push(format!(
            "{} no longer passes as corrected; do it again",
            step.id
        ));
    } else if step.does_act(Act::Judge) || step.does_act(Act::Identify) {
        notes.push(format!("{} is corrected", step.id));
        after_pass(frame, progress, &amended, step, slot, &mut notes);
    } else {
        notes.push(format!("{} is corrected and still passes", step.id));
    }
    if let Some(flag) = answers.red_flag {
        progress.raise_red_flag(frame, entry.at, &flag);
        notes.push(format!(
            "RED FLAG: {flag}. Stop, get everyone out, call (X01)"
        ));
    }
    recorded(notes)
}
