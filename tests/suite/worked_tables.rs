//! Tables of the trade study that are held against the sums row by row: `tests/cases/*.csv`, each
//! computed there by a script apart from the program unless its rows say "read".

use std::collections::BTreeMap;

use packdown::physics::{
    CellKind, LiftInput, MakerCurve, Meter, RestedReading, SelfDischargeInput, lift,
    published_named, self_discharge, state_of_charge,
};
use serde_json::json;

fn rows(text: &'static str) -> Vec<BTreeMap<String, String>> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(Result::unwrap)
        .collect()
}

fn number(row: &BTreeMap<String, String>, name: &str) -> f64 {
    row[name].parse().unwrap()
}

fn near(value: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{what}: {value} is not {expected} ± {tolerance}"
    );
}

#[test]
fn one_low_cell_hides_behind_a_module_voltage() {
    // `soc_imbalance_trap.csv`: 15 cells alike and one low, what the mean says and what is true.
    let rows = rows(include_str!("../cases/soc_imbalance_trap.csv"));
    assert_eq!(rows.len(), 9);
    for row in &rows {
        let set = &row["set"];
        let what = format!("{set} {}", row["voltage_of_16th_v"]);
        let curve = published_named(set).unwrap();
        let (many, one) = (
            number(row, "soc_of_15_cells"),
            number(row, "voltage_of_16th_v"),
        );
        let high = curve.voltage(many);
        near(high, number(row, "voltage_of_15_cells_v"), 0.000_051, &what);
        let module = 15.0 * high + one;
        near(module, number(row, "module_v"), 0.000_6, &what);
        let by_mean = 100.0 * curve.state_of_charge(module / 16.0);
        near(by_mean, number(row, "soc_read_from_mean_pct"), 0.06, &what);
        let low = curve.state_of_charge(one);
        let truth = 100.0 * (15.0 * many + low) / 16.0;
        near(truth, number(row, "true_mean_soc_pct"), 0.06, &what);
        // So the module voltage by itself says nothing, and the cells hold the truth.
        let reading = RestedReading {
            chemistry: if set.starts_with("lfp") {
                CellKind::Lfp
            } else {
                CellKind::Nmc
            },
            cells: 16,
            module_voltage_v: Some(module),
            instrument: Some(Meter {
                percent_of_reading: 0.0,
                digits: 1.0,
                resolution_v: 0.005,
            }),
            temperature_c: Some(25.0),
            rested_h: Some(24.0),
            current_a: Some(0.0),
            ..RestedReading::default()
        };
        let blind = state_of_charge(&reading).unwrap();
        assert_eq!(
            (blind.low_percent, blind.high_percent),
            (0.0, 100.0),
            "{what}"
        );
        let mut cells = vec![high; 15];
        cells.push(one);
        let seen = state_of_charge(&RestedReading {
            cell_voltages_v: Some(cells),
            ..reading
        })
        .unwrap();
        assert!(seen.low_percent <= 100.0 * low + 1e-9, "{what}");
        assert!(seen.high_percent >= 100.0 * many - 1e-9, "{what}");
    }
}

#[test]
fn voltages_of_the_curves_each_five_per_cent() {
    // `ocv_sensitivity.csv`, from the published parameters; the compiled tables round to 0.1 mV.
    let rows = rows(include_str!("../cases/ocv_sensitivity.csv"));
    let mut sets = std::collections::BTreeSet::new();
    for row in &rows {
        let name = format!("{}_{}", row["chemistry"], row["set"]);
        let curve = published_named(&name).unwrap_or_else(|| panic!("no curve {name}"));
        let soc = number(row, "soc");
        near(
            curve.voltage(soc),
            number(row, "ocv_v"),
            0.000_11,
            &format!("{name} {soc}"),
        );
        // What 5 mV to each side leave open (A.2); on a plateau 0.1 mV of rounding is 0.3 points.
        let side = |mv: f64| 100.0 * curve.state_of_charge(curve.voltage(soc) + mv / 1000.0);
        near(
            (side(5.0) - side(-5.0)) / 2.0,
            number(row, "soc_half_width_pct_at_5mv"),
            0.3,
            &format!("{name} {soc} half width"),
        );
        sets.insert(name);
    }
    assert_eq!(sets.len(), rows.len() / 21);
    assert!(sets.len() >= 11, "{sets:?}");
}

