//! An answer as JSON on one line, behind what is in a text: the same signs as `serde_json` writes.
//!
//! Figures below 1000 of at most three places, which answers are full of, have a quick way;
//! everything else is `serde_json`'s own.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::ser::{CompactFormatter, Formatter};
use serde_json::{Error, Serializer};

use super::figure::Short;

/// Puts `answer` behind what is in `out`.
///
/// # Errors
/// A form that JSON does not have, such as a map by lists: a bug.
pub fn put_json(answer: &(impl Serialize + ?Sized), out: &mut Vec<u8>) -> Result<(), Error> {
    answer.serialize(&mut Serializer::with_formatter(out, QuickFigures))
}

struct QuickFigures;

impl Formatter for QuickFigures {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        match Short::of(value) {
            Some(short) => writer.write_all(short.signs()),
            None => CompactFormatter.write_f64(writer, value),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use serde::Serializer as Into;

    use super::*;
    use crate::physics::figure::tests::figures;

    fn line(value: &impl Serialize) -> String {
        let mut out = Vec::new();
        put_json(value, &mut out).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn figures_are_those_of_serde_json() {
        for figure in figures(200_000) {
            assert_eq!(line(&figure), serde_json::to_string(&figure).unwrap());
        }
    }

    #[derive(serde::Serialize)]
    enum Kind {
        Plain,
        Holding(Vec<u8>),
    }

    #[derive(serde::Serialize)]
    struct All {
        none: Option<u8>,
        some: Option<&'static str>,
        kinds: (Kind, Kind),
        map: BTreeMap<u8, (i8, bool)>,
        names: BTreeMap<&'static str, char>,
        empty: [u8; 0],
        large: u64,
        unit: (),
        shown: Shown,
    }

    /// Put by its words.
    struct Shown(&'static str);

    impl Serialize for Shown {
        fn serialize<S: Into>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            serializer.collect_str(self.0)
        }
    }

    #[test]
    fn every_form_is_that_of_serde_json() {
        for text in [
            "",
            "plain",
            "eight123",
            "nine12345",
            "fifteen12345678",
            "sixteen123456789",
            "seventeen12345678",
            "with \"quotes\"",
            "line\nend",
            "back\\slash",
            "\u{7f}\u{e9}\u{1}",
        ] {
            let text: &'static str = text;
            let all = All {
                none: None,
                some: Some(text),
                kinds: (Kind::Plain, Kind::Holding(vec![0, 9, 10, 99, 100, 255])),
                map: BTreeMap::from([(1, (-1, true)), (20, (5, false))]),
                names: BTreeMap::from([(text, 'x'), ("other", '"')]),
                empty: [],
                large: u64::MAX,
                unit: (),
                shown: Shown(text),
            };
            assert_eq!(line(&all), serde_json::to_string(&all).unwrap());
        }
    }
}
