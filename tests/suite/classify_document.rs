//! Transport documents, right and wrong, against published rules and official examples.
//!
//! Sources: ADR 2025, 5.4.1.1.1, 5.4.1.1.3, 1.1.3.6, 1.5.1, 3.3 SP 376 and 677 (read in an
//! unofficial translation); 49 CFR 172.202 (read) and letter of interpretation 25-0098 (read in
//! part). Each case names its own.

use packdown::transport::{DocumentStanding, check_document};
use serde_json::{Value, json};

/// A sound battery on its way to a recycler, with a document that is right.
fn right() -> Value {
    json!({
        "regime": "adr", "on": "2026-11-25",
        "facts": { "regime": "adr", "item": {
            "chemistry": "lithium_ion", "configuration": "alone", "soundness": "sound",
            "recalled_for_safety": false, "leaking": false, "purpose": "recycling",
            "net_mass_kg": 48 } },
        "lines": ["UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E)", "1 box, 48 kg net"],
        "statements": [],
        "quantity": { "net_mass_kg": 48.0, "estimated": false },
        "small_load": true, "points": 144
    })
}

fn line(text: &str) -> Value {
    let mut asked = right();
    asked["lines"][0] = json!(text);
    asked
}

fn answer(asked: &Value) -> (DocumentStanding, Vec<String>) {
    let asked = serde_json::from_value(asked.clone()).unwrap();
    let answer = check_document(&asked);
    let whats = answer
        .reasons
        .iter()
        .map(|reason| reason.what.clone())
        .collect();
    (answer.answer, whats)
}

fn refused(asked: &Value, what: &str) {
    let (standing, whats) = answer(asked);
    assert_eq!(standing, DocumentStanding::Refused, "{asked}");
    assert_eq!(whats, [what], "{asked}");
}

fn accepted(asked: &Value) {
    assert_eq!(
        answer(asked),
        (DocumentStanding::Accepted, vec![]),
        "{asked}"
    );
}

#[test]
fn the_line_of_the_rule_is_accepted_in_any_case_and_with_text_around_it() {
    // ADR 2025, 5.4.1.1.1 (order and what is free), 5.4.1.1.2 (capitals are not prescribed).
    for text in [
        "UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E)",
        "UN3480 waste lithium ion batteries, 9 (E)",
        "1 box: UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E), 48 kg",
    ] {
        accepted(&line(text));
    }
}

#[test]
fn the_number_of_the_label_is_no_class() {
    // ADR 2025, 5.4.1.1.1(c); our boundary case B25.
    refused(
        &line("UN 3480 WASTE LITHIUM ION BATTERIES, 9A, (E)"),
        "class in the transport document",
    );
    // Also where the right class stands beside it.
    refused(
        &line("UN 3480 WASTE LITHIUM ION BATTERIES, 9 (9A), (E)"),
        "class in the transport document",
    );
}

#[test]
fn a_packing_group_is_never_printed() {
    // ADR 2025, 3.2 Table A, column 4; a waste form that still declares "9, II, (E)".
    for text in [
        "UN 3480 WASTE LITHIUM ION BATTERIES, 9, II, (E)",
        "UN 3480 WASTE LITHIUM ION BATTERIES, 9, PG II, (E)",
        "UN 3480 WASTE LITHIUM ION BATTERIES, 9, II",
    ] {
        refused(&line(text), "packing group in the transport document");
    }
}

#[test]
fn the_order_is_kept_and_nothing_stands_between() {
    // ADR 2025, 5.4.1.1.1, the words below (k).
    refused(
        &line("WASTE LITHIUM ION BATTERIES, UN 3480, 9, (E)"),
        "order of the line",
    );
    for text in [
        "UN 3480 WASTE LITHIUM ION BATTERIES, 48 kg, 9, (E)",
        "UN 3480, 1 box, WASTE LITHIUM ION BATTERIES, 9, (E)",
        "UN 3480 WASTE LITHIUM ION BATTERIES, 9, 48 kg, (E)",
    ] {
        refused(&line(text), "something between the parts of the line");
    }
}