#[test]
fn the_meters_of_the_trade_study() {
    // A.3: 16 cells at 52.8 V; 0.5 % and 2 digits of 0.01 V or 0.1 V, 0.05 % and 2 digits of 0.001 V.
    for (percent, resolution, mv) in [(0.5, 0.01, 17.75), (0.5, 0.1, 29.0), (0.05, 0.001, 1.8)] {
        let reading = RestedReading {
            chemistry: CellKind::Lfp,
            cells: 16,
            module_voltage_v: Some(52.8),
            cell_spread_mv: Some(10.0),
            instrument: Some(Meter {
                percent_of_reading: percent,
                digits: 2.0,
                resolution_v: resolution,
            }),
            temperature_c: Some(25.0),
            rested_h: Some(24.0),
            current_a: Some(0.0),
            ..RestedReading::default()
        };
        let found = state_of_charge(&reading).unwrap().meter_error_mv.unwrap();
        near(found, mv, 0.026, &resolution.to_string());
    }
}

#[test]
fn what_a_millivolt_a_day_is() {
    // `self_discharge_mv_per_day.csv`: slope over a point to each side, per cent a day for 1 mV a day,
    // and milliamperes of 100 Ah.
    let rows = rows(include_str!("../cases/self_discharge_mv_per_day.csv"));
    let mut asked = 0;
    for row in &rows {
        let set = &row["set"];
        let curve = published_named(set).unwrap();
        let soc = number(row, "soc");
        let what = format!("{set} {soc}");
        let slope = (curve.voltage(soc + 0.01) - curve.voltage(soc - 0.01)) * 500.0;
        near(slope, number(row, "slope_mv_per_pct"), 0.051, &what);
        // The sum itself, with that one curve as the maker's; below 2 mV a point it gives no figure.
        let points = (0..=100)
            .map(|n| f64::from(n) / 100.0)
            .map(|soc| json!({"soc": soc, "ocv_v": curve.voltage(soc)}));
        let maker: MakerCurve = serde_json::from_value(points.collect::<Vec<_>>().into()).unwrap();
        let input = SelfDischargeInput {
            chemistry: CellKind::Nmc,
            first_cell_v: curve.voltage(soc) + 0.000_5,
            second_cell_v: curve.voltage(soc) - 0.000_5,
            hours_apart: 24.0,
            first_temperature_c: 25.0,
            second_temperature_c: 25.0,
            rested: true,
            meter_error_mv: Some(0.0),
            capacity_ah: Some(100.0),
            curve: Some(maker),
        };
        let answer = self_discharge(&input).unwrap();
        let Some(percent) = answer.percent_per_day else {
            assert!(slope < 2.6, "{what}: {:?}", answer.reasons);
            continue;
        };
        asked += 1;
        // At the point itself the slope is that of one side or the other.
        let sides =
            [soc, soc + 0.01].map(|up| (curve.voltage(up) - curve.voltage(up - 0.01)) * 1000.0);
        let (flat, steep) = (sides[0].min(sides[1]), sides[0].max(sides[1]));
        assert!(
            (1.0 / steep - 0.011..=1.0 / flat + 0.011).contains(&percent),
            "{what}: {percent}, {flat} to {steep} mV"
        );
        let both = number(row, "pct_per_day_for_1mv_per_day");
        near(1.0 / slope, both, 0.02 * both + 0.006, &what);
        let leak = answer.leak_a.unwrap() * 1000.0;
        near(leak, percent * 100.0 / 2.4, 0.6, &what);
    }
    assert!(asked > rows.len() / 3, "{asked} of {}", rows.len());
}

