//! Loads, against the published figures for small loads, fire extinguishers and tunnels.
//!
//! Sources: ADR 2025, 1.1.3.6, 8.1.4, 8.2.1, 8.6.4, 7.5.2.1 (read in an unofficial translation);
//! 49 CFR 172.301(a)(3) and 173.6 (read in copies of 2016 and 2013); letters of interpretation.

use packdown::transport::{Answer, LoadAnswer, check_load};
use serde_json::{Value, json};

fn load(goods: Value) -> Value {
    json!({
        "regime": "adr", "on": "2026-11-25",
        "vehicle": { "max_mass_kg": 3400, "extinguishers_kg": [2] },
        "trailer": false, "driver_certificate": false, "goods": goods
    })
}

fn ion(net: f64) -> Value {
    json!({ "un": "UN 3480", "net_mass_kg": net, "critical": false })
}

fn lead(net: f64) -> Value {
    json!({ "un": "UN 2794", "net_mass_kg": net })
}

fn answer(load: &Value) -> LoadAnswer {
    check_load(&serde_json::from_value(load.clone()).unwrap())
}

fn points(load: &Value) -> (String, bool) {
    let answer = answer(load);
    let points = answer
        .points
        .map_or_else(|| "none".into(), |points| points.to_string());
    (points, answer.small_load)
}

#[test]
fn points_are_net_mass_times_factor_over_vehicle_and_trailer() {
    // ADR 2025, 1.1.3.6.3 and .4 (read). Adviser's answer of 11 February 2026: 6 kg are 18 points;
    // the others are boundary cases of our own (B01, B03, B04) from the text.
    let mut one = ion(6.0);
    one["un"] = json!("UN 3481");
    assert_eq!(points(&load(json!([one]))), ("18".into(), true));
    let mut full = ion(333.0);
    full["gross_mass_kg"] = json!(410);
    assert_eq!(points(&load(json!([full]))), ("999".into(), true));
    assert_eq!(
        points(&load(json!([ion(200.0), lead(350.0)]))),
        ("950".into(), true)
    );
    assert_eq!(
        points(&load(json!([ion(200.0), lead(400.0)]))),
        ("1000".into(), true)
    );
    assert_eq!(
        points(&load(json!([ion(200.0), lead(401.0)]))),
        ("1001".into(), false)
    );
    let mut on_trailer = ion(33.0);
    on_trailer["on"] = json!("trailer");
    let mut drawn = load(json!([ion(300.0), on_trailer.clone()]));
    drawn["trailer"] = json!(true);
    assert_eq!(points(&drawn), ("999".into(), true));
    on_trailer["net_mass_kg"] = json!(33.1);
    drawn["goods"][1] = on_trailer;
    assert!(
        !points(&drawn).1,
        "333.1 kg of category 2 alone are over 333 kg"
    );
}

#[test]
fn a_critical_battery_is_never_a_small_load() {
    // ADR 2025, 3.3 SP 677 with 1.1.3.6.3; our boundary case B06.
    let mut one = ion(20.0);
    one["critical"] = json!(true);
    let found = answer(&load(json!([one])));
    assert!(!found.small_load);
    assert_eq!(
        found.answer,
        Answer::Forbidden,
        "no certificate, one extinguisher"
    );
    let mut unknown = ion(20.0);
    unknown["critical"] = Value::Null;
    let found = answer(&load(json!([unknown])));
    assert!(!found.small_load);
    assert_eq!(found.points, None);
}

