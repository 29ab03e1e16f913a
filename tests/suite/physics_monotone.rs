//! Every input pulls its answers one way: more volts never mean less waiting, a greater distance never
//! more heat. Asked through `calc`, so that the rounding of the answers is part of it.

use packdown::actions::{Calculated, find_sum};
use proptest::prelude::*;
use serde_json::{Value, json};

fn answer(sum: &str, input: &Value) -> Option<Value> {
    match find_sum(sum).unwrap().calculate(&input.to_string()) {
        Ok(Calculated::One(text)) => Some(serde_json::from_str(&text).unwrap()),
        Ok(other) => panic!("{other:?}"),
        // Outside the domain of the sum.
        Err(_) => None,
    }
}

/// What an input does to an answer: `+` raises it, `-` lowers it; neither must it.
const PULLS: &[(&str, &str, &str)] = &[
    ("wait", "resistance_ohm", "+computed_s +required_s"),
    (
        "wait",
        "capacitance_f",
        "+computed_s +required_s +energy_j +charge_c",
    ),
    (
        "wait",
        "from_v",
        "+computed_s +required_s +energy_j +charge_c",
    ),
    ("wait", "to_v", "-computed_s -required_s"),
    ("wait", "resistance_tolerance", "+computed_s +required_s"),
    ("wait", "capacitance_tolerance", "+computed_s +required_s"),
    ("wait", "label_s", "+required_s"),
    ("short-circuit", "module_voltage_v", "+voltage_v +current_a"),
    ("short-circuit", "module_resistance_ohm", "-current_a"),
    ("short-circuit", "link_resistance_ohm", "-current_a"),
    (
        "arc",
        "system_voltage_v",
        "+incident_energy_cal_cm2 +boundary_cm +tester_least_v",
    ),
    (
        "arc",
        "short_circuit_a",
        "+arc_current_a +incident_energy_cal_cm2 +boundary_cm",
    ),
    ("arc", "duration_s", "+incident_energy_cal_cm2 +boundary_cm"),
    ("arc", "distance_cm", "-incident_energy_cal_cm2"),
    (
        "energy",
        "rated_capacity_ah",
        "+rated_energy_wh +low_wh +high_wh",
    ),
    (
        "energy",
        "nominal_voltage_v",
        "+rated_energy_wh +low_wh +high_wh",
    ),
    ("energy", "low_percent", "+low_wh"),
    ("energy", "high_percent", "+high_wh"),
    ("energy", "health_low", "+low_wh"),
    ("energy", "health_high", "+high_wh"),
    ("gas", "ppm", "+mg_per_m3 +clearing_min"),
    ("gas", "room_m3", "+clearing_min"),
    ("gas", "air_m3_per_s", "-clearing_min"),
    ("gas", "mixing_factor", "+clearing_min"),
    ("gas", "to_ppm", "-clearing_min"),
    ("health", "removed_ah", "+capacity_low_ah +capacity_high_ah"),
    (
        "health",
        "removed_error_percent",
        "-capacity_low_ah +capacity_high_ah",
    ),
    ("health", "start_high_percent", "-capacity_low_ah"),
    ("health", "end_low_percent", "+capacity_low_ah"),
    ("health", "end_high_percent", "+capacity_high_ah"),
    ("insulation", "pole_to_pole_v", "+ohm +ohm_per_v"),
    ("insulation", "known_ohm", "+ohm +ohm_per_v"),
    ("insulation", "with_known_v", "-ohm -ohm_per_v"),
    ("self-discharge", "first_cell_v", "+mv_per_day"),
    ("self-discharge", "second_cell_v", "-mv_per_day"),
    ("self-discharge", "hours_apart", "-mv_per_day"),
    ("discharge", "capacity_ah", "+hours +energy_wh -c_rate"),
    ("discharge", "from_percent", "+hours +energy_wh"),
    ("discharge", "to_percent", "-hours -energy_wh"),
    (
        "state-of-charge",
        "module_voltage_v",
        "+low_percent +high_percent",
    ),
    (
        "state-of-charge",
        "cell_spread_mv",
        "-low_percent +high_percent",
    ),
    ("recycling-rates", "output_t", "+percent"),
    ("recycling-rates", "input_t", "-percent"),
];

/// A question in the middle of its domain, with room for the raised input.
fn middle(sum: &str) -> Value {
    match sum {
        "wait" => {
            json!({"resistance_ohm": 10_000, "capacitance_f": 470e-6, "from_v": 400, "to_v": 50,
            "resistance_tolerance": 0.05, "capacitance_tolerance": 0.2, "label_s": 4})
        }
        "short-circuit" => json!({"module_voltage_v": 51.2, "module_resistance_ohm": 0.012,
            "modules_in_series": 4, "strings_in_parallel": 2, "link_resistance_ohm": 0.001}),
        "arc" => json!({"system_voltage_v": 400, "short_circuit_a": 3000, "duration_s": 0.5,
            "distance_cm": 45}),
        "energy" => json!({"chemistry": "lfp", "rated_capacity_ah": 100, "nominal_voltage_v": 51.2,
            "low_percent": 20, "high_percent": 60, "health_low": 0.6, "health_high": 0.9}),
        "gas" => json!({"gas": "carbon_monoxide", "ppm": 1200, "room_m3": 30, "air_m3_per_s": 0.05,
            "to_ppm": 35, "mixing_factor": 3}),
        "health" => json!({"rated_capacity_ah": 100, "removed_ah": 40, "removed_error_percent": 1,
            "start_low_percent": 90, "start_high_percent": 95, "end_low_percent": 30,
            "end_high_percent": 40}),
        "insulation" => json!({"method": "two_reading", "pole_to_pole_v": 400,
            "negative_to_case_v": 220, "positive_to_case_v": 180, "known_ohm": 40_000,
            "with_known_v": 63.309, "nominal_voltage_v": 400}),
        "self-discharge" => json!({"chemistry": "nmc", "first_cell_v": 3.70, "second_cell_v": 3.69,
            "hours_apart": 48, "first_temperature_c": 20, "second_temperature_c": 21, "rested": true,
            "capacity_ah": 100, "meter_error_mv": 0.1}),
        "discharge" => {
            json!({"chemistry": "lfp", "cells": 16, "capacity_ah": 20, "from_percent": 60,
            "to_percent": 25, "module_resistance_ohm": 0.012, "load": {"kind": "resistor", "ohm": 5}})
        }
        "state-of-charge" => json!({"chemistry": "lfp", "cells": 16, "module_voltage_v": 52.4,
            "cell_spread_mv": 10, "temperature_c": 25, "rested_h": 24, "current_a": 0, "instrument":
            {"percent_of_reading": 0.5, "digits": 2, "resolution_v": 0.01}}),
        "recycling-rates" => json!({"kind": "lithium", "on": "2027-12-31", "input_t": 7.022,
            "output_t": 4.828}),
        other => panic!("{other}"),
    }
}