#[test]
fn multipliers_as_tables_1_to_4_and_7_print_them() {
    // NIOSH 94-110 revised 9/2021, Tables 1 to 4 and 7: each value of each table in its own units.
    let rows = rows(include_str!("../cases/niosh_tables1to4.csv"));
    let mut seen = BTreeMap::new();
    for row in &rows {
        let us = row["units"] == "us";
        // Where a limit lies inside every table.
        let (mut h, mut v, mut d, mut a) = if us {
            (10.0, 30.0, 10.0, 0.0)
        } else {
            (25.0, 75.0, 25.0, 0.0)
        };
        let value = number(row, "value");
        match row["variable"].as_str() {
            "H" => h = value,
            "V" => v = value,
            "D" => d = value,
            "A" => a = value,
            other => panic!("{other}"),
        }
        let input: LiftInput = serde_json::from_value(if us {
            json!({"units": "us", "load_lb": 10, "origin": {"h_in": h, "v_in": v, "a_deg": a},
                "travel_in": d, "duration_h": 1, "lifts_per_min": 0, "coupling": "good"})
        } else {
            json!({"load_kg": 10, "origin": {"h_cm": h, "v_cm": v, "a_deg": a}, "travel_cm": d,
                "duration_h": 1, "lifts_per_min": 0, "coupling": "good"})
        })
        .unwrap();
        let end = lift(&input).unwrap().origin.unwrap();
        let found = match row["variable"].as_str() {
            "H" => end.hm,
            "V" => end.vm,
            "D" => end.dm,
            _ => end.am,
        };
        let what = format!("{} {} {value}", row["units"], row["variable"]);
        // Two places, and half a digit more where the manual's own rounding differs.
        near(
            found,
            number(row, "multiplier_from_formula"),
            0.005_1,
            &what,
        );
        *seen.entry(row["variable"].clone()).or_insert(0) += 1;
    }
    assert!(
        seen.values().all(|count| *count >= 10) && seen.len() == 4,
        "{seen:?}"
    );
    for row in self::rows(include_str!("../cases/niosh_table7_cm.csv")) {
        for (units, below, at) in [("metric", 74.9, 75.0), ("us", 29.9, 30.0)] {
            for (v, column) in [(below, "v_lt_30in_75cm"), (at, "v_ge_30in_75cm")] {
                let (h, v_name, load, travel) = if units == "us" {
                    ("h_in", "v_in", "load_lb", "travel_in")
                } else {
                    ("h_cm", "v_cm", "load_kg", "travel_cm")
                };
                let input: LiftInput = serde_json::from_value(json!({"units": units, load: 10,
                    "origin": {h: 30, v_name: v}, travel: 25, "lifts_per_min": 0, "duration_h": 1,
                    "coupling": row["coupling"]}))
                .unwrap();
                let end = lift(&input).unwrap().origin.unwrap();
                near(end.cm, number(&row, column), 1e-9, &row["coupling"]);
            }
        }
    }
}

#[test]
fn teams_by_the_strictest_published_rule() {
    // `team_lift_examples.csv`: two bear 2/3, three 1/2 of their sum (HSE L23, paragraph 120, read);
    // the 0.85 rule of the table is never stricter and not used.
    for row in rows(include_str!("../cases/team_lift_examples.csv")) {
        let load = number(&row, "load_kg");
        // H is chosen so that one person's limit is that of the row.
        let wanted = number(&row, "one_person_rwl_kg");
        let index = |team: u32| {
            let h = 25.0 * 23.0 / wanted;
            let input: LiftInput = serde_json::from_value(json!({"load_kg": load,
                "origin": {"h_cm": h, "v_cm": 75}, "duration_h": 1, "coupling": "good",
                "travel_cm": 25, "lifts_per_min": 0.2, "team": team}))
            .unwrap();
            lift(&input).unwrap().lifting_index.unwrap()
        };
        let what = &row["load_kg"];
        near(index(1), number(&row, "index_one_person"), 0.011, what);
        let two = number(&row, "index_two_persons_two_thirds_rule");
        near(index(2), two, 0.011, what);
        near(
            index(3),
            number(&row, "index_three_persons_half_rule"),
            0.011,
            what,
        );
        assert!(two >= number(&row, "index_two_persons_0.85_rule"));
    }
}

#[test]
fn lifts_in_fifteen_minutes_and_pauses() {
    // NIOSH 94-110 pp. 14 and 16 (read in a restatement); the second print of p. 16, 3.4, is its slip.
    use packdown::physics::{Duration, duration_class, frequency_multiplier};
    for row in rows(include_str!("../cases/niosh_frequency_examples.csv")) {
        let lifts =
            number(&row, "lifts_per_min_while_working") * number(&row, "minutes_worked_in_15");
        let input: LiftInput = serde_json::from_value(json!({"load_kg": 10,
            "origin": {"h_cm": 25, "v_cm": 75}, "travel_cm": 25, "duration_h": 1,
            "coupling": "good", "lifts_in_15_min": lifts}))
        .unwrap();
        let found = lift(&input).unwrap().origin.unwrap().fm;
        let rate = number(&row, "f_result");
        near(
            found,
            frequency_multiplier(rate, Duration::Short, false),
            0.000_5,
            &row["case"],
        );
    }
    let cases = rows(include_str!("../cases/niosh_duration_examples.csv"));
    assert_eq!(cases.len(), 3);
    for row in &cases {
        let pattern = &row["pattern_minutes_lift/light/lift"];
        let minutes: Vec<f64> = pattern
            .split(|sign: char| !sign.is_ascii_digit())
            .filter_map(|part| part.parse().ok())
            .collect();
        let work = [
            (minutes[0], minutes[1]),
            (minutes.get(2).copied().unwrap_or(10.0), 0.0),
        ];
        let wanted = if row["category"].starts_with("short") {
            Duration::Short
        } else {
            Duration::Moderate
        };
        assert_eq!(duration_class(&work), wanted, "{pattern}");
    }
}
