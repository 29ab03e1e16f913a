//! One answer: a question in any form that serde reads, the sum, and JSON straight into a buffer.

use serde::de::{Deserialize, Deserializer};
use serde::ser::Serialize;

use crate::physics::DomainError;

/// How an answer is laid out; the fields stand in the order of its form.
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
}

/// The answer to one question, put behind what is in `out`. A refusal leaves `out` as it was.
pub(super) fn answered<'de, I, A, D>(
    question: D,
    look: Look,
    out: &mut Vec<u8>,
    sum: impl Fn(&I) -> Result<A, DomainError>,
) -> Result<(), Refusal>
where
    I: Deserialize<'de>,
    A: Serialize,
    D: Deserializer<'de, Error = serde_json::Error>,
{
    let input = I::deserialize(question).map_err(Refusal::Unreadable)?;
    let answer = sum(&input).map_err(Refusal::Domain)?;
    match look {
        Look::Line => serde_json::to_writer(out, &answer),
        Look::Indented => serde_json::to_writer_pretty(out, &answer),
    }
    .map_err(Refusal::Unreadable)
}
