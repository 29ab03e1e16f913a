//! Takes one entry of the record: refuses it, or accepts it and says what follows.
//!
//! A refusal stops the job where the order was broken. An entry whose evidence does not pass is
//! lawful: it is kept, the step stays open, and what it disproved becomes void or stale.

use super::acts::{self, Ruling};
use super::answers::{self, Answers};
use super::frame::{Frame, Slot};
use super::gate;
use super::progress::{Progress, Standing, Stop, belongs_to_proof};
use super::{Act, Branch, Entry, Kind, Per, Role, Step};
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::inspection;

/// What became of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// A step that passed.
    Passed,
    /// A step whose evidence does not pass it; it stays open.
    NotPassed,
    /// Anything but a step; kept.
    Recorded,
    /// Breaks the order or may not stand; the job stops here.
    Refused,
}

/// What became of an entry, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judgement {
    /// What became of it.
    pub outcome: Outcome,
    /// Why it was refused or did not pass.
    pub reasons: Vec<Reason>,
    /// What follows from it, in words: stale proofs, unknowns with their consequence, findings.
    pub notes: Vec<String>,
}

/// Takes `entry`: judges it and moves `progress` on. A refused entry moves nothing but is kept as
/// the last one, so that the record shows it.
pub fn take(frame: &Frame, progress: &mut Progress, entry: Entry) -> Judgement {
    let mut notes = Vec::new();
    watch_the_clock(frame, progress, &entry, &mut notes);
    let refusals = form(frame, progress, &entry);
    let judgement = if refusals.is_empty() {
        match entry.kind {
            Kind::Step => take_step(frame, progress, &entry),
            Kind::LateEntry => take_late(frame, progress, &entry),
            Kind::Correction => take_correction(frame, progress, &entry),
            _ => take_event(frame, progress, &entry),
        }
    } else {
        refused(refusals)
    };
    progress.push(entry);
    Judgement {
        notes: notes.into_iter().chain(judgement.notes).collect(),
        ..judgement
    }
}

/// Steps that are open now, with their slots, in order of the procedure: what may be done next.
#[must_use]
pub fn open_steps(frame: &Frame, progress: &Progress) -> Vec<(usize, Slot)> {
    let mut open = Vec::new();
    let red_flag = progress.stop().is_some_and(|stop| stop.red_flag);
    let starts_red = frame
        .procedure
        .steps
        .first()
        .is_some_and(|s| s.branch == Branch::RedFlag);
    let locks_are_off = frame
        .steps_doing(Act::RemoveLocks)
        .any(|(place, _)| matches!(progress.standing(place, None), Standing::Passed(_)));
    for (place, step) in frame.procedure.steps.iter().enumerate() {
        if frame.is_left_out(place) || (step.branch == Branch::RedFlag && !red_flag && !starts_red)
        {
            continue;
        }
        if locks_are_off && step.acts.iter().any(|act| belongs_to_proof(*act)) {
            // What was proved is over with the locks; nobody is asked to prove it again.
            continue;
        }
        for slot in frame.slots(step) {
            let passed = matches!(progress.standing(place, slot), Standing::Passed(_));
            if !passed && gate::closed(frame, progress, place, slot, None).is_empty() {
                open.push((place, slot));
            }
        }
    }
    open
}

fn refused(reasons: Vec<Reason>) -> Judgement {
    Judgement {
        outcome: Outcome::Refused,
        reasons,
        notes: Vec::new(),
    }
}

fn recorded(notes: Vec<String>) -> Judgement {
    Judgement {
        outcome: Outcome::Recorded,
        reasons: Vec::new(),
        notes,
    }
}

/// A pause that nobody explained makes the dead proof stale all the same (rule G4).
fn watch_the_clock(frame: &Frame, progress: &mut Progress, entry: &Entry, notes: &mut Vec<String>) {
    let Some(last) = progress.last_at else { return };
    let minutes = frame.whole_setting("proof_pause_min");
    let gap = entry.at.seconds_since(last);
    if gap <= minutes * 60 {
        return;
    }
    let released = frame
        .steps_doing(Act::TryStart)
        .any(|(place, _)| matches!(progress.standing(place, None), Standing::Passed(_)));
    if released {
        let why = format!(
            "nothing was entered for {} min, more than {minutes} min",
            gap / 60
        );
        progress.make_proof_stale(frame, &why);
        notes.push(format!("the dead state is no longer proved: {why}"));
    }
}