#[test]
fn number_name_waste_word_and_tunnel_code_are_looked_at() {
    refused(
        &line("UN 3481 WASTE LITHIUM ION BATTERIES, 9, (E)"),
        "UN number",
    );
    refused(
        &line("UN 3480 WASTE LITHIUM BATTERIES, 9, (E)"),
        "proper shipping name",
    );
    // ADR 2025, 5.4.1.1.3.1, official example with the word before the name.
    refused(
        &line("UN 3480 LITHIUM ION BATTERIES, 9, (E)"),
        "word WASTE before the name",
    );
    refused(
        &line("UN 3480 WASTE LITHIUM ION BATTERIES, 9, (D)"),
        "tunnel code",
    );
    refused(
        &line("48 kg of batteries"),
        "line of the transport document",
    );
    // 5.4.1.1.1(k): due only where the way passes such tunnels; a small load may pass them all.
    accepted(&line("UN 3480 WASTE LITHIUM ION BATTERIES, 9"));
    let mut full = line("UN 3480 WASTE LITHIUM ION BATTERIES, 9");
    full["small_load"] = json!(false);
    assert_eq!(
        answer(&full),
        (DocumentStanding::NotDetermined, vec!["tunnel code".into()])
    );
}

#[test]
fn a_small_load_needs_points_and_a_weighed_quantity() {
    // ADR 2025, 5.4.1.1.1(f), 5.4.1.1.3.2, 1.1.3.6.3; worked case: 5 modules of 52 kg, 780 points.
    let mut asked = right();
    asked["quantity"]["net_mass_kg"] = json!(260);
    asked["points"] = json!(780);
    accepted(&asked);
    asked["points"] = json!(779);
    refused(&asked, "points of the small load");
    asked["points"] = Value::Null;
    refused(&asked, "points of the small load");
    asked["points"] = json!(1001);
    refused(&asked, "points of the small load");
    // Our boundary case B27.
    let mut asked = right();
    asked["quantity"]["estimated"] = json!(true);
    refused(&asked, "quantity");
    // Waste may be estimated on a full load.
    asked["small_load"] = json!(false);
    accepted(&asked);
    asked["quantity"] = Value::Null;
    assert_eq!(answer(&asked).0, DocumentStanding::NotDetermined);
}

#[test]
fn statements_are_there_where_due_and_only_there() {
    // ADR 2025, 3.3 SP 376 and SP 677; document cases of 5.4.1.1.1.
    let sp376 = "Transport in accordance with special provision 376";
    let mut asked = right();
    asked["facts"]["item"]["soundness"] = json!("damaged");
    refused(&asked, "statement in the transport document");
    asked["statements"] = json!([sp376]);
    accepted(&asked);
    // Critical: category 0, so a second statement and no small load.
    asked["facts"]["item"]["soundness"] = json!("critical");
    asked["statements"] = json!([sp376, "Transport category 0"]);
    refused(&asked, "relief for small loads");
    asked["small_load"] = json!(false);
    accepted(&asked);
    asked["statements"] = json!([sp376]);
    refused(&asked, "statement in the transport document");
    // A statement that is not due says something else than the facts.
    let mut asked = right();
    asked["statements"] = json!([sp376]);
    refused(&asked, "statement in the transport document");
}

#[test]
fn an_agreement_that_has_ended_is_refused() {
    // Published scenario: M307 good in 2018, ended 31 December 2018; M354 until 30 June 2025.
    for (name, day, standing) in [
        ("M307", "2026-11-25", DocumentStanding::Refused),
        ("M354", "2025-06-30", DocumentStanding::Accepted),
        ("M354", "2025-07-01", DocumentStanding::Refused),
        ("M399", "2026-11-25", DocumentStanding::NotDetermined),
    ] {
        let mut asked = right();
        asked["on"] = json!(day);
        asked["statements"] = json!([format!(
            "Carriage agreed under the terms of section 1.5.1 of ADR ({name})"
        )]);
        assert_eq!(answer(&asked).0, standing, "{name} on {day}");
    }
}