/// The figure of that name, wherever it stands first.
fn figure(answer: &Value, name: &str) -> Option<f64> {
    match answer {
        Value::Object(fields) => fields
            .get(name)
            .and_then(Value::as_f64)
            .or_else(|| fields.values().find_map(|part| figure(part, name))),
        Value::Array(items) => items.iter().find_map(|item| figure(item, name)),
        _ => None,
    }
}

/// Whether `raised` lies where each pull says, against `base`.
fn held(base: &Value, raised: &Value, pulls: &str) -> Result<(), String> {
    for pull in pulls.split(' ') {
        let (way, name) = pull.split_at(1);
        let (Some(before), Some(after)) = (figure(base, name), figure(raised, name)) else {
            return Err(format!("{name} is not in the answer"));
        };
        let wrong = if way == "+" {
            after < before
        } else {
            after > before
        };
        if wrong {
            return Err(format!("{pull}: {before}, raised {after}"));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn each_input_pulls_its_answers_one_way(shift in 0.9..1.1f64, more in 0.0..0.3f64) {
        for (sum, input, pulls) in PULLS {
            let mut question = middle(sum);
            let middle = question[*input].as_f64().unwrap();
            question[*input] = json!(middle * shift);
            let Some(base) = answer(sum, &question) else { continue };
            question[*input] = json!(middle * shift * (1.0 + more));
            let Some(raised) = answer(sum, &question) else { continue };
            let said = held(&base, &raised, pulls);
            prop_assert!(said.is_ok(), "{sum} {input}: {said:?}");
        }
    }

    #[test]
    fn heavier_modules_hold_more_of_everything(mass in 1.0..100.0f64, more in 0.0..50.0f64) {
        let of = |kg: f64| answer("materials", &json!({"cell": "lfp", "module_mass_kg": kg})).unwrap();
        let (base, raised) = (of(mass), of(mass + more));
        for (a, b) in base["materials"].as_array().unwrap().iter()
            .zip(raised["materials"].as_array().unwrap())
        {
            for name in ["low_kg", "middle_kg", "high_kg"] {
                prop_assert!(b[name].as_f64() >= a[name].as_f64(), "{a} {b}");
            }
        }
    }

    #[test]
    fn a_hotter_last_reading_is_never_calmer(
        surfaces in prop::collection::vec(20.0..45.0f64, 4), more in 0.0..10.0f64,
    ) {
        let of = |last: f64| {
            let readings: Vec<Value> = (0..4).map(|n| json!({"minute": 20 * n, "ambient_c": 20,
                "surface_c": surfaces[n] + if n == 3 { last } else { 0.0 }})).collect();
            answer("trend", &json!({"readings": readings, "load_off_h": 3})).unwrap()
        };
        let (base, raised) = (of(0.0), of(more));
        prop_assert!(raised["slope_k_per_min"].as_f64() >= base["slope_k_per_min"].as_f64());
        // A rule that is broken stays broken.
        for rule in base["rules"].as_array().unwrap() {
            prop_assert!(raised["rules"].as_array().unwrap().contains(rule), "{base} {raised}");
        }
    }
}

/// The check itself notices a pull the wrong way, and every row moves its answer at least once.
#[test]
fn every_row_moves_something_and_a_wrong_one_is_noticed() {
    for (sum, input, pulls) in PULLS {
        let mut question = middle(sum);
        let base = answer(sum, &question).unwrap();
        let raised = [1.02, 1.1, 1.5, 2.0, 9.0].iter().find_map(|times| {
            question[*input] = json!(middle(sum)[*input].as_f64().unwrap() * times);
            answer(sum, &question).filter(|raised| {
                let moved = |pull: &str| {
                    figure(raised, pull.split_at(1).1) != figure(&base, pull.split_at(1).1)
                };
                pulls.split(' ').any(moved)
            })
        });
        let raised = raised.unwrap_or_else(|| panic!("{sum} {input} moves nothing"));
        held(&base, &raised, pulls).unwrap();
        let swapped: Vec<String> = pulls
            .split(' ')
            .map(|pull| {
                let (way, name) = pull.split_at(1);
                format!("{}{name}", if way == "+" { "-" } else { "+" })
            })
            .collect();
        assert!(
            held(&base, &raised, &swapped.join(" ")).is_err(),
            "{sum} {input}"
        );
    }
}