#[test]
fn extinguishers_go_by_the_mass_of_the_vehicle() {
    // ADR 2025, 8.1.4.1 and 8.1.4.2 (read).
    let full = |mass: i64, aboard: Value| {
        let mut one = load(json!([ion(400.0)]));
        one["driver_certificate"] = json!(true);
        one["vehicle"] = json!({ "max_mass_kg": mass, "extinguishers_kg": aboard });
        answer(&one).answer
    };
    assert_eq!(full(3_500, json!([2, 2])), Answer::AllowedWith);
    assert_eq!(full(3_500, json!([2])), Answer::Forbidden);
    assert_eq!(full(3_500, json!([4])), Answer::Forbidden);
    assert_eq!(full(3_501, json!([2, 2])), Answer::Forbidden);
    assert_eq!(full(7_500, json!([2, 6])), Answer::AllowedWith);
    assert_eq!(full(7_500, json!([4, 4])), Answer::Forbidden);
    assert_eq!(full(7_501, json!([2, 6])), Answer::Forbidden);
    assert_eq!(full(18_000, json!([6, 6])), Answer::AllowedWith);
    let small = |aboard: Value| {
        let mut one = load(json!([ion(10.0)]));
        one["vehicle"]["extinguishers_kg"] = aboard;
        answer(&one).answer
    };
    assert_eq!(small(json!([2])), Answer::AllowedWith);
    assert_eq!(small(json!([1.999])), Answer::Forbidden);
    assert_eq!(small(json!([])), Answer::Forbidden);
    assert_eq!(small(Value::Null), Answer::NotDetermined);
}

#[test]
fn tunnel_and_certificate_matter_only_above_a_small_load() {
    // ADR 2025, 8.6.3.3, 8.6.4, 8.2.1 (read); our boundary case B29.
    let with = |net: f64, tunnel: &str, certificate: Value| {
        let mut one = load(json!([ion(net)]));
        one["vehicle"]["extinguishers_kg"] = json!([2, 2]);
        one["tunnel"] = json!(tunnel);
        one["driver_certificate"] = certificate;
        answer(&one).answer
    };
    assert_eq!(with(333.0, "E", json!(false)), Answer::AllowedWith);
    assert_eq!(with(334.0, "E", json!(true)), Answer::Forbidden);
    assert_eq!(with(334.0, "D", json!(true)), Answer::AllowedWith);
    assert_eq!(with(334.0, "D", json!(false)), Answer::Forbidden);
    assert_eq!(with(334.0, "D", Value::Null), Answer::NotDetermined);
}

#[test]
fn explosives_stand_apart_but_for_1_4s() {
    // ADR 2025, 7.5.2.1 (read).
    let beside = |label: &str| {
        let other = json!({ "un": "UN 0323", "net_mass_kg": 1, "category": 4, "labels": [label] });
        answer(&load(json!([ion(10.0), other]))).answer
    };
    assert_eq!(beside("1.4S"), Answer::AllowedWith);
    assert_eq!(beside("1.4"), Answer::Forbidden);
    assert_eq!(beside("1"), Answer::Forbidden);
    assert_eq!(beside("3"), Answer::AllowedWith);
    let unknown = json!({ "un": "UN 0323", "net_mass_kg": 1 });
    assert_eq!(
        answer(&load(json!([ion(10.0), unknown]))).answer,
        Answer::NotDetermined
    );
}

fn us(goods: Value) -> Value {
    let mut one = load(goods);
    one["regime"] = json!("cfr49");
    one
}

fn rules(load: &Value) -> Vec<String> {
    answer(load)
        .requirements
        .into_iter()
        .map(|due| due.rule.into_owned())
        .collect()
}

#[test]
fn four_tonnes_of_one_kind_show_their_number() {
    // 49 CFR 172.301(a)(3) (read, text of 2016); our boundary case D16.
    let truck = |gross: i64| {
        let mut goods = ion(3_000.0);
        goods["un"] = json!("UN3480");
        goods["gross_mass_kg"] = json!(gross);
        goods["heaviest_package_net_kg"] = json!(50);
        let mut one = us(json!([goods]));
        one["loaded_at_one_site"] = json!(true);
        one["other_freight"] = json!(false);
        one
    };
    let due = "load-us-number-on-vehicle".to_owned();
    assert!(rules(&truck(4_000)).contains(&due));
    assert!(!rules(&truck(3_999)).contains(&due));
    let mut mixed = truck(4_000);
    mixed["other_freight"] = json!(true);
    assert!(!rules(&mixed).contains(&due));
    // 49 CFR 172.504(f)(9) (read): no class 9 placard.
    assert!(rules(&truck(4_000)).contains(&"load-us-no-placard".to_owned()));
}

