//! A table of questions of any length, answered row by row in order, on all cores.
//!
//! The heads are the field names, `instrument.digits` for a field inside another; an empty cell is
//! "not known", a column `id` is carried over into the answer. Rows go straight into the question's
//! own form and the answers straight into text, and a few blocks are held at a time. At the first
//! row without an answer it ends: what was answered before stands, and the message says how much.

use std::fmt;
use std::io::Read;
use std::num::NonZero;
use std::sync::mpsc::{SyncSender, sync_channel};
use std::thread;

use serde_json::Value;

use super::answer::Refusal;
use super::row::{Heads, Row, cell};
use super::sum::Sum;
use super::table_rows::{each_row, is_plain, trimmed};
use crate::actions::ActionError;
use crate::physics::{Figure, put_json};
use crate::store::facts::{self, Bytes, RowFault};

/// Bytes of rows that are answered at a time; answers are some ten times as long.
const BLOCK: usize = 64 * 1024;
const ROOM: usize = 12;

/// Bytes of rows from which another core is worth its start.
const LONG: usize = 4 * BLOCK;

/// Takes answers, each on a line, and their number.
type Give<'g, E> = dyn FnMut(&[u8], u64) -> Result<(), E> + 'g;

/// A table of which the head is read.
pub struct Rows {
    sum: Sum,
    head: Head,
    bytes: Bytes,
}

impl fmt::Debug for Rows {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Rows")
            .field("head", &self.head)
            .finish_non_exhaustive()
    }
}

/// The head of a table.
#[derive(Debug, Default)]
struct Head {
    heads: Heads,
    /// Column of `id`.
    id: Option<usize>,
    columns: usize,
}

/// Some whole lines without quotes, with the answers to their rows.
#[derive(Default)]
struct Block {
    /// Line of the first, from 1.
    line: u64,
    text: Vec<u8>,
    answers: Vec<u8>,
    /// How many answers there are.
    count: u64,
    /// Why it ends before its last row.
    fault: Option<Fault>,
}

/// Why a table is not answered further.
struct Fault {
    line: u64,
    why: Refusal,
}

impl Rows {
    /// Reads the head.
    ///
    /// # Errors
    /// A head that cannot be read, or in which a name stands twice.
    pub(super) fn open(sum: Sum, reader: Box<dyn Read>) -> Result<Self, ActionError> {
        let mut bytes = Bytes::new(reader);
        let head = Head::read(&mut bytes).map_err(|why| sum.refused("line 1", why))?;
        Ok(Self { sum, head, bytes })
    }

    /// Gives the answers, each on a line, in order, in pieces of whole lines; gives their number.
    ///
    /// # Errors
    /// The first row that has no answer, after all answers before it were given; those of `give`.
    pub fn each<E: From<ActionError>>(
        mut self,
        give: &mut dyn FnMut(&[u8]) -> Result<(), E>,
    ) -> Result<u64, E> {
        let mut given = 0;
        let ended = self.go_through(&mut |answers, count| -> Result<(), E> {
            give(answers)?;
            given += count;
            Ok(())
        })?;
        match ended {
            Ok(()) => Ok(given),
            Err(Fault { line, why }) => Err(self.refused(line, why, given).into()),
        }
    }

    fn refused(&self, line: u64, why: Refusal, given: u64) -> ActionError {
        let mut error = self.sum.refused(&format!("line {line}"), why);
        if let ActionError::Sum { why, .. } = &mut error
            && given > 0
        {
            let rows = if given == 1 { "row" } else { "rows" };
            why.push_str(&format!(
                "; the {given} {rows} above are answered, this one and those below are not"
            ));
        }
        error
    }

    /// Blocks first, on all cores where they are many; from the first quote on row by row.
    fn go_through<E>(&mut self, give: &mut Give<'_, E>) -> Result<Result<(), Fault>, E> {
        let is_long = match filled(&mut self.bytes) {
            Ok(is_long) => is_long,
            Err(fault) => return Ok(Err(fault)),
        };
        let cores = if is_long {
            thread::available_parallelism().map_or(1, NonZero::get)
        } else {
            1
        };
        let Self { sum, head, bytes } = self;
        let answer = |block| answer_block(sum, head, block);
        let ended = if cores > 1 {
            in_lanes(cores, bytes, &answer, give)?
        } else {
            in_turn(bytes, &answer, give)?
        };
        if ended.is_err() {
            return Ok(ended);
        }
        by_row(sum, head, bytes, give)
    }
}

