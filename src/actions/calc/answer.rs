//! One answer: a question in any form that serde reads, the sum, and JSON straight into a text.

use serde::de::{Deserialize, DeserializeOwned, Deserializer};
use serde::ser::Serialize;
use serde_json::Value;
use serde_path_to_error::Segment;

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
    let input = I::deserialize(&question).map_err(|_| unreadable::<I, _>(&question))?;
    let answer = sum(&input).map_err(Refusal::Domain)?;
    match look {
        Look::Line => serde_json::to_string(&answer),
        Look::Indented => serde_json::to_string_pretty(&answer),
    }
    .map_err(Refusal::Unreadable)
}

/// Why a question cannot be read, with the field that is wrong: `origin.h_cm`, `tasks.2.load_kg`.
fn unreadable<'de, I, D>(question: D) -> Refusal
where
    I: Deserialize<'de>,
    D: Deserializer<'de, Error = serde_json::Error>,
{
    let Err(error) = serde_path_to_error::deserialize::<D, I>(question) else {
        return Refusal::Text("it reads in one way and not in another".into());
    };
    let parts: Vec<String> = error
        .path()
        .iter()
        .filter_map(|part| match part {
            Segment::Seq { index } => Some((index + 1).to_string()),
            Segment::Map { key } => Some(key.clone()),
            Segment::Enum { .. } | Segment::Unknown => None,
        })
        .collect();
    let why = in_plain_words(&error.inner().to_string());
    Refusal::Text(if parts.is_empty() {
        why
    } else {
        format!("`{}`: {why}", parts.join("."))
    })
}

/// The answer to a row, put behind what is in `out`.
pub(super) fn answer_row<'de, I: Deserialize<'de>, A: Serialize>(
    row: Row<'de>,
    out: &mut Vec<u8>,
    sum: impl Fn(&I) -> Result<A, DomainError>,
) -> Result<(), Refusal> {
    let input = I::deserialize(row).map_err(|_| unreadable::<I, _>(row))?;
    let answer = sum(&input).map_err(Refusal::Domain)?;
    put_json(&answer, out).map_err(Refusal::Unreadable)
}
