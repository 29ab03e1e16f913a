//! Readings that become findings by a rule: the watch after a move, the two readings to the case,
//! a correction that shows worse.

use std::fs;
use std::path::Path;

use packdown::job::{Job, Plan};
use packdown::procedure::{Entry, Outcome, Procedure, Settings};

use crate::lawful::{before_with, entry, evidence, read, with};

/// The flooded garage up to the watch of its first module, with these looks: minute, surface, air,
/// twin.
fn watched(looks: &[(i64, &str, &str, Option<&str>)]) -> (Job, Entry) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-jobs/flooded-garage");
    let plan = Plan::read(&fs::read_to_string(folder.join("job.json")).unwrap()).unwrap();
    let procedure = Procedure::shipped(plan.procedure_name()).unwrap().unwrap();
    let mut job = Job::open(plan, procedure, Settings::shipped().unwrap());
    let rows: Vec<String> = looks
        .iter()
        .map(|(minutes, surface, air, twin)| {
            let twin = twin.map_or(String::new(), |c| format!(",\"twin_temperature_c\":{c}"));
            format!(
                "{{\"minutes\":{minutes},\"face_temperature_c\":{surface},\
                 \"ambient_temperature_c\":{air},\"smell\":false{twin}}}"
            )
        })
        .collect();
    for line in fs::read_to_string(folder.join("record.jsonl"))
        .unwrap()
        .lines()
    {
        let one: Entry = serde_json::from_str(line).unwrap();
        if one.step.as_deref() == Some("X16") {
            return (job, with(one, "watch", &format!("[{}]", rows.join(","))));
        }
        job.take(one);
    }
    panic!("no watch in the record");
}

/// Findings that a watch adds, with its outcome and whether the job stands at a red flag.
fn adds(looks: &[(i64, &str, &str, Option<&str>)]) -> (Vec<String>, Outcome, bool) {
    let (mut job, watch) = watched(looks);
    let before: Vec<String> = job
        .progress()
        .findings(Some(0))
        .iter()
        .map(ToString::to_string)
        .collect();
    let outcome = job.take(watch).judgement.outcome;
    let added = job
        .progress()
        .findings(Some(0))
        .iter()
        .filter(|code| !before.iter().any(|one| one == *code))
        .map(ToString::to_string)
        .collect();
    let red = job
        .progress()
        .stop()
        .as_ref()
        .is_some_and(|stop| stop.red_flag);
    (added, outcome, red)
}

/// T1 is 0.02 K/min through four looks over an hour (calorimetry, from memory), T2 1 K in 10 min or
/// twice in 15, T4 5 K over a twin; all chosen for the field, no source.
#[test]
fn the_watch_after_a_move_is_judged_by_the_trend() {
    let quiet = [
        (0, "9.0", "8.0", None),
        (15, "9.1", "8.1", None),
        (30, "8.9", "8.0", None),
        (60, "8.7", "7.9", None),
    ];
    assert_eq!(adds(&quiet), (vec![], Outcome::Passed, false));
    // 1.3 K in the hour, in even steps that break no other rule.
    let slow = [
        (0, "9.0", "8.0", None),
        (15, "9.3", "8.0", None),
        (30, "9.6", "8.0", None),
        (60, "10.3", "8.0", None),
    ];
    assert_eq!(
        adds(&slow),
        (vec!["F04".to_owned()], Outcome::Passed, false)
    );
    // The same, while the air rises with it: no trend of its own.
    let with_the_air = [
        (0, "9.0", "8.0", None),
        (15, "9.3", "8.3", None),
        (30, "9.6", "8.6", None),
        (60, "10.3", "9.3", None),
    ];
    assert_eq!(adds(&with_the_air), (vec![], Outcome::Passed, false));
    // 1 K in each of two successive quarters: likely to react, leave.
    let fast = [
        (0, "9.0", "8.0", None),
        (15, "10.1", "8.0", None),
        (30, "11.2", "8.0", None),
        (60, "11.3", "8.0", None),
    ];
    assert_eq!(
        adds(&fast),
        (
            vec!["F03".to_owned(), "F04".to_owned()],
            Outcome::NotPassed,
            true
        )
    );
    // 5 K over its twin at one look.
    let over_a_twin = [
        (0, "9.0", "8.0", Some("8.5")),
        (15, "9.1", "8.0", Some("4.1")),
        (30, "9.0", "8.0", None),
        (60, "9.0", "8.0", None),
    ];
    assert_eq!(
        adds(&over_a_twin),
        (vec!["F04".to_owned()], Outcome::Passed, false)
    );
}

/// A slope wants four looks: three do not pass.
#[test]
fn three_looks_are_one_too_few() {
    let (mut job, watch) = watched(&[
        (0, "9.0", "8.0", None),
        (15, "9.0", "8.0", None),
        (60, "9.0", "8.0", None),
    ]);
    let judged = job.take(watch).judgement.clone();
    assert_eq!(judged.outcome, Outcome::NotPassed);
    assert!(
        judged.reasons[0]
            .to_string()
            .contains("no look from 30 min on"),
        "{judged:?}"
    );
}