/// Whether there are rows enough for several cores.
fn filled(bytes: &mut Bytes) -> Result<bool, Fault> {
    loop {
        let held = bytes.rest().len();
        if held >= LONG {
            return Ok(true);
        }
        bytes.more().map_err(|fault| broken(bytes, fault))?;
        if bytes.rest().len() == held {
            return Ok(false);
        }
    }
}

/// Puts the next whole lines into `block`; `false` at the end and before the first quote.
fn next(bytes: &mut Bytes, block: &mut Block) -> Result<bool, Fault> {
    let end = loop {
        let rest = bytes.rest();
        let most = rest.get(..BLOCK).unwrap_or(rest);
        let end = most.iter().rposition(|byte| *byte == b'\n');
        if let Some(end) = end.or_else(|| rest.iter().position(|byte| *byte == b'\n')) {
            break end + 1;
        }
        let held = rest.len();
        bytes.more().map_err(|fault| broken(bytes, fault))?;
        if bytes.rest().len() == held {
            break held;
        }
    };
    let text = bytes.rest().get(..end).unwrap_or_default();
    if text.is_empty() || !is_plain(text) {
        return Ok(false);
    }
    block.text.clear();
    block.text.extend_from_slice(text);
    block.line = bytes.line;
    let lines = text.iter().filter(|byte| **byte == b'\n').count() as u64;
    bytes.take(end, lines);
    Ok(true)
}

fn broken(bytes: &Bytes, fault: RowFault) -> Fault {
    let why = match fault {
        RowFault::Io(error) => error.to_string(),
        RowFault::TooLarge => "one row is too large; is a quote left open".to_owned(),
    };
    Fault {
        line: bytes.line,
        why: Refusal::Text(why),
    }
}

/// One block after the other.
fn in_turn<E>(
    bytes: &mut Bytes,
    answer: &impl Fn(Block) -> Block,
    give: &mut Give<'_, E>,
) -> Result<Result<(), Fault>, E> {
    let mut block = Block::default();
    loop {
        match next(bytes, &mut block) {
            Ok(true) => {}
            other => return Ok(other.map(drop)),
        }
        block = answer(block);
        give(&block.answers, block.count)?;
        if let Some(fault) = block.fault.take() {
            return Ok(Err(fault));
        }
    }
}

/// Blocks go to the cores in turn; each core has two, so that it need not wait for the writer.
fn in_lanes<E>(
    cores: usize,
    bytes: &mut Bytes,
    answer: &(impl Fn(Block) -> Block + Sync),
    give: &mut Give<'_, E>,
) -> Result<Result<(), Fault>, E> {
    thread::scope(|scope| {
        let lanes: Vec<_> = (0..cores)
            .map(|_| {
                let (ask, asked) = sync_channel::<Block>(2);
                let (done, answers) = sync_channel(2);
                scope.spawn(move || {
                    for block in asked {
                        // Nobody takes any more where the writer failed.
                        if done.send(answer(block)).is_err() {
                            return;
                        }
                    }
                });
                (ask, answers)
            })
            .collect();
        let mut more = Ok(true);
        let mut ask = |lane: &SyncSender<Block>, mut block: Block| {
            if matches!(more, Ok(true)) {
                more = next(bytes, &mut block);
                if matches!(more, Ok(true)) {
                    // It is full or gone only where the other side panicked, and so will the scope.
                    return lane.send(block).is_ok();
                }
            }
            false
        };
        let mut asked = 0_usize;
        for (lane, _) in lanes.iter().chain(&lanes) {
            asked += usize::from(ask(lane, Block::default()));
        }
        let mut turns = lanes.iter().cycle();
        while asked > 0
            && let Some((lane, answers)) = turns.next()
            && let Ok(mut block) = answers.recv()
        {
            give(&block.answers, block.count)?;
            if let Some(fault) = block.fault.take() {
                return Ok(Err(fault));
            }
            asked -= 1;
            asked += usize::from(ask(lane, block));
        }
        Ok(more.map(drop))
    })
}

