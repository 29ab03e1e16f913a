//! Answers a file in the shape in which it asks: one object, an array, one a line, or CSV.
//!
//! JSON is read whole, and either every question in it is answered or none. A table may be longer
//! than a machine can hold: its answers are made as they are taken, and a row without an answer ends
//! it with a message that says how many stand.

use std::io::{Cursor, Read};
use std::path::Path;

use serde_json::Value;

use super::answer::{Look, Refusal};
use super::sum::Sum;
use super::table::Rows;
use crate::actions::ActionError;
use crate::store::Form;
use crate::store::facts::Source;

/// The answers to a file, as JSON, in the shape in which it asked.
#[derive(Debug)]
pub enum Calculated {
    /// One object, indented.
    One(String),
    /// An array of indented objects.
    Array(Vec<String>),
    /// One object a line, each line ended.
    Lines(String),
    /// The same for rows of CSV, still to be made.
    Rows(Box<Rows>),
}

impl Sum {
    /// Answers a file, or standard input for `-`.
    ///
    /// # Errors
    /// A file that cannot be read, JSON larger than 64 MiB, and as [`Self::calculate`].
    pub fn calculate_file(&self, file: &Path) -> Result<Calculated, ActionError> {
        let mut source = Source::open(file)?;
        match source.form()? {
            Form::Csv => self.table(source.into_reader()),
            _ => {
                let before = source.blank_lines;
                self.json(&source.whole("give it as CSV, one question a row")?, before)
            }
        }
    }

    /// Answers a text of one JSON object, an array of them, one a line, or CSV.
    ///
    /// # Errors
    /// Text that is not JSON, fields that are not the sum's, a value outside its domain; the
    /// place is named where there are several.
    pub fn calculate(&self, text: &str) -> Result<Calculated, ActionError> {
        match text.trim_start().chars().next() {
            Some('{' | '[') | None => self.json(text, 0),
            Some(_) => self.table(Box::new(Cursor::new(text.as_bytes().to_vec()))),
        }
    }

    fn table(&self, reader: Box<dyn Read>) -> Result<Calculated, ActionError> {
        Ok(Calculated::Rows(Box::new(Rows::open(*self, reader)?)))
    }

    /// Answers JSON; `before`: blank lines that stood above it.
    fn json(&self, text: &str, before: usize) -> Result<Calculated, ActionError> {
        match serde_json::from_str(text) {
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
                    let place = format!("line {}", before + n + 1);
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
            Refusal::Text(text) => text,
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
