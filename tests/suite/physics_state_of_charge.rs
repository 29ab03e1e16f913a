//! State of charge against the worked cases of `tests/cases/soc_*.csv` (computed by an
//! independent script of the trade study) and by properties.

use packdown::physics::{
    CellKind, ChargeVerdict, CoulombCount, MakerCurve, ManagementValue, Meter, Proof,
    RestedReading, published, published_named, state_of_charge,
};
use proptest::prelude::*;

fn kind(text: &str) -> CellKind {
    serde_json::from_value(text.into()).unwrap()
}

fn rested(chemistry: CellKind, cells: u32) -> RestedReading {
    RestedReading {
        chemistry,
        cells,
        temperature_c: Some(25.0),
        rested_h: Some(24.0),
        current_a: Some(0.0),
        ..RestedReading::default()
    }
}

fn taps(mv: f64) -> Option<Meter> {
    Some(Meter {
        percent_of_reading: 0.0,
        digits: mv,
        resolution_v: 0.001,
    })
}

fn rows(text: &'static str) -> Vec<std::collections::BTreeMap<String, String>> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(Result::unwrap)
        .collect()
}

#[test]
fn the_worked_examples() {
    let rows = rows(include_str!("../cases/soc_worked_examples.csv"));
    assert_eq!(rows.len(), 8);
    for row in rows {
        let number = |name: &str| row[name].parse::<f64>().unwrap();
        let verdict = state_of_charge(&RestedReading {
            module_voltage_v: Some(number("module_v")),
            cell_spread_mv: Some(number("cell_spread_mv")),
            instrument: Some(Meter {
                percent_of_reading: number("pct_of_reading"),
                digits: number("digits"),
                resolution_v: number("resolution_v"),
            }),
            temperature_c: Some(number("temperature_c")),
            ..rested(kind(&row["chemistry"]), row["cells"].parse().unwrap())
        })
        .unwrap();
        let id = &row["id"];
        assert!(
            (verdict.low_percent - number("soc_lo_pct")).abs() <= 0.051,
            "{id} {verdict:?}"
        );
        assert!(
            (verdict.high_percent - number("soc_hi_pct")).abs() <= 0.051,
            "{id} {verdict:?}"
        );
        assert!(
            (verdict.error_mv.unwrap() - number("total_error_mv")).abs() <= 0.0051,
            "{id}"
        );
        assert!((verdict.meter_error_mv.unwrap() - number("meter_error_mv")).abs() <= 0.0051);
        assert_eq!(
            serde_json::to_value(verdict.verdict).unwrap(),
            row["verdict_le_30"].replace(' ', "_"),
            "{id}"
        );
        if id == "A1" {
            assert_eq!(verdict.proving_cell_voltage_v, Some(3.179));
        }
    }
}

#[test]
fn the_bounds_by_true_state_of_charge() {
    let mut seen = 0;
    for row in rows(include_str!("../cases/soc_bounds_by_true_soc.csv")) {
        let chemistry = match row["chemistry"].as_str() {
            "naion" | "lto" => continue,
            other => kind(other),
        };
        let number = |name: &str| row[name].parse::<f64>().unwrap();
        let curve = published_named(&row["set"]).unwrap();
        let volts = curve.voltage(number("true_soc"));
        let verdict = state_of_charge(&RestedReading {
            cell_voltages_v: Some(vec![volts]),
            instrument: taps(number("meter_error_mv_per_cell")),
            ..rested(chemistry, 1)
        })
        .unwrap();
        seen += 1;
        // The file counts the doubt in a single curve beside its error, not in it.
        let terms = verdict.error_terms.unwrap();
        let error = verdict.error_mv.unwrap() - terms.curve_mv;
        assert!((error - number("total_error_mv")).abs() < 0.06, "{row:?}");
        assert!(
            (verdict.low_percent / 100.0 - number("lo_group")).abs() < 6e-4,
            "{row:?} {verdict:?}"
        );
        assert!(
            (verdict.high_percent / 100.0 - number("hi_group")).abs() < 6e-4,
            "{row:?}"
        );
    }
    assert!(seen > 100, "{seen}");
}

