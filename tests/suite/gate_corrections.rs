//! Corrections, thought of by somebody who wants a gate open: none opens, nothing stale gets
//! fresh, no wait and no release gets longer, and what rested on the old words is judged again.
//!
//! Rules G1, G4, G13 and G14 of the procedure are the project's own; the published ground beside
//! them is 29 CFR 1910.333(b)(2), read in the parallel text WAC 296-307-37807 to -37813.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use packdown::clock::Moment;
use packdown::job::{Job, Plan};
use packdown::procedure::{
    Entry, Evidence, Kind, Outcome, Procedure, Settings, Slot, Standing, Value, closed,
};

use crate::lawful::{before, before_with, entry, evidence, moved, read, said, with};

fn stands(job: &Job, step: &str, slot: Slot) -> Standing {
    let place = job.frame().place(step).unwrap();
    job.progress().standing(place, slot).clone()
}

fn number_of(job: &Job, step: &str) -> usize {
    let at = job
        .taken()
        .iter()
        .rposition(|taken| taken.entry.step.as_deref() == Some(step));
    at.unwrap() + 1
}

/// A correction of entry `number` at the job's present time.
fn correction(job: &Job, number: usize, evidence: &str) -> Entry {
    let at = job.progress().last_at().unwrap();
    read(&format!(
        r#"{{"kind":"correction","amends":{number},"at":"{at}","by":"nora","reason":"typed wrong","evidence":{evidence}}}"#
    ))
}

fn correct(job: &mut Job, step: &str, evidence: &str) -> (Outcome, String) {
    let entry = correction(job, number_of(job, step), evidence);
    let taken = job.take(entry);
    let notes = taken.judgement.notes.join("\n");
    (taken.judgement.outcome, notes)
}

