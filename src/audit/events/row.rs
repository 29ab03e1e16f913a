//! One row of the table: from bytes to an event, with every cell judged. This runs once for each
//! of millions of rows, so it makes no text of its own.

use super::answer::EventsQuestion;
use super::column::Role;
use super::fault::{RowFault, shown};
use super::rounds::Side;

/// Longest name of a module, in bytes.
const LONGEST_NAME: usize = 200;
/// Longest line, in bytes.
pub(super) const LONGEST_LINE: usize = 60_000;

/// What kind of event, as far as the audit asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Other,
    Removed,
    Dispatched,
}

/// Names up to this long stand in a code themselves; longer ones stand in the text.
const INLINE: usize = 7;
const LONG: u64 = 0xff;
/// Code of the position of a name in its line.
const AT: u32 = 16;

/// The name of a module or a party: short ones whole, longer ones as a place in the line. Two codes
/// made of one line are equal only if the names are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Code(pub(super) u64);

impl Code {
    fn of(cell: &Cell<'_>, at: usize) -> Self {
        let length = cell.bytes.len();
        if length <= INLINE {
            return Self(cell.word << 8 | length as u64);
        }
        Self((at as u64) << (8 + AT) | (length as u64) << 8 | LONG)
    }

    /// The place of a long name in its line: start and length.
    pub(super) const fn place(self) -> Option<(usize, usize)> {
        if self.0 & 0xff == LONG {
            let length = (self.0 >> 8) as usize & ((1 << AT) - 1);
            Some(((self.0 >> (8 + AT)) as usize, length))
        } else {
            None
        }
    }

    /// The name of a short code.
    pub(super) fn short(self) -> String {
        let [length, name @ ..] = self.0.to_le_bytes();
        let name = name.get(..usize::from(length)).unwrap_or_default();
        String::from_utf8_lossy(name).into_owned()
    }
}

/// An event as the checks need it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Event {
    /// The module where its name is a plain whole number; else [`Event::NAMED`].
    pub(super) module: u32,
    pub(super) number: u32,
    /// Seconds since 1970.
    pub(super) at: u32,
    pub(super) kind: Kind,
    pub(super) from: Code,
    pub(super) to: Code,
    /// Line in the text, from 0.
    pub(super) line: u32,
    /// The row in the text: start and length.
    pub(super) start: u32,
    pub(super) length: u16,
    /// The module's name in the row.
    pub(super) name_at: u16,
    pub(super) name_length: u8,
}

impl Event {
    /// A module whose name is not a plain whole number below [`Event::NUMBERS`].
    pub(super) const NAMED: u32 = u32::MAX;
    /// Modules with lower numbers are found without a search.
    pub(super) const NUMBERS: u32 = 1 << 24;

    const EMPTY: Self = Self {
        module: Self::NAMED,
        number: 0,
        at: 0,
        kind: Kind::Other,
        from: Code(0),
        to: Code(0),
        line: 0,
        start: 0,
        length: 0,
        name_at: 0,
        name_length: 0,
    };

    /// The row in the text it was read from.
    pub(super) fn row<'t>(&self, text: &'t [u8]) -> &'t [u8] {
        let start = self.start as usize;
        text.get(start..start + usize::from(self.length))
            .unwrap_or_default()
    }

    /// The module's name in the text it was read from.
    pub(super) fn name<'t>(&self, text: &'t [u8]) -> &'t [u8] {
        let from = usize::from(self.name_at);
        self.row(text)
            .get(from..from + usize::from(self.name_length))
            .unwrap_or_default()
    }
}

/// Events of whole lines, by the two workers that own their modules.
#[derive(Debug, Default)]
pub(super) struct Read {
    owned: [Vec<Event>; 2],
    /// Lines, blank ones among them.
    pub(super) lines: u32,
}

impl Read {
    /// The events of that half of the modules.
    pub(super) fn of(&self, side: Side) -> &[Event] {
        side.of::<Vec<Event>>(&self.owned)
    }

    fn clear(&mut self) {
        self.owned.iter_mut().for_each(Vec::clear);
        self.lines = 0;
    }