#[test]
fn universal_waste_is_no_part_of_the_name() {
    // Letter of interpretation 25-0098, 6 January 2026 (part read); 49 CFR 172.202(a), (b).
    let us = |text: &str| {
        let mut asked = right();
        asked["regime"] = json!("cfr49");
        asked["facts"]["regime"] = json!("cfr49");
        asked["facts"]["mode"] = json!("road");
        asked["small_load"] = json!(false);
        asked["points"] = Value::Null;
        asked["lines"] = json!([text]);
        asked
    };
    accepted(&us("UN3480, Lithium ion batteries, 9"));
    refused(
        &us("UN3480, Universal Waste Lithium ion batteries, 9"),
        "proper shipping name",
    );
    refused(
        &us("UN3480, Waste Lithium ion batteries, 9"),
        "word WASTE before the name",
    );
    refused(
        &us("UN3480, Lithium ion batteries, 9, PG II, 48 kg"),
        "packing group in the transport document",
    );
    let mut small = us("UN3480, Lithium ion batteries, 9");
    small["small_load"] = json!(true);
    refused(&small, "relief for small loads");
}

#[test]
fn what_is_not_known_or_contradicts_is_asked() {
    let mut asked = right();
    asked["facts"]["on"] = json!("2026-11-26");
    assert_eq!(answer(&asked).0, DocumentStanding::NotDetermined);
    let mut asked = right();
    asked["facts"]["item"]["chemistry"] = Value::Null;
    assert_eq!(answer(&asked).0, DocumentStanding::NotDetermined);
    let mut asked = right();
    asked["lines"] = json!([]);
    refused(&asked, "line of the transport document");
}

#[test]
fn every_agreement_ends_on_its_own_day() {
    // Last days second-hand, from pages that list the agreements; ADR 2025, 1.5.1 (read in an
    // unofficial translation): an agreement that has ended carries nothing.
    for (name, last, after) in [
        ("M292", "2016-12-31", "2017-01-01"),
        ("M307", "2018-12-31", "2019-01-01"),
        ("M354", "2025-06-30", "2025-07-01"),
    ] {
        let on = |day: &str| {
            let mut asked = right();
            asked["on"] = json!(day);
            asked["facts"]["on"] = json!(day);
            asked["statements"] = json!([format!("Carriage by agreement {name}")]);
            let found = check_document(&serde_json::from_value(asked).unwrap());
            found
                .reasons
                .iter()
                .any(|reason| reason.value == format!("{name}, ended on {last}"))
        };
        assert!(!on(last), "{name} on its last day");
        assert!(on(after), "{name} the day after");
    }
    for name in ["M259", "M285", "M999"] {
        let mut asked = right();
        asked["statements"] = json!([format!("Carriage by agreement {name}")]);
        let found = check_document(&serde_json::from_value(asked).unwrap());
        assert_eq!(found.answer, DocumentStanding::NotDetermined, "{name}");
        assert!(
            found.reasons[0]
                .way_out
                .contains("show that it is in force")
        );
    }
}

#[test]
fn by_rail_the_hazard_number_stands_before_the_line_where_plates_are_fitted() {
    // RID 2025, 5.4.1.1.1(j) and its official example `663, UN 1098 ALLYL ALCOHOL, 6.1 (3), I`
    // (read in an unofficial translation); 3.2 Table A, column 20: 90 for every battery here.
    let rail = |line: &str| {
        let mut asked = right();
        asked["regime"] = json!("rid");
        asked["facts"]["regime"] = json!("rid");
        asked["small_load"] = json!(false);
        asked["points"] = Value::Null;
        asked["lines"][0] = json!(line);
        asked
    };
    accepted(&rail("UN 3480 WASTE LITHIUM ION BATTERIES, 9"));
    accepted(&rail("90, UN 3480 WASTE LITHIUM ION BATTERIES, 9"));
    for wrong in ["663", "X90", "33"] {
        let asked = rail(&format!("{wrong}, UN 3480 WASTE LITHIUM ION BATTERIES, 9"));
        refused(&asked, "hazard number before the UN number");
    }
}

