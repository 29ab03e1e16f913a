//! The columns that a CSV of facts may have, taken from the schema of the facts themselves, so that
//! a fact that is added later is a column at once. Heads are the dotted names of the JSON form.

use std::str::FromStr as _;

use chrono::NaiveDate;
use schemars::schema_for;
use serde_json::{Map, Value};

use crate::transport::Facts;
use crate::units::Decimal;

/// What a cell of a column holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A calendar day.
    Day,
    /// Texts separated by `;`, or a JSON array.
    List,
    /// A decimal number.
    Number,
    /// A JSON array of objects.
    Objects,
    /// Any text.
    Text,
    /// `true` or `false`; spreadsheets write `TRUE`, people `yes`, registers `1`.
    Truth,
    /// A whole number.
    Whole,
    /// One of these words.
    Word(Vec<String>),
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Column {
    /// The dotted name.
    pub(crate) name: String,
    /// What its cells hold.
    pub(crate) kind: Kind,
}

/// Why a cell cannot be read, and the words it might have been.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct CellFault {
    pub(crate) why: String,
    pub(crate) known: Vec<String>,
}

impl CellFault {
    fn not(cell: &str, wanted: &str) -> Self {
        let shown: String = cell.chars().take(40).collect();
        Self {
            why: format!("`{shown}` is not {wanted}"),
            known: Vec::new(),
        }
    }
}

/// Every column there is, in the order of the schema.
pub(crate) fn columns() -> Vec<Column> {
    let schema = schema_for!(Facts).to_value();
    let mut found = Vec::new();
    let empty = Value::Null;
    collect(
        &schema,
        schema.get("$defs").unwrap_or(&empty),
        String::new(),
        &mut found,
    );
    found
}

fn collect(schema: &Value, definitions: &Value, name: String, found: &mut Vec<Column>) {
    let schema = resolved(schema, definitions);
    if let Some(Value::Object(properties)) = schema.get("properties") {
        for (key, part) in properties {
            let name = if name.is_empty() {
                key.clone()
            } else {
                format!("{name}.{key}")
            };
            collect(part, definitions, name, found);
        }
        return;
    }
    let kind = kind_of(schema, definitions);
    found.push(Column { name, kind });
}

/// The schema behind references and "or null".
fn resolved<'a>(schema: &'a Value, definitions: &'a Value) -> &'a Value {
    if let Some(target) = schema
        .get("$ref")
        .and_then(Value::as_str)
        .and_then(|path| path.strip_prefix("#/$defs/"))
        .and_then(|name| definitions.get(name))
    {
        return resolved(target, definitions);
    }
    if let Some(Value::Array(choices)) = schema.get("anyOf") {
        let mut real = choices
            .iter()
            .filter(|choice| choice.get("type").and_then(Value::as_str) != Some("null"));
        if let (Some(only), None) = (real.next(), real.next()) {
            return resolved(only, definitions);
        }
    }
    schema
}

fn kind_of(schema: &Value, definitions: &Value) -> Kind {
    let words: Vec<String> = schema
        .get("oneOf")
        .or_else(|| schema.get("enum"))
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(|choice| choice.get("const").unwrap_or(choice).as_str())
        .map(str::to_owned)
        .collect();
    if !words.is_empty() {
        return Kind::Word(words);
    }
    // Exact quantities are "a number, or the same digits as a text".
    if schema.get("anyOf").is_some() {
        return Kind::Number;
    }
    let is = |wanted: &str| match schema.get("type") {
        Some(Value::String(one)) => one == wanted,
        Some(Value::Array(several)) => several.iter().any(|one| one == wanted),
        _ => false,
    };
    if is("boolean") {
        Kind::Truth
    } else if is("integer") {
        Kind::Whole
    } else if is("array") {
        let items = schema.get("items").unwrap_or(schema);
        if resolved(items, definitions).get("properties").is_some() {
            Kind::Objects
        } else {
            Kind::List
        }
    } else if schema.get("format").and_then(Value::as_str) == Some("date") {
        Kind::Day
    } else {
        Kind::Text
    }
}

