//! GS1 element strings: identifier and value, one behind the other, as bar codes carry them.
//!
//! Two ways of writing: with the identifiers in brackets, for people; or one behind the other with
//! a separator behind each value of open length (FNC1 in the symbol, group separator from a
//! scanner, `^` where it must be seen).

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::application_identifier::{Identifier, Part};
use super::check_digit::{check_digit, has_check_digit};
use super::code_fault::{CodeFault, SYNTAX};

/// What a scanner sends for the separator.
pub(super) const SEPARATOR: char = '\u{1d}';

/// One identifier with its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Element {
    /// The application identifier; `uuid` for the number of a UUID URN.
    pub ai: String,
    /// The value, without separator.
    pub value: String,
}

impl Element {
    pub(super) fn new(ai: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            ai: ai.into(),
            value: value.into(),
        }
    }
}

/// The elements as people read them: `(01)09521234543213(21)12345`.
#[must_use]
pub fn bracketed(elements: &[Element]) -> String {
    elements
        .iter()
        .map(|element| format!("({}){}", element.ai, element.value.replace('(', "\\(")))
        .collect()
}

/// The elements as a symbol carries them behind its first FNC1, with a group separator for each
/// FNC1 between.
pub(super) fn joined(elements: &[Element]) -> String {
    let mut out = String::new();
    let mut open = false;
    for element in elements {
        if open {
            out.push(SEPARATOR);
        }
        out.push_str(&element.ai);
        out.push_str(&element.value);
        open = Identifier::find(&element.ai).is_none_or(|row| !row.fixed);
    }
    out
}

/// Reads `(00)123456789012345675`; a bracket inside a value is written `\(`.
pub(super) fn read_bracketed(text: &str) -> Result<Vec<Element>, CodeFault> {
    let mut elements = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let (ai, behind) = rest
            .strip_prefix('(')
            .and_then(|inside| inside.split_once(')'))
            .filter(|(ai, _)| (2..=4).contains(&ai.len()) && ai.bytes().all(|b| b.is_ascii_digit()))
            .ok_or_else(|| {
                CodeFault::new(
                    "application identifier in brackets",
                    rest.chars().take(8).collect::<String>(),
                    "( two to four digits )",
                    SYNTAX,
                )
            })?;
        let mut value = String::new();
        let mut signs = behind.char_indices().peekable();
        let mut end = behind.len();
        while let Some((at, sign)) = signs.next() {
            match sign {
                '\\' if signs.peek().is_some_and(|(_, next)| *next == '(') => {
                    value.push('(');
                    signs.next();
                }
                '(' => {
                    end = at;
                    break;
                }
                other => value.push(other),
            }
        }
        elements.push(Element::new(ai, value));
        rest = behind.get(end..).unwrap_or("");
    }
    Ok(elements)
}

/// Reads what a symbol carries behind its first FNC1, each further FNC1 as a group separator.
pub(super) fn read_joined(text: &str) -> Result<Vec<Element>, CodeFault> {
    let mut elements = Vec::new();
    let mut rest = text.trim_end_matches(SEPARATOR);
    while !rest.is_empty() {
        let Some((ai, row)) = Identifier::at_start(rest) else {
            return Err(CodeFault::new(
                "application identifier",
                rest.chars().take(4).collect::<String>(),
                "one that GS1 has given out",
                SYNTAX,
            ));
        };
        let behind = rest.get(ai.len()..).unwrap_or("");
        let until = behind.find(SEPARATOR).unwrap_or(behind.len());
        let until = if row.fixed {
            until.min(byte_after(behind, row.longest()))
        } else {
            until
        };
        elements.push(Element::new(ai, behind.get(..until).unwrap_or("")));
        rest = behind
            .get(until..)
            .unwrap_or("")
            .trim_start_matches(SEPARATOR);
    }
    Ok(elements)
}

fn byte_after(text: &str, signs: usize) -> usize {
    text.char_indices()
        .nth(signs)
        .map_or(text.len(), |(at, _)| at)
}

/// Everything that is wrong with `elements`: unknown identifiers, values outside their form, one
/// identifier with two values, identifiers that need or exclude each other.
pub(super) fn faults(elements: &[Element]) -> Vec<CodeFault> {
    let mut faults = Vec::new();
    let mut seen: BTreeMap<&str, &str> = BTreeMap::new();
    for element in elements {
        match Identifier::find(&element.ai) {
            None => faults.push(CodeFault::new(
                "application identifier",
                element.ai.clone(),
                "one that GS1 has given out",
                SYNTAX,
            )),
            Some(row) => faults.extend(value_fault(element, row)),
        }
        if let Some(first) = seen.insert(&element.ai, &element.value)
            && first != element.value
        {
            faults.push(CodeFault::new(
                format!("({}) stands twice", element.ai),
                format!("{first} and {}", element.value),
                "one value",
                // GS1 General Specifications; from memory.
                "GS1 General Specifications (from memory)",
            ));
        }
    }
    for element in elements {
        if let Some(row) = Identifier::find(&element.ai) {
            faults.extend(company_fault(element, row, elements));
        }
    }
    faults
}