#[test]
fn a_package_over_400_kg_is_in_bulk() {
    // Letter of interpretation 23-0052: one battery over 400 kg; 400 kg itself is not.
    let one = |net: f64| {
        let mut goods = ion(900.0);
        goods["gross_mass_kg"] = json!(1_000);
        goods["heaviest_package_net_kg"] = json!(net);
        rules(&us(json!([goods])))
    };
    assert!(one(400.1).contains(&"load-us-bulk-number".to_owned()));
    assert!(!one(400.0).contains(&"load-us-bulk-number".to_owned()));
}

#[test]
fn a_small_module_in_the_installers_own_van_may_be_a_material_of_trade() {
    // 49 CFR 173.6 (read, text of 2013): 200 kg in all; 30 kg a package second-hand. Worked case of
    // the trade: 24 kg in its box may, 52 kg may not.
    let van = |gross: f64, count: usize| {
        let goods: Vec<Value> = (0..count)
            .map(|_| {
                json!({ "un": "UN3480", "net_mass_kg": 20, "gross_mass_kg": gross,
                             "damaged": false, "critical": false })
            })
            .collect();
        let mut one = us(json!(goods));
        one["vehicle"]["private_carrier_for_own_trade"] = json!(true);
        one["hazardous_waste"] = json!(false);
        one
    };
    assert!(answer(&van(24.0, 1)).small_load);
    assert!(answer(&van(30.0, 6)).small_load);
    assert!(!answer(&van(30.1, 1)).small_load);
    assert!(!answer(&van(52.0, 1)).small_load);
    assert!(!answer(&van(30.0, 7)).small_load, "210 kg");
    let mut damaged = van(24.0, 1);
    damaged["goods"][0]["damaged"] = Value::Null;
    assert!(
        !answer(&damaged).small_load,
        "not known counts against the relief"
    );
    let mut waste = van(24.0, 1);
    waste["hazardous_waste"] = json!(true);
    assert!(!answer(&waste).small_load);
}

#[test]
fn by_rail_under_rid_every_load_is_a_full_one() {
    // RID 2025, 1.1.3.6 (read): no relief for small loads; 7.6, CE2: express parcels to 40 kg;
    // 7.5.2.1: explosives apart. Placards on the wagon are from memory, and say so.
    let mut rail = load(json!([ion(10.0)]));
    rail["regime"] = json!("rid");
    rail["goods"][0]["heaviest_package_gross_kg"] = json!(40);
    let found = answer(&rail);
    assert_eq!(found.answer, Answer::AllowedWith);
    assert_eq!((found.points, found.small_load), (None, false));
    let due = |load: &Value, rule: &str| rules(load).contains(&rule.to_owned());
    assert!(due(&rail, "load-rail-no-small-load"));
    assert!(!due(&rail, "load-rail-express"));
    let placards = found
        .requirements
        .iter()
        .find(|due| due.rule == "load-rail-placards")
        .unwrap();
    assert!(
        placards.clause.ends_with("(from memory, unverified)"),
        "{placards:?}"
    );
    rail["goods"][0]["heaviest_package_gross_kg"] = json!(40.001);
    assert!(due(&rail, "load-rail-express"));
    rail["goods"][0]["heaviest_package_gross_kg"] = Value::Null;
    assert!(
        due(&rail, "load-rail-express"),
        "not known counts as too heavy"
    );
    let explosive = json!({ "un": "UN 0323", "net_mass_kg": 1, "labels": ["1"] });
    let mut mixed = rail.clone();
    mixed["goods"] = json!([ion(10.0), explosive]);
    let found = answer(&mixed);
    assert_eq!(found.answer, Answer::Forbidden);
    assert_eq!(found.reasons[0].clause, "RID 2025, 7.5.2.1");
    // No extinguisher, no tunnel, no driver's certificate is asked on a railway.
    assert!(
        found
            .reasons
            .iter()
            .all(|reason| !reason.what.contains("extinguisher"))
    );
}

