//! A step of the procedure: lawful or not, passed or not, and what follows.

use super::event::void_a_better_judgement;
use super::taken::{Judgement, Outcome, refused, target};
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::inspection;
use crate::procedure::acts::{self, Ruling};
use crate::procedure::answers::{self, Answers};
use crate::procedure::frame::{Frame, Slot};
use crate::procedure::gate;
use crate::procedure::progress::{Progress, Standing, belongs_to_isolation, belongs_to_proof};
use crate::procedure::{Act, Entry, Evidence, Step};
use crate::units::Decimal;

pub(super) fn take_step(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let (place, slot) = match target(frame, entry) {
        Ok(target) => target,
        Err(reasons) => return refused(reasons),
    };
    let Some(step) = frame.step_at(place) else {
        return refused(Vec::new());
    };
    let mut refusals = gate::closed(frame, progress, place, slot, Some(entry.at));
    refusals.extend(gate::people(
        frame,
        progress,
        step,
        entry.at,
        &entry.by,
        entry.with.as_deref(),
    ));
    let answers = answers::look(frame, progress, step, slot, entry.at, &entry.evidence);
    let ruling = acts::rule(frame, progress, step, slot, entry);
    refusals.extend(answers.slips.iter().cloned());
    refusals.extend(answers.refusals.iter().cloned());
    refusals.extend(ruling.refusals.iter().cloned());
    if !refusals.is_empty() {
        return refused(refusals);
    }
    settle(frame, progress, entry, (place, slot, step), answers, ruling)
}

/// The step was lawfully tried: passes or not, and what follows.
fn settle(
    frame: &Frame,
    progress: &mut Progress,
    entry: &Entry,
    (place, slot, step): (usize, Slot, &Step),
    answers: Answers,
    ruling: Ruling,
) -> Judgement {
    let number = progress.len() + 1;
    let red_flag = answers.red_flag.or_else(|| ruling.red_flag());
    let mut notes: Vec<String> = answers.unknowns.clone();
    notes.extend(ruling.notes);
    // What is answered now is no longer unknown; what is unknown again is said once.
    let own = format!("{}, ", frame.name_of_step(&step.id, slot));
    progress.unknowns.retain(|known| !known.starts_with(&own));
    progress.unknowns.extend(answers.unknowns);
    let reasons: Vec<Reason> = answers.fails.into_iter().chain(ruling.fails).collect();
    let passed = reasons.is_empty() && red_flag.is_none();
    let mut found_more = false;
    for code in answers.findings.iter().chain(&ruling.findings) {
        let new = progress
            .findings
            .entry(slot)
            .or_default()
            .insert(code.clone());
        found_more |= new;
        if new && let Ok(finding) = inspection::finding(code) {
            notes.push(format!("finding {code}: {}", finding.words));
        }
    }
    if found_more && !step.does_act(Act::Judge) {
        void_a_better_judgement(frame, progress, slot, &mut notes);
    }
    let standing = if passed {
        Standing::Passed(number)
    } else {
        Standing::NotPassed(number)
    };
    let was_done = matches!(
        progress.standing(place, slot),
        Standing::Passed(_) | Standing::Stale { .. } | Standing::Void { .. }
    );
    // A judgement that may not stand leaves the earlier one as it is.
    let keeps_earlier = !passed
        && step.does_act(Act::Judge)
        && matches!(progress.standing(place, slot), Standing::Passed(_));
    if !keeps_earlier {
        progress.set_standing(place, slot, standing);
    }
    if passed && was_done {
        done_anew(frame, progress, step, &mut notes);
    }
    if passed {
        after_pass(frame, progress, entry, step, slot, &mut notes);
    } else if step.acts.iter().any(|act| belongs_to_proof(*act)) {
        // What rested on the proof is not proved while one of its links is open.
        progress.make_rest_of_proof_stale(frame, step, &format!("{} did not pass", step.id));
    } else if was_done && step.acts.iter().any(|act| belongs_to_isolation(*act)) {
        progress.make_proof_stale(
            frame,
            &format!("{} was done anew and did not pass", step.id),
        );
    }
    if step.does_act(Act::Split) {
        note_groups(progress, entry);
    }
    for (act, why) in ruling.voids {
        progress.make_act_void(frame, act, &why);
        notes.push(format!("void: {} ({why})", steps_named(frame, act)));
    }
    if let Some(what) = answers.breaks_dead_proof.or(ruling.breaks_dead_proof) {
        let why = format!("voltage on the dead side, {what}");
        progress.make_proof_stale(frame, &why);
        notes.push(format!("the dead state is no longer proved: {why}"));
    }
    if let Some(flag) = red_flag {
        progress.raise_red_flag(frame, entry.at, &flag);
        notes.push(format!(
            "RED FLAG: {flag}. Stop, get everyone out, call (X01)"
        ));
    }
    Judgement {
        outcome: if passed {
            Outcome::Passed
        } else {
            Outcome::NotPassed
        },
        reasons,
        notes,
    }
}

/// A link of isolation or proof that is made a second time: what rests on the first is owed again.
fn done_anew(frame: &Frame, progress: &mut Progress, step: &Step, notes: &mut Vec<String>) {
    let isolation = [Act::FindSources, Act::BlockRestart, Act::Isolate, Act::Lock];
    let why = format!("{} was done anew", step.id);
    if isolation.iter().any(|act| step.does_act(*act)) {
        progress.make_proof_stale(frame, &why);
        notes.push(format!("the dead state must be proved again: {why}"));
    } else if step.acts.iter().any(|act| belongs_to_proof(*act)) {
        progress.make_rest_of_proof_stale(frame, step, &why);
    }
}

