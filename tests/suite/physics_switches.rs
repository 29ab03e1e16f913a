//! Inputs that are yes or no, a list, or may be absent: more evidence never widens what is known of
//! the charge, a doubt never narrows it, and a bad sign never opens a gate.

use packdown::physics::{
    self, CellKind, CoulombCount, LastCurrent, MakerCurve, ManagementValue, Meter, Proof,
    RestedReading, StableReadings, published, state_of_charge,
};
use proptest::prelude::*;
use serde_json::{Value, json};

/// Bounds, per cent.
fn bounds(reading: &RestedReading) -> (f64, f64) {
    let found = state_of_charge(reading).unwrap();
    assert!(found.low_percent <= found.high_percent);
    (found.low_percent, found.high_percent)
}

/// Whether `inner` lies within `outer`.
fn within(inner: (f64, f64), outer: (f64, f64)) -> bool {
    inner.0 >= outer.0 - 1e-9 && inner.1 <= outer.1 + 1e-9
}

fn reading(kind: CellKind, cells: Vec<f64>) -> RestedReading {
    RestedReading {
        chemistry: kind,
        cells: cells.len() as u32,
        cell_voltages_v: Some(cells),
        instrument: Some(Meter {
            percent_of_reading: 0.05,
            digits: 2.0,
            resolution_v: 0.001,
        }),
        temperature_c: Some(25.0),
        rested_h: Some(30.0),
        current_a: Some(0.0),
        ..RestedReading::default()
    }
}

