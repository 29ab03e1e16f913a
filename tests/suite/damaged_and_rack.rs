//! The damaged pack and the rack of the sample jobs, changed where the gate must say no.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use packdown::job::{Job, Plan};
use packdown::procedure::{Entry, Outcome, Procedure, Settings};

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-jobs")
        .join(name)
}

fn empty(name: &str) -> Job {
    let plan = Plan::read(&fs::read_to_string(folder(name).join("job.json")).unwrap()).unwrap();
    let procedure = Procedure::shipped(plan.procedure_name()).unwrap().unwrap();
    Job::open(plan, procedure, Settings::shipped().unwrap())
}

fn entries(name: &str) -> Vec<Entry> {
    fs::read_to_string(folder(name).join("record.jsonl"))
        .unwrap()
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

fn is(entry: &Entry, step: &str, module: Option<&str>) -> bool {
    entry.step.as_deref() == Some(step) && entry.module.as_deref() == module
}

/// Outcome and reasons of the first entry of `step`, when every entry before it but those of
/// `without` was taken.
fn without(name: &str, without: &[&str], step: &str, module: Option<&str>) -> (Outcome, String) {
    let mut job = empty(name);
    for entry in entries(name) {
        if is(&entry, step, module) {
            let judged = job.take(entry).judgement.clone();
            let reasons: Vec<_> = judged.reasons.iter().map(ToString::to_string).collect();
            return (judged.outcome, reasons.join("\n"));
        }
        if !without.contains(&entry.step.as_deref().unwrap_or("")) {
            job.take(entry);
        }
    }
    panic!("{name} has no {step}");
}

/// Trade table 2.10: X03 needs X02 only, and C03, C04 are desk work; going up to it (X08) opens
/// what is behind it, and nothing before that does.
#[test]
fn under_the_red_flag_feeds_are_cut_and_notices_sent_and_nobody_goes_near() {
    for step in ["X03", "C03", "C04", "X07"] {
        let (outcome, why) = without("flooded-garage", &[], step, None);
        assert_eq!(outcome, Outcome::Passed, "{step}: {why}");
    }
    for step in ["X09", "X10", "X11", "X12", "X13"] {
        let (outcome, why) = without("flooded-garage", &["X08"], step, None);
        assert_eq!(outcome, Outcome::Refused, "{step}");
        assert!(why.contains("red flag"), "{step}: {why}");
    }
    let (outcome, why) = without("flooded-garage", &["X05"], "X08", None);
    assert_eq!(outcome, Outcome::Refused, "{why}");
}

/// Trade table 2.9: neighbours of a damaged module are looked at again; one that stands in its
/// drum as damaged would be judged no other way.
#[test]
fn a_module_packed_as_damaged_is_not_taken_back_for_its_neighbour() {
    let (outcome, why) = without("flooded-garage", &[], "X16", Some("m1"));
    assert_eq!(outcome, Outcome::Passed, "{why}");
    let mut job = empty("flooded-garage");
    for mut entry in entries("flooded-garage") {
        if is(&entry, "M06", Some("m2")) {
            entry.evidence.put(
                "soundness",
                packdown::procedure::Value::Text("critical".into()),
            );
            let notes = job.take(entry).judgement.notes.join("\n");
            assert!(notes.contains("look at m1 again"), "{notes}");
            return;
        }
        job.take(entry);
    }
    panic!("m2 is not judged");
}

/// NEC 2020, 480.7(C): above 240 V dc only the next split. Halves and a left-over half do not
/// pass, quarters do; nothing on a module opens before.
#[test]
fn the_rack_is_split_until_no_group_is_above_the_limit() {
    let mut job = empty("corner-shop-rack");
    let mut splits = Vec::new();
    for entry in entries("corner-shop-rack") {
        let split = is(&entry, "R06", None);
        if split && splits.len() < 2 {
            let early = entries("corner-shop-rack");
            let mut early = early
                .into_iter()
                .find(|one| is(one, "M01", Some("m1")))
                .unwrap();
            early.at = entry.at;
            let mut on_the_side = empty("corner-shop-rack");
            for taken in job.taken() {
                on_the_side.take((*taken.entry).clone());
            }
            let judged = on_the_side.take(early).judgement.clone();
            assert_eq!(judged.outcome, Outcome::Refused);
            let why: Vec<_> = judged.reasons.iter().map(ToString::to_string).collect();
            assert!(why.join("\n").contains("480.7(C)"), "{why:?}");
        }
        let outcome = job.take(entry).judgement.outcome;
        assert_ne!(outcome, Outcome::Refused);
        if split {
            splits.push(outcome);
        }
    }
    let expected = [
        Outcome::NotPassed,
        Outcome::NotPassed,
        Outcome::Passed,
        Outcome::Passed,
    ];
    assert_eq!(splits, expected);
}

/// What a module needs because it is damaged is said of the leaking one too, and once for all.
#[test]
fn what_damaged_modules_need_is_said_once_and_of_each() {
    let summary =
        fs::read_to_string(folder("flooded-garage").join("expected/summary.txt")).unwrap();
    let flat = summary.split_whitespace().collect::<Vec<_>>().join(" ");
    let all = "VS25-2305-0713, VS25-2305-0714, flooded-garage-m3: ";
    for says in [
        "Before it travels as damaged but not critical",
        "A battery found damaged or defective",
    ] {
        assert_eq!(flat.matches(says).count(), 1, "{says}");
        assert!(flat.contains(&format!("{all}{says}")), "{flat}");
    }
}

/// A custody table that an auditor follows: each crate is sealed once, though two modules go in,
/// and what is received is received where the consignee is, from whoever carried it.
#[test]
fn custody_seals_a_package_once_and_receives_it_where_it_arrives() {
    let within = tempfile::tempdir().unwrap();
    let custody = |name: &str| {
        let out = within.path().join(name);
        let run = Command::new(env!("CARGO_BIN_EXE_packdown"))
            .args(["run", folder(name).to_str().unwrap(), "--out"])
            .arg(&out)
            .env("HOME", within.path())
            .env("XDG_DATA_HOME", within.path())
            .output()
            .unwrap();
        assert!(
            run.status.success(),
            "{}",
            String::from_utf8_lossy(&run.stdout)
        );
        fs::read_to_string(out.join("custody.csv")).unwrap()
    };
    let rack = custody("corner-shop-rack");
    for crate_number in 1..=7 {
        let sealed = format!(",CR-{crate_number},package,sealed,");
        assert_eq!(rack.matches(&sealed).count(), 1, "{sealed}");
    }
    assert_eq!(rack.matches(",module,sealed,").count(), 14);
    let orchard = custody("orchard-hybrid-return");
    let received: Vec<_> = orchard
        .lines()
        .filter(|line| line.contains(",received,"))
        .collect();
    assert_eq!(received.len(), 16, "eight modules, eight boxes");
    for line in received {
        assert!(
            line.contains("\"Quellstein Speicherwerke, returns hall, Werkstrasse 40"),
            "{line}"
        );
        assert!(
            line.contains("\"Kaspar Runge, Talfuhr Transporte\",\"Bine Ortlob, Quellstein"),
            "{line}"
        );
    }
}

/// R04 of the sample rack with these answers: outcome, notes and reasons.
fn rack_to_frame(answers: &str) -> (Outcome, String) {
    let mut job = empty("corner-shop-rack");
    for mut entry in entries("corner-shop-rack") {
        let here = is(&entry, "R04", None);
        if here {
            entry.evidence = serde_json::from_str(answers).unwrap();
        }
        let judged = job.take(entry).judgement.clone();
        if here {
            let reasons = judged.reasons.iter().map(ToString::to_string);
            let words: Vec<_> = judged.notes.iter().cloned().chain(reasons).collect();
            return (judged.outcome, words.join("\n"));
        }
    }
    panic!("no R04");
}

/// The two readings on a string of 721 V with 2 Mohm from plus to the frame and `weak` ohm from minus,
/// as Kirchhoff has it; the resistor lies across the side that reads more.
fn string_to_frame(weak: f64) -> String {
    let (whole, strong, known) = (721.0, 2e6, 70e3);
    let plus = whole * strong / (strong + weak);
    let joined = strong * known / (strong + known);
    let after = whole * joined / (joined + weak);
    format!(
        r#"{{"instrument":"DM-7781","positive_to_frame_v":{plus:.2},
            "negative_to_frame_v":-{:.2},"pole_to_pole_v":{whole},"known_resistor_ohm":{known},
            "with_resistor_v":{after:.2}}}"#,
        whole - plus
    )
}

