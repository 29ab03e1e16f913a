//! The file in rounds: a piece of whole lines, read by two workers, then taken by the two workers
//! that own the modules. Nothing is shared while they work, so nothing is locked, and the answer
//! does not depend on who is faster.

use std::io::Read as _;
use std::thread;

use super::answer::EventsQuestion;
use super::column::{Role, roles};
use super::fault::EventsFault;
use super::row::{LONGEST_LINE, Read};

/// Bytes of one round. Large enough that starting two threads costs nothing beside it, small enough
/// that what the readers wrote is still near when it is taken.
const ROUND: usize = 4 * 1024 * 1024;

/// Text with the events read from it.
pub(super) struct Piece<'a> {
    pub(super) text: &'a [u8],
    pub(super) read: &'a Read,
    /// Lines of the file before it.
    pub(super) lines_before: u64,
}

/// Who owns half of the modules.
pub(super) trait Owner: Send {
    /// Takes the events of `side` in the order of the pieces.
    fn take(&mut self, side: Side, pieces: &[Piece<'_>; 2]);
}

/// Which half.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Even,
    Odd,
}

impl Side {
    /// The one of two that is of this half.
    pub(super) const fn of<T>(self, two: &[T; 2]) -> &T {
        let [even, odd] = two;
        match self {
            Self::Even => even,
            Self::Odd => odd,
        }
    }
}

/// Runs both, on two threads; a panic of the other thread is one of ours.
fn both<A: Send, B>(one: impl FnOnce() -> A + Send, other: impl FnOnce() -> B) -> (A, B) {
    thread::scope(|scope| {
        let one = scope.spawn(one);
        let other = other();
        let one = one
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
        (one, other)
    })
}

/// Reads the whole file once and gives every event to its owner.
///
/// `progress` is told the bytes read so far.
pub(super) fn rounds<O: Owner>(
    mut file: impl std::io::Read,
    question: &EventsQuestion,
    owners: &mut [O; 2],
    progress: &mut dyn FnMut(u64),
) -> Result<(), EventsFault> {
    let mut buffer = Buffer::default();
    buffer.fill(&mut file)?;
    let Some(end) = buffer.bytes.iter().position(|&byte| byte == b'\n') else {
        return Err(EventsFault::Row {
            line: 1,
            column: String::new(),
            why: if buffer.bytes.is_empty() {
                "the file is empty".to_owned()
            } else {
                format!("the head is longer than {LONGEST_LINE} bytes")
            },
            known: Vec::new(),
        });
    };
    let head = buffer.bytes.get(..end).unwrap_or_default();
    let roles = roles(head.strip_suffix(b"\r").unwrap_or(head), &question.ignored)?;
    let mut used = end + 1;
    let mut lines = 1;
    let mut bytes_read = used as u64;
    let mut read = [Read::default(), Read::default()];
    loop {
        let whole = buffer.whole_lines(used, lines)?;
        if whole.is_empty() {
            return Ok(());
        }
        let middle = whole
            .get(whole.len() / 2..)
            .and_then(|half| half.iter().position(|&byte| byte == b'\n'))
            .map_or(whole.len(), |at| whole.len() / 2 + at + 1);
        let (first, second) = whole.split_at(middle);
        let [reading, reading_on] = &mut read;
        lines += round(
            [(first, reading), (second, reading_on)],
            lines,
            &roles,
            question,
            owners,
        )?;
        used += whole.len();
        bytes_read += whole.len() as u64;
        progress(bytes_read);
        buffer.drop_front(used);
        buffer.fill(&mut file)?;
        used = 0;
    }
}

/// One round; gives the lines read.
fn round<O: Owner>(
    [(first, reading), (second, reading_on)]: [(&[u8], &mut Read); 2],
    lines: u64,
    roles: &[Role],
    question: &EventsQuestion,
    owners: &mut [O; 2],
) -> Result<u64, EventsFault> {
    let (one, other) = both(
        || read_text(second, reading_on, roles, question),
        || read_text(first, reading, roles, question),
    );
    other.map_err(|fault| fault.in_file(lines))?;
    let lines_before = lines + u64::from(reading.lines);
    one.map_err(|fault| fault.in_file(lines_before))?;
    let pieces = [
        Piece {
            text: first,
            read: reading,
            lines_before: lines,
        },
        Piece {
            text: second,
            read: reading_on,
            lines_before,
        },
    ];
    let [even, odd] = owners;
    both(
        || odd.take(Side::Odd, &pieces),
        || even.take(Side::Even, &pieces),
    );
    Ok(u64::from(reading.lines) + u64::from(reading_on.lines))
}

fn read_text(
    text: &[u8],
    read: &mut Read,
    roles: &[Role],
    question: &EventsQuestion,
) -> Result<(), super::fault::RowFault> {
    if let Err(error) = std::str::from_utf8(text) {
        let before = text.get(..error.valid_up_to()).unwrap_or_default();
        let lines = before.iter().filter(|&&byte| byte == b'\n').count();
        return Err(super::fault::RowFault {
            line: u32::try_from(lines).unwrap_or(u32::MAX),
            column: String::new(),
            why: "is not UTF-8 text".to_owned(),
        });
    }
    read.take(text, roles, question)
}

/// What was read and not yet used.
#[derive(Default)]
struct Buffer {
    bytes: Vec<u8>,
    ended: bool,
}

impl Buffer {
    /// Reads on until a round is full or the file ends. A last line without an end gets one.
    fn fill(&mut self, file: &mut impl std::io::Read) -> Result<(), EventsFault> {
        if self.ended {
            return Ok(());
        }
        let room = ROUND.saturating_sub(self.bytes.len());
        let got = file
            .by_ref()
            .take(room as u64)
            .read_to_end(&mut self.bytes)?;
        if got < room {
            self.ended = true;
            if self.bytes.last().is_some_and(|last| *last != b'\n') {
                self.bytes.push(b'\n');
            }
        }
        Ok(())
    }

    /// The whole lines behind `used`.
    fn whole_lines(&self, used: usize, lines: u64) -> Result<&[u8], EventsFault> {
        let rest = self.bytes.get(used..).unwrap_or_default();
        match rest.iter().rposition(|&byte| byte == b'\n') {
            Some(last) => Ok(rest.get(..=last).unwrap_or_default()),
            None if rest.len() > LONGEST_LINE => Err(EventsFault::Row {
                line: lines + 1,
                column: String::new(),
                why: format!("is longer than {LONGEST_LINE} bytes"),
                known: Vec::new(),
            }),
            None => Ok(&[]),
        }
    }

    fn drop_front(&mut self, used: usize) {
        let used = used.min(self.bytes.len());
        self.bytes.copy_within(used.., 0);
        self.bytes.truncate(self.bytes.len() - used);
    }
}