#[test]
fn a_correction_that_shows_a_fast_rise_is_a_red_flag() {
    let quiet = [
        (0, "9.0", "8.0", None),
        (15, "9.1", "8.0", None),
        (30, "9.1", "8.0", None),
        (60, "9.1", "8.0", None),
    ];
    let (mut job, watch) = watched(&quiet);
    let at = watch.at.later(120);
    assert_eq!(job.take(watch).judgement.outcome, Outcome::Passed);
    let number = job.taken().len();
    let looks: Vec<String> = [(0, "9.0"), (15, "10.1"), (30, "11.2"), (60, "11.3")]
        .iter()
        .map(|(minutes, surface)| {
            format!(
                "{{\"minutes\":{minutes},\"face_temperature_c\":{surface},\"ambient_temperature_c\":8.0,\"smell\":false}}"
            )
        })
        .collect();
    let judged = job
        .take(read(&format!(
            r#"{{"kind":"correction","amends":{number},"at":"{at}","by":"birk","reason":"digits swapped",
                 "evidence":{{"watch":[{}]}}}}"#,
            looks.join(",")
        )))
        .judgement
        .clone();
    assert_eq!(judged.outcome, Outcome::Recorded, "{judged:?}");
    assert!(
        judged
            .notes
            .iter()
            .any(|note| note.starts_with("RED FLAG: F03")),
        "{judged:?}"
    );
    assert!(
        job.progress()
            .stop()
            .as_ref()
            .is_some_and(|stop| stop.red_flag)
    );
    assert!(job.progress().findings(Some(0)).contains(&"F03"));
}

/// Readings of a module whose sides have these resistances to the case, with 10 kohm across the
/// side that reads more: a voltage divider solved by hand. 52.34 V pole to pole, as metered.
fn to_case(plus: f64, minus: f64) -> String {
    let whole = 52.34;
    let (v_plus, v_minus) = (
        whole * plus / (plus + minus),
        whole * minus / (plus + minus),
    );
    let (strong, weak) = if plus >= minus {
        (plus, minus)
    } else {
        (minus, plus)
    };
    let joined = strong * 10_000.0 / (strong + 10_000.0);
    let after = whole * joined / (joined + weak);
    format!(
        r#"{{"instrument":"MM-2044","positive_to_case_v":{v_plus:.3},"negative_to_case_v":-{v_minus:.3},
            "known_resistor_ohm":10000,"with_resistor_v":{after:.3}}}"#
    )
}

/// UN R100, 5.1.3 (read): 100 ohm for each volt dc, 500 where ac and dc are joined; of 51.2 V these
/// are 5.12 and 25.6 kohm.
#[test]
fn two_readings_to_the_case_are_worked_out_in_the_job() {
    for (weak, codes, ohm_per_v) in [
        (200_000.0, vec![], 3_906..3_907),
        (26_000.0, vec![], 506..508),
        (25_000.0, vec!["F25"], 487..489),
        (5_500.0, vec!["F25"], 106..108),
        (4_900.0, vec!["F26"], 95..96),
    ] {
        for (plus, minus) in [(weak, 210_000.0), (210_000.0, weak)] {
            let mut job = before_with("M05", &[], |_| {});
            let mut metered = entry("M05");
            metered.evidence = evidence(&to_case(plus, minus));
            let taken = job.take(metered);
            assert_eq!(taken.judgement.outcome, Outcome::Passed, "{taken:?}");
            assert_eq!(job.progress().findings(Some(0)), codes, "{weak}");
            let found = job
                .sheet(0)
                .insulation_ohm_per_v
                .unwrap()
                .as_whole()
                .unwrap();
            // Voltages to a millivolt: a ten-thousandth of the result.
            let near = ohm_per_v.start - ohm_per_v.start / 1_000 - 1
                ..ohm_per_v.end + ohm_per_v.end / 1_000;
            assert!(near.contains(&found), "{weak}: {found} is not in {near:?}");
        }
    }
}

