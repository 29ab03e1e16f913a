//! What stands at the edge of each sum: fields that are absent or given twice, answers that must not
//! come, readings that hide something. Asked through `calc`, as an engineer asks.

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
    asked(sum, question).unwrap_or_else(|why| panic!("{sum} {question}: {why}"))
}

fn figure(answer: &Value, path: &str) -> f64 {
    answer.pointer(path).unwrap().as_f64().unwrap()
}

fn near(value: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{what}: {value} is not {expected} ± {tolerance}"
    );
}

fn says(answer: &Value, field: &str, words: &str) -> bool {
    let texts = answer[field].as_array().unwrap().iter();
    texts
        .map(|text| text.as_str().unwrap())
        .any(|text| text.contains(words))
}

/// `base` with one field changed, or taken out where the value is null.
fn changed(base: &Value, pointer: &str, value: Value) -> Value {
    let mut question = base.clone();
    let (parent, name) = pointer.rsplit_once('/').unwrap();
    let parent = question
        .pointer_mut(parent)
        .unwrap()
        .as_object_mut()
        .unwrap();
    if value.is_null() {
        parent.remove(name);
    } else {
        parent.insert(name.to_owned(), value);
    }
    question
}

fn module_lift() -> Value {
    json!({"load_kg": 48, "origin": {"h_cm": 40, "v_cm": 10}, "destination": {"h_cm": 40, "v_cm": 90},
        "lifts_per_min": 0.2, "duration_h": 1, "coupling": "poor"})
}

#[test]
fn a_refusal_names_the_field_as_it_is_written() {
    let tasks = json!({"duration_h": 1, "tasks": [
        {"load_kg": 5, "firwl_kg": 10, "lifts_per_min": 1},
        {"load_kg": 5, "firwl_kg": 10, "lifts_per_min": 1}]});
    let trend = json!({"readings": [{"minute": 0, "surface_c": 20, "ambient_c": 20},
        {"minute": 9, "surface_c": 20, "ambient_c": 20}]});
    let down = json!({"chemistry": "lfp", "cells": 16, "capacity_ah": 100, "from_percent": 80,
        "to_percent": 25, "module_resistance_ohm": 0.012, "load": {"kind": "resistor", "ohm": 5}});
    let gas = json!({"gas": "carbon_monoxide", "ppm": 100, "room_m3": 30, "air_m3_per_s": 0.05,
        "to_ppm": 35});
    for (sum, question, words) in [
        // Text where a number belongs, in an object and in an array.
        (
            "lift",
            changed(&module_lift(), "/origin/h_cm", json!("x")),
            "`origin.h_cm`: invalid type: string \"x\", expected a number",
        ),
        (
            "lift-tasks",
            changed(&tasks, "/tasks/1/load_kg", json!("x")),
            "`tasks.2.load_kg`: invalid type",
        ),
        (
            "lift-tasks",
            changed(&tasks, "/tasks/0/often", json!(1)),
            "`tasks.1.often`: unknown field",
        ),
        (
            "lift",
            changed(&module_lift(), "/team", json!(-1)),
            "`team`: invalid value",
        ),
        (
            "lift",
            changed(&module_lift(), "/origin", json!(5)),
            "`origin`: invalid type: integer `5`, expected an object",
        ),
        (
            "trend",
            changed(&trend, "/readings/1/minute", json!([1])),
            "`readings.2.minute`",
        ),
        (
            "discharge",
            changed(&down, "/load/kind", json!("lamp")),
            "`load.kind`: unknown variant `lamp`",
        ),
        (
            "discharge",
            changed(&down, "/load", json!(5)),
            "`load`: invalid type: integer `5`, expected an object",
        ),
        (
            "state-of-charge",
            json!({"cells": 16, "curve": 7}),
            "a table as CSV text",
        ),
        // Values that are absent, below 0 or in the other system of units.
        (
            "lift",
            changed(&module_lift(), "/load_kg", json!(-1)),
            "`load_kg` is -1",
        ),
        (
            "lift",
            changed(&module_lift(), "/load_kg", json!(0)),
            "`load` is 0",
        ),
        (
            "lift",
            changed(&module_lift(), "/load_kg", Value::Null),
            "`load_kg` is absent",
        ),
        (
            "lift",
            changed(&module_lift(), "/origin/v_cm", Value::Null),
            "`origin.v_cm` is absent",
        ),
        (
            "lift",
            changed(&module_lift(), "/destination/h_in", json!(9)),
            "`destination.h_in` is 9",
        ),
        (
            "lift",
            changed(&module_lift(), "/destination/a_deg", json!(181)),
            "`destination.a_deg` is 181; the sum holds for 0 to 180",
        ),
        (
            "lift",
            changed(&module_lift(), "/lifts_per_min", Value::Null),
            "`lifts_per_min` is absent",
        ),
        (
            "lift",
            changed(&module_lift(), "/destination", Value::Null),
            "`destination` is absent",
        ),
        (
            "lift",
            changed(&module_lift(), "/travel_cm", json!(80)),
            "not both",
        ),
        (
            "lift",
            changed(&module_lift(), "/duration_h", Value::Null),
            "`duration_h` is absent",
        ),
        (
            "lift",
            changed(&module_lift(), "/periods", json!([{"work_min": 30}])),
            "`periods` is 1 periods",
        ),
        (
            "lift",
            changed(&module_lift(), "/origin/w_cm", json!(30)),
            "`origin.h` is 40",
        ),
        (
            "lift-tasks",
            changed(&tasks, "/tasks/1/load_kg", json!(-1)),
            "`task 2, load_kg` is -1",
        ),
        (
            "lift-tasks",
            changed(&tasks, "/tasks/1/firwl_kg", Value::Null),
            "`task 2, firwl_kg` is absent",
        ),
        (
            "trend",
            changed(&trend, "/readings/1/minute", json!(0)),
            "`reading 2, minute` is 0",
        ),
        (
            "trend",
            changed(&trend, "/readings/1/twin_c", json!(2000)),
            "`reading 2, twin_c` is 2000",
        ),
        (
            "wait",
            json!({"resistance_ohm": 10, "from_v": 400}),
            "`capacitance_f` is absent",
        ),
        (
            "wait",
            json!({"resistance_ohm": 10, "capacitance_f": 1e-3}),
            "`from_v` is absent",
        ),
        (
            "wait",
            json!({"capacitance_f": 1e-3, "from_v": 400}),
            "`resistance_ohm` is absent",
        ),
        (
            "gas",
            changed(&gas, "/to_ppm", Value::Null),
            "`to_ppm` is absent",
        ),
        (
            "gas",
            changed(&gas, "/room_m3", Value::Null),
            "`room_m3` is absent",
        ),
        (
            "gas",
            changed(&gas, "/air_m3_per_s", Value::Null),
            "`air_m3_per_s` is absent",
        ),
        ("gas", changed(&gas, "/ppm", Value::Null), "`ppm` is absent"),
        (
            "gas",
            json!({"gas": "carbon_monoxide", "ppm": 9, "mixing_factor": 3}),
            "`room_m3` is absent",
        ),
        (
            "gas",
            changed(&gas, "/energy_wh", json!(5120)),
            "`energy_wh` is 5120",
        ),
        (
            "discharge",
            changed(&down, "/to_percent", json!(81)),
            "no more than from_percent, 80 %",
        ),
        (
            "arc",
            json!({"system_voltage_v": 400, "short_circuit_a": 2e6}),
            "0 to 1000000",
        ),
        (
            "arc",
            json!({"system_voltage_v": 400, "short_circuit_a": 3000, "distance_cm": 0.5}),
            "1 to 10000",
        ),
        (
            "arc",
            json!({"system_voltage_v": 400, "short_circuit_a": 3000, "duration_s": 3601}),
            "0 to 3600",
        ),
        (
            "arc",
            json!({"system_voltage_v": 1e300, "short_circuit_a": 3000}),
            "`system_voltage_v` is 1e300;",
        ),
    ] {
        let said = asked(sum, &question).expect_err(words);
        assert!(said.contains(words), "{sum}: {said}");
        assert!(!said.contains("f64") && !said.contains("struct"), "{said}");
    }
}

