//! Answers a file in the shape in which it asks: one object, an array, one a line, or CSV.
//!
//! Either every question is answered or none: a table of which half is there would be taken for
//! whole. Rows of CSV go straight into the question's own form and the answers straight into text;
//! a long table without quotes is cut at line ends and answered on all cores, in order.

use std::num::NonZero;
use std::path::Path;
use std::thread;

use csv::{ReaderBuilder, StringRecord};
use serde_json::Value;

use super::answer::{Look, Refusal};
use super::row::{Heads, Row, cell};
use super::sum::Sum;
use crate::actions::ActionError;
use crate::store::facts::Source;

/// The answers to a file, as JSON, in the shape in which it asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Calculated {
    /// One object, indented.
    One(String),
    /// An array of indented objects.
    Array(Vec<String>),
    /// One object a line, each line ended; in pieces of whole lines, in order.
    Lines(Vec<String>),
}

/// Bytes of CSV for which another thread is worth its start.
const PIECE: usize = 256 * 1024;

/// An answer is some ten times as long as its row.
const ROOM: usize = 12;

impl Sum {
    /// Answers a file, or standard input for `-`.
    ///
    /// # Errors
    /// A file that cannot be read, larger than 64 MiB, and as [`Self::calculate`].
    pub fn calculate_file(&self, file: &Path) -> Result<Calculated, ActionError> {
        self.calculate(&Source::open(file)?.whole()?)
    }

    /// Answers a text of one JSON object, an array of them, one a line, or CSV.
    ///
    /// # Errors
    /// Text that is not JSON, fields that are not the sum's, a value outside its domain; the
    /// place is named where there are several.
    pub fn calculate(&self, text: &str) -> Result<Calculated, ActionError> {
        if let Some(first) = text.trim_start().chars().next()
            && !"{[".contains(first)
        {
            return self.table(text).map(Calculated::Lines);
        }
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
                    let place = format!("line {}", n + 1);
                    let item = serde_json::from_str(line)
                        .map_err(|error| self.refusal(&place, error.to_string()))?;
                    answers.push_str(&self.one(item, Look::Line, &place)?);
                    answers.push('\n');
                }
                Ok(Calculated::Lines(vec![answers]))
            }
        }
    }

    fn one(&self, input: Value, look: Look, place: &str) -> Result<String, ActionError> {
        let mut out = Vec::new();
        (self.answer_json)(input, look, &mut out).map_err(|why| self.refused(place, why))?;
        self.text(out)
    }

    fn text(&self, out: Vec<u8>) -> Result<String, ActionError> {
        String::from_utf8(out).map_err(|error| self.refusal("", error.to_string()))
    }

    /// Answers CSV: the heads are the field names, `instrument.digits` for a field inside another;
    /// an empty cell is "not known", a column `id` is carried over into the answer.
    fn table(&self, text: &str) -> Result<Vec<String>, ActionError> {
        let (heads, rest) = self.head(text)?;
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        // A quote may hold a line end, so such a table is not cut.
        let pieces = if rest.text.contains('"') {
            vec![rest]
        } else {
            rest.cut(cores.min(rest.text.len() / PIECE).max(1))
        };
        if let [one] = pieces.as_slice() {
            return Ok(vec![self.piece(&heads, *one)?]);
        }
        thread::scope(|scope| {
            let running: Vec<_> = pieces
                .iter()
                .map(|piece| scope.spawn(|| self.piece(&heads, *piece)))
                .collect();
            running
                .into_iter()
                .map(|one| {
                    one.join()
                        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
                })
                .collect()
        })
    }

    fn head<'t>(&self, text: &'t str) -> Result<(Table, Piece<'t>), ActionError> {
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut record = StringRecord::new();
        let read = |error: csv::Error| self.refusal("", error.to_string());
        reader.read_record(&mut record).map_err(read)?;
        let mut table = Table {
            columns: record.len(),
            ..Table::default()
        };
        for (column, head) in record.iter().enumerate() {
            if head.trim() == "id" && table.id.is_none() {
                table.id = Some(column);
            } else {
                table
                    .heads
                    .put(head.trim(), column)
                    .map_err(|why| self.refusal("line 1", why))?;
            }
        }
        let at = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        Ok((
            table,
            Piece {
                text: text.get(at..).unwrap_or(""),
                lines_before: reader.position().line() - 1,
            },
        ))
    }

    fn piece(&self, table: &Table, piece: Piece<'_>) -> Result<String, ActionError> {
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(piece.text.as_bytes());
        let mut record = StringRecord::new();
        let mut out = Vec::with_capacity(piece.text.len() * ROOM);
        loop {
            let line = piece.lines_before + reader.position().line();
            let place = || format!("line {line}");
            let more = reader
                .read_record(&mut record)
                .map_err(|error| self.refusal(&place(), error.to_string()))?;
            if !more {
                return self.text(out);
            }
            if record.len() != table.columns {
                // Blank lines before it are passed over, so its own place is asked for.
                let line = record
                    .position()
                    .map_or(line, |at| piece.lines_before + at.line());
                return Err(self.refusal(
                    &format!("line {line}"),
                    format!("{} cells, but the head has {}", record.len(), table.columns),
                ));
            }
            let begun = out.len();
            let row = Row {
                heads: &table.heads,
                record: &record,
            };
            (self.answer_row)(row, &mut out).map_err(|why| {
                let line = record
                    .position()
                    .map_or(line, |at| piece.lines_before + at.line());
                self.refused(&format!("line {line}"), why)
            })?;
            if let Some(id) = table.id.map(|column| cell(&record, column))
                && !id.is_empty()
            {
                put_id(&mut out, begun, id);
            }
            out.push(b'\n');
        }
    }

    fn refused(&self, place: &str, why: Refusal) -> ActionError {
        let why = match why {
            Refusal::Unreadable(error) => error.to_string(),
            Refusal::Domain(error) => error.to_string(),
        };
        self.refusal(place, why)
    }

    fn refusal(&self, place: &str, why: String) -> ActionError {
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

/// The head of a table.
#[derive(Debug, Default)]
struct Table {
    heads: Heads,
    /// Column of `id`.
    id: Option<usize>,
    columns: usize,
}

/// A run of whole lines of a table.
#[derive(Debug, Clone, Copy)]
struct Piece<'t> {
    text: &'t str,
    lines_before: u64,
}