#[test]
fn two_readings_that_cannot_be_leave_the_step_open_and_a_ready_value_still_counts() {
    let mut job = before_with("M05", &[], |_| {});
    let mut metered = entry("M05");
    metered.evidence = evidence(
        r#"{"instrument":"MM-2044","positive_to_case_v":20.0,"negative_to_case_v":-32.34,
            "known_resistor_ohm":10000,"with_resistor_v":32.34}"#,
    );
    let judged = job.take(metered.clone()).judgement.clone();
    assert_eq!(judged.outcome, Outcome::NotPassed);
    let said = judged.reasons[0].to_string();
    assert!(
        said.contains("two readings to the case of m1") && said.contains("with_known_v"),
        "{said}"
    );
    assert!(job.progress().findings(Some(0)).is_empty());
    // A module below its nominal voltage is outside the method.
    let mut job = before_with(
        "M05",
        &[("\"nominal_voltage_v\": 51.2", "\"nominal_voltage_v\": 52.4")],
        |_| {},
    );
    metered.evidence = evidence(&to_case(30_000.0, 210_000.0));
    let judged = job.take(metered.clone()).judgement.clone();
    assert_eq!(judged.outcome, Outcome::NotPassed);
    let said = judged.reasons[0].to_string();
    assert!(
        said.contains("below the nominal 52.4 V") && said.contains("ask the maker"),
        "{said}"
    );
    // What is bad below the nominal voltage is bad.
    metered.evidence = evidence(&to_case(4_900.0, 210_000.0));
    let judged = job.take(metered.clone()).judgement.clone();
    assert_eq!(judged.outcome, Outcome::Passed, "{judged:?}");
    assert_eq!(job.progress().findings(Some(0)), ["F26"]);
    // With one of the two it says which is missing and which resistor goes where: 100 ohm for each
    // volt of 51.2 V (UN R100, read), on the side that reads more.
    let mut job = before_with("M05", &[], |_| {});
    metered.evidence = evidence(
        r#"{"instrument":"MM-2044","positive_to_case_v":20.0,"negative_to_case_v":-32.34,
            "known_resistor_ohm":5000}"#,
    );
    let judged = job.take(metered.clone()).judgement.clone();
    assert_eq!(judged.outcome, Outcome::NotPassed);
    let said = judged.reasons[0].to_string();
    assert!(
        said.contains("not known: the reading with it")
            && said.contains("minus to the case of m1 again with a resistor of about 5120 ohm"),
        "{said}"
    );
    // Records from before name the ready value.
    let mut job = before_with("M05", &[], |_| {});
    metered.evidence = evidence(
        r#"{"instrument":"MM-2044","positive_to_case_v":20.0,"negative_to_case_v":-32.34,
            "insulation_ohm_per_v":350}"#,
    );
    assert_eq!(job.take(metered).judgement.outcome, Outcome::Passed);
    assert_eq!(job.progress().findings(Some(0)), ["F25"]);
    assert_eq!(
        job.sheet(0).insulation_ohm_per_v.unwrap().to_string(),
        "350"
    );
}

/// 1 mV a day is 0.1 % a day for a cell of nickel manganese cobalt at 70 %: rules V1 and V2 are 1 and
/// 3 % a day. On the plateau of iron phosphate the voltages say nothing.
#[test]
fn lost_charge_between_two_readings_is_said_on_the_sheet() {
    let nmc = [("\"cathode\": \"lfp\"", "\"cathode\": \"nmc\"")];
    for (changes, first, last, wanted) in [
        (&nmc[..], "3.810", "3.809", None),
        (&nmc[..], "3.810", "3.790", Some("V1")),
        (&nmc[..], "3.810", "3.760", Some("V2")),
        (&[][..], "3.290", "3.280", None),
    ] {
        let mut job = before_with("M05", changes, |_| {});
        for (day, lowest) in [(25, first), (26, last)] {
            job.take(read(&format!(
                r#"{{"kind":"reading","module":"m1","at":"2026-11-{day}T10:30:00+00:00","by":"nora",
                     "evidence":{{"instrument":"MM-2044","cell_voltage_lowest_v":"{lowest}",
                     "cell_voltage_highest_v":"{first}","rested_h":20,"face_temperature_c":19}}}}"#
            )));
        }
        let reasons = job.state_of_charge(0).reasons.join("; ");
        assert_eq!(
            wanted,
            ["V1", "V2"].into_iter().find(|rule| reasons.contains(rule)),
            "{first} {last}: {reasons}"
        );
    }
}

/// Titanate cells work from about 1.8 to 2.9 V (from memory); no published curve proves anything of
/// them, so a rested voltage bounds nothing and the module is taken as full.
#[test]
fn titanate_cells_can_be_said_and_are_not_taken_for_empty_ones() {
    let metered = r#"{"instrument":"MM-2044","terminal_voltage_v":"36.10","cell_voltage_lowest_v":"2.250",
        "cell_voltage_highest_v":"2.260","rested_h":24}"#;
    for (anode, codes) in [("carbon", vec!["F18"]), ("titanate", vec![])] {
        let said = format!("\"cathode\": \"lfp\", \"anode\": \"{anode}\"");
        let changes = [
            ("\"cathode\": \"lfp\"", said.as_str()),
            (
                "\"regime\": \"adr\",\n      \"mode\": \"road\"",
                "\"regime\": \"air\",\n      \"mode\": \"cargo_aircraft\"",
            ),
        ];
        let mut job = before_with("M04", &changes, |_| {});
        let mut meter = entry("M04");
        meter.evidence = evidence(metered);
        job.take(meter);
        let found = job.progress().findings(Some(0));
        assert_eq!(
            found.contains(&"F18"),
            codes.contains(&"F18"),
            "{anode}: {found:?}"
        );
        if anode == "titanate" {
            let charge = job.state_of_charge(0);
            assert_eq!(charge.high_percent.to_string(), "100");
            assert!(
                charge
                    .reasons
                    .join(" ")
                    .contains("maker's own table is needed"),
                "{charge:?}"
            );
        }
    }
}
