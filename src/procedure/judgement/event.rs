//! Everything that is not a step: findings, readings, stops, shifts, locks off, modules that stay.

use super::taken::{Judgement, recorded, refused};
use crate::citation::Reason;
use crate::inspection;
use crate::procedure::frame::{Frame, Slot};
use crate::procedure::progress::{Progress, Stop};
use crate::procedure::{Act, Entry, Kind, Role};

/// Everything that is not a step.
pub(super) fn take_event(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
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

pub(super) fn take_finding(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
    let slot = entry
        .module
        .as_deref()
        .and_then(|module| frame.module_number(module));
    let codes = entry.evidence.texts("findings");
    if codes.is_empty() {
        return refused(vec![
            Reason::new("finding", "no code")
                .limit("one or more of F01 to F37 under `findings`")
                .way_out("take the code that fits best; in doubt the worse one"),
        ]);
    }
    let (mut notes, mut found) = (Vec::new(), Vec::new());
    let mut flag = None;
    for code in codes
        .iter()
        .flat_map(|text| text.split([',', ' ']))
        .filter(|code| !code.is_empty())
    {
        match inspection::finding(code) {
            Ok(finding) => {
                found.push(code.to_owned());
                notes.push(format!("finding {code}: {}", finding.words));
                if finding.is_red_flag() {
                    flag = Some(format!("{code} {}", finding.words));
                }
            }
            Err(error) => {
                return refused(vec![
                    Reason::new("finding", error.to_string())
                        .limit("F01 to F37")
                        .way_out("take the code that fits best; in doubt the worse one"),
                ]);
            }
        }
    }
    progress.findings.entry(slot).or_default().extend(found);
    void_a_better_judgement(frame, progress, slot, &mut notes);
    if let Some(flag) = flag {
        progress.raise_red_flag(frame, entry.at, &flag);
        notes.push(format!(
            "RED FLAG: {flag}. Stop, get everyone out, call (X01)"
        ));
    }
    recorded(notes)
}

/// A finding after the judgement, worse than it, makes the judgement void: judge again. A finding
/// on the job as a whole is one on every module.
pub(super) fn void_a_better_judgement(
    frame: &Frame,
    progress: &mut Progress,
    slot: Slot,
    notes: &mut Vec<String>,
) {
    let modules = slot.map_or(0..frame.modules.len(), |module| module..module + 1);
    for module in modules {
        let mut codes = progress.findings(Some(module));
        codes.extend(progress.findings(None));
        let least = inspection::soundness_of(&codes);
        let Some(judged) = progress.soundness(module).filter(|judged| *judged < least) else {
            continue;
        };
        let places: Vec<usize> = frame
            .steps_doing(Act::Judge)
            .map(|(place, _)| place)
            .collect();
        for place in places {
            progress.make_void(place, Some(module), "a finding after it is worse");
        }
        let id = frame.modules.get(module).map_or("", |module| &module.id);
        notes.push(format!(
            "{id} was judged {judged} before, now at least {least}: judge again (M06)"
        ));
    }
}

/// A reading outside a step; a voltage on the dead side spoils the proof.
pub(super) fn take_reading(frame: &Frame, progress: &mut Progress, entry: &Entry) -> Judgement {
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

/// Why this person may not say that a module stays, or leaves after all.
pub(super) fn may_not_decide_what_stays(frame: &Frame, entry: &Entry) -> Option<Reason> {
    let roles = [
        Role::PersonInCharge,
        Role::QualifiedElectricalWorker,
        Role::ComplianceOfficer,
    ];
    let may = frame
        .person(&entry.by)
        .is_some_and(|person| person.competence(&roles, entry.at.local_day()).is_some());
    (!may).then(|| {
        Reason::new("left behind", format!("by {}", frame.name_of(&entry.by)))
            .limit("by the person in charge, a qualified electrical worker or the officer")
            .way_out("one of them decides what stays")
    })
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
    if let Some(reason) = may_not_decide_what_stays(frame, entry) {
        return refused(vec![reason]);
    }
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
