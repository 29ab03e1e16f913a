//! Text as it is kept: one form for what people see as one text.
//!
//! A name typed on one keyboard may hold `å` as one character and on another as `a` with a ring
//! after it. Both look alike, yet differ in bytes, so two records of one person or serial would
//! not match and would hash apart. Whatever comes in is brought to Unicode Normalization Form C
//! (Unicode Standard Annex 15); RFC 8785 leaves that to whoever makes the text.

use unicode_normalization::{UnicodeNormalization, is_nfc};

/// The text in Normalization Form C.
#[must_use]
pub fn composed(text: String) -> String {
    if text.is_ascii() || is_nfc(&text) {
        return text;
    }
    text.nfc().collect()
}

/// Whether two texts are the same in Normalization Form C.
#[must_use]
pub fn same(one: &str, other: &str) -> bool {
    one == other || one.nfc().eq(other.nfc())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_examples_of_the_annex_are_composed() {
        // Unicode Standard Annex 15, figures 3 and 4: Angstrom sign, A with ring, s with two dots,
        // Hangul; compatibility characters stay (figure 6).
        for (text, form_c) in [
            ("\u{212B}", "\u{00C5}"),
            ("A\u{030A}", "\u{00C5}"),
            ("\u{2126}", "\u{03A9}"),
            ("s\u{0323}\u{0307}", "\u{1E69}"),
            ("s\u{0307}\u{0323}", "\u{1E69}"),
            ("\u{1100}\u{1161}\u{11A8}", "\u{AC01}"),
            ("\u{FB01}", "\u{FB01}"),
            ("plain", "plain"),
        ] {
            assert_eq!(composed(text.to_owned()), form_c, "{text:?}");
            assert!(same(text, form_c));
        }
        assert!(!same("\u{00C5}", "A"));
    }
}
