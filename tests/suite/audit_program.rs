//! `packdown audit` as typed: what it prints, writes and leaves with.

use std::fs;

use crate::program::Bench;

/// The lawful job played into `jobs/a`, and a copy that stopped at a refusal in `jobs/b`.
fn two_jobs() -> Bench {
    let bench = Bench::with_lawful_job();
    fs::create_dir_all(bench.path("jobs")).unwrap();
    assert_eq!(bench.run(&["run", "job", "--out", "jobs/a"]).code, 0);
    bench.change(
        "job/record.jsonl",
        "\"current_a\": 0.1",
        "\"current_a\": 9.1",
    );
    bench.change("job/job.json", "\"job\": \"", "\"job\": \"B-");
    assert_eq!(bench.run(&["run", "job", "--out", "jobs/b"]).code, 1);
    bench
}

#[test]
fn a_clean_job_leaves_with_0_and_findings_with_1() {
    let bench = two_jobs();
    let clean = bench.run(&["audit", "jobs/a", "--on", "2026-11-25"]);
    assert_eq!((clean.code, clean.err.as_str()), (0, ""), "{}", clean.out);
    assert!(
        clean.out.contains("0 critical, 0 major, 0 minor"),
        "{}",
        clean.out
    );
    assert!(clean.out.contains("they prove nothing"), "{}", clean.out);
    let both = bench.run(&["audit", "jobs", "--on", "2026-11-25"]);
    assert_eq!(both.code, 1, "{}", both.out);
    assert!(both.out.contains("record.refused"), "{}", both.out);
    assert!(
        both.out.contains("(C12)"),
        "the entry it rests on: {}",
        both.out
    );
    let same = bench.run(&["audit", "--bundles", "jobs", "--on", "2026-11-25"]);
    assert_eq!(same.out, both.out);
}

#[test]
fn the_same_audit_gives_the_same_bytes_in_every_form() {
    let bench = two_jobs();
    let run = |n: &str| {
        let (csv, html) = (format!("{n}.csv"), format!("{n}.html"));
        let ran = bench.run(&[
            "audit",
            "jobs",
            "--on",
            "2026-11-25",
            "--format",
            "json",
            "--csv",
            &csv,
            "--html",
            &html,
        ]);
        (ran.out, bench.read(&csv), bench.read(&html))
    };
    let one = run("one");
    assert_eq!(one, run("two"));
    let report: serde_json::Value = serde_json::from_str(&one.0).unwrap();
    assert_eq!(report["findings"].as_array().unwrap().len(), 1);
    assert_eq!(report["summary"]["jobs"], 2);
    assert!(report["checks"].as_array().unwrap().len() > 60);
    // RFC 4180: one row a finding, every row as wide as the head.
    let mut reader = csv::Reader::from_reader(one.1.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 1);
    assert_eq!(&rows[0][1], "record.refused");
    assert!(one.2.contains("<!DOCTYPE html>") && one.2.contains("record.refused"));
    // Data Package 2.0: the description names the table, its length and its heads.
    let about: serde_json::Value =
        serde_json::from_str(&bench.read("one.datapackage.json")).unwrap();
    let table = &about["resources"][0];
    assert_eq!(table["path"], "one.csv");
    assert_eq!(table["bytes"], one.1.len());
    let heads: Vec<&str> = reader.headers().unwrap().iter().collect();
    let fields = table["schema"]["fields"].as_array().unwrap();
    let named: Vec<&str> = fields
        .iter()
        .map(|field| field["name"].as_str().unwrap())
        .collect();
    assert_eq!(named, heads);
    let gravity = fields[0]["constraints"]["enum"].as_array().unwrap();
    assert!(gravity.contains(&serde_json::json!(&rows[0][0])));
    // To standard output, nothing lies beside it.
    let ran = bench.run(&["audit", "jobs", "--on", "2026-11-25", "--csv", "-"]);
    assert_eq!(ran.out, one.1);
    assert!(!bench.path("-.datapackage.json").exists());
}

#[test]
fn a_tester_that_failed_flags_every_dead_test_since() {
    let bench = two_jobs();
    let asked = [
        "audit",
        "jobs/a",
        "--tester-failed",
        "VT-3120",
        "--last-good",
    ];
    let ran = bench.run(&[&asked[..], &["2026-09-02", "--on", "2026-11-25"]].concat());
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("look_back.tester"), "{}", ran.out);
    // Checked good on the day of the test or after it: nothing to review.
    let good = bench.run(&[&asked[..], &["2026-11-24", "--on", "2026-11-25"]].concat());
    assert_eq!(good.code, 0, "{}", good.out);
    let alone = bench.run(&["audit", "jobs/a", "--tester-failed", "VT-3120"]);
    assert_eq!(alone.code, 2);
}

#[test]
fn a_sample_prints_its_seed_and_picks_the_same_again() {
    let bench = two_jobs();
    let first = bench.run(&["audit", "jobs", "--sample", "50%", "--on", "2026-11-25"]);
    let seed: String = first
        .out
        .split_once("--seed")
        .unwrap()
        .1
        .trim_start()
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    let again = bench.run(&[
        "audit",
        "jobs",
        "--sample",
        "50%",
        "--on",
        "2026-11-25",
        "--seed",
        &seed,
    ]);
    assert_eq!(first.out, again.out);
    assert!(first.out.contains("Audited 1 jobs"), "{}", first.out);
    let wrong = bench.run(&["audit", "jobs", "--sample", "lots"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("`lots` is not a share"), "{}", wrong.err);
}

#[test]
fn a_broken_job_is_a_finding_and_the_others_are_audited_all_the_same() {
    let bench = two_jobs();
    bench.change("jobs/b/ledger/device.jsonl", "C08", "C80");
    fs::create_dir_all(bench.path("jobs/c/ledger")).unwrap();
    bench.write("jobs/c/ledger/device.jsonl", "not a log\n");
    let ran = bench.run(&["audit", "jobs", "--on", "2026-11-25"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.out.contains("ledger.whole"), "{}", ran.out);
    assert!(ran.out.contains("ledger.readable"), "{}", ran.out);
    assert!(ran.out.contains("Audited 3 jobs"), "{}", ran.out);
}

#[test]
fn where_there_is_nothing_to_audit_one_message_says_so() {
    let bench = two_jobs();
    fs::create_dir_all(bench.path("empty")).unwrap();
    for (path, word) in [("empty", "empty"), ("nowhere", "nowhere")] {
        let ran = bench.run(&["audit", path]);
        assert_eq!(ran.code, 4);
        assert!(
            ran.err.contains(word) && ran.err.contains("do now"),
            "{}",
            ran.err
        );
    }
    assert_eq!(bench.run(&["audit"]).code, 2);
}

#[test]
fn a_template_of_ones_own_is_used_and_a_wrong_name_in_it_is_said() {
    let bench = two_jobs();
    bench.write(
        "own.html",
        "jobs {{ looked_at }} worst {{ total.critical }}",
    );
    let asked = [
        "audit",
        "jobs/a",
        "--on",
        "2026-11-25",
        "--html",
        "page.html",
        "--template",
    ];
    assert_eq!(bench.run(&[&asked[..], &["own.html"]].concat()).code, 0);
    assert_eq!(bench.read("page.html"), "jobs 1 worst 0");
    bench.write("own.html", "{{ lookd_at }}");
    let ran = bench.run(&[&asked[..], &["own.html"]].concat());
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("audit report"), "{}", ran.err);
}
