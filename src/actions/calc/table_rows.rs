//! Rows of a table, cell by cell, without a copy where nothing is quoted.
//!
//! A block of whole lines without quotes is gone through where it lies; what has quotes is left to
//! the reader of rows that `classify` has. Both pass over blank lines and agree on every text
//! (tested).

/// Whether nothing is quoted and every line ends in LF or CRLF. A quote may hold a line end, so only
/// such a text is cut into blocks.
pub(super) fn is_plain(text: &[u8]) -> bool {
    // No early end, so that many bytes are looked at in one step.
    let sign = |byte: &u8| u8::from(*byte == b'"') | u8::from(*byte == b'\r');
    let odd = text.iter().fold(0, |odd, byte| odd | sign(byte)) != 0;
    let mut ends = text.split(|byte| *byte == b'\r').skip(1);
    !odd || !text.contains(&b'"') && ends.all(|next| next.starts_with(b"\n"))
}

/// Bytes that are looked at in one step.
const STEP: usize = 8;

/// The high bit of each byte that is `sign`.
const fn marked(bytes: u64, sign: u8) -> u64 {
    const LOW: u64 = 0x7f7f_7f7f_7f7f_7f7f;
    let other = bytes ^ (0x0101_0101_0101_0101 * sign as u64);
    !(((other & LOW) + LOW) | other | LOW)
}

/// Calls `each` with the cells of every row of a plain text, without blanks around them.
///
/// # Errors
/// Those of `each`, with the line, counted from 0.
pub(super) fn each_row<E>(
    text: &str,
    mut each: impl FnMut(&[&str]) -> Result<(), E>,
) -> Result<(), (u64, E)> {
    let mut line = 0;
    let mut cells = Vec::new();
    let mut begin = 0;
    let mut end_of_row = |cells: &[&str], last: &str| {
        line += 1;
        // A line of nothing is no row.
        if cells.len() == 1 && matches!(last, "" | "\r") {
            return Ok(());
        }
        each(cells).map_err(|why| (line - 1, why))
    };
    let (steps, last) = text.as_bytes().as_chunks::<STEP>();
    // What is behind the end is neither a comma nor a line end.
    let mut padded = [0; STEP];
    for (to, from) in padded.iter_mut().zip(last) {
        *to = *from;
    }
    for (n, step) in steps.iter().chain([&padded]).enumerate() {
        let bytes = u64::from_le_bytes(*step);
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
    Ok(())
}

/// Without the blanks around it; most cells have none.
pub(super) fn trimmed(text: &str) -> &str {
    let ends = (text.as_bytes().first(), text.as_bytes().last());
    match ends {
        (Some(b'!'..=b'~'), Some(b'!'..=b'~')) => text,
        _ => text.trim(),
    }
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;
    use crate::store::facts::{Bytes, Row};

    type Found = (Vec<Vec<String>>, Option<u64>);

    /// The rows up to the one that is `bad`, and its line.
    fn quickly(text: &str) -> Found {
        let mut rows = Vec::new();
        let ended = each_row(text, |cells| {
            rows.push(cells.iter().map(ToString::to_string).collect());
            if cells.contains(&"b") {
                Err(())
            } else {
                Ok(())
            }
        });
        (rows, ended.err().map(|(line, ())| line + 1))
    }

    fn by_the_other(text: &str) -> Found {
        let mut bytes = Bytes::new(Box::new(Cursor::new(text.as_bytes().to_vec())));
        let (mut row, mut rows) = (Row::default(), Vec::new());
        while let Some(line) = bytes.row(&mut row).unwrap() {
            let cells = row.cells().map(|cell| std::str::from_utf8(cell).unwrap());
            let cells: Vec<String> = cells.map(|cell| trimmed(cell).to_owned()).collect();
            let is_bad = cells.iter().any(|cell| cell == "b");
            rows.push(cells);
            if is_bad {
                return (rows, Some(line));
            }
        }
        (rows, None)
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
            assert!(is_plain(text.as_bytes()));
            let quick = quickly(&text);
            assert_eq!(quick, by_the_other(&text), "{text:?}");
            seen += quick.0.len();
        }
        assert!(seen > 200_000, "{seen}");
    }

    #[test]
    fn odd_line_ends_and_quotes_are_not_plain() {
        for text in ["a\rb", "a\r", "\"a\"", "a\r\r\n", "a\n\rb\n"] {
            assert!(!is_plain(text.as_bytes()), "{text:?}");
        }
        for text in ["", "a", "a\r\nb\r\n", "\u{e9},\n"] {
            assert!(is_plain(text.as_bytes()), "{text:?}");
        }
    }
}
