//! One row of the rule set as a reader sees it, whichever law it belongs to.

use serde::Serialize;

use crate::citation::Known;
use crate::transport::{
    Effect, IfUnknown, LoadRule, Rule, RuleSet, UsWaste, WasteEffect, WasteLaw, WasteRule,
    agreement_lines, load_rules, load_table, waste_rules,
};

/// A row as a reader sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RuleCard {
    /// Permanent name.
    pub id: String,
    /// The sentence.
    pub says: String,
    /// Regime and modes, one text a scope.
    pub applies_to: Vec<String>,
    /// The condition in one line.
    pub when: String,
    /// What happens while facts are missing.
    pub if_unknown: String,
    /// What follows.
    pub effects: Vec<String>,
    /// Clause by edition.
    pub clauses: Vec<String>,
    /// First day, where it begins later than its edition.
    pub valid_from: Option<String>,
    /// Last day, where it ends before its edition.
    pub valid_to: Option<String>,
    /// How it is known.
    pub basis: String,
    /// Whether the law itself was read and nothing in the row is marked as unverified.
    pub verified: bool,
    /// Rows that it sets aside.
    pub sets_aside: Vec<String>,
    /// Rows that set it aside.
    pub set_aside_by: Vec<String>,
}

/// The card of one row of `rules`.
#[must_use]
pub fn card(rules: &RuleSet, rule: &Rule) -> RuleCard {
    RuleCard {
        id: rule.id.to_owned(),
        says: rule.says.to_owned(),
        applies_to: rule
            .scope
            .iter()
            .map(|scope| {
                let modes: Vec<&str> = scope.modes.iter().map(|mode| mode.name()).collect();
                format!("{}: {}", scope.regime, modes.join(", "))
            })
            .collect(),
        when: rule.when.to_string(),
        if_unknown: match rule.if_unknown {
            IfUnknown::Apply => "holds, because it asks for more",
            IfUnknown::Ask => "the decision is not determined and the fact is asked for",
            IfUnknown::Skip => "does not hold, because it gives a choice",
        }
        .to_owned(),
        effects: rule.effects.iter().map(effect).collect(),
        clauses: clauses(rule),
        valid_from: rule.valid_from.map(|day| day.to_string()),
        valid_to: rule.valid_to.map(|day| day.to_string()),
        basis: rule.basis.words().to_owned(),
        verified: is_verified(rule),
        sets_aside: rule.overrides.iter().map(|&id| id.to_owned()).collect(),
        set_aside_by: rules
            .rules()
            .iter()
            .filter(|other| other.overrides.contains(&rule.id))
            .map(|other| other.id.to_owned())
            .collect(),
    }
}

fn clauses(rule: &Rule) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for place in rule.clauses {
        let clause = rule.clause(place.edition).to_string();
        if !found.contains(&clause) {
            found.push(clause);
        }
    }
    found
}

/// The card of one row of waste law.
#[must_use]
pub fn waste_card(rule: &WasteRule) -> RuleCard {
    RuleCard {
        id: rule.id.to_owned(),
        says: rule.says.to_owned(),
        applies_to: vec![
            match rule.law {
                WasteLaw::Europe => "waste law of the European Union and the EEA",
                WasteLaw::UnitedStates => "waste law of the United States",
                WasteLaw::Other => "waste law of other countries",
            }
            .to_owned(),
        ],
        when: rule.when.to_string(),
        if_unknown: "does not hold; waste law never loosens transport law".to_owned(),
        effects: vec![match rule.effect {
            WasteEffect::Duty => "the sentence above is a duty".to_owned(),
            WasteEffect::EuCode(code) => format!("European waste code {code}"),
            WasteEffect::Us(us) => format!("in the United States it is {}", waste_words(us)),
        }],
        clauses: vec![rule.clause().to_string()],
        valid_from: rule.valid_from.map(|day| day.to_string()),
        valid_to: rule.valid_to.map(|day| day.to_string()),
        basis: rule.basis.words().to_owned(),
        verified: rule.basis == Known::Read,
        sets_aside: Vec::new(),
        set_aside_by: Vec::new(),
    }
}