#[test]
fn hands_whose_reach_cannot_be_measured_stand_half_a_width_out() {
    // NIOSH 94-110, p. 8 (read in a restatement): H = 20 + W/2 cm, 25 + W/2 below 25 cm of height; 8 and
    // 10 inches below 10 inches.
    for (v, h) in [(24.9, 45.0), (25.0, 40.0)] {
        let wide = json!({"load_kg": 20, "origin": {"w_cm": 40, "v_cm": v}, "travel_cm": 40,
            "lifts_per_min": 0.2, "duration_h": 1, "coupling": "poor"});
        let measured = changed(&wide, "/origin", json!({"h_cm": h, "v_cm": v}));
        assert_eq!(answer("lift", &wide), answer("lift", &measured), "{v}");
    }
    for (v, h) in [(9.9, 20.0), (10.0, 18.0)] {
        let wide = json!({"units": "us", "load_lb": 20, "origin": {"w_in": 20, "v_in": v},
            "travel_in": 16, "lifts_per_min": 0.2, "duration_h": 1, "coupling": "poor"});
        let measured = changed(&wide, "/origin", json!({"h_in": h, "v_in": v}));
        assert_eq!(answer("lift", &wide), answer("lift", &measured), "{v}");
    }
}

#[test]
fn periods_of_work_decide_the_duration() {
    // NIOSH 94-110, pp. 13 to 15 (read in a restatement): 30 min, 10 of light work, 45: moderate; with 30
    // between, short. Table 5 at five a minute, hands below 75 cm: 0.80 short, 0.60 moderate, 0.35 long.
    let fm = |more: Value| {
        let mut question = json!({"load_kg": 10, "origin": {"h_cm": 30, "v_cm": 50}, "travel_cm": 30,
            "lifts_per_min": 5, "coupling": "good"});
        for (name, value) in more.as_object().unwrap() {
            question[name] = value.clone();
        }
        figure(&answer("lift", &question), "/origin/fm")
    };
    let day = |periods: &[(f64, f64)]| {
        let periods: Vec<Value> = periods
            .iter()
            .map(|(work, rest)| json!({"work_min": work, "recovery_min": rest}))
            .collect();
        fm(json!({ "periods": periods }))
    };
    near(day(&[(30.0, 10.0), (45.0, 0.0)]), 0.60, 1e-9, "moderate");
    near(day(&[(30.0, 30.0), (45.0, 0.0)]), 0.80, 1e-9, "short");
    near(day(&[(60.0, 0.0)]), 0.80, 1e-9, "an hour");
    near(day(&[(61.0, 0.0)]), 0.60, 1e-9, "more than an hour");
    near(
        day(&[(120.0, 36.0), (60.0, 0.0)]),
        0.60,
        1e-9,
        "36 min of 120",
    );
    near(
        day(&[(120.0, 35.0), (60.0, 0.0)]),
        0.35,
        1e-9,
        "35 min of 120",
    );
    near(day(&[(121.0, 400.0)]), 0.35, 1e-9, "more than two hours");
    // The same said in hours: an hour with an hour, less than that, less than 0.3 of it.
    for (hours, rest, wanted) in [
        (1.0, 1.0, 0.80),
        (1.0, 0.99, 0.60),
        (1.0, 0.29, 0.35),
        (2.0, 0.6, 0.60),
        (2.0, 0.59, 0.35),
        (2.01, 9.0, 0.35),
        (8.0, 9.0, 0.35),
    ] {
        let found = fm(json!({"duration_h": hours, "recovery_h": rest}));
        near(found, wanted, 1e-9, &format!("{hours} h, {rest} h"));
    }
    let long = json!({"load_kg": 10, "origin": {"h_cm": 30, "v_cm": 50}, "travel_cm": 30,
        "lifts_per_min": 5, "coupling": "good", "periods": [{"work_min": 240, "recovery_min": 60},
        {"work_min": 241}]});
    let said = answer("lift", &long);
    assert_eq!(said["applicable"], false);
    assert!(says(&said, "reasons", "over 8 h"));
    assert_eq!(said["lifting_index"], Value::Null);
}

