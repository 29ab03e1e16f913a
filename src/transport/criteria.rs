//! The condition of a rule as data, and its answer in three values. Whoever reads the answer also
//! learns which facts decided it and which were missing.

use std::fmt;

use chrono::NaiveDate;

use crate::battery::{Casing, Chemistry, Purpose, Soundness};
pub use crate::transport::fact::Fact;
use crate::transport::facts::{Configuration, Facts, PackageKind, Stowage};
use crate::units::Decimal;

/// Yes, no, or not known (Kleene's strong logic).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Truth {
    /// It is not so.
    No,
    /// Facts are missing.
    Unknown,
    /// It is so.
    Yes,
}

/// A value that a fact may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Value {
    /// Casing.
    Casing(Casing),
    /// Chemistry.
    Chemistry(Chemistry),
    /// Configuration.
    Configuration(Configuration),
    /// A day.
    Day(NaiveDate),
    /// Kind of package.
    PackageKind(PackageKind),
    /// Purpose.
    Purpose(Purpose),
    /// Soundness.
    Soundness(Soundness),
    /// Stowage.
    Stowage(Stowage),
    /// A quantity in thousandths of the unit that the fact's name carries.
    Thousandths(i64),
    /// Yes or no.
    Truth(bool),
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self {
            Self::Casing(Casing::Strong) => "strong",
            Self::Casing(Casing::Weak) => "weak",
            Self::Chemistry(chemistry) => chemistry_name(*chemistry),
            Self::Configuration(configuration) => configuration.name(),
            Self::Day(day) => return day.fmt(f),
            Self::PackageKind(kind) => kind.name(),
            Self::Purpose(purpose) => purpose.words(),
            Self::Soundness(soundness) => soundness.word(),
            Self::Stowage(Stowage::OnDeck) => "on deck",
            Self::Stowage(Stowage::UnderDeck) => "under deck",
            Self::Thousandths(value) => return Decimal::from_thousandths(*value).fmt(f),
            Self::Truth(true) => "yes",
            Self::Truth(false) => "no",
        };
        f.write_str(word)
    }
}

const fn chemistry_name(chemistry: Chemistry) -> &'static str {
    match chemistry {
        Chemistry::LeadAcid => "lead acid",
        Chemistry::LithiumHybrid => "lithium hybrid",
        Chemistry::LithiumIon => "lithium ion",
        Chemistry::LithiumMetal => "lithium metal",
        Chemistry::LithiumSodiumMixed => "lithium and sodium mixed",
        Chemistry::NickelMetalHydride => "nickel metal hydride",
        Chemistry::SodiumIonAqueous => "sodium ion, aqueous",
        Chemistry::SodiumIonOrganic => "sodium ion, organic",
        Chemistry::SodiumMetal => "sodium metal",
        Chemistry::Unknown => "unknown",
    }
}

/// How a quantity or a day stands to a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Is {
    /// The limit or more; on the day or after it.
    AtLeast,
    /// The limit or less; on the day or before it.
    AtMost,
    /// More than the limit; after the day.
    MoreThan,
}

