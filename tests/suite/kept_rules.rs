//! A job keeps the very procedure and settings it was opened with, so that it still says the same
//! when those that ship have changed.

use std::fs;
use std::path::Path;

use packdown::procedure::{Procedure, Settings};
use packdown::store::JobFolder;

use crate::bundle::{reseal, unpack};
use crate::program::Bench;

/// A job that was played by another edition of the procedure and of the settings than what ships:
/// one word of a caution differs, and one number of ours.
fn older() -> Bench {
    let bench = Bench::with_lawful_job();
    let shipped = Procedure::shipped_text("ac-coupled-stack").unwrap();
    bench.write(
        "job/procedure.toml",
        format!("# an older edition\n{shipped}"),
    );
    bench.write("job/settings.toml", older_settings());
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    // What ships is all there is at hand later.
    for file in ["procedure.toml", "settings.toml"] {
        fs::remove_file(bench.path("out").join(file)).unwrap();
    }
    bench
}

fn older_settings() -> String {
    let shipped = Settings::shipped_text();
    let old = "name = \"release_hours\"\nvalue = ";
    let (head, rest) = shipped.split_once(old).unwrap();
    let (_, tail) = rest.split_once('\n').unwrap();
    format!("{head}{old}7\n{tail}")
}

fn rules_are_a_finding(bench: &Bench, what: &str) -> bool {
    let ran = bench.run(&["audit", what, "--on", "2026-12-01", "--format", "json"]);
    assert!(ran.code < 2, "{}{}", ran.out, ran.err);
    ran.out.contains("\"check\": \"record.rules\"")
}

#[test]
fn an_older_job_is_read_back_by_its_own_rules() {
    let bench = older();
    let ran = bench.run(&["verify", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(!ran.out.contains("opened with"), "{}", ran.out);
    assert!(!rules_are_a_finding(&bench, "out"));
    let open = JobFolder::at(bench.path("out")).open().unwrap();
    assert_eq!(open.differences, Vec::<String>::new());
    let setting = open.job.frame().settings.get("release_hours").unwrap();
    assert_eq!(setting.value.to_string(), "7");
    // Nor is it another job when the folder says otherwise since.
    let shipped = Procedure::shipped_text("ac-coupled-stack").unwrap();
    bench.write(
        "out/procedure.toml",
        format!("# a later edition\n{shipped}"),
    );
    assert!(
        JobFolder::at(bench.path("out"))
            .open()
            .unwrap()
            .differences
            .is_empty()
    );
    fs::remove_file(bench.path("out/procedure.toml")).unwrap();

    // A word changed in what is kept, or nothing kept: said, as before.
    let kept = bench.read("out/rules.json");
    for bad in [
        Some(kept.replace("an older edition", "a younger edition")),
        None,
    ] {
        match bad {
            Some(bad) => bench.write("out/rules.json", bad),
            None => fs::remove_file(bench.path("out/rules.json")).unwrap(),
        }
        let open = JobFolder::at(bench.path("out")).open().unwrap();
        assert!(open.differences[0].contains("is not the one the job was opened with"));
        assert!(rules_are_a_finding(&bench, "out"));
    }
}

#[test]
fn its_bundle_brings_them_and_a_change_shows() {
    let bench = older();
    let ran = bench.run(&["release", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let bundle = "out/harbour-lane-7-1.zip";
    let ran = bench.run(&["verify", bundle]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(!ran.out.contains("not compared"), "{}", ran.out);
    assert!(!rules_are_a_finding(&bench, bundle));
    let folder = unpack(&bench.path(bundle), &bench.path("un"));
    change(
        &folder.join("data/rules.json"),
        "an older edition",
        "a younger edition",
    );
    reseal(&folder);
    let ran = bench.run(&["verify", "un"]);
    assert_eq!(ran.code, 5, "{}", ran.out);
    assert!(
        ran.out
            .contains("`data/rules.json` is not what the job was opened with"),
        "{}",
        ran.out
    );
    // Without them it holds, and what could not be done is said.
    fs::remove_file(folder.join("data/rules.json")).unwrap();
    reseal(&folder);
    let ran = bench.run(&["verify", "un"]);
    assert!(
        ran.out
            .contains("tables and events were not compared with the log"),
        "{}",
        ran.out
    );
}

#[test]
fn a_job_begun_on_a_device_keeps_them_from_its_first_entry_on() {
    let bench = Bench::with_lawful_job();
    let plan = bench.read("job/job.json").replace("\"2027-", "\"2099-");
    bench.write("job/job.json", plan.replace("\"2028-", "\"2099-"));
    let at = "2026-11-23T15:00:00+00:00";
    let step = ["step", "job", "--step", "C01", "--by", "ada", "--at", at];
    let ran = bench.run(&step);
    assert!(
        bench.path("job/ledger/device.jsonl").exists(),
        "{}{}",
        ran.out,
        ran.err
    );
    let kept = bench.read("job/rules.json");
    let shipped = Procedure::shipped_text("ac-coupled-stack").unwrap();
    let kept: serde_json::Value = serde_json::from_str(&kept).unwrap();
    assert_eq!(kept["procedure"], shipped);
    assert_eq!(kept["settings"], Settings::shipped_text());
    let fragments = kept["fragments"].as_array().unwrap();
    assert!(
        fragments.iter().any(|one| one[0] == "trunk"),
        "{fragments:?}"
    );
}

fn change(path: &Path, old: &str, new: &str) {
    let text = fs::read_to_string(path).unwrap();
    assert!(text.contains(old));
    fs::write(path, text.replacen(old, new, 1)).unwrap();
}