fn kinds() -> impl Strategy<Value = CellKind> {
    prop::sample::select(vec![
        CellKind::Lfp,
        CellKind::Nmc,
        CellKind::Nca,
        CellKind::Nco,
        CellKind::Lco,
    ])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    /// A module is as full as its fullest cell may be, and as empty as its emptiest.
    #[test]
    fn a_cell_between_the_others_changes_nothing_and_one_outside_widens(
        kind in kinds(), low in 3.0..3.6f64, gap in 0.0..0.2f64, share in 0.0..1.0f64, out in 0.0..0.1f64,
    ) {
        let high = low + gap;
        let two = bounds(&reading(kind, vec![low, high]));
        let between = bounds(&reading(kind, vec![low, low + gap * share, high]));
        prop_assert_eq!(two, between);
        // In whatever order they are read.
        prop_assert_eq!(two, bounds(&reading(kind, vec![high, low])));
        for outside in [low - out, high + out] {
            prop_assert!(within(two, bounds(&reading(kind, vec![low, outside, high]))));
        }
    }

    /// Values of the cells say no less than their mean with the distance of the farthest.
    #[test]
    fn cell_values_are_never_wider_than_a_module_voltage_with_their_spread(
        kind in kinds(), low in 3.0..3.6f64, gaps in prop::collection::vec(0.0..0.15f64, 3..16),
    ) {
        let cells: Vec<f64> = gaps.iter().map(|gap| low + gap).collect();
        let sum: f64 = cells.iter().sum();
        let mean = sum / cells.len() as f64;
        let farthest = cells.iter().map(|v| (v - mean).abs()).fold(0.0, f64::max);
        // The same error on a cell, whichever way it is read.
        let exact = Some(Meter { percent_of_reading: 0.0, digits: 0.0, resolution_v: 0.001 });
        let by_cells = RestedReading { instrument: exact, ..reading(kind, cells) };
        let by_module = RestedReading {
            cell_voltages_v: None,
            module_voltage_v: Some(sum),
            cell_spread_mv: Some(farthest * 1000.0),
            ..by_cells.clone()
        };
        prop_assert!(within(bounds(&by_cells), bounds(&by_module)));
    }

    /// A.4, step 8: which way the last current went narrows, from below only, and never widens.
    #[test]
    fn the_last_current_narrows_from_below_where_it_went_out(kind in kinds(), volts in 2.9..4.1f64) {
        let of = |last| bounds(&RestedReading { last, ..reading(kind, vec![volts]) });
        let (unknown, out, into) = (
            of(LastCurrent::Unknown), of(LastCurrent::Discharging), of(LastCurrent::Charging));
        prop_assert!(within(out, unknown) && within(into, unknown));
        prop_assert_eq!(out.1.to_bits(), unknown.1.to_bits());
        prop_assert!(out.0 >= unknown.0);
    }

    /// Longer rest, and two readings that agree, never widen it; a shorter one never narrows it.
    #[test]
    fn rest_never_widens(kind in kinds(), volts in 2.9..4.1f64, hours in 0.0..30.0f64, more in 0.0..30.0f64) {
        let of = |rested_h, stable_readings| RestedReading {
            rested_h, stable_readings, ..reading(kind, vec![volts])
        };
        let stable = Some(StableReadings { first_v: volts, second_v: volts, minutes_apart: 30.0 });
        let short = of(Some(hours), None);
        prop_assert!(within(bounds(&of(Some(hours + more), None)), bounds(&short)));
        prop_assert!(within(bounds(&of(Some(hours), stable)), bounds(&short)));
        prop_assert!(within(bounds(&short), bounds(&of(None, None))));
        // What a short rest proves, a long one proves too.
        let verdict = |reading: &RestedReading| state_of_charge(reading).unwrap().verdict;
        if verdict(&short) != Proof::NotProven {
            prop_assert_eq!(verdict(&short), verdict(&of(Some(hours + more), None)));
        }
    }

    /// One published curve taken as the maker's own narrows its group: the doubt in the curve goes.
    #[test]
    fn the_makers_curve_never_widens_a_group_it_belongs_to(kind in kinds(), volts in 2.9..4.1f64, which in 0..8usize) {
        let group = published(kind);
        let one = group[which % group.len()];
        let text: String = (0..=100)
            .map(|n| f64::from(n) / 100.0)
            .map(|soc| format!("{soc},{}\n", one.voltage(soc)))
            .collect();
        let own = RestedReading {
            curve: Some(MakerCurve::Csv(format!("soc,ocv_v\n{text}"))),
            ..reading(kind, vec![volts])
        };
        prop_assert!(within(bounds(&own), bounds(&reading(kind, vec![volts]))));
    }

    /// More evidence narrows or contradicts; evidence under doubt is as if it were not there.
    #[test]
    fn a_second_evidence_narrows_or_contradicts(
        kind in kinds(), volts in 2.9..4.1f64, percent in 0.0..100.0f64, accuracy in 0.0..20.0f64,
        removed in 0.0..90.0f64,
    ) {
        let alone = reading(kind, vec![volts]);
        let managed = RestedReading {
            management: Some(ManagementValue { percent, accuracy_percent: Some(accuracy) }),
            ..alone.clone()
        };
        let counted = RestedReading {
            coulomb: Some(CoulombCount {
                anchor_high_percent: 100.0, removed_ah: removed, gain_error_percent: 1.0,
                offset_a: 0.05, hours: 4.0, largest_capacity_ah: 100.0,
            }),
            ..alone.clone()
        };
        for more in [&managed, &counted] {
            let found = state_of_charge(more).unwrap();
            if found.contradiction {
                prop_assert_eq!((found.low_percent, found.high_percent), (0.0, 100.0));
                prop_assert_eq!(found.verdict, Proof::NotProven);
            } else {
                prop_assert!(within((found.low_percent, found.high_percent), bounds(&alone)));
            }
        }
        let doubted = RestedReading { management_doubtful: true, ..managed };
        prop_assert_eq!(bounds(&doubted), bounds(&alone));
    }

    /// A current, a cell outside its limits, an unknown surface: the voltage falls silent.
    #[test]
    fn a_reason_to_doubt_the_voltage_never_narrows(kind in kinds(), volts in 2.9..4.1f64) {
        let good = reading(kind, vec![volts]);
        for doubted in [
            RestedReading { current_a: Some(0.2), ..good.clone() },
            RestedReading { current_a: None, ..good.clone() },
            RestedReading { temperature_c: Some(36.0), ..good.clone() },
            RestedReading { temperature_c: None, ..good.clone() },
            RestedReading { cell_minimum_v: Some(volts + 0.01), ..good.clone() },
            RestedReading { cell_maximum_v: Some(volts - 0.01), ..good.clone() },
            RestedReading { cell_voltages_v: None, module_voltage_v: Some(volts), ..good.clone() },
            RestedReading { chemistry: CellKind::Unknown, ..good.clone() },
            RestedReading { instrument: None, ..good.clone() },
        ] {
            prop_assert!(within(bounds(&good), bounds(&doubted)), "{:?}", doubted);
        }
    }

    /// A higher limit is proven where a lower one is, and a lower one disproven where a higher one is.
    #[test]
    fn a_limit_above_a_proven_one_is_proven(kind in kinds(), volts in 2.9..4.1f64, limit in 0.0..100.0f64, more in 0.0..50.0f64) {
        let of = |limit: f64| {
            let limit_percent = Some(limit.min(100.0));
            state_of_charge(&RestedReading { limit_percent, ..reading(kind, vec![volts]) }).unwrap().verdict
        };
        if of(limit) == Proof::Proven {
            prop_assert_eq!(of(limit + more), Proof::Proven);
        }
        if of(limit + more) == Proof::Disproven {
            prop_assert_eq!(of(limit), Proof::Disproven);
        }
    }

    /// A twin that is cooler, and a further look that is hotter, never calm a watch.
    #[test]
    fn a_twin_and_a_further_look_break_no_fewer_rules(
        surfaces in prop::collection::vec(20.0..45.0f64, 4), cooler in 0.0..12.0f64,
    ) {
        let of = |twin: Option<f64>| {
            let readings: Vec<Value> = surfaces.iter().enumerate().map(|(n, surface)| json!({
                "minute": 20 * n, "ambient_c": 20, "surface_c": surface,
                "twin_c": twin.map(|k| surface - k)})).collect();
            let input = serde_json::from_value(json!({"readings": readings})).unwrap();
            physics::trend(&input).unwrap()
        };
        let (alone, beside) = (of(None), of(Some(cooler)));
        prop_assert!(alone.rules.iter().all(|rule| beside.rules.contains(rule)));
        prop_assert!(beside.outcome >= alone.outcome);
        prop_assert_eq!(beside.rules.contains(&"T4"), cooler >= 5.0 - 1e-12);
    }

    /// One more task never lightens the work, and neither does a box around an arc.
    #[test]
    fn a_task_more_never_lightens(loads in prop::collection::vec(2.0..30.0f64, 1..5), more in 1.0..30.0f64) {
        let of = |loads: &[f64]| {
            let tasks: Vec<Value> = loads.iter().map(|kg| json!({
                "load_kg": kg, "firwl_kg": 12, "lifts_per_min": 0.5})).collect();
            let input = serde_json::from_value(json!({"duration_h": 1, "tasks": tasks})).unwrap();
            physics::lift_tasks(&input).unwrap().composite_lifting_index.unwrap_or(f64::INFINITY)
        };
        let mut longer = loads.clone();
        longer.push(more);
        prop_assert!(of(&longer) >= of(&loads) - 0.01, "{} {}", of(&longer), of(&loads));
    }
}

