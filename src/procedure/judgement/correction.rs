//! What was written wrong: the old entry stays, the new one names it.
//!
//! A correction closes gates and never opens one. It does not pass what had not passed, does not
//! make fresh what went stale, does not lengthen a release, and does not make a module sounder or
//! a group smaller: what would do so is done again, not written better. What rested on the old
//! words is judged again by the new ones.

use super::event::{
    may_not_decide_what_stays, take_finding, take_reading, void_a_better_judgement,
};
use super::step::{after_pass, largest_group_of};
use super::taken::{Judgement, Outcome, recorded, refused, target};
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::procedure::acts;
use crate::procedure::answers;
use crate::procedure::frame::{Frame, Slot};
use crate::procedure::progress::{Progress, Standing, belongs_to_isolation, belongs_to_proof};
use crate::procedure::{Act, Entry, Evidence, Kind, Step};

/// Takes a correction.
pub(super) fn take_correction(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let named = entry.amends.map_or(0, |number| number as usize);
    let Some(number) = root(progress, named) else {
        return refused(vec![
            Reason::new("correction", format!("of entry {named}"))
                .limit(format!("an earlier entry, 1 to {}", progress.len()))
                .way_out("give the number of the entry that is wrong"),
        ]);
    };
    let Some(old) = progress.entry(number).cloned() else {
        return refused(Vec::new());
    };
    if progress.was_refused(number) {
        return recorded(vec![format!(
            "entry {number} was refused and moved nothing; make the right entry anew"
        )]);
    }
    if number != named && entry.evidence.is_empty() {
        return refused(vec![
            Reason::new("correction taken back", format!("entry {named}"))
                .limit("a correction is corrected by the true value, not by an empty one")
                .clause("rule G13 of the procedure")
                .way_out(format!("correct entry {number} and say what is true")),
        ]);
    }
    let names_another = |said: &Option<String>, is: &Option<String>| said.is_some() && said != is;
    if names_another(&entry.step, &old.step) || names_another(&entry.module, &old.module) {
        let of = |step: &Option<String>, module: &Option<String>| {
            let module = module
                .as_ref()
                .map_or(String::new(), |id| format!(" of {id}"));
            format!("{}{module}", step.as_deref().unwrap_or("no step"))
        };
        return refused(vec![
            Reason::new("correction", of(&entry.step, &entry.module))
                .limit(format!("entry {number} is {}", of(&old.step, &old.module)))
                .way_out("give the number of the entry that is wrong"),
        ]);
    }
    let amended = Entry {
        evidence: merged(&old.evidence, &entry.evidence),
        by: entry.by.clone(),
        ..old
    };
    match target(frame, &amended) {
        Ok((place, slot)) if matches!(amended.kind, Kind::Step | Kind::LateEntry) => {
            let Some(step) = frame.step_at(place) else {
                return refused(Vec::new());
            };
            of_a_step(
                frame,
                progress,
                entry,
                number,
                &amended,
                (place, slot, step),
            )
        }
        _ => of_an_event(frame, progress, entry, number, &amended),
    }
}

/// The entry that a chain of corrections leads back to. Each names an earlier one, or nothing.
fn root(progress: &Progress, mut number: usize) -> Option<usize> {
    loop {
        let entry = progress.entry(number)?;
        if entry.kind != Kind::Correction || progress.was_refused(number) {
            return Some(number);
        }
        let before = entry.amends.map_or(0, |number| number as usize);
        if before >= number {
            return None;
        }
        number = before;
    }
}

fn merged(old: &Evidence, new: &Evidence) -> Evidence {
    let mut evidence = old.clone();
    for (name, value) in new.iter() {
        evidence.put(name, value.clone());
    }
    evidence
}

/// Everything that is not a step. What followed from it stays; what the new words add follows too.
fn of_an_event(
    frame: &Frame,
    progress: &mut Progress,
    entry: &Entry,
    number: usize,
    amended: &Entry,
) -> Judgement {
    let says_more = !entry.evidence.is_empty();
    match amended.kind {
        Kind::Finding if says_more => {
            let judgement = take_finding(frame, progress, amended);
            if judgement.outcome == Outcome::Recorded {
                progress.amend(number, amended.evidence.clone());
            }
            judgement
        }
        Kind::Reading if says_more => {
            progress.amend(number, amended.evidence.clone());
            take_reading(frame, progress, amended)
        }
        Kind::Resume if says_more && amended.evidence.yes_no("people_left") != Some(false) => {
            let why = "people left the place while work was stopped, as was said later";
            progress.make_proof_stale(frame, why);
            recorded(vec![format!("the dead state is no longer proved: {why}")])
        }
        Kind::LeftBehind if !says_more => {
            if let Some(reason) = may_not_decide_what_stays(frame, entry) {
                return refused(vec![reason]);
            }
            let id = amended.module.as_deref().unwrap_or("");
            if let Some(module) = frame.module_number(id) {
                progress.left_behind.remove(&module);
            }
            recorded(vec![format!(
                "{id} leaves after all; its own steps are open as far as everything before them holds"
            )])
        }
        _ => recorded(vec![format!(
            "entry {number} is corrected; what followed from it stays as it is"
        )]),
    }
}

