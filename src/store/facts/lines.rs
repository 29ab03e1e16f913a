//! Rows of a CSV file of any length, in a buffer of fixed size: RFC 4180 cells, LF or CRLF ends.
//! Blank lines are passed over, as every reader of CSV does.

use std::io::{self, Read};

/// Bytes read at once.
const BLOCK: usize = 256 * 1024;
/// Most bytes for one row: an unclosed quote must not swallow the machine.
const LARGEST_ROW: usize = 16 * 1024 * 1024;

/// The bytes of a file, as far as they are needed.
pub(crate) struct Bytes {
    reader: Box<dyn Read>,
    buffer: Vec<u8>,
    from: usize,
    to: usize,
    ended: bool,
    /// Line of the next row, from 1.
    pub(crate) line: u64,
    /// Bytes taken so far.
    pub(crate) taken: u64,
}

/// Why there is no next row.
#[derive(Debug)]
pub(crate) enum RowFault {
    /// The system says.
    Io(io::Error),
    /// The row is larger than anything of its kind.
    TooLarge,
}

impl Bytes {
    pub(crate) fn new(reader: Box<dyn Read>) -> Self {
        Self {
            reader,
            buffer: Vec::new(),
            from: 0,
            to: 0,
            ended: false,
            line: 1,
            taken: 0,
        }
    }

    /// What is in the buffer and not yet taken.
    pub(crate) fn rest(&self) -> &[u8] {
        self.buffer.get(self.from..self.to).unwrap_or_default()
    }

    /// Whether the buffer ends within a line while more is to come.
    pub(crate) fn is_torn(&self) -> bool {
        !self.ended && !self.rest().contains(&b'\n')
    }

    /// Takes `count` bytes that hold `lines` line ends.
    pub(crate) const fn take(&mut self, count: usize, lines: u64) {
        self.from += count;
        self.taken += count as u64;
        self.line += lines;
    }

    /// Goes back to a row that was taken and is whole in the buffer.
    pub(crate) const fn back(&mut self, line: u64, taken: u64) {
        self.from = self.from.saturating_sub((self.taken - taken) as usize);
        self.line = line;
        self.taken = taken;
    }

    /// Reads more behind what is left.
    pub(crate) fn more(&mut self) -> Result<(), RowFault> {
        self.buffer.copy_within(self.from..self.to, 0);
        self.to -= self.from;
        self.from = 0;
        if self.to > LARGEST_ROW {
            return Err(RowFault::TooLarge);
        }
        if self.buffer.len() < self.to + BLOCK {
            self.buffer.resize(self.to + BLOCK, 0);
        }
        while !self.ended {
            let room = self.buffer.get_mut(self.to..).unwrap_or_default();
            if room.is_empty() {
                break;
            }
            match self.reader.read(room) {
                Ok(0) => self.ended = true,
                Ok(count) => {
                    self.to += count;
                    break;
                }
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) => return Err(RowFault::Io(error)),
            }
        }
        Ok(())
    }

    /// Reads the next row into `row`; gives its first line, or `None` at the end.
    pub(crate) fn row(&mut self, row: &mut Row) -> Result<Option<u64>, RowFault> {
        loop {
            match row.split(self.rest(), self.ended) {
                Split::Unfinished => self.more()?,
                Split::Nothing => return Ok(None),
                Split::Blank(count, lines) => self.take(count, lines),
                Split::Row(count, lines) => {
                    let line = self.line;
                    self.take(count, lines);
                    return Ok(Some(line));
                }
            }
        }
    }
}

/// The cells of one row, without quotes.
#[derive(Debug, Default)]
pub(crate) struct Row {
    text: Vec<u8>,
    ends: Vec<usize>,
}

enum Split {
    /// A line without a sign in it: bytes and lines.
    Blank(usize, u64),
    /// The end of the text.
    Nothing,
    /// A row: bytes and lines.
    Row(usize, u64),
    /// The row goes on behind the buffer.
    Unfinished,
}

impl Row {
    /// The cells in order.
    pub(crate) fn cells(&self) -> impl Iterator<Item = &[u8]> {
        let mut from = 0;
        self.ends.iter().map(move |&to| {
            let cell = self.text.get(from..to).unwrap_or_default();
            from = to;
            cell
        })
    }