#[test]
fn a_box_around_an_arc_never_cools_it() {
    let of = |enclosed: bool| {
        let input = json!({"system_voltage_v": 400, "short_circuit_a": 3000, "enclosed": enclosed});
        physics::arc(&serde_json::from_value(input).unwrap()).unwrap()
    };
    let (open, boxed) = (of(false), of(true));
    assert!(boxed.incident_energy_cal_cm2 > open.incident_energy_cal_cm2);
    assert!(boxed.boundary_cm > open.boundary_cm);
}

/// Every combination of the gates of reuse: an answer of yes to all opens it, and only that; one more
/// no never opens what was shut.
#[test]
fn no_bad_sign_opens_the_gates_of_reuse() {
    let facts: [(&str, Value, Value); 7] = [
        ("outcome", json!(0), json!(1)),
        ("resistance_ratio", json!(1.5), json!(2.5)),
        ("self_discharge_percent_per_day", json!(0.1), json!(1.0)),
        ("insulation_ohm_per_v", json!(600), json!(500)),
        ("cell_spread_mv", json!(20), json!(31)),
        ("management_readable", json!(true), json!(false)),
        ("papers_held", json!(true), json!(false)),
    ];
    let mut offered = 0;
    for case in 0..3_u32.pow(7) {
        let mut reuse = json!({});
        let (mut left, mut bad) = (case, 0);
        for (name, good, wrong) in &facts {
            match left % 3 {
                0 => reuse[name] = good.clone(),
                1 => {
                    reuse[name] = wrong.clone();
                    bad += 1;
                }
                _ => bad += 1,
            }
            left /= 3;
        }
        let input = json!({"rated_capacity_ah": 100, "removed_ah": 80, "removed_error_percent": 1,
            "reuse": reuse});
        let answer = physics::health(&serde_json::from_value(input).unwrap()).unwrap();
        assert_eq!(answer.closed.len(), bad, "{reuse}");
        assert_eq!(answer.may_be_offered, Some(bad == 0), "{reuse}");
        offered += u32::from(bad == 0);
    }
    assert_eq!(offered, 1);
}