fn company_fault(element: &Element, row: &Identifier, all: &[Element]) -> Option<CodeFault> {
    let named = |list: &str| {
        list.split(',')
            .any(|pattern| all.iter().any(|other| matches(pattern, &other.ai)))
    };
    let what = format!("({}) {}", element.ai, row.title);
    for set in row.needs.split(';').filter(|set| !set.is_empty()) {
        if !named(set) {
            return Some(
                CodeFault::new(
                    what,
                    "stands without what it belongs to",
                    format!("beside one of {}", set.replace(',', ", ")),
                    SYNTAX,
                )
                .way_out("scan every bar code of the label, that of the key first"),
            );
        }
    }
    let against = row
        .excludes
        .split(',')
        .filter(|pattern| !pattern.is_empty())
        .find_map(|pattern| {
            all.iter()
                .find(|other| other.ai != element.ai && matches(pattern, &other.ai))
        })?;
    Some(CodeFault::new(
        what,
        format!("stands beside ({})", against.ai),
        "never both",
        SYNTAX,
    ))
}

fn matches(pattern: &str, ai: &str) -> bool {
    pattern.len() == ai.len()
        && pattern
            .chars()
            .zip(ai.chars())
            .all(|(wanted, sign)| wanted == sign || wanted == 'n')
}

fn value_fault(element: &Element, row: &Identifier) -> Option<CodeFault> {
    let what = format!("({}) {}", element.ai, row.title);
    let mut rest = element.value.as_str();
    for part in row.parts() {
        let (value, behind) = rest.split_at(byte_after(rest, part.most));
        rest = behind;
        if let Err(limit) = part_holds(value, part) {
            return Some(CodeFault::new(what, value, limit, SYNTAX));
        }
    }
    (!rest.is_empty()).then(|| {
        CodeFault::new(
            what,
            element.value.clone(),
            format!("at most {} characters", row.longest()),
            SYNTAX,
        )
    })
}

/// Whether `value` is what the part wants; else what it had to be.
fn part_holds(value: &str, part: Part) -> Result<(), String> {
    let length = value.chars().count();
    if let Some(wrong) = value.chars().find(|sign| !is_in_set(*sign, part.set)) {
        return Err(match part.set {
            'N' => format!("digits only; `{wrong}` is none"),
            _ => format!("signs of the GS1 character set; `{wrong}` is none"),
        });
    }
    if length < part.least {
        return Err(if part.least == part.most {
            format!("{} characters, not {length}", part.least)
        } else {
            format!("at least {} characters", part.least)
        });
    }
    match part.check {
        Some('c') if !has_check_digit(value) => Err(check_digit_wanted(value)),
        Some('d') if !is_date(value, true) => Err("a date as YYMMDD, day 00 allowed".into()),
        Some('D') if length > 0 && !is_date(value, false) => Err("a date as YYMMDD".into()),
        Some('t') if length > 0 && !is_hour_and_minute(value) => Err("a time as HHMM".into()),
        Some('f') if !matches!(value, "0" | "1") => Err("0 for no, 1 for yes".into()),
        Some('z') if value != "0" => Err("0 in the first place".into()),
        Some('h') if !matches!(value, "" | "-") => Err("a minus sign or nothing".into()),
        Some('p') if super::digital_link::from_percent(value).is_none() => {
            Err("percent signs with two hexadecimal digits behind".into())
        }
        Some('a') if !value.bytes().all(|b| b.is_ascii_uppercase()) => {
            Err("two capital letters of ISO 3166-1".into())
        }
        _ => Ok(()),
    }
}

/// What the last digit had to be.
pub(super) fn check_digit_wanted(digits: &str) -> String {
    let mut others = digits.chars();
    let _last = others.next_back();
    match check_digit(others.as_str()) {
        Some(wanted) => format!("check digit {wanted} at the end"),
        None => "a check digit at the end".to_owned(),
    }
}

fn is_in_set(sign: char, set: char) -> bool {
    match set {
        'N' => sign.is_ascii_digit(),
        'Y' => sign.is_ascii_digit() || sign.is_ascii_uppercase() || "#-/".contains(sign),
        'Z' => sign.is_ascii_alphanumeric() || "-_=".contains(sign),
        _ => sign.is_ascii_alphanumeric() || "!\"%&'()*+,-./:;<=>?_".contains(sign),
    }
}

fn two_digits(text: &str, at: usize) -> Option<u32> {
    text.get(at..at + 2)?.parse().ok()
}

fn is_date(value: &str, no_day: bool) -> bool {
    let read = |at| two_digits(value, at);
    let (Some(year), Some(month), Some(day)) = (read(0), read(2), read(4)) else {
        return false;
    };
    let day = if no_day && day == 0 { 1 } else { day };
    i32::try_from(year).is_ok_and(|year| NaiveDate::from_ymd_opt(2000 + year, month, day).is_some())
}

fn is_hour_and_minute(value: &str) -> bool {
    two_digits(value, 0).is_some_and(|hour| hour < 24)
        && two_digits(value, 2).is_some_and(|minute| minute < 60)
}