#[test]
fn insulating_gloves_and_a_team_are_no_best_case() {
    // NIOSH 94-110, Table 6, notes (read in a restatement): less than optimal where gloves are needed.
    let of = |grip: &str, gloved: bool| {
        let question = changed(&module_lift(), "/coupling", json!(grip));
        answer(
            "lift",
            &changed(&question, "/insulating_gloves", json!(gloved)),
        )
    };
    let (bare, gloved, fair) = (of("good", false), of("good", true), of("fair", false));
    assert!(figure(&gloved, "/lifting_index") > figure(&bare, "/lifting_index"));
    near(
        figure(&gloved, "/lifting_index"),
        figure(&fair, "/lifting_index"),
        1e-9,
        "fair",
    );
    assert!(says(&gloved, "reasons", "insulating gloves"));
    assert_eq!(of("poor", true), of("poor", false));
    // HSE L23, paragraph 119 (read): worse on uneven ground and stairs.
    let two = answer("lift", &changed(&module_lift(), "/team", json!(2)));
    assert!(says(&two, "reasons", "uneven ground"));
    assert!(!says(&bare, "reasons", "uneven ground"));
}

#[test]
fn several_tasks_say_what_their_index_means_and_when_there_is_none() {
    let one = json!({"load_kg": 12, "origin": {"h_cm": 40, "v_cm": 60}, "destination":
        {"h_cm": 40, "v_cm": 90}, "lifts_per_min": 1});
    let base = json!({"duration_h": 1, "tasks": [one, one]});
    let fine = answer("lift-tasks", &base);
    assert_eq!(fine["applicable"], true);
    assert!(says(&fine, "reasons", "above 1"), "{fine}");
    for (pointer, value, words) in [
        ("/duration_h", json!(8.1), "over 8 h"),
        (
            "/outside_scope",
            json!(["seated_or_kneeling"]),
            "seated or kneeling",
        ),
    ] {
        let said = answer("lift-tasks", &changed(&base, pointer, value));
        assert_eq!(said["applicable"], false);
        assert_eq!(said["composite_lifting_index"], Value::Null);
        assert_eq!(said["tasks"], json!([]));
        assert!(says(&said, "reasons", words), "{said}");
    }
    // Out of reach, and faster than the table: no figure, and why.
    for (pointer, value) in [
        ("/tasks/1/origin/h_cm", json!(64)),
        ("/tasks/1/lifts_per_min", json!(16)),
        ("/tasks/1/destination/v_cm", json!(176)),
    ] {
        let said = answer("lift-tasks", &changed(&base, pointer, value));
        assert_eq!(said["composite_lifting_index"], Value::Null, "{pointer}");
        assert!(
            says(&said, "reasons", "over the limits of the method"),
            "{said}"
        );
    }
    // What makes a task harder, makes the day harder.
    for (pointer, value) in [
        ("/duration_h", json!(2)),
        ("/recovery_h", json!(0.2)),
        ("/tasks/1/coupling", json!("poor")),
        ("/tasks/1/lifts_per_min", json!(3)),
        ("/tasks/1/load_kg", json!(13)),
        ("/tasks/1/origin/a_deg", json!(30)),
    ] {
        let good = changed(&base, "/tasks/1/coupling", json!("good"));
        let harder = answer("lift-tasks", &changed(&good, pointer, value));
        assert!(
            figure(&harder, "/composite_lifting_index")
                > figure(&answer("lift-tasks", &good), "/composite_lifting_index"),
            "{pointer}"
        );
    }
    // Table 5, up to 8 h, 9 a minute: 0.15 at knuckle height, nothing below it; one low task is enough.
    for (height, some) in [(75.0, true), (74.9, false)] {
        let fast = json!({"load_kg": 5, "origin": {"h_cm": 30, "v_cm": 75}, "travel_cm": 30,
            "lifts_per_min": 4.5});
        let mut tasks = json!({"duration_h": 8, "tasks": [fast, fast]});
        tasks["tasks"][1]["origin"]["v_cm"] = json!(height);
        let found = answer("lift-tasks", &tasks);
        assert_eq!(
            found["composite_lifting_index"].is_number(),
            some,
            "{height}"
        );
    }
    // 60 lifts within 15 minutes are four a minute.
    let special = changed(&base, "/tasks/1/lifts_per_min", Value::Null);
    let special = changed(&special, "/tasks/1/lifts_in_15_min", json!(60));
    let plain = changed(&base, "/tasks/1/lifts_per_min", json!(4));
    assert_eq!(answer("lift-tasks", &special), answer("lift-tasks", &plain));
    // With one task it is the index of that lift (p. 26).
    let alone = answer("lift-tasks", &json!({"duration_h": 1, "tasks": [one]}));
    let mut lift = one.clone();
    lift["duration_h"] = json!(1);
    lift["coupling"] = json!("poor");
    let lift = answer("lift", &lift);
    near(
        figure(&alone, "/composite_lifting_index"),
        figure(&lift, "/lifting_index"),
        0.006,
        "one task",
    );
}