    /// How many cells there are.
    pub(crate) const fn len(&self) -> usize {
        self.ends.len()
    }

    fn split(&mut self, rest: &[u8], ended: bool) -> Split {
        self.text.clear();
        self.ends.clear();
        match rest {
            [] if ended => return Split::Nothing,
            [] => return Split::Unfinished,
            [b'\n', ..] => return Split::Blank(1, 1),
            [b'\r', b'\n', ..] => return Split::Blank(2, 1),
            [b'\r'] if ended => return Split::Blank(1, 0),
            [b'\r'] => return Split::Unfinished,
            _ => {}
        }
        let mut lines = 0;
        let mut quoted = false;
        let mut at_start = true;
        let mut signs = rest.iter().enumerate().peekable();
        while let Some((at, &sign)) = signs.next() {
            if quoted {
                match sign {
                    b'"' => match signs.peek() {
                        Some((_, b'"')) => {
                            self.text.push(b'"');
                            signs.next();
                        }
                        None if !ended => return Split::Unfinished,
                        _ => quoted = false,
                    },
                    other => {
                        lines += u64::from(other == b'\n');
                        self.text.push(other);
                    }
                }
                continue;
            }
            match sign {
                b'"' if at_start => {
                    quoted = true;
                    at_start = false;
                }
                b',' => {
                    self.ends.push(self.text.len());
                    at_start = true;
                }
                b'\n' => {
                    self.ends.push(self.text.len());
                    return Split::Row(at + 1, lines + 1);
                }
                b'\r' if matches!(signs.peek(), Some((_, b'\n'))) => {}
                b'\r' if signs.peek().is_none() && !ended => return Split::Unfinished,
                b'\r' if signs.peek().is_none() => {}
                other => {
                    self.text.push(other);
                    at_start = false;
                }
            }
        }
        if !ended {
            return Split::Unfinished;
        }
        self.ends.push(self.text.len());
        Split::Row(rest.len(), lines)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gives one byte at a time, so that every row crosses the edge of what was read.
    struct Drip(std::vec::IntoIter<u8>);

    impl Read for Drip {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            match (self.0.next(), buffer.first_mut()) {
                (Some(byte), Some(place)) => {
                    *place = byte;
                    Ok(1)
                }
                _ => Ok(0),
            }
        }
    }

    fn rows(text: &str) -> Vec<(u64, Vec<String>)> {
        let mut bytes = Bytes::new(Box::new(Drip(text.as_bytes().to_vec().into_iter())));
        let mut row = Row::default();
        let mut found = Vec::new();
        while let Some(line) = bytes.row(&mut row).unwrap() {
            let cells = row
                .cells()
                .map(|cell| String::from_utf8(cell.to_vec()).unwrap());
            found.push((line, cells.collect()));
        }
        found
    }

    #[test]
    fn cells_are_those_of_the_csv_crate() {
        // The csv crate is the second opinion; its own tests follow RFC 4180.
        for text in [
            "a,b\nc,d\n",
            "a,b\r\nc,d\r\n",
            "a,b\nc,d",
            "\"a,1\",\"b\"\"c\"\n,\n",
            "\"two\nlines\",x\n\n\r\nlast,row",
            "a,\n",
            "\"open",
            "x\"y,z\n",
            "\"a\"b,c\n",
            "a,b\r",
            "\u{e9},\u{fc}\n",
        ] {
            let other: Vec<Vec<String>> = csv::ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .from_reader(text.as_bytes())
                .records()
                .map(|row| row.unwrap().iter().map(str::to_owned).collect())
                .collect();
            let ours: Vec<Vec<String>> = rows(text).into_iter().map(|(_, row)| row).collect();
            assert_eq!(ours, other, "{text:?}");
        }
    }

    #[test]
    fn a_row_knows_its_first_line() {
        let lines: Vec<u64> = rows("h\n\"a\nb\"\n\nc\n")
            .into_iter()
            .map(|(n, _)| n)
            .collect();
        assert_eq!(lines, [1, 2, 5]);
    }

    #[test]
    fn an_unclosed_quote_ends_at_the_limit() {
        let endless = io::repeat(b'x');
        let mut bytes = Bytes::new(Box::new((&b"\""[..]).chain(endless)));
        assert!(matches!(
            bytes.row(&mut Row::default()),
            Err(RowFault::TooLarge)
        ));
    }
}
