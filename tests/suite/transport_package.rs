//! Packagings at one gram on either side of each published limit.

use packdown::transport::{Decision, Facts, PackageAnswer, decide};
use serde_json::{Value, json};

/// Greatest net mass by code: ADR 2025, 6.1.4 (read in an unofficial translation).
const NET_KG: [(&str, i64); 19] = [
    ("1A2", 400),
    ("1B2", 400),
    ("1D", 400),
    ("1G", 400),
    ("1H2", 400),
    ("1N2", 400),
    ("3A2", 120),
    ("3B2", 120),
    ("3H2", 120),
    ("4A", 400),
    ("4B", 400),
    ("4C1", 400),
    ("4C2", 400),
    ("4D", 400),
    ("4F", 400),
    ("4G", 400),
    ("4H1", 60),
    ("4H2", 400),
    ("4N", 400),
];

fn kg(grams: i64) -> Value {
    serde_json::from_str(&format!("{}.{:03}", grams / 1000, grams % 1000)).unwrap()
}

/// One sound, tested battery that travels like a new one, in a packaging with this mark.
fn in_mark(mark: &str, net: i64, gross: i64) -> Decision {
    let facts: Facts = serde_json::from_value(json!({
        "regime":"adr","mode":"road","on":"2026-11-25",
        "item":{"chemistry":"lithium_ion","rated_energy_wh":50_000,"net_mass_kg":kg(net),
            "casing":"weak","tested_type":true,"made_on":"2021-05-01",
            "energy_marked_on_case":true,"configuration":"alone","soundness":"sound",
            "recalled_for_safety":false,"still_a_battery":true,"leaking":false,
            "purpose":"reuse"},
        "package":{"kind":"un_packaging","mark":mark,"items":1,"net_mass_kg":kg(net),
            "gross_mass_kg":kg(gross),"liner_non_conductive":true,
            "short_circuit_protected":true,"secured":true,"load_on_terminals":false,
            "packed_on":"2026-11-25"}
    }))
    .unwrap();
    decide(&facts)
}

#[test]
fn each_code_holds_its_net_mass_and_not_a_gram_more() {
    for (code, most) in NET_KG {
        let mark = format!("{code}/Y999/S/25/GB/1234");
        let at = |net: i64| in_mark(&mark, net, net + 1).package;
        let found = at(most * 1_000);
        assert_eq!(
            found.answer,
            PackageAnswer::Accepted,
            "{code}: {:?}",
            found.reasons
        );
        let found = at(most * 1_000 + 1);
        assert_eq!(found.answer, PackageAnswer::Refused, "{code}");
        assert!(
            found
                .reasons
                .iter()
                .any(|reason| reason.limit.contains(&format!("{most} kg"))),
            "{code}: {:?}",
            found.reasons
        );
    }
}

#[test]
fn the_gross_mass_in_the_mark_is_the_gross_mass() {
    // ADR 2025, 6.1.3.1 (read in an unofficial translation).
    for (gross, answer) in [
        (90_000, PackageAnswer::Accepted),
        (90_001, PackageAnswer::Refused),
    ] {
        let found = in_mark("4D/Y90/S/25/GB/1234", 50_000, gross).package;
        assert_eq!(found.answer, answer, "{gross}");
    }
}

#[test]
fn plastics_serve_five_years_to_the_month() {
    // ADR 2025, 4.1.1.15 (read in an unofficial translation): five years from manufacture. The
    // month of the clock face is in the mark of plastics drums.
    let drum = |date: &str| {
        in_mark(&format!("1H2/Y100/S/{date}/GB/1234"), 50_000, 60_000)
            .package
            .answer
    };
    assert_eq!(
        drum("12 21"),
        PackageAnswer::Accepted,
        "ends in December 2026"
    );
    assert_eq!(
        drum("11 21"),
        PackageAnswer::NotDetermined,
        "ends this month"
    );
    assert_eq!(
        drum("10 21"),
        PackageAnswer::Refused,
        "ended in October 2026"
    );
    assert_eq!(drum("22"), PackageAnswer::Accepted);
    assert_eq!(
        drum("21"),
        PackageAnswer::NotDetermined,
        "ends some time this year"
    );
    assert_eq!(drum("20"), PackageAnswer::Refused);
    // Other materials have no such age.
    let steel = in_mark("1A2/Y100/S/05/GB/1234", 50_000, 60_000)
        .package
        .answer;
    assert_eq!(steel, PackageAnswer::Accepted);
}

