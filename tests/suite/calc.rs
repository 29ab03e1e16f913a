//! `packdown calc`: forms of input and answer, refusals, exit codes, schemas.

use serde_json::{Value, json};

use crate::program::{Bench, Ran};

const A1: &str = r#"{"chemistry":"lfp","cells":16,"module_voltage_v":52.80,"cell_voltages_v":null,"cell_spread_mv":10,"instrument":{"percent_of_reading":0.5,"digits":2,"resolution_v":0.01},"temperature_c":25,"rested_h":24,"current_a":0,"last":"unknown","limit_percent":30,"curve":null}"#;

fn calc(name: &str, input: &str) -> Ran {
    Bench::with_lawful_job().run_with_input(&["calc", name, "-"], input)
}

fn holds(answer: &Value, expected: &Value) {
    for (name, value) in expected.as_object().unwrap() {
        match value {
            Value::Object(_) => holds(&answer[name], value),
            Value::Number(number) => {
                assert_eq!(answer[name].as_f64(), number.as_f64(), "{name}: {answer}");
            }
            other => assert_eq!(&answer[name], other, "{name}"),
        }
    }
}

#[test]
fn the_agreed_examples_to_the_letter() {
    // Example A1, B1, the published capacitor example and the 48 kg module of the trade study.
    let cases = [
        (
            "state-of-charge",
            A1,
            json!({"low_percent": 25.2, "high_percent": 99.0, "error_mv": 35.25,
            "meter_error_mv": 17.75, "verdict": "not_proven", "proving_cell_voltage_v": 3.179}),
        ),
        (
            "discharge",
            r#"{"chemistry":"lfp","cells":16,"capacity_ah":100,"from_percent":80,"to_percent":25,"module_resistance_ohm":0.012,"load":{"kind":"resistor","ohm":5.0}}"#,
            json!({"hours": 5.244, "energy_wh": 2884.3, "start": {"voltage_v": 52.962,
            "current_a": 10.592, "power_w": 561.0}, "c_rate": 0.106, "temperature_rise_k": 0.55}),
        ),
        (
            "wait",
            r#"{"resistance_ohm":10000,"capacitance_f":470e-6,"from_v":400,"to_v":50,"resistance_tolerance":0,"capacitance_tolerance":0,"label_s":null}"#,
            json!({"computed_s": 9.77, "required_s": 10.0, "energy_j": 37.6, "time_constant_s": 4.7,
            "charge_c": 0.188}),
        ),
        (
            "lift",
            r#"{"units":"metric","load_kg":48,"origin":{"h_cm":40,"v_cm":10,"a_deg":0},"destination":{"h_cm":40,"v_cm":90,"a_deg":0},"lifts_per_min":0.2,"duration_h":1,"coupling":"poor","team":1}"#,
            json!({"origin": {"rwl_kg": 9.13, "li": 5.26}, "lifting_index": 5.26}),
        ),
    ];
    for (name, input, expected) in cases {
        let ran = calc(name, input);
        assert_eq!(ran.code, 0, "{name}: {}", ran.err);
        holds(&serde_json::from_str(&ran.out).unwrap(), &expected);
    }
}

/// The parts of the agreed answers that have no figure in the agreement: by their formulas.
#[test]
fn the_agreed_answers_have_all_their_parts() {
    let charge: Value = serde_json::from_str(&calc("state-of-charge", A1).out).unwrap();
    assert!(!charge["reasons"].as_array().unwrap().is_empty());
    let lifted: Value = serde_json::from_str(
        &calc(
            "lift",
            r#"{"units":"metric","load_kg":48,"origin":{"h_cm":40,"v_cm":10,"a_deg":0},"destination":{"h_cm":40,"v_cm":90,"a_deg":0},"lifts_per_min":0.2,"duration_h":1,"coupling":"poor","team":1}"#,
        )
        .out,
    )
    .unwrap();
    // NIOSH 94-110 (restatement read): 25/40, 1 - 0.003 |10 - 75|, 0.82 + 4.5/80, and at 90 cm
    // 1 - 0.003 |90 - 75|.
    for (end, vm) in [("origin", 0.805), ("destination", 0.955)] {
        for (name, value) in [
            ("hm", 0.625),
            ("vm", vm),
            ("dm", 0.876),
            ("am", 1.0),
            ("fm", 1.0),
            ("cm", 0.9),
        ] {
            let found = lifted[end][name].as_f64().unwrap();
            assert!((found - value).abs() < 0.000_6, "{end} {name}: {found}");
        }
    }
    let down: Value = serde_json::from_str(
        &calc(
            "discharge",
            r#"{"chemistry":"lfp","cells":16,"capacity_ah":100,"from_percent":80,"to_percent":25,"module_resistance_ohm":0.012,"load":{"kind":"resistor","ohm":5.0}}"#,
        )
        .out,
    )
    .unwrap();
    // Worked discharge B1: 51.941 V and 10.388 A at the end.
    holds(
        &down["end"],
        &json!({"voltage_v": 51.941, "current_a": 10.388}),
    );
}

