//! Written rows by key, so that a decision is made and written once for all rows that the rules
//! cannot tell apart. Bounded; counts how often each was used.

use super::judge::Tally;
use crate::transport::{Answer, PackageAnswer};

/// Places in the table; half of them are used at most.
const PLACES: usize = 1 << 14;
/// Most keys.
const MOST: usize = PLACES / 2;
/// Most bytes of written rows.
const MOST_BYTES: usize = 8 * 1024 * 1024;

/// The written row of one leg, and what it answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Part {
    pub(super) answer: Answer,
    pub(super) package: Option<PackageAnswer>,
    pub(super) row: String,
}

/// Written rows by key.
pub(super) struct KeptRows {
    /// Words of a key.
    words: usize,
    /// Legs of a battery.
    legs: usize,
    /// Number of the key plus one; 0 is an empty place.
    places: Vec<u32>,
    keys: Vec<u64>,
    parts: Vec<Part>,
    used: Vec<u64>,
    bytes: usize,
}

impl KeptRows {
    pub(super) fn new(words: usize, legs: usize) -> Self {
        Self {
            words: words.max(1),
            legs,
            places: vec![0; PLACES],
            keys: Vec::new(),
            parts: Vec::new(),
            used: Vec::new(),
            bytes: 0,
        }
    }

    /// Whether there is no more room.
    pub(super) const fn is_full(&self) -> bool {
        self.used.len() >= MOST || self.bytes >= MOST_BYTES
    }

    /// The number of a key that is kept.
    pub(super) fn find(&self, key: &[u64]) -> Option<usize> {
        let mut at = place(key);
        loop {
            let number = (*self.places.get(at)?).checked_sub(1)? as usize;
            let from = number * self.words;
            if self.keys.get(from..from + self.words) == Some(key) {
                return Some(number);
            }
            at = (at + 1) % PLACES;
        }
    }

    /// Keeps the parts of a key that is not kept yet; gives its number.
    pub(super) fn keep(&mut self, key: &[u64], parts: Vec<Part>) -> usize {
        let number = self.used.len();
        let mut at = place(key);
        while self.places.get(at).is_some_and(|taken| *taken != 0) {
            at = (at + 1) % PLACES;
        }
        if let (Some(place), Ok(name)) = (self.places.get_mut(at), u32::try_from(number + 1)) {
            *place = name;
        }
        self.keys.extend_from_slice(key);
        self.bytes += parts.iter().map(|part| part.row.len()).sum::<usize>();
        self.parts.extend(parts);
        self.used.push(0);
        number
    }

    /// The written rows of a kept key, and counts one use.
    pub(super) fn rows(&mut self, number: usize) -> impl Iterator<Item = &[u8]> {
        if let Some(used) = self.used.get_mut(number) {
            *used += 1;
        }
        let from = number * self.legs;
        self.parts
            .get(from..from + self.legs)
            .unwrap_or_default()
            .iter()
            .map(|part| part.row.as_bytes())
    }

    /// Adds the uses to the count and forgets everything.
    pub(super) fn forget(&mut self, tally: &mut Tally) {
        for (parts, used) in self.parts.chunks(self.legs).zip(&self.used) {
            for part in parts {
                tally.count(part.answer, part.package, *used);
            }
        }
        self.places.fill(0);
        self.keys.clear();
        self.parts.clear();
        self.used.clear();
        self.bytes = 0;
    }
}

/// Where a key is looked for first: the multiplier is that of the golden ratio.
fn place(key: &[u64]) -> usize {
    let mut hash = 0_u64;
    for word in key {
        hash = (hash.rotate_left(23) ^ word).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }
    // The upper bits depend on every bit below.
    (hash >> 50) as usize % PLACES
}
