//! Past answers, one file an edition: fact sets with the decisions they had. A difference is a change
//! of law as we tell it, so it is made on purpose: `PACKDOWN_BLESS=1` writes the files anew.

use std::path::PathBuf;

use packdown::battery::{Casing, Chemistry};
use packdown::transport::{Configuration, Decision, Edition, Facts, decide_untraced};
use packdown::units::Grams;

use crate::transport_cases::all_facts;
use crate::transport_table::{PURPOSES, SOUNDNESSES};

const HEAD: [&str; 13] = [
    "facts",
    "answer",
    "un",
    "provisions",
    "packing",
    "category",
    "marks",
    "labels",
    "line",
    "statements",
    "missing",
    "package",
    "waste",
];

fn path(edition: Edition) -> PathBuf {
    let name: String = edition
        .name()
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/frozen")
        .join(format!(
            "{}.csv",
            name.trim_end_matches('-').replace("--", "-")
        ))
}

fn word<T: serde::Serialize>(value: T) -> String {
    serde_json::to_value(value)
        .unwrap()
        .as_str()
        .unwrap()
        .to_owned()
}

fn outcome(decision: &Decision) -> Vec<String> {
    let entry = decision.entry.as_ref();
    let marks: Vec<String> = decision
        .marks
        .iter()
        .map(|mark| format!("{} {}", mark.text, mark.min_height_mm))
        .collect();
    let waste = decision.waste.clone().unwrap_or_default();
    vec![
        word(decision.answer),
        entry.map_or(String::new(), |entry| entry.un.to_string()),
        decision.provisions.join("; "),
        decision.packing_instructions.join("; "),
        decision
            .transport_category
            .as_deref()
            .unwrap_or_default()
            .to_owned(),
        marks.join("; "),
        decision.labels.join("; "),
        decision.document.line.clone(),
        decision.document.statements.join("; "),
        decision.missing.join("; "),
        word(decision.package.answer),
        format!(
            "{}{}",
            waste.eu_code.unwrap_or_default(),
            waste.us.map(word).unwrap_or_default()
        ),
    ]
}

/// The published and boundary cases of the edition.
fn cases_of(edition: Edition) -> Vec<Facts> {
    all_facts()
        .into_iter()
        .map(|(_, facts)| facts)
        .filter(|facts| decide_untraced(facts).edition == edition.name())
        .collect()
}

/// The cases of the edition, and a product around one of them.
fn fact_sets(edition: Edition) -> Vec<Facts> {
    let mut sets = cases_of(edition);
    let on = edition
        .last_day()
        .or_else(|| chrono::NaiveDate::from_ymd_opt(2026, 11, 25));
    let on = on
        .unwrap()
        .min(chrono::NaiveDate::from_ymd_opt(2026, 11, 25).unwrap());
    let on = if edition == Edition::Adr2023 || edition == Edition::Rid2023 {
        // Its own last day before the next edition may be used.
        chrono::NaiveDate::from_ymd_opt(2024, 12, 31).unwrap()
    } else {
        on
    };
    let (_, base) = all_facts()
        .into_iter()
        .find(|(id, _)| id == "contract")
        .unwrap();
    for mode in edition.modes() {
        for chemistry in [
            Chemistry::LithiumIon,
            Chemistry::LithiumMetal,
            Chemistry::SodiumIonOrganic,
        ] {
            for configuration in [
                Configuration::Alone,
                Configuration::PackedWithEquipment,
                Configuration::ContainedInEquipment,
                Configuration::InCargoTransportUnit,
            ] {
                if chemistry != Chemistry::LithiumIon && configuration != Configuration::Alone {
                    continue;
                }
                for soundness in SOUNDNESSES {
                    for purpose in PURPOSES {
                        let n = sets.len();
                        let mut facts = base.clone();
                        facts.id = None;
                        facts.regime = edition.regime();
                        facts.mode = Some(*mode);
                        facts.on = Some(on);
                        facts.item.chemistry = Some(chemistry);
                        facts.item.configuration = Some(configuration);
                        facts.item.soundness = Some(soundness);
                        facts.item.purpose = Some(purpose);
                        // The rest varies with the place in the list, so that each is seen.
                        facts.item.tested_type = Some(!n.is_multiple_of(3));
                        facts.item.casing = Some(if n.is_multiple_of(2) {
                            Casing::Strong
                        } else {
                            Casing::Weak
                        });
                        facts.item.net_mass_kg = Some(Grams::thousandths(if n.is_multiple_of(5) {
                            30_000
                        } else {
                            48_000
                        }));
                        facts.package = None;
                        sets.push(facts);
                    }
                }
            }
        }
    }
    sets
}

#[test]
fn past_answers_are_as_they_were() {
    let bless = std::env::var_os("PACKDOWN_BLESS").is_some();
    for edition in Edition::ALL {
        let path = path(edition);
        if bless {
            // What is frozen stays: only new cases are added. To change an answer on purpose, take
            // its row out by hand first.
            let frozen: Vec<csv::StringRecord> = csv::Reader::from_path(&path)
                .map(|mut read| read.records().map(Result::unwrap).collect())
                .unwrap_or_default();
            let new = if frozen.is_empty() {
                fact_sets(edition)
            } else {
                cases_of(edition)
            };
            let mut out = csv::Writer::from_path(&path).unwrap();
            out.write_record(HEAD).unwrap();
            for row in &frozen {
                out.write_record(row).unwrap();
            }
            for facts in new {
                let mut row = vec![serde_json::to_string(&facts).unwrap()];
                if frozen.iter().any(|old| old[0] == row[0]) {
                    continue;
                }
                row.extend(outcome(&decide_untraced(&facts)));
                out.write_record(&row).unwrap();
            }
            out.flush().unwrap();
            continue;
        }
        let mut read = csv::Reader::from_path(&path).unwrap();
        assert_eq!(read.headers().unwrap().iter().collect::<Vec<_>>(), HEAD);
        let mut rows = 0_u32;
        for row in read.records() {
            let row = row.unwrap();
            let facts: Facts = serde_json::from_str(&row[0]).unwrap();
            let decision = decide_untraced(&facts);
            assert_eq!(decision.edition, edition.name());
            let was: Vec<&str> = row.iter().skip(1).collect();
            assert_eq!(outcome(&decision), was, "{}: {}", path.display(), &row[0]);
            rows += 1;
        }
        assert!(rows >= 240, "{}: only {rows} rows", path.display());
    }
}