#[test]
fn by_rail_in_the_united_states_there_are_no_materials_of_trade() {
    // 49 CFR 171.8 and 173.6 (read, text of 2013): by motor vehicle. 172.301(a)(3): vehicle or
    // container alike; 172.504(f)(9): no class 9 placard in domestic carriage.
    let mut goods = ion(20.0);
    goods["gross_mass_kg"] = json!(24);
    goods["damaged"] = json!(false);
    let mut one = us(json!([goods]));
    one["vehicle"]["private_carrier_for_own_trade"] = json!(true);
    one["hazardous_waste"] = json!(false);
    assert!(answer(&one).small_load);
    one["mode"] = json!("rail");
    let found = answer(&one);
    assert!(!found.small_load);
    assert_eq!(found.answer, Answer::AllowedWith);
    let due = rules(&one);
    for rule in [
        "load-us-rail-no-placard",
        "load-us-rail-paper",
        "load-us-trained",
    ] {
        assert!(due.contains(&rule.to_owned()), "{rule}: {due:?}");
    }
    assert!(
        !due.contains(&"load-us-paper".to_owned()),
        "no driver's reach on a train"
    );
    one["goods"][0]["gross_mass_kg"] = json!(4_000);
    assert!(rules(&one).contains(&"load-us-number-on-vehicle".to_owned()));
}

#[test]
fn what_is_not_covered_says_who_decides() {
    for (regime, mode, on, words) in [
        ("adr", "rail", "2026-11-25", "ask the compliance officer"),
        ("rid", "road", "2026-11-25", "ask the compliance officer"),
        ("air", "sea", "2026-11-25", "ask the compliance officer"),
        ("imdg", "sea", "2024-12-31", "ask the compliance officer"),
        ("adr", "road", "2024-12-31", "by the text of that edition"),
    ] {
        let mut one = load(json!([ion(10.0)]));
        one["regime"] = json!(regime);
        one["mode"] = json!(mode);
        one["on"] = json!(on);
        let found = answer(&one);
        assert_eq!(found.answer, Answer::NotDetermined, "{regime}");
        assert!(
            found.reasons[0].way_out.contains(words),
            "{:?}",
            found.reasons
        );
    }
}

#[test]
fn from_2027_on_two_editions_stand_side_by_side() {
    // ADR/RID 2025, 1.6.1.1 (read) for the pattern; the days of 2027 from memory. The text of the
    // next edition was not seen, so after the overlap there is no answer.
    for (regime, rule) in [
        ("adr", "load-next-edition"),
        ("rid", "load-rail-next-edition"),
    ] {
        let on = |day: &str| {
            let mut one = load(json!([ion(10.0)]));
            one["regime"] = json!(regime);
            one["on"] = json!(day);
            one
        };
        let due = |day: &str| rules(&on(day)).contains(&rule.to_owned());
        assert!(
            !due("2026-12-31") && due("2027-01-01") && due("2027-06-30"),
            "{regime}"
        );
        assert_eq!(answer(&on("2027-07-01")).answer, Answer::NotDetermined);
        assert_eq!(
            answer(&on("2024-12-31")).answer,
            Answer::NotDetermined,
            "edition of 2023"
        );
    }
}

