//! The check digit of GS1 keys: weights 3, 1, 3, 1 ... from the right, filled up to a ten.
//!
//! It finds every single wrong digit, and every swap of neighbours but those that differ by five.

/// The check digit for `digits`, which stand before it; `None` where it is empty or has a sign
/// that is no digit.
#[must_use]
pub fn check_digit(digits: &str) -> Option<u8> {
    if digits.is_empty() {
        return None;
    }
    let mut sum = 0_u8;
    for (nth, byte) in digits.bytes().rev().enumerate() {
        if !byte.is_ascii_digit() {
            return None;
        }
        let weight = if nth % 2 == 0 { 3 } else { 1 };
        sum = (sum + (byte - b'0') * weight) % 10;
    }
    Some((10 - sum) % 10)
}

/// Whether the last of `digits` is the check digit of the others.
#[must_use]
pub fn has_check_digit(digits: &str) -> bool {
    let mut others = digits.chars();
    let last = others.next_back().and_then(|sign| sign.to_digit(10));
    last.is_some() && check_digit(others.as_str()).map(u32::from) == last
}
