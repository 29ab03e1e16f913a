//! The table of transport rules as a whole: its form, and that each row holds in one case and just
//! fails to hold in another.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on stops")]

use std::collections::BTreeSet;

use chrono::NaiveDate;
use packdown::battery::{Casing, Chemistry, Purpose, Soundness};
use packdown::citation::Known;
use packdown::transport::{
    Approval, ApprovalKind, BatteryMark, Configuration, Criteria, Edition, Effect, Fact, Facts,
    IfUnknown, Mode, PackageKind, Regime, Rule, StateOfCharge, Stowage, TraceOutcome, Value,
    Voyage, decide, rule_set,
};
use packdown::units::{Grams, MilliPercent, MilliwattHours};

use crate::transport_cases::all_facts;

fn rules() -> &'static [&'static Rule] {
    rule_set().rules()
}

#[test]
fn ids_are_unique_kebab_case_and_hold_no_clause_number() {
    let mut seen = BTreeSet::new();
    for rule in rules() {
        assert!(seen.insert(rule.id), "{} twice", rule.id);
        assert!(
            rule.id
                .split('-')
                .all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase())),
            "{}",
            rule.id
        );
        assert_eq!(rule_set().find(rule.id).unwrap().id, rule.id);
    }
}

#[test]
fn every_row_is_filled_in() {
    for rule in rules() {
        let id = rule.id;
        assert!(
            rule.says.ends_with('.'),
            "{id}: a sentence ends with a full stop"
        );
        assert!(!rule.says.contains(". "), "{id}: one sentence");
        assert!(!rule.scope.is_empty() && !rule.effects.is_empty(), "{id}");
        assert!(!rule.clauses.is_empty(), "{id}");
        for place in rule.clauses {
            assert!(!place.place.is_empty(), "{id}");
            assert!(
                rule.scope
                    .iter()
                    .any(|scope| scope.regime == place.edition.regime()),
                "{id}: {} outside its scope",
                place.edition.name()
            );
        }
        for scope in rule.scope {
            assert!(
                Edition::ALL
                    .iter()
                    .any(|edition| edition.regime() == scope.regime
                        && rule.place(*edition).is_some()),
                "{id}: no clause for {}",
                scope.regime
            );
        }
        let days = [rule.valid_from, rule.valid_to].into_iter().flatten();
        assert!(
            days.clone().all(|day| day != NaiveDate::MIN),
            "{id}: no such day"
        );
        assert!(days.is_sorted(), "{id}: ends before it begins");
    }
}

/// Regimes and modes of a row.
fn legs(rule: &Rule) -> BTreeSet<(Regime, Mode)> {
    rule.scope
        .iter()
        .flat_map(|scope| scope.modes.iter().map(|mode| (scope.regime, *mode)))
        .collect()
}

#[test]
fn a_row_that_is_set_aside_exists_and_shares_the_scope() {
    for rule in rules() {
        for other in rule.overrides {
            let other = rule_set()
                .find(other)
                .unwrap_or_else(|| panic!("{} names {other}, which is no row", rule.id));
            assert!(
                legs(rule).intersection(&legs(other)).next().is_some(),
                "{} and {} never stand together",
                rule.id,
                other.id
            );
            assert!(
                !other.overrides.contains(&rule.id),
                "{} and {}",
                rule.id,
                other.id
            );
        }
    }
}

#[test]
fn missing_facts_never_loosen() {
    for rule in rules() {
        let stops = rule
            .effects
            .iter()
            .any(|effect| matches!(effect, Effect::Forbid { .. } | Effect::NotDetermined { .. }));
        assert!(!stops || rule.if_unknown == IfUnknown::Ask, "{}", rule.id);
        let stricter = rule.effects.iter().all(|effect| effect.only_stricter());
        assert!(
            rule.if_unknown != IfUnknown::Apply || stricter,
            "{} would give something away while facts are missing",
            rule.id
        );
    }
}

