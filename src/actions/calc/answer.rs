//! One answer: a question in any form that serde reads, the sum, and JSON straight into a text.

use serde::de::{Deserialize, DeserializeOwned};
use serde::ser::Serialize;
use serde_json::Value;

use super::row::Row;
use crate::physics::{DomainError, put_json};

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
    let input: I = serde_json::from_value(question).map_err(Refusal::Unreadable)?;
    let answer = sum(&input).map_err(Refusal::Domain)?;
    match look {
        Look::Line => serde_json::to_string(&answer),
        Look::Indented => serde_json::to_string_pretty(&answer),
    }
    .map_err(Refusal::Unreadable)
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
