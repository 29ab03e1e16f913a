//! Every row that is in force somewhere, and the hash that names them all on each paper.

use std::fmt;
use std::sync::OnceLock;

use crate::ledger::{Sum, to_hex};
use crate::transport::edition::Edition;
use crate::transport::facts::Mode;
use crate::transport::rule::Rule;
use crate::transport::shelf::{Shelf, Shelves};
use crate::transport::waste::waste_rules;
use crate::transport::{
    adr, air, cfr49, cfr49_modes, everywhere, imdg, package, rid, surface, surface_equipment,
    vehicle_rows,
};

/// The rows that a decision is made by.
#[derive(Debug, Clone)]
pub struct RuleSet {
    rules: Vec<&'static Rule>,
    name: OnceLock<String>,
    shelves: Shelves,
}

impl RuleSet {
    /// A rule set of these rows, in this order; tests drop or change single rows this way.
    #[must_use]
    pub fn of(rules: Vec<&'static Rule>) -> Self {
        Self {
            rules,
            name: OnceLock::new(),
            shelves: Shelves::default(),
        }
    }

    /// The rows, in their fixed order.
    #[must_use]
    pub fn rules(&self) -> &[&'static Rule] {
        &self.rules
    }

    /// The rows of one edition and mode.
    pub(crate) fn shelf(&self, edition: Edition, mode: Mode) -> Option<&Shelf> {
        self.shelves.shelf(&self.rules, edition, mode)
    }

    /// The row of this name.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<&'static Rule> {
        self.rules.iter().copied().find(|rule| rule.id == id)
    }

    /// The rows as text, one a line, with those of waste law, of loads and documents, and the limits
    /// of packagings behind them.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = self.write(&mut text);
        text
    }

    fn write(&self, out: &mut impl fmt::Write) -> fmt::Result {
        for rule in &self.rules {
            writeln!(out, "{rule}")?;
        }
        for rule in waste_rules() {
            writeln!(out, "{rule}")?;
        }
        for line in vehicle_rows::lines() {
            writeln!(out, "{line}")?;
        }
        for (code, grams) in package::NET_LIMITS {
            writeln!(out, "{code} | at most {grams} g net")?;
        }
        Ok(())
    }

    /// `sha256:` and the hash of [`Self::text`]; computed once.
    #[must_use]
    pub fn name(&self) -> &str {
        self.name.get_or_init(|| {
            let mut sum = Sum::default();
            // A sum takes whatever is written.
            let _ = self.write(&mut sum);
            format!("sha256:{}", to_hex(&sum.hash()))
        })
    }
}

/// The rule set of this program.
#[must_use]
pub fn rule_set() -> &'static RuleSet {
    static ALL: OnceLock<RuleSet> = OnceLock::new();
    ALL.get_or_init(|| {
        RuleSet::of(
            [
                everywhere::RULES,
                surface::RULES,
                surface_equipment::RULES,
                adr::RULES,
                rid::RULES,
                imdg::RULES,
                air::RULES,
                cfr49::RULES,
                cfr49_modes::RULES,
            ]
            .into_iter()
            .flatten()
            .collect(),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::sha256;

    #[test]
    fn the_name_is_the_hash_of_the_text() {
        let text = rule_set().text();
        let hash = to_hex(&sha256(text.as_bytes()));
        assert_eq!(rule_set().name(), format!("sha256:{hash}"));
    }

    #[test]
    fn the_hash_is_that_of_the_standard() {
        // FIPS 180-2, appendix B.1: the message "abc".
        assert_eq!(
            to_hex(&sha256(b"abc")),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn a_dropped_row_gives_another_name() {
        let all = rule_set();
        for n in 0..all.rules().len() {
            let mut fewer = all.rules().to_vec();
            let dropped = fewer.remove(n);
            assert_ne!(RuleSet::of(fewer).name(), all.name(), "{}", dropped.id);
        }
    }
}
