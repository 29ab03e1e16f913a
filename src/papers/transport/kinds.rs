//! Kinds of packages in words, by the code of the UN mark.
//!
//! Codes and materials as in ADR 2025, 6.1.2.5 to 6.1.2.7 and 6.6.2 (from memory; the codes agree
//! with the instructions that name them).

use crate::papers::words::{PackageWords, fill};
use crate::transport::{PackageKind, PackagingMark};

/// `4 plywood boxes (4D)`.
pub(crate) fn count_of(
    count: usize,
    mark: Option<&str>,
    kind: Option<PackageKind>,
    words: &PackageWords,
) -> String {
    let called = |[one, more]: [&'static str; 2]| if count == 1 { one } else { more };
    let code = mark
        .and_then(PackagingMark::read)
        .map(|mark| mark.code)
        .unwrap_or_default();
    let letter = code.trim_matches(|c: char| c.is_ascii_digit());
    let material = words.materials.iter().find(|(known, _)| *known == letter);
    let by_number = [
        ("50", words.large),
        ("51", words.flexible_large),
        ("1", words.drum),
        ("3", words.jerrican),
        ("4", words.package_box),
    ];
    let kind_by_code = by_number.into_iter().find(|(n, _)| code.starts_with(n));
    if let (Some((_, material)), Some((_, kind))) = (material, kind_by_code) {
        return fill(
            words.counted,
            &[
                ("count", &count),
                ("material", material),
                ("kind", &called(kind)),
                ("code", &code),
            ],
        );
    }
    let kind = match kind {
        Some(PackageKind::LargePackaging) => words.large,
        Some(PackageKind::OpenCrate) => words.open_crate,
        Some(PackageKind::Pallet) => words.pallet,
        Some(PackageKind::ProtectiveEnclosure) => words.enclosure,
        Some(PackageKind::StrongOuter) => words.strong_outer,
        _ => words.other,
    };
    format!("{count} {}", called(kind))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::papers::words::EN;

    fn counted(count: usize, mark: Option<&str>, kind: Option<PackageKind>) -> String {
        count_of(count, mark, kind, &EN.kinds_of_packages)
    }

    #[test]
    fn packages_are_counted_in_words_with_the_code_behind() {
        let plywood = Some("4D/Y110/S/25/N/TK-4417");
        assert_eq!(counted(1, plywood, None), "1 plywood box (4D)");
        assert_eq!(counted(3, plywood, None), "3 plywood boxes (4D)");
        assert_eq!(
            counted(2, Some("UN 1A2/X90/S/26/DK/NE-77"), None),
            "2 steel drums (1A2)"
        );
        assert_eq!(
            counted(14, None, Some(PackageKind::StrongOuter)),
            "14 strong outer packagings"
        );
    }
}
