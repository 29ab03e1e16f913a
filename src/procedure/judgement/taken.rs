//! Whatever comes: its form first, then by its kind.

use std::sync::Arc;

use super::correction::take_correction;
use super::event::take_event;
use super::late::take_late;
use super::step::take_step;
use crate::citation::Reason;
use crate::procedure::answers;
use crate::procedure::frame::{Frame, Slot};
use crate::procedure::gate;
use crate::procedure::progress::{Progress, Standing};
use crate::procedure::{Act, Branch, Entry, Kind, Per};

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
pub fn take(frame: &Frame, progress: &mut Progress, entry: &Arc<Entry>) -> Judgement {
    let mut notes = Vec::new();
    watch_the_clock(frame, progress, entry, &mut notes);
    let refusals = form(frame, progress, entry);
    let judgement = if refusals.is_empty() {
        match entry.kind {
            Kind::Step => take_step(frame, progress, entry),
            Kind::LateEntry => take_late(frame, progress, entry),
            Kind::Correction => take_correction(frame, progress, entry),
            _ => take_event(frame, progress, entry),
        }
    } else {
        refused(refusals)
    };
    progress.push(Arc::clone(entry), judgement.outcome == Outcome::Refused);
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
    for (place, step) in frame.procedure.steps.iter().enumerate() {
        if !progress.is_called_for(frame, place)
            || (step.branch == Branch::RedFlag && !red_flag && !starts_red)
        {
            continue;
        }
        for slot in frame.slots(step) {
            let done = match progress.standing(place, slot) {
                Standing::Passed(_) => true,
                Standing::Stale { .. } => progress.locks_are_off(frame),
                _ => false,
            };
            if !done && gate::closed(frame, progress, place, slot, None).is_empty() {
                open.push((place, slot));
            }
        }
    }
    open
}

pub(super) fn refused(reasons: Vec<Reason>) -> Judgement {
    Judgement {
        outcome: Outcome::Refused,
        reasons,
        notes: Vec::new(),
    }
}

pub(super) fn recorded(notes: Vec<String>) -> Judgement {
    Judgement {
        outcome: Outcome::Recorded,
        reasons: Vec::new(),
        notes,
    }
}

/// A pause that nobody explained makes the dead proof stale all the same (rule G4).
fn watch_the_clock(frame: &Frame, progress: &mut Progress, entry: &Entry, notes: &mut Vec<String>) {
    let Some(last) = progress.last_work_at else {
        return;
    };
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
            "nothing was done for {} min, more than {minutes} min",
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
pub(super) fn target(frame: &Frame, entry: &Entry) -> Result<(usize, Slot), Vec<Reason>> {
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
