//! The rule book: every row that a decision may rest on, for a compliance officer to read and sign
//! off. What was not verified comes first.
//!
//! The template gets finished texts only; `templates/papers/rulebook.html` names all it may use.

use serde::Serialize;

use super::rule_card::{RuleCard, card, cards, is_verified, of_loads, waste_card};
use crate::citation::Known;
use crate::papers::{PaperError, template};
use crate::transport::{Criteria, Edition, Effect, Instruction, Rule, RuleSet, waste_rules};

const TEMPLATE: &str = include_str!("../../templates/papers/rulebook.html");

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
