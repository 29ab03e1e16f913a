//! Rows of a table, cell by cell, without a copy where nothing is quoted.
//!
//! Quotes, and line ends that are neither LF nor CRLF, are left to the csv crate; both ways pass
//! over blank lines and agree on every text (tested).

use csv::{ReaderBuilder, StringRecord};

/// A run of whole lines of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece<'t> {
    pub(super) text: &'t str,
    /// Where it begins in the table, bytes.
    pub(super) at: usize,
    plain: bool,
}

/// Why reading stopped. Lines count from 1 within the piece.
pub(super) enum RowFault<E> {
    /// The csv crate says.
    Csv(u64, csv::Error),
    /// What was called with a row says.
    Given(u64, E),
}

impl<'t> Piece<'t> {
    /// What of a table begins at a byte; `plain` where that [`is_plain`].
    pub(super) fn new(table: &'t str, at: usize, plain: bool) -> Self {
        let text = table.get(at..).unwrap_or_default();
        Self { text, at, plain }
    }

    /// The same lines in about `count` pieces of about one size.
    pub(super) fn cut(self, count: usize) -> Vec<Self> {
        let mut pieces = Vec::with_capacity(count.max(1));
        let mut rest = self;
        let count = if self.plain { count } else { 1 };
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
            rest = Self {
                text: behind,
                at: rest.at + end,
                ..rest
            };
        }
        pieces.push(rest);
        pieces
    }
}

/// Whether nothing is quoted and every line ends in LF or CRLF. A quote may hold a line end, so only
/// such a table is cut.
pub(super) fn is_plain(text: &str) -> bool {
    // No early end, so that many bytes are looked at in one step.
    let sign = |byte: u8| u8::from(byte == b'"') | u8::from(byte == b'\r');
    let odd = text.bytes().fold(0, |odd, byte| odd | sign(byte)) != 0;
    let mut ends = text.split('\r').skip(1);
    !odd || !text.contains('"') && ends.all(|next| next.starts_with('\n'))
}

/// Calls `each` with the cells of every row, without blanks around them; gives their number.
pub(super) fn each_row<E>(
    piece: Piece<'_>,
    each: impl FnMut(&[&str]) -> Result<(), E>,
) -> Result<u64, RowFault<E>> {
    if piece.plain {
        plain(piece.text, each)
    } else {
        quoted(piece.text, each)
    }
}

/// Bytes that are looked at in one step.
const STEP: usize = 8;

/// The high bit of each byte that is `sign`.
const fn marked(bytes: u64, sign: u8) -> u64 {
    const LOW: u64 = 0x7f7f_7f7f_7f7f_7f7f;
    let other = bytes ^ (0x0101_0101_0101_0101 * sign as u64);
    !(((other & LOW) + LOW) | other | LOW)
}

fn plain<E>(
    text: &str,
    mut each: impl FnMut(&[&str]) -> Result<(), E>,
) -> Result<u64, RowFault<E>> {
    let (mut rows, mut line) = (0, 0);
    let mut cells = Vec::new();
    let mut begin = 0;
    let mut end_of_row = |cells: &[&str], last: &str| {
        line += 1;
        // A line of nothing is no row.
        if cells.len() == 1 && matches!(last, "" | "\r") {
            return Ok(());
        }
        rows += 1;
        each(cells).map_err(|why| RowFault::Given(line, why))
    };
    for (n, step) in text.as_bytes().chunks(STEP).enumerate() {
        let mut bytes = [0; STEP];
        for (to, from) in bytes.iter_mut().zip(step) {
            *to = *from;
        }
        let bytes = u64::from_le_bytes(bytes);
        let ends = marked(bytes, b'\n');
        let mut marks = marked(bytes, b',') | ends;
        while marks != 0 {
            let bit = marks.trailing_zeros();
            let at = n * STEP + bit as usize / 8;
            let cell = text.get(begin..at).unwrap_or_default();
            cells.push(trimmed(cell));
            if ends >> bit & 1 == 1 {
                end_of_row(&cells, cell)?;
                cells.clear();
            }
            begin = at + 1;
            marks &= marks - 1;
        }
    }
    // The last line may lack its end.
    if begin < text.len() || !cells.is_empty() {
        let cell = text.get(begin..).unwrap_or_default();
        cells.push(trimmed(cell));
        end_of_row(&cells, cell)?;
    }
    Ok(rows)
}