impl<'t> Piece<'t> {
    /// The same lines in `count` pieces of about one size.
    fn cut(self, count: usize) -> Vec<Self> {
        let mut pieces = Vec::with_capacity(count);
        let mut rest = self;
        for left in (2..=count).rev() {
            let about = rest.text.len() / left;
            let end = rest
                .text
                .as_bytes()
                .iter()
                .skip(about)
                .position(|byte| *byte == b'\n')
                .map_or(rest.text.len(), |at| about + at + 1);
            let Some((first, behind)) = rest.text.split_at_checked(end) else {
                break;
            };
            pieces.push(Self {
                text: first,
                ..rest
            });
            let lines = first.bytes().filter(|byte| *byte == b'\n').count();
            rest = Self {
                text: behind,
                lines_before: rest.lines_before + lines as u64,
            };
        }
        pieces.push(rest);
        pieces
    }
}

/// Puts the id as the last field of the object that begins at `begun`: as the JSON that it spells,
/// else as a text.
fn put_id(out: &mut Vec<u8>, begun: usize, id: &str) {
    let closing = out.pop();
    if out.len() > begun + 1 {
        out.push(b',');
    }
    out.extend_from_slice(b"\"id\":");
    let number_or_more = id
        .as_bytes()
        .first()
        .is_some_and(|byte| b"-0123456789\"[{tfn".contains(byte));
    let spelt = number_or_more
        .then(|| serde_json::from_str::<Value>(id).ok())
        .flatten()
        .unwrap_or_else(|| Value::from(id));
    out.extend_from_slice(spelt.to_string().as_bytes());
    out.extend(closing);
}
