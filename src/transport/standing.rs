//! Which rows hold for the facts: each condition in force on the day, and what a holding row sets
//! aside.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::transport::criteria::{Fact, Finding, Truth};
use crate::transport::facts::Facts;
use crate::transport::rule::{IfUnknown, Rule};
use crate::transport::shelf::{Shelf, Shelved};

/// One row, with what its condition came to.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Row {
    /// Its place on the shelf.
    pub(super) place: usize,
    pub(super) finding: Finding,
    pub(super) set_aside_by: Option<&'static str>,
}

impl Row {
    pub(super) fn holds(&self, rule: &Rule) -> bool {
        self.set_aside_by.is_none()
            && match self.finding.truth {
                Truth::Yes => true,
                Truth::Unknown => rule.if_unknown == IfUnknown::Apply,
                Truth::No => false,
            }
    }

    pub(super) fn asks(&self, rule: &Rule) -> bool {
        self.set_aside_by.is_none()
            && self.finding.truth == Truth::Unknown
            && rule.if_unknown == IfUnknown::Ask
    }
}

/// The rows in force, and which of them are at work.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Standing {
    /// Every row, for the trace.
    pub(super) rows: Vec<Row>,
    /// Places in `rows` of those that hold or ask.
    pub(super) at_work: Vec<usize>,
}

/// How the rows stand, as it was worked out when the case first came.
pub(super) fn standing(shelf: &Shelf, facts: &Facts, on: NaiveDate) -> Arc<Standing> {
    shelf.cases.find(facts, on, || worked_out(shelf, facts, on))
}