#[test]
fn thresholds_of_stored_charge_and_energy() {
    // Procedure, 3.1: each limit and just beyond it. Q = C V, E = C V^2 / 2.
    let exceeded = |farad: f64, from: f64, words: &str| {
        let found = answer(
            "wait",
            &json!({"resistance_ohm": 1000, "capacitance_f": farad, "from_v": from}),
        );
        let limits = found["limits"].as_array().unwrap();
        let of = limits
            .iter()
            .find(|one| one["limit"].as_str().unwrap().contains(words));
        of.unwrap_or_else(|| panic!("{words}"))["exceeded"]
            .as_bool()
            .unwrap()
    };
    for (words, farad, from, beyond) in [
        ("60 µC", 60e-6 / 100.0, 100.0, 1.001),
        ("45 µC", 45e-6 / 100.0, 100.0, 1.001),
        // 2.5 µF at 400 V is 0.2 J, 4.375 µF 0.35 J, 250 µF 20 J.
        ("0.2 J", 2.499e-6, 400.0, 1.001),
        ("350 mJ", 50e-6 / 400.0, 400.0, 1.001),
        ("20 J", 249.9e-6, 400.0, 1.001),
        (
            "100 J below 100 V",
            2.0 * 100.0 / (99.0 * 99.0),
            99.0,
            1.001,
        ),
        ("100 J below 100 V", 2.0 / (100.0 * 100.0), 100.0, 1.001),
        (
            "100 J below 100 V",
            2.0 * 0.25 / (400.0 * 400.0),
            400.0,
            1.001,
        ),
    ] {
        assert!(!exceeded(farad * 0.999, from, words), "{words} at {from} V");
        assert!(exceeded(farad * beyond, from, words), "{words} at {from} V");
    }
    // Below the voltage of the limit its charge does not count.
    assert!(!exceeded(1e-3, 60.0, "45 µC") && exceeded(1e-3, 60.1, "45 µC"));
    assert!(!exceeded(1e-3, 120.0, "350 mJ") && exceeded(1e-3, 120.1, "350 mJ"));
    // 350 mJ by itself, where the charge is small: 1 µF at 1000 V is 0.5 J and 1 mC, so by voltage.
    assert!(exceeded(0.04e-6, 5000.0, "350 mJ"), "0.5 J, 0.2 mC");
}

#[test]
fn a_tolerance_makes_the_wait_longer_and_no_figure_of_the_heat_smaller() {
    // Resistor maker's design tool no. 4 (read): 50 ohm, 195 µF, 1500 V: 45 000 W.
    let of = |tolerance: f64| {
        answer(
            "wait",
            &json!({"resistance_ohm": 50, "capacitance_f": 195e-6, "from_v": 1500,
            "to_v": 320, "resistance_tolerance": tolerance, "capacitance_tolerance": 0}),
        )
    };
    for tolerance in [0.0, 0.1, 1.0] {
        near(
            figure(&of(tolerance), "/first_power_w"),
            45_000.0,
            1e-6,
            "first power",
        );
    }
    assert!(figure(&of(0.1), "/time_constant_s") > figure(&of(0.0), "/time_constant_s"));
}

#[test]
fn what_is_from_memory_never_lets_anybody_nearer() {
    let of = |volts: f64| {
        answer(
            "arc",
            &json!({"system_voltage_v": volts, "short_circuit_a": 3000}),
        )
    };
    // The row of 301 V to 1 kV was read (3 ft 6 in and 1 ft); the one below it is from memory.
    for volts in [100.0, 300.0, 301.0, 1000.0] {
        let found = of(volts);
        near(
            figure(&found, "/limited_approach_cm"),
            107.0,
            0.4,
            "3 ft 6 in",
        );
        near(
            figure(&found, "/restricted_approach_cm"),
            30.48,
            0.1,
            "1 ft",
        );
        assert_eq!(
            says(&found, "cautions", "avoid contact"),
            volts <= 300.0,
            "{volts}"
        );
        assert_eq!(says(&found, "cautions", "gloves"), volts > 750.0, "{volts}");
    }
    assert_eq!(of(99.9)["limited_approach_cm"], Value::Null);
    // Other rows of the table for storage batteries (from memory): the formula at their corners lies
    // within half a foot of the printed boundary.
    for (volts, kiloampere, feet) in [
        (250.0, 7.0, 4.0),
        (250.0, 15.0, 6.0),
        (600.0, 1.5, 3.0),
        (600.0, 3.0, 4.0),
        (600.0, 7.0, 6.0),
        (600.0, 10.0, 8.0),
    ] {
        let found = answer(
            "arc",
            &json!({"system_voltage_v": volts,
            "short_circuit_a": kiloampere * 1000.0}),
        );
        near(
            figure(&found, "/boundary_cm") / 30.48,
            feet,
            0.7,
            "boundary",
        );
    }
}

