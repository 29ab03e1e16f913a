//! What stands beside a figure: limits with what each is for, cautions, and where the range of a
//! refusal is from.

use packdown::actions::{Calculated, find_sum};
use serde_json::{Value, json};

fn asked(sum: &str, question: &Value) -> Result<Value, String> {
    match find_sum(sum).unwrap().calculate(&question.to_string()) {
        Ok(Calculated::One(text)) => Ok(serde_json::from_str(&text).unwrap()),
        Ok(other) => panic!("{other:?}"),
        Err(error) => Err(error.to_string()),
    }
}

fn answer(sum: &str, question: &Value) -> Value {
    asked(sum, question).unwrap()
}

fn says(answer: &Value, field: &str, words: &str) -> bool {
    let texts = answer[field].as_array().unwrap();
    texts
        .iter()
        .any(|text| text.as_str().unwrap().contains(words))
}

#[test]
fn the_limits_of_the_voltage_say_what_each_is_for_and_when_it_is_reached() {
    // Procedure, 3.2 (what each limit is for) and 3.1: 1 mF, 47 kohm, 450 V: 94.7 s to 60 V, 103.3 s
    // to 50 V, checked by hand there.
    let found = answer(
        "wait",
        &json!({"resistance_ohm": 47_000, "capacitance_f": 1e-3, "from_v": 450}),
    );
    let limits = found["voltage_limits"].as_array().unwrap();
    let of = |volts: f64| {
        let one = limits.iter().find(|one| one["limit_v"] == volts).unwrap();
        (one["reached_s"].as_f64().unwrap(), one.to_string())
    };
    for (volts, seconds, words) in [
        (120.0, 62.1, "extra-low voltage"),
        (60.0, 94.7, "IEC 60204-1, 6.2.4 (second-hand)"),
        (50.0, 103.3, "1910.333(a)(1)"),
    ] {
        let (reached, text) = of(volts);
        assert!((reached - seconds).abs() < 0.06, "{volts}: {reached}");
        assert!(text.contains(words), "{text}");
    }
    // From below a limit it is there at once; without figures nobody knows.
    let low = answer(
        "wait",
        &json!({"resistance_ohm": 47_000, "capacitance_f": 1e-3, "from_v": 55}),
    );
    assert_eq!(low["voltage_limits"][1]["reached_s"], 0.0);
    assert!(low["voltage_limits"][2]["reached_s"].as_f64().unwrap() > 4.0);
    let label = answer("wait", &json!({"label_s": 300}));
    assert_eq!(label["voltage_limits"][1]["reached_s"], Value::Null);
}

#[test]
fn an_insulation_comes_with_what_it_was_to_be_measured_with() {
    let two = |known: f64| {
        json!({"method": "two_reading", "pole_to_pole_v": 400, "negative_to_case_v": 220,
            "positive_to_case_v": 180, "known_ohm": known, "with_known_v": 63.309,
            "nominal_voltage_v": 400})
    };
    // ISO 6469 method, read: Ro = required ohm/V times nominal, 20 % to each side: 32 to 48 kohm, or
    // 160 to 240 kohm for 500 ohm/V.
    for (known, fits) in [
        (40_000.0, true),
        (32_000.0, true),
        (31_000.0, false),
        (49_000.0, false),
        (160_000.0, true),
        (241_000.0, false),
    ] {
        let found = answer("insulation", &two(known));
        assert_eq!(!says(&found, "cautions", "within 20 %"), fits, "{known}");
        assert!(says(&found, "cautions", "10 Mohm"));
        assert!(says(&found, "cautions", "no insulation tester"));
    }
    let class = answer(
        "insulation",
        &json!({"method": "class", "ohm": 30_000, "working_voltage_v": 51.2}),
    );
    assert!(says(&class, "cautions", "half of its working voltage"));
}

#[test]
fn a_nominal_voltage_that_no_cell_of_the_kind_has_is_told() {
    // Nominal voltages of cells, B.1 (from memory): 3.2, 3.6 to 3.7, 2.3 to 2.4, 3.0 to 3.7 V.
    let of = |chemistry: &str, cells: u32, volts: f64| {
        let question = json!({"chemistry": chemistry, "cells": cells, "nominal_voltage_v": volts,
            "rated_capacity_ah": 100});
        says(
            &answer("energy", &question),
            "notes",
            "chemistry or number of cells is wrong",
        )
    };
    for (chemistry, cells, volts) in [
        ("lfp", 16, 51.2),
        ("lfp", 15, 48.0),
        ("lfp", 16, 48.0),
        ("nmc", 14, 51.8),
        ("nmc", 14, 50.4),
        ("nca", 13, 46.8),
        ("lto", 20, 46.0),
        ("sodium_ion", 16, 49.6),
        ("unknown", 16, 10.0),
    ] {
        assert!(!of(chemistry, cells, volts), "{chemistry} {cells} {volts}");
    }
    for (chemistry, cells, volts) in [
        ("lfp", 14, 51.8),
        ("nmc", 16, 51.2),
        ("lto", 16, 51.2),
        ("lfp", 15, 51.2),
    ] {
        assert!(of(chemistry, cells, volts), "{chemistry} {cells} {volts}");
    }
}

#[test]
fn a_refusal_says_where_its_range_is_from() {
    for (sum, question, words) in [
        (
            "arc",
            json!({"system_voltage_v": 1500, "short_circuit_a": 1000}),
            "annex D.5.1, from memory",
        ),
        (
            "lift",
            json!({"load_kg": 20, "origin": {"h_cm": 40, "v_cm": 10}, "lifts_per_min": 0.2,
                "duration_h": 1, "coupling": "poor", "team": 5}),
            "HSE L23, paragraph 120",
        ),
        (
            "recycling-rates",
            json!({"kind": "lithium", "on": "2030-12-31", "input_t": 2, "output_t": 1,
                "left_out": [{"fraction": "iron", "input_t": 0.5}]}),
            "(EU) 2025/606, annex, 2(6)",
        ),
        (
            "insulation",
            json!({"method": "two_reading", "pole_to_pole_v": 300, "negative_to_case_v": 220,
                "positive_to_case_v": 180, "known_ohm": 40_000, "with_known_v": 63,
                "nominal_voltage_v": 400}),
            "UN R100",
        ),
        (
            "recycling-rates",
            json!({"kind": "lithium", "on": "2027-12-31", "input_t": 1, "output_t": 2}),
            "(EU) 2025/606",
        ),
        ("energy", json!({}), "49 CFR 171.8"),
        (
            "wait",
            json!({"resistance_ohm": 1e300, "capacitance_f": 1e300, "from_v": 400}),
            "can be written down",
        ),
    ] {
        let said = asked(sum, &question).unwrap_err();
        assert!(said.contains(words), "{sum}: {said}");
    }
}