impl Column {
    /// The cell as the JSON value it stands for.
    pub(crate) fn read(&self, cell: &str) -> Result<Value, CellFault> {
        match &self.kind {
            Kind::Day => NaiveDate::from_str(cell)
                .ok()
                .filter(|day| day.to_string() == cell)
                .map(|_| Value::from(cell))
                .ok_or_else(|| CellFault::not(cell, "a day such as 2026-11-25")),
            Kind::List if cell.starts_with('[') => json(cell),
            Kind::List => Ok(cell.split(';').map(str::trim).map(Value::from).collect()),
            Kind::Number => match Decimal::from_str(cell) {
                Ok(_) => Ok(Value::from(cell)),
                Err(error) => Err(CellFault {
                    why: error.to_string(),
                    known: Vec::new(),
                }),
            },
            Kind::Objects => json(cell),
            Kind::Text => Ok(Value::from(cell)),
            Kind::Truth => match cell.to_ascii_lowercase().as_str() {
                "true" | "yes" | "1" => Ok(Value::Bool(true)),
                "false" | "no" | "0" => Ok(Value::Bool(false)),
                _ => Err(CellFault::not(cell, "true or false")),
            },
            Kind::Whole => u32::from_str(cell)
                .map(Value::from)
                .map_err(|_| CellFault::not(cell, "a whole number")),
            Kind::Word(words) => {
                if words.iter().any(|word| word == cell) {
                    Ok(Value::from(cell))
                } else {
                    Err(CellFault {
                        known: words.clone(),
                        ..CellFault::not(cell, &format!("one of {}", words.join(", ")))
                    })
                }
            }
        }
    }

    /// Puts `value` at this column's place in `object`.
    pub(crate) fn put(&self, object: &mut Map<String, Value>, value: Value) {
        let mut place = object;
        let mut parts = self.name.split('.').peekable();
        while let Some(part) = parts.next() {
            if parts.peek().is_none() {
                place.insert(part.to_owned(), value);
                return;
            }
            let inner = place
                .entry(part)
                .or_insert_with(|| Value::Object(Map::new()));
            let Value::Object(inner) = inner else { return };
            place = inner;
        }
    }
}

fn json(cell: &str) -> Result<Value, CellFault> {
    serde_json::from_str(cell)
        .ok()
        .filter(Value::is_array)
        .ok_or_else(|| CellFault::not(cell, "a JSON array"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(name: &str) -> Column {
        columns()
            .into_iter()
            .find(|column| column.name == name)
            .unwrap_or_else(|| panic!("{name}"))
    }

    #[test]
    fn the_names_of_the_contract_are_columns_of_their_kind() {
        for (name, kind) in [
            ("id", Kind::Text),
            ("on", Kind::Day),
            ("item.net_mass_kg", Kind::Number),
            ("item.state_of_charge_percent.high", Kind::Number),
            ("item.tested_type", Kind::Truth),
            ("package.items", Kind::Whole),
            ("package.inner.each_alone", Kind::Truth),
            ("package.verified.types", Kind::List),
            ("package.labels", Kind::List),
            ("package.marks", Kind::Objects),
            ("approvals", Kind::Objects),
        ] {
            assert_eq!(column(name).kind, kind, "{name}");
        }
        let Kind::Word(words) = column("item.casing").kind else {
            panic!("casing is a word");
        };
        assert_eq!(words, ["strong", "weak"]);
    }

    #[test]
    fn a_cell_that_does_not_fit_says_what_would() {
        assert_eq!(
            column("item.casing").read("stong").unwrap_err().why,
            "`stong` is not one of strong, weak"
        );
        assert_eq!(
            column("item.net_mass_kg").read("48,5").unwrap_err().why,
            "`48,5` is not a plain decimal number such as 51.2"
        );
        for wrong in ["25.11.2026", "2026-1-5", "2026-02-30", "2026-11-25T08:00"] {
            assert!(column("on").read(wrong).is_err(), "{wrong}");
        }
        assert!(column("package.items").read("-1").is_err());
    }
}