#[test]
fn a_fire_fills_more_air_than_any_house_has() {
    // Larsson et al. 2017 (read): 20 to 200 mg/Wh, 30 ppm is 0.025 g/m3: 10 kWh fill 8000 to 80 000 m3.
    let fire = answer(
        "gas",
        &json!({"gas": "hydrogen_fluoride", "energy_wh": 10_000}),
    );
    near(figure(&fire, "/air_low_m3"), 8_000.0, 200.0, "least");
    near(figure(&fire, "/air_high_m3"), 80_000.0, 2_000.0, "most");
    assert!(says(&fire, "cautions", "phosphoryl fluoride"));
    assert!(says(&fire, "cautions", "may be entered"));
    let limits = fire["limits"].as_array().unwrap();
    assert!(limits.iter().all(|limit| limit["exceeded"].is_null()));
    let at = |ppm: f64| {
        let found = answer("gas", &json!({"gas": "hydrogen_fluoride", "ppm": ppm}));
        let limits = found["limits"].as_array().unwrap();
        limits
            .iter()
            .filter(|limit| limit["exceeded"] == true)
            .count()
    };
    assert_eq!(
        [at(3.0), at(3.1), at(6.1), at(20.1), at(30.1), at(170.1)],
        [0, 1, 2, 3, 4, 5]
    );
    let room = json!({"gas": "carbon_monoxide", "ppm": 100, "room_m3": 30, "air_m3_per_s": 0.05,
        "to_ppm": 35});
    assert!(says(&answer("gas", &room), "cautions", "ten times"));
    let mixed = changed(&room, "/mixing_factor", json!(1));
    assert!(!says(&answer("gas", &mixed), "cautions", "ten times"));
}

fn watched(surfaces: &[(f64, f64)]) -> Value {
    let readings: Vec<Value> = surfaces
        .iter()
        .map(|(minute, surface)| json!({"minute": minute, "surface_c": surface, "ambient_c": 20}))
        .collect();
    answer("trend", &json!({ "readings": readings }))
}

#[test]
fn calm_hours_do_not_hide_a_late_rise() {
    // Rule T1 (chosen here): 1.2 K or more in an hour, by the slope through four readings.
    let mut looks: Vec<(f64, f64)> = (0..20).map(|n| (f64::from(n) * 15.0, 22.0)).collect();
    let calm = watched(&looks);
    assert_eq!(calm["outcome"], "no_rule_broken");
    near(figure(&calm, "/steepest_k_per_min"), 0.0, 1e-9, "steepest");
    for (n, look) in looks.iter_mut().rev().take(5).enumerate() {
        look.1 += 0.35 * (4.0 - n as f64);
    }
    let late = watched(&looks);
    assert!(figure(&late, "/slope_k_per_min") < 0.02, "{late}");
    assert!(figure(&late, "/steepest_k_per_min") >= 0.02, "{late}");
    assert_eq!(late["rules"], json!(["T1"]));
    // Four readings within less than an hour, or three over one, judge nothing.
    let short = [(0.0, 22.0), (15.0, 22.5), (30.0, 22.9), (59.0, 23.5)];
    assert_eq!(watched(&short)["steepest_k_per_min"], Value::Null);
    assert_eq!(watched(&short)["outcome"], "not_assessable");
    assert_eq!(watched(&short[..3])["outcome"], "not_assessable");
}

#[test]
fn a_surface_of_45_degrees_is_a_finding_by_itself() {
    // Catalogue F06 (chosen here): 45 to 60 °C with nothing connected.
    for (surface, rules, outcome) in [
        (44.9, json!([]), "not_assessable"),
        (45.0, json!(["F06"]), "suspect"),
        (59.9, json!(["F06"]), "suspect"),
        (60.0, json!(["T3"]), "likely_to_react"),
    ] {
        let found = watched(&[(0.0, surface)]);
        assert_eq!(
            (&found["rules"], found["outcome"].as_str().unwrap()),
            (&rules, outcome)
        );
    }
}

#[test]
fn a_voltage_that_rises_or_lies_outside_the_curves_clears_nothing() {
    let of = |chemistry: &str, first: f64, second: f64, error: f64| {
        answer(
            "self-discharge",
            &json!({"chemistry": chemistry, "first_cell_v": first,
            "second_cell_v": second, "hours_apart": 24, "first_temperature_c": 20,
            "second_temperature_c": 20, "rested": true, "meter_error_mv": error}),
        )
    };
    assert_eq!(of("nmc", 3.70, 3.7009, 1.0)["outcome"], "no_rule_broken");
    let risen = of("nmc", 3.70, 3.7011, 1.0);
    assert_eq!(risen["outcome"], "not_assessable");
    assert!(says(&risen, "reasons", "rose"));
    assert_eq!(risen["percent_per_day"], Value::Null);
    // Above 4.2 V, the end of each of the four curves.
    let above = of("nmc", 4.30, 4.2999, 0.1);
    assert_eq!(above["outcome"], "not_assessable");
    assert!(says(&above, "reasons", "outside the curves"), "{above}");
    // V1 and V2 (chosen here) at their limits: by the maker's straight line, 10 mV for each per cent.
    let line = |fall_mv: f64| {
        answer(
            "self-discharge",
            &json!({"chemistry": "nmc", "first_cell_v": 3.5,
            "second_cell_v": 3.5 - fall_mv / 1000.0, "hours_apart": 24, "first_temperature_c": 20,
            "second_temperature_c": 25, "rested": true, "meter_error_mv": 0.1, "capacity_ah": 240,
            "curve": [{"soc": 0, "ocv_v": 3.0}, {"soc": 1, "ocv_v": 4.0}]}),
        )
    };
    for (fall, outcome) in [
        (9.8, "no_rule_broken"),
        (9.95, "not_assessable"),
        (10.01, "suspect"),
        (29.9, "suspect"),
        (30.1, "damaged"),
    ] {
        assert_eq!(line(fall)["outcome"], outcome, "{fall} mV");
    }
    // 1 %/day of 240 Ah is 0.1 A.
    near(figure(&line(10.0), "/leak_a"), 0.1, 1e-4, "leak");
}

