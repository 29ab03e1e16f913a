//! The trade's words for one thing differ from region to region; a cure is put into those of its
//! reader. Only cures: what the law words itself stays as it is. Common practice, no one source; in
//! the United States the words are those of 49 CFR, in Europe those of ADR.

use std::fmt;
use std::str::FromStr;

use crate::citation::Reason;
use crate::transport::decision::Decision;
use crate::transport::document_form::DocumentAnswer;
use crate::transport::load_form::LoadAnswer;
use crate::transport::route::RouteAnswer;

/// The region whose words the reader uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reader {
    /// United States.
    Us,
    /// United Kingdom.
    Uk,
    /// Australia.
    Au,
    /// European Union and the other states of ADR.
    Eu,
}

/// One thing in the words of each region, in the order of [`Reader`].
type Thing = [&'static str; 4];

/// The longest that a text begins with is taken.
const THINGS: [Thing; 12] = [
    [
        "the hazmat manager",
        "the dangerous goods safety adviser (DGSA)",
        "the dangerous goods safety adviser",
        "the dangerous goods safety adviser",
    ],
    ["shipper", "consignor", "consignor", "consignor"],
    ["shippers", "consignors", "consignors", "consignors"],
    [
        "shipping paper",
        "dangerous goods note",
        "transport document",
        "transport document",
    ],
    [
        "highway, rail or vessel",
        "road, rail or sea",
        "road, rail or sea",
        "road, rail or sea",
    ],
    [
        "cargo aircraft, highway, rail or vessel",
        "cargo aircraft, road, rail or sea",
        "cargo aircraft, road, rail or sea",
        "cargo aircraft, road, rail or sea",
    ],
    ["by highway", "by road", "by road", "by road"],
    [
        "by highway, rail or vessel",
        "by road, rail or sea",
        "by road, rail or sea",
        "by road, rail or sea",
    ],
    [
        "as a DDR battery (damaged, defective or recalled)",
        "as damaged or defective",
        "as damaged or defective",
        "as damaged or defective",
    ],
    [
        "as DDR (damaged, defective or recalled)",
        "as damaged",
        "as damaged",
        "as damaged",
    ],
    [
        "the carrier takes it",
        "the haulier takes it",
        "the carrier takes it",
        "the carrier takes it",
    ],
    [
        "hazardous materials",
        "dangerous goods",
        "dangerous goods",
        "dangerous goods",
    ],
];

/// What a cure says to readers of both sides; each gets its own half.
const FOR_ALL: &str = "the dangerous goods safety adviser (United States: the hazmat manager)";

impl Reader {
    /// Every region.
    pub const ALL: [Self; 4] = [Self::Us, Self::Uk, Self::Au, Self::Eu];

    /// The name on the command line.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Us => "us",
            Self::Uk => "uk",
            Self::Au => "au",
            Self::Eu => "eu",
        }
    }

    const fn pick(self, thing: &Thing) -> &'static str {
        let [us, uk, au, eu] = *thing;
        match self {
            Self::Us => us,
            Self::Uk => uk,
            Self::Au => au,
            Self::Eu => eu,
        }
    }

    /// The text in the words of this region; put twice it is what it was put once.
    #[must_use]
    pub fn words(self, text: &str) -> String {
        let mut said = String::with_capacity(text.len());
        let mut rest = text;
        let mut begins = true;
        while let Some(next) = rest.chars().next() {
            if begins && let Some((found, own)) = self.found_at(rest) {
                said.push_str(own);
                rest = rest.get(found..).unwrap_or_default();
                begins = false;
                continue;
            }
            said.push(next);
            begins = !next.is_alphanumeric();
            rest = rest.get(next.len_utf8()..).unwrap_or_default();
        }
        said
    }

    /// The longest thing that the text begins with, as a whole word: its length, and our word.
    fn found_at(self, text: &str) -> Option<(usize, &'static str)> {
        let whole = |words: &str| {
            text.strip_prefix(words)
                .is_some_and(|behind| !behind.starts_with(char::is_alphanumeric))
        };
        if whole(FOR_ALL) {
            let [first, ..] = &THINGS;
            return Some((FOR_ALL.len(), self.pick(first)));
        }
        THINGS
            .iter()
            .flat_map(|thing| thing.iter().map(move |words| (*words, thing)))
            .filter(|(words, _)| whole(words))
            .max_by_key(|(words, _)| words.len())
            .map(|(words, thing)| (words.len(), self.pick(thing)))
    }

    /// Puts the cures of these reasons.
    pub fn put(self, reasons: &mut [Reason]) {
        for reason in reasons {
            reason.way_out = self.words(&reason.way_out);
        }
    }
}

/// An answer whose cures can be put into the words of a region.
pub trait Reworded: Sized {
    /// The same, with each cure in the words of the reader; as the regime says them where none is
    /// named.
    #[must_use]
    fn for_reader(mut self, reader: Option<Reader>) -> Self {
        if let Some(reader) = reader {
            self.put(reader);
        }
        self
    }

    /// Puts each cure.
    fn put(&mut self, reader: Reader);
}

impl Reworded for Decision {
    fn put(&mut self, reader: Reader) {
        reader.put(&mut self.reasons);
        reader.put(&mut self.package.reasons);
    }
}

impl Reworded for RouteAnswer {
    fn put(&mut self, reader: Reader) {
        reader.put(&mut self.package.reasons);
        for leg in &mut self.legs {
            leg.put(reader);
        }
    }
}

impl Reworded for LoadAnswer {
    fn put(&mut self, reader: Reader) {
        reader.put(&mut self.reasons);
    }
}

impl Reworded for DocumentAnswer {
    fn put(&mut self, reader: Reader) {
        reader.put(&mut self.reasons);
    }
}

impl fmt::Display for Reader {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Reader {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        Self::ALL
            .into_iter()
            .find(|reader| reader.name() == text)
            .ok_or_else(|| format!("`{text}` names no region; write us, uk, au or eu"))
    }
}