fn of_a_step(
    frame: &Frame,
    progress: &mut Progress,
    entry: &Entry,
    number: usize,
    amended: &Entry,
    (place, slot, step): (usize, Slot, &Step),
) -> Judgement {
    let why = entry.reason.clone().unwrap_or_default();
    let rests_on_it = progress.standing(place, slot).entry() == Some(number);
    if entry.evidence.is_empty() {
        if !rests_on_it {
            return recorded(vec![format!(
                "entry {number} is taken back; {} rests on a later one",
                step.id
            )]);
        }
        progress.make_void(place, slot, &why);
        spoil(
            frame,
            progress,
            step,
            &format!("{} was taken back", step.id),
        );
        return recorded(vec![format!(
            "{} is taken back: {why}; everything below it is closed until it passes again",
            step.id
        )]);
    }
    let held: Vec<(usize, Slot, usize)> = resting_on(frame, progress, step, number)
        .into_iter()
        .filter(|(place, slot, number)| passes(frame, progress, *place, *slot, *number))
        .collect();
    let seen = without(progress, number);
    let answers = answers::look(frame, &seen, step, slot, amended.at, &amended.evidence);
    if !answers.slips.is_empty() {
        return refused(answers.slips);
    }
    let ruling = acts::rule(frame, &seen, step, slot, amended);
    let red_flag = answers.red_flag.clone().or_else(|| ruling.red_flag());
    let fails = !answers.fails.is_empty()
        || !answers.refusals.is_empty()
        || !ruling.fails.is_empty()
        || !ruling.refusals.is_empty()
        || red_flag.is_some();
    let mut notes = Vec::new();
    // What was found is found, whatever the step rests on.
    let mut found = answers.findings;
    found.extend(ruling.findings);
    progress.findings.entry(slot).or_default().extend(found);
    if !step.does_act(Act::Judge) {
        void_a_better_judgement(frame, progress, slot, &mut notes);
    }
    if let Some(flag) = &red_flag {
        progress.raise_red_flag(frame, entry.at, flag);
        notes.push(format!(
            "RED FLAG: {flag}. Stop, get everyone out, call (X01)"
        ));
    }
    if !rests_on_it {
        notes.insert(
            0,
            format!(
                "entry {number} is corrected; {} rests on a later one",
                step.id
            ),
        );
        return recorded(notes);
    }
    let old = progress
        .entry(number)
        .map(|old| old.evidence.clone())
        .unwrap_or_default();
    if step.does_act(Act::Split) {
        keep_the_larger_group(frame, progress, &old, &amended.evidence);
    }
    let had_passed = matches!(
        progress.standing(place, slot),
        Standing::Passed(_) | Standing::Stale { .. }
    );
    let opens = would_open(frame, progress, step, slot, &old, &amended.evidence);
    progress.amend(number, amended.evidence.clone());
    let id = &step.id;
    if !had_passed {
        notes.push(format!(
            "{id} had not passed; a correction does not pass it, do it again"
        ));
    } else if fails {
        progress.make_void(place, slot, &format!("corrected: {why}"));
        spoil(frame, progress, step, &format!("{id} no longer passes"));
        for (act, why) in ruling.voids {
            progress.make_act_void(frame, act, &why);
        }
        notes.push(format!("{id} no longer passes as corrected; do it again"));
    } else if opens && step.does_act(Act::ReleaseWork) {
        progress.make_stale(place, slot, "corrected; a release is given anew");
        notes.push(format!(
            "{id}: a correction neither lengthens a release nor widens it; release again"
        ));
    } else if opens {
        progress.make_void(place, slot, &format!("corrected: {why}"));
        notes.push(format!(
            "{id}: what follows from it would change; it is done again, not written better"
        ));
    } else {
        notes.push(format!("{id} is corrected and still passes"));
        if step.does_act(Act::Identify) {
            after_pass(frame, progress, amended, step, slot, &mut notes);
        }
    }
    if let Some(what) = answers.breaks_dead_proof.or(ruling.breaks_dead_proof) {
        let why = format!("voltage on the dead side, {what}");
        progress.make_proof_stale(frame, &why);
        notes.push(format!("the dead state is no longer proved: {why}"));
    }
    judge_again(frame, progress, id, held, &mut notes);
    recorded(notes)
}

/// A link of isolation or proof that no longer holds spoils the whole proof.
fn spoil(frame: &Frame, progress: &mut Progress, step: &Step, why: &str) {
    let links = step.acts.iter();
    if links
        .copied()
        .any(|act| belongs_to_proof(act) || belongs_to_isolation(act))
    {
        progress.make_proof_stale(frame, why);
    }
}