/// How the rows stand: those in force evaluated, those set aside that a holding row names.
fn worked_out(shelf: &Shelf, facts: &Facts, on: NaiveDate) -> Standing {
    let findings: Vec<Option<Finding>> = shelf
        .rows
        .iter()
        .map(|row| row.is_in_force(on).then(|| row.rule.evaluate(facts)))
        .collect();
    // A row that rests on soundness left unsaid sets no row aside that forbids: once the soundness
    // is said, a yes must not turn into a no.
    let unsaid = facts.item.soundness.is_none();
    let sets_aside = |place: &usize, named: &Shelved| {
        let (row, finding) = (shelf.rows.get(*place)?, (*findings.get(*place)?)?);
        let holds = match finding.truth {
            Truth::Yes => true,
            Truth::Unknown => row.rule.if_unknown == IfUnknown::Apply,
            Truth::No => false,
        };
        let assumed = unsaid && finding.looked_at.has(Fact::Soundness);
        (holds && !(assumed && named.forbids)).then_some(row.rule.id)
    };
    let rows: Vec<Row> = shelf
        .rows
        .iter()
        .zip(&findings)
        .enumerate()
        .filter_map(|(place, (shelved, finding))| {
            Some(Row {
                place,
                finding: (*finding)?,
                set_aside_by: shelved
                    .named_by
                    .iter()
                    .find_map(|place| sets_aside(place, shelved)),
            })
        })
        .collect();
    let at_work = rows
        .iter()
        .enumerate()
        .filter(|(_, row)| {
            shelf
                .rows
                .get(row.place)
                .is_some_and(|shelved| row.holds(shelved.rule) || row.asks(shelved.rule))
        })
        .map(|(n, _)| n)
        .collect();
    Standing { rows, at_work }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::{Casing, Chemistry, Purpose, Soundness};
    use crate::transport::edition::{Edition, day};
    use crate::transport::facts::{Configuration, Package, PackageKind, Regime, StateOfCharge};
    use crate::transport::rule_set::RuleSet;
    use crate::units::{Grams, MilliPercent, MilliwattHours};

    /// Facts from a fixed seed, with quantities and days near the limits of the rows.
    fn random_facts(state: &mut u64, regime: Regime) -> Facts {
        let mut roll = |sides: u64| {
            *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = *state;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            (z ^ (z >> 31)) % sides
        };
        let mut facts = Facts::new(regime);
        let pick = |n: u64, list: &[i64]| list[usize::try_from(n).unwrap() % list.len()];
        let item = &mut facts.item;
        item.chemistry = [
            None,
            Some(Chemistry::LithiumIon),
            Some(Chemistry::LithiumMetal),
            Some(Chemistry::SodiumIonOrganic),
            Some(Chemistry::LeadAcid),
            Some(Chemistry::Unknown),
        ][usize::try_from(roll(6)).unwrap()];
        item.casing =
            [None, Some(Casing::Strong), Some(Casing::Weak)][usize::try_from(roll(3)).unwrap()];
        item.soundness = [
            None,
            Some(Soundness::Sound),
            Some(Soundness::Suspect),
            Some(Soundness::Undiagnosed),
            Some(Soundness::Damaged),
            Some(Soundness::Critical),
        ][usize::try_from(roll(6)).unwrap()];
        item.configuration = [
            None,
            Some(Configuration::Alone),
            Some(Configuration::PackedWithEquipment),
            Some(Configuration::ContainedInEquipment),
        ][usize::try_from(roll(4)).unwrap()];
        item.purpose = [
            None,
            Some(Purpose::Recycling),
            Some(Purpose::Reuse),
            Some(Purpose::Disposal),
            Some(Purpose::WarrantyReturn),
        ][usize::try_from(roll(5)).unwrap()];
        let mut truth = |yes: &mut Option<bool>| {
            *yes = [None, Some(true), Some(false)][usize::try_from(roll(3)).unwrap()];
        };
        truth(&mut item.tested_type);
        truth(&mut item.energy_marked_on_case);
        truth(&mut item.recalled_for_safety);
        truth(&mut item.still_a_battery);
        truth(&mut item.leaking);
        let kg = [
            399, 400, 401, 4_999, 5_000, 11_999, 12_000, 12_001, 35_000, 35_001, 400_001,
        ];
        item.net_mass_kg = (roll(5) > 0).then(|| Grams::thousandths(pick(roll(11), &kg)));
        let wh = [
            19_999, 20_000, 20_001, 99_999, 100_000, 100_001, 300_000, 300_001,
        ];
        item.rated_energy_wh =
            (roll(5) > 0).then(|| MilliwattHours::thousandths(pick(roll(8), &wh)));
        let charge = [24_999, 25_000, 25_001, 29_999, 30_000, 30_001, 100_000];
        item.state_of_charge_percent = (roll(4) > 0).then(|| {
            let high = MilliPercent::thousandths(pick(roll(7), &charge));
            StateOfCharge { low: high, high }
        });
        item.made_on = (roll(4) > 0).then(|| day(2003 + i32::try_from(roll(24)).unwrap(), 7, 1));
        facts.package = (roll(2) > 0).then(|| Package {
            kind: Some(PackageKind::UnPackaging),
            gross_mass_kg: Some(Grams::thousandths(pick(roll(11), &kg))),
            ..Package::default()
        });
        facts
    }

    #[test]
    fn a_kept_case_is_what_plain_evaluation_gives() {
        let mut state = 20_261_125;
        // A rule set of its own, so that what other tests keep does not count.
        let rules = RuleSet::of(crate::transport::rule_set::rule_set().rules().to_vec());
        for edition in Edition::ALL {
            for mode in edition.modes() {
                let shelf = rules.shelf(edition, *mode).unwrap();
                for round in 0..800 {
                    let facts = random_facts(&mut state, edition.regime());
                    let on = [
                        edition.first_day(),
                        day(2026, 11, 25),
                        day(2026, 12, 9),
                        day(2027, 1, 1),
                    ][round % 4];
                    // Twice: worked out, then kept.
                    for _ in 0..2 {
                        assert_eq!(
                            *standing(shelf, &facts, on),
                            worked_out(shelf, &facts, on),
                            "{edition:?} {mode} {on}"
                        );
                    }
                }
            }
        }
    }
}