    /// Reads whole lines.
    ///
    /// # Errors
    /// The first cell that cannot be read.
    pub(super) fn take(
        &mut self,
        text: &[u8],
        roles: &[Role],
        question: &EventsQuestion,
    ) -> Result<(), RowFault> {
        self.clear();
        let mut reader = Reader {
            text,
            rest: text,
            removed: question.removed.as_bytes(),
            dispatched: question.dispatched.as_bytes(),
        };
        while !reader.rest.is_empty() {
            let line = self.lines;
            let event =
                reader
                    .row(roles)
                    .map_err(|(column, why)| RowFault { line, column, why })?;
            self.lines += 1;
            if let Some(mut event) = event {
                event.line = line;
                let [even, odd] = &mut self.owned;
                let side = if owner(&event, text) == 0 { even } else { odd };
                side.push(event);
            }
        }
        Ok(())
    }
}

/// Which of the two workers owns the module. Any fixed choice will do.
fn owner(event: &Event, text: &[u8]) -> u32 {
    if event.module == Event::NAMED {
        // FNV-1a, with its bits folded: the lowest one alone is weak.
        let hash = event.name(text).iter().fold(0x811c_9dc5_u32, |hash, byte| {
            (hash ^ u32::from(*byte)).wrapping_mul(0x0100_0193)
        });
        (hash ^ hash >> 16 ^ hash >> 7) & 1
    } else {
        event.module & 1
    }
}

struct Reader<'a> {
    text: &'a [u8],
    rest: &'a [u8],
    removed: &'a [u8],
    dispatched: &'a [u8],
}

type CellFault = (String, String);

impl<'a> Reader<'a> {
    const fn at(&self) -> usize {
        self.text.len() - self.rest.len()
    }

    fn row(&mut self, roles: &[Role]) -> Result<Option<Event>, CellFault> {
        if let [b'\n', rest @ ..] | [b'\r', b'\n', rest @ ..] = self.rest {
            self.rest = rest;
            return Ok(None);
        }
        let start = self.at();
        let mut event = Event::EMPTY;
        let mut last = false;
        for (n, role) in roles.iter().enumerate() {
            if last {
                return Err((
                    String::new(),
                    format!("has {n} cells, but the head has {}", roles.len()),
                ));
            }
            let begin = self.at() - start;
            let (cell, begin) = match self.rest {
                [b'"', ..] => (self.quoted(*role, &mut last)?, begin + 1),
                _ => (self.plain(&mut last), begin),
            };
            if !self.take(*role, &cell, begin, &mut event) {
                return Err((role.name().to_owned(), why(*role, cell.bytes)));
            }
        }
        if !last {
            return Err((String::new(), self.more_cells(roles.len())));
        }
        let row = self.text.get(start..self.at() - 1).unwrap_or_default();
        let length = row.strip_suffix(b"\r").unwrap_or(row).len();
        // A row cannot begin beyond a text that fits in a u32.
        event.start = u32::try_from(start).unwrap_or(u32::MAX);
        match u16::try_from(length) {
            Ok(short) if length <= LONGEST_LINE => event.length = short,
            _ => {
                return Err((
                    String::new(),
                    format!("is {length} bytes long, the longest line is {LONGEST_LINE}"),
                ));
            }
        }
        Ok(Some(event))
    }

    #[cold]
    fn more_cells(&self, wanted: usize) -> String {
        let more = self.rest.split(|&byte| byte == b'\n').next();
        format!(
            "has more cells than the head, which has {wanted}: `{}`",
            shown(more.unwrap_or_default())
        )
    }

