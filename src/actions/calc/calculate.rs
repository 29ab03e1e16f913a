//! Answers a file in the shape in which it asks: one object, an array, one a line, or CSV.
//!
//! Either every question is answered or none: a table of which half is there would be taken for
//! whole. So all rows of CSV are tried before the first is answered; the answers are then made as
//! they are taken.

use std::borrow::Cow;
use std::path::Path;

use serde_json::Value;

use super::answer::{Look, Refusal};
use super::sum::Sum;
use super::table::Rows;
use crate::actions::ActionError;
use crate::store::facts::Source;

/// The answers to a file, as JSON, in the shape in which it asked.
#[derive(Debug)]
pub enum Calculated<'t> {
    /// One object, indented.
    One(String),
    /// An array of indented objects.
    Array(Vec<String>),
    /// One object a line, each line ended.
    Lines(String),
    /// The same for rows of CSV, still to be written; each has an answer.
    Rows(Box<Rows<'t>>),
}

impl Sum {
    /// Answers a file, or standard input for `-`.
    ///
    /// # Errors
    /// A file that cannot be read, larger than 64 MiB, and as [`Self::calculate`].
    pub fn calculate_file(&self, file: &Path) -> Result<Calculated<'static>, ActionError> {
        self.calculate(Source::open(file)?.whole()?)
    }

    /// Answers a text of one JSON object, an array of them, one a line, or CSV.
    ///
    /// # Errors
    /// Text that is not JSON, fields that are not the sum's, a value outside its domain; the
    /// place is named where there are several.
    pub fn calculate<'t>(
        &self,
        text: impl Into<Cow<'t, str>>,
    ) -> Result<Calculated<'t>, ActionError> {
        let text = text.into();
        if let Some(first) = text.trim_start().chars().next()
            && !"{[".contains(first)
        {
            return Rows::try_all(*self, text).map(|rows| Calculated::Rows(Box::new(rows)));
        }
        match serde_json::from_str(&text) {
            Ok(Value::Array(items)) => items
                .into_iter()
                .enumerate()
                .map(|(n, item)| self.one(item, Look::Indented, &format!("item {}", n + 1)))
                .collect::<Result<_, _>>()
                .map(Calculated::Array),
            Ok(one) => self.one(one, Look::Indented, "").map(Calculated::One),
            Err(whole) => {
                let lines: Vec<(usize, &str)> = text
                    .lines()
                    .enumerate()
                    .filter(|(_, line)| !line.trim().is_empty())
                    .collect();
                // A broken object over several lines is said of the whole, not of its first line.
                let first = lines
                    .first()
                    .map(|(_, line)| serde_json::from_str::<Value>(line));
                if lines.len() < 2 || !matches!(first, Some(Ok(_))) {
                    return Err(self.refusal("", whole.to_string()));
                }
                let mut answers = String::new();
                for (n, line) in lines {
                    let place = format!("line {}", n + 1);
                    let item = serde_json::from_str(line)
                        .map_err(|error| self.refusal(&place, error.to_string()))?;
                    answers.push_str(&self.one(item, Look::Line, &place)?);
                    answers.push('\n');
                }
                Ok(Calculated::Lines(answers))
            }
        }
    }

    fn one(&self, input: Value, look: Look, place: &str) -> Result<String, ActionError> {
        (self.answer_json)(input, look).map_err(|why| self.refused(place, why))
    }

    pub(super) fn refused(&self, place: &str, why: Refusal) -> ActionError {
        let why = match why {
            Refusal::Unreadable(error) => error.to_string(),
            Refusal::Domain(error) => error.to_string(),
            Refusal::Cells(found, wanted) => {
                format!("{found} cells, but the head has {wanted}")
            }
        };
        self.refusal(place, why)
    }

    pub(super) fn refusal(&self, place: &str, why: String) -> ActionError {
        let place = if place.is_empty() {
            String::new()
        } else {
            format!(" {place}")
        };
        ActionError::Sum {
            name: self.name,
            place,
            why,
        }
    }
}
