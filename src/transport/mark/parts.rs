//! The single parts of a UN mark: what a code, a letter, a density or a year looks like.

use crate::citation::Reason;
use crate::transport::instruction::Group;

/// Takes the letters for the UN symbol off, also where they touch the code.
pub(super) fn take_symbol(parts: &mut Vec<&str>) -> bool {
    let Some(first) = parts.first_mut() else {
        return false;
    };
    let Some(rest) = first
        .strip_prefix("UN")
        .or_else(|| first.strip_prefix("un"))
    else {
        return false;
    };
    if rest.is_empty() {
        parts.remove(0);
    } else {
        *first = rest;
    }
    true
}

pub(super) fn is_large(code: &str) -> bool {
    code.starts_with("50") || code.starts_with("51")
}

/// The pivot lies before the first UN marks.
pub(super) const fn whole_year(two_digits: u8) -> i32 {
    let year = two_digits as i32;
    if year < 80 { 2000 + year } else { 1900 + year }
}

pub(super) fn two_digits(text: &str) -> Option<u8> {
    (text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit()))
        .then(|| text.parse().ok())
        .flatten()
}

pub(super) fn group(text: &str) -> Option<(Group, &str)> {
    [("X", Group::X), ("Y", Group::Y), ("Z", Group::Z)]
        .into_iter()
        .find_map(|(letter, group)| Some((group, text.strip_prefix(letter)?)))
        .filter(|(_, mass)| mass.bytes().all(|b| b.is_ascii_digit() || b == b'.'))
}

/// A relative density: one digit, at most one decimal.
pub(super) fn density(text: &str) -> bool {
    let mut bytes = text.bytes();
    bytes.next().is_some_and(|b| b.is_ascii_digit())
        && match (bytes.next(), bytes.next(), bytes.next()) {
            (None, None, None) => true,
            (Some(b'.'), Some(decimal), None) => decimal.is_ascii_digit(),
            _ => false,
        }
}

/// A test pressure in kPa, rounded down to ten.
pub(super) fn pressure(text: &str) -> bool {
    text.len() >= 2
        && text.bytes().all(|b| b.is_ascii_digit())
        && text.ends_with('0')
        && text.bytes().any(|b| b != b'0')
}

/// Type digit or `50`/`51`, material, category digit, and a letter T, V or W behind.
pub(super) fn code(text: &str) -> Result<(String, Option<char>), Reason> {
    let wrong = |limit: &str| {
        Reason::new("packaging code", text)
            .limit(limit)
            .clause("ADR/RID 2025, 6.1.2; 6.6.2")
            .way_out("copy the whole mark from the packaging")
    };
    let variant = text.chars().last().filter(|c| matches!(c, 'T' | 'V' | 'W'));
    let code = variant
        .and_then(|letter| text.strip_suffix(letter))
        .unwrap_or(text);
    let rest = code.trim_start_matches(|c: char| c.is_ascii_digit());
    let digits = code.strip_suffix(rest).unwrap_or_default();
    let large = matches!(digits, "50" | "51");
    if !large && !matches!(digits, "1" | "2" | "3" | "4" | "5" | "6") {
        return Err(wrong("type 1 to 6; large packagings are 50 and 51"));
    }
    let material = rest.trim_end_matches(|c: char| c.is_ascii_digit());
    let category = rest.strip_prefix(material).unwrap_or_default();
    let known = material.chars().all(|c| {
        matches!(
            c,
            'A' | 'B' | 'C' | 'D' | 'F' | 'G' | 'H' | 'L' | 'M' | 'N' | 'P'
        )
    });
    let letters = if digits == "6" { 2 } else { 1 };
    if !known || material.len() != letters {
        return Err(wrong("a letter for the material: A B C D F G H L M N P"));
    }
    if !matches!(category, "" | "1" | "2" | "3" | "4") || large && !category.is_empty() {
        return Err(wrong("at most one digit behind the material"));
    }
    if large && variant == Some('V') {
        return Err(wrong("behind a large packaging only T or W"));
    }
    Ok((code.to_owned(), variant))
}

/// Vehicle signs of states that approve packagings, from memory; another sign is only doubted.
pub(super) const VEHICLE_SIGNS: [&str; 62] = [
    "A", "AL", "AND", "ARM", "AUS", "AZ", "B", "BG", "BIH", "BR", "BY", "CDN", "CAN", "CH", "CN",
    "CY", "CZ", "D", "DK", "E", "EST", "F", "FIN", "FL", "GB", "GE", "GR", "H", "HK", "HR", "I",
    "IL", "IND", "IRL", "IS", "J", "KZ", "L", "LT", "LV", "M", "MA", "MC", "MD", "MEX", "MK",
    "MNE", "N", "NL", "NZ", "P", "PL", "RO", "ROK", "RUS", "S", "SGP", "SK", "SLO", "SRB", "TR",
    "USA",
];
