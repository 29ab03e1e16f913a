//! Entries made one by one on a device: on disk before the next question, continued where they
//! stood, safe against a cut, a second writer and a wrong clock.

use std::fs::{self, File, OpenOptions};
use std::io::Write;

use crate::program::{Bench, Ran};

/// A job without a record, whose people stay competent for as long as this test may run.
fn bench() -> Bench {
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

const C01: [&str; 5] = [
    "site=House at Harbour Lane 7",
    "asset=home stack",
    "chemistry=LFP",
    "planned_modules=4",
    "owner_release=order of 9 November",
];

fn step(bench: &Bench, id: &str, at: &str, more: &[&str]) -> Ran {
    let mut arguments = vec!["step", "job", "--step", id, "--at", at];
    arguments.extend(more);
    bench.run(&arguments)
}

fn c01(bench: &Bench) -> Ran {
    let mut more = vec!["--by", "ada"];
    for answer in C01 {
        more.extend(["--evidence", answer]);
    }
    step(bench, "C01", "2026-11-23T15:00:00+00:00", &more)
}

#[test]
fn a_step_from_a_script_is_in_the_ledger_and_says_what_became_of_it() {
    let bench = bench();
    let ran = c01(&bench);
    assert_eq!(
        (ran.code, ran.out.as_str()),
        (0, "entry 1 C01: passed\nOpen now: C02, C03, C04\n"),
        "{}",
        ran.err
    );
    // An answer that does not fit: kept, the step stays open.
    let ran = step(
        &bench,
        "C02",
        "2026-11-23T15:05:00+00:00",
        &["--by", "ada", "--evidence", "max_voltage_v=about 58"],
    );
    assert_eq!(ran.code, 1);
    assert!(
        ran.out.starts_with("entry 2 C02: not passed\n"),
        "{}",
        ran.out
    );
    assert!(
        ran.out
            .contains("max_voltage_v: about 58\n      limit: a number"),
        "{}",
        ran.out
    );
    // A step before its time: refused at once, with what to do.
    let ran = step(
        &bench,
        "C25",
        "2026-11-23T15:06:00+00:00",
        &["--by", "nora"],
    );
    assert_eq!(ran.code, 1);
    assert!(ran.out.starts_with("entry 3 C25: REFUSED\n"), "{}", ran.out);
    assert!(ran.out.contains("do now: C02 comes next"), "{}", ran.out);
    let shown = bench.run(&["show", "job"]);
    assert!(
        shown.out.contains("1 of 93 steps passed, 3 entries"),
        "{}",
        shown.out
    );
    assert_eq!(bench.run(&["verify", "job"]).code, 0);
}

#[test]
fn answers_are_asked_for_and_the_job_goes_on_where_it_stood() {
    let bench = bench();
    let typed = "ada\nHouse at Harbour Lane 7\nhome stack\n\n4\norder of 9 November\n\nleave\n";
    let ran = bench.run_with_input(&["run", "job"], typed);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("C01: Open the job"), "{}", ran.out);
    assert!(ran.out.contains("hazard: "), "{}", ran.out);
    assert!(ran.out.contains("entry 1: passed"), "{}", ran.out);
    assert!(
        ran.out.contains("treated as the least stable chemistry"),
        "{}",
        ran.out
    );
    // The next run begins with the next open step.
    let ran = bench.run_with_input(&["run", "job"], "leave\n");
    assert!(ran.out.contains("C02: Gather the drawings"), "{}", ran.out);
    assert!(!ran.out.contains("C01:"), "{}", ran.out);
    // The end of the input is a stop as well.
    assert_eq!(bench.run_with_input(&["run", "job"], "").code, 0);
}