/// What every entry must be, whatever it is.
fn form(frame: &Frame, progress: &Progress, entry: &Entry) -> Vec<Reason> {
    let mut reasons = Vec::new();
    if let Some(last) = progress.last_at
        && entry.at < last
    {
        reasons.push(
            Reason::new("time of the entry", entry.at.to_string())
                .limit(format!("not before the entry above it, {last}"))
                .clause("rule G13 of the procedure")
                .way_out("times are not edited: enter it now as a late entry, with the reason"),
        );
    }
    if frame.person(&entry.by).is_none() {
        let known = frame.people.iter().map(|person| person.id.as_str());
        reasons.push(
            Reason::new("person", format!("`{}` is not on the plan", entry.by))
                .limit(
                    frame
                        .people
                        .iter()
                        .map(|p| p.id.as_str())
                        .collect::<Vec<_>>()
                        .join(", "),
                )
                .way_out(match answers::nearest(&entry.by, known) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "enter the person in the plan first".into(),
                }),
        );
    }
    if let Some(photo) = entry.photos.iter().find(|photo| !photo.has_plain_name()) {
        reasons.push(
            Reason::new(
                "photograph",
                format!("`{}`", photo.file.chars().take(60).collect::<String>()),
            )
            .limit(
                "a plain file name in the job's photos folder: no folder, no drive, no leading dot",
            )
            .way_out("put the file there and give its name"),
        );
    }
    if let Some(module) = &entry.module
        && frame.module_number(module).is_none()
    {
        let known = frame.modules.iter().map(|module| module.id.as_str());
        reasons.push(
            Reason::new("module", format!("`{module}` is not on the plan"))
                .limit(
                    frame
                        .modules
                        .iter()
                        .map(|m| m.id.as_str())
                        .collect::<Vec<_>>()
                        .join(", "),
                )
                .way_out(match answers::nearest(module, known) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "put the plan right first".into(),
                }),
        );
    }
    let needs_reason = matches!(
        entry.kind,
        Kind::Correction
            | Kind::LateEntry
            | Kind::StopWork
            | Kind::LeftBehind
            | Kind::LockRemoved
            | Kind::IsolatorMoved
    );
    if needs_reason && entry.reason.as_deref().unwrap_or("").trim().is_empty() {
        reasons.push(
            Reason::new(
                format!("{} without a reason", entry.kind.name().replace('_', " ")),
                "",
            )
            .limit("a reason in words")
            .clause("rule G13 of the procedure; ISO 15489-1, 5.2.2.3 (read in an extract)")
            .way_out("say why"),
        );
    }
    reasons
}

/// The place and slot that an entry speaks of.
fn target(frame: &Frame, entry: &Entry) -> Result<(usize, Slot), Vec<Reason>> {
    let id = entry.step.as_deref().unwrap_or("");
    let Some(place) = frame.place(id) else {
        let known = frame.procedure.steps.iter().map(|step| step.id.as_str());
        return Err(vec![
            Reason::new(
                "step",
                format!("`{id}` is not in the procedure {}", frame.procedure.id),
            )
            .limit("an id of the procedure")
            .way_out(match answers::nearest(id, known) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("see `packdown procedure show {}`", frame.procedure.id),
            }),
        ]);
    };
    let per = frame.step_at(place).map_or(Per::Job, |step| step.per);
    let number = entry
        .module
        .as_deref()
        .and_then(|module| frame.module_number(module));
    match (per, number) {
        (Per::Job, None) => Ok((place, None)),
        (Per::Module, Some(number)) => Ok((place, Some(number))),
        (Per::Job, Some(_)) => Err(vec![
            Reason::new(
                format!("{id} for one module"),
                "it is a step of the whole job",
            )
            .limit("no module")
            .way_out("leave the module out"),
        ]),
        (Per::Module, None) => Err(vec![
            Reason::new(
                format!("{id} without a module"),
                "it is a step of each module",
            )
            .limit("the module's id")
            .way_out("say which module"),
        ]),
    }
}