/// Answers the rows of a block, up to one that has no answer.
fn answer_block(sum: &Sum, head: &Head, mut block: Block) -> Block {
    let Block {
        line,
        text,
        answers,
        count,
        fault,
    } = &mut block;
    answers.clear();
    *count = 0;
    let (rows, is_text) = match std::str::from_utf8(text) {
        Ok(rows) => (rows, true),
        Err(error) => {
            let good = text.get(..error.valid_up_to()).unwrap_or_default();
            let whole = good
                .iter()
                .rposition(|byte| *byte == b'\n')
                .map_or(0, |n| n + 1);
            let rows = good.get(..whole).unwrap_or_default();
            (std::str::from_utf8(rows).unwrap_or_default(), false)
        }
    };
    answers.reserve(rows.len() * ROOM);
    let ended = each_row(rows, |cells| {
        head.answer(sum, cells, answers)?;
        *count += 1;
        Ok(())
    });
    let why = match ended {
        Err((passed, why)) => Some((passed, why)),
        Ok(()) if is_text => None,
        Ok(()) => {
            let passed = rows.bytes().filter(|byte| *byte == b'\n').count() as u64;
            Some((passed, Refusal::Text("is not UTF-8 text".into())))
        }
    };
    *fault = why.map(|(passed, why)| Fault {
        line: *line + passed,
        why,
    });
    block
}

/// Answers what is left one row at a time.
fn by_row<E>(
    sum: &Sum,
    head: &Head,
    bytes: &mut Bytes,
    give: &mut Give<'_, E>,
) -> Result<Result<(), Fault>, E> {
    let mut row = facts::Row::default();
    let mut answers = Vec::new();
    loop {
        let line = match bytes.row(&mut row) {
            Ok(Some(line)) => line,
            Ok(None) => return Ok(Ok(())),
            Err(fault) => return Ok(Err(broken(bytes, fault))),
        };
        answers.clear();
        let answered = match texts(&row) {
            Ok(cells) => head.answer(sum, &cells, &mut answers),
            Err(why) => Err(why),
        };
        match answered {
            Ok(()) => give(&answers, 1)?,
            Err(why) => return Ok(Err(Fault { line, why })),
        }
    }
}

/// The cells as texts, without blanks around them.
fn texts(row: &facts::Row) -> Result<Vec<&str>, Refusal> {
    row.cells()
        .map(|cell| std::str::from_utf8(cell).map(trimmed))
        .collect::<Result<_, _>>()
        .map_err(|_| Refusal::Text("is not UTF-8 text".into()))
}

impl Head {
    fn read(bytes: &mut Bytes) -> Result<Self, Refusal> {
        let mut row = facts::Row::default();
        if let Err(fault) = bytes.row(&mut row) {
            return Err(broken(bytes, fault).why);
        }
        let mut head = Self {
            columns: row.len(),
            ..Self::default()
        };
        for (column, name) in texts(&row)?.into_iter().enumerate() {
            // Where lines end in CR alone, all of them look like one head, and no row would be seen.
            if name.contains('\r') {
                return Err(Refusal::Text(
                    "a line ends in CR alone; save the table with ends of LF or CRLF".into(),
                ));
            }
            if name == "id" && head.id.is_none() {
                head.id = Some(column);
            } else {
                head.heads.put(name, column).map_err(Refusal::Text)?;
            }
        }
        Ok(head)
    }

    /// Puts the answer to a row behind what is in `out`, on a line.
    fn answer(&self, sum: &Sum, cells: &[&str], out: &mut Vec<u8>) -> Result<(), Refusal> {
        if cells.len() != self.columns {
            return Err(Refusal::Cells(cells.len(), self.columns));
        }
        let begun = out.len();
        let row = Row {
            heads: &self.heads,
            cells,
        };
        (sum.answer_row)(row, out)?;
        let id = self.id.map_or("", |column| cell(cells, column));
        if !id.is_empty() {
            put_id(out, begun, id)?;
        }
        out.push(b'\n');
        Ok(())
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