#[test]
fn a_torn_last_line_is_reported_and_dropped_at_the_next_entry() {
    let bench = bench();
    assert_eq!(c01(&bench).code, 0);
    let whole = bench.read("job/ledger/device.jsonl");
    let mut file = OpenOptions::new()
        .append(true)
        .open(bench.path("job/ledger/device.jsonl"))
        .unwrap();
    file.write_all(b"{\"actor\":\"ada\",\"body\":{\"ent")
        .unwrap();
    let shown = bench.run(&["show", "job"]);
    assert_eq!(shown.code, 0, "{}", shown.err);
    let verified = bench.run(&["verify", "job"]);
    assert!(
        verified.out.contains("noted [torn-last-line]"),
        "{}",
        verified.out
    );
    assert_eq!(verified.code, 0);
    let ran = step(
        &bench,
        "C04",
        "2026-11-23T15:10:00+00:00",
        &[
            "--by",
            "ada",
            "--evidence",
            "network_operator_notice=none asked for",
            "--evidence",
            "authority_notice=none asked for",
            "--evidence",
            "owner_told_of_outage=yes",
        ],
    );
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let now = bench.read("job/ledger/device.jsonl");
    assert!(now.starts_with(&whole) && !now.contains("{\"ent{"));
    assert!(!bench.run(&["verify", "job"]).out.contains("torn"));
}

#[test]
fn a_ledger_cut_at_any_byte_never_makes_the_program_fall_over() {
    let bench = bench();
    assert_eq!(c01(&bench).code, 0);
    let whole = fs::read(bench.path("job/ledger/device.jsonl")).unwrap();
    for cut in (0..whole.len()).step_by(whole.len() / 23) {
        fs::write(bench.path("job/ledger/device.jsonl"), &whole[..cut]).unwrap();
        let ran = bench.run(&["verify", "job"]);
        assert!(
            [0, 5].contains(&ran.code),
            "cut at {cut}: {} {}",
            ran.code,
            ran.err
        );
        let ran = bench.run(&["show", "job"]);
        assert!(
            [0, 5].contains(&ran.code),
            "cut at {cut}: {} {}",
            ran.code,
            ran.err
        );
    }
}

#[test]
fn an_edited_ledger_is_named_and_nothing_is_built_on_it() {
    let bench = bench();
    assert_eq!(c01(&bench).code, 0);
    bench.change("job/ledger/device.jsonl", "home stack", "home steck");
    let ran = bench.run(&["verify", "job"]);
    assert_eq!(ran.code, 5);
    assert!(ran.out.contains("BREAK [id-mismatch]"), "{}", ran.out);
    assert!(ran.out.contains("DOES NOT HOLD"), "{}", ran.out);
    let before = bench.read("job/ledger/device.jsonl");
    let ran = step(&bench, "C03", "2026-11-23T15:20:00+00:00", &["--by", "ada"]);
    assert_eq!(ran.code, 5);
    assert_eq!(bench.read("job/ledger/device.jsonl"), before);
}

#[test]
fn two_people_cannot_write_at_once() {
    let bench = bench();
    assert_eq!(c01(&bench).code, 0);
    let lock = File::options()
        .write(true)
        .open(bench.path("job/ledger/.lock"))
        .unwrap();
    lock.lock().unwrap();
    let ran = step(&bench, "C03", "2026-11-23T15:20:00+00:00", &["--by", "ada"]);
    assert_eq!(ran.code, 6, "{}", ran.err);
    assert!(
        ran.err.contains("being written by another program"),
        "{}",
        ran.err
    );
    lock.unlock().unwrap();
    // Reading goes on all the time.
    assert_eq!(bench.run(&["show", "job"]).code, 0);
}

