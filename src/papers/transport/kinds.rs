//! Kinds of packages in words, by the code of the UN mark.
//!
//! Codes and materials as in ADR 2025, 6.1.2.5 to 6.1.2.7 and 6.6.2 (from memory; the codes agree
//! with the instructions that name them).

use crate::transport::{PackageKind, PackagingMark};

/// What a packaging is made of, as one says it before its kind.
const MATERIALS: [(&str, &str); 9] = [
    ("A", "steel"),
    ("B", "aluminium"),
    ("C", "wooden"),
    ("D", "plywood"),
    ("F", "reconstituted wood"),
    ("G", "fibreboard"),
    ("H", "plastics"),
    ("M", "paper"),
    ("N", "metal"),
];

/// `4 plywood boxes (4D)`.
pub(crate) fn count_of(count: usize, mark: Option<&str>, kind: Option<PackageKind>) -> String {
    let many = count != 1;
    let code = mark
        .and_then(PackagingMark::read)
        .map(|mark| mark.code)
        .unwrap_or_default();
    let made = |number: &str| {
        let material = code.trim_start_matches(|c: char| c.is_ascii_digit());
        let material = material.trim_end_matches(|c: char| c.is_ascii_digit());
        let word = MATERIALS
            .iter()
            .find(|(letter, _)| *letter == material)
            .map_or("", |(_, word)| *word);
        (code.starts_with(number) && !word.is_empty()).then_some(word)
    };
    for (number, one, more) in [
        ("50", "large packaging", "large packagings"),
        (
            "51",
            "flexible large packaging",
            "flexible large packagings",
        ),
        ("1", "drum", "drums"),
        ("3", "jerrican", "jerricans"),
        ("4", "box", "boxes"),
    ] {
        if let Some(material) = made(number) {
            return format!(
                "{count} {material} {} ({code})",
                if many { more } else { one }
            );
        }
    }
    let (one, more) = match kind {
        Some(PackageKind::LargePackaging) => ("large packaging", "large packagings"),
        Some(PackageKind::OpenCrate) => ("open crate", "open crates"),
        Some(PackageKind::Pallet) => ("pallet", "pallets"),
        Some(PackageKind::ProtectiveEnclosure) => ("protective enclosure", "protective enclosures"),
        Some(PackageKind::StrongOuter) => ("strong outer packaging", "strong outer packagings"),
        _ => ("packaging", "packagings"),
    };
    format!("{count} {}", if many { more } else { one })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packages_are_counted_in_words_with_the_code_behind() {
        let plywood = Some("4D/Y110/S/25/N/TK-4417");
        assert_eq!(count_of(1, plywood, None), "1 plywood box (4D)");
        assert_eq!(count_of(3, plywood, None), "3 plywood boxes (4D)");
        assert_eq!(
            count_of(2, Some("UN 1A2/X90/S/26/DK/NE-77"), None),
            "2 steel drums (1A2)"
        );
        assert_eq!(
            count_of(14, None, Some(PackageKind::StrongOuter)),
            "14 strong outer packagings"
        );
    }
}
