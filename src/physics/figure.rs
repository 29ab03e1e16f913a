//! How texts spell figures: read from a cell, put into an answer.
//!
//! The quick ways here take figures of few digits, where reading and writing are exact: up to fifteen
//! digits and a power of ten up to 22 are doubles without rounding, so one division rounds as it
//! should (Clinger 1990), and no other text of fifteen digits reads as the same double. What they do
//! not take is left to the caller's general way.

use serde::de::{Error, Visitor};

/// A figure as a cell spells it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Figure {
    /// Digits only.
    Whole(u64),
    /// With a point.
    Real(f64),
}

/// Most digits that are taken.
const DIGITS: usize = 15;

/// Powers of ten by the number of places.
const SCALES: [f64; DIGITS + 1] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

impl Figure {
    /// The figure in `text`; `None` where it is none as JSON spells it, or not one of few digits.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let (negative, digits) = match text.as_bytes() {
            [b'-', rest @ ..] => (true, rest),
            all => (false, all),
        };
        // A point and nothing but digits.
        if digits.len() > DIGITS + 1 {
            return None;
        }
        let (mut whole, mut point) = (0_u64, None);
        for (at, sign) in digits.iter().enumerate() {
            match sign {
                // So few digits fit.
                b'0'..=b'9' => whole = whole.wrapping_mul(10).wrapping_add(u64::from(sign - b'0')),
                b'.' if point.is_none() => point = Some(at),
                _ => return None,
            }
        }
        // JSON wants a digit before and behind the point, and no zero in front.
        let before = point.unwrap_or(digits.len());
        if before == 0 || (before > 1 && digits.first() == Some(&b'0')) {
            return None;
        }
        let Some(point) = point else {
            return (!negative && before <= DIGITS).then_some(Self::Whole(whole));
        };
        let places = digits.len() - point - 1;
        if places == 0 {
            return None;
        }
        let size = whole as f64 / SCALES.get(places)?;
        Some(Self::Real(if negative { -size } else { size }))
    }

    /// Gives it to whoever reads the form of a question.
    ///
    /// # Errors
    /// The field is of another form.
    pub fn visit<'de, V: Visitor<'de>, E: Error>(self, visitor: V) -> Result<V::Value, E> {
        match self {
            Self::Whole(value) => visitor.visit_u64(value),
            Self::Real(value) => visitor.visit_f64(value),
        }
    }
}

/// The signs of a figure below 1000 with at most three places.
pub(super) struct Short {
    signs: [u8; 8],
    count: usize,
}

impl Short {
    /// Those that JSON spells; `None` where it is no such figure.
    pub(super) fn of(value: f64) -> Option<Self> {
        // The cast cuts, so this rounds; it gives 0 for what is below or is no number.
        let whole = (value * 1e3 + 0.5) as u32;
        if whole >= 1_000_000 || (f64::from(whole) / 1e3).to_bits() != value.to_bits() {
            return None;
        }
        let (before, behind) = (whole / 1000, whole % 1000);
        // Zeros in front are not spelt, nor those at the end, save one on each side of the point.
        let front = u32::from(before >= 100) + u32::from(before >= 10) + 1;
        let back = match behind {
            _ if behind.is_multiple_of(100) => 1,
            _ if behind.is_multiple_of(10) => 2,
            _ => 3,
        };
        let behind = u64::from(b'.') | (u64::from(three(behind)) << 8);
        let signs = u64::from(three(before) >> (8 * (3 - front))) | (behind << (8 * front));
        Some(Self {
            signs: signs.to_le_bytes(),
            count: front as usize + 1 + back,
        })
    }

    pub(super) fn signs(&self) -> &[u8] {
        self.signs.get(..self.count).unwrap_or_default()
    }
}

/// The three digits of a number below 1000, the first in the lowest byte.
const fn three(value: u32) -> u32 {
    0x30_30_30 | (value / 100) | ((value / 10 % 10) << 8) | ((value % 10) << 16)
}

/// The digits of a whole number, with a point before the last few.
pub(super) struct Digits {
    /// Twenty digits and a point, from behind.
    signs: [u8; 21],
    count: usize,
}

impl Digits {
    /// One digit stands before the point in any case.
    pub(super) fn of(value: u64, places: usize) -> Self {
        let mut signs = [b'0'; 21];
        let mut left = value;
        let mut count = 0;
        let mut room = signs.iter_mut().rev();
        if places > 0 {
            for sign in room.by_ref().take(places) {
                // A digit fits.
                *sign = b'0' + (left % 10) as u8;
                left /= 10;
            }
            if let Some(sign) = room.next() {
                *sign = b'.';
            }
            count = places + 1;
        }
        for sign in room {
            *sign = b'0' + (left % 10) as u8;
            left /= 10;
            count += 1;
            if left == 0 {
                break;
            }
        }
        Self { signs, count }
    }