#[test]
fn an_entry_that_has_not_happened_yet_is_not_taken() {
    let bench = bench();
    let ran = step(&bench, "C01", "2199-01-01T00:00:00+00:00", &["--by", "ada"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("ahead of this device's clock"),
        "{}",
        ran.err
    );
    assert!(!bench.path("job/ledger/device.jsonl").exists());
}

#[test]
fn a_real_job_is_signed_with_this_devices_own_key() {
    let bench = bench();
    bench.change("job/job.json", "\"demo\": true", "\"demo\": false");
    assert_eq!(c01(&bench).code, 0);
    let shown = bench.run(&["key", "show"]);
    let name = shown
        .out
        .lines()
        .find(|line| line.starts_with("Name"))
        .unwrap()
        .to_owned();
    let name = name.trim_start_matches("Name").trim();
    assert!(name.starts_with("device.packdown.invalid/job-log/"));
    let verified = bench.run(&["verify", "job"]);
    assert!(
        verified.out.contains(&format!("signed by {name}")),
        "{}",
        verified.out
    );
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = fs::metadata(bench.path("home/device.key"))
            .unwrap()
            .permissions()
            .mode();
        assert_eq!(mode & 0o777, 0o600);
    }
    // Somebody else's device does not know the key, and says so.
    let public = shown
        .out
        .lines()
        .find(|line| line.starts_with("Public"))
        .unwrap();
    let public = public.trim_start_matches("Public").trim().to_owned();
    fs::remove_dir_all(bench.path("home")).unwrap();
    let ran = bench.run(&["verify", "job"]);
    assert_eq!(ran.code, 5);
    assert!(
        ran.out.contains("keys that are not trusted here"),
        "{}",
        ran.out
    );
    assert_eq!(bench.run(&["verify", "job", "--trust", &public]).code, 0);
}

#[test]
fn a_killed_run_leaves_all_or_nothing() {
    for wait_us in [0, 500, 1_000, 2_000, 4_000, 8_000, 16_000] {
        let bench = Bench::with_lawful_job();
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_packdown"))
            .args(["run", "job", "--out", "out"])
            .current_dir(bench.path(""))
            .env("PACKDOWN_HOME", bench.path("home"))
            .stdout(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_micros(wait_us));
        let _ = child.kill();
        child.wait().unwrap();
        if bench.path("out").exists() {
            assert_eq!(
                bench.run(&["verify", "out"]).code,
                0,
                "killed after {wait_us} us"
            );
        }
        // Whatever was left lying does not stand in the way.
        assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
        assert_eq!(bench.run(&["verify", "out"]).code, 0);
    }
}

#[test]
fn papers_of_a_job_that_is_not_done_are_drafts_or_none() {
    let bench = bench();
    assert_eq!(c01(&bench).code, 0);
    let ran = bench.run(&["issue", "job"]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.err.contains("not entitled to papers yet"),
        "{}",
        ran.err
    );
    assert!(!bench.path("job/manifest.html").exists());
    let ran = bench.run(&["issue", "job", "--draft"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        bench
            .read("job/manifest.html")
            .contains("DRAFT - NOT FOR TRANSPORT")
    );
    // A changed paper is found.
    bench.change("job/manifest.html", "DRAFT - NOT FOR TRANSPORT", "");
    let ran = bench.run(&["verify", "job"]);
    assert_eq!(ran.code, 5);
    assert!(
        ran.out
            .contains("manifest.html was changed after it was issued"),
        "{}",
        ran.out
    );
}

#[test]
fn a_name_is_one_name_however_its_letters_were_typed() {
    let bench = bench();
    // `å` as one character, and as `a` with a ring after it: RFC 8785 does not make them one.
    let (one, two) = ("Gr\u{e5}myr", "Gra\u{30a}myr");
    fs::create_dir_all(bench.path("job/photos")).unwrap();
    bench.write(&format!("job/photos/{two}.jpg"), "picture");
    let ran = bench.run(&[
        "step",
        "job",
        "--kind",
        "finding",
        "--at",
        "2026-11-23T15:00:00+00:00",
        "--by",
        "ada",
        "--reason",
        two,
        "--evidence",
        &format!("seen={two}"),
        "--evidence",
        "findings=[\"F14\"]",
        "--photo",
        &format!("{two}.jpg"),
    ]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let ledger = bench.read("job/ledger/device.jsonl");
    assert!(ledger.contains(&format!("\"seen\":\"{one}\"")), "{ledger}");
    assert!(!ledger.contains(two));
    // SHA-256 of `picture`: the file was found although its name is written the other way.
    let sum = packdown::ledger::to_hex(&packdown::ledger::sha256(b"picture"));
    assert!(ledger.contains(&sum), "{ledger}");
}
