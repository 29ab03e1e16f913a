//! The rows of one edition and mode, found once: which of them belong, which name which, and each
//! clause as text. A decision then only asks what depends on the facts and the day.

use std::sync::OnceLock;

use chrono::NaiveDate;

use crate::transport::case::Cases;
use crate::transport::edition::Edition;
use crate::transport::facts::Mode;
use crate::transport::rule::Rule;
use crate::transport::standing::Standing;

/// A row that belongs to an edition and a mode.
#[derive(Debug)]
pub(crate) struct Shelved {
    pub(crate) rule: &'static Rule,
    /// Places on the shelf of the rows that name this one, in their order.
    pub(crate) named_by: Vec<usize>,
    pub(crate) forbids: bool,
    clause: OnceLock<String>,
}

impl Shelved {
    /// Whether it holds on that day at all.
    pub(crate) fn is_in_force(&self, on: NaiveDate) -> bool {
        self.rule.valid_from.is_none_or(|first| first <= on)
            && self.rule.valid_to.is_none_or(|last| on <= last)
    }

    /// Its clause in the edition of its shelf, as text.
    pub(crate) fn clause(&self, edition: Edition) -> &str {
        self.clause
            .get_or_init(|| self.rule.clause(edition).to_string())
    }
}

/// The rows of one edition and mode, in their fixed order.
#[derive(Debug)]
pub(crate) struct Shelf {
    pub(crate) edition: Edition,
    pub(crate) rows: Vec<Shelved>,
    pub(super) cases: Cases<Standing>,
}

impl Shelf {
    fn of(rules: &[&'static Rule], edition: Edition, mode: Mode) -> Self {
        let rules: Vec<&'static Rule> = rules
            .iter()
            .copied()
            .filter(|rule| rule.belongs_to(edition, mode))
            .collect();
        let cases = Cases::of(
            rules.iter().map(|rule| &rule.when),
            rules.iter().map(|rule| (rule.valid_from, rule.valid_to)),
        );
        let rows = rules
            .iter()
            .map(|rule| Shelved {
                rule,
                named_by: rules
                    .iter()
                    .enumerate()
                    .filter(|(_, other)| other.overrides.contains(&rule.id))
                    .map(|(place, _)| place)
                    .collect(),
                forbids: rule.forbids(),
                clause: OnceLock::new(),
            })
            .collect();
        Self {
            edition,
            rows,
            cases,
        }
    }
}

/// Shelves, each filled when it is first asked for.
#[derive(Debug, Default)]
pub(crate) struct Shelves([[OnceLock<Shelf>; MODES]; EDITIONS]);

const EDITIONS: usize = Edition::ALL.len();
const MODES: usize = Mode::Sea as usize + 1;

impl Clone for Shelves {
    /// Empty ones: they fill themselves again.
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl Shelves {
    pub(crate) fn shelf(
        &self,
        rules: &[&'static Rule],
        edition: Edition,
        mode: Mode,
    ) -> Option<&Shelf> {
        let place = self.0.get(edition as usize)?.get(mode as usize)?;
        Some(place.get_or_init(|| Shelf::of(rules, edition, mode)))
    }
}

#[cfg(test)]
mod tests {
    use std::ptr;

    use super::*;
    use crate::transport::edition::day;
    use crate::transport::rule_set::rule_set;

    #[test]
    fn a_shelf_holds_what_each_row_says_of_itself() {
        let rules = rule_set().rules();
        let mut rows = 0;
        for edition in Edition::ALL {
            for mode in edition.modes() {
                let shelf = rule_set().shelf(edition, *mode).unwrap();
                assert_eq!(shelf.edition, edition);
                for on in [
                    day(2023, 3, 1),
                    day(2025, 1, 1),
                    day(2026, 12, 9),
                    day(2026, 12, 31),
                    day(2027, 1, 1),
                ] {
                    let plainly: Vec<&Rule> = rules
                        .iter()
                        .copied()
                        .filter(|rule| {
                            rule.clauses.iter().any(|place| place.edition == edition)
                                && rule.scope.iter().any(|scope| {
                                    scope.regime == edition.regime() && scope.modes.contains(mode)
                                })
                                && rule.valid_from.unwrap_or(on) <= on
                                && rule.valid_to.unwrap_or(on) >= on
                        })
                        .collect();
                    let shelved: Vec<&Rule> = shelf
                        .rows
                        .iter()
                        .filter(|row| row.is_in_force(on))
                        .map(|row| row.rule)
                        .collect();
                    assert!(
                        plainly.len() == shelved.len()
                            && plainly.iter().zip(&shelved).all(|(a, b)| ptr::eq(*a, *b)),
                        "{edition:?} {mode} {on}"
                    );
                }
                for row in &shelf.rows {
                    rows += 1;
                    let named: Vec<&str> = row
                        .named_by
                        .iter()
                        .map(|place| shelf.rows[*place].rule.id)
                        .collect();
                    let plainly: Vec<&str> = shelf
                        .rows
                        .iter()
                        .filter(|other| other.rule.overrides.contains(&row.rule.id))
                        .map(|other| other.rule.id)
                        .collect();
                    assert_eq!(named, plainly, "{}", row.rule.id);
                    assert_eq!(
                        row.clause(edition),
                        row.rule.clause(edition).to_string(),
                        "{}",
                        row.rule.id
                    );
                }
            }
        }
        assert!(rows > 100, "{rows}");
    }
}