#[test]
fn rows_of_loads_and_agreements_belong_to_the_rule_set() {
    let text = packdown::transport::rule_set().text();
    for rule in packdown::transport::load_rules() {
        assert!(text.contains(&rule.to_string()), "{}", rule.id);
        assert!(
            rule.says.ends_with('.') && !rule.clause.is_empty(),
            "{}",
            rule.id
        );
        assert!(
            rule.id
                .split('-')
                .all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase())),
            "{}",
            rule.id
        );
    }
    for line in packdown::transport::agreement_lines() {
        assert!(text.contains(&line), "{line}");
    }
    // The tables behind two of the rows: a changed figure gives another hash.
    for line in [
        "transport category 2: 3 points a kg, at most 333 kg alone; UN 3090 with label 9A",
        "up to 3500 kg permissible mass: two, together at least 4 kg",
        "M354: ended on 2025-06-30",
        "M259: its end is not known",
        "M285: its end is not known",
        "transport category 0: none of it on a small load, at most 0 kg alone\n",
        "transport category 1: 50 points a kg, at most 20 kg alone\n",
        "transport category 3: 1 points a kg, at most 1000 kg alone; UN 2794 with label 8",
        "transport category 4: 0 points a kg, no most\n",
        "fire extinguishers up to 3500000 g: 4000 g together, largest 2000 g",
        "fire extinguishers up to 7500000 g: 8000 g together, largest 6000 g",
        ": 12000 g together, largest 6000 g",
    ] {
        assert!(text.contains(line), "{line}");
    }
}

#[test]
fn another_day_or_nothing_aboard_is_not_answered() {
    let mut later = load(json!([ion(10.0)]));
    later["on"] = json!("2031-01-01");
    assert_eq!(answer(&later).answer, Answer::NotDetermined);
    assert_eq!(answer(&load(json!([]))).answer, Answer::NotDetermined);
    let mut nowhere = load(json!([ion(10.0)]));
    nowhere["goods"][0]["on"] = json!("trailer");
    assert_eq!(
        answer(&nowhere).answer,
        Answer::NotDetermined,
        "there is no trailer"
    );
}

/// One kilogram figure written exactly, in grams.
fn kg(grams: i64) -> Value {
    serde_json::from_str(&format!("{}.{:03}", grams / 1000, grams % 1000)).unwrap()
}

#[test]
fn every_number_and_category_counts_as_the_published_table_says() {
    // ADR 2025, 3.2 Table A, column 15, and 1.1.3.6.3, 1.1.3.6.4 (read in an unofficial
    // translation): factor, and the most of one category alone.
    for (un, factor) in [
        ("UN 2794", 1),
        ("UN 2795", 1),
        ("UN 2800", 1),
        ("UN 3028", 1),
        ("UN 3090", 3),
        ("UN 3091", 3),
        ("UN 3480", 3),
        ("UN 3481", 3),
        ("UN 3536", 3),
        ("UN 3551", 3),
        ("UN 3552", 3),
    ] {
        let goods = json!({ "un": un, "net_mass_kg": 10, "critical": false });
        let (found, small) = points(&load(json!([goods])));
        assert_eq!((found, small), ((10 * factor).to_string(), true), "{un}");
    }
    let alone = |category: u8, grams: i64| {
        let goods = json!({ "un": "UN 1234", "net_mass_kg": kg(grams), "category": category,
            "labels": ["3"] });
        points(&load(json!([goods]))).1
    };
    for (category, most) in [(1, 20_000), (2, 333_000), (3, 1_000_000)] {
        assert!(alone(category, most), "{category}");
        assert!(!alone(category, most + 1), "{category}");
    }
    assert!(!alone(0, 1), "none of category 0");
    assert!(alone(4, 9_000_000), "category 4 has no most");
    // With another category aboard the points decide, not the most of each.
    let mixed = |first: i64, second: i64| {
        let one =
            json!({ "un": "UN 1234", "net_mass_kg": kg(first), "category": 1, "labels": ["3"] });
        let two =
            json!({ "un": "UN 1235", "net_mass_kg": kg(second), "category": 3, "labels": ["3"] });
        points(&load(json!([one, two])))
    };
    assert_eq!(mixed(10_000, 500_000), ("1000".into(), true));
    assert_eq!(mixed(10_000, 500_001), ("1000.001".into(), false));
    let four = json!({ "un": "UN 1236", "net_mass_kg": 5_000, "category": 4, "labels": ["3"] });
    assert_eq!(points(&load(json!([ion(10.0), four]))), ("30".into(), true));
    // No battery of the table is taken for goods that may stand beside explosives.
    for un in ["UN 2990", "UN 3072", "UN 3268"] {
        let other = json!({ "un": un, "net_mass_kg": 1, "category": 4 });
        assert_eq!(
            answer(&load(json!([ion(10.0), other]))).answer,
            Answer::AllowedWith,
            "{un}"
        );
    }
}