#[test]
fn two_readings_to_the_frame_are_worked_out_before_a_string_is_split() {
    // UN R100, 5.1.3 (read): 100 ohm for each volt; of 716.8 V these are 71.68 kohm.
    let (outcome, words) = rack_to_frame(&string_to_frame(90_000.0));
    assert_eq!(outcome, Outcome::Passed, "{words}");
    assert!(
        words.contains("insulation by the two readings: 125 ohm/V"),
        "{words}"
    );
    let (outcome, words) = rack_to_frame(&string_to_frame(60_000.0));
    assert_eq!(outcome, Outcome::NotPassed, "{words}");
    assert!(
        words.contains("83 ohm/V") && words.contains("no splitting"),
        "{words}"
    );
    // Good below the nominal voltage proves nothing.
    let low = string_to_frame(90_000.0).replace("\"pole_to_pole_v\":721", "\"pole_to_pole_v\":716");
    let (outcome, words) = rack_to_frame(&low);
    assert_eq!(outcome, Outcome::NotPassed, "{words}");
    assert!(words.contains("below the nominal 716.8 V"), "{words}");
    // Neither readings nor a value: what to read next.
    let (outcome, words) = rack_to_frame(
        r#"{"instrument":"DM-7781","positive_to_frame_v":3.8,"negative_to_frame_v":-4.1}"#,
    );
    assert_eq!(outcome, Outcome::NotPassed, "{words}");
    assert!(
        words.contains("then minus to the frame again with a resistor of about 71680 ohm"),
        "{words}"
    );
    // An instrument's value still counts, and both must hold where both are there.
    let with_value = |answers: &str, value: u32| {
        answers.replacen('{', &format!("{{\"insulation_ohm_per_v\":{value},"), 1)
    };
    let floating =
        r#"{"instrument":"DM-7781","positive_to_frame_v":3.8,"negative_to_frame_v":-4.1}"#;
    assert_eq!(
        rack_to_frame(&with_value(floating, 2650)).0,
        Outcome::Passed
    );
    assert_eq!(
        rack_to_frame(&with_value(floating, 99)).0,
        Outcome::NotPassed
    );
    let bad = string_to_frame(60_000.0);
    assert_eq!(rack_to_frame(&with_value(&bad, 2650)).0, Outcome::NotPassed);
}