#[test]
fn the_voltages_that_prove() {
    // The study rounds to the nearest millivolt, the program down: 1 mV apart at the most. Its
    // hand-meter rows take the error at the nominal voltage, the program at the proving one.
    let mut seen = 0;
    for row in rows(include_str!("../cases/soc_proof_thresholds.csv")) {
        let mv = match row["meter"].as_str() {
            m if m.contains("+-2 mV") => 2.0,
            m if m.contains("+-5 mV") => 5.0,
            _ => continue,
        };
        let Ok(expected) = row["highest_cell_voltage_that_proves_v"].parse::<f64>() else {
            continue;
        };
        if matches!(row["chemistry"].as_str(), "naion" | "lto") {
            continue;
        }
        let chemistry = kind(&row["chemistry"]);
        let target = row["target_soc"].parse::<f64>().unwrap() * 100.0;
        let with = |volts: f64| {
            state_of_charge(&RestedReading {
                cell_voltages_v: Some(vec![volts]),
                instrument: taps(mv),
                limit_percent: Some(target),
                ..rested(chemistry, 1)
            })
            .unwrap()
        };
        let proving = with(3.3).proving_cell_voltage_v.unwrap();
        assert!(
            (-1e-9..=0.001_01).contains(&(expected - proving)),
            "{row:?} {proving}"
        );
        assert_eq!(with(proving).verdict, Proof::Proven);
        assert_ne!(with(proving + 0.0011).verdict, Proof::Proven);
        seen += 1;
    }
    assert!(seen >= 12, "{seen}");
}

fn low_lfp() -> RestedReading {
    RestedReading {
        module_voltage_v: Some(49.60),
        cell_spread_mv: Some(10.0),
        instrument: Some(Meter {
            percent_of_reading: 0.5,
            digits: 2.0,
            resolution_v: 0.01,
        }),
        ..rested(CellKind::Lfp, 16)
    }
}

#[test]
fn each_refusal_leaves_it_open_with_a_reason() {
    let ok = low_lfp();
    let not = |reading: RestedReading, word: &str| {
        let verdict = state_of_charge(&reading).unwrap();
        assert_eq!(verdict.verdict, Proof::NotProven, "{word}");
        assert!(
            verdict.reasons.iter().any(|r| r.to_string().contains(word)),
            "{word}: {:?}",
            verdict.reasons
        );
    };
    assert_eq!(state_of_charge(&ok).unwrap().verdict, Proof::Proven);
    not(
        RestedReading {
            cell_spread_mv: None,
            ..ok.clone()
        },
        "says nothing of the cells",
    );
    not(
        RestedReading {
            current_a: Some(0.1),
            ..ok.clone()
        },
        "current is",
    );
    not(
        RestedReading {
            current_a: None,
            ..ok.clone()
        },
        "current is not known",
    );
    not(
        RestedReading {
            rested_h: Some(2.9),
            ..ok.clone()
        },
        "rested 2.9 h",
    );
    not(
        RestedReading {
            rested_h: Some(23.9),
            ..ok.clone()
        },
        "proves nothing before 24 h",
    );
    not(
        RestedReading {
            rested_h: None,
            ..ok.clone()
        },
        "how long it rested",
    );
    not(
        RestedReading {
            temperature_c: Some(4.9),
            ..ok.clone()
        },
        "5 to 35",
    );
    not(
        RestedReading {
            temperature_c: Some(35.1),
            ..ok.clone()
        },
        "5 to 35",
    );
    not(
        RestedReading {
            temperature_c: None,
            ..ok.clone()
        },
        "temperature is not known",
    );
    not(
        RestedReading {
            chemistry: CellKind::Unknown,
            ..ok.clone()
        },
        "chemistry is not known",
    );
    not(
        RestedReading {
            chemistry: CellKind::SodiumIon,
            ..ok.clone()
        },
        "maker's own table",
    );
    not(
        RestedReading {
            cell_minimum_v: Some(3.095),
            ..ok.clone()
        },
        "outside its maker's limits",
    );
    not(
        RestedReading {
            management: Some(ManagementValue {
                percent: 80.0,
                accuracy_percent: None,
            }),
            ..ok
        },
        "contradicts itself",
    );
}

