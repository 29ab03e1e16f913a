//! May the step begin? Asked before the evidence is looked at.
//!
//! The order, the people, the stop in force, the freshness of the dead proof, the voltage bands.
//! An empty answer is an open gate; every reason of a closed one says what to do.

use super::frame::{Frame, Slot};
use super::progress::{Progress, Standing, belongs_to_proof};
use super::{Act, People, Role, Step};
use crate::citation::Reason;
use crate::clock::Moment;
use crate::inspection::InstrumentKind;
use crate::units::{Decimal, Grams};

/// Reasons for which the step stays shut, whoever comes; empty where it is open.
#[must_use]
pub fn closed(
    frame: &Frame,
    progress: &Progress,
    place: usize,
    slot: Slot,
    at: Option<Moment>,
) -> Vec<Reason> {
    let Some(step) = frame.step_at(place) else {
        return Vec::new();
    };
    let mut reasons = Vec::new();
    stopped(frame, progress, place, &mut reasons);
    order(frame, progress, place, step, slot, &mut reasons);
    if let Some(module) = slot {
        module_order(frame, progress, step, module, &mut reasons);
    }
    if step.is_touching() {
        bands(frame, progress, step, &mut reasons);
        if let Some(at) = at {
            release_in_force(frame, progress, at, &mut reasons);
        }
    }
    reasons
}

/// Reasons for which these people may not do the step on that day.
#[must_use]
pub fn people(
    frame: &Frame,
    progress: &Progress,
    step: &Step,
    at: Moment,
    by: &str,
    with: Option<&str>,
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    competent(frame, step, at, by, &mut reasons);
    if let Some(with) = with {
        second(frame, at, by, with, &mut reasons);
    }
    let above_touch = step.is_touching()
        && !step.does_act(Act::LiftModule)
        && progress.largest_group_v(frame) > frame.setting("gloves_v");
    if with.is_none() && (step.people == People::Two || above_touch) {
        reasons.push(
            Reason::new(format!("people at {}", step.id), "one")
                .limit("two distinct people, both signed in")
                .clause(if step.people == People::Two {
                    "rule G9 of the procedure"
                } else {
                    "above 60 V dc: second worker (ISO 6469-4, 60 V dc touch limit, read in part)"
                })
                .way_out("name the second person who was there; nobody else may be entered"),
        );
    }
    if step.does_act(Act::ReleaseWork)
        && !frame.installation.one_household_circuit
        && progress
            .passed_doing(frame, Act::TestDead, None)
            .any(|test| test.by == by)
    {
        reasons.push(
            Reason::new(format!("release {}", step.id), format!("by {}, who also tested", frame.name_of(by)))
                .limit("another person than the tester, unless one household circuit is all that is isolated")
                .clause("rule G11 of the procedure (project default, not law)")
                .way_out("the person in charge of the work releases"),
        );
    }
    if step.is_touching() {
        gloves(frame, progress, at, &mut reasons);
    }
    reasons
}

fn stopped(frame: &Frame, progress: &Progress, place: usize, reasons: &mut Vec<Reason>) {
    let Some(stop) = progress.stop() else { return };
    if frame.is_way_back(place) {
        return;
    }
    if stop.red_flag {
        reasons.push(
            Reason::new("red flag", stop.why.clone())
                .limit(format!("nothing but the way out and back is open since {}", stop.since.wall_clock()))
                .clause("rule G10 of the procedure")
                .way_out("X01: stop, get everyone out, call. Coming back needs the fire service's release and cool readings, never an undo"),
        );
    } else {
        reasons.push(
            Reason::new("work is stopped", stop.why.clone())
                .limit(format!("since {}", stop.since.wall_clock()))
                .way_out("the person in charge of the work resumes it first"),
        );
    }
}

fn order(
    frame: &Frame,
    progress: &Progress,
    place: usize,
    step: &Step,
    slot: Slot,
    reasons: &mut Vec<Reason>,
) {
    let fresh = step.is_touching() || step.acts.iter().any(|act| belongs_to_proof(*act));
    let open = progress.open_needs(frame, place, slot, fresh);
    let Some(first) = open.first() else { return };
    let next = progress.first_on_the_way(frame, place, slot, fresh);
    let do_now = next.and_then(|(place, slot)| {
        let step = frame.step_at(place)?;
        let of = slot.and_then(|number| frame.modules.get(number));
        let of = of.map_or_else(String::new, |module| format!(" of {}", module.id));
        Some(format!("{}{of} comes next: {}", step.id, step.does))
    });
    let why = next.and_then(|(place, slot)| match progress.standing(place, slot) {
        Standing::Stale { why, .. } => Some(format!("no longer proved: {why}")),
        Standing::Void { why, .. } => Some(format!("taken back: {why}")),
        Standing::NotPassed(_) => Some("tried, not passed".into()),
        _ => None,
    });
    let next_id = next
        .and_then(|(place, _)| frame.step_at(place))
        .map_or(first.as_str(), |step| &step.id);
    let unproved = if step.is_touching() {
        unproved(frame, progress)
    } else {
        Vec::new()
    };
    let value = match (unproved.is_empty(), &why) {
        (false, None) => format!(
            "the dead state is not proved; missing: {}",
            unproved.join(", ")
        ),
        (false, Some(why)) => {
            format!(
                "the dead state is not proved ({next_id} is {why}); missing: {}",
                unproved.join(", ")
            )
        }
        (true, Some(why)) => format!("{next_id} is {why}"),
        (true, None) => format!("not passed before it: {}", list(&open)),
    };
    reasons.push(
        Reason::new(format!("{} {}", step.id, step.does), value)
            .limit(format!(
                "needs {}, and everything that these need",
                step.needs.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
            ))
            .clause(if unproved.is_empty() {
                "rule G1 of the procedure: no step opens until everything before it has passed with evidence"
            } else {
                "29 CFR 1910.333(b)(2), read in the parallel text WAC 296-307-37807 to -37813; rules G1, G4 of the procedure"
            })
            .way_out(do_now.unwrap_or_else(|| "go back to the first open step".to_owned())),
    );
}