/// A.3 of self-discharge: not rested, not 24 h apart, not at one temperature: no answer, and never
/// "no rule broken".
#[test]
fn readings_that_are_not_alike_never_clear_a_module() {
    let of = |change: Value| {
        let mut input = json!({"chemistry": "nmc", "first_cell_v": 3.70, "second_cell_v": 3.6999,
            "hours_apart": 48, "first_temperature_c": 20, "second_temperature_c": 21, "rested": true,
            "capacity_ah": 100, "meter_error_mv": 0.1});
        for (name, value) in change.as_object().unwrap() {
            input[name] = value.clone();
        }
        physics::self_discharge(&serde_json::from_value(input).unwrap()).unwrap()
    };
    assert_eq!(
        of(json!({})).outcome,
        physics::SelfDischargeOutcome::NoRuleBroken
    );
    for change in [
        json!({"rested": false}),
        json!({"hours_apart": 23}),
        json!({"second_temperature_c": 26}),
    ] {
        let found = of(change.clone());
        assert_eq!(
            found.outcome,
            physics::SelfDischargeOutcome::NotAssessable,
            "{change}"
        );
        assert!(!found.reasons.is_empty(), "{change}");
    }
}

/// A.4, step 2: 24 h for iron phosphate; a cell of which only the maker's table is known may be one.
#[test]
fn a_cell_of_no_known_kind_rests_as_long_as_iron_phosphate() {
    let curve = || Some(MakerCurve::Csv("soc,ocv_v\n0,2.5\n0.5,3.3\n1,3.6\n".into()));
    let of = |kind, hours| {
        let reading = RestedReading {
            curve: curve(),
            rested_h: Some(hours),
            ..reading(kind, vec![2.6])
        };
        state_of_charge(&reading).unwrap().verdict
    };
    assert_eq!(of(CellKind::Unknown, 23.0), Proof::NotProven);
    assert_eq!(of(CellKind::Unknown, 24.0), Proof::Proven);
    assert_eq!(of(CellKind::Nmc, 23.0), Proof::Proven);
}

/// A.4, step 3: 12.5 mV iron phosphate, 5 mV NMC, NCA, LCO, 10 mV sodium ion and LTO; with the maker's
/// own table, as without it the last two prove nothing.
#[test]
fn hysteresis_is_that_of_the_kind() {
    for (kind, mv) in [
        (CellKind::Lfp, 12.5),
        (CellKind::Nmc, 5.0),
        (CellKind::Nca, 5.0),
        (CellKind::Lco, 5.0),
        (CellKind::SodiumIon, 10.0),
        (CellKind::Lto, 10.0),
        (CellKind::Unknown, 12.5),
    ] {
        let own = RestedReading {
            curve: Some(MakerCurve::Csv("soc,ocv_v\n0,2.0\n1,4.2\n".into())),
            ..reading(kind, vec![3.0])
        };
        let terms = state_of_charge(&own).unwrap().error_terms.unwrap();
        assert!((terms.hysteresis_mv - mv).abs() < 1e-9, "{kind:?}");
        assert!((terms.rest_mv - 5.0).abs() < 1e-9 && terms.curve_mv.abs() < 1e-9);
    }
}