/// A critical battery of 5,120 Wh, charged up to 29 %, in a packaging that a report covers.
fn in_report(report: &Value, charge: &Value) -> PackageAnswer {
    let facts: Facts = serde_json::from_value(json!({
        "regime":"adr","mode":"road","on":"2026-11-25",
        "item":{"chemistry":"lithium_ion","rated_energy_wh":5_120,"net_mass_kg":50,
            "casing":"strong","tested_type":true,"made_on":"2021-05-01",
            "energy_marked_on_case":true,"configuration":"alone","soundness":"critical",
            "recalled_for_safety":false,"still_a_battery":true,"leaking":false,
            "state_of_charge_percent":charge,"purpose":"recycling"},
        "package":{"kind":"large_packaging","mark":"50G/X/05 24/GB/AB12 0/500","items":1,
            "net_mass_kg":50,"gross_mass_kg":71,"verified":report,
            "inner":{"each_alone":true,"fully_enclosed":true,"non_metallic":true,"leakproof":true},
            "cushioning":{"non_combustible":true,"non_conductive":true,"absorbent":true,
                "thermal_insulation":true},
            "liner_non_conductive":true,"short_circuit_protected":true,"secured":true,
            "load_on_terminals":false,"packed_on":"2026-11-25"}
    }))
    .unwrap();
    decide(&facts).package.answer
}

#[test]
fn a_report_covers_its_own_numbers_and_not_a_step_more() {
    // ADR 2025, 4.1.4.3, LP906 (read in an unofficial translation): the package lies within its
    // verification report; a charge that is not known counts as full.
    let report = |energy: &str, charge: &str| -> Value {
        serde_json::from_str(&format!(
            r#"{{"report":"VR-12","types":["T1"],"max_items":1,"max_energy_wh":{energy},
                "max_state_of_charge_percent":{charge}}}"#
        ))
        .unwrap()
    };
    let charged = json!({ "low": 20, "high": 29 });
    for (energy, most, charge, answer) in [
        ("5120", "29", &charged, PackageAnswer::Accepted),
        ("5119.999", "29", &charged, PackageAnswer::Refused),
        ("5120", "28.999", &charged, PackageAnswer::Refused),
        ("5120", "100", &Value::Null, PackageAnswer::Accepted),
        ("5120", "99.999", &Value::Null, PackageAnswer::Refused),
    ] {
        assert_eq!(
            in_report(&report(energy, most), charge),
            answer,
            "{energy} Wh, {most} %, {charge}"
        );
    }
}

#[test]
fn a_mark_that_is_not_there_is_named_with_its_size_and_its_clause() {
    // ADR 2025, 5.2.1.1, 3.3 SP 376 and SP 377 (read in an unofficial translation); 49 CFR
    // 172.301(a)(1) (read); IMDG 42-24, 5.2.1 (second-hand). The clause is that of the row that asks
    // for this mark.
    let bare = |regime: &str, mode: &str, net: i64, soundness: &str, marks: Value| {
        let facts: Facts = serde_json::from_value(json!({
            "regime":regime,"mode":mode,"on":"2026-11-25",
            "item":{"chemistry":"lithium_ion","rated_energy_wh":5_120,"net_mass_kg":net,
                "casing":"strong","tested_type":true,"made_on":"2021-05-01",
                "energy_marked_on_case":true,"configuration":"alone","soundness":soundness,
                "recalled_for_safety":false,"still_a_battery":true,"leaking":false,
                "purpose":"recycling"},
            "package":{"kind":"un_packaging","mark":"4D/X90/S/25/GB/1234","items":1,
                "net_mass_kg":net,"gross_mass_kg":71,"liner_non_conductive":true,
                "short_circuit_protected":true,"secured":true,"load_on_terminals":false,
                "marks":marks,"labels":["9"],"packed_on":"2026-11-25"}
        }))
        .unwrap();
        let decision = decide(&facts);
        let of_marks = decision
            .reasons
            .iter()
            .filter(|reason| reason.what == "mark on the package")
            .map(|reason| format!("{} [{}]", reason.limit, reason.clause));
        let of_package = decision
            .package
            .reasons
            .iter()
            .map(|reason| format!("{}: {} [{}]", reason.what, reason.limit, reason.clause));
        (
            of_marks.collect::<Vec<_>>(),
            of_package.collect::<Vec<_>>().join("; "),
        )
    };
    let (road, labels) = bare("adr", "road", 50, "sound", json!([]));
    assert_eq!(
        road,
        [
            "UN 3480, at least 12 mm [ADR 2025, 5.2.1.1]",
            "LITHIUM BATTERIES FOR RECYCLING, at least 12 mm [ADR 2025, 3.3 SP 377; 3.3.1]",
        ]
    );
    assert_eq!(
        labels,
        "labels on the package: label 9A [ADR 2025, 5.2.2.1; 5.2.2.2.1.1; 5.2.1.9]"
    );
    let (damaged, _) = bare(
        "adr",
        "road",
        50,
        "damaged",
        json!([{ "text": "UN 3480", "height_mm": 12 }]),
    );
    assert_eq!(
        damaged,
        ["DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES, at least 12 mm [ADR 2025, 3.3 SP 376; 3.3.1]"]
    );
    let (sea, _) = bare("imdg", "sea", 30, "sound", json!([]));
    assert_eq!(
        sea,
        [
            "UN 3480, at least 6 mm [IMDG 42-24, as ADR 5.2.1.1 (second-hand)]",
            "LITHIUM BATTERIES FOR RECYCLING, at least 12 mm [IMDG 42-24, as ADR 3.3 SP 377; 3.3.1 \
             (second-hand)]",
            "LITHIUM ION BATTERIES [IMDG 42-24, 5.2.1 (second-hand)]",
        ]
    );
    let (us, _) = bare("cfr49", "road", 30, "sound", json!([]));
    assert_eq!(
        us,
        [
            "Lithium ion batteries [49 CFR text of Dec 2022, 172.301(a)(1)]",
            "UN3480, at least 6 mm [49 CFR text of Dec 2022, 172.301(a)(1)]",
        ]
    );
    // Too small: the clause of the size that is due.
    let (_, small) = bare(
        "adr",
        "road",
        30,
        "sound",
        json!([{ "text": "UN 3480", "height_mm": 5 }]),
    );
    assert_eq!(
        small,
        format!("height of the mark UN 3480: 6 mm [ADR 2025, 5.2.1.1]; {labels}")
    );
}