/// Whether the new words would open something by themselves: a longer or wider release, another
/// soundness, an answer by which other steps are called for.
fn would_open(
    frame: &Frame,
    progress: &mut Progress,
    step: &Step,
    slot: Slot,
    old: &Evidence,
    new: &Evidence,
) -> bool {
    let differs = |name: &str| old.answer(name) != new.answer(name);
    if step.does_act(Act::ReleaseWork)
        && (new.time("expires_at") > old.time("expires_at") || differs("live_work_release"))
    {
        return true;
    }
    if step.does_act(Act::Judge)
        && differs("soundness")
        && let Some(module) = slot
    {
        // Until it is judged again the worse of the two stands.
        let said = new
            .text("soundness")
            .and_then(|word| serde_json::from_value::<Soundness>(word.into()).ok());
        let worse = said.max(progress.soundness(module));
        if let Some(worse) = worse {
            progress.soundness.insert(module, worse);
        }
        return true;
    }
    frame
        .procedure
        .steps
        .iter()
        .filter_map(|other| other.only_for.as_ref()?.answer.split_once('.'))
        .any(|(id, name)| id == step.id && differs(name))
}

/// A correction makes no group smaller. One that takes the reading away leaves the plan's highest.
fn keep_the_larger_group(frame: &Frame, progress: &mut Progress, old: &Evidence, new: &Evidence) {
    let (before, after) = (largest_group_of(old), largest_group_of(new));
    match (before, after) {
        (Some(_), None) => progress.largest_group_v = None,
        (Some(before), Some(after)) if after > before => {
            let now = progress.largest_group_v(frame);
            progress.largest_group_v = Some(now.max(after));
        }
        _ => {}
    }
}

/// The record without what one entry said, so that its new words are not held against its old.
fn without(progress: &Progress, number: usize) -> Progress {
    let mut without = progress.clone();
    without.amend(number, Evidence::default());
    without
}

/// Passed steps whose own passing looked at `step`: the links of isolation and proof at one
/// another, and answers that must be the same as one of its answers.
fn resting_on(
    frame: &Frame,
    progress: &Progress,
    step: &Step,
    number: usize,
) -> Vec<(usize, Slot, usize)> {
    let is_link = |step: &Step| {
        let mut acts = step.acts.iter().copied();
        acts.any(|act| belongs_to_proof(act) || belongs_to_isolation(act))
    };
    let own = format!("{}.", step.id);
    let counts_it = |other: &Step| {
        let limits = other.evidence.iter().flat_map(|spec| &spec.limits);
        limits
            .filter_map(|limit| limit.same_as.as_ref())
            .any(|same| same.starts_with(&own))
    };
    let waits_for_it = |other: &Step| other.spec("inputs").is_some();
    let mut found = Vec::new();
    for (place, other) in frame.procedure.steps.iter().enumerate() {
        let linked = is_link(step) && (is_link(other) || waits_for_it(other));
        let parted = waits_for_it(other) && step.spec("poles").is_some();
        if !(linked || parted || counts_it(other)) {
            continue;
        }
        for slot in frame.slots(other) {
            if let Standing::Passed(entry) = progress.standing(place, slot)
                && *entry != number
            {
                found.push((place, slot, *entry));
            }
        }
    }
    found
}

/// Whether the entry that passed a step would pass it still.
fn passes(frame: &Frame, progress: &Progress, place: usize, slot: Slot, number: usize) -> bool {
    let (Some(step), Some(entry)) = (frame.step_at(place), progress.entry(number)) else {
        return true;
    };
    let seen = without(progress, number);
    let answers = answers::look(frame, &seen, step, slot, entry.at, &entry.evidence);
    let ruling = acts::rule(frame, &seen, step, slot, entry);
    answers.fails.is_empty()
        && answers.refusals.is_empty()
        && ruling.fails.is_empty()
        && ruling.refusals.is_empty()
}

/// What held by the old words and no longer does by the new ones is void.
fn judge_again(
    frame: &Frame,
    progress: &mut Progress,
    corrected: &str,
    held: Vec<(usize, Slot, usize)>,
    notes: &mut Vec<String>,
) {
    for (place, slot, number) in held {
        let still =
            matches!(progress.standing(place, slot), Standing::Passed(now) if *now == number);
        if !still || passes(frame, progress, place, slot, number) {
            continue;
        }
        let Some(step) = frame.step_at(place) else {
            continue;
        };
        progress.make_void(place, slot, &format!("{corrected} was corrected"));
        spoil(
            frame,
            progress,
            step,
            &format!("{} no longer passes", step.id),
        );
        notes.push(format!(
            "{} rested on {corrected} as it stood and no longer passes; do it again",
            step.id
        ));
    }
}