/// One question for each sum, and for each way to ask it.
const ASKED: [(&str, &str); 18] = [
    ("state-of-charge", A1),
    (
        "discharge",
        r#"{"chemistry":"lfp","cells":16,"capacity_ah":100,"from_percent":99,"to_percent":25,"module_resistance_ohm":0.012,"load":{"kind":"power","watt":1000}}"#,
    ),
    (
        "discharge",
        r#"{"chemistry":"lfp","cells":16,"capacity_ah":100,"from_percent":80,"to_percent":25,"module_resistance_ohm":0.012,"load":{"kind":"current","ampere":30}}"#,
    ),
    (
        "wait",
        r#"{"resistance_ohm":10000,"capacitance_f":470e-6,"from_v":400,"to_v":50,"label_s":300}"#,
    ),
    (
        "lift",
        r#"{"load_kg":48,"origin":{"h_cm":40,"v_cm":10},"destination":{"h_cm":40,"v_cm":90},"lifts_per_min":0.2,"duration_h":1,"coupling":"poor","team":2}"#,
    ),
    (
        "lift-tasks",
        r#"{"units":"us","duration_h":1,"tasks":[{"load_lb":30,"lifts_per_min":1,"firwl_lb":20},{"load_lb":20,"lifts_per_min":2,"firwl_lb":20}]}"#,
    ),
    (
        "arc",
        r#"{"system_voltage_v":400,"short_circuit_a":3000,"tester_rating_v":1000}"#,
    ),
    (
        "short-circuit",
        r#"{"module_voltage_v":12,"module_resistance_ohm":0.005}"#,
    ),
    (
        "insulation",
        r#"{"method":"table","installation_v":400,"measured_mohm":2}"#,
    ),
    (
        "insulation",
        r#"{"method":"class","ohm":180000,"working_voltage_v":400}"#,
    ),
    (
        "insulation",
        r#"{"method":"two_reading","pole_to_pole_v":400,"negative_to_case_v":220,"positive_to_case_v":180,"known_ohm":40000,"with_known_v":63.309,"nominal_voltage_v":400}"#,
    ),
    (
        "trend",
        r#"{"readings":[{"minute":0,"surface_c":20,"ambient_c":20},{"minute":20,"surface_c":21,"ambient_c":20},{"minute":40,"surface_c":22,"ambient_c":20},{"minute":60,"surface_c":24,"ambient_c":20}],"load_off_h":3}"#,
    ),
    (
        "self-discharge",
        r#"{"chemistry":"nmc","first_cell_v":3.7,"second_cell_v":3.69,"hours_apart":48,"first_temperature_c":20,"second_temperature_c":21,"rested":true,"capacity_ah":100}"#,
    ),
    (
        "energy",
        r#"{"chemistry":"lfp","rated_capacity_ah":100,"nominal_voltage_v":51.2,"marked_energy_wh":5000,"low_percent":20,"high_percent":60}"#,
    ),
    (
        "health",
        r#"{"rated_capacity_ah":100,"removed_ah":40,"removed_error_percent":1,"start_low_percent":95,"start_high_percent":100,"end_low_percent":48,"end_high_percent":52,"step":{"before_v":52.8,"after_v":52.2,"before_a":0,"after_a":-20,"new_ohm":0.02},"reuse":{"outcome":0}}"#,
    ),
    (
        "gas",
        r#"{"gas":"hydrogen_fluoride","ppm":170,"energy_wh":10000,"room_m3":30,"air_m3_per_s":0.05,"to_ppm":3}"#,
    ),
    ("materials", r#"{"cell":"lfp","module_mass_kg":50}"#),
    (
        "recycling-rates",
        r#"{"kind":"lithium","on":"2027-12-31","input_t":7.022,"output_t":4.828,"materials":[{"material":"lithium","input_t":0.1003,"output_t":0.0752}]}"#,
    ),
];

/// Every name of a field that a schema documents, or that an answer has.
fn names(value: &Value, of_schema: bool, found: &mut std::collections::BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (name, part) in fields {
                if !of_schema {
                    found.insert(name.clone());
                } else if name == "properties" {
                    found.extend(part.as_object().unwrap().keys().cloned());
                }
                names(part, of_schema, found);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| names(item, of_schema, found)),
        _ => {}
    }
}

#[test]
fn every_field_of_every_answer_is_in_its_schema() {
    let bench = Bench::with_lawful_job();
    let mut asked = std::collections::BTreeSet::new();
    for (name, question) in ASKED {
        let ran = bench.run_with_input(&["calc", name, "-"], question);
        assert_eq!(ran.code, 0, "{name}: {}", ran.err);
        let answer: Value = serde_json::from_str(&ran.out).unwrap();
        let schema = bench.run(&["schema", &format!("calc-{name}")]).out;
        let schema: Value = serde_json::from_str(&schema).unwrap();
        let mut documented = std::collections::BTreeSet::new();
        let mut given = std::collections::BTreeSet::new();
        names(&schema["answer"], true, &mut documented);
        names(&answer, false, &mut given);
        let missing: Vec<_> = given.difference(&documented).collect();
        assert!(missing.is_empty(), "{name}: {missing:?} not in the schema");
        asked.insert(name);
    }
    let all: std::collections::BTreeSet<&str> =
        packdown::actions::SUMS.iter().map(|sum| sum.name).collect();
    assert_eq!(asked, all);
}