    /// The bytes up to the next comma or line end, which is passed; `last` where the line ended.
    fn plain(&mut self, last: &mut bool) -> Cell<'a> {
        let (end, word) = stop(self.rest);
        let (bytes, rest) = self.rest.split_at(end);
        let (rest, ended) = match rest {
            [b',', rest @ ..] => (rest, false),
            [_, rest @ ..] => (rest, true),
            [] => (rest, true),
        };
        self.rest = rest;
        *last = ended;
        match bytes {
            [bytes @ .., b'\r'] if ended => Cell::of(bytes),
            _ => Cell { bytes, word },
        }
    }

    /// A cell in quotes. Commas may stand in it; quotes and line ends may not, since no name of a
    /// module or a party needs them.
    #[cold]
    fn quoted(&mut self, role: Role, last: &mut bool) -> Result<Cell<'a>, CellFault> {
        let fault = |why: &str| (role.name().to_owned(), why.to_owned());
        let inside = self.rest.get(1..).unwrap_or_default();
        let end = inside
            .iter()
            .position(|&byte| byte == b'"' || byte == b'\n')
            .ok_or_else(|| fault("a quote is left open"))?;
        let (cell, rest) = inside.split_at(end);
        (self.rest, *last) = match rest {
            [b'"', b',', rest @ ..] => (rest, false),
            [b'"', b'\n', rest @ ..] | [b'"', b'\r', b'\n', rest @ ..] => (rest, true),
            [b'"', b'"', ..] => return Err(fault("a quote stands inside a quoted cell")),
            [b'"', ..] => return Err(fault("something stands behind the closing quote")),
            _ => return Err(fault("a quote is left open at the end of the line")),
        };
        Ok(Cell::of(cell))
    }

    /// Takes a cell into the event; `false` where it cannot be what the column says.
    fn take(&self, role: Role, cell: &Cell<'_>, begin: usize, event: &mut Event) -> bool {
        match role {
            Role::PassedOver => true,
            Role::Module => {
                event.name_length = u8::try_from(cell.bytes.len()).unwrap_or(u8::MAX);
                event.name_at = u16::try_from(begin).unwrap_or(u16::MAX);
                event.module = match cell.number() {
                    Some(number) if number < Event::NUMBERS => number,
                    _ => Event::NAMED,
                };
                is_name(cell.bytes)
            }
            Role::Number => cell.number().map(|number| event.number = number).is_some(),
            Role::Time => {
                event.at = cell.number().unwrap_or(0);
                event.at > 0
            }
            Role::Kind => {
                if cell.bytes == self.removed {
                    event.kind = Kind::Removed;
                } else if cell.bytes == self.dispatched {
                    event.kind = Kind::Dispatched;
                }
                is_name(cell.bytes)
            }
            Role::From => {
                event.from = Code::of(cell, begin);
                is_name(cell.bytes)
            }
            Role::To => {
                event.to = Code::of(cell, begin);
                is_name(cell.bytes)
            }
        }
    }
}

/// A name stands there, not too long and without blanks around it: ` 7` and `7` would be two
/// holders.
fn is_name(cell: &[u8]) -> bool {
    match (cell.first(), cell.last()) {
        (Some(first), Some(last)) => *first > b' ' && *last > b' ' && cell.len() <= LONGEST_NAME,
        _ => false,
    }
}

/// Why a cell cannot be what its column says.
#[cold]
fn why(role: Role, cell: &[u8]) -> String {
    let value = shown(cell);
    match role {
        _ if cell.is_empty() => "is empty".to_owned(),
        Role::Number => format!("`{value}` is not a whole number from 0 to {}", u32::MAX),
        Role::Time => format!(
            "`{value}` is not a whole number of seconds since 1970 from 1 to {}",
            u32::MAX
        ),
        _ if cell.len() > LONGEST_NAME => format!(
            "`{value}` is {} bytes long, the longest name is {LONGEST_NAME}",
            cell.len()
        ),
        _ => format!("`{value}` begins or ends with a blank"),
    }
}

/// A cell, and its first eight bytes as one word, the first byte lowest, nothing above its end.
struct Cell<'a> {
    bytes: &'a [u8],
    word: u64,
}

impl<'a> Cell<'a> {
    fn of(bytes: &'a [u8]) -> Self {
        let word = bytes
            .iter()
            .take(8)
            .rev()
            .fold(0, |word, byte| word << 8 | u64::from(*byte));
        Self { bytes, word }
    }

    /// The value of a whole number written in the one way there is.
    fn number(&self) -> Option<u32> {
        let length = self.bytes.len();
        match self.bytes {
            [] | [b'0', _, ..] => None,
            _ if length <= 8 => eight_digits(self.word, length).and_then(|n| u32::try_from(n).ok()),
            [_, _, _, _, _, _, _, _, rest @ ..] if length <= 10 => {
                let mut value = eight_digits(self.word, 8)?;
                for byte in rest {
                    let digit = byte.wrapping_sub(b'0');
                    if digit > 9 {
                        return None;
                    }
                    value = value * 10 + u64::from(digit);
                }
                u32::try_from(value).ok()
            }
            _ => None,
        }
    }
}