/// Links of the proof of the dead state that do not hold now, in the words of their acts.
fn unproved(frame: &Frame, progress: &Progress) -> Vec<&'static str> {
    Act::CHAIN
        .into_iter()
        .filter(|act| {
            let mut any = false;
            let holds = frame.steps_doing(*act).all(|(place, _)| {
                any = true;
                frame.is_left_out(place)
                    || matches!(progress.standing(place, None), Standing::Passed(_))
            });
            any && !holds
        })
        .map(Act::words)
        .collect()
}

fn list(ids: &[String]) -> String {
    const SHOWN: usize = 6;
    let mut text = ids
        .iter()
        .take(SHOWN)
        .cloned()
        .collect::<Vec<_>>()
        .join(", ");
    if ids.len() > SHOWN {
        text.push_str(&format!(" and {} more", ids.len() - SHOWN));
    }
    text
}

/// Modules leave from the top (rule G8), and a step is only for the modules it is meant for.
fn module_order(
    frame: &Frame,
    progress: &Progress,
    step: &Step,
    module: usize,
    reasons: &mut Vec<Reason>,
) {
    let Some(here) = frame.modules.get(module) else {
        return;
    };
    if let Some(why) = progress.left_behind(module) {
        reasons.push(
            Reason::new(format!("module {}", here.id), format!("left behind: {why}"))
                .limit("no further step for it")
                .way_out("enter a correction first if it is to leave after all"),
        );
    }
    if !progress.is_for(step, Some(module)) {
        let soundness = progress
            .soundness(module)
            .map_or("not judged", |s| s.word());
        reasons.push(
            Reason::new(format!("{} for module {}", step.id, here.id), format!("module is {soundness}"))
                .limit(if soundness == "sound" || soundness == "suspect" {
                    "only for modules judged damaged"
                } else {
                    "only for modules judged sound or suspect"
                })
                .clause("ADR 2025, SP 376 (read in an unofficial translation): damaged ones are packed and lifted apart")
                .way_out("follow the steps for its soundness; a better judgement takes the compliance officer"),
        );
    }
    if step.does_act(Act::LiftModule) {
        let above = frame
            .modules
            .iter()
            .enumerate()
            .take(module)
            .find(|(n, _)| !progress.is_lifted(frame, *n));
        if let Some((_, above)) = above {
            reasons.push(
                Reason::new(
                    format!("lift of module {}", here.id),
                    format!("{} is still above it", above.id),
                )
                .limit("modules leave from the top")
                .clause("rule G8 of the procedure")
                .way_out(format!("lift {} first", above.id)),
            );
        }
    }
}

/// The bands of the largest joined group: above the split limit only the next split is open.
fn bands(frame: &Frame, progress: &Progress, step: &Step, reasons: &mut Vec<Reason>) {
    let group = progress.largest_group_v(frame);
    let limit = frame.setting("group_limit_v");
    let on_modules = [Act::TouchModule, Act::CoverPoles, Act::LiftModule]
        .into_iter()
        .any(|act| step.does_act(act));
    if group > limit && on_modules {
        reasons.push(
            Reason::new(
                format!("{} {}", step.id, step.does),
                format!("largest joined group {group} V dc"),
            )
            .limit(format!(
                "{limit} V dc; above it only the next split point may be opened"
            ))
            .clause("NEC 2020, 480.7(C)")
            .way_out("split the string at its middle first, one link at a time"),
        );
    }
    let live_links = [Act::Split, Act::Disconnect]
        .into_iter()
        .any(|act| step.does_act(act));
    let named = progress
        .passed_doing(frame, Act::ReleaseWork, None)
        .any(|release| release.evidence.text("live_work_release").is_some());
    if live_links && group > frame.setting("live_work_release_v") && !named {
        reasons.push(
            Reason::new(format!("{} {}", step.id, step.does), format!("largest joined group {group} V dc"))
                .limit(format!("above {} V dc each live link is named in a live-work release", frame.setting("live_work_release_v")))
                .clause("live-work screening at batteries, 120 V dc (trade article of 2018/2020, second-hand)")
                .way_out("the person in charge releases again with the number of the live-work release"),
        );
    }
}

