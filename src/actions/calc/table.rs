//! A table of questions: tried whole, then answered piece by piece on all cores, in order.
//!
//! The heads are the field names, `instrument.digits` for a field inside another; an empty cell is
//! "not known", a column `id` is carried over into the answer. Rows go straight into the question's
//! own form and the answers straight into text. A table without quotes is cut at line ends; however
//! long it is, a few pieces of answers are held at a time.

use std::borrow::Cow;
use std::num::NonZero;
use std::sync::mpsc::{Receiver, Sender, channel, sync_channel};
use std::thread;

use csv::{ReaderBuilder, StringRecord};
use serde_json::Value;

use super::answer::Refusal;
use super::row::{Heads, Row, cell};
use super::sum::Sum;
use super::table_rows::{Piece, RowFault, each_row, is_plain};
use crate::actions::ActionError;
use crate::physics::{Figure, put_json};

/// Bytes of rows that are answered at a time; answers are some ten times as long.
const PIECE: usize = 64 * 1024;
const ROOM: usize = 12;

/// Bytes of rows from which another core is worth its start.
const LONG: usize = 4 * PIECE;

/// A table in which every row has an answer.
#[derive(Debug)]
pub struct Rows<'t> {
    sum: Sum,
    head: Head,
    text: Cow<'t, str>,
    /// Whether the rows may be cut at line ends.
    plain: bool,
    count: u64,
}

/// The head of a table.
#[derive(Debug, Default)]
struct Head {
    heads: Heads,
    /// Column of `id`.
    id: Option<usize>,
    columns: usize,
    /// Where the rows begin, bytes.
    end: usize,
}

impl<'t> Rows<'t> {
    /// Reads the head and tries every row.
    ///
    /// # Errors
    /// The first row that cannot be answered, by its line.
    pub(super) fn try_all(sum: Sum, text: Cow<'t, str>) -> Result<Self, ActionError> {
        let head = Head::read(sum, &text)?;
        let mut rows = Self {
            sum,
            plain: is_plain(text.get(head.end..).unwrap_or_default()),
            head,
            text,
            count: 0,
        };
        rows.count = rows.tried()?;
        Ok(rows)
    }

    /// How many there are.
    #[must_use]
    pub const fn count(&self) -> u64 {
        self.count
    }

    /// Gives the answers, each on a line, in order, in pieces of whole lines.
    ///
    /// # Errors
    /// Those of `give`.
    pub fn each<E: From<ActionError>>(
        &self,
        give: &mut dyn FnMut(&[u8]) -> Result<(), E>,
    ) -> Result<(), E> {
        let rest = self.rest();
        let pieces = rest.cut(rest.text.len() / PIECE);
        let cores = self.cores();
        if cores == 1 {
            let mut out = Vec::new();
            for piece in pieces {
                out.clear();
                self.answer(piece, &mut out)?;
                give(&out)?;
            }
            return Ok(());
        }
        thread::scope(|scope| {
            let lanes: Vec<(Receiver<_>, Sender<Vec<u8>>)> = (0..cores)
                .map(|lane| {
                    // One piece ahead of the writer, in texts that come back to be used again.
                    let (done, full) = sync_channel(1);
                    let (used, empty) = channel::<Vec<u8>>();
                    let own = pieces.iter().skip(lane).step_by(cores);
                    scope.spawn(move || {
                        for piece in own {
                            let mut out = empty.try_recv().unwrap_or_default();
                            out.clear();
                            let answered = self.answer(*piece, &mut out).map(|()| out);
                            // Nobody takes any more where the writer failed.
                            if done.send(answered).is_err() {
                                return;
                            }
                        }
                    });
                    (full, used)
                })
                .collect();
            for (full, used) in lanes.iter().cycle().take(pieces.len()) {
                // Nothing comes where the other side panicked, and so will the scope.
                let Ok(answered) = full.recv() else {
                    break;
                };
                let answers = answered?;
                give(&answers)?;
                // Where that side has ended it needs no text.
                let _ = used.send(answers);
            }
            Ok(())
        })
    }

