//! The discharge that is planned for a module proves the limit, takes as long as the hand sum says,
//! and its sheet refuses where it is never done.

use std::fs;

use packdown::physics::{
    ByLoad, CellKind, ChargedModule, CrewLoad, Draws, LoadFault, Meter, Proof, RestedReading,
    module_discharge, published, state_of_charge,
};
use packdown::units::Decimal;

use crate::pdf_reader::read;
use crate::program::Bench;

fn full(chemistry: CellKind, cells: u32) -> ChargedModule {
    ChargedModule {
        chemistry,
        cells,
        capacity_ah: Decimal::whole(100),
        high_percent: Decimal::whole(100),
        limit_percent: Decimal::whole(30),
        curve: None,
        load: None,
    }
}

/// At the target, a cell of any published curve of the chemistry that has rested and is read with a
/// meter that errs by 5 mV upwards is proven at the limit; two points higher one of them is not.
#[test]
fn a_module_brought_to_the_target_is_proven_whatever_its_curve() {
    for (chemistry, cells) in [
        (CellKind::Lfp, 16),
        (CellKind::Nmc, 14),
        (CellKind::Nca, 14),
        (CellKind::Lco, 14),
    ] {
        let plan = module_discharge(&full(chemistry, cells)).unwrap().unwrap();
        let verdicts = |percent: f64| -> Vec<Proof> {
            published(chemistry)
                .iter()
                .map(|curve| {
                    state_of_charge(&RestedReading {
                        chemistry,
                        cells: 1,
                        cell_voltages_v: Some(vec![curve.voltage(percent / 100.0)]),
                        instrument: Some(Meter {
                            percent_of_reading: 0.0,
                            digits: 1.0,
                            resolution_v: 0.005,
                        }),
                        temperature_c: Some(25.0),
                        rested_h: Some(24.0),
                        current_a: Some(0.0),
                        limit_percent: Some(30.0),
                        ..RestedReading::default()
                    })
                    .unwrap()
                    .verdict
                })
                .collect()
        };
        let target = plan.target_percent.to_f64();
        assert!(
            verdicts(target).iter().all(|one| *one == Proof::Proven),
            "{chemistry:?} {target}"
        );
        assert!(
            verdicts(target + 2.0)
                .iter()
                .any(|one| *one != Proof::Proven),
            "{chemistry:?} {target} could be higher"
        );
    }
}

/// Hand sums with one mean voltage: t = dQ/I, t = dQ R/V (charge is what a current carries in its
/// time; no source needed). The figures of the worked discharge of a 16-cell 100 Ah module differ
/// from the hand sum by 0.2 % for a resistor.
#[test]
fn times_are_those_of_the_hand_sum_and_never_shorter() {
    let plan = module_discharge(&full(CellKind::Lfp, 16)).unwrap().unwrap();
    // 11 % is where the lower of the two published curves still proves 30 % at 5 mV.
    assert_eq!(plan.target_percent, Decimal::whole(11));
    assert_eq!(plan.current_a, Decimal::whole(20));
    assert_eq!(plan.minutes, 267, "89 Ah at 20 A");
    let by_hand = 89.0 * plan.resistor_ohm.to_f64() / 52.3 * 60.0;
    let minutes = f64::from(plan.minutes_by_resistor);
    assert!(
        (minutes - by_hand).abs() < 0.015 * by_hand,
        "{minutes} {by_hand}"
    );
    // The resistor draws no more than the current allowed.
    let first = plan.marks.first().unwrap();
    assert_eq!(first.minute, 0);
    assert!(first.voltage_v.to_f64() / plan.resistor_ohm.to_f64() <= 20.0);
    assert_eq!(plan.marks.len(), 18, "0 to 255 min, each 15");
    assert!(
        plan.marks
            .windows(2)
            .all(|two| two[0].voltage_v >= two[1].voltage_v)
    );
    // Counted: 70 Ah by a counter that shows 1 % too much and drifts by 0.05 A.
    let counted = plan.counted_ah.to_f64();
    let sure = counted * 0.99 - 0.05 * minutes.max(267.0) / 60.0;
    assert!((70.0..70.2).contains(&sure), "{sure}");
}

