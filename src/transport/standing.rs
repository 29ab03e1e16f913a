//! Which rows hold for the facts: each condition in force on the day, and what a holding row sets
//! aside.

use chrono::NaiveDate;

use crate::transport::criteria::{Fact, Finding, Truth};
use crate::transport::facts::Facts;
use crate::transport::rule::{IfUnknown, Rule};
use crate::transport::shelf::{Shelf, Shelved};

/// One row, with what its condition came to.
pub(super) struct Row<'r> {
    pub(super) shelved: &'r Shelved,
    pub(super) finding: Finding,
    pub(super) set_aside_by: Option<&'static str>,
}

impl Row<'_> {
    pub(super) const fn rule(&self) -> &'static Rule {
        self.shelved.rule
    }

    pub(super) fn holds(&self) -> bool {
        self.set_aside_by.is_none()
            && match self.finding.truth {
                Truth::Yes => true,
                Truth::Unknown => self.rule().if_unknown == IfUnknown::Apply,
                Truth::No => false,
            }
    }

    pub(super) fn asks(&self) -> bool {
        self.set_aside_by.is_none()
            && self.finding.truth == Truth::Unknown
            && self.rule().if_unknown == IfUnknown::Ask
    }
}

/// The rows in force, those set aside that a holding row names.
pub(super) fn standing<'r>(shelf: &'r Shelf, facts: &Facts, on: NaiveDate) -> Vec<Row<'r>> {
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
    shelf
        .rows
        .iter()
        .zip(&findings)
        .filter_map(|(shelved, finding)| {
            Some(Row {
                shelved,
                finding: (*finding)?,
                set_aside_by: shelved
                    .named_by
                    .iter()
                    .find_map(|place| sets_aside(place, shelved)),
            })
        })
        .collect()
}