/// The condition of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Criteria {
    /// Without condition.
    Always,
    /// Each of them.
    All(&'static [Criteria]),
    /// At least one of them.
    Any(&'static [Criteria]),
    /// The contrary.
    Not(&'static Criteria),
    /// The fact has one of the values.
    OneOf(Fact, &'static [Value]),
    /// The fact stands so to the limit.
    Compare(Fact, Is, Value),
    /// The fact is known.
    Known(Fact),
    /// It has been stated: not known counts as no.
    Stated(&'static Criteria),
}

/// A set of facts, without allocation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FactSet(u64);

impl FactSet {
    const NONE: Self = Self(0);

    pub(crate) const fn of(fact: Fact) -> Self {
        Self(fact.bit())
    }

    /// Both sets together.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether this fact is among them.
    #[must_use]
    pub const fn has(self, fact: Fact) -> bool {
        self.0 & fact.bit() != 0
    }

    /// The facts, in their fixed order.
    pub fn iter(self) -> impl Iterator<Item = Fact> {
        Fact::ALL.into_iter().filter(move |fact| self.has(*fact))
    }
}

/// What a condition comes to, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Finding {
    /// The answer.
    pub truth: Truth,
    /// The facts that decided it.
    pub looked_at: FactSet,
    /// The facts that were missing; empty unless the answer is unknown.
    pub missing: FactSet,
}

impl Finding {
    const fn decided(truth: Truth, looked_at: FactSet) -> Self {
        Self {
            truth,
            looked_at,
            missing: FactSet::NONE,
        }
    }

    const fn missing(fact: Fact) -> Self {
        Self {
            truth: Truth::Unknown,
            looked_at: FactSet::NONE,
            missing: FactSet::of(fact),
        }
    }
}

impl Criteria {
    /// The answer for `facts`.
    #[must_use]
    pub fn evaluate(&self, facts: &Facts) -> Finding {
        match self {
            Self::Always => Finding::decided(Truth::Yes, FactSet::NONE),
            Self::All(parts) => together(parts, facts, Truth::No),
            Self::Any(parts) => together(parts, facts, Truth::Yes),
            Self::Not(part) => {
                let inner = part.evaluate(facts);
                Finding {
                    truth: match inner.truth {
                        Truth::No => Truth::Yes,
                        Truth::Unknown => Truth::Unknown,
                        Truth::Yes => Truth::No,
                    },
                    ..inner
                }
            }
            Self::OneOf(fact, values) => test(*fact, facts, |value| values.contains(&value)),
            Self::Compare(fact, is, limit) => test(*fact, facts, |value| match is {
                Is::AtLeast => value >= *limit,
                Is::AtMost => value <= *limit,
                Is::MoreThan => value > *limit,
            }),
            Self::Known(fact) => {
                Finding::decided(truth(fact.value(facts).is_some()), FactSet::of(*fact))
            }
            Self::Stated(part) => {
                let inner = part.evaluate(facts);
                match inner.truth {
                    Truth::Unknown => {
                        Finding::decided(Truth::No, inner.looked_at.with(inner.missing))
                    }
                    _ => inner,
                }
            }
        }
    }
}

const fn truth(yes: bool) -> Truth {
    if yes { Truth::Yes } else { Truth::No }
}

fn test(fact: Fact, facts: &Facts, holds: impl Fn(Value) -> bool) -> Finding {
    match fact.value(facts) {
        Some(value) => Finding::decided(truth(holds(value)), FactSet::of(fact)),
        None => Finding::missing(fact),
    }
}

/// Joins the parts; one part with the answer `decisive` decides alone.
fn together(parts: &[Criteria], facts: &Facts, decisive: Truth) -> Finding {
    let mut looked_at = FactSet::NONE;
    let mut missing = FactSet::NONE;
    let mut unknown = false;
    for part in parts {
        let finding = part.evaluate(facts);
        if finding.truth == decisive {
            return finding;
        }
        unknown |= finding.truth == Truth::Unknown;
        looked_at = looked_at.with(finding.looked_at);
        missing = missing.with(finding.missing);
    }
    Finding {
        truth: match (unknown, decisive) {
            (true, _) => Truth::Unknown,
            (false, Truth::No) => Truth::Yes,
            (false, _) => Truth::No,
        },
        looked_at,
        missing,
    }
}

impl fmt::Display for Criteria {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Always => f.write_str("always"),
            Self::All(parts) => list(f, parts, " and "),
            Self::Any(parts) => list(f, parts, " or "),
            Self::Not(part) => write!(f, "not {part}"),
            Self::OneOf(fact, values) => {
                write!(f, "{} is ", fact.name())?;
                for (n, value) in values.iter().enumerate() {
                    write!(f, "{}{value}", if n == 0 { "" } else { "|" })?;
                }
                // The rule-set hash must see the difference between the two soundness facts.
                f.write_str(if *fact == Fact::SoundnessStated {
                    " (as stated)"
                } else {
                    ""
                })
            }
            Self::Compare(fact, is, limit) => {
                let words = match is {
                    Is::AtLeast => "at least",
                    Is::AtMost => "at most",
                    Is::MoreThan => "more than",
                };
                write!(f, "{} is {words} {limit}", fact.name())
            }
            Self::Known(fact) => write!(f, "{} is known", fact.name()),
            Self::Stated(part) => write!(f, "it is stated that {part}"),
        }
    }
}

fn list(f: &mut fmt::Formatter<'_>, parts: &[Criteria], joint: &str) -> fmt::Result {
    f.write_str("(")?;
    for (n, part) in parts.iter().enumerate() {
        write!(f, "{}{part}", if n == 0 { "" } else { joint })?;
    }
    f.write_str(")")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::transport::facts::Regime;
    use crate::units::Grams;

    const TESTED: Criteria = Criteria::OneOf(Fact::TestedType, &[Value::Truth(true)]);
    const RECALLED: Criteria = Criteria::OneOf(Fact::Recalled, &[Value::Truth(true)]);

    fn with(tested: Option<bool>, recalled: Option<bool>) -> Facts {
        let mut facts = Facts::new(Regime::Adr);
        facts.item.tested_type = tested;
        facts.item.recalled_for_safety = recalled;
        facts
    }

    #[test]
    fn the_truth_tables_are_those_of_strong_three_valued_logic() {
        // Kleene, Introduction to Metamathematics, 1952, section 64 (from memory): "and" is the
        // least of the two values, "or" the greatest, with no < unknown < yes.
        let values = [Some(false), None, Some(true)];
        let rank = |truth: Truth| match truth {
            Truth::No => 0,
            Truth::Unknown => 1,
            Truth::Yes => 2,
        };
        for (a, left) in values.into_iter().enumerate() {
            for (b, right) in values.into_iter().enumerate() {
                let facts = with(left, right);
                let and = Criteria::All(&[TESTED, RECALLED]).evaluate(&facts);
                let or = Criteria::Any(&[TESTED, RECALLED]).evaluate(&facts);
                assert_eq!(rank(and.truth), a.min(b), "{left:?} and {right:?}");
                assert_eq!(rank(or.truth), a.max(b), "{left:?} or {right:?}");
            }
            let not = Criteria::Not(&TESTED).evaluate(&with(left, None));
            assert_eq!(rank(not.truth), 2 - a);
        }
    }

    #[test]
    fn only_the_facts_that_decide_are_named() {
        let finding = Criteria::All(&[TESTED, RECALLED]).evaluate(&with(Some(false), None));
        assert_eq!(finding.truth, Truth::No);
        assert_eq!(
            finding.looked_at.iter().collect::<Vec<_>>(),
            [Fact::TestedType]
        );
        assert!(finding.missing.is_empty());
        let finding = Criteria::All(&[TESTED, RECALLED]).evaluate(&with(Some(true), None));
        assert_eq!(finding.truth, Truth::Unknown);
        assert_eq!(finding.missing.iter().collect::<Vec<_>>(), [Fact::Recalled]);
    }

    #[test]
    fn stated_takes_unknown_for_no_and_a_limit_is_exact() {
        assert_eq!(
            Criteria::Stated(&TESTED).evaluate(&with(None, None)).truth,
            Truth::No
        );
        let heavy = Criteria::Compare(Fact::Mass, Is::AtLeast, Value::Thousandths(12_000));
        for (grams, expected) in [(11_999, Truth::No), (12_000, Truth::Yes)] {
            let mut facts = Facts::new(Regime::Adr);
            facts.item.net_mass_kg = Some(Grams::thousandths(grams));
            assert_eq!(heavy.evaluate(&facts).truth, expected);
        }
    }

    #[test]
    fn each_fact_has_its_own_bit() {
        for (n, fact) in Fact::ALL.into_iter().enumerate() {
            assert_eq!(fact.bit(), 1 << n, "{fact:?}");
        }
    }
}
