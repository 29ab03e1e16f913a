//! What people type on a site, at a dock and at a desk, and where they look for help: small letters,
//! words of the trade, two devices at once, the next step without a second command.

use std::fs;

use serde_json::Value;

use crate::classify_cli::{bare, classify, facts};
use crate::dock::{open_register, receive};
use crate::program::{Bench, Ran};

/// A job without a record, whose people stay competent for as long as this test may run.
fn site() -> Bench {
    let bench = Bench::with_lawful_job();
    fs::remove_file(bench.path("job/record.jsonl")).unwrap();
    let plan = bench.read("job/job.json");
    bench.write(
        "job/job.json",
        plan.replace("\"2027-", "\"2099-")
            .replace("\"2028-", "\"2099-"),
    );
    bench
}

fn c01(bench: &Bench, id: &str, by: &str, more: &[&str]) -> Ran {
    let c01 = [
        "step",
        "job",
        "--step",
        id,
        "--by",
        by,
        "--evidence",
        "site=House at Harbour Lane 7",
        "--evidence",
        "asset=home stack",
        "--evidence",
        "chemistry=LFP",
        "--evidence",
        "planned_modules=4",
        "--evidence",
        "owner_release=order of 9 November",
    ];
    bench.run(&[&c01[..], more].concat())
}

#[test]
fn a_step_and_a_person_in_small_letters_are_the_ones_meant() {
    let bench = site();
    let ran = c01(&bench, "c01", "ADA", &[]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("passed\nOpen now: C02, C03, C04\n"),
        "{}",
        ran.out
    );
    // The record has them as the procedure and the plan write them.
    let ledger = bench.read("job/ledger/device.jsonl");
    assert!(
        ledger.contains("\"C01\"") && !ledger.contains("\"c01\""),
        "{ledger}"
    );
    assert!(
        ledger.contains("\"ada\"") && !ledger.contains("\"ADA\""),
        "{ledger}"
    );
    let answered = bench.run(&[
        "step", "job", "--step", "C99", "--by", "ada", "--format", "json",
    ]);
    let answered: Value = serde_json::from_str(&answered.out).unwrap();
    assert_eq!(answered["open"], serde_json::json!(["C02", "C03", "C04"]));
}

