//! Faults of JSON in words that a person can act on.

use crate::store::StoreError;

/// A fault of JSON in words of ours: no Rust names, the known names apart from the sentence.
pub(crate) fn json_fault(name: &str, place: &str, error: &serde_json::Error) -> StoreError {
    let text = error.to_string();
    let (what, at) = match text.rsplit_once(" at line ") {
        Some((what, at)) => (what, at.replace(" column ", ", column ")),
        None => (text.as_str(), String::new()),
    };
    let mut place = place.to_owned();
    // The reader of one line counts lines from that line, which would only confuse.
    if !at.is_empty() && !place.starts_with("line") {
        place = if place.is_empty() {
            format!("line {at}")
        } else {
            format!("{place}, its line {at}")
        };
    } else if let Some((_, column)) = at.split_once(", ") {
        place = format!("{place}, {column}");
    }
    let (what, known) = match what.split_once(", expected ") {
        Some((head, list)) if head.starts_with("unknown ") => (
            head.replace("unknown variant", "unknown word"),
            list.split('`')
                .skip(1)
                .step_by(2)
                .map(str::to_owned)
                .collect(),
        ),
        _ => (plain_words(what), Vec::new()),
    };
    StoreError::Input {
        name: name.to_owned(),
        place,
        why: what,
        known,
    }
}

/// What the reader of days says of what it cannot read; it names no day, and says no form.
const NO_DAY: [&str; 6] = [
    "input contains invalid characters",
    "input is not enough for unique date and time",
    "input is out of range",
    "no possible date and time matching input",
    "premature end of input",
    "trailing input",
];

/// `expected struct Item` says nothing to a reader.
fn plain_words(what: &str) -> String {
    for opener in ["expected struct ", "expected internally tagged enum "] {
        if let Some((head, _)) = what.split_once(opener) {
            return format!("{head}expected an object");
        }
    }
    if NO_DAY.contains(&what) {
        return "no day of the calendar; write one such as 2026-11-25".to_owned();
    }
    if matches!(what, "missing field `low`" | "missing field `high`") {
        return format!("{what}: a range is written with `low` and `high`, both in it");
    }
    what.replace("expected string or map", "expected a text")
        .replace("expected u32", "expected a whole number from 0")
        .replace("expected a boolean", "expected true or false")
        .replace("EOF while parsing", "the text ends inside")
        .replace("unit variant", "a word")
}
