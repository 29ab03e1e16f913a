//! Published scenarios and boundary cases of the transport rules, one data file a regime.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on stops")]

use std::collections::BTreeMap;

use packdown::transport::{Decision, Facts, RuleSet, decide, decide_by, rule_set};
use serde::Deserialize;
use serde_json::Value;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CaseFile {
    #[expect(dead_code, reason = "for the reader of the file")]
    about: String,
    base: Value,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    id: String,
    source: String,
    known: String,
    facts: Value,
    expect: Expect,
}

/// Only what is named is compared.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, default)]
#[derive(Default)]
struct Expect {
    answer: Option<String>,
    edition: Option<String>,
    #[serde(deserialize_with = "present")]
    un: Option<Option<String>>,
    line: Option<String>,
    category: Option<String>,
    statements: Option<Vec<String>>,
    provisions: Option<Vec<String>>,
    packing: Option<Vec<String>>,
    labels: Option<Vec<String>>,
    missing: Option<Vec<String>>,
    marks: Vec<String>,
    no_marks: Vec<String>,
    mark_heights: BTreeMap<String, u32>,
    requires: Vec<String>,
    not_required: Vec<String>,
    unverified: Option<Vec<String>>,
    reason: Option<String>,
    not_reason: Option<String>,
    package: Option<String>,
    package_because: Option<String>,
    #[serde(deserialize_with = "present")]
    eu_code: Option<Option<String>>,
    #[serde(deserialize_with = "present")]
    us: Option<Option<String>>,
    waste: Vec<String>,
    not_waste: Vec<String>,
    no_waste_answer: bool,
}

/// Tells a null that was written from a name that was not.
fn present<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Option<Option<String>>, D::Error> {
    Option::deserialize(from).map(Some)
}

fn lay_over(base: &mut Value, patch: &Value) {
    match (base, patch) {
        (Value::Object(base), Value::Object(patch)) => {
            for (name, value) in patch {
                match value {
                    Value::Null => {
                        base.remove(name);
                    }
                    value => lay_over(base.entry(name.clone()).or_insert(Value::Null), value),
                }
            }
        }
        (base, patch) => *base = patch.clone(),
    }
}

fn word<T: serde::Serialize>(value: T) -> String {
    serde_json::to_value(value)
        .unwrap()
        .as_str()
        .unwrap()
        .to_owned()
}

fn complaints(expect: &Expect, decision: &Decision) -> Vec<String> {
    let mut out = Vec::new();
    let mut same = |what: &str, expected: String, found: String| {
        if expected != found {
            out.push(format!("{what}: expected {expected}, found {found}"));
        }
    };
    let marks: Vec<String> = decision
        .marks
        .iter()
        .map(|mark| mark.text.to_string())
        .collect();
    let rules: Vec<&str> = decision.requirements.iter().map(|due| &*due.rule).collect();
    if let Some(answer) = &expect.answer {
        same("answer", answer.clone(), word(decision.answer));
    }
    if let Some(edition) = &expect.edition {
        same("edition", edition.clone(), decision.edition.to_string());
    }
    if let Some(un) = &expect.un {
        let found = decision.entry.as_ref().map(|entry| entry.un.clone());
        same("un", format!("{un:?}"), format!("{found:?}"));
    }
    if let Some(line) = &expect.line {
        same("line", line.clone(), decision.document.line.clone());
    }
    if let Some(category) = &expect.category {
        same(
            "category",
            category.clone(),
            decision
                .transport_category
                .as_deref()
                .unwrap_or_default()
                .to_owned(),
        );
    }
    for (what, expected, found) in [
        (
            "statements",
            &expect.statements,
            &decision.document.statements,
        ),
        ("provisions", &expect.provisions, &decision.provisions),
        ("packing", &expect.packing, &decision.packing_instructions),
        ("labels", &expect.labels, &decision.labels),
        ("missing", &expect.missing, &decision.missing),
    ] {
        if let Some(expected) = expected {
            same(what, expected.join("; "), found.join("; "));
        }
    }
    for mark in &expect.marks {
        same(
            mark,
            "a mark".into(),
            if marks.contains(mark) {
                "a mark"
            } else {
                "none"
            }
            .into(),
        );
    }
    for mark in &expect.no_marks {
        same(
            mark,
            "none".into(),
            if marks.contains(mark) {
                "a mark"
            } else {
                "none"
            }
            .into(),
        );
    }
    for (text, height) in &expect.mark_heights {
        // One mark of these words, not two of different heights.
        let found: Vec<u32> = decision
            .marks
            .iter()
            .filter(|mark| mark.text == *text)
            .map(|mark| mark.min_height_mm)
            .collect();
        same(text, format!("{:?}", [height]), format!("{found:?}"));
    }
    for rule in &expect.requires {
        let found = rules.contains(&rule.as_str());
        same(
            rule,
            "required".into(),
            if found { "required" } else { "not" }.into(),
        );
    }
    for rule in &expect.not_required {
        let found = rules.contains(&rule.as_str());
        same(
            rule,
            "not".into(),
            if found { "required" } else { "not" }.into(),
        );
    }
    match &expect.unverified {
        Some(expected) if expected.is_empty() => {
            same("unverified", String::new(), decision.unverified.join("; "));
        }
        Some(expected) => {
            for rule in expected {
                let found = decision.unverified.iter().any(|name| name == rule);
                same(
                    rule,
                    "unverified".into(),
                    if found { "unverified" } else { "not" }.into(),
                );
            }
        }
        None => {}
    }
    if let Some(words) = &expect.reason {
        let found = decision
            .reasons
            .iter()
            .any(|reason| reason.to_string().contains(words));
        same(
            "reason",
            words.clone(),
            if found {
                words.clone()
            } else {
                format!("{:?}", decision.reasons)
            },
        );
    }
    if let Some(words) = &expect.not_reason {
        let found = decision
            .reasons
            .iter()
            .any(|reason| reason.to_string().contains(words));
        same(words, false.to_string(), found.to_string());
    }
    if let Some(package) = &expect.package {
        same("package", package.clone(), word(decision.package.answer));
    }
    if let Some(words) = &expect.package_because {
        let found = decision
            .package
            .reasons
            .iter()
            .any(|reason| reason.to_string().contains(words));
        same(
            "package because",
            words.clone(),
            if found {
                words.clone()
            } else {
                format!("{:?}", decision.package.reasons)
            },
        );
    }
    let judged = decision.waste.clone().unwrap_or_default();
    if let Some(code) = &expect.eu_code {
        same(
            "eu_code",
            format!("{code:?}"),
            format!("{:?}", judged.eu_code),
        );
    }
    if let Some(us) = &expect.us {
        same(
            "us",
            format!("{us:?}"),
            format!("{:?}", judged.us.map(word)),
        );
    }
    let due: Vec<&str> = judged.requirements.iter().map(|due| &*due.rule).collect();
    for (rules, expected) in [(&expect.waste, true), (&expect.not_waste, false)] {
        for rule in rules {
            let found = due.contains(&rule.as_str());
            same(rule, expected.to_string(), found.to_string());
        }
    }
    if expect.no_waste_answer {
        same("waste", "None".into(), format!("{:?}", decision.waste));
    }
    out
}