fn yes_no(answer: bool) -> Value {
    let row = evidence(&format!(r#"{{"is":{answer}}}"#));
    row.answer("is").cloned().unwrap()
}

fn later(moment: Moment, seconds: i64) -> Moment {
    let at = chrono::DateTime::parse_from_rfc3339(&moment.local()).unwrap()
        + chrono::Duration::seconds(seconds);
    at.to_rfc3339().parse().unwrap()
}

fn now(job: &Job, entry: &Entry, after: i64) -> Entry {
    let last = job.progress().last_at().unwrap();
    moved(entry, last.seconds_since(entry.at) + after)
}

fn is_void(job: &Job, step: &str) -> bool {
    matches!(stands(job, step, None), Standing::Void { .. })
}

fn is_stale(job: &Job, step: &str) -> bool {
    matches!(stands(job, step, None), Standing::Stale { .. })
}

#[test]
fn an_opening_corrected_to_after_the_wait_makes_the_wait_void() {
    let mut job = before("C20");
    let wait = entry("C19").evidence.time("started_at").unwrap();
    let devices = entry("C15").evidence.rows("devices")[0].clone();
    let device = devices.text("device").unwrap();
    // Still inside the entry of C15 itself, so C15 passes as corrected; the wait began earlier.
    let opened = later(entry("C15").at, 0);
    assert!(opened < wait, "the lawful wait began after the opening");
    let (outcome, notes) = correct(
        &mut job,
        "C15",
        &format!(
            r#"{{"devices":[{{"device":"{device}","position":"open","opened_at":"{opened}"}}]}}"#
        ),
    );
    assert_eq!(outcome, Outcome::Recorded);
    assert!(
        notes.contains("C15 is corrected and still passes"),
        "{notes}"
    );
    assert!(matches!(stands(&job, "C19", None), Standing::Passed(_)));

    // The wait itself said to have begun before the last opening.
    let (_, notes) = correct(
        &mut job,
        "C19",
        &format!(r#"{{"started_at":"{}"}}"#, later(opened, -60)),
    );
    assert!(
        notes.contains("C19 no longer passes as corrected"),
        "{notes}"
    );
    assert!(is_void(&job, "C19") && is_stale(&job, "C18"));
}

#[test]
fn a_link_that_rested_on_the_old_words_is_judged_again() {
    // The tester before was another one: the dead test and the proof after it fall.
    let mut job = before("C24");
    let (_, notes) = correct(
        &mut job,
        "C20",
        r#"{"source":"the socket in the hall","stated_low_v":220,"stated_high_v":250}"#,
    );
    assert!(
        notes.contains("C20 is corrected and still passes"),
        "{notes}"
    );
    assert!(
        notes.contains("C22 rested on C20 as it stood and no longer passes"),
        "{notes}"
    );
    assert!(is_void(&job, "C22"));
    // A source that was there after all: its device has no lock.
    let mut job = before("A01");
    let mut rows: Vec<Value> = Vec::new();
    for row in entry("C09").evidence.rows("sources") {
        let mut row: Evidence = row.clone();
        if row.yes_no("present") == Some(false) && rows.len() < 99 {
            row.put("present", yes_no(true));
            row.put("device", Value::Text("Q99".into()));
        }
        rows.push(Value::Row(row));
    }
    let number = number_of(&job, "C09");
    let mut wrong = correction(&job, number, "{}");
    wrong.evidence.put("sources", Value::List(rows));
    let taken = job.take(wrong);
    assert_eq!(taken.judgement.outcome, Outcome::Recorded);
    assert!(is_void(&job, "C09"), "a device that is not on the plan");
    assert!(is_stale(&job, "C25"));
    // Bolts: count in = count out.
    let mut job = before("A14");
    let (_, notes) = correct(&mut job, "A12", r#"{"fasteners_out":9}"#);
    assert!(notes.contains("A13 rested on A12 as it stood"), "{notes}");
    assert!(is_void(&job, "A13"));
}

#[test]
fn a_voltage_in_a_corrected_reading_spoils_the_proof() {
    let mut job = before("A03");
    let mut poles: Vec<Value> = Vec::new();
    for row in entry("A02").evidence.rows("poles") {
        let mut row = row.clone();
        row.put("far_side_voltage_v", Value::typed("38"));
        poles.push(Value::Row(row));
    }
    let mut wrong = correction(&job, number_of(&job, "A02"), "{}");
    wrong.evidence.put("poles", Value::List(poles));
    assert_eq!(job.take(wrong).judgement.outcome, Outcome::Recorded);
    assert!(is_void(&job, "A02"));
    for link in ["C18", "C19", "C20", "C21", "C22", "C24", "C25"] {
        assert!(is_stale(&job, link), "{link}");
    }
    // An event's reading, too.
    let mut job = before("A03");
    let at = job.progress().last_at().unwrap();
    let reading = format!(
        r#"{{"kind":"reading","at":"{at}","by":"nora","evidence":{{"dead_side_voltage_v":1.2}}}}"#
    );
    job.take(read(&reading));
    assert!(matches!(stands(&job, "C25", None), Standing::Passed(_)));
    let number = job.taken().len();
    let wrong = correction(&job, number, r#"{"dead_side_voltage_v":12}"#);
    let notes = job.take(wrong).judgement.notes.join(" ");
    assert!(notes.contains("12 V turned up on the dead side"), "{notes}");
    assert!(is_stale(&job, "C25"));
}

#[test]
fn taking_an_isolation_back_and_doing_it_again_owes_the_wait_again() {
    for step in ["C09", "C11", "C12", "C13", "C15", "C16", "C17"] {
        let mut job = before("A01");
        let (_, notes) = correct(&mut job, step, "{}");
        assert!(notes.contains("is taken back"), "{notes}");
        assert!(is_stale(&job, "C19"), "{step} taken back");
        let again = now(&job, &entry(step), 60);
        let taken = job.take(again);
        assert_eq!(taken.judgement.outcome, Outcome::Passed, "{taken:?}");
        assert!(is_stale(&job, "C19"), "{step} done again");
    }
    // Tried again without success, then with: the wait before it does not count either.
    let mut job = before("A01");
    let tried = with(now(&job, &entry("C13"), 60), "devices", "\"unknown\"");
    assert_eq!(job.take(tried).judgement.outcome, Outcome::NotPassed);
    assert!(is_stale(&job, "C19"));
    let again = now(&job, &entry("C13"), 120);
    assert_eq!(job.take(again).judgement.outcome, Outcome::Passed);
    assert!(is_stale(&job, "C19"));
}

#[test]
fn a_release_is_neither_lengthened_nor_widened() {
    let expires = entry("C25").evidence.time("expires_at").unwrap();
    for wider in [
        format!(r#"{{"expires_at":"{}"}}"#, later(expires, 600)),
        r#"{"live_work_release":"LW-3, link 4"}"#.to_owned(),
    ] {
        let mut job = before("A02");
        let (outcome, notes) = correct(&mut job, "C25", &wider);
        assert_eq!(outcome, Outcome::Recorded);
        assert!(notes.contains("release again"), "{notes}");
        assert!(is_stale(&job, "C25"));
        assert_eq!(job.take(entry("A02")).judgement.outcome, Outcome::Refused);
    }
    // A slip in its number changes nothing.
    let mut job = before("A02");
    let (_, notes) = correct(&mut job, "C25", r#"{"release_number":"R-17"}"#);
    assert!(
        notes.contains("C25 is corrected and still passes"),
        "{notes}"
    );
    assert_eq!(job.take(entry("A02")).judgement.outcome, Outcome::Passed);
}

#[test]
fn a_correction_makes_no_group_smaller_and_no_module_sounder() {
    let mut job = before("A06");
    let group = job.progress().largest_group_v(job.frame());
    let smaller = r#"{"groups":[{"group":"all","voltage_v":1}]}"#;
    correct(&mut job, "A05", smaller);
    assert_eq!(job.progress().largest_group_v(job.frame()), group);
    let mut job = before("A06");
    correct(
        &mut job,
        "A05",
        r#"{"groups":[{"group":"all","voltage_v":"unknown"}]}"#,
    );
    assert_eq!(
        job.progress().largest_group_v(job.frame()),
        job.frame().installation.max_voltage_v.decimal(),
        "not measured is not split"
    );

    // Judged suspect; no correction makes it sound, whoever signs it: it is judged anew.
    let suspect = |entry: &mut Entry| {
        if entry.step.as_deref() == Some("M06") {
            *entry = with(entry.clone(), "soundness", "\"suspect\"");
        }
    };
    let mut job = before_with("M07", &[], suspect);
    let (outcome, notes) = correct(&mut job, "M06", r#"{"soundness":"sound"}"#);
    assert_eq!(outcome, Outcome::Recorded);
    assert!(
        matches!(stands(&job, "M06", Some(0)), Standing::Void { .. }),
        "{notes}"
    );
    assert_eq!(job.progress().soundness(0).unwrap().word(), "suspect");
    // And downwards: at once as bad as it says, and judged anew.
    let mut job = before_with("M07", &[], suspect);
    correct(&mut job, "M06", r#"{"soundness":"damaged"}"#);
    assert_eq!(job.progress().soundness(0).unwrap().word(), "damaged");
    assert!(matches!(
        stands(&job, "M06", Some(0)),
        Standing::Void { .. }
    ));
}

#[test]
fn a_sign_of_damage_in_a_correction_voids_the_better_judgement() {
    // ADR 2025, SP 376, signs of damage (read in an unofficial translation).
    let mut job = before("M07");
    let (_, notes) = correct(&mut job, "M02", r#"{"swelling":true}"#);
    assert!(notes.contains("judge again (M06)"), "{notes}");
    assert!(matches!(
        stands(&job, "M06", Some(0)),
        Standing::Void { .. }
    ));
    // So does the step itself when it is done again.
    let mut job = before("M07");
    let again = with(now(&job, &entry("M02"), 30), "swelling", "true");
    job.take(again);
    assert!(matches!(
        stands(&job, "M06", Some(0)),
        Standing::Void { .. }
    ));
    // An entry that a later one replaced still says what was seen.
    let mut job = before("M07");
    let first = number_of(&job, "M02");
    let again = now(&job, &entry("M02"), 30);
    job.take(again);
    let old = correction(&job, first, r#"{"crack":true}"#);
    let notes = job.take(old).judgement.notes.join("\n");
    assert!(notes.contains("rests on a later one"), "{notes}");
    assert!(matches!(
        stands(&job, "M06", Some(0)),
        Standing::Void { .. }
    ));
    // A finding on the job as a whole is one on every module.
    let mut job = before("M07");
    let at = job.progress().last_at().unwrap();
    job.take(read(&format!(
        r#"{{"kind":"finding","at":"{at}","by":"nora","evidence":{{"findings":["F16"]}}}}"#
    )));
    assert!(matches!(
        stands(&job, "M06", Some(0)),
        Standing::Void { .. }
    ));
}

#[test]
fn a_late_entry_can_be_corrected_and_proves_nothing_that_is_measured() {
    let mut job = before("M03");
    let happened = entry("M01").at;
    let mut late = entry("M02");
    late.kind = Kind::LateEntry;
    late.reason = Some("written on paper first".into());
    late.happened_at = Some(happened);
    let mut again = now(&job, &late, 5);
    again.happened_at = Some(happened);
    assert_eq!(job.take(again).judgement.outcome, Outcome::Passed);
    let (_, notes) = correct(&mut job, "M02", r#"{"swelling":true}"#);
    assert!(notes.contains("M02 is corrected"), "{notes}");
    assert_eq!(job.progress().findings(Some(0)), ["F10"]);
    // Z01 proves with the tester that nothing live is left.
    let mut job = before("Z01");
    let mut late = now(&job, &entry("Z01"), 5);
    late.kind = Kind::LateEntry;
    late.reason = Some("forgot".into());
    late.happened_at = Some(late.at);
    let (outcome, reasons) = said(&job.take(late));
    assert_eq!(outcome, Outcome::Refused);
    assert!(reasons[0].contains("do the step again now"), "{reasons:?}");
}

#[test]
fn a_correction_of_a_correction_goes_to_the_first_words() {
    let mut job = before("A01");
    let root = number_of(&job, "C21");
    let first = correction(&job, root, r#"{"point_of_work":"lower row"}"#);
    job.take(first);
    let second = job.taken().len();
    let worse = correction(
        &job,
        second,
        r#"{"readings":[{"pair":"L-N","supply":"ac","voltage_v":230}]}"#,
    );
    assert_eq!(job.take(worse).judgement.outcome, Outcome::Recorded);
    assert!(is_void(&job, "C21") && is_stale(&job, "C25"));
    // Taking the correction back restores nothing.
    let third = job.taken().len();
    let back = correction(&job, third, "{}");
    let (outcome, reasons) = said(&job.take(back));
    assert_eq!(outcome, Outcome::Refused);
    assert!(
        reasons[0].contains(&format!("correct entry {root}")),
        "{reasons:?}"
    );
    assert!(is_void(&job, "C21"));
    // A refused correction that named what came after it leads nowhere, and ends.
    let at = job.progress().last_at().unwrap();
    let ahead = job.taken().len() + 2;
    let line = |amends: usize| {
        read(&format!(
            r#"{{"kind":"correction","amends":{amends},"at":"{at}","by":"nora","reason":"slip","evidence":{{"x":1}}}}"#
        ))
    };
    assert_eq!(job.take(line(ahead)).judgement.outcome, Outcome::Refused);
    let taken = job.take(line(ahead - 1));
    assert!(
        taken
            .judgement
            .notes
            .join(" ")
            .contains("was refused and moved nothing"),
        "{taken:?}"
    );
}

#[test]
fn a_correction_of_a_refused_entry_or_of_another_step_moves_nothing() {
    let mut job = before("C19");
    let early = now(&job, &entry("A01"), 30);
    assert_eq!(job.take(early).judgement.outcome, Outcome::Refused);
    let number = job.taken().len();
    let wrong = correction(&job, number, r#"{"poles":[]}"#);
    let taken = job.take(wrong);
    assert!(
        taken.judgement.notes[0].contains("was refused and moved nothing"),
        "{taken:?}"
    );
    assert!(matches!(stands(&job, "A01", None), Standing::NotBegun));

    let mut job = before("C24");
    let mut slip = correction(&job, number_of(&job, "C20"), r#"{"point_of_work":"x"}"#);
    slip.step = Some("C21".into());
    let (outcome, reasons) = said(&job.take(slip));
    assert_eq!(outcome, Outcome::Refused);
    assert!(reasons[0].contains("C21; limit: entry"), "{reasons:?}");
    assert!(reasons[0].contains("is C20"), "{reasons:?}");
    // A name that the step does not ask for is a slip, refused as in the step itself.
    let wrong = correction(&job, number_of(&job, "C20"), r#"{"voltage_v":230}"#);
    let (outcome, reasons) = said(&job.take(wrong));
    assert_eq!(outcome, Outcome::Refused);
    assert!(reasons[0].contains("not asked for"), "{reasons:?}");
}

#[test]
fn the_truth_about_a_breach_is_recorded_and_closes_the_step() {
    // 29 CFR 1910.333(b)(2): the record keeps what happened; it is not refused for being bad news.
    let mut job = before("M10");
    let (outcome, notes) = correct(&mut job, "M09", r#"{"net_mass_kg":"unknown"}"#);
    assert_eq!(outcome, Outcome::Recorded, "{notes}");
    let mut job = before("A01");
    let (outcome, notes) = correct(&mut job, "C20", r#"{"tester":"MM-2044"}"#);
    assert_eq!(outcome, Outcome::Recorded, "{notes}");
    assert!(is_void(&job, "C20") && is_stale(&job, "C25"));
}

#[test]
fn what_voided_others_does_not_restore_them() {
    let mut job = before("C21");
    let failed = with(
        entry("C21"),
        "readings",
        r#"[{"pair":"L-N","supply":"ac","voltage_v":230}]"#,
    );
    job.take(failed);
    assert!(is_void(&job, "C19") && is_void(&job, "C20"));
    let number = job.taken().len();
    let Some(Value::List(good)) = entry("C21").evidence.answer("readings").cloned() else {
        panic!()
    };
    let mut better = correction(&job, number, "{}");
    better.evidence.put("readings", Value::List(good));
    job.take(better);
    assert!(is_void(&job, "C19") && is_void(&job, "C20"));
    assert!(matches!(stands(&job, "C21", None), Standing::NotPassed(_)));
    // Events: taking back that a lock came off puts no lock on.
    for kind in [
        "lock_removed",
        "isolator_moved",
        "restart_lead_plugged",
        "shift_change",
    ] {
        let mut job = before("A02");
        let at = job.progress().last_at().unwrap();
        job.take(read(&format!(
            r#"{{"kind":"{kind}","at":"{at}","by":"nora","reason":"as it happened"}}"#
        )));
        let number = job.taken().len();
        let back = correction(&job, number, "{}");
        let notes = job.take(back).judgement.notes.join(" ");
        assert!(notes.contains("what followed from it stays"), "{notes}");
        assert!(is_stale(&job, "C25"), "{kind}");
    }
}

#[test]
fn a_module_left_behind_leaves_after_all_only_by_those_who_decide() {
    let mut job = before("M01");
    let at = job.progress().last_at().unwrap();
    let module = job.frame().modules[1].id.clone();
    job.take(read(&format!(
        r#"{{"kind":"left_behind","module":"{module}","at":"{at}","by":"nora","reason":"bolt seized"}}"#
    )));
    assert!(job.progress().left_behind(1).is_some());
    let number = job.taken().len();
    let handler = job
        .frame()
        .people
        .iter()
        .find(|person| {
            let roles: Vec<_> = person
                .competences
                .iter()
                .map(|one| one.role.words())
                .collect();
            roles == ["handler"]
        })
        .map(|person| person.id.clone());
    if let Some(handler) = handler {
        let mut back = correction(&job, number, "{}");
        back.by = handler;
        assert_eq!(job.take(back).judgement.outcome, Outcome::Refused);
    }
    let back = correction(&job, number, "{}");
    let notes = job.take(back).judgement.notes.join(" ");
    assert!(notes.contains("leaves after all"), "{notes}");
    assert!(job.progress().left_behind(1).is_none());
}

#[test]
fn writing_things_down_is_no_work_and_does_not_keep_the_proof_fresh() {
    // Rule G4: work that rests for more than an hour (project default).
    let mut job = before("A02");
    let at = job.progress().last_at().unwrap();
    let number = number_of(&job, "C07");
    let mut slip = correction(&job, number, r#"{"alarm_codes":["none"]}"#);
    slip.at = later(at, 40 * 60);
    job.take(slip);
    assert!(matches!(stands(&job, "C25", None), Standing::Passed(_)));
    let lead = moved(
        &entry("A02"),
        later(at, 70 * 60).seconds_since(entry("A02").at),
    );
    let taken = job.take(lead);
    assert_eq!(taken.judgement.outcome, Outcome::Refused, "{taken:?}");
    assert!(is_stale(&job, "C25"));
}

/// What is closed at some moment.
fn shut(job: &Job, at: Moment) -> BTreeSet<(usize, Slot)> {
    let frame = job.frame();
    let mut shut = BTreeSet::new();
    for (place, step) in frame.procedure.steps.iter().enumerate() {
        for slot in frame.slots(step) {
            if !closed(frame, job.progress(), place, slot, Some(at)).is_empty() {
                shut.insert((place, slot));
            }
        }
    }
    shut
}

/// Other words for an answer: what somebody might want it to have been.
fn other_words(value: &Value) -> Vec<Value> {
    match value {
        Value::Text(text) => match text.parse::<Moment>() {
            Ok(moment) => [-36_000, -600, 600, 36_000]
                .into_iter()
                .map(|by| Value::Text(later(moment, by).local()))
                .collect(),
            Err(_) => {
                let words = [
                    "sound",
                    "suspect",
                    "damaged",
                    "critical",
                    "dead",
                    "not_provable",
                    "none",
                    "impact",
                    "swollen",
                    "whole",
                    "by_module",
                    "flood_fresh",
                ];
                let mut all: Vec<Value> = words
                    .into_iter()
                    .map(|word| Value::Text(word.into()))
                    .collect();
                all.push(Value::Unknown);
                all
            }
        },
        Value::List(items) => {
            let mut all = Vec::new();
            if let Some(Value::Row(first)) = items.first() {
                for (name, value) in first.iter() {
                    for other in other_words(value) {
                        let rows = items.iter().map(|item| match item {
                            Value::Row(row) => {
                                let mut row = row.clone();
                                row.put(name, other.clone());
                                Value::Row(row)
                            }
                            other => other.clone(),
                        });
                        all.push(Value::List(rows.collect()));
                    }
                }
                all.push(Value::List(items[..1].to_vec()));
            }
            all
        }
        Value::Row(_) => Vec::new(),
        _ => ["0", "1", "50", "130", "300", "true", "false"]
            .into_iter()
            .map(Value::typed)
            .chain([Value::Unknown])
            .collect(),
    }
}

/// Every answer of every entry of the sample jobs, put otherwise in many ways: nothing that was
/// closed opens, now or later, and no standing gets better.
#[test]
fn no_correction_of_any_answer_opens_anything() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-jobs");
    let (mut tried, mut closed_more) = (0_u32, 0_u32);
    for name in [
        "harbour-lane-stack",
        "orchard-hybrid-return",
        "flooded-garage",
        "corner-shop-rack",
    ] {
        let folder = root.join(name);
        let plan = Plan::read(&fs::read_to_string(folder.join("job.json")).unwrap()).unwrap();
        let procedure = Procedure::shipped(plan.procedure_name()).unwrap().unwrap();
        let mut job = Job::open(plan, procedure, Settings::shipped().unwrap());
        let lines = fs::read_to_string(folder.join("record.jsonl")).unwrap();
        for (count, line) in lines.lines().enumerate() {
            job.take(read(line));
            // At some places on the way: all corrections of the entry just made and of one before.
            if count % 19 != 18 {
                continue;
            }
            let at = job.progress().last_at().unwrap();
            let moments = [at, later(at, 9 * 3600)];
            let before: Vec<_> = moments.iter().map(|at| shut(&job, *at)).collect();
            for number in [count + 1, count - 3] {
                let old = job.taken()[number - 1].entry.clone();
                for (answer, value) in old.evidence.iter() {
                    for other in other_words(value).into_iter().step_by(7) {
                        let mut wrong = read(&format!(
                            r#"{{"kind":"correction","amends":{number},"at":"{at}","by":"{}","reason":"would like it so"}}"#,
                            old.by
                        ));
                        wrong.evidence.put(answer, other.clone());
                        let mut next = job.clone();
                        next.take(wrong);
                        tried += 1;
                        for (moment, before) in moments.iter().zip(&before) {
                            let after = shut(&next, *moment);
                            let opened: Vec<_> = before
                                .difference(&after)
                                .map(|(place, slot)| {
                                    (&next.frame().procedure.steps[*place].id, *slot)
                                })
                                .collect();
                            assert!(
                                opened.is_empty(),
                                "{name}: {answer} of entry {number} to {other:?} opens {opened:?}"
                            );
                            closed_more += u32::from(after.len() > before.len());
                        }
                    }
                }
            }
        }
    }
    assert!(
        tried > 100 && closed_more > 30,
        "{tried} tried, {closed_more} closed"
    );
}

#[test]
fn a19_and_its_kin_measure_across_the_gap_first() {
    // Rule G7 of the procedure: the voltage across the gap is measured before a link opens.
    for step in ["A02", "A19"] {
        for answer in ["unknown", ""] {
            let mut job = before(step);
            let mut lead = entry(step);
            let rows = lead.evidence.rows("poles").into_iter().map(|row| {
                let mut changed = Evidence::default();
                for (name, value) in row.iter() {
                    match name {
                        "gap_voltage_v" if answer.is_empty() => {}
                        "gap_voltage_v" => changed.put(name, Value::Unknown),
                        _ => changed.put(name, value.clone()),
                    }
                }
                Value::Row(changed)
            });
            let rows = Value::List(rows.collect());
            lead.evidence.put("poles", rows);
            let (outcome, reasons) = said(&job.take(lead));
            assert_eq!(outcome, Outcome::NotPassed, "{step} {answer}");
            assert!(
                reasons[0].contains("gap_voltage_v: not known"),
                "{reasons:?}"
            );
        }
    }
    // No shipped procedure leaves it to taste.
    for name in [
        "ac-coupled-stack",
        "dc-coupled-hybrid",
        "rack",
        "damaged-pack",
    ] {
        for step in Procedure::shipped(name).unwrap().unwrap().steps {
            for spec in step.evidence.iter().flat_map(|spec| &spec.columns) {
                if spec.name == "gap_voltage_v" {
                    assert!(
                        !spec.optional && spec.unknown.is_empty(),
                        "{name} {}",
                        step.id
                    );
                }
            }
        }
    }
}

/// A job of `sample-jobs/` up to `step`, and the entry of that step.
fn sample_before(name: &str, step: &str) -> (Job, Entry) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-jobs")
        .join(name);
    let plan = Plan::read(&fs::read_to_string(folder.join("job.json")).unwrap()).unwrap();
    let procedure = Procedure::shipped(plan.procedure_name()).unwrap().unwrap();
    let mut job = Job::open(plan, procedure, Settings::shipped().unwrap());
    for line in fs::read_to_string(folder.join("record.jsonl"))
        .unwrap()
        .lines()
    {
        let entry: Entry = read(line);
        if entry.step.as_deref() == Some(step) {
            return (job, entry);
        }
        job.take(entry);
    }
    panic!("{name} has no {step}");
}

#[test]
fn b03_waits_from_the_last_opening_as_long_as_c19() {
    // Trade table 2.7, B03: wait at least the value of C19. 29 CFR 1910.147(d)(5): from the last
    // opening on.
    let (job, lawful) = sample_before("orchard-hybrid-return", "B03");
    let said_of = |entry: Entry| said(&job.clone().take(entry));
    assert_eq!(said_of(lawful.clone()).0, Outcome::Passed);
    let parted = job
        .taken()
        .iter()
        .rfind(|taken| taken.entry.step.as_deref() == Some("B02"))
        .unwrap();
    let parted: Vec<Moment> = parted
        .entry
        .evidence
        .rows("poles")
        .iter()
        .filter_map(|row| row.time("opened_at"))
        .collect();
    let last = *parted.iter().max().unwrap();
    let early = with(
        lawful.clone(),
        "started_at",
        &format!("\"{}\"", later(last, -1)),
    );
    let (outcome, reasons) = said_of(early);
    assert_eq!(outcome, Outcome::NotPassed);
    assert!(
        reasons[0].contains("not before the last source was opened"),
        "{reasons:?}"
    );
    let required = packdown::procedure::required_wait_s(job.frame(), None).seconds;
    let start = lawful.evidence.time("started_at").unwrap();
    for (short, outcome) in [(1, Outcome::NotPassed), (0, Outcome::Passed)] {
        let end = later(start, required - short);
        let entry = with(lawful.clone(), "ended_at", &format!("\"{end}\""));
        assert_eq!(said_of(entry).0, outcome, "{short} s short");
    }
    // One of two inputs left out.
    let one = with(lawful, "inputs", r#"[{"input":"PV1","voltage_v":3.2}]"#);
    let (outcome, reasons) = said_of(one);
    assert_eq!(outcome, Outcome::NotPassed);
    assert!(reasons[0].contains("inputs: 1 of 2"), "{reasons:?}");
}

#[test]
fn r03_measures_every_pair_of_every_rack() {
    // Trade table 2.8, R03: bus plus to minus, and each pole to earth, per rack.
    let (job, lawful) = sample_before("corner-shop-rack", "R03");
    assert_eq!(said(&job.clone().take(lawful.clone())).0, Outcome::Passed);
    let readings = lawful.evidence.rows("readings");
    for out in 0..readings.len() {
        let rows = readings.iter().enumerate().filter(|(n, _)| *n != out);
        let rows = rows.map(|(_, row)| Value::Row((*row).clone())).collect();
        let mut short = lawful.clone();
        short.evidence.put("readings", Value::List(rows));
        let (outcome, reasons) = said(&job.clone().take(short));
        assert_eq!(outcome, Outcome::NotPassed);
        assert!(reasons[0].contains("is missing"), "{reasons:?}");
    }
}

#[test]
fn the_tester_is_proved_on_every_kind_of_supply_there_is() {
    for (name, word) in [("voltage_ac_v", "alternating"), ("voltage_dc_v", "direct")] {
        let mut job = before("C20");
        let (outcome, reasons) = said(&job.take(with(entry("C20"), name, "\"unknown\"")));
        assert_eq!(outcome, Outcome::NotPassed, "{name}");
        assert!(
            reasons.iter().any(|reason| reason.contains(word)),
            "{reasons:?}"
        );
    }
}

#[test]
fn what_the_trade_table_asks_for_is_asked_for() {
    // Trade table 2.5, C16: photograph of the open blades, or the reason why it cannot be seen.
    let unseen = |reason: &str| {
        let mut job = before("C16");
        let mut look = entry("C16");
        let rows = look.evidence.rows("breaks").into_iter().map(|row| {
            let mut row = row.clone();
            row.put("seen", yes_no(false));
            row.put(
                "reason_not_seen",
                if reason.is_empty() {
                    Value::Unknown
                } else {
                    Value::Text(reason.into())
                },
            );
            Value::Row(row)
        });
        let rows = Value::List(rows.collect());
        look.evidence.put("breaks", rows);
        said(&job.take(look)).0
    };
    assert_eq!(unseen(""), Outcome::NotPassed);
    assert_eq!(unseen("sealed case"), Outcome::Passed);
    // 29 CFR 1910.333(b)(2)(iii), read in WAC 296-307-37811: the tag says what it forbids.
    let mut job = before("C17");
    let mut locks = entry("C17");
    let rows = locks.evidence.rows("locks").into_iter().map(|row| {
        let mut row = row.clone();
        row.put("tag_wording", Value::Unknown);
        Value::Row(row)
    });
    let rows = Value::List(rows.collect());
    locks.evidence.put("locks", rows);
    let (outcome, reasons) = said(&job.take(locks));
    assert_eq!(outcome, Outcome::NotPassed);
    assert!(reasons[0].contains("tag without words"), "{reasons:?}");
    // A04: two people or an aid above 23 kg (NIOSH load constant, read in a restatement).
    let lifted = |mass: &str, alone: bool| {
        let mut job = before("A04");
        let mut lift = with(entry("A04"), "net_mass_kg", mass);
        if alone {
            lift.with = None;
        } else if lift.with.is_none() {
            lift.with = Some("piet".into());
        }
        let other = if lift.by == "piet" { "nora" } else { "piet" };
        lift.with = lift.with.map(|_| other.to_owned());
        said(&job.take(lift)).0
    };
    assert_eq!(lifted("23", true), Outcome::Passed);
    assert_eq!(lifted("23.1", true), Outcome::Refused);
    assert_eq!(lifted("\"unknown\"", true), Outcome::Refused);
    assert_eq!(lifted("23.1", false), Outcome::Passed);
    // X17: at least 15 m to what burns, or a barrier (project default).
    let (job, lawful) = sample_before("flooded-garage", "X17");
    let stands = |metres: &str, barrier: &str| {
        let moved = with(lawful.clone(), "stand_off_m", metres);
        said(&job.clone().take(with(moved, "barrier", barrier))).0
    };
    assert_eq!(stands("15", "\"unknown\""), Outcome::Passed);
    assert_eq!(stands("14.9", "\"unknown\""), Outcome::NotPassed);
    assert_eq!(stands("\"unknown\"", "\"unknown\""), Outcome::NotPassed);
    assert_eq!(stands("3", "\"concrete wall\""), Outcome::Passed);
}

#[test]
fn what_was_measured_dead_beside_the_proof_goes_stale_with_it_until_it_has_served() {
    // Rule G4; 29 CFR 1910.333(b)(2), read in WAC 296-307-37807: readings under locks that have left
    // prove nothing. R03 rests until R05 parts the rack from the bus, B03 until B04 and B06 have parted
    // the inverter from battery and grid.
    for (name, measured, served) in [
        ("corner-shop-rack", "R03", &["R05"][..]),
        ("orchard-hybrid-return", "B03", &["B04", "B06"]),
    ] {
        let upset = |job: &Job| {
            let mut job = job.clone();
            let at = job.progress().last_at().unwrap();
            let shift = read(&format!(
                r#"{{"kind":"shift_change","at":"{at}","by":"{}","reason":"the day is over"}}"#,
                job.plan().people[0].id
            ));
            job.take(shift);
            stands(&job, measured, None)
        };
        let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("sample-jobs")
            .join(name);
        let (mut job, entry) = sample_before(name, measured);
        assert_eq!(said(&job.take(entry)).0, Outcome::Passed);
        assert!(matches!(upset(&job), Standing::Stale { .. }), "{name}");
        let passed =
            |job: &Job, step: &&str| matches!(stands(job, step, None), Standing::Passed(_));
        let mut seen = (0, 0);
        let lines = fs::read_to_string(folder.join("record.jsonl")).unwrap();
        let later = lines.lines().map(read);
        for next in later
            .skip_while(|one| one.step.as_deref() != Some(measured))
            .skip(1)
        {
            job.take(next);
            if served.iter().all(|step| passed(&job, step)) {
                assert!(
                    matches!(upset(&job), Standing::Passed(_)),
                    "{name}: it has served"
                );
                seen.1 += 1;
            } else if !served.iter().any(|step| passed(&job, step)) {
                assert!(matches!(upset(&job), Standing::Stale { .. }), "{name}");
                seen.0 += 1;
            }
        }
        assert!(seen.1 > 0 && seen.0 + seen.1 > 3, "{name}: {seen:?}");
    }
    // The proof of the trunk made anew is not enough: what was measured beside it is owed too.
    let (mut job, parting) = sample_before("corner-shop-rack", "R05");
    let at = job.progress().last_at().unwrap();
    let who = job.plan().people[0].id.clone();
    job.take(read(&format!(
        r#"{{"kind":"shift_change","at":"{at}","by":"{who}","reason":"the day is over"}}"#
    )));
    let mut again: Vec<Entry> = Vec::new();
    for step in ["C18", "C19", "C20", "C21", "C22", "C24", "C25", "R03"] {
        again.push(sample_before("corner-shop-rack", step).1);
    }
    let later = at.seconds_since(again[0].at) + 60;
    let measured = again.pop().unwrap();
    for entry in &again {
        let (outcome, reasons) = said(&job.take(moved(entry, later)));
        assert_eq!(outcome, Outcome::Passed, "{:?}: {reasons:?}", entry.step);
    }
    let now = |job: &Job, entry: &Entry| {
        let last = job.progress().last_at().unwrap();
        moved(entry, last.seconds_since(entry.at) + 600)
    };
    let early = now(&job, &parting);
    let (outcome, reasons) = said(&job.take(early));
    assert_eq!(outcome, Outcome::Refused);
    assert!(reasons[0].contains("R03"), "{reasons:?}");
    let measured = now(&job, &measured);
    let (outcome, reasons) = said(&job.take(measured));
    assert_eq!(outcome, Outcome::Passed, "{reasons:?}");
    let parted = now(&job, &parting);
    let (outcome, reasons) = said(&job.take(parted));
    assert_eq!(outcome, Outcome::Passed, "{reasons:?}");
}