fn take_step(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
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
    let mut notes: Vec<String> = answers.unknowns.clone();
    progress.unknowns.extend(answers.unknowns);
    let reasons: Vec<Reason> = answers.fails.into_iter().chain(ruling.fails).collect();
    let passed = reasons.is_empty() && answers.red_flag.is_none();
    for code in answers.findings.iter().chain(&ruling.findings) {
        let new = progress
            .findings
            .entry(slot)
            .or_default()
            .insert(code.clone());
        if new && let Ok(finding) = inspection::finding(code) {
            notes.push(format!("finding {code}: {}", finding.words));
        }
    }
    let standing = if passed {
        Standing::Passed(number)
    } else {
        Standing::NotPassed(number)
    };
    progress.set_standing(place, slot, standing);
    if passed {
        after_pass(frame, progress, entry, step, slot, &mut notes);
    } else if step.acts.iter().any(|act| belongs_to_proof(*act)) {
        // What rested on the proof is not proved while one of its links is open.
        progress.make_proof_stale(frame, &format!("{} did not pass", step.id));
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
    if let Some(flag) = answers.red_flag {
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

/// What a passed step changes beside its own standing.
fn after_pass(
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
    if step.branch == Branch::RedFlag && progress.may_return(frame) {
        progress.stop = None;
        notes.push("the way back is open; the dead state must be proved again".into());
    }
}

/// Rule of 2.9: neighbours of a damaged module are looked at again.
fn look_at_neighbours_again(
    frame: &Frame,
    progress: &mut Progress,
    module: usize,
    notes: &mut Vec<String>,
) {
    let neighbours = [module.checked_sub(1), Some(module + 1)];
    for neighbour in neighbours
        .into_iter()
        .flatten()
        .filter(|n| *n < frame.modules.len())
    {
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

fn note_groups(progress: &mut Progress, entry: &Entry) {
    let largest = entry
        .evidence
        .rows("groups")
        .into_iter()
        .filter_map(|row| row.number("voltage_v"))
        .map(crate::units::Decimal::magnitude)
        .max();
    if largest.is_some() {
        progress.largest_group_v = largest;
    }
}

fn steps_named(frame: &Frame, act: Act) -> String {
    frame
        .steps_doing(act)
        .map(|(_, step)| step.id.as_str())
        .collect::<Vec<_>>()
        .join(", ")
}

/// Something that happened earlier. It never passes a step of the proof or one that touches: the
/// gate has to be asked before the act, not after.
fn take_late(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
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
fn take_correction(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
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
    for code in answers.findings {
        progress.findings.entry(slot).or_default().insert(code);
    }
    if !still_passes {
        progress.make_void(place, slot, &format!("corrected: {why}"));
        if step.acts.iter().any(|act| belongs_to_proof(*act)) {
            progress.make_proof_stale(frame, &format!("{} no longer passes", step.id));
        }
        notes.push(format!(
            "{} no longer passes as corrected; do it again",
            step.id
        ));
    } else if step.does_act(Act::Judge) || step.does_act(Act::Identify) || step.does_act(Act::Split)
    {
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

/// Everything that is not a step.
fn take_event(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let reason = entry.reason.clone().unwrap_or_default();
    match entry.kind {
        Kind::Finding => take_finding(frame, progress, entry),
        Kind::Reading => take_reading(frame, progress, entry),
        Kind::StopWork => {
            if progress.stop.is_none() {
                progress.stop = Some(Stop {
                    since: entry.at,
                    why: reason,
                    red_flag: false,
                });
            }
            recorded(vec!["work is stopped".into()])
        }
        Kind::Resume => take_resume(frame, progress, entry),
        Kind::ShiftChange => {
            progress.make_proof_stale(frame, "another shift or crew took over");
            recorded(vec![
                "the dead state must be proved again by the new shift (C18 to C25)".into(),
            ])
        }
        Kind::LockRemoved => {
            progress.make_act_void(frame, Act::Lock, "a lock came off");
            progress.make_proof_stale(frame, &format!("a lock came off: {reason}"));
            recorded(vec![
                "a lock is off: lock again, then prove the dead state again".into(),
            ])
        }
        Kind::IsolatorMoved => {
            for act in [Act::Isolate, Act::SeeBreak, Act::Lock] {
                progress.make_act_void(frame, act, "an isolating device was moved");
            }
            progress.make_proof_stale(frame, &format!("an isolating device was moved: {reason}"));
            recorded(vec![
                "isolate, look and lock again, then prove the dead state again".into(),
            ])
        }
        Kind::RestartLeadPlugged => {
            progress.make_act_void(frame, Act::BlockRestart, "a restart lead was plugged in");
            progress.make_proof_stale(frame, "a restart lead was plugged in");
            recorded(vec![
                "cut the restart off again (C12), then prove the dead state again".into(),
            ])
        }
        Kind::PlaceChanged => {
            progress.make_proof_stale(frame, "the place of work changed");
            recorded(vec![
                "the dead state must be proved at the new place (C18 to C25)".into(),
            ])
        }
        Kind::LeftBehind => take_left_behind(frame, progress, entry),
        Kind::Step | Kind::LateEntry | Kind::Correction => recorded(Vec::new()),
    }
}

fn take_finding(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let slot = entry
        .module
        .as_deref()
        .and_then(|module| frame.module_number(module));
    let codes = entry.evidence.texts("findings");
    if codes.is_empty() {
        return refused(vec![
            Reason::new("finding", "no code")
                .limit("one or more of F01 to F36 under `findings`")
                .way_out("take the code that fits best; in doubt the worse one"),
        ]);
    }
    let mut notes = Vec::new();
    let mut flag = None;
    for code in codes
        .iter()
        .flat_map(|text| text.split([',', ' ']))
        .filter(|code| !code.is_empty())
    {
        match inspection::finding(code) {
            Ok(finding) => {
                progress
                    .findings
                    .entry(slot)
                    .or_default()
                    .insert(code.to_owned());
                notes.push(format!("finding {code}: {}", finding.words));
                if finding.is_red_flag() {
                    flag = Some(format!("{code} {}", finding.words));
                }
            }
            Err(error) => {
                return refused(vec![
                    Reason::new("finding", error.to_string())
                        .limit("F01 to F36")
                        .way_out("take the code that fits best; in doubt the worse one"),
                ]);
            }
        }
    }
    void_a_better_judgement(frame, progress, slot, &mut notes);
    if let Some(flag) = flag {
        progress.raise_red_flag(frame, entry.at, &flag);
        notes.push(format!(
            "RED FLAG: {flag}. Stop, get everyone out, call (X01)"
        ));
    }
    recorded(notes)
}

/// A finding after the judgement, worse than it, makes the judgement void: judge again.
fn void_a_better_judgement(
    frame: &Frame,
    progress: &mut Progress,
    slot: Slot,
    notes: &mut Vec<String>,
) {
    let Some(module) = slot else { return };
    let least = inspection::soundness_of(&progress.findings(slot));
    let Some(judged) = progress.soundness(module).filter(|judged| *judged < least) else {
        return;
    };
    let places: Vec<usize> = frame
        .steps_doing(Act::Judge)
        .map(|(place, _)| place)
        .collect();
    for place in places {
        progress.make_void(place, slot, "a finding after it is worse");
    }
    notes.push(format!(
        "judged {judged} before, now at least {least}: judge again (M06)"
    ));
}

/// A reading outside a step; a voltage on the dead side spoils the proof.
fn take_reading(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let mut notes = Vec::new();
    for (name, setting) in [
        ("dead_side_voltage_v", "dead_dc_v"),
        ("dead_side_ac_voltage_v", "dead_ac_v"),
    ] {
        let Some(volts) = entry.evidence.number(name) else {
            continue;
        };
        if volts.magnitude() > frame.setting(setting) {
            let why = format!("{volts} V turned up on the dead side");
            progress.make_proof_stale(frame, &why);
            notes.push(format!("the dead state is no longer proved: {why}"));
        }
    }
    recorded(notes)
}

fn take_resume(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let Some(stop) = progress.stop.clone() else {
        return recorded(vec!["work was not stopped".into()]);
    };
    if stop.red_flag {
        return refused(vec![
            Reason::new("resume after a red flag", stop.why)
                .limit("the fire service's written release and cool readings (X05, X08), never an undo")
                .clause("rule G10 of the procedure")
                .way_out("go the way X01 to X08"),
        ]);
    }
    let in_charge = frame.person(&entry.by).is_some_and(|person| {
        person
            .competence(&[Role::PersonInCharge], entry.at.local_day())
            .is_some()
    });
    if !in_charge {
        return refused(vec![
            Reason::new("resume", format!("by {}", frame.name_of(&entry.by)))
                .limit("by the person in charge of the work")
                .clause("EN 50110-1, nominated person in control (from memory, unverified)")
                .way_out("the person in charge resumes"),
        ]);
    }
    progress.stop = None;
    let minutes = frame.whole_setting("proof_pause_min");
    let pause = entry.at.seconds_since(stop.since);
    let left = entry.evidence.yes_no("people_left") != Some(false);
    let mut notes = vec!["work goes on".to_owned()];
    if pause > minutes * 60 || left {
        let why = if left {
            "people left the place while work was stopped, or nobody said that they stayed"
                .to_owned()
        } else {
            format!(
                "work was stopped for {} min, more than {minutes} min",
                pause / 60
            )
        };
        progress.make_proof_stale(frame, &why);
        notes.push(format!("the dead state is no longer proved: {why}"));
    }
    recorded(notes)
}

fn take_left_behind(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let Some(module) = entry
        .module
        .as_deref()
        .and_then(|module| frame.module_number(module))
    else {
        return refused(vec![
            Reason::new("left behind", "no module named")
                .limit("the module's id")
                .way_out("say which module stays"),
        ]);
    };
    if progress.is_lifted(frame, module) {
        return refused(vec![
            Reason::new(
                "left behind",
                format!(
                    "{} was already lifted out",
                    entry.module.as_deref().unwrap_or("")
                ),
            )
            .limit("a module that still stands in its place")
            .way_out("a module that is out goes on: pack it, or hold it"),
        ]);
    }
    progress
        .left_behind
        .insert(module, entry.reason.clone().unwrap_or_default());
    recorded(vec![format!(
        "{} stays where it is",
        entry.module.as_deref().unwrap_or("")
    )])
}
