//! The rows of waste law as a whole: their form, that each holds in a case and fails in another, and
//! that every battery for waste has one answer.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use packdown::citation::Known;
use packdown::transport::{
    Facts, Regime, UsWaste, WasteEffect, WasteLaw, judge_waste, waste_law, waste_rules,
};

use crate::transport_cases::all_facts;
use crate::transport_table::{CHEMISTRIES, PURPOSES, SOUNDNESSES};

#[test]
fn every_row_is_filled_in_once() {
    let mut seen = BTreeSet::new();
    for rule in waste_rules() {
        assert!(seen.insert(rule.id), "{} twice", rule.id);
        assert!(
            rule.says.ends_with('.') && !rule.says.contains(". "),
            "{}: one sentence",
            rule.id
        );
        assert!(
            !rule.document.is_empty() && !rule.place.is_empty(),
            "{}",
            rule.id
        );
        let days = [rule.valid_from, rule.valid_to].into_iter().flatten();
        assert!(days.clone().all(|day| day != NaiveDate::MIN), "{}", rule.id);
        // Codes whose names were seen in lists or written from memory say so.
        if matches!(rule.effect, WasteEffect::EuCode(_)) {
            assert_ne!(rule.basis, Known::Read, "{}", rule.id);
        }
    }
}

#[test]
fn every_row_holds_in_a_case_and_fails_in_another() {
    let cases = all_facts();
    for rule in waste_rules() {
        let of_law: Vec<&Facts> = cases
            .iter()
            .map(|(_, facts)| facts)
            .filter(|facts| waste_law(facts) == rule.law)
            .collect();
        assert!(of_law.iter().any(|facts| rule.holds(facts)), "{}", rule.id);
        assert!(of_law.iter().any(|facts| !rule.holds(facts)), "{}", rule.id);
    }
}

#[test]
fn waste_has_one_code_by_date_and_one_answer_or_a_question() {
    let days = [(2026, 12, 8), (2026, 12, 9)];
    let mut coded = 0_u32;
    for regime in [Regime::Adr, Regime::Cfr49] {
        for (y, m, d) in days {
            for chemistry in CHEMISTRIES {
                for purpose in PURPOSES {
                    for soundness in SOUNDNESSES {
                        for household in [None, Some(false), Some(true)] {
                            for breached in [None, Some(false), Some(true)] {
                                let mut facts = Facts::new(regime);
                                facts.on = NaiveDate::from_ymd_opt(y, m, d);
                                facts.item.chemistry = Some(chemistry);
                                facts.item.purpose = Some(purpose);
                                facts.item.soundness = Some(soundness);
                                facts.item.household_collected = household;
                                facts.item.cell_casing_breached = breached;
                                coded += one_answer(&facts);
                            }
                        }
                    }
                }
            }
        }
    }
    assert!(coded > 1_000, "{coded}");
}

fn one_answer(facts: &Facts) -> u32 {
    let law = waste_law(facts);
    let answers: Vec<_> = waste_rules()
        .iter()
        .filter(|rule| rule.law == law && rule.holds(facts))
        .filter(|rule| rule.effect != WasteEffect::Duty)
        .collect();
    assert!(
        answers.len() <= 1,
        "{facts:?}: {} rows answer",
        answers.len()
    );
    let judged = judge_waste(facts).unwrap();
    let asks = judged.requirements.iter().any(|due| {
        matches!(
            &*due.rule,
            "eu-code-undecided" | "us-casing-asked" | "us-safety-return-asked"
        )
    });
    let purpose = facts.item.purpose.unwrap();
    let waste = purpose.is_waste();
    if law == WasteLaw::Europe {
        assert_eq!(judged.eu_code.is_some() || asks, waste, "{facts:?}");
        assert_eq!(judged.us, None);
    } else {
        assert!(judged.us.is_some() || asks, "{facts:?}");
        // Never universal waste with a breached cell, never waste while it is to be used.
        if facts.item.cell_casing_breached == Some(true) && waste {
            assert_eq!(judged.us, Some(UsWaste::HazardousWaste), "{facts:?}");
        }
        if judged.us == Some(UsWaste::NotWaste) {
            assert!(!waste, "{facts:?}");
        }
    }
    u32::from(judged.eu_code.is_some())
}