#[test]
fn a_short_rest_proves_nothing_beside_a_high_management_value() {
    let verdict = state_of_charge(&RestedReading {
        rested_h: Some(4.0),
        management: Some(ManagementValue {
            percent: 28.0,
            accuracy_percent: Some(20.0),
        }),
        ..low_lfp()
    })
    .unwrap();
    assert!(verdict.high_percent < 30.0);
    assert_eq!(verdict.verdict, Proof::NotProven);
}

#[test]
fn counted_charge_from_a_full_anchor() {
    // Computed by hand in the trade study, A.7: 100 − (75 × 0.99 − 0.2)/100 = 25.95 %.
    let verdict = state_of_charge(&RestedReading {
        coulomb: Some(CoulombCount {
            anchor_high_percent: 100.0,
            removed_ah: 75.0,
            gain_error_percent: 1.0,
            offset_a: 0.05,
            hours: 4.0,
            largest_capacity_ah: 100.0,
        }),
        ..rested(CellKind::Lfp, 16)
    })
    .unwrap();
    assert!((verdict.high_percent - 25.95).abs() < 1e-9);
    assert_eq!(verdict.verdict, Proof::Proven);
}

#[test]
fn a_falling_table_is_refused() {
    let reading = RestedReading {
        curve: Some(MakerCurve::Csv("soc,ocv_v\n0,3.2\n1,3.1\n".into())),
        ..low_lfp()
    };
    assert!(state_of_charge(&reading).is_err());
}

fn chemistries() -> impl Strategy<Value = CellKind> {
    prop_oneof![
        Just(CellKind::Lfp),
        Just(CellKind::Nmc),
        Just(CellKind::Nca),
        Just(CellKind::Lco),
    ]
}

fn on_cells(chemistry: CellKind, volts: Vec<f64>, mv: f64) -> ChargeVerdict {
    state_of_charge(&RestedReading {
        cell_voltages_v: Some(volts.clone()),
        instrument: taps(mv),
        ..rested(chemistry, volts.len() as u32)
    })
    .unwrap()
}

proptest! {
    #[test]
    fn the_bounds_hold_the_truth(
        chemistry in chemistries(), which in 0usize..4, mv in 0.0..30.0f64,
        truths in prop::collection::vec(0.0..1.0f64, 1..20), error in -1.0..1.0f64,
    ) {
        let curves = published(chemistry);
        let curve = curves[which % curves.len()];
        let read = truths.iter().map(|s| (curve.voltage(*s) + error * mv / 1000.0).clamp(0.0, 5.0));
        let verdict = on_cells(chemistry, read.collect(), mv);
        for truth in truths {
            prop_assert!(verdict.low_percent <= truth * 100.0 + 1e-9);
            prop_assert!(verdict.high_percent >= truth * 100.0 - 1e-9);
        }
    }

    #[test]
    fn a_worse_meter_never_narrows_and_a_higher_voltage_never_lowers(
        chemistry in chemistries(), volts in 2.0..4.3f64, more in 0.0..0.3f64,
        mv in 0.0..30.0f64, worse in 0.0..30.0f64,
    ) {
        let base = on_cells(chemistry, vec![volts], mv);
        let wide = on_cells(chemistry, vec![volts], mv + worse);
        let high = on_cells(chemistry, vec![volts + more], mv);
        prop_assert!(wide.low_percent <= base.low_percent && wide.high_percent >= base.high_percent);
        prop_assert!(high.low_percent >= base.low_percent && high.high_percent >= base.high_percent);
    }
}
