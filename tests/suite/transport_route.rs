//! The package that is good on every leg of a route.

use std::process::Command;

use packdown::transport::{Answer, Facts, Group, PackageAnswer, RouteAnswer, decide_route};
use serde_json::{Value, json};

fn route(legs: &[(&str, &str)], item: &Value) -> RouteAnswer {
    let facts: Vec<Facts> = legs
        .iter()
        .map(|(regime, mode)| {
            let mut facts = json!({"id":"m1","regime":regime,"mode":mode,"on":"2026-11-25",
                "item":{"chemistry":"lithium_ion","rated_energy_wh":5120,"net_mass_kg":50.0,
                    "casing":"strong","tested_type":true,"made_on":"2021-05-01",
                    "energy_marked_on_case":true,"configuration":"alone","soundness":"sound",
                    "recalled_for_safety":false,"still_a_battery":true,"leaking":false,
                    "state_of_charge_percent":{"low":20,"high":29},"purpose":"recycling"},
                "voyage":{"short_international":false,"stowage":"on_deck"}});
            for (name, value) in item.as_object().unwrap() {
                facts["item"][name] = value.clone();
            }
            serde_json::from_value(facts).unwrap()
        })
        .collect();
    decide_route(&facts)
}

const ADR: (&str, &str) = ("adr", "road");
const RID: (&str, &str) = ("rid", "rail");
const SEA: (&str, &str) = ("imdg", "sea");
const STATES: (&str, &str) = ("cfr49", "road");

#[test]
fn a_damaged_module_over_europe_the_sea_and_the_united_states() {
    // ADR 2025 P908 (read in an unofficial translation): group II, insulation; 173.185(f)(3) (read,
    // December 2022): group I, absorbent cushioning, inner packaging not of metal, no 4G, 4H1, 1G
    // and no jerrican. So both: 4A, 4D or 4H2 at X with everything of both inside.
    let found = route(&[ADR, SEA, STATES], &json!({"soundness":"damaged"}));
    assert_eq!(found.answer, Answer::AllowedWith);
    let package = &found.package;
    assert_eq!(package.answer, PackageAnswer::Accepted);
    assert_eq!(package.group, Some(Group::X));
    let has = |code: &str| package.codes.iter().any(|own| own == code);
    for code in ["4A", "4D", "4H2", "1A2", "50A", "50D"] {
        assert!(has(code), "{code}: {:?}", package.codes);
    }
    for code in ["4G", "4H1", "1G", "3A2", "3H2", "50C", "50F", "50G"] {
        assert!(!has(code), "{code}: {:?}", package.codes);
    }
    assert!(package.one_each);
    for need in [
        "inner packaging is not of metal",
        "inner or outer packaging is leak-proof",
        "cushioning or insulation does not burn",
        "cushioning or insulation does not conduct",
        "cushioning is absorbent",
        "thermal insulation around the inner packaging",
    ] {
        assert!(package.needs.iter().any(|own| own == need), "{need}");
    }
    for mark in [
        "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES",
        "Damaged/defective lithium ion battery",
    ] {
        let due = package.marks.iter().find(|due| due.text == mark).unwrap();
        assert_eq!(due.min_height_mm, 12);
    }
    let by: Vec<_> = package
        .instructions
        .iter()
        .map(|leg| (leg.leg.as_str(), leg.instruction.as_str()))
        .collect();
    assert_eq!(
        by,
        [
            ("adr road", "P908 or LP904"),
            ("imdg sea", "P908 or LP904"),
            ("cfr49 road", "173.185(f)(3) or 173.185(f)(3)(iii)"),
        ]
    );
}

#[test]
fn on_one_continent_the_weaker_letter_is_enough() {
    let found = route(&[ADR, RID], &json!({"soundness":"damaged"}));
    assert_eq!(found.package.group, Some(Group::Y));
    assert!(found.package.codes.iter().any(|code| code == "4G"));
    // P909(1) has no 4H1; it is in P903.
    let has_box = |purpose: &str| {
        let found = route(&[ADR, RID], &json!({"purpose":purpose}));
        found.package.codes.iter().any(|code| code == "4H1")
    };
    assert!(!has_box("recycling") && has_box("reuse"));
    // Critical: verified, group I.
    let found = route(&[ADR, RID], &json!({"soundness":"critical"}));
    assert_eq!(found.package.group, Some(Group::X));
    assert!(found.package.needs[0].starts_with("within its verification report"));
}