    pub(super) fn signs(&self) -> &[u8] {
        let from = self.signs.len().saturating_sub(self.count);
        self.signs.get(from..).unwrap_or_default()
    }

    pub(super) fn as_str(&self) -> &str {
        std::str::from_utf8(self.signs()).unwrap_or_default()
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    #[test]
    fn texts_are_read_as_serde_json_reads_them() {
        let texts = [
            "0",
            "7",
            "16",
            "007",
            "07",
            "0.5",
            "00.5",
            ".5",
            "5.",
            "-",
            "-.5",
            "-0.5",
            "-0",
            "-0.0",
            "52.80",
            "1e3",
            "1.5e3",
            "1_0",
            "+1",
            "",
            ".",
            "1.2.3",
            "999999999999999",
            "9999999999999999",
            "0.000000000000001",
            "12345678.9012345",
            "123456789.0123456",
            "99999999.9999999",
            "4.35",
            "0.3",
            "2.675",
        ];
        let mut taken = 0;
        let mut seen = |text: &str| {
            let other: Option<serde_json::Number> = serde_json::from_str(text).ok();
            match Figure::read(text) {
                Some(Figure::Whole(value)) => {
                    assert_eq!(other.and_then(|n| n.as_u64()), Some(value), "{text}");
                    taken += 1;
                }
                Some(Figure::Real(value)) => {
                    let other = other.filter(serde_json::Number::is_f64).unwrap();
                    let bits = |value: f64| value.to_bits();
                    assert_eq!(other.as_f64().map(bits), Some(bits(value)), "{text}");
                    assert_eq!(bits(text.parse().unwrap()), bits(value), "{text}");
                    taken += 1;
                }
                None => {}
            }
        };
        texts.into_iter().for_each(&mut seen);
        let mut bits = 1_u64;
        for n in 0..100_000_usize {
            bits = bits
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            let digits = (bits >> 14).to_string();
            let digits = digits.get(..n % 15 + 1).unwrap_or(&digits);
            let (before, behind) = digits.split_at(n % digits.len());
            seen(&format!("{before}.{behind}"));
            seen(digits);
        }
        assert!(taken > 150_000, "{taken}");
    }

    /// Figures of few places and of many, and a plain generator of bits.
    pub(in crate::physics) fn figures(many: u32) -> Vec<f64> {
        let mut figures = vec![
            0.0,
            -0.0,
            0.1,
            0.3,
            1.0 / 3.0,
            2.675,
            100.0,
            35.25,
            99.999,
            1e-5,
            5e-324,
            1e10,
            1e11,
            99_999_999_999.999,
            123_456_789.125,
            1e16,
            1e300,
            f64::NAN,
            f64::INFINITY,
            -1.5,
        ];
        let mut bits = 0x9e37_79b9_7f4a_7c15_u64;
        for n in 0..many {
            bits = bits.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            figures.push(f64::from_bits(bits));
            figures.push(f64::from(n) / 1000.0);
            figures.push(f64::from(n * 20_011) / 100.0);
            figures.push(f64::from((bits >> 33) as u32) / 1000.0);
        }
        figures
    }

    #[test]
    fn figures_are_put_as_serde_json_puts_them() {
        let mut taken = 0;
        for figure in figures(100_000) {
            if let Some(short) = Short::of(figure) {
                assert_eq!(short.signs(), serde_json::to_vec(&figure).unwrap());
                taken += 1;
            }
        }
        // Every figure of three places below 1000, at the least.
        let all = (0..1_000_000).filter_map(|n| Short::of(f64::from(n) / 1e3));
        assert_eq!(all.count(), 1_000_000);
        assert!(taken > 100_000, "{taken}");
    }

    #[test]
    fn whole_numbers_are_put_with_all_their_digits() {
        for (value, places, text) in [
            (0, 0, "0"),
            (7, 0, "7"),
            (u64::MAX, 0, "18446744073709551615"),
            (0, 1, "0.0"),
            (5, 3, "0.005"),
            (3179, 3, "3.179"),
            (9_999_999, 1, "999999.9"),
            (9_999_999, 0, "9999999"),
            (10_000_000, 3, "10000.000"),
            (1000, 1, "100.0"),
        ] {
            assert_eq!(Digits::of(value, places).as_str(), text);
            assert_eq!(Digits::of(value, places).signs(), text.as_bytes());
        }
    }
}
