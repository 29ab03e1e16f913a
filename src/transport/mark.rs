//! What a UN packaging mark says that the check of a package needs: code, group, greatest gross
//! mass, year. A light reading: a text that does not clearly say these is not read at all.

use crate::transport::instruction::Group;
use crate::units::Grams;

/// The parts of a UN mark that decide whether the packaging may be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackagingMark {
    /// Code of the kind, without a letter T, V or W behind it.
    pub code: String,
    /// Letter T, V or W behind the code, if any.
    pub variant: Option<char>,
    /// Packing groups it was tested for.
    pub group: Group,
    /// Greatest gross mass.
    pub gross_limit: Grams,
    /// Year of manufacture, two digits as marked; `None` where it could not be told.
    pub two_digit_year: Option<u8>,
}

impl PackagingMark {
    /// Reads a mark such as `4D/X90/S/25/GB/1234`, with or without `UN` before it, or such as
    /// `50A/X/05 01/N/PQRS 2500/1000` for a large packaging; `None` where it is not clearly one.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let text = text.strip_prefix("UN").map_or(text, str::trim_start);
        let parts: Vec<&str> = text
            .split(['/', ' '])
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .collect();
        let (code, variant) = code(parts.first()?)?;
        let second = *parts.get(1)?;
        let letter = second.chars().next()?;
        let group = match letter {
            'X' => Group::X,
            'Y' => Group::Y,
            'Z' => Group::Z,
            _ => return None,
        };
        let mass = second.strip_prefix(letter)?;
        if code.starts_with('5') {
            // group / month year / state / maker / stacking load / gross mass
            if !mass.is_empty() || parts.len() < 8 {
                return None;
            }
            let month: u8 = two_digits(parts.get(2)?)?;
            if !(1..=12).contains(&month) {
                return None;
            }
            let year = two_digits(parts.get(3)?)?;
            let stacking: Grams = parts.get(parts.len() - 2)?.parse().ok()?;
            let gross_limit: Grams = parts.last()?.parse().ok()?;
            (stacking.as_thousandths() >= 0 && gross_limit.as_thousandths() > 0).then_some(())?;
            return Some(Self {
                code,
                variant,
                group,
                gross_limit,
                two_digit_year: Some(year),
            });
        }
        // group and mass / S / year / state / maker
        let gross_limit: Grams = mass.parse().ok()?;
        if *parts.get(2)? != "S" || gross_limit.as_thousandths() <= 0 || parts.len() < 6 {
            return None;
        }
        let two_digit_year = Some(two_digits(parts.get(3)?)?);
        Some(Self {
            code,
            variant,
            group,
            gross_limit,
            two_digit_year,
        })
    }

    /// Whether the packaging is of metal.
    #[must_use]
    pub fn is_metal(&self) -> bool {
        let material = self.code.trim_start_matches(|c: char| c.is_ascii_digit());
        matches!(material.chars().next(), Some('A' | 'B' | 'N'))
    }

    /// Whether it is a large packaging.
    #[must_use]
    pub fn is_large(&self) -> bool {
        self.code.starts_with('5')
    }
}

fn two_digits(text: &str) -> Option<u8> {
    (text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit()))
        .then(|| text.parse().ok())
        .flatten()
}

