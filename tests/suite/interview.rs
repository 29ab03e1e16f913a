//! The questions of `run` at a terminal: what is typed wrong costs nothing, what happens beside the
//! steps can be said at any question, and a stop is a stop.

use packdown::actions::Interview;
use packdown::procedure::EvidenceKind;
use packdown::store::JobFolder;

use crate::program::{Bench, Ran};

/// A job that nobody has begun.
fn bench() -> Bench {
    let bench = Bench::with_lawful_job();
    std::fs::remove_file(bench.path("job/record.jsonl")).unwrap();
    bench
}

fn type_at(bench: &Bench, lines: &[&str]) -> Ran {
    bench.run_with_input(&["run", "job"], &(lines.join("\n") + "\n"))
}

/// What the record says of entry `number`, as it was written down.
fn entry(bench: &Bench, number: usize) -> serde_json::Value {
    let text = bench.read("job/ledger/device.jsonl");
    let entries = text.lines().map(|line| {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        line["body"]["entry"].clone()
    });
    entries
        .filter(serde_json::Value::is_object)
        .nth(number - 1)
        .unwrap()
}

const C01: [&str; 7] = [
    "1",
    "Harbour Lane 7",
    "home stack",
    "LFP",
    "4",
    "order 9",
    "",
];

#[test]
fn what_is_typed_wrong_is_asked_again_and_nothing_is_lost() {
    let bench = bench();
    let ran = type_at(
        &bench,
        &[
            "nobody",
            "ada",
            "Harbour Lane 7",
            "home stack",
            "LFP",
            "grey",
            "4.5",
            "4",
            "order 9",
            "photos/front.jpg",
            "",
        ],
    );
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    for told in [
        "`nobody` is not among them",
        "`grey`: a whole number is wanted, such as 4",
        "`4.5`: a whole number is wanted",
        "`photos/front.jpg`: a plain file name, without its folder",
        "entry 1: passed",
    ] {
        assert!(ran.out.contains(told), "{told}\n{}", ran.out);
    }
    assert_eq!(entry(&bench, 1)["evidence"]["planned_modules"], "4");
    assert_eq!(entry(&bench, 1)["evidence"]["chemistry"], "LFP");
}

#[test]
fn going_back_takes_the_last_answer_off_down_to_the_person() {
    let bench = bench();
    let ran = type_at(
        &bench,
        &[
            "1",
            "Harbor",
            "<",
            "<",
            "ada",
            "Harbour Lane 7",
            "home stack",
            "NMC",
            "back",
            "LFP",
            "4",
            "order 9",
            "",
        ],
    );
    assert!(ran.out.contains("entry 1: passed"), "{}", ran.out);
    assert_eq!(entry(&bench, 1)["evidence"]["site"], "Harbour Lane 7");
    assert_eq!(entry(&bench, 1)["evidence"]["chemistry"], "LFP");
}

#[test]
fn an_unknown_that_fails_the_step_is_said_before_it_is_written() {
    let bench = bench();
    let ran = type_at(
        &bench,
        &["1", "", "", "home stack", "LFP", "4", "order 9", ""],
    );
    assert!(
        ran.out.contains("the step does not pass without it"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("entry 1: not passed"), "{}", ran.out);
    // The first Enter was only a warning: an answer behind it counts.
    let typed = [
        "1",
        "",
        "Harbour Lane 7",
        "home stack",
        "LFP",
        "4",
        "order 9",
        "",
    ];
    let ran = type_at(&bench, &typed);
    assert!(ran.out.contains("entry 2: passed"), "{}", ran.out);
}

#[test]
fn a_question_mark_says_what_is_wanted_and_where_it_goes() {
    let ran = type_at(&bench(), &["1", "?"]);
    for told in [
        "Enter alone: unknown; the step then does not pass.",
        "In the record: `site`.",
        "stops work",
    ] {
        assert!(ran.out.contains(told), "{told}\n{}", ran.out);
    }
}

#[test]
fn a_bang_stops_work_at_any_question_and_the_person_in_charge_lets_it_go_on() {
    let bench = bench();
    let mut typed = C01.to_vec();
    // In the middle of C02: work stops. Ada is not in charge of the work; Nora is.
    typed.extend(["", "drawing 7", "! smell at the breaker"]);
    typed.extend(["*", "2", "ada", "no", "*", "2", "nora", "2"]);
    typed.push("leave");
    let ran = type_at(&bench, &typed);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("What was typed to C02 is not kept"),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("work is stopped: smell at the breaker"),
        "{}",
        ran.out
    );
    assert_eq!(entry(&bench, 2)["kind"], "stop_work");
    assert_eq!(entry(&bench, 2)["reason"], "smell at the breaker");
    assert!(ran.out.contains("entry 3: REFUSED"), "{}", ran.out);
    assert!(ran.out.contains("by the person in charge"), "{}", ran.out);
    assert_eq!(entry(&bench, 4)["kind"], "resume");
    assert_eq!(entry(&bench, 4)["evidence"]["people_left"], false);
    assert_eq!(bench.run(&["verify", "job"]).code, 0);
}