#[test]
fn a_loss_below_nothing_opens_no_gate() {
    let base = json!({"rated_capacity_ah": 100, "removed_ah": 80, "reuse": {"outcome": 0,
        "resistance_ratio": 1.4, "self_discharge_percent_per_day": 0.2, "insulation_ohm_per_v": 900,
        "cell_spread_mv": 12, "management_readable": true, "papers_held": true}});
    assert_eq!(answer("health", &base)["may_be_offered"], true);
    let risen = changed(&base, "/reuse/self_discharge_percent_per_day", json!(-5));
    assert!(
        asked("health", &risen)
            .unwrap_err()
            .contains("self_discharge_percent_per_day")
    );
    // Health of 0.70 at the least, a ratio of 2 at the most, spread 30 mV, insulation over 500 ohm/V.
    for (pointer, good, bad, words) in [
        ("/removed_ah", json!(70), json!(69.99), "health"),
        (
            "/reuse/resistance_ratio",
            json!(2),
            json!(2.01),
            "resistance",
        ),
        ("/reuse/cell_spread_mv", json!(30), json!(30.1), "cells"),
        (
            "/reuse/insulation_ohm_per_v",
            json!(500.1),
            json!(500),
            "insulation",
        ),
        (
            "/reuse/self_discharge_percent_per_day",
            json!(0.99),
            json!(1),
            "self-discharge",
        ),
        ("/reuse/outcome", json!(0), json!(1), "findings"),
    ] {
        let good = answer("health", &changed(&base, pointer, good));
        assert_eq!(good["may_be_offered"], true, "{pointer}");
        let bad = answer("health", &changed(&base, pointer, bad));
        assert_eq!(bad["may_be_offered"], false, "{pointer}");
        assert!(says(&bad, "closed", words), "{pointer}");
    }
}

#[test]
fn a_step_of_the_current_gives_the_resistance() {
    // R = |dV/dI|: 52.8 V at rest, 52.2 V with 20 A out is 30 mohm; 15 mohm when new is twice that.
    let base = json!({"rated_capacity_ah": 100, "removed_ah": 80, "step": {"before_v": 52.8,
        "after_v": 52.2, "before_a": 0, "after_a": -20, "new_ohm": 0.015}, "reuse": {"outcome": 0,
        "self_discharge_percent_per_day": 0.2, "insulation_ohm_per_v": 900, "cell_spread_mv": 12,
        "management_readable": true, "papers_held": true}});
    let found = answer("health", &base);
    near(figure(&found, "/resistance_ohm"), 0.030, 1e-9, "ohm");
    near(figure(&found, "/resistance_ratio"), 2.0, 1e-9, "ratio");
    // Twice the new one is the last that passes; the greater of two ratios counts.
    assert!(!says(&found, "closed", "resistance"), "{found}");
    let worse = answer("health", &changed(&base, "/step/after_v", json!(52.19)));
    assert!(says(&worse, "closed", "resistance"), "{worse}");
    let said = answer(
        "health",
        &changed(&base, "/reuse/resistance_ratio", json!(2.1)),
    );
    assert!(says(&said, "closed", "resistance"), "{said}");
    for (pointer, value) in [("/step/after_a", json!(0)), ("/step/after_v", json!(53.0))] {
        let why = asked("health", &changed(&base, pointer, value)).unwrap_err();
        assert!(why.contains("step.after_a"), "{why}");
    }
}

#[test]
fn what_annex_vii_lists_stands_beside_an_offer() {
    // (EU) 2023/1542, Annex VII, parts A and B (read in comments that quote it): five and five.
    let base = json!({"rated_capacity_ah": 100, "removed_ah": 40, "removed_error_percent": 1,
        "start_low_percent": 95, "start_high_percent": 100, "end_low_percent": 48,
        "end_high_percent": 52, "reuse": {"self_discharge_percent_per_day": 0.2}});
    let found = answer("health", &base);
    let annex = found["annex_vii"].as_array().unwrap();
    let of = |part: &str| annex.iter().filter(|one| one["part"] == part).count();
    assert_eq!((of("A"), of("B")), (5, 5));
    let shown = |name: &str| {
        let one = annex.iter().find(|one| one["parameter"] == name).unwrap();
        one["shown"].as_str().map(str::to_owned)
    };
    assert_eq!(shown("remaining capacity").unwrap(), "76.15 to 93.95 Ah");
    assert_eq!(
        shown("evolution of self-discharging rates").unwrap(),
        "0.2 % a day, once"
    );
    assert_eq!(shown("ohmic resistance"), None);
    assert_eq!(shown("tracking of harmful events"), None);
    assert_eq!(
        answer("health", &changed(&base, "/reuse", Value::Null))["annex_vii"],
        json!([])
    );
}

