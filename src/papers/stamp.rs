//! What every paper of an issue carries: number, rule set, edition, place in the ledger.

use serde::Serialize;

use super::manifest::{LedgerMark, Manifest};
use super::pdf::{Head, Stock};
use super::plain_text;
use super::words::{EN, Words};
use crate::job::Job;
use crate::ledger::{DEMO_ORIGIN, Log, to_hex};
use crate::transport::Regime;
use crate::units::Grams;

/// What stands at the foot and across every paper of an issue.
#[derive(Debug, Clone)]
pub(super) struct Stamp {
    pub(super) words: &'static Words,
    pub(super) job: String,
    /// Number of the issue; `None` for what is not issued by a job.
    pub(super) issue: Option<u32>,
    pub(super) across: Option<String>,
    pub(super) void: Option<String>,
    pub(super) rule_set: String,
    pub(super) editions: String,
    pub(super) ledger: Option<LedgerMark>,
    pub(super) stock: Stock,
    pub(super) pounds: bool,
}

/// The word across a page, for a template: the size at which it fits the diagonal.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Across {
    word: String,
    size_mm: usize,
}

impl Stamp {
    pub(super) fn foot(&self) -> String {
        let w = self.words;
        let mut foot = match self.issue {
            Some(issue) => format!("{} {issue}; {}.", w.issue, w.supersedes),
            None => String::new(),
        };
        if let Some(why) = &self.void {
            foot.push_str(&format!(" {}: {why}.", w.void));
        }
        if !self.rule_set.is_empty() {
            foot.push_str(&format!(" {} {}.", w.rule_set, self.rule_set));
        }
        if !self.editions.is_empty() {
            foot.push_str(&format!(" {}.", self.editions));
        }
        if let Some(mark) = &self.ledger {
            foot.push_str(&format!(
                " {} {}, {} {}, {} {}.",
                w.ledger, mark.origin, mark.size, w.entries, w.root, mark.root
            ));
        }
        foot.push_str(&w.said_of_other_language());
        plain_text(foot.trim_start())
    }

    /// Whether people sign it: nobody signs what is void.
    pub(super) const fn is_signed(&self) -> bool {
        self.void.is_none()
    }

    /// The head of a paper of this issue.
    pub(super) fn head(&self, title: &str) -> Head {
        Head {
            title: title.to_owned(),
            of: self.job.clone(),
            across: self.across.clone(),
            foot: self.foot(),
            page: (self.words.page, self.words.of),
        }
    }

    /// A letter takes about two thirds of its height; the diagonal has about 300 mm to spare.
    pub(super) fn across(&self) -> Option<Across> {
        self.across.as_deref().map(|word| Across {
            word: word.to_owned(),
            size_mm: (450 / word.chars().count().max(1)).clamp(4, 40),
        })
    }

    /// A mass in kilograms, and in pounds too where people weigh in them.
    pub(super) fn mass(&self, mass: Grams) -> String {
        if self.pounds {
            both(mass)
        } else {
            mass.to_string()
        }
    }

    /// The same, or that it was not weighed.
    pub(super) fn mass_or_not(&self, mass: Option<Grams>) -> String {
        mass.map_or_else(|| self.words.not_weighed.to_owned(), |mass| self.mass(mass))
    }
}

/// What a scanner gets from a manifest: job, issue and the state of the ledger, a line each.
pub(super) fn scanned(manifest: &Manifest) -> String {
    let mut code = format!("{}\n", manifest.job);
    if let Some(issue) = manifest.issue {
        code.push_str(&format!("issue {issue}\n"));
    }
    if let Some(mark) = &manifest.ledger {
        // The name alone, in every language; what is said of a demo key stands in print.
        let origin = mark.origin.split(" (").next().unwrap_or_default();
        code.push_str(&format!("{origin}\n{}\n{}\n", mark.size, mark.root));
    }
    code
}

/// A mass in kilograms and in pounds; a line may break between the two, not within one.
pub(super) fn both(mass: Grams) -> String {
    let kilograms = mass.to_string().replace(' ', "\u{a0}");
    format!("{kilograms} ({})", pounds(mass))
}

/// A mass in pounds of 453.59237 g (the international pound), to a tenth.
pub(super) fn pounds(mass: Grams) -> String {
    let tenths = (mass.as_thousandths() * 1_000_000 + 22_679_618).div_euclid(45_359_237);
    format!("{}.{}\u{a0}lb", tenths / 10, tenths % 10)
}

/// The signed state of a log, as papers print it.
pub(super) fn ledger_mark(log: &Log) -> LedgerMark {
    LedgerMark {
        origin: if log.origin() == DEMO_ORIGIN {
            format!("{} ({})", log.origin(), words().demo)
        } else {
            log.origin().to_owned()
        },
        size: log.len(),
        root: to_hex(&log.root()),
    }
}

/// Whether people at the site weigh in pounds and print on Letter.
pub(super) fn is_american(job: &Job) -> bool {
    job.plan().site.country == "US"
        || job
            .plan()
            .route
            .iter()
            .any(|leg| leg.regime == Regime::Cfr49)
}

/// The words of papers; English is what there is.
pub(super) const fn words() -> &'static Words {
    &EN
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pounds_are_the_international_ones() {
        // NIST SP 811 (2008), appendix B.8: 1 lb = 0.453 592 37 kg exactly.
        assert_eq!(pounds(Grams::thousandths(453_592)), "1000.0\u{a0}lb");
        assert_eq!(pounds(Grams::thousandths(30_000)), "66.1\u{a0}lb");
        assert_eq!(pounds(Grams::thousandths(1_000)), "2.2\u{a0}lb");
    }
}