#[test]
fn a_module_that_holds_little_needs_no_discharge_and_an_unknown_cell_has_no_plan() {
    let empty = ChargedModule {
        high_percent: Decimal::whole(10),
        ..full(CellKind::Lfp, 16)
    };
    assert_eq!(module_discharge(&empty).unwrap(), None);
    let unknown = module_discharge(&full(CellKind::Unknown, 16)).unwrap_err();
    assert!(unknown.to_string().contains("chemistry"), "{unknown}");
    // No published curve is good enough for sodium ion: only counting proves it.
    let sodium = module_discharge(&full(CellKind::SodiumIon, 14))
        .unwrap()
        .unwrap();
    assert_eq!(sodium.proving_cell_v, None);
    assert_eq!(sodium.target_percent, Decimal::whole(25));
}

fn with_load(draws: Draws, max_power_w: i32) -> Result<ByLoad, String> {
    let module = ChargedModule {
        load: Some(CrewLoad {
            draws,
            max_power_w: Decimal::whole(max_power_w),
        }),
        ..full(CellKind::Lfp, 16)
    };
    let plan = module_discharge(&module).unwrap().unwrap();
    assert_eq!(
        plan.by_good_load().is_some(),
        matches!(&plan.by_load, Some(Ok(found)) if found.faults.is_empty())
    );
    plan.by_load.unwrap()
}

/// Hand sums of the trade study (B.3), with one mean voltage of 52.3 V: t = dQ R/V, t = dQ V/P,
/// t = dQ/I, said to be within 0.2 % there for a shorter way; 89 Ah go out here.
#[test]
fn a_load_of_the_crew_takes_as_long_as_the_hand_sum() {
    let whole = Decimal::whole;
    for (draws, by_hand_h) in [
        (Draws::Resistor { ohm: whole(5) }, 89.0 * 5.0 / 52.3),
        (Draws::Power { watt: whole(500) }, 89.0 * 52.3 / 500.0),
        (Draws::Current { ampere: whole(15) }, 89.0 / 15.0),
    ] {
        let found = with_load(draws, 1_000).unwrap();
        assert_eq!(found.faults, [], "{draws:?}");
        let hours = f64::from(found.minutes) / 60.0;
        assert!(
            (hours - by_hand_h).abs() < 0.015 * by_hand_h,
            "{draws:?}: {hours} {by_hand_h}"
        );
        // What goes in is what is heated: between the least and the greatest power all the time.
        let powers = [found.start.power_w.to_f64(), found.end.power_w.to_f64()];
        let heat = found.energy_wh.to_f64() / hours;
        assert!(heat < powers[0].max(powers[1]) + 1.0, "{draws:?}");
        assert!(heat > powers[0].min(powers[1]) - 3.0, "{draws:?}");
        let rows = found.marks.len() as u32;
        assert!((rows - 1) * 15 <= found.minutes && rows * 15 + 1 >= found.minutes);
    }
}

/// 0.2 of the capacity and 10 K: B.3 of the trade study (chosen there). Constant power draws most at
/// the end: 1,030 W are 19.3 A at 53.4 V and 20.3 A at 50.8 V.
#[test]
fn a_load_above_its_rating_or_the_rate_is_not_used() {
    let whole = Decimal::whole;
    let faults = |draws, watt| with_load(draws, watt).unwrap().faults;
    let five = Draws::Resistor { ohm: whole(5) };
    assert!(matches!(faults(five, 500)[..], [LoadFault::Power(w)] if w > whole(500)));
    assert_eq!(faults(five, 700), []);
    let two = Draws::Resistor { ohm: whole(2) };
    assert!(matches!(faults(two, 2_000)[..], [LoadFault::Current(a)] if a > whole(26)));
    let power = with_load(Draws::Power { watt: whole(1_030) }, 1_030).unwrap();
    assert!(power.start.current_a < whole(20) && power.end.current_a > whole(20));
    assert!(matches!(power.faults[..], [LoadFault::Current(_)]));
    assert!(matches!(
        faults(Draws::Power { watt: whole(900) }, 899)[..],
        [LoadFault::Power(_)]
    ));
    assert_eq!(faults(Draws::Current { ampere: whole(20) }, 1_200), []);
    assert!(matches!(
        faults(Draws::Current { ampere: whole(21) }, 1_300)[..],
        [LoadFault::Current(_)]
    ));
    let too_much = with_load(
        Draws::Power {
            watt: whole(90_000),
        },
        90_000,
    )
    .unwrap_err();
    assert!(
        too_much.contains("powers that the module can give"),
        "{too_much}"
    );
}