#[test]
fn what_is_not_law_that_was_read_only_makes_stricter() {
    // The one exception: what is known second-hand and stands the same in a text that was read. What
    // is known from memory never gives anything.
    for rule in rules() {
        let mirrored = rule.basis == Known::Secondary && !rule.mirror.is_empty();
        assert!(
            rule.mirror.is_empty() || rule.mirror.ends_with("read"),
            "{} names a text that was not read",
            rule.id
        );
        if rule.basis != Known::Read && !mirrored {
            assert!(
                rule.effects.iter().all(|effect| effect.only_stricter()),
                "{} is known as {}",
                rule.id,
                rule.basis.words()
            );
            assert!(rule.overrides.is_empty(), "{}", rule.id);
        }
        // A row that gives under an edition known second-hand was read in another edition.
        let gives = rule.effects.iter().any(|effect| !effect.only_stricter());
        let read_somewhere = rule
            .clauses
            .iter()
            .any(|place| rule.known_in(place.edition) == Known::Read);
        assert!(!gives || read_somewhere || mirrored, "{}", rule.id);
    }
}

#[test]
fn what_is_known_second_hand_in_an_edition_is_said_in_its_decisions() {
    for (id, facts) in all_facts() {
        let decision = decide(&facts);
        let Some(edition) = Edition::ALL
            .into_iter()
            .find(|edition| edition.name() == decision.edition)
        else {
            continue;
        };
        for line in &decision.trace {
            let rule = rule_set().find(&line.rule).unwrap();
            let doubtful = matches!(rule.known_in(edition), Known::Memory | Known::Secondary);
            if doubtful && line.outcome == TraceOutcome::Applies {
                assert!(
                    decision.unverified.contains(&line.rule),
                    "{id}: {}",
                    line.rule
                );
            }
        }
    }
}

#[test]
fn a_limit_is_of_the_kind_of_its_fact() {
    fn look(criteria: &Criteria, id: &str) {
        match criteria {
            Criteria::All(parts) | Criteria::Any(parts) => {
                assert!(!parts.is_empty(), "{id}");
                parts.iter().for_each(|part| look(part, id));
            }
            Criteria::Not(part) | Criteria::Stated(part) => look(part, id),
            Criteria::OneOf(fact, values) => {
                assert!(!values.is_empty(), "{id}");
                values.iter().for_each(|value| fits(*fact, *value, id));
            }
            Criteria::Compare(fact, _, limit) => {
                assert!(
                    matches!(limit, Value::Day(_) | Value::Thousandths(_)),
                    "{id}"
                );
                fits(*fact, *limit, id);
            }
            Criteria::Always | Criteria::Known(_) => {}
        }
    }
    fn fits(fact: Fact, value: Value, id: &str) {
        let found = fact.value(&everything_known()).unwrap();
        assert_eq!(
            std::mem::discriminant(&found),
            std::mem::discriminant(&value),
            "{id}: {}",
            fact.name()
        );
    }
    for rule in rules() {
        look(&rule.when, rule.id);
    }
}

fn everything_known() -> Facts {
    let (_, mut facts) = all_facts().into_iter().next().unwrap();
    facts.item.household_collected = Some(false);
    facts.item.cell_casing_breached = Some(false);
    facts.package.as_mut().unwrap().battery_mark = Some(BatteryMark::WithoutTelephone);
    facts.voyage = Some(Voyage {
        short_international: Some(false),
        stowage: Some(Stowage::OnDeck),
    });
    facts
}

