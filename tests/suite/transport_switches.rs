//! The days on which an answer changes, each on either side; what is held for a person to decide;
//! and that every "no" says where it is written and who can cure it.
//!
//! Days: ADR/RID 2025, 1.6.1.1 and 1.6.1.49 (read in an unofficial translation); Decision (EU)
//! 2025/934 with its corrigendum, 89 FR 25434, and the air texts of 2026 (second-hand); the days of
//! 2027 on which the next editions begin and these end, from memory.

use packdown::battery::Chemistry;
use packdown::transport::{Answer, Decision, Facts, PackageAnswer, decide};
use serde_json::{Value, json};

use crate::transport_cases::all_facts;

/// A sound module for recycling, on one leg and day.
fn on(regime: &str, mode: &str, day: &str, more: &Value) -> Decision {
    let mut facts = json!({"regime":regime,"mode":mode,"on":day,"country":"DE",
        "item":{"chemistry":"lithium_ion","rated_energy_wh":5120,"net_mass_kg":30.0,
            "casing":"strong","tested_type":true,"made_on":"2021-05-01",
            "energy_marked_on_case":true,"configuration":"alone","soundness":"sound",
            "recalled_for_safety":false,"still_a_battery":true,"leaking":false,
            "state_of_charge_percent":{"low":20,"high":29},"purpose":"reuse"}});
    lay_over(&mut facts, more);
    let facts: Facts = serde_json::from_value(facts).unwrap();
    decide(&facts)
}

fn lay_over(base: &mut Value, patch: &Value) {
    match (base, patch) {
        (Value::Object(base), Value::Object(patch)) => {
            for (name, value) in patch {
                lay_over(base.entry(name.clone()).or_insert(Value::Null), value);
            }
        }
        (base, patch) => *base = patch.clone(),
    }
}

fn answers(regime: &str, mode: &str, more: &Value, days: [&str; 2]) -> [Answer; 2] {
    days.map(|day| on(regime, mode, day, more).answer)
}

const LAND: [(&str, &str, &str); 2] = [
    ("adr", "road", "adr-next-edition"),
    ("rid", "rail", "rid-next-edition"),
];

#[test]
fn on_9_december_2026_the_waste_codes_change_and_transport_does_not() {
    let waste = json!({"item":{"purpose":"recycling"}});
    for (regime, mode) in [("adr", "road"), ("rid", "rail"), ("imdg", "sea")] {
        let code = |day| {
            let decision = on(regime, mode, day, &waste);
            (decision.answer, decision.waste.unwrap().eu_code)
        };
        let (before, old) = code("2026-12-08");
        let (after, new) = code("2026-12-09");
        assert_eq!(before, after, "{regime}");
        assert_eq!(old.as_deref(), Some("16 06 05"), "{regime}");
        assert_eq!(new.as_deref(), Some("16 06 07*"), "{regime}");
    }
    let household = json!({"item":{"purpose":"recycling","household_collected":true}});
    let code = |day| on("adr", "road", day, &household).waste.unwrap().eu_code;
    assert_eq!(code("2026-12-08").as_deref(), Some("20 01 34"));
    assert_eq!(code("2026-12-09").as_deref(), Some("20 01 43*"));
    // The United States know neither day.
    let american = json!({"item":{"purpose":"recycling"},"country":"US"});
    let waste = |day| on("cfr49", "road", day, &american).waste;
    assert_eq!(waste("2026-12-08"), waste("2026-12-09"));
}

#[test]
fn after_31_december_2026_no_battery_mark_shows_a_telephone_number() {
    let mark = json!({"package":{"battery_mark":"with_telephone"}});
    for (regime, mode) in [
        ("adr", "road"),
        ("rid", "rail"),
        ("imdg", "sea"),
        ("cfr49", "road"),
        ("cfr49", "rail"),
    ] {
        assert_eq!(
            answers(regime, mode, &mark, ["2026-12-31", "2027-01-01"]),
            [Answer::AllowedWith, Answer::Forbidden],
            "{regime} {mode}"
        );
    }
}

