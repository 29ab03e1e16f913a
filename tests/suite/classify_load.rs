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
        .map(|due| due.rule)
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
fn another_regime_or_day_is_not_answered() {
    let mut rail = load(json!([ion(10.0)]));
    rail["regime"] = json!("rid");
    assert_eq!(answer(&rail).answer, Answer::NotDetermined);
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
