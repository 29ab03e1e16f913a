//! What else one walk over jobs answers: an inspector's questions, the file of a module, training,
//! retention, masses, the treater's certificate.

use serde_json::Value;

use crate::audit_histories::{BASES, History};
use crate::program::Bench;
use packdown::audit::{Standing, answers, audit, calendar, mass_part, module_file, trained};

/// The lawful job played into `jobs/a`.
fn one_job() -> Bench {
    let bench = Bench::with_lawful_job();
    std::fs::create_dir_all(bench.path("jobs")).unwrap();
    assert_eq!(bench.run(&["run", "job", "--out", "jobs/a"]).code, 0);
    bench
}

fn json_of(bench: &Bench, more: &[&str]) -> (i32, Value) {
    let asked = ["audit", "jobs", "--on", "2026-11-25", "--format", "json"];
    let ran = bench.run(&[&asked[..], more].concat());
    assert_eq!(ran.err, "");
    (ran.code, serde_json::from_str(&ran.out).unwrap())
}

#[test]
fn an_inspector_asks_training_first_then_packaging_then_papers() {
    // Order of questions as inspectors were reported to ask them; common practice.
    let bench = one_job();
    let (code, found) = json_of(&bench, &["--as-inspector"]);
    assert_eq!(code, 3, "papers are missing from any record");
    let asked: Vec<&str> = found[0]["answers"]
        .as_array()
        .unwrap()
        .iter()
        .map(|answer| answer["subject"].as_str().unwrap())
        .collect();
    let first = |word: &str| asked.iter().position(|one| one.starts_with(word)).unwrap();
    assert_eq!(first("training"), 0);
    assert!(first("training") < first("packaging") && first("packaging") < first("papers"));
    let text = bench.run(&["audit", "jobs", "--on", "2026-11-25", "--as-inspector"]);
    assert!(text.out.contains("Fetch before the inspector comes:"));
    assert!(
        text.out
            .contains("training records of Piet Marlow, Tom Garrow"),
        "{}",
        text.out
    );
}

#[test]
fn the_answers_make_a_page_to_print() {
    let bench = one_job();
    let asked = [
        "audit",
        "jobs",
        "--on",
        "2026-11-25",
        "--as-inspector",
        "--html",
        "page.html",
    ];
    assert_eq!(bench.run(&asked).code, 3);
    let page = bench.read("page.html");
    assert!(page.contains("Fetch before the inspector comes"));
    assert!(page.contains("PAPER MISSING") && page.contains("How do you know that it was dead?"));
    bench.write(
        "own.html",
        "{% for job in jobs %}{{ job.job }} {{ job.site }}{% endfor %}",
    );
    assert_eq!(
        bench
            .run(&[&asked[..], &["--template", "own.html"]].concat())
            .code,
        3
    );
    assert_eq!(
        bench.read("page.html"),
        "harbour-lane-7 House at Harbour Lane 7"
    );
}

#[test]
fn a_question_is_answered_no_by_a_finding_and_points_to_its_entry() {
    let mut history = History::clean(BASES[0], 3);
    history.drop_step("C22");
    let dossier = history.dossier().unwrap();
    let audited = audit(&dossier, None);
    let not_so: Vec<String> = answers(&dossier, &audited.findings)
        .into_iter()
        .filter(|answer| answer.standing == Standing::NotSo)
        .map(|answer| format!("{} {}", answer.question, answer.says))
        .collect();
    assert_eq!(not_so.len(), 1, "{not_so:?}");
    assert!(not_so[0].starts_with("How do you know that it was dead?"));
    assert!(not_so[0].contains("(entry 20)"), "{not_so:?}");
    // Nothing is said to be shown in a whole history that a finding denies.
    let clean = History::clean(BASES[0], 3).dossier().unwrap();
    assert!(
        answers(&clean, &[])
            .iter()
            .all(|one| one.standing != Standing::NotSo)
    );
}

#[test]
fn the_file_of_a_module_runs_from_the_wall_to_the_certificate() {
    let history = History::clean(BASES[0], 4);
    let dossier = history.dossier().unwrap();
    let serial = history.plan["modules"][2]["serial"].as_str().unwrap();
    let file = module_file(&dossier, &serial.to_lowercase(), &[]).unwrap();
    assert_eq!((file.serial.as_str(), file.module.as_str()), (serial, "m3"));
    assert_eq!(file.missing, Vec::<String>::new());
    assert!(file.certificate.contains("RC-5521"), "{}", file.certificate);
    let steps: Vec<&str> = file.life.iter().map(|line| line.step.as_str()).collect();
    for step in ["C01", "C21", "M01", "M12", "Z06", "Z07", "Z11", "Z13"] {
        assert!(steps.contains(&step), "{step} is not in {steps:?}");
    }
    // What is another module's alone is not in it.
    assert_eq!(steps.iter().filter(|step| **step == "M01").count(), 1);
    assert!(
        file.life
            .windows(2)
            .all(|pair| pair[0].entry < pair[1].entry)
    );
    // Each line names the leaf by which it can be proved.
    let log = &dossier.record.log;
    for line in &file.life {
        assert_eq!(
            Some(&line.leaf),
            log.leaf(line.entry)
                .map(|l| packdown::ledger::to_hex(&l))
                .as_ref()
        );
    }
    assert!(module_file(&dossier, "HL5-0000-0000", &[]).is_none());
}

#[test]
fn a_module_that_no_job_has_is_answered_no() {
    let bench = one_job();
    let ran = bench.run(&["audit", "jobs", "--module", "NOBODY-1"]);
    assert_eq!(ran.code, 1);
    assert_eq!(ran.out, "No module NOBODY-1 in 1 jobs.\n");
    let ran = bench.run(&["audit", "jobs", "--module", "HL5-2207-0418"]);
    assert_eq!(ran.code, 0);
    assert!(
        ran.out.contains("MISSING from a whole life:"),
        "{}",
        ran.out
    );
}