#[test]
fn on_1_january_2027_the_next_editions_stand_beside_and_are_named() {
    for (regime, mode, rule) in LAND {
        let named = |day| {
            let decision = on(regime, mode, day, &json!({}));
            let due = decision.requirements.iter().any(|due| due.rule == rule);
            (
                decision.answer,
                due,
                decision.unverified.iter().any(|id| id == rule),
            )
        };
        let usable = Answer::AllowedWith;
        assert_eq!(named("2026-12-31"), (usable, false, false), "{regime}");
        assert_eq!(named("2027-01-01"), (usable, true, true), "{regime}");
        assert_eq!(named("2027-06-30"), (usable, true, true), "{regime}");
        assert_eq!(named("2027-07-01").0, Answer::NotDetermined, "{regime}");
    }
    let sea = |day| on("imdg", "sea", day, &json!({}));
    let names_next = |decision: &Decision| {
        decision
            .requirements
            .iter()
            .any(|due| due.says.contains("From 2027 the next amendment"))
    };
    assert!(!names_next(&sea("2026-12-31")) && names_next(&sea("2027-01-01")));
    assert_eq!(sea("2028-01-01").answer, Answer::NotDetermined);
    // A new text of the air rules each year: none of 2027 was seen.
    for mode in ["cargo_aircraft", "passenger_aircraft"] {
        let flown = json!({"item":{"configuration":"packed_with_equipment","net_mass_kg":4.0,
            "rated_energy_wh":400}});
        let [last, first] = answers("air", mode, &flown, ["2026-12-31", "2027-01-01"]);
        assert_eq!(last, Answer::AllowedWith, "{mode}");
        assert_eq!(first, Answer::NotDetermined, "{mode}");
    }
    // 49 CFR has no edition by year.
    let states = |day| on("cfr49", "road", day, &json!({})).edition;
    assert_eq!(states("2026-12-31"), states("2027-01-01"));
}

#[test]
fn editions_that_ended_before_change_on_their_days() {
    // ADR/RID 2025, 1.6.1.1: the edition of 2023 until 30 June 2025.
    for (regime, mode, _) in LAND {
        let edition = |day| on(regime, mode, day, &json!({})).edition;
        assert_ne!(edition("2024-12-31"), edition("2025-01-01"), "{regime}");
        assert_eq!(edition("2025-06-30"), edition("2025-07-01"), "{regime}");
    }
    // Air: packed with equipment above 30 % recommended in 2025, forbidden from 1 January 2026
    // (lion.com, 21 October 2024, second-hand).
    let charged = json!({"item":{"configuration":"packed_with_equipment",
        "state_of_charge_percent":{"low":45,"high":45}}});
    assert_eq!(
        answers(
            "air",
            "cargo_aircraft",
            &charged,
            ["2025-12-31", "2026-01-01"]
        ),
        [Answer::AllowedWith, Answer::Forbidden]
    );
    // Sodium ion by M354 until 30 June 2025 (second-hand): only before the edition of 2025.
    let sodium = json!({"item":{"chemistry":"sodium_ion_organic"}});
    assert_eq!(
        answers("adr", "road", &sodium, ["2024-12-31", "2025-01-01"]),
        [Answer::NotDetermined, Answer::AllowedWith]
    );
    // Article 77 of Regulation (EU) 2023/1542 (second-hand): the passport from 18 February 2027.
    let passport = |day| {
        let waste = on("adr", "road", day, &json!({})).waste.unwrap();
        waste
            .requirements
            .iter()
            .any(|due| due.rule == "eu-passport")
    };
    assert!(!passport("2027-02-17") && passport("2027-02-18"));
}