#[test]
fn what_may_be_left_out_of_a_recyclers_year_depends_on_the_year() {
    // Worked example of the trade study, E.2, computed there: 10.000 t in and 6.298 t out are 62.98 %;
    // without O, C, Fe and P 4.828 of 7.022 t, 68.75 %; with only O left out 6.298 of 9.135 t, 68.94 %.
    // How the 2.978 and 1.470 t are shared out among the four is made up here.
    let left = |fractions: &[(&str, f64, f64)]| -> Value {
        fractions
            .iter()
            .map(|(fraction, into, out)| json!({"fraction": fraction, "input_t": into, "output_t": out}))
            .collect()
    };
    let year = |on: &str, left_out: Value| {
        asked(
            "recycling-rates",
            &json!({"kind": "lithium", "on": on, "input_t": 10.0,
            "output_t": 6.298, "left_out": left_out}),
        )
    };
    let percent = |answer: Result<Value, String>| figure(&answer.unwrap(), "/rates/0/percent");
    let oxygen = ("oxygen", 0.865, 0.0);
    let four = [
        oxygen,
        ("carbon", 0.9, 0.5),
        ("iron", 0.76, 0.65),
        ("phosphorus", 0.453, 0.32),
    ];
    near(percent(year("2029-12-31", json!([]))), 62.98, 1e-9, "all");
    near(
        percent(year("2029-12-31", left(&four))),
        68.75,
        0.015,
        "four left out",
    );
    near(
        percent(year("2030-12-31", left(&[oxygen]))),
        68.94,
        0.01,
        "oxygen left out",
    );
    for fraction in ["carbon", "iron", "phosphorus"] {
        let why = year("2030-12-31", left(&[(fraction, 0.1, 0.1)])).unwrap_err();
        assert!(why.contains(fraction) && why.contains("2(6)"), "{why}");
        assert!(year("2029-12-31", left(&[(fraction, 0.1, 0.1)])).is_ok());
    }
    for fraction in ["oxygen", "chlorine", "sulphur"] {
        assert!(
            year("2030-12-31", left(&[(fraction, 0.1, 0.1)])).is_ok(),
            "{fraction}"
        );
    }
    // What is left of the output may be nothing.
    let all = left(&[("iron", 8.0, 6.298)]);
    near(
        percent(year("2029-12-31", all)),
        0.0,
        1e-9,
        "nothing counts",
    );
    for (wrong, words) in [
        (left(&[oxygen, oxygen]), "each once"),
        (left(&[("iron", 10.0, 0.0)]), "less than the whole input"),
        (left(&[("iron", 9.0, 6.3)]), "no more than the output"),
        (left(&[("iron", 0.1, 0.2)]), "at most the input"),
    ] {
        let why = year("2029-12-31", wrong).unwrap_err();
        assert!(why.contains(words), "{why}");
    }
}

#[test]
fn cells_without_a_good_curve_hold_as_much_as_their_charge_says() {
    // A rising voltage puts less than its share below any charge, so the charge is the upper figure.
    for chemistry in ["sodium_ion", "lto", "unknown"] {
        let found = answer(
            "energy",
            &json!({"chemistry": chemistry, "marked_energy_wh": 1000,
            "low_percent": 20, "high_percent": 30}),
        );
        near(figure(&found, "/high_wh"), 300.0, 1e-9, chemistry);
        near(figure(&found, "/low_wh"), 0.0, 1e-9, chemistry);
        assert!(
            says(&found, "notes", "share of the energy taken"),
            "{found}"
        );
    }
}

#[test]
fn a_coarse_meter_cannot_show_that_a_voltage_stands_still() {
    // Under 1 mV a cell in 30 min (read); a last place of 0.1 V on 16 cells is 6 mV a cell.
    let of = |resolution: f64, first: f64| {
        answer(
            "state-of-charge",
            &json!({"chemistry": "lfp", "cells": 16, "module_voltage_v": 49.6,
            "cell_spread_mv": 5, "instrument": {"percent_of_reading": 0.05, "digits": 0,
            "resolution_v": resolution}, "temperature_c": 25, "rested_h": 1.5, "current_a": 0,
            "stable_readings": {"first_v": first, "second_v": 49.6, "minutes_apart": 30}}),
        )
    };
    assert_eq!(of(0.01, 49.6)["verdict"], "proven");
    assert_eq!(of(0.01, 49.61)["verdict"], "proven");
    assert_eq!(of(0.01, 49.62)["verdict"], "not_proven");
    let coarse = of(0.1, 49.6);
    assert_eq!(coarse["verdict"], "not_proven");
    assert!(says(&coarse, "reasons", "too coarse"), "{coarse}");
    let wild = json!({"chemistry": "lfp", "cells": 16, "rested_h": 1.5, "stable_readings":
        {"first_v": 1e300, "second_v": 1e300, "minutes_apart": 30}});
    assert!(
        asked("state-of-charge", &wild)
            .unwrap_err()
            .contains("stable_readings.first_v")
    );
}

#[test]
fn a_pole_on_the_case_is_no_insulation_at_all() {
    let of = |minus: f64, plus: f64, with: f64| {
        asked(
            "insulation",
            &json!({"method": "two_reading", "pole_to_pole_v": 400,
            "negative_to_case_v": minus, "positive_to_case_v": plus, "known_ohm": 40_000,
            "with_known_v": with, "nominal_voltage_v": 400}),
        )
    };
    // Plus lies on the case: minus reads the whole battery, whatever is put across it.
    let bare = of(400.0, 0.0, 400.0).unwrap();
    assert_eq!(bare["class"], "damaged");
    near(figure(&bare, "/ohm"), 0.0, 1e-9, "ohm");
    assert_eq!(of(0.0, 399.0, 399.2).unwrap()["class"], "damaged");
    // A reading that does not fall and is not that of a bare pole is a slip.
    assert!(
        of(220.0, 180.0, 220.0)
            .unwrap_err()
            .contains("with_known_v")
    );
    // No more than the battery on both sides together.
    assert!(
        of(300.0, 121.0, 60.0)
            .unwrap_err()
            .contains("positive_to_case_v")
    );
    assert!(of(299.0, 120.0, 60.0).is_ok());
    assert!(
        of(401.0, 0.0, 60.0)
            .unwrap_err()
            .contains("negative_to_case_v")
    );
    assert!(
        of(0.0, 401.0, 60.0)
            .unwrap_err()
            .contains("positive_to_case_v")
    );
}