fn release_in_force(frame: &Frame, progress: &Progress, at: Moment, reasons: &mut Vec<Reason>) {
    for release in progress.passed_doing(frame, Act::ReleaseWork, None) {
        if let Some(expires) = release.evidence.time("expires_at")
            && at > expires
        {
            reasons.push(
                Reason::new("release of the work", format!("ran out at {expires}"))
                    .limit(format!("in force at {at}"))
                    .clause("rule G4 of the procedure (project default, not law)")
                    .way_out("prove the dead state again and release again"),
            );
        }
    }
}

fn competent(frame: &Frame, step: &Step, at: Moment, by: &str, reasons: &mut Vec<Reason>) {
    let Some(person) = frame.person(by) else {
        reasons.push(
            Reason::new("person", format!("`{by}` is not on the plan"))
                .limit(Role::any_of(&step.role))
                .way_out("enter the person in the plan with competence and expiry first"),
        );
        return;
    };
    if person.competence(&step.role, at.local_day()).is_some() {
        return;
    }
    let expired = person
        .competences
        .iter()
        .find(|one| step.role.contains(&one.role));
    reasons.push(
        Reason::new(
            format!("{} by {}", step.id, person.name),
            expired.map_or_else(
                || "no such competence on the plan".to_owned(),
                |one| format!("competence as {} ended on {}", one.role.words(), one.expires_on),
            ),
        )
        .limit(format!("{}, valid on {}", Role::any_of(&step.role), at.local_day()))
        .clause("competence is shown for the task and the equipment (NFPA 70E 110.6(A)(1), second-hand)")
        .way_out("another person who is competent does it; nobody on site may waive this"),
    );
}

fn second(frame: &Frame, at: Moment, by: &str, with: &str, reasons: &mut Vec<Reason>) {
    let why = match frame.person(with) {
        _ if with == by => "the same person twice",
        None => "not on the plan",
        Some(person) if !person.is_competent_at_all(at.local_day()) => "no competence in date",
        Some(_) => return,
    };
    reasons.push(
        Reason::new(format!("second person {}", frame.name_of(with)), why)
            .limit("another person of the plan, instructed, in date")
            .clause("rule G9 of the procedure")
            .way_out("name the person who was really there"),
    );
}

/// Above the touch limit somebody wears gloves that are in date and rated for the group.
fn gloves(frame: &Frame, progress: &Progress, at: Moment, reasons: &mut Vec<Reason>) {
    let group = progress.largest_group_v(frame);
    if group <= frame.setting("gloves_v") {
        return;
    }
    let day = at.local_day();
    let pairs = frame
        .instruments
        .iter()
        .filter(|one| one.kind == InstrumentKind::Gloves);
    let serves = pairs.clone().any(|pair| {
        pair.out_of_date(day).is_none()
            && pair
                .glove_class
                .is_some_and(|class| class.accepted_dc().decimal() >= group)
    });
    if !serves {
        let had: Vec<String> = pairs
            .map(|pair| {
                format!(
                    "{} tested {}",
                    pair.serial,
                    pair.tested_on.map_or("never".into(), |d| d.to_string())
                )
            })
            .collect();
        reasons.push(
            Reason::new(
                "insulating gloves",
                if had.is_empty() {
                    "none on the plan".into()
                } else {
                    had.join(", ")
                },
            )
            .limit(format!(
                "one pair tested within six months and rated for {group} V dc"
            ))
            .clause("above 60 V dc; test interval six months (second-hand)")
            .way_out(
                "take gloves of the right class that are in date; nobody on site may waive this",
            ),
        );
    }
}

/// Whether one person lifts more than one person may.
pub(super) fn too_heavy_alone(mass_kg: Option<Decimal>) -> bool {
    // An unknown mass is taken as heavy.
    mass_kg.is_none_or(|mass| mass > People::ONE_PERSON_LIFT.decimal())
}

/// Whether an aid of the plan carries the mass.
pub(super) fn aid_carries(frame: &Frame, aid: &str, mass_kg: Option<Decimal>) -> bool {
    frame.instrument(aid).is_some_and(|aid| {
        aid.kind == InstrumentKind::LiftingAid
            && mass_kg.is_some_and(|mass| {
                aid.lifting_capacity_kg
                    .map(Grams::decimal)
                    .is_some_and(|max| mass <= max)
            })
    })
}

/// Whether somebody is the compliance officer on that day.
pub(super) fn is_officer(frame: &Frame, by: &str, at: Moment) -> bool {
    frame.person(by).is_some_and(|person| {
        person
            .competence(&[Role::ComplianceOfficer], at.local_day())
            .is_some()
    })
}