#[test]
fn the_official_examples_have_the_order_that_is_asked_for() {
    // ADR 2025, 5.4.1.1.1: `UN 1098 ALLYL ALCOHOL, 6.1 (3), I, (C/D)`; 5.4.1.1.3.1: `UN 1230 WASTE
    // METHANOL, 3 (6.1), II, (D/E)` (read in an unofficial translation). The same order with our
    // entry, which has no packing group, is accepted; each exchange of two parts is refused.
    accepted(&line("UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E)"));
    for other in [
        "WASTE LITHIUM ION BATTERIES, UN 3480, 9, (E)",
        "UN 3480, 9, WASTE LITHIUM ION BATTERIES, (E)",
        "9, UN 3480 WASTE LITHIUM ION BATTERIES (E)",
        "UN 3480 LITHIUM ION BATTERIES WASTE, 9, (E)",
        "UN 3480 WASTE LITHIUM ION BATTERIES, II, 9, (E)",
    ] {
        let (standing, _) = answer(&line(other));
        assert_eq!(standing, DocumentStanding::Refused, "{other}");
    }
}

#[test]
fn a_tunnel_code_of_other_goods_is_refused() {
    // ADR 2025, 3.2 Table A, column 15 (read in an unofficial translation): (E) for batteries; the
    // forms of a code.
    for code in ["(D)", "(D/E)", "(C/D)", "(B1000C)"] {
        refused(
            &line(&format!("UN 3480 WASTE LITHIUM ION BATTERIES, 9, {code}")),
            "tunnel code",
        );
    }
    // A remark in brackets is free text behind the class.
    let mut full = line("UN 3480 WASTE LITHIUM ION BATTERIES, 9 (12 boxes)");
    full["small_load"] = json!(true);
    let (standing, _) = answer(&full);
    assert_ne!(standing, DocumentStanding::Refused);
}

#[test]
fn agreements_count_once_each_and_end_after_their_last_day() {
    // ADR 2025, 1.5.1 (read in an unofficial translation); last days second-hand.
    let mut asked = right();
    asked["statements"] = json!(["M307 and M292", "again M307"]);
    let (standing, whats) = answer(&asked);
    assert_eq!(standing, DocumentStanding::Refused);
    assert_eq!(whats, ["agreement quoted in the document"; 2], "each once");
    asked["statements"] = json!(["M307 and M292"]);
    assert_eq!(answer(&asked).1.len(), 2, "both");
    for (kind, expires_on, refused) in [
        ("multilateral_agreement", "2026-11-24", true),
        ("multilateral_agreement", "2026-11-25", false),
        ("competent_authority", "2026-11-24", false),
    ] {
        let mut asked = right();
        asked["facts"]["approvals"] =
            json!([{ "kind": kind, "reference": "M999", "expires_on": expires_on }]);
        let (_, whats) = answer(&asked);
        let found = whats.contains(&"agreement among the approvals".to_owned());
        assert_eq!(found, refused, "{kind} {expires_on}");
    }
}

#[test]
fn quantity_and_points_at_their_limits() {
    // ADR 2025, 1.1.3.6.3, 1.1.3.6.4, 5.4.1.1.1(f) (read in an unofficial translation).
    let with = |net: Value, points: Value| {
        let mut asked = right();
        asked["quantity"]["net_mass_kg"] = net;
        asked["points"] = points;
        asked
    };
    accepted(&with(json!(0.001), json!(1)));
    refused(&with(json!(0), json!(1)), "quantity");
    accepted(&with(json!(333), json!(999)));
    accepted(&with(json!(333), json!(1_000)));
    refused(
        &with(json!(333), json!(1_000.001)),
        "points of the small load",
    );
    refused(&with(json!(333), json!(998)), "points of the small load");
}

#[test]
fn a_class_that_is_missing_is_named_and_words_before_the_number_are_no_hazard_number() {
    // ADR 2025, 5.4.1.1.1(c); RID 2025, 5.4.1.1.1(j): two or three figures, with an X before them.
    refused(
        &line("UN 3480 WASTE LITHIUM ION BATTERIES, (E)"),
        "class in the transport document",
    );
    let rail = |before: &str| {
        let mut asked = right();
        asked["regime"] = json!("rid");
        asked["facts"]["regime"] = json!("rid");
        asked["small_load"] = json!(false);
        asked["points"] = Value::Null;
        asked["lines"][0] = json!(format!("{before} UN 3480 WASTE LITHIUM ION BATTERIES, 9"));
        asked
    };
    refused(&rail("X423,"), "hazard number before the UN number");
    refused(&rail("1234,"), "hazard number before the UN number");
    accepted(&rail("1 box:"));
    accepted(&rail("order 12345,"));
    accepted(&rail("9,"));
}