#[test]
fn a_discharge_says_what_a_counter_is_to_show_and_when_to_stop() {
    // B.3: greatest charge to take out = (SoC_hi - target) x C_hi: 55 % of 100 Ah.
    let found = answer(
        "discharge",
        &json!({"chemistry": "lfp", "cells": 16, "capacity_ah": 100,
        "from_percent": 80, "to_percent": 25, "module_resistance_ohm": 0.012,
        "load": {"kind": "resistor", "ohm": 5.0}}),
    );
    near(figure(&found, "/charge_ah"), 55.0, 0.01, "charge");
    assert!(says(&found, "cautions", "45 degC"));
}

#[test]
fn a_screen_and_a_count_bound_a_charge_by_themselves() {
    // A.4, step 7, and A.7: the value and its accuracy, 5 where none is stated; 75 Ah out of 100.
    let screen = |percent: f64, accuracy: Value| {
        let found = answer(
            "state-of-charge",
            &json!({"chemistry": "lfp", "cells": 16, "management":
            {"percent": percent, "accuracy_percent": accuracy}}),
        );
        let bounds = (
            figure(&found, "/low_percent"),
            figure(&found, "/high_percent"),
        );
        (bounds, found["verdict"].as_str().unwrap().to_owned())
    };
    assert_eq!(screen(20.0, Value::Null), ((15.0, 25.0), "proven".into()));
    assert_eq!(screen(25.0, json!(5)), ((20.0, 30.0), "proven".into()));
    assert_eq!(screen(25.1, json!(5)), ((20.1, 30.1), "not_proven".into()));
    assert_eq!(screen(35.1, json!(5)), ((30.1, 40.1), "disproven".into()));
    // Disproven only above the limit: it may be just at it.
    assert_eq!(screen(35.0, json!(5)), ((30.0, 40.0), "not_proven".into()));
    assert_eq!(screen(98.0, json!(5)), ((93.0, 100.0), "disproven".into()));
    assert_eq!(screen(2.0, json!(5)), ((0.0, 7.0), "proven".into()));
    // No more can come out than was in: 95 % of 100 Ah at the start, whatever the counter says.
    let count = |out: f64| {
        asked(
            "state-of-charge",
            &json!({"chemistry": "lfp", "cells": 16, "coulomb":
            {"anchor_high_percent": 95, "removed_ah": out, "gain_error_percent": 0, "offset_a": 0,
            "hours": 4, "largest_capacity_ah": 100}}),
        )
    };
    near(
        figure(&count(95.0).unwrap(), "/high_percent"),
        0.0,
        1e-9,
        "all of it",
    );
    let why = count(95.1).unwrap_err();
    assert!(
        why.contains("coulomb.removed_ah") && why.contains("95 % of 100 Ah"),
        "{why}"
    );
}

#[test]
fn cells_in_series_are_1_to_1000_in_every_sum() {
    for (sum, question) in [
        ("state-of-charge", json!({"chemistry": "lfp"})),
        (
            "energy",
            json!({"chemistry": "lfp", "marked_energy_wh": 5120, "nominal_voltage_v": 51.2}),
        ),
        (
            "discharge",
            json!({"chemistry": "lfp", "capacity_ah": 1, "from_percent": 26, "to_percent": 25,
                "module_resistance_ohm": 0.012, "load": {"kind": "current", "ampere": 1}}),
        ),
    ] {
        for (cells, good) in [(0, false), (1, true), (1000, true), (1001, false)] {
            let found = asked(sum, &changed(&question, "/cells", json!(cells)));
            assert_eq!(found.is_ok(), good, "{sum} {cells}: {found:?}");
        }
    }
}

#[test]
fn nothing_is_lifted_beyond_the_limits_of_either_system() {
    // NIOSH 94-110, pp. 8 to 11 (read in a restatement): H 63 cm or 25 in, V 175 cm or 70 in, D the same,
    // A 135 degrees; below 25 cm or 10 in both count as that.
    for (units, length, load, [h, v, d]) in [
        ("metric", "cm", "load_kg", [63.0, 175.0, 175.0]),
        ("us", "in", "load_lb", [25.0, 70.0, 70.0]),
    ] {
        let of = |reach: f64, height: f64, travel: f64, twist: f64| {
            let question = json!({"units": units, load: 10, "origin": {format!("h_{length}"): reach,
                format!("v_{length}"): height, "a_deg": twist}, format!("travel_{length}"): travel,
                "lifts_per_min": 0.2, "duration_h": 1, "coupling": "good"});
            answer("lift", &question)["lifting_index"].as_f64()
        };
        let (near_h, knee, little) = if units == "us" {
            (10.0, 30.0, 10.0)
        } else {
            (25.0, 75.0, 25.0)
        };
        for (inside, outside) in [
            (of(h, knee, little, 0.0), of(h + 0.01, knee, little, 0.0)),
            (
                of(near_h, v, little, 0.0),
                of(near_h, v + 0.01, little, 0.0),
            ),
            (of(near_h, knee, d, 0.0), of(near_h, knee, d + 0.01, 0.0)),
            (
                of(near_h, knee, little, 135.0),
                of(near_h, knee, little, 135.01),
            ),
        ] {
            assert!(
                inside.is_some() && outside.is_none(),
                "{units}: {inside:?} {outside:?}"
            );
        }
        let best = of(near_h, knee, little, 0.0);
        assert_eq!(of(near_h - 1.0, knee, little - 1.0, 0.0), best);
        assert!(of(near_h + 1.0, knee, little, 0.0) > best);
        assert!(of(near_h, knee, little + 5.0, 0.0) > best);
    }
}