#[test]
fn the_sheet_foresees_the_crews_own_load_or_says_why_not() {
    let with = |load: &str| {
        let bench = by_air(&[]);
        bench.change(
            "job/job.json",
            "\"instruments\": [",
            &format!("\"discharge_load\": {load},\n  \"instruments\": ["),
        );
        let ran = bench.run(&["run", "job", "--out", "other"]);
        assert!(ran.code <= 1, "{}{}", ran.out, ran.err);
        let pages = sheet_of(&bench, "other").join(" ");
        let plan = bench.run(&["plan", "job"]);
        assert_eq!(plan.code, 0, "{}", plan.err);
        // Lines are broken for the terminal.
        let words: Vec<&str> = plan.out.split_whitespace().collect();
        let german = sheet_in(&bench, "other", "de").join(" ");
        (pages, words.join(" "), german)
    };
    let (pages, plan, _) =
        with(r#"{"name":"Heater H-3","draws":{"kind":"resistor","ohm":5},"max_power_w":1000}"#);
    assert!(
        pages.contains("With the crew's load, Heater H-3 (5 ohm, bears 1000 W)"),
        "{pages}"
    );
    assert!(!pages.contains("NOT with the crew's load"), "{pages}");
    assert!(
        plan.contains("with Heater H-3 (5 ohm): about 8 h"),
        "{plan}"
    );
    let (pages, plan, german) =
        with(r#"{"name":"Heater H-3","draws":{"kind":"resistor","ohm":5},"max_power_w":300}"#);
    for wanted in [
        "Last Heater H-3 (5 ohm)",
        "300 W, was sie verträgt",
        "[Schild der Last]",
    ] {
        assert!(german.contains(wanted), "{wanted}: {german}");
    }
    assert!(!german.contains("what it bears"), "{german}");
    assert!(
        pages.contains("NOT with the crew's load: load Heater H-3 (5 ohm)")
            && pages.contains("300 W, what it bears"),
        "{pages}"
    );
    assert!(plan.contains("not with the load of the plan"), "{plan}");
    let bench = Bench::with_lawful_job();
    bench.change(
        "job/job.json",
        "\"instruments\": [",
        "\"discharge_load\": {\"name\":\"H\",\"draws\":{\"kind\":\"power\",\"watt\":0},\"max_power_w\":1},\n  \"instruments\": [",
    );
    let ran = bench.run(&["plan", "job"]);
    assert_ne!(ran.code, 0);
    assert!(ran.err.contains("discharge_load.draws"), "{}", ran.err);
}

/// The lawful job by cargo aircraft; the management systems say 64 % instead of about 20.
fn by_air(more: &[(&str, &str)]) -> Bench {
    let bench = Bench::with_lawful_job();
    bench.change(
        "job/job.json",
        "\"regime\": \"adr\",\n      \"mode\": \"road\"",
        "\"regime\": \"air\",\n      \"mode\": \"cargo_aircraft\"",
    );
    for (was, is) in [
        (
            "\"state_of_charge_percent\": 22",
            "\"state_of_charge_percent\": 64",
        ),
        (
            "\"state_of_charge_percent\": 20",
            "\"state_of_charge_percent\": 64",
        ),
    ]
    .iter()
    .chain(more)
    {
        bench.change("job/record.jsonl", was, is);
    }
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert!(ran.code <= 1, "{}{}", ran.out, ran.err);
    bench
}

fn sheet(bench: &Bench) -> Vec<String> {
    sheet_of(bench, "out")
}

fn sheet_of(bench: &Bench, job: &str) -> Vec<String> {
    sheet_in(bench, job, "en")
}

fn sheet_in(bench: &Bench, job: &str, language: &str) -> Vec<String> {
    let asked = ["issue", job, "--draft", "--paper", "discharge"];
    let copies = format!("copies-{job}-{language}");
    let ran = bench.run(&[&asked[..], &["--language", language, "--out", &copies]].concat());
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let pdf = fs::read(bench.path(&format!("{copies}/discharge.pdf"))).unwrap();
    read(&pdf)
        .iter()
        .map(|page| page.text().replace('\n', " "))
        .collect()
}

#[test]
fn the_sheet_has_a_page_for_each_module_that_is_not_proven_and_none_for_the_others() {
    let bench = by_air(&[]);
    let pages = sheet(&bench);
    assert_eq!(pages.len(), 3, "{pages:?}");
    for wanted in [
        "When to stop",
        "When never",
        "45 degC",
        "insulation below 100 ohm/V",
    ] {
        assert!(pages[0].contains(wanted), "{wanted}: {}", pages[0]);
    }
    for (page, serial) in pages[1..].iter().zip(["HL5-2207-0418", "HL5-2207-0421"]) {
        for wanted in [
            serial,
            "20 A at the most",
            "2 h 48 min",
            "3.191 V or below",
            "24 h",
        ] {
            assert!(page.contains(wanted), "{wanted}: {page}");
        }
    }
}

#[test]
fn a_module_that_is_never_discharged_gets_the_reason_instead() {
    let bench = by_air(&[
        (
            "\"module\": \"m2\", \"at\": \"2026-11-24T10:21:39+00:00\", \"by\": \"piet\", \"evidence\": {\"faces_seen\": 6, \"swelling\": false",
            "\"module\": \"m2\", \"at\": \"2026-11-24T10:21:39+00:00\", \"by\": \"piet\", \"evidence\": {\"faces_seen\": 6, \"swelling\": true",
        ),
        (
            "\"soundness\": \"sound\", \"reasons\": [], \"judged_as\": \"maker_criteria\", \"criteria_source\": \"service sheet of the module, revision 4, section 6\"}}\n{\"kind\": \"step\", \"step\": \"M07\", \"module\": \"m2\"",
            "\"soundness\": \"damaged\", \"reasons\": [\"F10\"], \"judged_as\": \"maker_criteria\", \"criteria_source\": \"service sheet of the module, revision 4, section 6\"}}\n{\"kind\": \"step\", \"step\": \"M07\", \"module\": \"m2\"",
        ),
    ]);
    let pages = sheet(&bench).join(" ");
    assert!(
        pages.contains("m2, HL5-2207-0421: DO NOT DISCHARGE"),
        "{pages}"
    );
    assert!(pages.contains("F10: swollen"), "{pages}");
    assert!(
        !pages.contains("m1, HL5-2207-0418: DO NOT DISCHARGE"),
        "{pages}"
    );
    // The reason is said in the language of the sheet.
    for (language, wanted) in [
        (
            "de",
            "F10 aufgeblähte Zelle, gewölbtes Gehäuse, Deckel nicht mehr bündig; Grenze: kein Befund, der sie ausschließt",
        ),
        ("fr", "limite: aucun constat qui l'exclut"),
    ] {
        let pages = sheet_in(&bench, "out", language).join(" ");
        assert!(pages.contains(wanted), "{pages}");
        for english in [
            "F10: swollen",
            "no finding",
            "leave the charge",
            "project default",
        ] {
            assert!(!pages.contains(english), "{language} {english}: {pages}");
        }
    }
}

#[test]
fn a_route_without_a_limit_has_no_sheet_and_says_so_when_asked() {
    let bench = Bench::with_lawful_job();
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let ran = bench.run(&["issue", "out", "--paper", "discharge"]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.out.contains("NOT PRINTED: discharge, because")
            && ran
                .out
                .contains("limit of the state of charge on the route: none"),
        "{}",
        ran.out
    );
}
