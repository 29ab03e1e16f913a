//! One answer: a question in any form that serde reads, the sum, and JSON straight into a text.

use serde::de::{Deserialize, DeserializeOwned};
use serde::ser::Serialize;
use serde_json::Value;

use super::row::Row;
use crate::physics::{DomainError, in_plain_words, put_json};

/// How an answer to JSON is laid out; the fields stand in the order of its form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// On one line.
    Line,
    /// Indented.
    Indented,
}

/// Why an input gives no answer.
pub(super) enum Refusal {
    Unreadable(serde_json::Error),
    Domain(DomainError),
    /// A row of so many cells, and how many the head has.
    Cells(usize, usize),
    /// In words.
    Text(String),
}

/// The answer to a question in JSON.
pub(super) fn answer_json<I: DeserializeOwned, A: Serialize>(
    question: Value,
    look: Look,
    sum: impl Fn(&I) -> Result<A, DomainError>,
) -> Result<String, Refusal> {
    let input = I::deserialize(&question).map_err(|_| unreadable::<I>(&question))?;
    let answer = sum(&input).map_err(Refusal::Domain)?;
    match look {
        Look::Line => serde_json::to_string(&answer),
        Look::Indented => serde_json::to_string_pretty(&answer),
    }
    .map_err(Refusal::Unreadable)
}

/// Why a question cannot be read, with the field that is wrong: its place in a text of one line leads
/// there.
fn unreadable<I: DeserializeOwned>(question: &Value) -> Refusal {
    let text = question.to_string();
    let Err(error) = serde_json::from_str::<I>(&text) else {
        return Refusal::Text("it reads in one way and not in another".into());
    };
    let said = error.to_string();
    let why = said.split(" at line ").next().unwrap_or(&said);
    let why = in_plain_words(why);
    let field = field_at(&text, error.column());
    Refusal::Text(if field.is_empty() {
        why
    } else {
        format!("`{field}`: {why}")
    })
}

/// The field in which a byte of a compact JSON text stands: `origin.h_cm`, `tasks.2.load_kg`.
fn field_at(text: &str, end: usize) -> String {
    // The name of a field, or the number of an item, of each object and array that is open.
    let mut open: Vec<(String, usize)> = Vec::new();
    let bytes = text.as_bytes();
    let mut at = 0;
    while let Some(&byte) = bytes.get(at).filter(|_| at < end) {
        match byte {
            b'{' => open.push((String::new(), 0)),
            b'[' => open.push((String::new(), 1)),
            b'}' | b']' => {
                open.pop();
            }
            b',' => {
                if let Some((_, item)) = open.last_mut().filter(|(_, item)| *item > 0) {
                    *item += 1;
                }
            }
            b'"' => {
                let from = at + 1;
                at = from;
                while let Some(&inner) = bytes.get(at).filter(|inner| **inner != b'"') {
                    at += if inner == b'\\' { 2 } else { 1 };
                }
                if bytes.get(at + 1) == Some(&b':')
                    && let (Some((name, _)), Some(key)) = (open.last_mut(), text.get(from..at))
                {
                    key.clone_into(name);
                }
            }
            _ => {}
        }
        at += 1;
    }
    let parts: Vec<String> = open
        .into_iter()
        .map(|(name, item)| if item > 0 { item.to_string() } else { name })
        .filter(|part| !part.is_empty())
        .collect();
    parts.join(".")
}

/// The answer to a row, put behind what is in `out`.
pub(super) fn answer_row<'de, I: Deserialize<'de>, A: Serialize>(
    row: Row<'de>,
    out: &mut Vec<u8>,
    sum: impl Fn(&I) -> Result<A, DomainError>,
) -> Result<(), Refusal> {
    let input = I::deserialize(row).map_err(Refusal::Unreadable)?;
    let answer = sum(&input).map_err(Refusal::Domain)?;
    put_json(&answer, out).map_err(Refusal::Unreadable)
}