/// "Stop" may mean the work: it is asked, and in doubt the work stops.
#[test]
fn the_word_stop_is_asked_about() {
    let bench = bench();
    let mut typed = C01.to_vec();
    typed.extend(["stop", "well"]);
    let ran = type_at(&bench, &typed);
    assert!(ran.out.contains("Stop what?"), "{}", ran.out);
    assert_eq!(entry(&bench, 2)["kind"], "stop_work");
    let ran = type_at(&bench, &["stop", "2"]);
    assert!(ran.out.contains("work is stopped"), "{}", ran.out);
    assert!(ran.code <= 1, "{}", ran.code);
}

#[test]
fn what_happens_beside_the_steps_is_written_down_with_its_module() {
    let bench = bench();
    let mut typed = C01.to_vec();
    typed.extend([
        "*",
        "3",
        "nora",
        "m2",
        "swollen",
        "F10",
        "*",
        "10",
        "nora",
        "3",
        "rusted in",
        "leave",
    ]);
    let ran = type_at(&bench, &typed);
    assert!(
        ran.out.contains("type the code that fits; F10"),
        "{}",
        ran.out
    );
    let finding = entry(&bench, 2);
    assert_eq!(finding["kind"], "finding");
    assert_eq!(finding["module"], "m2");
    assert_eq!(finding["by"], "nora");
    let stays = entry(&bench, 3);
    assert_eq!(stays["kind"], "left_behind");
    assert_eq!(stays["module"], "m3");
    assert_eq!(stays["reason"], "rusted in");
}

/// The gate is asked before the questions, so that nobody answers ten of them for nothing.
#[test]
fn people_who_may_not_are_told_before_the_questions() {
    let bench = bench();
    let ran = type_at(&bench, &["tom", "ada", "Harbour Lane 7"]);
    assert!(ran.out.contains("NOT NOW, because"), "{}", ran.out);
    assert!(ran.out.contains("no such competence"), "{}", ran.out);
    assert!(ran.out.contains("2/5"), "{}", ran.out);
}

/// The job with its record up to `step`, played into `out`.
fn begun_up_to(step: &str) -> Bench {
    let bench = Bench::with_lawful_job();
    let record = bench.read("job/record.jsonl");
    let mark = format!("\"step\": \"{step}\"");
    let before: Vec<&str> = record
        .lines()
        .take_while(|line| !line.contains(&mark))
        .collect();
    bench.write("job/record.jsonl", before.join("\n") + "\n");
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert!(ran.code <= 1, "{}{}", ran.out, ran.err);
    bench
}

/// "Is it there?" goes through the kinds by itself, asks nothing more of what is not there, and
/// has a way back into the row before.
#[test]
fn kinds_of_sources_are_asked_one_after_the_other() {
    let bench = begun_up_to("C09");
    let typed = [
        "nora", "2", // no auxiliary supply
        "1", "2", "48", "1", // a backup bus at Q2 of the plan
        "2", "2", "<", "<", "<", "2", "<",
        "2", // back from the grid over the generator, which is none
        "2", "2", // no fire system supply, no generator
        "1", "1", "230", "1", "2", "1", "QB", "58,4 V", "1", "2", "2", "2", "", "leave",
    ];
    let ran = bench.run_with_input(&["run", "out"], &(typed.join("\n") + "\n"));
    assert!(
        ran.out.contains("fire system supply: There?"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("= Q2"), "{}", ran.out);
    assert!(ran.out.contains("entry 9: passed"), "{}", ran.out);
    let text = bench.read("out/ledger/device.jsonl");
    let last: serde_json::Value = serde_json::from_str(text.lines().last().unwrap()).unwrap();
    let evidence = &last["body"]["entry"]["evidence"];
    let sources = evidence["sources"].as_array().unwrap();
    assert_eq!(sources.len(), 9);
    let of = |kind: &str| sources.iter().find(|row| row["kind"] == kind).unwrap();
    assert_eq!(of("backup_bus")["device"], "Q2");
    assert_eq!(
        of("backup_bus")["lockable"],
        false,
        "said anew after going back"
    );
    assert_eq!(of("pack")["nominal_voltage_v"], "58.4");
    assert!(
        of("vehicle").get("device").is_none(),
        "nothing more of what is not there"
    );
}

/// The pairs that the gate wants of C21 are asked for by name: L-N, L-PE, N-PE and the three of the
/// direct side (common practice, no source; the gate's own list).
#[test]
fn pairs_to_be_proved_dead_are_asked_for() {
    let bench = bench();
    let talk = Interview::begin(JobFolder::at(bench.path("job"))).unwrap();
    let frame = talk.job().frame();
    let questions = talk.questions(frame.step("C21").unwrap());
    let readings = questions.iter().find(|one| one.name == "readings").unwrap();
    let pairs: Vec<String> = readings.rows.iter().map(|row| row[0].to_string()).collect();
    assert_eq!(
        pairs,
        ["L-N", "L-PE", "N-PE", "DC+/DC-", "DC+/PE", "DC-/PE"]
    );
    assert!(readings.rows.iter().all(|row| row.len() == 2));
    assert!(!readings.only_these, "further pairs may be measured");
    let tester = questions
        .iter()
        .find(|one| one.kind == EvidenceKind::Instrument)
        .unwrap();
    assert!(!tester.choices.is_empty());
}
