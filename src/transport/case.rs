//! Cases that the rows cannot tell apart. A row looks at a fact only to ask whether it is known,
//! which word it is, and how it stands to a few limits; so facts that agree in that get the same
//! findings. Each such case is worked out once, when it first comes, and kept.

use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, RwLock};

use chrono::{Datelike as _, NaiveDate};

use crate::transport::criteria::{Criteria, Fact, Value};
use crate::transport::facts::Facts;

/// Most cases kept; a campaign has a few hundred. Then all are forgotten.
const MOST: usize = 512;

/// The place of each fact, and of the day.
type Case = [u8; Fact::ALL.len() + 1];

/// Everything that rows distinguish.
#[derive(Debug, Default)]
struct Grid {
    /// Facts, with the limits that quantities and days are compared with, in order.
    facts: Vec<(Fact, Vec<i64>)>,
    /// First days on which another row is in force than on the day before.
    days: Vec<i64>,
}

impl Grid {
    fn of<'a>(
        criteria: impl Iterator<Item = &'a Criteria>,
        days: impl Iterator<Item = (Option<NaiveDate>, Option<NaiveDate>)>,
    ) -> Self {
        let mut grid = Self::default();
        // What is said of soundness counts beside the rows that look at it.
        grid.add(Fact::SoundnessStated, &[]);
        for criteria in criteria {
            grid.look(criteria);
        }
        for (from, to) in days {
            let changes = [from, to.and_then(|last| last.succ_opt())];
            grid.days
                .extend(changes.into_iter().flatten().map(number_of_day));
        }
        grid.days.sort_unstable();
        grid.days.dedup();
        for (_, limits) in &mut grid.facts {
            limits.sort_unstable();
            limits.dedup();
        }
        grid
    }

    fn look(&mut self, criteria: &Criteria) {
        match criteria {
            Criteria::Always => {}
            Criteria::All(parts) | Criteria::Any(parts) => {
                for part in *parts {
                    self.look(part);
                }
            }
            Criteria::Not(part) | Criteria::Stated(part) => self.look(part),
            Criteria::OneOf(fact, values) => self.add(*fact, values),
            Criteria::Compare(fact, _, limit) => self.add(*fact, &[*limit]),
            Criteria::Known(fact) => self.add(*fact, &[]),
        }
    }

    fn add(&mut self, fact: Fact, values: &[Value]) {
        let limits = values.iter().filter_map(|value| quantity(*value));
        match self.facts.iter_mut().find(|(known, _)| *known == fact) {
            Some((_, known)) => known.extend(limits),
            None => self.facts.push((fact, limits.collect())),
        }
    }

    /// The case of `facts`; `None` where a place does not fit.
    fn case(&self, facts: &Facts, on: NaiveDate) -> Option<Case> {
        let mut case = [0; Fact::ALL.len() + 1];
        let mut places = case.iter_mut();
        *places.next()? = place(&self.days, number_of_day(on))?;
        for (fact, limits) in &self.facts {
            let place_of_fact = places.next()?;
            *place_of_fact = match fact.value(facts) {
                None => 0,
                Some(value) => match quantity(value) {
                    Some(quantity) => place(limits, quantity)?,
                    None => word(value)?,
                },
            };
        }
        Some(case)
    }
}

/// A quantity or a day as a number; `None` for a word.
fn quantity(value: Value) -> Option<i64> {
    match value {
        Value::Thousandths(value) => Some(value),
        Value::Day(day) => Some(number_of_day(day)),
        _ => None,
    }
}

fn number_of_day(day: NaiveDate) -> i64 {
    i64::from(day.num_days_from_ce())
}

/// 1 and upwards: below the first limit, on it, above it, on the second, and so on.
fn place(limits: &[i64], value: i64) -> Option<u8> {
    let above: usize = limits
        .iter()
        .map(|limit| usize::from(value >= *limit) + usize::from(value > *limit))
        .sum();
    u8::try_from(above + 1).ok()
}