#[test]
fn what_a_step_asks_is_shown_without_beginning_it() {
    let bench = site();
    let ran = bench.run(&["show", "job", "--step", "c02"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    for words in ["C02", "max_voltage_v", "stored_energy_label_s", "SHUT now"] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    assert_eq!(c01(&bench, "C01", "ada", &[]).code, 0);
    let ran = bench.run(&["show", "job", "--step", "C02"]);
    assert!(ran.out.contains("It is open now."), "{}", ran.out);
    let shown = bench.run(&[
        "show", "job", "--step", "M04", "--module", "M1", "--format", "json",
    ]);
    let shown: Value = serde_json::from_str(&shown.out).unwrap();
    assert!(shown.to_string().contains("terminal_voltage_v"), "{shown}");
    // A step that is not there names the ones that are.
    let ran = bench.run(&["show", "job", "--step", "X1"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(
        ran.out
            .contains("`packdown procedure show ac-coupled-stack`"),
        "{}",
        ran.out
    );
    // Showing writes nothing.
    assert_eq!(bench.read("job/ledger/device.jsonl").lines().count(), 2);
}

/// Every code that a step takes as `findings` has its words.
#[test]
fn the_codes_of_findings_are_listed() {
    let bench = site();
    let ran = bench.run(&["procedure", "findings"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    for number in 1..=37 {
        assert!(ran.out.contains(&format!("F{number:02}")), "F{number:02}");
    }
    assert!(
        ran.out.contains("Swollen") || ran.out.contains("swollen"),
        "{}",
        ran.out
    );
}

/// Eight hands on one job at once: each entry is in, one after the other in time, none is lost.
#[test]
fn entries_of_many_at_once_stand_in_the_order_of_their_times() {
    let bench = site();
    assert_eq!(c01(&bench, "C01", "ada", &[]).code, 0);
    std::thread::scope(|scope| {
        for _ in 0..8 {
            scope.spawn(|| {
                for _ in 0..3 {
                    // On a busy machine the wait for the others may be given up: asked again.
                    let ran = std::iter::repeat_with(|| {
                        bench.run(&["step", "job", "--step", "C25", "--by", "nora"])
                    })
                    .find(|ran| ran.code != 6)
                    .unwrap();
                    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
                }
            });
        }
    });
    let verified = bench.run(&["verify", "job"]);
    assert_eq!(verified.code, 0, "{}", verified.out);
    assert!(!verified.out.contains("clock-set-back"), "{}", verified.out);
    assert!(bench.run(&["show", "job"]).out.contains("25 entries"));
}

/// A paper of a job on a device bears the time of its issue, not the time of the last entry.
#[test]
fn an_issue_on_a_device_is_stamped_when_it_is_issued() {
    let bench = site();
    let ran = c01(&bench, "C01", "ada", &["--at", "2026-11-23T15:00:00+00:00"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let ran = bench.run(&["issue", "job", "--draft"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let ledger = bench.read("job/ledger/device.jsonl");
    let lines: Vec<Value> = ledger
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    let issued = lines.last().unwrap();
    assert_eq!(issued["type"], "papers_issued", "{issued}");
    let time = |line: &Value| line["time"].as_str().unwrap().to_owned();
    assert_eq!(time(&lines[1]), "2026-11-23T15:00:00.000Z");
    assert!(time(issued) > time(&lines[0]), "{issued}");
    assert!(time(issued).as_str() > "2026-11-24", "{issued}");
}

fn dock() -> Bench {
    let bench = site();
    open_register(&bench);
    bench
}

#[test]
fn a_word_of_the_trade_is_a_finding_of_the_last_scan() {
    let bench = dock();
    let ran = receive(
        &bench,
        &[],
        "MOD-0001\nSwollen\nMOD-0002\nleaking\nsmoke MOD-0003\nP3\ndented at one corner\nstop\n",
    );
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let ledger = bench.read("reg/ledger/device.jsonl");
    for code in ["F10", "F08", "F01"] {
        assert!(ledger.contains(code), "{code}: {}", ran.out);
    }
    // More words are damage, kept as typed, not a code.
    assert!(ledger.contains("dented at one corner"), "{ledger}");
    assert!(!ledger.contains("F11"), "{ledger}");
    let listed = receive(&bench, &[], "findings\nstop\n");
    assert!(listed.out.contains("F37"), "{}", listed.out);
}

#[test]
fn a_bay_that_is_not_there_closes_nothing() {
    let bench = dock();
    let ran = receive(&bench, &[], "P1\ndone Q\nP2\nstop\n");
    assert!(
        ran.out.contains("Q") && ran.out.contains("A, B"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("R1 stays open"), "{}", ran.out);
    let ledger = bench.read("reg/ledger/device.jsonl");
    assert!(ledger.contains("\"P2\""), "{ledger}");
}

/// Who may is named: the one at the dock does not know the ids of `site.json`.
#[test]
fn who_may_is_named_where_somebody_may_not() {
    let bench = dock();
    let moved = bench.run(&[
        "stock",
        "move",
        "X",
        "--register",
        "reg",
        "--by",
        "zed",
        "--to",
        "A",
    ]);
    assert_eq!(moved.code, 1, "{}{}", moved.out, moved.err);
    // Cleo's training ran out in January 2026.
    let shown = moved.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        shown.contains("one of these does it: ada, ben, dov;"),
        "{shown}"
    );
    // A time that a person reads has no parts of a second.
    let listed = bench.run(&["stock", "--register", "reg"]);
    let first = listed.out.lines().next().unwrap();
    assert!(first.contains("T") && !first.contains('.'), "{first}");
}

#[test]
fn a_count_and_a_seal_say_what_was_stated() {
    let bench = dock();
    let ran = receive(&bench, &["--bay", "A"], "count load 2\nP1\nseal S9\ndone\n");
    assert!(ran.out.contains("2, stated 3"), "{}", ran.out);
    assert!(ran.out.contains("stated S1"), "{}", ran.out);
}

#[test]
fn a_fault_is_named_by_the_line_that_an_editor_shows() {
    let mut wrong = bare("m2", "sound");
    wrong["item"]["rated_energy_wh"] = "much".into();
    let text = format!("\n\n{}\n\n{}\n", bare("m1", "sound"), wrong);
    let ran = classify(&[], &text);
    assert_eq!(ran.code, 4, "{}", ran.out);
    assert!(ran.err.contains("line 5"), "{}", ran.err);
    let ran = classify(&[], &format!("\n\n\n{wrong}\n"));
    assert!(ran.err.contains("line 4"), "{}", ran.err);
}

#[test]
fn a_name_in_the_wrong_place_is_told_its_place() {
    let mut one = facts();
    one["soundness"] = "sound".into();
    let ran = classify(&[], &one.to_string());
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("item.soundness"), "{}", ran.err);
    let mut one = facts();
    one["item"]["state_of_charge_percent"] = serde_json::json!({"low": 20});
    let ran = classify(&[], &one.to_string());
    assert!(
        ran.err.contains("written with `low` and `high`"),
        "{}",
        ran.err
    );
    let table = "id,regime,mode,on,item.state_of_charge_percent\nm1,adr,road,2026-11-25,20\n";
    let ran = classify(&[], table);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err.contains("`item.state_of_charge_percent.low`"),
        "{}",
        ran.err
    );
}