/// What the published texts leave open comes back with the question and with who decides.
#[test]
fn what_is_held_names_who_must_decide() {
    let untested = json!({"item":{"tested_type":false}});
    let shorted = json!({"item":{"chemistry":"sodium_ion_organic"},
        "reliefs_claimed":["sp400"]});
    let own_work = json!({"reliefs_claimed":["own_work"]});
    let mixed = json!({"item":{"chemistry":"lithium_sodium_mixed"}});
    let sodium = json!({"item":{"chemistry":"sodium_ion_organic"}});
    let mut held = vec![
        ("adr", "road", &shorted, "adviser"),
        ("rid", "rail", &shorted, "adviser"),
        ("adr", "road", &own_work, "adviser"),
        ("rid", "rail", &own_work, "adviser"),
    ];
    for (regime, mode) in [
        ("adr", "road"),
        ("rid", "rail"),
        ("imdg", "sea"),
        ("air", "cargo_aircraft"),
        ("cfr49", "road"),
        ("cfr49", "rail"),
        ("cfr49", "sea"),
        ("cfr49", "cargo_aircraft"),
    ] {
        held.push((regime, mode, &mixed, "officer"));
        // The adviser in Europe, the officer in the United States.
        let who = if regime == "cfr49" {
            "officer"
        } else {
            "adviser"
        };
        held.push((regime, mode, &untested, who));
        if regime == "cfr49" {
            held.push((regime, mode, &sodium, "officer"));
        }
    }
    for (regime, mode, more, who) in held {
        let decision = on(regime, mode, "2026-11-25", more);
        let case = format!("{regime} {mode} {more}");
        assert_eq!(decision.answer, Answer::NotDetermined, "{case}");
        assert!(
            decision.reasons.iter().any(|reason| {
                reason.way_out.starts_with("ask ") && reason.way_out.contains(who)
            }),
            "{case}: {:?}",
            decision.reasons
        );
    }
    // P903(2) for waste on a pallet: the officer's switch, on the package.
    let pallet = json!({"item":{"purpose":"recycling"},"package":{"kind":"pallet","items":1,
        "net_mass_kg":30.0,"gross_mass_kg":40.0,"short_circuit_protected":true,"secured":true,
        "load_on_terminals":false}});
    for (regime, mode) in [("adr", "road"), ("rid", "rail"), ("imdg", "sea")] {
        let decision = on(regime, mode, "2026-11-25", &pallet);
        assert_eq!(
            decision.package.answer,
            PackageAnswer::NotDetermined,
            "{regime}"
        );
        assert!(
            decision
                .package
                .reasons
                .iter()
                .any(|reason| reason.way_out.contains("ask ")),
            "{regime}: {:?}",
            decision.package.reasons
        );
    }
    // Nickel and lead: out of scope, never taken for something else.
    for chemistry in [Chemistry::LeadAcid, Chemistry::NickelMetalHydride] {
        let other = json!({"item":{"chemistry":chemistry}});
        let decision = on("adr", "road", "2026-11-25", &other);
        assert_eq!(decision.answer, Answer::NotDetermined);
        assert!(decision.entry.is_none());
    }
}

#[test]
fn every_no_says_where_it_is_written_and_what_cures_it() {
    let mut refusals = 0;
    for (id, facts) in all_facts() {
        let decision = decide(&facts);
        let all = decision.reasons.iter().chain(&decision.package.reasons);
        for reason in all {
            assert!(
                !reason.what.is_empty() && !reason.way_out.is_empty(),
                "{id}: {reason:?}"
            );
        }
        // A question about a fact, and a package that waits for its battery, rest on no one clause.
        let of_battery = decision
            .reasons
            .iter()
            .filter(|reason| reason.limit == "may not travel so");
        let of_package = decision
            .package
            .reasons
            .iter()
            .filter(|_| decision.package.answer == PackageAnswer::Refused)
            .filter(|reason| reason.what != "battery" && !reason.limit.is_empty());
        for reason in of_battery.chain(of_package) {
            refusals += 1;
            assert!(!reason.clause.is_empty(), "{id}: {reason:?}");
            // Somebody is named who may do it, in the words of the region.
            let who = [
                "packer",
                "shipper",
                "consignor",
                "qualified",
                "carrier",
                "maker",
                "officer",
                "copy the whole mark",
            ];
            assert!(
                who.iter().any(|who| reason.way_out.contains(who)),
                "{id}: {reason:?}"
            );
        }
    }
    assert!(refusals > 60, "{refusals}");
}

#[test]
fn each_edition_has_its_first_and_its_last_day() {
    // ADR/RID 2025, 1.6.1.1 (read in an unofficial translation); ends of 2027 and the pattern of
    // 2023 from memory; a text of the air a year; 87 FR 79777 for the last amendment that was read.
    use packdown::transport::Edition;
    for (edition, first, last) in [
        (Edition::Adr2023, "2023-01-01", "2025-06-30"),
        (Edition::Rid2023, "2023-01-01", "2025-06-30"),
        (Edition::Adr2025, "2025-01-01", "2027-06-30"),
        (Edition::Rid2025, "2025-01-01", "2027-06-30"),
        (Edition::Imdg42, "2025-01-01", "2027-12-31"),
        (Edition::Air2025, "2025-01-01", "2025-12-31"),
        (Edition::Air2026, "2026-01-01", "2026-12-31"),
        (Edition::Cfr49Of2022, "2022-12-27", ""),
    ] {
        let name = edition.name();
        assert_eq!(edition.first_day().to_string(), first, "{name}");
        let found = edition
            .last_day()
            .map_or_else(String::new, |day| day.to_string());
        assert_eq!(found, last, "{name}");
    }
}
