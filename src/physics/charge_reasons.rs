//! What is said where a limit of the state of charge is not proven: how much it may be, what to do.

use std::borrow::Cow;

/// Reasons; most are the same each time.
pub(super) type Reasons = Vec<Cow<'static, str>>;

/// Says how much it may be, and which voltage or other evidence would prove the limit.
pub(super) fn next_action(reasons: &mut Reasons, limit: f64, high: f64, proving: Option<f64>) {
    if high > limit {
        let mut text = String::with_capacity(64);
        text.push_str("may be as much as ");
        places(&mut text, high, 1);
        text.push_str(" %; the limit is ");
        if limit.fract().abs() > 0.0 {
            text.push_str(&limit.to_string());
        } else {
            places(&mut text, limit, 0);
        }
        text.push_str(" %");
        reasons.push(Cow::Owned(text));
    }
    reasons.push(match proving {
        Some(volts) => {
            let mut text = String::with_capacity(160);
            text.push_str(
                "do one of these: read the management system's value; count the charge from a \
                 known point; discharge until the highest rested cell is at ",
            );
            places(&mut text, volts, 3);
            text.push_str(" V or below");
            Cow::Owned(text)
        }
        None => "do one of these: read the management system's value; count the charge from a \
                 known point; get the maker's own voltage table"
            .into(),
    });
}

/// Writes a figure from 0 to 1000 with up to three places; the way of `format!` takes five times as
/// long, which counts over a million rows.
fn places(text: &mut String, value: f64, places: u32) {
    let scale = 10_u32.pow(places);
    // The cast saturates, and the value is small.
    let whole = libm::round(value * f64::from(scale)) as u32;
    let mut digits = [b'0'; 10];
    let mut left = whole;
    let mut count = 0;
    for digit in digits.iter_mut().rev() {
        if left == 0 && count > places {
            break;
        }
        *digit = b'0' + u8::try_from(left % 10).unwrap_or(0);
        left /= 10;
        count += 1;
    }
    let shown = digits.iter().rev().take(count as usize).rev();
    for (n, digit) in (0_u32..).zip(shown) {
        if places > 0 && n + places == count {
            text.push('.');
        }
        text.push(char::from(*digit));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_in_reasons_are_those_of_the_standard_way() {
        for (value, count) in [
            (0.0, 1),
            (0.04, 1),
            (9.96, 1),
            (99.0, 1),
            (100.0, 1),
            (3.179, 3),
            (0.5, 3),
            (30.0, 0),
            (0.0, 0),
        ] {
            let mut text = String::new();
            places(&mut text, value, count);
            assert_eq!(text, format!("{value:.0$}", count as usize), "{value}");
        }
    }
}