fn quoted<E>(
    text: &str,
    mut each: impl FnMut(&[&str]) -> Result<(), E>,
) -> Result<u64, RowFault<E>> {
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut record = StringRecord::new();
    let mut rows = 0;
    loop {
        let line = reader.position().line();
        if !reader
            .read_record(&mut record)
            .map_err(|error| RowFault::Csv(line, error))?
        {
            return Ok(rows);
        }
        // The place given is before the blank lines that were passed over.
        let from = record
            .position()
            .and_then(|at| usize::try_from(at.byte()).ok());
        let passed = from.and_then(|from| text.get(from..)).unwrap_or_default();
        let blank = passed
            .bytes()
            .take_while(|byte| matches!(byte, b'\r' | b'\n'));
        let line = line + blank.filter(|byte| *byte == b'\n').count() as u64;
        let cells: Vec<&str> = record.iter().map(trimmed).collect();
        rows += 1;
        each(&cells).map_err(|why| RowFault::Given(line, why))?;
    }
}

/// Without the blanks around it; most cells have none.
fn trimmed(text: &str) -> &str {
    let ends = (text.as_bytes().first(), text.as_bytes().last());
    match ends {
        (Some(b'!'..=b'~'), Some(b'!'..=b'~')) => text,
        _ => text.trim(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    type Found = (Vec<Vec<String>>, Option<u64>);

    /// The rows, and the line of the one that is `bad`.
    fn rows(
        text: &str,
        way: impl Fn(&str, &mut dyn FnMut(&[&str]) -> Result<(), ()>) -> Result<u64, RowFault<()>>,
    ) -> Found {
        let mut rows = Vec::new();
        let ended = way(text, &mut |cells| {
            rows.push(cells.iter().map(ToString::to_string).collect());
            if cells.contains(&"b") {
                Err(())
            } else {
                Ok(())
            }
        });
        match ended {
            Ok(count) => {
                assert_eq!(count, rows.len() as u64);
                (rows, None)
            }
            Err(RowFault::Given(line, ())) => (rows, Some(line)),
            Err(RowFault::Csv(_, error)) => panic!("{error}"),
        }
    }

    #[test]
    fn both_ways_read_the_same_rows_and_name_the_same_line() {
        const SIGNS: [&str; 7] = ["a", "b", ",", "\n", "\r\n", " ", "\u{e9}"];
        let mut seen = 0;
        for n in 0..7_usize.pow(6) {
            // Every text of six signs, also behind more than one step of bytes.
            let mut text = if n % 2 == 0 {
                String::new()
            } else {
                "a,long,row\n".into()
            };
            let mut left = n;
            for _ in 0..6 {
                text.push_str(SIGNS[left % 7]);
                left /= 7;
            }
            assert!(is_plain(&text));
            let quick = rows(&text, |text, each| plain(text, each));
            assert_eq!(
                quick,
                rows(&text, |text, each| quoted(text, each)),
                "{text:?}"
            );
            seen += quick.0.len();
        }
        assert!(seen > 200_000, "{seen}");
    }

    #[test]
    fn odd_line_ends_and_quotes_are_not_plain() {
        for text in ["a\rb", "a\r", "\"a\"", "a\r\r\n", "a\n\rb\n"] {
            assert!(!is_plain(text), "{text:?}");
        }
        for text in ["", "a", "a\r\nb\r\n", "\u{e9},\n"] {
            assert!(is_plain(text), "{text:?}");
        }
    }

    #[test]
    fn pieces_are_whole_lines_and_leave_nothing_out() {
        let text: String = (0..1000).map(|n| format!("row {n},x\n")).collect();
        for count in [0, 1, 2, 7, 999, 100_000] {
            let pieces = Piece::new(&text, 0, true).cut(count);
            let mut at = 0;
            for piece in &pieces {
                assert_eq!(piece.at, at);
                assert!(piece.text.is_empty() || piece.text.ends_with('\n'));
                at += piece.text.len();
            }
            assert_eq!(at, text.len());
            assert!(pieces.len() <= count.max(1));
        }
    }
}
