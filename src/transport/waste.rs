//! The second judgement beside transport: whether the battery is waste, under which code of the
//! European list, and whether it is universal or hazardous waste in the United States. Waste law and
//! transport law are independent: a load can need the papers of both, one, or neither.

use std::borrow::Cow;
use std::fmt;
use std::sync::OnceLock;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::citation::{Clause, Known};
use crate::transport::case::Cases;
use crate::transport::criteria::{Criteria, Truth};
use crate::transport::decision::{RequirementDue, Words};
use crate::transport::facts::{Facts, Regime};
use crate::transport::waste_rows;

/// What a battery is under the waste law of the United States.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum UsWaste {
    /// Hazardous waste, with a manifest.
    HazardousWaste,
    /// Not waste.
    NotWaste,
    /// Universal waste.
    UniversalWaste,
}

/// What waste law says of one battery.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct WasteDecision {
    /// Code of the European list, with an asterisk where it is hazardous; absent where it is not
    /// waste, where another law holds, or where nobody has decided.
    pub eu_code: Option<Words>,
    /// The answer of the United States; absent where another law holds or nobody has decided.
    pub us: Option<UsWaste>,
    /// Duties.
    pub requirements: Vec<RequirementDue>,
}

/// Whose law a row belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WasteLaw {
    /// European Union and EEA.
    Europe,
    /// United States.
    UnitedStates,
    /// Any other, or none that is known.
    Other,
}

/// What follows where a row holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WasteEffect {
    /// The sentence of the row is a duty.
    Duty,
    /// The European code.
    EuCode(&'static str),
    /// The answer of the United States.
    Us(UsWaste),
}

/// One rule of waste law.
#[derive(Debug, Clone, Copy)]
pub struct WasteRule {
    /// Permanent name: kebab-case, without a clause number.
    pub id: &'static str,
    /// What it says, in one sentence of ours.
    pub says: &'static str,
    /// Whose law.
    pub law: WasteLaw,
    /// The condition; it does not hold while facts are missing.
    pub when: Criteria,
    /// What follows.
    pub effect: WasteEffect,
    /// The document, with its date.
    pub document: &'static str,
    /// The numbered place.
    pub place: &'static str,
    /// First day, where it has one.
    pub valid_from: Option<NaiveDate>,
    /// Last day, where it has one.
    pub valid_to: Option<NaiveDate>,
    /// How it is known.
    pub basis: Known,
}

impl WasteRule {
    fn is_in_force(&self, on: Option<NaiveDate>) -> bool {
        let dated = self.valid_from.is_some() || self.valid_to.is_some();
        match on {
            None => !dated,
            Some(on) => {
                self.valid_from.is_none_or(|first| first <= on)
                    && self.valid_to.is_none_or(|last| on <= last)
            }
        }
    }

    /// Whether it holds for these facts on their day.
    #[must_use]
    pub fn holds(&self, facts: &Facts) -> bool {
        self.is_in_force(facts.on) && self.when.evaluate(facts).truth == Truth::Yes
    }

    /// Its clause, with how it is known.
    #[must_use]
    pub fn clause(&self) -> Clause {
        Clause {
            document: self.document.to_owned(),
            edition: String::new(),
            place: self.place.to_owned(),
            known: self.basis,
        }
    }
}

impl fmt::Display for WasteRule {
    /// The row as one line of text, for the hash of the rule set.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} | {} | {:?} | {} | {:?} | {}",
            self.id,
            self.says,
            self.law,
            self.when,
            self.effect,
            self.clause()
        )?;
        if let Some(first) = self.valid_from {
            write!(f, " | from {first}")?;
        }
        if let Some(last) = self.valid_to {
            write!(f, " | until {last}")?;
        }
        Ok(())
    }
}

/// Members of the European Union and the EEA (ISO 3166-1, from memory).
const EUROPE: [&str; 30] = [
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IS",
    "IT", "LI", "LT", "LU", "LV", "MT", "NL", "NO", "PL", "PT", "RO", "SE", "SI", "SK",
];

/// Whose waste law holds: by the country, or else by a regime that leaves no doubt.
#[must_use]
pub fn waste_law(facts: &Facts) -> WasteLaw {
    let country = facts.country.as_deref().map(str::to_ascii_uppercase);
    match (country.as_deref(), facts.regime) {
        (Some("US"), _) | (None, Regime::Cfr49) => WasteLaw::UnitedStates,
        (Some(country), _) if EUROPE.contains(&country) => WasteLaw::Europe,
        (None, Regime::Adr | Regime::Rid) => WasteLaw::Europe,
        _ => WasteLaw::Other,
    }
}

/// What waste law says; `None` while it is not known what the battery is carried for.
#[must_use]
pub fn judge_waste(facts: &Facts) -> Option<WasteDecision> {
    facts.item.purpose?;
    let law = waste_law(facts);
    let Some(on) = facts.on else {
        return Some(judged(facts, law));
    };
    static CASES: OnceLock<[Cases<WasteDecision>; 3]> = OnceLock::new();
    let cases = CASES.get_or_init(|| {
        [WasteLaw::Europe, WasteLaw::UnitedStates, WasteLaw::Other].map(|law| {
            let rules = || waste_rows::RULES.iter().filter(move |rule| rule.law == law);
            Cases::of(
                rules().map(|rule| &rule.when),
                rules().map(|rule| (rule.valid_from, rule.valid_to)),
            )
        })
    });
    let [europe, united_states, other] = cases;
    let cases = match law {
        WasteLaw::Europe => europe,
        WasteLaw::UnitedStates => united_states,
        WasteLaw::Other => other,
    };
    Some((*cases.find(facts, on, || judged(facts, law))).clone())
}

fn judged(facts: &Facts, law: WasteLaw) -> WasteDecision {
    let mut decision = WasteDecision::default();
    for (place, rule) in waste_rows::RULES.iter().enumerate() {
        if rule.law != law || !rule.holds(facts) {
            continue;
        }
        match rule.effect {
            WasteEffect::EuCode(code) => decision.eu_code = Some(Cow::Borrowed(code)),
            WasteEffect::Us(us) => decision.us = Some(us),
            WasteEffect::Duty => {}
        }
        decision.requirements.push(RequirementDue {
            rule: Cow::Borrowed(rule.id),
            says: Cow::Borrowed(rule.says),
            clause: Cow::Borrowed(clause_of(place)),
        });
    }
    decision
}

/// The clause of the row at `place`, as text.
fn clause_of(place: usize) -> &'static str {
    static CLAUSES: OnceLock<Vec<String>> = OnceLock::new();
    CLAUSES
        .get_or_init(|| {
            let rules = waste_rows::RULES.iter();
            rules.map(|rule| rule.clause().to_string()).collect()
        })
        .get(place)
        .map_or("", String::as_str)
}

/// Every row of waste law, in its fixed order.
#[must_use]
pub fn waste_rules() -> &'static [WasteRule] {
    waste_rows::RULES
}
