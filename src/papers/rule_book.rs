//! The rule book: every row that a decision may rest on, for a compliance officer to read and sign
//! off. What was not verified comes first.
//!
//! The template gets finished texts only; `templates/papers/rulebook.html` names all it may use.

use serde::Serialize;

use crate::citation::Known;
use crate::papers::{PaperError, template};
use crate::transport::{
    Criteria, Edition, Effect, IfUnknown, Instruction, LoadRule, Rule, RuleSet, UsWaste,
    WasteEffect, WasteLaw, WasteRule, agreement_lines, load_rules, load_table, waste_rules,
};

const TEMPLATE: &str = include_str!("../../templates/papers/rulebook.html");

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

/// Where to look, without how it is known, which stands beside it.
fn places(rule: &Rule) -> String {
    if rule.basis == Known::ProjectDefault {
        return "a precaution or a bound of this project".to_owned();
    }
    // Editions that say it at the same place stand together.
    let mut places: Vec<(&str, Vec<&str>)> = Vec::new();
    for place in rule.clauses {
        match places.iter_mut().find(|(same, _)| *same == place.place) {
            Some((_, editions)) => editions.push(place.edition.name()),
            None => places.push((place.place, vec![place.edition.name()])),
        }
    }
    let places: Vec<String> = places
        .into_iter()
        .map(|(place, editions)| format!("{}: {place}", editions.join(", ")))
        .collect();
    places.join("; ")
}