/// The facts and the sources of every case; the other tests of the table use them too.
pub(crate) fn all_facts() -> Vec<(String, Facts)> {
    cases()
        .into_iter()
        .map(|(case, facts)| (case.id, facts))
        .collect()
}

fn cases() -> Vec<(Case, Facts)> {
    [
        include_str!("../cases/transport-adr-road.json"),
        include_str!("../cases/transport-adr-more.json"),
        include_str!("../cases/transport-rid.json"),
        include_str!("../cases/transport-imdg.json"),
        include_str!("../cases/transport-air.json"),
        include_str!("../cases/transport-us-highway.json"),
        include_str!("../cases/transport-us-modes.json"),
        include_str!("../cases/transport-limits.json"),
        include_str!("../cases/transport-waste.json"),
    ]
    .into_iter()
    .flat_map(|text| {
        let file: CaseFile = serde_json::from_str(text).unwrap();
        file.cases.into_iter().map(move |case| {
            let mut facts = file.base.clone();
            lay_over(&mut facts, &case.facts);
            let facts = serde_json::from_value(facts).unwrap();
            (case, facts)
        })
    })
    .collect()
}

#[test]
fn every_published_and_boundary_case_is_decided_as_its_source_says() {
    let mut wrong = Vec::new();
    for (case, facts) in cases() {
        assert!(
            !case.source.is_empty() && !case.known.is_empty(),
            "{}",
            case.id
        );
        let decision = decide(&facts);
        for complaint in complaints(&case.expect, &decision) {
            wrong.push(format!(
                "{} [{}; {}]: {complaint}",
                case.id, case.source, case.known
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn the_answer_has_the_names_of_the_contract() {
    let (_, facts) = all_facts()
        .into_iter()
        .find(|(id, _)| id == "contract")
        .unwrap();
    let answer = serde_json::to_value(decide(&facts)).unwrap();
    for name in [
        "answer",
        "edition",
        "rule_set",
        "entry",
        "provisions",
        "packing_instructions",
        "transport_category",
        "marks",
        "labels",
        "document",
        "requirements",
        "package",
        "missing",
        "reasons",
        "unverified",
        "trace",
    ] {
        assert!(answer.get(name).is_some(), "{name}");
    }
    assert_eq!(
        answer["entry"],
        serde_json::json!({"un":"UN 3480","proper_shipping_name":"LITHIUM ION BATTERIES",
            "hazard_class":"9","label":"9A"})
    );
    assert_eq!(
        answer["marks"],
        serde_json::json!([{"text":"UN 3480","min_height_mm":12},
            {"text":"LITHIUM BATTERIES FOR RECYCLING","min_height_mm":12}])
    );
    assert_eq!(
        answer["package"],
        serde_json::json!({"answer":"accepted","reasons":[]})
    );
    let name = answer["rule_set"].as_str().unwrap();
    assert!(
        name.starts_with("sha256:") && name.len() == 7 + 64,
        "{name}"
    );
}

/// Whether some case is decided otherwise than its source says by these rows.
pub(crate) fn noticed(rules: &RuleSet) -> bool {
    cases()
        .iter()
        .any(|(case, facts)| !complaints(&case.expect, &decide_by(rules, facts)).is_empty())
}

#[test]
fn no_row_can_be_dropped_without_failing_a_case() {
    let cases = cases();
    let mut idle = Vec::new();
    for dropped in rule_set().rules() {
        let fewer = RuleSet::of(
            rule_set()
                .rules()
                .iter()
                .copied()
                .filter(|rule| rule.id != dropped.id)
                .collect(),
        );
        let noticed = cases
            .iter()
            .any(|(case, facts)| !complaints(&case.expect, &decide_by(&fewer, facts)).is_empty());
        if !noticed {
            idle.push(dropped.id);
        }
    }
    assert!(idle.is_empty(), "no case needs {}", idle.join(", "));
}
