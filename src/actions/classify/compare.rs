//! What a later day changes in the answers.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;
use serde::Serialize;
use serde_json::Value;

use crate::actions::ActionError;
use crate::store::facts::{Said, Source, each_of};
use crate::transport::{Decision, decide_untraced};

/// One thing that is otherwise on the later day.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Change {
    /// Name of the part of the decision.
    pub what: String,
    /// As it is.
    pub was: String,
    /// As it will be.
    pub becomes: String,
}

/// Batteries that change alike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChangedAlike {
    /// What changes.
    pub changes: Vec<Change>,
    /// Names of the batteries, in the order of the input.
    pub ids: Vec<String>,
}

/// How many packages differ, each under the weightiest thing that does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Weightiest {
    /// Whether it may travel, or whether its package is good.
    pub answer: u64,
    /// Class, entry, packing or label.
    pub class: u64,
    /// Document, marks, transport category.
    pub papers: u64,
    /// What waste law says.
    pub waste: u64,
    /// Duties alone.
    pub duties: u64,
}

impl Weightiest {
    fn count(&mut self, changes: &[Change]) {
        let has = |names: &[&str]| {
            let mut changes = changes.iter();
            changes.any(|change| names.contains(&change.what.as_str()))
        };
        let counted = if has(&["answer", "package", "missing"]) {
            &mut self.answer
        } else if has(&["entry", "labels", "packing_instructions"]) {
            &mut self.class
        } else if has(&["document", "marks", "provisions", "transport_category"]) {
            &mut self.papers
        } else if has(&["waste"]) {
            &mut self.waste
        } else {
            &mut self.duties
        };
        *counted += 1;
    }
}

/// What differs between two days.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Comparison {
    /// The later day.
    pub on: NaiveDate,
    /// Answers compared.
    pub compared: u64,
    /// Answers that differ in more than the name of the edition.
    pub changed: u64,
    /// Those, each counted once under the weightiest thing that differs.
    pub weightiest: Weightiest,
    /// Answers that differ in the name of the edition only.
    pub edition_only: u64,
    /// Those that differ, by what differs.
    pub groups: Vec<ChangedAlike>,
}

/// Compares the decisions on the day in the facts (or said) with those on the day `on`.
///
/// # Errors
/// An input that cannot be read.
pub fn compare(input: &Path, said: &Said, on: NaiveDate) -> Result<Comparison, ActionError> {
    let mut groups: BTreeMap<Vec<Change>, Vec<String>> = BTreeMap::new();
    let mut found = Comparison {
        on,
        compared: 0,
        changed: 0,
        weightiest: Weightiest::default(),
        edition_only: 0,
        groups: Vec::new(),
    };
    each_of(Source::open(input)?, said, &mut |_, facts| {
        for mut facts in said.legs_of(facts) {
            let before = decide_untraced(&facts);
            facts.on = Some(on);
            let after = decide_untraced(&facts);
            let changes = changes(&before, &after)?;
            found.compared += 1;
            match changes.as_slice() {
                [] => continue,
                [only] if only.what == "edition" => found.edition_only += 1,
                all => {
                    found.changed += 1;
                    found.weightiest.count(all);
                }
            }
            let id = facts
                .id
                .unwrap_or_else(|| format!("number {}", found.compared));
            groups.entry(changes).or_default().push(id);
        }
        Ok::<(), ActionError>(())
    })?;
    found.groups = groups
        .into_iter()
        .map(|(changes, ids)| ChangedAlike { changes, ids })
        .collect();
    Ok(found)
}

/// The parts of the decision that differ. Reasons are left out: they repeat the day and the facts.
/// Of a list only the items that come or go are named.
fn changes(before: &Decision, after: &Decision) -> Result<Vec<Change>, ActionError> {
    let (Value::Object(before), Value::Object(after)) =
        (serde_json::to_value(before)?, serde_json::to_value(after)?)
    else {
        return Ok(Vec::new());
    };
    let mut found = Vec::new();
    // Where one of the days has no rules at all, everything else follows from that.
    let no_rules = [&before, &after]
        .iter()
        .any(|one| one.get("edition") == Some(&Value::from("")));
    for (name, was) in &before {
        let skipped = match name.as_str() {
            "id" | "reasons" | "rule_set" | "trace" | "unverified" => true,
            "answer" | "edition" => false,
            _ => no_rules,
        };
        if skipped {
            continue;
        }
        let becomes = after.get(name).unwrap_or(&Value::Null);
        let (was, becomes) = match (was, becomes) {
            (Value::Array(was), Value::Array(becomes)) => {
                (only_in(name, was, becomes), only_in(name, becomes, was))
            }
            _ => (words(name, was), words(name, becomes)),
        };
        if was != becomes {
            found.push(Change {
                what: name.clone(),
                was,
                becomes,
            });
        }
    }
    Ok(found)
}

/// The items of `these` that are not among `those`.
fn only_in(name: &str, these: &[Value], those: &[Value]) -> String {
    let those: Vec<String> = those.iter().map(|item| words(name, item)).collect();
    let items: Vec<String> = these
        .iter()
        .map(|item| words(name, item))
        .filter(|item| !those.contains(item))
        .collect();
    if items.is_empty() {
        return "none".to_owned();
    }
    items.join("; ")
}

/// A part of a decision as one line, without the clauses, which name the edition.
fn words(name: &str, value: &Value) -> String {
    match value {
        Value::Null => "none".to_owned(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::Number(number) => number.to_string(),
        Value::String(text) if text.is_empty() => "none".to_owned(),
        Value::String(text) => text.clone(),
        Value::Array(items) if items.is_empty() => "none".to_owned(),
        Value::Array(items) => {
            let items: Vec<String> = items.iter().map(|item| words(name, item)).collect();
            items.join("; ")
        }
        Value::Object(parts) => {
            let parts: Vec<String> = parts
                .iter()
                .filter(|(key, _)| match name {
                    "entry" => matches!(key.as_str(), "un" | "proper_shipping_name"),
                    "package" => *key == "answer",
                    "requirements" => *key == "says",
                    _ => *key != "clause",
                })
                .map(|(_, part)| words(name, part))
                .collect();
            parts.join(" ")
        }
    }
}
