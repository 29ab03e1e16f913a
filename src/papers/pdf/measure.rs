//! How long and how high a text prints.

use super::face::Face;

/// Width of a text in micrometres.
#[must_use]
pub fn width(text: &str, size: i32, face: Face) -> i32 {
    let Some(loaded) = face.loaded() else {
        return 0;
    };
    let units: i64 = text
        .chars()
        .map(|sign| i64::from(loaded.glyph(sign).1))
        .sum();
    i32::try_from(units * i64::from(size) / i64::from(loaded.em)).unwrap_or(i32::MAX)
}

/// Size of the type whose capitals and digits are at least this high.
#[must_use]
pub fn height_for_letters(height: i32, face: Face) -> i32 {
    let Some(loaded) = face.loaded() else {
        return height;
    };
    let (height, em, capital) = (
        i64::from(height),
        i64::from(loaded.em),
        i64::from(loaded.capital.max(1)),
    );
    // Digits of this face are two units lower than its capitals at most; one in a hundred covers it.
    i32::try_from((height * em * 101).div_euclid(capital * 100) + 1).unwrap_or(i32::MAX)
}