/// Regime and modes of a chapter, in words.
fn title(applies_to: &[String]) -> String {
    let one = |scope: &String| match scope.split_once(": ") {
        Some(("adr", _)) => "road (ADR)".to_owned(),
        Some(("rid", _)) => "rail (RID)".to_owned(),
        Some(("imdg", _)) => "sea (IMDG)".to_owned(),
        Some(("air", modes)) => format!("air (ICAO/IATA): {}", modes.replace('_', " ")),
        Some(("cfr49", modes)) => {
            format!("United States (49 CFR): {}", modes.replace('_', " "))
        }
        _ => scope.clone(),
    };
    let words: Vec<String> = applies_to.iter().map(one).collect();
    let words = words.join("; ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
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

fn of_loads() -> impl Iterator<Item = RuleCard> {
    let loads = load_rules().iter().map(load_card);
    loads.chain(std::iter::once(agreements_card()))
}

const fn waste_words(us: UsWaste) -> &'static str {
    match us {
        UsWaste::HazardousWaste => "hazardous waste, with a manifest",
        UsWaste::NotWaste => "not waste",
        UsWaste::UniversalWaste => "universal waste",
    }
}

fn is_verified(rule: &Rule) -> bool {
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

#[derive(Serialize)]
struct View {
    program: String,
    rule_set: String,
    rows: usize,
    unverified: Vec<Unverified>,
    editions: Vec<ShownEdition>,
    chapters: Vec<Chapter>,
    instructions: Vec<ShownInstruction>,
}

#[derive(Serialize)]
struct Unverified {
    id: String,
    says: String,
    basis: String,
    clauses: String,
}

#[derive(Serialize)]
struct ShownEdition {
    name: String,
    regime: String,
    modes: String,
    first_day: String,
    last_day: String,
    rows: usize,
}

#[derive(Serialize)]
struct Chapter {
    title: String,
    rows: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    #[serde(flatten)]
    card: RuleCard,
    /// The condition as a tree.
    condition: Condition,
}

/// A condition: a line, and what stands under it.
#[derive(Serialize)]
struct Condition {
    text: String,
    parts: Vec<Condition>,
}

#[derive(Serialize)]
struct ShownInstruction {
    name: String,
    clause: String,
    text: String,
}

/// The rule book as a page that stands alone.
///
/// `template` is the user's own text instead of the compiled-in one. The same rules give the same
/// bytes.
///
/// # Errors
/// A template that does not parse, or asks for a name that the book does not have.
pub fn html(rules: &RuleSet, template: Option<&str>) -> Result<String, PaperError> {
    template::html(
        "rule book",
        "rulebook.html",
        template.unwrap_or(TEMPLATE),
        view(rules),
    )
}

fn view(rules: &RuleSet) -> View {
    View {
        program: format!("packdown {}", env!("CARGO_PKG_VERSION")),
        rule_set: rules.name().to_owned(),
        rows: cards(rules).len(),
        unverified: unverified(rules),
        editions: Edition::ALL
            .into_iter()
            .map(|one| edition(rules, one))
            .collect(),
        chapters: chapters(rules),
        instructions: instructions(rules)
            .into_iter()
            .map(|one| ShownInstruction {
                name: one.name.to_owned(),
                clause: one.clause.to_owned(),
                text: one
                    .to_string()
                    .split_once("]: ")
                    .map_or_else(|| one.to_string(), |(_, text)| text.to_owned()),
            })
            .collect(),
    }
}

fn unverified(rules: &RuleSet) -> Vec<Unverified> {
    let transport = rules
        .rules()
        .iter()
        .filter(|rule| !is_verified(rule))
        .map(|rule| Unverified {
            id: rule.id.to_owned(),
            says: rule.says.to_owned(),
            basis: match rule.basis {
                Known::Read => "read, but names something that was not verified",
                other => other.words(),
            }
            .to_owned(),
            clauses: places(rule),
        });
    let waste = waste_rules()
        .iter()
        .filter(|rule| rule.basis != Known::Read)
        .map(|rule| Unverified {
            id: rule.id.to_owned(),
            says: rule.says.to_owned(),
            basis: rule.basis.words().to_owned(),
            clauses: format!("{}, {}", rule.document, rule.place),
        });
    let loads = of_loads()
        .filter(|card| !card.verified)
        .map(|card| Unverified {
            id: card.id,
            says: card.says,
            basis: card.basis,
            clauses: card.clauses.join("; "),
        });
    transport.chain(waste).chain(loads).collect()
}

fn edition(rules: &RuleSet, edition: Edition) -> ShownEdition {
    let modes: Vec<&str> = edition.modes().iter().map(|mode| mode.name()).collect();
    ShownEdition {
        name: edition.name().to_owned(),
        regime: edition.regime().to_string(),
        modes: modes.join(", "),
        first_day: edition.first_day().to_string(),
        last_day: edition
            .last_day()
            .map_or_else(|| "no end known".to_owned(), |day| day.to_string()),
        rows: rules
            .rules()
            .iter()
            .filter(|rule| rule.place(edition).is_some())
            .count(),
    }
}

/// Rows with the same scope stand together, in the order of the rule set.
fn chapters(rules: &RuleSet) -> Vec<Chapter> {
    let mut chapters: Vec<Chapter> = Vec::new();
    let transport = rules
        .rules()
        .iter()
        .map(|rule| (card(rules, rule), condition(&rule.when)));
    let waste = waste_rules()
        .iter()
        .map(|rule| (waste_card(rule), condition(&rule.when)));
    let loads = of_loads().map(|card| {
        let text = card.when.clone();
        let parts = Vec::new();
        (card, Condition { text, parts })
    });
    for (card, condition) in transport.chain(waste).chain(loads) {
        let title = title(&card.applies_to);
        let row = Row { card, condition };
        match chapters.iter_mut().find(|chapter| chapter.title == title) {
            Some(chapter) => chapter.rows.push(row),
            None => chapters.push(Chapter {
                title,
                rows: vec![row],
            }),
        }
    }
    chapters
}

fn condition(criteria: &Criteria) -> Condition {
    let (text, parts) = match criteria {
        Criteria::Always => ("always".to_owned(), Vec::new()),
        Criteria::All(parts) => ("each of these:".to_owned(), flat(parts, true)),
        Criteria::Any(parts) => ("at least one of these:".to_owned(), flat(parts, false)),
        Criteria::Not(part) => {
            let inner = condition(part);
            match **part {
                Criteria::Any(_) => ("none of these:".to_owned(), inner.parts),
                _ if inner.parts.is_empty() => (format!("not: {}", inner.text), Vec::new()),
                _ => ("not:".to_owned(), vec![inner]),
            }
        }
        Criteria::Stated(part) => {
            let inner = condition(part);
            if inner.parts.is_empty() {
                let text = format!("it is stated that {} (not known counts as no)", inner.text);
                (text, Vec::new())
            } else {
                (
                    "it is stated (not known counts as no):".to_owned(),
                    vec![inner],
                )
            }
        }
        leaf => (leaf.to_string().replace('|', " or "), Vec::new()),
    };
    Condition { text, parts }
}

/// "Each of" inside "each of" is one list, as is "one of" inside "one of".
fn flat(parts: &[Criteria], all: bool) -> Vec<Condition> {
    parts
        .iter()
        .flat_map(|part| match part {
            Criteria::All(inner) if all => flat(inner, all),
            Criteria::Any(inner) if !all => flat(inner, all),
            other => vec![condition(other)],
        })
        .collect()
}

/// Every packing instruction that a row names, once, in the order of the rows.
fn instructions(rules: &RuleSet) -> Vec<&'static Instruction> {
    let mut found: Vec<&'static Instruction> = Vec::new();
    for rule in rules.rules() {
        for effect in rule.effects {
            if let Effect::Packing(instruction) | Effect::PackingOnRequest { instruction, .. } =
                effect
                && !found.contains(instruction)
            {
                found.push(instruction);
            }
        }
    }
    found
}