/// The number of a name that is a plain whole number which modules are found by.
pub(super) fn number_of(name: &[u8]) -> Option<u32> {
    Cell::of(name)
        .number()
        .filter(|number| *number < Event::NUMBERS)
}

/// One byte in each place.
const ONES: u64 = 0x0101_0101_0101_0101;

/// Where the cell ends, and its first eight bytes with nothing above its end. Eight bytes are
/// looked at together: most cells are shorter.
fn stop(text: &[u8]) -> (usize, u64) {
    let mut at = 0;
    let mut first = 0;
    // 0x2c is the comma, 0x0a the line end.
    while let Some((bytes, _)) = text.get(at..).and_then(<[u8]>::split_first_chunk::<8>) {
        let word = u64::from_le_bytes(*bytes);
        let stops = zero_bytes(word ^ (ONES * 0x2c)) | zero_bytes(word ^ (ONES * 0x0a));
        if stops == 0 {
            if at == 0 {
                first = word;
            }
            at += 8;
            continue;
        }
        let length = stops.trailing_zeros() / 8;
        if at == 0 {
            first = word & !(u64::MAX << (8 * length));
        }
        return (at + length as usize, first);
    }
    let rest = text.get(at..).unwrap_or_default();
    let end = rest
        .iter()
        .position(|&byte| byte == b',' || byte == b'\n')
        .unwrap_or(rest.len());
    let cell = text.get(..at + end).unwrap_or_default();
    (at + end, Cell::of(cell).word)
}

/// The high bit of the lowest byte that is zero; bits above it mean nothing.
const fn zero_bytes(word: u64) -> u64 {
    word.wrapping_sub(ONES) & !word & (ONES * 0x80)
}

/// The value of up to eight digits, the first in the lowest byte.
fn eight_digits(word: u64, length: usize) -> Option<u64> {
    // Zeros in front, so that there are always eight.
    let bits = 8 * u32::try_from(length).ok()?;
    let digits = word.checked_shl(64 - bits)? ^ (ONES * 0x30).checked_shl(64 - bits)?;
    // Any byte over 9 shows in its high bit.
    if (digits | digits.wrapping_add(ONES * 0x76)) & (ONES * 0x80) != 0 {
        return None;
    }
    // Pairs, then fours, then all eight.
    let pairs = digits.wrapping_mul(10 * 256 + 1) >> 8 & 0x00ff_00ff_00ff_00ff;
    let fours = pairs.wrapping_mul(100 * 65_536 + 1) >> 16 & 0x0000_ffff_0000_ffff;
    Some(fours.wrapping_mul(10_000 * (1 << 32) + 1) >> 32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_what_the_standard_library_reads() {
        for text in [
            "",
            "0",
            "1",
            "9",
            "10",
            "99",
            "1234567",
            "12345678",
            "123456789",
            "4294967295",
            "4294967296",
            "9999999999",
            "12345678901",
            "01",
            "00",
            "-1",
            "+1",
            "1 ",
            " 1",
            "1a",
            "a1",
            "1.0",
            "12345,78",
            "\u{e9}1",
            "1:",
            "1/",
            "12345678x",
        ] {
            let one_way = text.parse::<u32>().ok().filter(|n| n.to_string() == text);
            assert_eq!(Cell::of(text.as_bytes()).number(), one_way, "{text}");
        }
        for n in (0..5_000_000_000_u64).step_by(7_654_321) {
            let text = n.to_string();
            assert_eq!(
                Cell::of(text.as_bytes()).number(),
                u32::try_from(n).ok(),
                "{text}"
            );
        }
    }

    #[test]
    fn a_cell_ends_at_the_first_comma_or_line_end() {
        // Bytes near the two signs and with the high bit set are the ones a word trick may miss.
        let signs = [b',', b'\n', b'-', b'+', 0x0b, 0x09, 0xac, 0x8a, b'a', 0xff];
        for length in 0..24_usize {
            for seed in 0..200_usize {
                let text: Vec<u8> = (0..length)
                    .map(|n| signs[(seed * 7 + n * n * 3 + n * seed) % signs.len()])
                    .collect();
                let end = text
                    .iter()
                    .position(|byte| [b',', b'\n'].contains(byte))
                    .unwrap_or(length);
                assert_eq!(stop(&text), (end, Cell::of(&text[..end]).word), "{text:?}");
            }
        }
    }
}
