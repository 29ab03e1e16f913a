//! EPCIS events of the sample jobs: our own strict schema, what no schema sees, and corrections.
//!
//! The schema of the standard may not be copied; `tests/outside/epcis.py` holds the same documents
//! and the same planted faults against it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use packdown::ids::read_scanned;
use serde_json::{Value, json};

use crate::json_schema::{faults, faults_in};
use crate::program::Bench;

fn schema() -> Value {
    serde_json::from_str(include_str!("../../docs/epcis-events.schema.json")).unwrap()
}

/// Plays `name` with lines added to its record, and issues the events.
fn events_of_sample(name: &str, more: &[Value]) -> Value {
    let bench = Bench::with_lawful_job();
    let folder = if name == "lawful-stack" {
        bench.path("job")
    } else {
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("sample-jobs")
            .join(name)
    };
    let mut record = std::fs::read_to_string(folder.join("record.jsonl")).unwrap();
    for line in more {
        record.push_str(&format!("{line}\n"));
    }
    bench.write("record.jsonl", record);
    let folder = folder.to_str().unwrap();
    let ran = bench.run(&["run", folder, "--record", "record.jsonl", "--out", "out"]);
    assert!(matches!(ran.code, 0 | 1), "{}{}", ran.out, ran.err);
    let issued = bench.run(&["issue", "out", "--draft", "--paper", "epcis"]);
    assert_eq!(issued.code, 0, "{}{}", issued.out, issued.err);
    serde_json::from_str(&bench.read("out/epcis.jsonld")).unwrap()
}

fn list(document: &Value) -> &Vec<Value> {
    document["epcisBody"]["eventList"].as_array().unwrap()
}

const SAMPLES: [&str; 6] = [
    "corner-shop-rack",
    "flooded-garage",
    "gannet-light-return",
    "harbour-lane-stack",
    "mill-street-swollen",
    "orchard-hybrid-return",
];

#[test]
fn the_events_of_every_sample_fit_our_schema_and_tell_the_whole_way() {
    for sample in SAMPLES {
        let document = events_of_sample(sample, &[]);
        assert_eq!(
            faults(&schema(), &document),
            Vec::<String>::new(),
            "{sample}"
        );
        check_what_no_schema_sees(&document);
        let steps: BTreeSet<&str> = list(&document)
            .iter()
            .map(|event| event["bizStep"].as_str().unwrap())
            .collect();
        for step in [
            "https://packdown.example/epcis/steps/de-energising",
            "inspecting",
            "removing",
            "packing",
            "accepting",
        ] {
            // The flooded garage is never made dead: its pack is carried out whole.
            let left_out = sample == "flooded-garage" && step.contains("de-energising");
            assert!(left_out || steps.contains(step), "{sample}: {step}");
        }
    }
}

/// Rules of the standard that its schema does not hold (CBV and EPCIS 2.0, second-hand).
fn check_what_no_schema_sees(document: &Value) {
    let mut ids = BTreeMap::new();
    let mut inside: BTreeMap<String, String> = BTreeMap::new();
    for event in list(document) {
        let id = event["eventID"].as_str().unwrap();
        let declared = event.get("errorDeclaration").is_some();
        let earlier = ids.insert(id.to_owned(), event.clone());
        assert_eq!(declared, earlier.is_some(), "{id} stands twice");
        for name in ["epcList", "childEPCs"] {
            for thing in event
                .get(name)
                .and_then(Value::as_array)
                .into_iter()
                .flatten()
            {
                let read = read_scanned(thing.as_str().unwrap());
                assert!(read.is_valid(), "{thing}: check digit or form");
            }
        }
        for report in event["sensorElementList"][0]["sensorReport"]
            .as_array()
            .into_iter()
            .flatten()
        {
            assert!(
                report.get("value").is_some()
                    || report["minValue"].as_f64() <= report["maxValue"].as_f64()
            );
        }
        if let Some(from) = event.get("sourceList") {
            assert_ne!(
                from[0]["source"],
                event["destinationList"][0]["destination"]
            );
        }
        let step = event["bizStep"].as_str().unwrap();
        // Each excludes the others for one arrival.
        assert!(!["receiving", "arriving", "decommissioning"].contains(&step));
        // A thing is in one container at a time.
        if event["type"] == "AggregationEvent" && !declared {
            let container = event["parentID"].as_str().unwrap();
            for thing in event["childEPCs"].as_array().unwrap() {
                let other = inside.insert(thing.to_string(), container.to_owned());
                assert!(other.is_none_or(|other| other == container), "{thing}");
            }
        }
    }
}