#[test]
fn extinguishers_at_every_step_of_the_published_table() {
    // ADR 2025, 8.1.4.1 and 8.1.4.2 (read in an unofficial translation).
    let full = |mass: i64, aboard: &[i64]| {
        let mut one = load(json!([ion(400.0)]));
        one["driver_certificate"] = json!(true);
        let aboard: Vec<Value> = aboard.iter().map(|grams| kg(*grams)).collect();
        one["vehicle"] = json!({ "max_mass_kg": kg(mass), "extinguishers_kg": aboard });
        answer(&one).answer == Answer::AllowedWith
    };
    assert!(full(3_500_000, &[2_000, 2_000]) && !full(3_500_001, &[2_000, 2_000]));
    assert!(!full(3_500_000, &[2_000, 1_999]), "3.999 kg together");
    assert!(!full(3_500_000, &[2_100, 1_999]), "the second below 2 kg");
    assert!(full(7_500_000, &[6_000, 2_000]) && !full(7_500_001, &[6_000, 2_000]));
    assert!(!full(7_500_000, &[5_999, 2_001]), "the largest below 6 kg");
    assert!(!full(7_500_000, &[6_000, 1_999]), "7.999 kg together");
    assert!(full(7_500_001, &[6_000, 6_000]) && !full(7_500_001, &[6_000, 5_999]));
    assert!(
        !full(7_500_001, &[5_999, 5_999, 2_000]),
        "the largest below 6 kg"
    );
    let small = |grams: i64| {
        let mut one = load(json!([ion(10.0)]));
        one["vehicle"]["extinguishers_kg"] = json!([kg(grams)]);
        answer(&one).answer == Answer::AllowedWith
    };
    assert!(small(2_000) && !small(1_999));
}

#[test]
fn limits_of_the_united_states_at_one_gram() {
    // 49 CFR 172.301(a)(3) (read, text of 2016), 173.6 (read, text of 2013; 30 kg second-hand),
    // letter of interpretation 23-0052.
    let due = |grams: i64, rule: &str, name: &str| {
        let mut goods = ion(100.0);
        goods["gross_mass_kg"] = json!(5_000);
        goods["heaviest_package_net_kg"] = json!(50);
        goods[name] = kg(grams);
        rules(&us(json!([goods]))).contains(&rule.to_owned())
    };
    let number = "load-us-number-on-vehicle";
    assert!(due(4_000_000, number, "gross_mass_kg") && !due(3_999_999, number, "gross_mass_kg"));
    let bulk = "load-us-bulk-number";
    assert!(
        due(400_001, bulk, "heaviest_package_net_kg")
            && !due(400_000, bulk, "heaviest_package_net_kg")
    );
    let mut goods = ion(500.0);
    goods["gross_mass_kg"] = json!(600);
    let asked = |grams: i64| {
        goods["net_mass_kg"] = kg(grams);
        answer(&us(json!([goods.clone()]))).answer == Answer::NotDetermined
    };
    let mut asked = asked;
    assert!(
        asked(400_001) && !asked(400_000),
        "one package might hold it all"
    );
    let trade = |package: i64, rest: i64| {
        let one = |gross: i64| {
            json!({ "un": "UN3480", "net_mass_kg": 1, "gross_mass_kg": kg(gross),
                "heaviest_package_gross_kg": kg(package), "damaged": false, "critical": false })
        };
        let mut load = us(json!([one(package), one(rest)]));
        load["vehicle"]["private_carrier_for_own_trade"] = json!(true);
        load["hazardous_waste"] = json!(false);
        answer(&load).small_load
    };
    assert!(
        trade(30_000, 170_000) && !trade(30_000, 170_001),
        "200 kg in all"
    );
    assert!(!trade(30_001, 100_000), "30 kg a package");
    // Two kinds of number aboard: not one.
    let mut second = ion(10.0);
    second["un"] = json!("UN3090");
    second["gross_mass_kg"] = json!(2_000);
    second["heaviest_package_net_kg"] = json!(10);
    let mut first = ion(10.0);
    first["gross_mass_kg"] = json!(2_000);
    first["heaviest_package_net_kg"] = json!(10);
    assert!(!rules(&us(json!([first, second]))).contains(&number.to_owned()));
}

