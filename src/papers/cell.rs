//! What may stand in one cell of a CSV paper, so that no spreadsheet takes a text for a formula.
//!
//! A text is first made plain ([`plain_text`]): line breaks and tabs become one blank, other
//! control signs and direction overrides go. Then it is written in this grammar ([`marked`]):
//!
//! * A *start* is the beginning of the text, and any place behind `;`, `|` or `"` (a program that
//!   splits at the wrong sign begins a new cell there). Blanks do not end a start.
//! * At a start, a `=`, `+`, `-`, `@` (or its full-width twin) or `'` gets one `'` before it.
//! * Everything else stands as it is.
//!
//! The rule is reversible: [`unmarked`] takes one `'` away at each start, and refuses a cell that
//! the rule cannot have written. So the file is exact *and* safe, and one file serves both.
//!
//! The signs are those of the OWASP page on CSV injection; tab, carriage return and line feed,
//! which it also names, cannot occur. The full-width twins are from memory, unverified.

/// What begins a formula, full-width twins included.
const UNSAFE: [char; 8] = [
    '=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
];

/// What a program may split at although it is no separator here, or may take for a quote.
const SPLITS: [char; 3] = [';', '|', '"'];

/// Blanks as a character class: those of Unicode that are no control signs.
macro_rules! blanks {
    () => {
        r" \u00a0\u1680\u2000-\u200a\u202f\u205f\u3000"
    };
}

/// Control signs, line breaks and direction overrides as a character class.
macro_rules! stripped {
    () => {
        r"\u0000-\u001f\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff"
    };
}

/// Signs that get an apostrophe at a start, as a character class.
macro_rules! marked_signs {
    () => {
        r"'=+\-@\uff1d\uff0b\uff0d\uff20"
    };
}

/// The grammar as a regular expression without look-around, for the table schema.
pub(crate) const TEXT_PATTERN: &str = concat!(
    r#"^[;|""#,
    blanks!(),
    "]*((",
    "'[",
    marked_signs!(),
    "]|",
    r#"[^;|""#,
    blanks!(),
    marked_signs!(),
    stripped!(),
    "])",
    r#"[^;|""#,
    stripped!(),
    "]*",
    r#"([;|"][;|""#,
    blanks!(),
    "]*|$))*$",
);

/// The text in one line, without control signs and direction overrides.
#[must_use]
pub fn plain_text(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut after_return = false;
    for sign in text.chars() {
        match sign {
            '\n' if after_return => {}
            '\t' | '\n' | '\r' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{2028}' | '\u{2029}' => {
                plain.push(' ');
            }
            '\u{feff}' | '\u{200e}' | '\u{200f}' => {}
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {}
            control if control.is_control() => {}
            other => plain.push(other),
        }
        after_return = sign == '\r';
    }
    plain
}

/// The plain text `text` as it stands in a text cell.
#[must_use]
pub fn marked(text: &str) -> String {
    let mut cell = String::with_capacity(text.len());
    let mut at_start = true;
    for sign in text.chars() {
        if at_start && is_marked_sign(sign) {
            cell.push('\'');
        }
        cell.push(sign);
        at_start = is_start_after(sign, at_start);
    }
    cell
}

/// The exact text of a text cell, or `None` where [`marked`] cannot have written it.
#[must_use]
pub fn unmarked(cell: &str) -> Option<String> {
    let mut text = String::with_capacity(cell.len());
    let mut at_start = true;
    let mut signs = cell.chars();
    while let Some(mut sign) = signs.next() {
        if at_start && sign == '\'' {
            sign = signs.next().filter(|next| is_marked_sign(*next))?;
        } else if at_start && is_marked_sign(sign) {
            return None;
        }
        text.push(sign);
        at_start = is_start_after(sign, at_start);
    }
    (plain_text(&text) == text).then_some(text)
}

/// Whether a spreadsheet would take the text for a number, a date or a time, and change it: a serial
/// with a leading nought, a long number, `1E5`.
pub(crate) fn looks_like_a_number(text: &str) -> bool {
    let text = text.trim();
    text.starts_with(|sign: char| sign.is_ascii_digit() || sign == '.')
        && text
            .chars()
            .all(|sign| sign.is_ascii_digit() || " .,:/-+eE%".contains(sign))
}

fn is_marked_sign(sign: char) -> bool {
    sign == '\'' || UNSAFE.contains(&sign)
}

fn is_start_after(sign: char, at_start: bool) -> bool {
    SPLITS.contains(&sign) || (at_start && sign.is_whitespace())
}

/// The cell as RFC 4180 writes it, quoted unless it is made of letters, digits and a few signs
/// that no program splits at.
pub(crate) fn push_quoted(line: &mut String, cell: &str) {
    let is_bare = |sign: char| sign.is_ascii_alphanumeric() || " ._:/+-'()%".contains(sign);
    if cell.chars().all(is_bare) {
        line.push_str(cell);
        return;
    }
    line.push('"');
    line.push_str(&cell.replace('"', "\"\""));
    line.push('"');
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_text_that_begins_like_a_formula_gets_one_apostrophe() {
        for (text, cell) in [
            ("=1+2", "'=1+2"),
            ("+49 30 1", "'+49 30 1"),
            ("-", "'-"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("  =1", "  '=1"),
            ("'quoted'", "''quoted'"),
            ("\";=1+2", "\";'=1+2"),
            ("lid bent; -5 degC", "lid bent; '-5 degC"),
            ("a-b = c, -1", "a-b = c, -1"),
            ("\u{ff1d}1", "'\u{ff1d}1"),
            ("", ""),
        ] {
            assert_eq!(marked(text), cell);
            assert_eq!(unmarked(cell).as_deref(), Some(text));
        }
    }

    #[test]
    fn a_cell_the_rule_cannot_have_written_is_refused() {
        for cell in ["=1", " =1", "'a", "a;@b", "\"+1", "a\tb", "'", "x|'"] {
            assert_eq!(unmarked(cell), None, "{cell}");
        }
    }

    #[test]
    fn control_signs_and_direction_overrides_go() {
        assert_eq!(plain_text("a\r\nb\tc\rd\ne"), "a b c d e");
        assert_eq!(plain_text("\u{1b}[31mred\u{7}\u{202e}txt\0"), "[31mredtxt");
    }

    proptest! {
        #[test]
        fn every_text_comes_back_exactly(text in r#"([=+\-@';|" \t\r\nａ＝a]|.){0,12}"#) {
            let plain = plain_text(&text);
            prop_assert_eq!(unmarked(&marked(&plain)), Some(plain));
        }

        #[test]
        fn no_cell_begins_a_formula_even_when_split_wrongly(text in r#"[=+@';|" a-]{0,12}"#) {
            let cell = marked(&text);
            for piece in cell.split([';', '|', '"']) {
                prop_assert!(!piece.trim_start().starts_with(UNSAFE), "{}", cell);
            }
        }
    }
}