#[test]
fn our_schema_refuses_each_planted_fault() {
    let document = events_of_sample("harbour-lane-stack", &[]);
    let schema = schema();
    let mut planted = 0;
    for name in [
        "@context",
        "type",
        "schemaVersion",
        "creationDate",
        "epcisBody",
    ] {
        let mut changed = document.clone();
        changed.as_object_mut().unwrap().remove(name);
        assert!(!faults(&schema, &changed).is_empty(), "passes: {name}");
    }
    let mut refused = |event: &Value, what: &str| {
        assert!(
            !faults_in(&schema, "event", event).is_empty(),
            "passes: {what} {event}"
        );
        planted += 1;
    };
    for event in list(&document) {
        let put = |name: &str, value: Value| {
            let mut changed = event.clone();
            changed[name] = value;
            changed
        };
        for name in event.as_object().unwrap().keys() {
            let step = event["bizStep"].as_str().unwrap();
            let may_be_absent = match name.as_str() {
                "sensorElementList" | "packdown:purpose" | "packdown:reason" => true,
                "packdown:releasedBy" | "packdown:receivedBy" => step != "accepting",
                "packdown:seals" => event["disposition"] != "container_closed",
                _ => false,
            };
            if !may_be_absent {
                let mut changed = event.clone();
                changed.as_object_mut().unwrap().remove(name);
                refused(&changed, &format!("without {name}"));
            }
        }
        refused(&put("action", "observe".into()), "action in lower case");
        refused(&put("bizStep", "dismantling".into()), "a step of nobody");
        refused(&put("disposition", "broken".into()), "a state of nobody");
        refused(&put("eventTimeZoneOffset", "CET".into()), "a zone by name");
        refused(&put("eventTime", "2026-11-24 09:20".into()), "no zone");
        refused(&put("eventID", "urn:uuid:1".into()), "no UUID");
        refused(&put("note", "x".into()), "a field without prefix");
        refused(&put("packdown:note", "x".into()), "a field nobody knows");
        let declared = json!({"reason": "did_not_occur"});
        refused(&put("errorDeclaration", declared), "declared at no time");
        if event.get("sensorElementList").is_some() {
            for (name, value) in [
                ("uom", json!("volt")),
                ("value", json!("48.1")),
                ("type", json!("StateOfCharge")),
                ("minValue", json!(-1)),
            ] {
                let mut changed = event.clone();
                changed["sensorElementList"][0]["sensorReport"][0][name] = value;
                refused(&changed, name);
            }
        }
        for name in ["epcList", "childEPCs"] {
            if let Some(things) = event.get(name) {
                refused(&put(name, json!([])), "no thing");
                refused(&put(name, json!([things[0], things[0]])), "a thing twice");
                refused(&put(name, json!(["LK51-24-008817"])), "a serial as a name");
            }
        }
    }
    assert!(planted > 250, "{planted}");
}

