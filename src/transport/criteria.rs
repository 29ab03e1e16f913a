//! The condition of a rule as data, and its answer in three values. Whoever reads the answer also
//! learns which facts decided it and which were missing.

use std::fmt;

use chrono::NaiveDate;

use crate::battery::{Casing, Chemistry, Purpose, Soundness};
use crate::transport::facts::{
    ApprovalKind, BatteryMark, Configuration, Facts, PackageKind, Relief, Stowage,
};
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

/// A fact that a rule may look at.
///
/// INVARIANT: the number of a fact is its bit in a [`FactSet`], so there are at most 64.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fact {
    /// Whether a competent authority's approval is in hand.
    AuthorityApproval,
    /// `item.casing`.
    Casing,
    /// `item.chemistry`; the word `unknown` counts as absent.
    Chemistry,
    /// `item.configuration`.
    Configuration,
    /// `item.rated_energy_wh`.
    Energy,
    /// `item.energy_marked_on_case`.
    EnergyMarked,
    /// `item.leaking`.
    Leaking,
    /// `item.made_on`.
    MadeOn,
    /// `item.net_mass_kg`.
    Mass,
    /// `on`.
    On,
    /// `package.kind`.
    PackageKind,
    /// `package.net_mass_kg`, or number times mass of one.
    PackageNet,
    /// `item.purpose`.
    Purpose,
    /// `item.recalled_for_safety`.
    Recalled,
    /// `item.soundness`; absent counts as undiagnosed.
    Soundness,
    /// `item.soundness` as stated; absent is not known. For rows that forbid.
    SoundnessStated,
    /// `item.still_a_battery`.
    StillABattery,
    /// `item.tested_type`.
    TestedType,
    /// `item.household_collected`.
    Household,
    /// `item.cell_casing_breached`.
    CasingBreached,
    /// `item.state_of_charge_percent.low`.
    ChargeLow,
    /// `item.state_of_charge_percent.high`.
    ChargeHigh,
    /// `package.gross_mass_kg`.
    PackageGross,
    /// `voyage.stowage`.
    Stowage,
    /// `voyage.short_international`.
    ShortVoyage,
    /// Whether State of Origin and State of the Operator have both approved.
    BothStatesApproval,
    /// Whether the State of Origin has approved.
    OriginApproval,
    /// Whether a special permit is in hand.
    SpecialPermit,
    /// Whether a multilateral agreement is quoted.
    Agreement,
    /// Whether an approval is quoted that has expired.
    ExpiredApproval,
    /// Whether the mark for small batteries shows a telephone number.
    BatteryMarkPhone,
    /// Whether materials of trade are claimed.
    ClaimsMaterialsOfTrade,
    /// Whether carriage beside one's own work is claimed.
    ClaimsOwnWork,
    /// Whether the relief for small batteries is claimed.
    ClaimsSmall,
    /// Whether the relief for shorted sodium ion batteries is claimed.
    ClaimsShorted,
    /// Whether the relief for small collected batteries is claimed.
    ClaimsCollection,
    /// Whether the relief for household equipment is claimed.
    ClaimsHousehold,
}

impl Fact {
    /// Every fact, in the order of its bit.
    pub const ALL: [Self; 37] = [
        Self::AuthorityApproval,
        Self::Casing,
        Self::Chemistry,
        Self::Configuration,
        Self::Energy,
        Self::EnergyMarked,
        Self::Leaking,
        Self::MadeOn,
        Self::Mass,
        Self::On,
        Self::PackageKind,
        Self::PackageNet,
        Self::Purpose,
        Self::Recalled,
        Self::Soundness,
        Self::SoundnessStated,
        Self::StillABattery,
        Self::TestedType,
        Self::Household,
        Self::CasingBreached,
        Self::ChargeLow,
        Self::ChargeHigh,
        Self::PackageGross,
        Self::Stowage,
        Self::ShortVoyage,
        Self::BothStatesApproval,
        Self::OriginApproval,
        Self::SpecialPermit,
        Self::Agreement,
        Self::ExpiredApproval,
        Self::BatteryMarkPhone,
        Self::ClaimsMaterialsOfTrade,
        Self::ClaimsOwnWork,
        Self::ClaimsSmall,
        Self::ClaimsShorted,
        Self::ClaimsCollection,
        Self::ClaimsHousehold,
    ];