#[test]
fn a_load_that_contradicts_itself_is_asked_about() {
    for (net, gross) in [(10_000, 9_999), (-1, 10_000)] {
        let mut goods = ion(1.0);
        goods["net_mass_kg"] = if net < 0 { json!(-0.001) } else { kg(net) };
        goods["gross_mass_kg"] = kg(gross);
        let found = serde_json::from_value(load(json!([goods]))).map(|load| check_load(&load));
        // A mass below nothing may be refused by the reader already.
        if let Ok(found) = found {
            assert_eq!(found.answer, Answer::NotDetermined, "{net} {gross}");
        }
    }
    let mut goods = ion(10.0);
    goods["gross_mass_kg"] = json!(10);
    assert_eq!(
        answer(&load(json!([goods]))).answer,
        Answer::AllowedWith,
        "gross may equal net"
    );
}

#[test]
fn what_is_small_and_what_is_not_at_every_turn() {
    // ADR 2025, 1.1.3.6.3 and .4, 3.3 SP 677 (read in an unofficial translation).
    let found = answer(&load(json!([ion(0.0)])));
    assert_eq!(found.answer, Answer::AllowedWith, "nothing weighs nothing");
    assert!(found.reasons.is_empty(), "{:?}", found.reasons);
    let small = answer(&load(json!([ion(10.0)])));
    assert!(
        small.small_load && small.reasons.is_empty(),
        "{:?}",
        small.reasons
    );
    // Two categories: the most of one alone does not bind, only the points.
    let mixed = |second: i64| {
        let other = json!({ "un": "UN 2794", "net_mass_kg": kg(second) });
        let mut first = ion(1.0);
        first["net_mass_kg"] = kg(333_300);
        points(&load(json!([first, other])))
    };
    assert_eq!(mixed(1), ("999.901".into(), true));
    assert_eq!(mixed(100), ("1000".into(), true));
    assert_eq!(mixed(101), ("1000.001".into(), false));
    let mut alone = ion(1.0);
    alone["net_mass_kg"] = kg(333_300);
    assert!(!points(&load(json!([alone]))).1);
    // There is no category 5, and a critical battery has no points but a full load's duties, also
    // where nothing is known of what stands beside it.
    let five = json!({ "un": "UN 1234", "net_mass_kg": 1, "category": 5, "labels": ["3"] });
    let found = answer(&load(json!([five])));
    assert_eq!(found.reasons[0].what, "goods.category");
    let mut critical = ion(20.0);
    critical["critical"] = json!(true);
    assert_eq!(
        points(&load(json!([critical.clone()]))),
        ("0".into(), false)
    );
    let mut unknown = ion(1.0);
    unknown["critical"] = Value::Null;
    let both = load(json!([critical, unknown]));
    assert!(rules(&both).contains(&"load-full-plates".to_owned()));
}