#[test]
fn a_wrong_reading_is_declared_and_given_again_as_corrected() {
    // Entry 41 is the reading of the first module, 93 the release.
    let correction = json!({
        "kind": "correction", "amends": 41, "at": "2026-11-24T12:05:00+00:00", "by": "nora",
        "reason": "digits turned round", "evidence": {"terminal_voltage_v": 52.43},
    });
    let plain = events_of_sample("lawful-stack", &[]);
    let corrected = events_of_sample("lawful-stack", &[correction]);
    assert_eq!(faults(&schema(), &corrected), Vec::<String>::new());
    check_what_no_schema_sees(&corrected);
    // Nothing is changed: what was said before stands as it was said.
    let count = list(&plain).len();
    assert_eq!(list(&corrected)[..count], list(&plain)[..]);
    let voltage = |event: &Value| {
        event["sensorElementList"][0]["sensorReport"]
            .as_array()
            .and_then(|reports| reports.iter().find(|report| report["type"] == "Voltage"))
            .map(|report| report["value"].clone())
    };
    let [declared, right] = &list(&corrected)[count..] else {
        panic!("{corrected}");
    };
    let old = list(&plain)
        .iter()
        .find(|event| event["eventID"] == declared["eventID"])
        .unwrap();
    assert_eq!(voltage(old), Some(json!(52.34)));
    assert_eq!(voltage(declared), Some(json!(52.34)));
    assert_eq!(voltage(right), Some(json!(52.43)));
    assert_eq!(
        declared["errorDeclaration"],
        json!({
            "declarationTime": "2026-11-24T12:05:00.000Z",
            "reason": "incorrect_data",
            "correctiveEventIDs": [right["eventID"]],
        })
    );
    assert_eq!(right["eventTime"], old["eventTime"]);
}

#[test]
fn what_is_taken_back_is_declared_not_to_have_happened() {
    let correction = json!({
        "kind": "correction", "amends": 93, "at": "2026-11-24T12:05:00+00:00", "by": "nora",
        "reason": "the van did not leave",
    });
    let document = events_of_sample("lawful-stack", &[correction]);
    assert_eq!(faults(&schema(), &document), Vec::<String>::new());
    check_what_no_schema_sees(&document);
    let last = list(&document).last().unwrap();
    assert_eq!(last["bizStep"], "accepting");
    assert_eq!(
        last["errorDeclaration"],
        json!({"declarationTime": "2026-11-24T12:05:00.000Z", "reason": "did_not_occur"})
    );
}

/// A value as a person types it.
fn said(value: &Value) -> String {
    match value {
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.into(),
        Value::String(text) => text.clone(),
        _ => value.to_string(),
    }
}

#[test]
fn entries_are_told_apart_where_papers_were_issued_between_them() {
    let bench = Bench::with_lawful_job();
    let record = bench.read("job/record.jsonl");
    // All but the last entry, the release; then papers by `run` and two issues, then the rest.
    let (early, last) = record.trim_end().rsplit_once('\n').unwrap();
    let run = |arguments: &[&str]| {
        let ran = bench.run(arguments);
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    };
    bench.write("early.jsonl", format!("{early}\n"));
    // Leaves with 1: the last step is still open.
    bench.run(&["run", "job", "--record", "early.jsonl", "--out", "out"]);
    run(&["issue", "out", "--draft", "--paper", "epcis"]);
    run(&["issue", "out", "--draft", "--paper", "epcis"]);
    let last: Value = serde_json::from_str(last).unwrap();
    let evidence: Vec<String> = last["evidence"]
        .as_object()
        .unwrap()
        .iter()
        .map(|(name, value)| format!("--evidence={name}={}", said(value)))
        .collect();
    let (at, by) = (last["at"].as_str().unwrap(), last["by"].as_str().unwrap());
    let mut arguments = vec!["step", "out", "--step", "Z06", "--at", at, "--by", by];
    arguments.extend(evidence.iter().map(String::as_str));
    run(&arguments);
    run(&[
        "step",
        "out",
        "--kind",
        "correction",
        "--amends",
        "93",
        "--by",
        "nora",
        "--at",
        "2026-11-24T12:05:00+00:00",
        "--reason",
        "the van did not leave",
    ]);
    run(&["issue", "out", "--draft", "--paper", "epcis"]);
    let document: Value = serde_json::from_str(&bench.read("out/epcis.jsonld")).unwrap();
    check_what_no_schema_sees(&document);
    let told = list(&document).last().unwrap();
    assert_eq!(told["errorDeclaration"]["reason"], json!("did_not_occur"));
    assert_eq!(told["bizStep"], "accepting");
    // What the correction names by its number in the record stands three places later in the log.
    let seq = |event: &Value| event["packdown:ledger"]["packdown:seq"].as_u64();
    assert_eq!(seq(told), Some(96), "{told}");
}
