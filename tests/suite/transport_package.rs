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