#[test]
fn where_no_marked_packaging_holds_it_a_kind_without_mark_may() {
    // ADR 2025, 6.1.4 (read): boxes hold 400 kg net; P909(4) with a strong casing may exceed it.
    let heavy = route(&[ADR, RID], &json!({"net_mass_kg":410.0}));
    assert_eq!(heavy.package.answer, PackageAnswer::Accepted);
    assert!(heavy.package.codes.is_empty() && heavy.package.group.is_none());
    assert_eq!(heavy.package.kinds.len(), 1, "{:?}", heavy.package.kinds);
    let weak = route(&[ADR, RID], &json!({"net_mass_kg":410.0,"casing":"weak"}));
    assert_eq!(weak.package.answer, PackageAnswer::Refused);
    assert_eq!(weak.package.reasons.len(), 2);
    assert!(weak.package.reasons[0].value.starts_with("no packaging"));
    assert!(!weak.package.reasons[0].clause.is_empty());
}

#[test]
fn a_leg_that_is_shut_or_open_is_named() {
    let found = route(
        &[ADR, ("air", "cargo_aircraft")],
        &json!({"soundness":"damaged"}),
    );
    assert_eq!(found.answer, Answer::Forbidden);
    assert_eq!(found.package.answer, PackageAnswer::NotDetermined);
    assert_eq!(found.package.reasons[0].what, "air cargo aircraft");
    let found = route(&[ADR, STATES], &json!({"chemistry":"sodium_ion_organic"}));
    assert_eq!(found.answer, Answer::NotDetermined);
    assert_eq!(found.package.reasons[0].what, "cfr49 road");
    assert_eq!(decide_route(&[]).answer, Answer::NotDetermined);
}

#[test]
fn whatever_is_proposed_is_accepted_on_each_leg_and_nothing_better_is_left_out() {
    // Each proposal is asked of each leg again, one letter weaker is refused somewhere.
    for item in [
        json!({}),
        json!({"purpose":"reuse"}),
        json!({"soundness":"damaged"}),
        json!({"soundness":"critical"}),
        json!({"purpose":"prototype_test","tested_type":false}),
    ] {
        let legs = [ADR, RID, SEA, STATES];
        let found = route(&legs, &item);
        assert_eq!(found.package.answer, PackageAnswer::Accepted, "{item}");
        assert!(found.package.codes.iter().all(|code| !code.is_empty()));
        assert_eq!(found.legs.len(), 4);
        assert_eq!(found.package.instructions.len(), 4);
        for leg in &found.package.instructions {
            assert!(!leg.instruction.is_empty(), "{item}: {}", leg.leg);
        }
    }
}

#[test]
fn the_command_takes_legs_in_the_order_of_the_way() {
    let facts = json!({"id":"m1","regime":"adr","mode":"road","on":"2026-11-25",
        "item":{"chemistry":"lithium_ion","rated_energy_wh":5120,"net_mass_kg":50.0,
            "casing":"strong","configuration":"alone","soundness":"damaged",
            "recalled_for_safety":false,"still_a_battery":true,"leaking":false,
            "purpose":"recycling"}});
    let run = |more: &[&str]| {
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), facts.to_string()).unwrap();
        let ran = Command::new(env!("CARGO_BIN_EXE_packdown"))
            .arg("route")
            .arg(file.path())
            .args(more)
            .output()
            .unwrap();
        (ran.status.code(), String::from_utf8(ran.stdout).unwrap())
    };
    // A regime with one mode brings it along, whatever mode the file says of another leg.
    let (code, text) = run(&["--regime", "adr,rid", "--format", "json"]);
    assert_eq!(code, Some(0), "{text}");
    let answer: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(answer["package"]["group"], "Y");
    assert_eq!(answer["legs"][1]["edition"], "RID 2025");
    let (code, text) = run(&["--regime", "adr,air:cargo_aircraft"]);
    assert_eq!(code, Some(1), "{text}");
    assert!(text.contains("air cargo aircraft: forbidden"), "{text}");
    let (code, text) = run(&["--regime", "adr,cfr49:road"]);
    assert_eq!(code, Some(0));
    assert!(text.contains("One package for all 2 legs:"), "{text}");
}