/// Type digit or `50`/`51`, material letter, category digit, and a letter T, V or W behind.
fn code(text: &str) -> Option<(String, Option<char>)> {
    let variant = text.chars().last().filter(|c| matches!(c, 'T' | 'V' | 'W'));
    let code = match variant {
        Some(letter) => text.strip_suffix(letter)?,
        None => text,
    };
    let digits = code.len() - code.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let rest = code.trim_start_matches(|c: char| c.is_ascii_digit());
    let large = code.starts_with("50") || code.starts_with("51");
    let mut rest = rest.chars();
    let material = rest.next()?;
    let category = rest.next();
    let well_formed = digits == if large { 2 } else { 1 }
        && matches!(
            material,
            'A' | 'B' | 'C' | 'D' | 'F' | 'G' | 'H' | 'L' | 'M' | 'N' | 'P'
        )
        && category.is_none_or(|c| matches!(c, '1' | '2'))
        && !(large && category.is_some())
        && rest.next().is_none();
    well_formed.then(|| (code.to_owned(), variant))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (String, Option<char>, Group, i64, Option<u8>) {
        let mark = PackagingMark::read(text).unwrap_or_else(|| panic!("{text} was not read"));
        (
            mark.code,
            mark.variant,
            mark.group,
            mark.gross_limit.as_thousandths() / 1_000,
            mark.two_digit_year,
        )
    }

    #[test]
    fn published_marks_are_read() {
        // ADR/RID 2025, 6.1.3.11 and 6.6.3.2, official examples (read in translation).
        assert_eq!(
            read("UN 4G/Y145/S/02 NL/VL823"),
            ("4G".into(), None, Group::Y, 145, Some(2))
        );
        assert_eq!(
            read("UN 1A2/Y150/S/01 NL/VL825"),
            ("1A2".into(), None, Group::Y, 150, Some(1))
        );
        assert_eq!(
            read("UN 4HW/Y136/S/98 NL/VL826"),
            ("4H".into(), Some('W'), Group::Y, 136, Some(98))
        );
        assert_eq!(
            read("UN 50A/X/05 01/N/PQRS 2500/1000"),
            ("50A".into(), None, Group::X, 1000, Some(1))
        );
        assert_eq!(
            read("UN 50AT/Y/05/01/B/PQRS 2500/1000"),
            ("50A".into(), Some('T'), Group::Y, 1000, Some(1))
        );
        assert_eq!(
            read("UN 50H/Y/04 02/D/ABCD 987 0/800"),
            ("50H".into(), None, Group::Y, 800, Some(2))
        );
        // Our own example.
        assert_eq!(
            read("4D/X90/S/25/GB/1234"),
            ("4D".into(), None, Group::X, 90, Some(25))
        );
    }

    #[test]
    fn what_is_not_clearly_a_mark_for_solids_is_not_read() {
        // ADR/RID 2025, 6.1.3.11 for the first three (liquids, not a UN mark); PHMSA letters
        // 04-0112 and 10-0154 for the next two; the rest derived by us.
        for text in [
            "UN 1A2/Y/100/01 USA/MM5",
            "RID/ADR/0A2/Y20/S/04 NL/VL124",
            "UN 1A1/Y1.4/150/97 NL/RB/01 RL",
            "UN 1H2/Y200/S/03/USA",
            "UN4GV/X12",
            "UN 4G/Y/S/02 NL/VL823",
            "UN 4J/Y145/S/02 NL/VL823",
            "UN 4G/Y145/02 NL/VL823",
            "UN 4G/Y145/S/2002 NL/VL823",
            "UN 4G/S/Y145/02 NL/VL823",
            "UN 50A/X/13 01/N/PQRS 2500/1000",
            "UN 50A/X/05 01/N/PQRS 1000",
            "UN 52A/X/05 01/N/PQRS 2500/1000",
            "",
            "UN",
            "a cardboard box",
        ] {
            assert_eq!(PackagingMark::read(text), None, "{text}");
        }
    }

    #[test]
    fn metal_is_told_from_the_code() {
        for (text, metal) in [
            ("4A/Y60/S/24/D/X1", true),
            ("1B2/Y60/S/24/D/X1", true),
            ("50N/Y/05 24/D/X1 0/900", true),
            ("4D/Y60/S/24/D/X1", false),
            ("4H2/Y60/S/24/D/X1", false),
        ] {
            assert_eq!(
                PackagingMark::read(text).unwrap().is_metal(),
                metal,
                "{text}"
            );
        }
    }
}