/// 1 and upwards: each word its own.
const fn word(value: Value) -> Option<u8> {
    Some(match value {
        Value::Casing(word) => word as u8 + 1,
        Value::Chemistry(word) => word as u8 + 1,
        Value::Configuration(word) => word as u8 + 1,
        Value::PackageKind(word) => word as u8 + 1,
        Value::Purpose(word) => word as u8 + 1,
        Value::Soundness(word) => word as u8 + 1,
        Value::Stowage(word) => word as u8 + 1,
        Value::Truth(word) => word as u8 + 1,
        Value::Day(_) | Value::Thousandths(_) => return None,
    })
}

/// What was worked out for each case.
pub(super) struct Cases<T> {
    grid: Grid,
    kept: RwLock<HashMap<Case, Arc<T>>>,
}

impl<T> Cases<T> {
    /// `days`: first and last day of each row, where it has them.
    pub(super) fn of<'a>(
        criteria: impl Iterator<Item = &'a Criteria>,
        days: impl Iterator<Item = (Option<NaiveDate>, Option<NaiveDate>)>,
    ) -> Self {
        Self {
            grid: Grid::of(criteria, days),
            kept: RwLock::default(),
        }
    }

    /// What is kept for the case of `facts`, or else what `work` gives.
    pub(super) fn find(&self, facts: &Facts, on: NaiveDate, work: impl FnOnce() -> T) -> Arc<T> {
        let Some(case) = self.grid.case(facts, on) else {
            return Arc::new(work());
        };
        // A thread that panicked left whole entries behind.
        let kept = self
            .kept
            .read()
            .unwrap_or_else(|broken| broken.into_inner());
        if let Some(found) = kept.get(&case) {
            return Arc::clone(found);
        }
        drop(kept);
        let fresh = Arc::new(work());
        let mut kept = self
            .kept
            .write()
            .unwrap_or_else(|broken| broken.into_inner());
        if kept.len() >= MOST {
            kept.clear();
        }
        kept.insert(case, Arc::clone(&fresh));
        fresh
    }
}

impl<T> fmt::Debug for Cases<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.grid.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::transport::criteria::Is;
    use crate::transport::edition::{Edition, day};
    use crate::transport::facts::Regime;
    use crate::transport::rule_set::rule_set;
    use crate::units::Grams;

    #[test]
    fn a_limit_parts_below_on_and_above() {
        let heavy = Criteria::Compare(Fact::Mass, Is::AtLeast, Value::Thousandths(12_000));
        let light = Criteria::Compare(Fact::Mass, Is::AtMost, Value::Thousandths(400));
        let grid = Grid::of(
            [heavy, light].iter(),
            std::iter::once((Some(day(2026, 12, 9)), Some(day(2026, 12, 31)))),
        );
        let case = |grams: Option<i64>, on| {
            let mut facts = Facts::new(Regime::Adr);
            facts.item.net_mass_kg = grams.map(Grams::thousandths);
            grid.case(&facts, on).unwrap()
        };
        let on = day(2026, 11, 25);
        let steps = [
            None,
            Some(399),
            Some(400),
            Some(401),
            Some(12_000),
            Some(12_001),
        ];
        for (n, one) in steps.iter().enumerate() {
            for (m, other) in steps.iter().enumerate() {
                assert_eq!(case(*one, on) == case(*other, on), n == m);
            }
        }
        assert_eq!(case(Some(0), on), case(Some(399), on));
        assert_eq!(case(Some(401), on), case(Some(11_999), on));
        let days = [day(2026, 12, 8), day(2026, 12, 9), day(2027, 1, 1)];
        for (n, one) in days.iter().enumerate() {
            for (m, other) in days.iter().enumerate() {
                assert_eq!(case(None, *one) == case(None, *other), n == m);
            }
        }
        assert_eq!(case(None, day(2026, 12, 10)), case(None, day(2026, 12, 31)));
    }

    #[test]
    fn every_place_of_the_shipped_rows_fits() {
        for edition in Edition::ALL {
            for mode in edition.modes() {
                let shelf = rule_set().shelf(edition, *mode).unwrap();
                let grid = &shelf.cases.grid;
                assert!(grid.facts.iter().all(|(_, limits)| limits.len() < 127));
                assert!(grid.days.len() < 127);
                assert!(grid.facts.len() <= Fact::ALL.len());
            }
        }
    }
}