    /// Its name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::AuthorityApproval => "approvals",
            Self::Casing => "item.casing",
            Self::Chemistry => "item.chemistry",
            Self::Configuration => "item.configuration",
            Self::Energy => "item.rated_energy_wh",
            Self::EnergyMarked => "item.energy_marked_on_case",
            Self::Leaking => "item.leaking",
            Self::MadeOn => "item.made_on",
            Self::Mass => "item.net_mass_kg",
            Self::On => "on",
            Self::PackageKind => "package.kind",
            Self::PackageNet => "package.net_mass_kg",
            Self::Purpose => "item.purpose",
            Self::Recalled => "item.recalled_for_safety",
            Self::Soundness | Self::SoundnessStated => "item.soundness",
            Self::StillABattery => "item.still_a_battery",
            Self::TestedType => "item.tested_type",
            Self::Household => "item.household_collected",
            Self::CasingBreached => "item.cell_casing_breached",
            Self::ChargeLow => "item.state_of_charge_percent",
            Self::ChargeHigh => "item.state_of_charge_percent",
            Self::PackageGross => "package.gross_mass_kg",
            Self::Stowage => "voyage.stowage",
            Self::ShortVoyage => "voyage.short_international",
            Self::BothStatesApproval => "approvals",
            Self::OriginApproval => "approvals",
            Self::SpecialPermit => "approvals",
            Self::Agreement => "approvals",
            Self::ExpiredApproval => "approvals",
            Self::BatteryMarkPhone => "package.battery_mark",
            Self::ClaimsMaterialsOfTrade => "reliefs_claimed",
            Self::ClaimsOwnWork => "reliefs_claimed",
            Self::ClaimsSmall => "reliefs_claimed",
            Self::ClaimsShorted => "reliefs_claimed",
            Self::ClaimsCollection => "reliefs_claimed",
            Self::ClaimsHousehold => "reliefs_claimed",
        }
    }

    /// What to ask a person where it is missing.
    #[must_use]
    pub const fn question(self) -> &'static str {
        match self {
            Self::AuthorityApproval => "is an approval of a competent authority in hand, and which",
            Self::Casing => "is the casing strong and impact-resistant, and can that be shown",
            Self::Chemistry => "which chemistry does the nameplate or the maker state",
            Self::Configuration => "does the battery travel alone, or with or in its equipment",
            Self::Energy => "what rated energy in Wh does the nameplate state",
            Self::EnergyMarked => "does the energy in Wh stand on the outside of the case",
            Self::Leaking => "does liquid or gas leave the battery",
            Self::MadeOn => "when was the battery made",
            Self::Mass => "what does the battery weigh without packaging",
            Self::On => "on which day does it travel",
            Self::PackageKind => "what is it packed in",
            Self::PackageNet => "what do the batteries in the package weigh together",
            Self::Purpose => "what is the battery carried for",
            Self::Recalled => "has the maker or an authority named this battery unsafe",
            Self::Soundness | Self::SoundnessStated => {
                "what did the inspection find: sound, suspect, undiagnosed, damaged or critical"
            }
            Self::StillABattery => "can it still be charged or give power",
            Self::TestedType => "is there a UN 38.3 test summary for this battery as it is offered",
            Self::Household => "was it collected from private households",
            Self::CasingBreached => "is the casing of a single cell breached",
            Self::ChargeLow => "what is the state of charge, lowest and highest",
            Self::ChargeHigh => "what is the state of charge, lowest and highest",
            Self::PackageGross => "what does the closed package weigh",
            Self::Stowage => "does it stand on deck or under deck",
            Self::ShortVoyage => "is it a short international voyage",
            Self::BothStatesApproval => {
                "have the State of Origin and the State of the Operator approved it"
            }
            Self::OriginApproval => "has the State of Origin approved it",
            Self::SpecialPermit => "is a special permit in hand, and which",
            Self::Agreement => "which agreement of states is used",
            Self::ExpiredApproval => "until when is each approval good",
            Self::BatteryMarkPhone => "does the battery mark show a telephone number",
            Self::ClaimsMaterialsOfTrade => "which relief is claimed",
            Self::ClaimsOwnWork => "which relief is claimed",
            Self::ClaimsSmall => "which relief is claimed",
            Self::ClaimsShorted => "which relief is claimed",
            Self::ClaimsCollection => "which relief is claimed",
            Self::ClaimsHousehold => "which relief is claimed",
        }
    }

    /// Its value in `facts`, or `None` where it is not known.
    #[must_use]
    pub fn value(self, facts: &Facts) -> Option<Value> {
        let item = &facts.item;
        match self {
            Self::AuthorityApproval => Some(Value::Truth(
                facts.has_approval(ApprovalKind::CompetentAuthority),
            )),
            Self::Casing => item.casing.map(Value::Casing),
            Self::Chemistry => item
                .chemistry
                .filter(|chemistry| *chemistry != Chemistry::Unknown)
                .map(Value::Chemistry),
            Self::Configuration => item.configuration.map(Value::Configuration),
            Self::Energy => item
                .rated_energy_wh
                .map(|energy| Value::Thousandths(energy.as_thousandths())),
            Self::EnergyMarked => item.energy_marked_on_case.map(Value::Truth),
            Self::Leaking => item.leaking.map(Value::Truth),
            Self::MadeOn => item.made_on.map(Value::Day),
            Self::Mass => item
                .net_mass_kg
                .map(|mass| Value::Thousandths(mass.as_thousandths())),
            Self::On => facts.on.map(Value::Day),
            Self::PackageKind => facts
                .package
                .as_ref()
                .and_then(|package| package.kind)
                .map(Value::PackageKind),
            Self::PackageNet => facts
                .package_net()
                .map(|mass| Value::Thousandths(mass.as_thousandths())),
            Self::Purpose => item.purpose.map(Value::Purpose),
            Self::Recalled => item.recalled_for_safety.map(Value::Truth),
            Self::Soundness => Some(Value::Soundness(
                item.soundness.unwrap_or(Soundness::Undiagnosed),
            )),
            Self::SoundnessStated => item.soundness.map(Value::Soundness),
            Self::StillABattery => item.still_a_battery.map(Value::Truth),
            Self::TestedType => item.tested_type.map(Value::Truth),
            Self::Household => item.household_collected.map(Value::Truth),
            Self::CasingBreached => item.cell_casing_breached.map(Value::Truth),
            Self::ChargeLow => item
                .state_of_charge_percent
                .map(|charge| Value::Thousandths(charge.low.as_thousandths())),
            Self::ChargeHigh => item
                .state_of_charge_percent
                .map(|charge| Value::Thousandths(charge.high.as_thousandths())),
            Self::PackageGross => facts
                .package
                .as_ref()
                .and_then(|package| package.gross_mass_kg)
                .map(|mass| Value::Thousandths(mass.as_thousandths())),
            Self::Stowage => facts
                .voyage
                .as_ref()
                .and_then(|voyage| voyage.stowage)
                .map(Value::Stowage),
            Self::ShortVoyage => facts
                .voyage
                .as_ref()
                .and_then(|voyage| voyage.short_international)
                .map(Value::Truth),
            Self::BothStatesApproval => Some(Value::Truth(
                facts.has_approval(ApprovalKind::StateOfOrigin)
                    && facts.has_approval(ApprovalKind::StateOfTheOperator),
            )),
            Self::OriginApproval => Some(Value::Truth(
                facts.has_approval(ApprovalKind::StateOfOrigin),
            )),
            Self::SpecialPermit => Some(Value::Truth(
                facts.has_approval(ApprovalKind::SpecialPermit),
            )),
            Self::Agreement => Some(Value::Truth(
                facts.has_approval(ApprovalKind::MultilateralAgreement),
            )),
            Self::ExpiredApproval => Some(Value::Truth(facts.quotes_expired_approval())),
            Self::BatteryMarkPhone => facts
                .package
                .as_ref()
                .and_then(|package| package.battery_mark)
                .map(|mark| Value::Truth(mark == BatteryMark::WithTelephone)),
            Self::ClaimsMaterialsOfTrade => {
                Some(Value::Truth(facts.claims(Relief::MaterialsOfTrade)))
            }
            Self::ClaimsOwnWork => Some(Value::Truth(facts.claims(Relief::OwnWork))),
            Self::ClaimsSmall => Some(Value::Truth(facts.claims(Relief::Sp188))),
            Self::ClaimsShorted => Some(Value::Truth(facts.claims(Relief::Sp400))),
            Self::ClaimsCollection => Some(Value::Truth(facts.claims(Relief::Sp636))),
            Self::ClaimsHousehold => Some(Value::Truth(facts.claims(Relief::Sp670))),
        }
    }

    const fn bit(self) -> u64 {
        1 << (self as u8)
    }
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