/// `facts` with one fact changed, in every way that a row may look at.
fn neighbours(facts: &Facts) -> Vec<Facts> {
    let mut out = Vec::new();
    let mut with = |change: &dyn Fn(&mut Facts)| {
        let mut next = facts.clone();
        change(&mut next);
        out.push(next);
    };
    for chemistry in CHEMISTRIES {
        with(&|f| f.item.chemistry = Some(chemistry));
    }
    for soundness in SOUNDNESSES {
        with(&|f| f.item.soundness = Some(soundness));
    }
    for purpose in PURPOSES {
        with(&|f| f.item.purpose = Some(purpose));
    }
    for yes in [true, false] {
        with(&|f| f.item.tested_type = Some(yes));
        with(&|f| f.item.recalled_for_safety = Some(yes));
        with(&|f| f.item.leaking = Some(yes));
        with(&|f| f.item.still_a_battery = Some(yes));
        with(&|f| f.item.energy_marked_on_case = Some(yes));
    }
    with(&|f| f.item.casing = Some(Casing::Weak));
    with(&|f| f.item.configuration = Some(Configuration::Alone));
    with(&|f| f.item.configuration = Some(Configuration::ContainedInEquipment));
    with(&|f| f.item.configuration = Some(Configuration::PackedWithEquipment));
    with(&|f| f.item.configuration = Some(Configuration::InCargoTransportUnit));
    with(&|f| f.item.cell_casing_breached = None);
    with(&|f| f.item.household_collected = None);
    with(&|f| f.reliefs_claimed = None);
    with(&|f| f.voyage = None);
    for high in [30_000, 30_001] {
        for low in [30_000, 30_001] {
            with(&|f| {
                f.item.state_of_charge_percent = Some(StateOfCharge {
                    low: MilliPercent::thousandths(low),
                    high: MilliPercent::thousandths(high),
                });
            });
        }
    }
    for grams in [30_000, 40_000] {
        with(&|f| {
            if let Some(package) = &mut f.package {
                package.gross_mass_kg = Some(Grams::thousandths(grams));
            }
        });
    }
    with(&|f| {
        if let Some(package) = &mut f.package {
            package.battery_mark = None;
        }
    });
    for grams in [500, 501, 5_000, 11_999, 12_000, 30_000, 30_001, 35_000] {
        with(&|f| f.item.net_mass_kg = Some(Grams::thousandths(grams)));
    }
    for grams in [30_000, 30_001, 400_000, 400_001] {
        with(&|f| {
            if let Some(package) = &mut f.package {
                package.net_mass_kg = Some(Grams::thousandths(grams));
            }
        });
    }
    for thousandths in [100_000, 100_001] {
        with(&|f| f.item.rated_energy_wh = Some(MilliwattHours::thousandths(thousandths)));
    }
    with(&|f| f.on = NaiveDate::from_ymd_opt(2026, 12, 31));
    with(&|f| f.approvals = None);
    with(&|f| {
        f.approvals = Some(vec![Approval {
            kind: ApprovalKind::CompetentAuthority,
            reference: "CA 17".into(),
            expires_on: None,
        }]);
    });
    for kind in [PackageKind::Pallet, PackageKind::LargePackaging] {
        with(&|f| {
            if let Some(package) = &mut f.package {
                package.kind = Some(kind);
            }
        });
    }
    out
}

pub(crate) const CHEMISTRIES: [Chemistry; 10] = [
    Chemistry::LeadAcid,
    Chemistry::LithiumHybrid,
    Chemistry::LithiumIon,
    Chemistry::LithiumMetal,
    Chemistry::LithiumSodiumMixed,
    Chemistry::NickelMetalHydride,
    Chemistry::SodiumIonAqueous,
    Chemistry::SodiumIonOrganic,
    Chemistry::SodiumMetal,
    Chemistry::Unknown,
];
pub(crate) const SOUNDNESSES: [Soundness; 5] = [
    Soundness::Sound,
    Soundness::Suspect,
    Soundness::Undiagnosed,
    Soundness::Damaged,
    Soundness::Critical,
];
pub(crate) const PURPOSES: [Purpose; 8] = [
    Purpose::Disposal,
    Purpose::PrototypeTest,
    Purpose::Recycling,
    Purpose::Reuse,
    Purpose::SafetyReturn,
    Purpose::Sorting,
    Purpose::Use,
    Purpose::WarrantyReturn,
];

#[test]
fn every_row_holds_in_a_case_and_just_fails_to_hold_beside_it() {
    let cases = all_facts();
    let mut wrong = Vec::new();
    for rule in rules() {
        let applies = |facts: &Facts| {
            decide(facts)
                .trace
                .iter()
                .any(|line| line.rule == rule.id && line.outcome == TraceOutcome::Applies)
        };
        let mut holding = cases.iter().filter(|(_, facts)| applies(facts)).peekable();
        if holding.peek().is_none() {
            wrong.push(format!("{} holds in no case", rule.id));
        } else if rule.when != Criteria::Always
            && !holding.any(|(_, facts)| neighbours(facts).iter().any(|near| !applies(near)))
        {
            wrong.push(format!("{} never just fails to hold", rule.id));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