    fn rest(&self) -> Piece<'_> {
        Piece::new(&self.text, self.head.end, self.plain)
    }

    /// How many cores are worth their start.
    fn cores(&self) -> usize {
        if self.text.len() < LONG || !self.plain {
            return 1;
        }
        thread::available_parallelism().map_or(1, NonZero::get)
    }

    /// How many rows there are, where all can be answered.
    fn tried(&self) -> Result<u64, ActionError> {
        let rest = self.rest();
        let cores = self.cores();
        let one = |piece| self.all(piece, self.sum.try_row);
        if cores == 1 {
            return one(rest);
        }
        let pieces = rest.cut(cores);
        thread::scope(|scope| {
            let running: Vec<_> = pieces
                .into_iter()
                .map(|piece| scope.spawn(move || one(piece)))
                .collect();
            running
                .into_iter()
                .map(|one| {
                    one.join()
                        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
                })
                .sum()
        })
    }

    /// Answers the rows of a piece.
    fn answer(&self, piece: Piece<'_>, out: &mut Vec<u8>) -> Result<(), ActionError> {
        out.reserve(piece.text.len() * ROOM);
        let with_id = |row: Row<'_>| {
            let begun = out.len();
            (self.sum.answer_row)(row, out)?;
            let id = self.head.id.map_or("", |column| cell(row.cells, column));
            if !id.is_empty() {
                put_id(out, begun, id)?;
            }
            out.push(b'\n');
            Ok(())
        };
        self.all(piece, with_id).map(drop)
    }

    /// Goes through the rows of a piece; gives their number.
    fn all(
        &self,
        piece: Piece<'_>,
        mut each: impl FnMut(Row<'_>) -> Result<(), Refusal>,
    ) -> Result<u64, ActionError> {
        let Head { heads, columns, .. } = &self.head;
        each_row(piece, |cells| {
            if cells.len() == *columns {
                each(Row { heads, cells })
            } else {
                Err(Refusal::Cells(cells.len(), *columns))
            }
        })
        .map_err(|fault| {
            let before = self.text.get(..piece.at).unwrap_or_default();
            let before = before.bytes().filter(|byte| *byte == b'\n').count() as u64;
            match fault {
                RowFault::Csv(line, error) => self
                    .sum
                    .refusal(&format!("line {}", before + line), error.to_string()),
                RowFault::Given(line, why) => {
                    self.sum.refused(&format!("line {}", before + line), why)
                }
            }
        })
    }
}

impl Head {
    fn read(sum: Sum, text: &str) -> Result<Self, ActionError> {
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut record = StringRecord::new();
        let read = |error: csv::Error| sum.refusal("", error.to_string());
        reader.read_record(&mut record).map_err(read)?;
        let mut head = Self {
            columns: record.len(),
            ..Self::default()
        };
        for (column, name) in record.iter().enumerate() {
            if name.trim() == "id" && head.id.is_none() {
                head.id = Some(column);
            } else {
                head.heads
                    .put(name.trim(), column)
                    .map_err(|why| sum.refusal("line 1", why))?;
            }
        }
        head.end = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        Ok(head)
    }
}

/// Puts the id as the last field of the object that begins at `begun`: as the JSON that it spells,
/// else as a text.
fn put_id(out: &mut Vec<u8>, begun: usize, id: &str) -> Result<(), Refusal> {
    let closing = out.pop();
    if out.len() > begun + 1 {
        out.push(b',');
    }
    out.extend_from_slice(b"\"id\":");
    if let Some(Figure::Whole(_)) = Figure::read(id) {
        out.extend_from_slice(id.as_bytes());
    } else {
        let may_be_json = id
            .as_bytes()
            .first()
            .is_some_and(|byte| b"-0123456789\"[{tfn".contains(byte));
        let spelt = may_be_json
            .then(|| serde_json::from_str::<Value>(id).ok())
            .flatten();
        match spelt {
            Some(value) => put_json(&value, out),
            None => put_json(id, out),
        }
        .map_err(Refusal::Unreadable)?;
    }
    out.extend(closing);
    Ok(())
}