/// A package of one damaged, or one prototype, battery in which everything is said but one thing.
fn damaged_or_prototype(regime: &str, damaged: bool, change: impl Fn(&mut Value)) -> PackageAnswer {
    let mut facts = json!({
        "regime":regime,"mode":"road",
        "on":"2026-11-25",
        "approvals":[{"kind":"competent_authority","reference":"CA-1"}],
        "item":{"chemistry":"lithium_ion","rated_energy_wh":5120,"net_mass_kg":48,
            "casing":"strong","tested_type":damaged,"made_on":"2021-05-01",
            "energy_marked_on_case":true,"configuration":"alone",
            "soundness":if damaged { "damaged" } else { "sound" },
            "recalled_for_safety":false,"still_a_battery":true,"leaking":false,"state_of_charge_percent":{"low":20,"high":29},
            "purpose":if damaged { "recycling" } else { "prototype_test" }},
        "package":{"kind":"un_packaging","mark":"4D/X90/S/25/GB/1234","items":1,
            "net_mass_kg":48,"gross_mass_kg":71,
            "inner":{"each_alone":true,"fully_enclosed":true,"non_metallic":true,
                "leakproof":true},
            "cushioning":{"non_combustible":true,"non_conductive":true,"absorbent":true,
                "thermal_insulation":true},
            "liner_non_conductive":true,"short_circuit_protected":true,"secured":true,
            "load_on_terminals":false,"packed_on":"2026-11-25"}
    });
    change(&mut facts);
    decide(&serde_json::from_value(facts).unwrap())
        .package
        .answer
}

/// P908, P910, LP904 and LP905 want that nothing moves inside (paragraphs on vibration and shocks;
/// P910 (1)(d) read in the German text of ADR 2023), P910 (1)(c) material that holds heat back;
/// 49 CFR 173.185(b)(2)(ii) that nothing shifts, for every package.
#[test]
fn a_damaged_and_a_prototype_battery_cannot_move_in_its_package() {
    for (regime, damaged) in [("adr", true), ("adr", false), ("cfr49", true)] {
        let answer = |change: fn(&mut Value)| damaged_or_prototype(regime, damaged, change);
        let whole = answer(|_| ());
        assert_eq!(whole, PackageAnswer::Accepted, "{regime}, {damaged}");
        let loose = answer(|facts| facts["package"]["secured"] = json!(false));
        assert_eq!(loose, PackageAnswer::Refused, "{regime}, {damaged}");
        let unsaid = answer(|facts| {
            facts["package"].as_object_mut().unwrap().remove("secured");
        });
        assert_eq!(unsaid, PackageAnswer::NotDetermined, "{regime}, {damaged}");
    }
    let cold = damaged_or_prototype("adr", false, |facts| {
        facts["package"]["cushioning"]["thermal_insulation"] = json!(false);
    });
    assert_eq!(cold, PackageAnswer::Refused);
}