#[test]
fn the_training_matrix_counts_what_each_signed_and_says_who_may_not() {
    let mut history = History::clean(BASES[0], 2);
    history.plan["people"][0]["competences"][0]["expires_on"] = "2026-11-23".into();
    let rows = trained(&history.dossier().unwrap());
    let of = |person: &str, role: &str| {
        rows.iter()
            .map(|(_, row)| row)
            .find(|row| row.person == person && row.role == role)
            .unwrap()
    };
    let nora = of("Nora Quill", "qualified electrical worker");
    assert!(
        nora.signed > 20 && nora.signed_after == nora.signed,
        "{nora:?}"
    );
    assert_eq!(nora.stands.words(), "EXPIRED, may not sign");
    assert_eq!(of("Piet Marlow", "packer").signed, 13);
    assert_eq!(of("Piet Marlow", "packer").signed_after, 0);
    let bench = one_job();
    let ran = bench.run(&["audit", "jobs", "--training", "--on", "2026-11-25"]);
    assert_eq!(ran.code, 0);
    assert!(
        ran.out.contains("0 steps were signed after the last day"),
        "{}",
        ran.out
    );
}

#[test]
fn papers_are_kept_as_long_as_each_rule_says_and_a_hold_keeps_them_longer() {
    // ADR 5.4.4: three months. 49 CFR 172.201(e): two years; 171.16(b): two years; 40 CFR
    // 273.39(c): three years. All from the hand-over of 24 November 2026.
    let mut history = History::clean(BASES[0], 1);
    let keep = history.issue_after.unwrap();
    history.lines.truncate(keep);
    history.day = "2027-02-25";
    let until = |history: &History, held: bool, rule: &str| {
        calendar(&history.dossier().unwrap(), held)
            .into_iter()
            .find(|row| row.rule == rule)
            .map(|row| (row.until.to_string(), row.may_go))
    };
    assert_eq!(
        until(&history, false, "adr-document"),
        Some(("2027-02-24".into(), true))
    );
    assert_eq!(
        until(&history, true, "adr-document"),
        Some(("2027-02-24".into(), false))
    );
    assert_eq!(until(&history, false, "us-shipping-paper"), None);
    history.plan["site"]["country"] = "US".into();
    assert_eq!(
        until(&history, false, "us-shipping-paper"),
        Some(("2028-11-24".into(), false))
    );
    assert_eq!(
        until(&history, false, "us-incident-report"),
        Some(("2028-11-24".into(), false))
    );
    assert_eq!(
        until(&history, false, "us-universal-waste"),
        Some(("2029-11-24".into(), false))
    );
    // On the last day itself nothing may go.
    history.day = "2027-02-24";
    assert_eq!(
        until(&history, false, "adr-document"),
        Some(("2027-02-24".into(), false))
    );
}

#[test]
fn a_legal_hold_on_a_job_that_is_not_there_is_said() {
    let bench = one_job();
    let plan: Value = serde_json::from_str(&bench.read("job/job.json")).unwrap();
    let job = plan["job"].as_str().unwrap();
    let ran = bench.run(&["audit", "jobs", "--retention", "--legal-hold", job]);
    assert_eq!(ran.code, 0);
    assert!(
        ran.out.contains("LEGAL HOLD") && !ran.out.contains("keep  "),
        "{}",
        ran.out
    );
    let ran = bench.run(&["audit", "jobs", "--retention", "--legal-hold", "HX-1"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("no job `HX-1`"), "{}", ran.err);
}

#[test]
fn masses_go_from_removed_to_treated() {
    let history = History::clean(BASES[0], 1);
    let mut report = packdown::audit::MassReport::default();
    report.add(mass_part(&history.dossier().unwrap()).unwrap());
    report.add(mass_part(&History::clean(BASES[0], 2).dossier().unwrap()).unwrap());
    let lines = report.lines();
    assert_eq!(lines.len(), 1);
    let line = &lines[0];
    assert_eq!(
        (line.month.as_str(), line.removed, line.packed),
        ("2026-11", 8, 8)
    );
    assert_eq!((line.handed_over, line.received, line.treated), (8, 8, 8));
    // 49.3 + 49.6 + 49.4 + 49.7 kg, twice; 4 of 5.12 kWh, twice: sums by hand.
    assert_eq!(line.removed_kg.to_string(), "396");
    assert_eq!(line.removed_kg, line.treated_kg);
    assert_eq!(line.energy_kwh.to_string(), "40.96");
    assert!(
        line.materials.iter().any(|text| text.starts_with("Li ")),
        "{:?}",
        line.materials
    );
}

#[test]
fn a_certificate_is_matched_serial_by_serial() {
    let bench = one_job();
    let all = "serial,kg\nHL5-2207-0418,49.3\nhl5-2207-0421,49.6\nHL5-2207-0377,49.4\nHL5-2207-0402,49.7\n";
    bench.write("whole.csv", all);
    let ran = bench.run(&["audit", "jobs", "--certificate", "whole.csv"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.out);
    bench.write("less.csv", all.replace("HL5-2207-0377", "ZZ-1"));
    let (code, found) = json_of(&bench, &["--certificate", "less.csv"]);
    assert_eq!(code, 1);
    assert_eq!(found["missing"][0]["serial"], "HL5-2207-0377");
    assert_eq!(found["never_removed"][0]["serial"], "ZZ-1");
    bench.write("bulk.csv", "kg,process\n198,shredded\n");
    let ran = bench.run(&["audit", "jobs", "--certificate", "bulk.csv"]);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err.contains("no column with the serials"),
        "{}",
        ran.err
    );
}