/// What a passed step changes beside its own standing.
pub(super) fn after_pass(
    frame: &Frame,
    progress: &mut Progress,
    entry: &Entry,
    step: &Step,
    slot: Slot,
    notes: &mut Vec<String>,
) {
    if step.does_act(Act::Identify)
        && let Some(module) = slot
    {
        let serial = entry.evidence.text("serial").map(str::to_owned);
        progress.serials.insert(module, serial);
    }
    if step.does_act(Act::Judge)
        && let Some(module) = slot
        && let Some(judged) = entry
            .evidence
            .text("soundness")
            .and_then(|word| serde_json::from_value::<Soundness>(word.into()).ok())
    {
        progress.soundness.insert(module, judged);
        if judged.is_damaged_in_law() {
            look_at_neighbours_again(frame, progress, module, notes);
        }
    }
    if step.does_act(Act::FindSources) {
        lock_what_was_found(frame, progress, entry, notes);
    }
    if step.does_act(Act::ProveTesterBefore) && !step.does_act(Act::TestDead) {
        // A new proof begins a new set: the two readings after it are owed again.
        for act in [Act::TestDead, Act::ProveTesterAfter] {
            let places: Vec<usize> = frame.steps_doing(act).map(|(place, _)| place).collect();
            for place in places {
                progress.make_stale(
                    place,
                    None,
                    "the tester was proved anew; test and prove again",
                );
            }
        }
    }
    if step.does_act(Act::RemoveLocks) {
        progress.make_proof_stale(frame, "the locks are off");
    }
    if step.does_act(Act::Withdraw) {
        progress.raise_red_flag(frame, entry.at, "X01 was called");
        if let Some(place) = frame.place(&step.id) {
            progress.set_standing(place, None, Standing::Passed(progress.len() + 1));
        }
    }
    if step.does_act(Act::Return) && progress.may_return(frame) {
        progress.stop = None;
        notes.push("the way back is open; the dead state must be proved again".into());
    }
}

/// A source found after the locking: its device is not locked, so the locking is void.
fn lock_what_was_found(
    frame: &Frame,
    progress: &mut Progress,
    entry: &Entry,
    notes: &mut Vec<String>,
) {
    let locked: Vec<String> = progress
        .passed_doing(frame, Act::Lock, None)
        .flat_map(|lock| lock.evidence.rows("locks"))
        .filter_map(|row| row.text("device").map(str::to_owned))
        .collect();
    if locked.is_empty() {
        return;
    }
    let found = entry
        .evidence
        .rows("sources")
        .into_iter()
        .filter_map(|row| {
            (row.yes_no("present") == Some(true))
                .then(|| row.text("device"))
                .flatten()
        });
    for device in found {
        if !locked.iter().any(|one| one == device) {
            progress.make_act_void(frame, Act::Lock, &format!("{device} was found after it"));
            notes.push(format!(
                "{device} is not locked: open it and lock again (C17)"
            ));
        }
    }
}

/// Rule of 2.9: neighbours of a damaged module are looked at again. One that was already judged
/// as badly damaged itself is packed as such; another look at it could change nothing.
fn look_at_neighbours_again(
    frame: &Frame,
    progress: &mut Progress,
    module: usize,
    notes: &mut Vec<String>,
) {
    let neighbours: Vec<usize> = [module.checked_sub(1), Some(module + 1)]
        .into_iter()
        .flatten()
        .filter(|n| *n < frame.modules.len())
        .filter(|n| {
            let known = progress.soundness(*n).unwrap_or(Soundness::Sound);
            !known.is_damaged_in_law() || progress.soundness(module) > Some(known)
        })
        .collect();
    for neighbour in neighbours {
        let mut again = false;
        for (place, step) in frame.procedure.steps.iter().enumerate() {
            let is_look = matches!(step.id.as_str(), "M02" | "M03");
            if is_look
                && matches!(
                    progress.standing(place, Some(neighbour)),
                    Standing::Passed(_)
                )
            {
                progress.make_void(
                    place,
                    Some(neighbour),
                    "its neighbour is damaged: look again",
                );
                again = true;
            }
        }
        if again && let Some(neighbour) = frame.modules.get(neighbour) {
            notes.push(format!(
                "look at {} again (M02, M03): its neighbour is damaged",
                neighbour.id
            ));
        }
    }
}

/// The largest joined group as measured. A group that nobody could measure counts as the largest
/// that was known before: not measured is not split.
fn note_groups(progress: &mut Progress, entry: &Entry) {
    if let Some(largest) = largest_group_of(&entry.evidence) {
        progress.largest_group_v = Some(largest);
    }
}

/// The largest group among those written down; `None` where one of them was not measured.
pub(super) fn largest_group_of(evidence: &Evidence) -> Option<Decimal> {
    let measured: Option<Vec<Decimal>> = evidence
        .rows("groups")
        .iter()
        .map(|row| row.number("voltage_v").map(Decimal::magnitude))
        .collect();
    measured.and_then(|volts| volts.into_iter().max())
}

fn steps_named(frame: &Frame, act: Act) -> String {
    frame
        .steps_doing(act)
        .map(|(_, step)| step.id.as_str())
        .collect::<Vec<_>>()
        .join(", ")
}