/// The card of one row about loads.
#[must_use]
pub fn load_card(rule: &LoadRule) -> RuleCard {
    let mut effects = match rule.limit {
        Some(_) => vec![format!("limit: {}", rule.limit_words())],
        None => vec!["the sentence above is a duty".to_owned()],
    };
    effects.extend(load_table(rule.id));
    // A clause of several places may name one that was not read.
    let in_part = rule.clause.contains("unverified") || rule.says.contains("second-hand");
    RuleCard {
        id: rule.id.to_owned(),
        says: rule.says.to_owned(),
        applies_to: vec![rule.law.words().to_owned()],
        when: rule.due.words().to_owned(),
        if_unknown: "the fact is asked for, and no load is small while it is missing".to_owned(),
        effects,
        clauses: vec![rule.cited()],
        valid_from: None,
        valid_to: None,
        basis: match (rule.known, in_part) {
            (Known::Read, true) => "read, but for the part that says so",
            (known, _) => known.words(),
        }
        .to_owned(),
        verified: rule.known == Known::Read && !in_part,
        sets_aside: Vec::new(),
        set_aside_by: Vec::new(),
    }
}

/// The card of the agreements of states that a transport document may still quote.
#[must_use]
pub fn agreements_card() -> RuleCard {
    RuleCard {
        id: "document-agreements".to_owned(),
        says: "An agreement of states that has ended carries nothing any more.".to_owned(),
        applies_to: vec!["transport documents that quote an agreement".to_owned()],
        when: "a document or an approval names one".to_owned(),
        if_unknown: "it is asked whether the agreement is in force, and between which states"
            .to_owned(),
        effects: agreement_lines(),
        clauses: vec!["ADR 2025, 1.5.1; the days second-hand".to_owned()],
        valid_from: None,
        valid_to: None,
        basis: Known::Secondary.words().to_owned(),
        verified: false,
        sets_aside: Vec::new(),
        set_aside_by: Vec::new(),
    }
}

/// The cards of every row, transport before waste before loads, in their fixed order.
#[must_use]
pub fn cards(rules: &RuleSet) -> Vec<RuleCard> {
    let transport = rules.rules().iter().map(|rule| card(rules, rule));
    transport
        .chain(waste_rules().iter().map(waste_card))
        .chain(of_loads())
        .collect()
}

pub(super) fn of_loads() -> impl Iterator<Item = RuleCard> {
    let loads = load_rules().map(load_card);
    loads.chain(std::iter::once(agreements_card()))
}

const fn waste_words(us: UsWaste) -> &'static str {
    match us {
        UsWaste::HazardousWaste => "hazardous waste, with a manifest",
        UsWaste::NotWaste => "not waste",
        UsWaste::UniversalWaste => "universal waste",
    }
}

pub(super) fn is_verified(rule: &Rule) -> bool {
    rule.basis == Known::Read && !rule.effects.contains(&Effect::Unverified)
}

/// An effect in a reader's words; a packing instruction is described once, in its own table.
fn effect(effect: &Effect) -> String {
    match effect {
        Effect::Forbid { way_out } => format!("it may not travel; what cures it: {way_out}"),
        Effect::NotDetermined { question, who } => {
            format!("not determined: {question}; {who} decides")
        }
        Effect::Packing(instruction) => format!("may be packed by {}", instruction.name),
        Effect::PackingOnRequest {
            instruction,
            question,
            who,
        } => format!(
            "may be packed by {} if {who} so decides: {question}",
            instruction.name
        ),
        Effect::Requirement => "the sentence above is a duty".to_owned(),
        Effect::Unverified => "it rests on something that was not verified".to_owned(),
        other => other.to_string(),
    }
}