#[test]
fn an_answer_has_the_shape_of_its_question() {
    let array = calc("state-of-charge", &format!("[{A1},\n{A1}]"));
    let answers: Vec<Value> = serde_json::from_str(&array.out).unwrap();
    assert_eq!(answers.len(), 2);
    let lines = calc("state-of-charge", &format!("{A1}\n\n{A1}\n"));
    assert_eq!(lines.code, 0, "{}", lines.err);
    assert_eq!(lines.out.lines().count(), 2);
    for line in lines.out.lines() {
        assert_eq!(serde_json::from_str::<Value>(line).unwrap(), answers[0]);
    }
}

#[test]
fn rows_of_csv_are_answered_one_a_line() {
    let csv = "id,chemistry,cells,module_voltage_v,cell_spread_mv,instrument.percent_of_reading,\
               instrument.digits,instrument.resolution_v,temperature_c,rested_h,current_a,curve\n\
               A1,lfp,16,52.80,10,0.5,2,0.01,25,24,0,\n\
               A4,lfp,16,49.60,10,0.5,2,0.01,25,24,0,\n";
    let ran = calc("state-of-charge", csv);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answers: Vec<Value> = ran
        .out
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    // Worked examples A1 and A4.
    holds(
        &answers[0],
        &json!({"id": "A1", "low_percent": 25.2, "high_percent": 99.0}),
    );
    holds(
        &answers[1],
        &json!({"id": "A4", "high_percent": 15.2, "verdict": "proven"}),
    );
    let wrong = calc("state-of-charge", &csv.replace("49.60", "-1"));
    // The row above stands, as in the good table.
    assert_eq!((wrong.code, wrong.out.lines().count()), (4, 1));
    assert!(ran.out.starts_with(&wrong.out));
    assert!(
        wrong.err.contains("line 3") && wrong.err.contains("the 1 row above"),
        "{}",
        wrong.err
    );
}

#[test]
fn what_cannot_be_is_refused_with_the_domain() {
    let falling = A1.replace(
        r#""curve":null"#,
        r#""curve":[{"soc":0,"ocv_v":3.2},{"soc":1,"ocv_v":3.1}]"#,
    );
    for (name, input, words) in [
        ("state-of-charge", falling.as_str(), "rises strictly"),
        ("state-of-charge", &A1.replace(":16", ":0"), "1 to 1000"),
        (
            "wait",
            r#"{"resistance_ohm":-1,"capacitance_f":1,"from_v":1}"#,
            "above 0",
        ),
        (
            "wait",
            r#"{"resistnce_ohm":1}"#,
            "did you mean `resistance_ohm`",
        ),
        ("wait", "{", "EOF"),
        ("wait", "", "is empty"),
        ("wait", "{}\n{\"label_s\":-1}\n", "line 2"),
        ("energy", "[{\"marked_energy_wh\":5},{}]", "item 2"),
    ] {
        let ran = calc(name, input);
        assert_eq!(ran.code, 4, "{input}: {}", ran.err);
        assert!(ran.err.contains(words), "{input}: {}", ran.err);
        assert_eq!(ran.out, "", "{input}");
    }
    assert_eq!(calc("astrology", "{}").code, 2);
}

#[test]
fn text_explains_with_formula_and_source() {
    let bench = Bench::with_lawful_job();
    bench.write("reading.json", A1);
    let ran = bench.run(&[
        "calc",
        "state-of-charge",
        "reading.json",
        "--format",
        "text",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    // In the order of its form, with units.
    assert!(
        ran.out
            .starts_with("low: 25.2 %\nhigh: 99.0 %\nerror: 35.25 mV\n"),
        "{}",
        ran.out
    );
    for words in [
        "verdict: not_proven",
        "proving cell voltage: 3.179 V",
        "formula: ",
        "source: ",
        "holds for: ",
        "leaves out: ",
    ] {
        assert!(ran.out.contains(words), "{words}");
    }
}

#[test]
fn every_sum_documents_every_field() {
    fn described(schema: &Value, what: &str) {
        let parts = schema["$defs"].as_object().into_iter().flatten();
        for (name, part) in parts.chain([(&what.to_owned(), schema)]) {
            for (field, of) in part["properties"].as_object().into_iter().flatten() {
                assert!(
                    of["description"].is_string() || of["const"].is_string(),
                    "{name}.{field}"
                );
            }
        }
    }
    let bench = Bench::with_lawful_job();
    for sum in packdown::actions::SUMS {
        let ran = bench.run(&["schema", &format!("calc-{}", sum.name)]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        let both: Value = serde_json::from_str(&ran.out).unwrap();
        described(&both["input"], sum.name);
        described(&both["answer"], sum.name);
    }
}
