//! Letters five lines high, read across a dock: for a terminal, never for a screen reader.

/// Rows of each sign, the top one first; five bits a row, the left one first.
const SIGNS: [(char, [u8; 5]); 36] = [
    ('A', [0b01110, 0b10001, 0b11111, 0b10001, 0b10001]),
    ('B', [0b11110, 0b10001, 0b11110, 0b10001, 0b11110]),
    ('C', [0b01111, 0b10000, 0b10000, 0b10000, 0b01111]),
    ('D', [0b11110, 0b10001, 0b10001, 0b10001, 0b11110]),
    ('E', [0b11111, 0b10000, 0b11110, 0b10000, 0b11111]),
    ('F', [0b11111, 0b10000, 0b11110, 0b10000, 0b10000]),
    ('G', [0b01111, 0b10000, 0b10011, 0b10001, 0b01111]),
    ('H', [0b10001, 0b10001, 0b11111, 0b10001, 0b10001]),
    ('I', [0b11111, 0b00100, 0b00100, 0b00100, 0b11111]),
    ('J', [0b00111, 0b00010, 0b00010, 0b10010, 0b01100]),
    ('K', [0b10010, 0b10100, 0b11000, 0b10100, 0b10010]),
    ('L', [0b10000, 0b10000, 0b10000, 0b10000, 0b11111]),
    ('M', [0b10001, 0b11011, 0b10101, 0b10001, 0b10001]),
    ('N', [0b10001, 0b11001, 0b10101, 0b10011, 0b10001]),
    ('O', [0b01110, 0b10001, 0b10001, 0b10001, 0b01110]),
    ('P', [0b11110, 0b10001, 0b11110, 0b10000, 0b10000]),
    ('Q', [0b01110, 0b10001, 0b10101, 0b10010, 0b01101]),
    ('R', [0b11110, 0b10001, 0b11110, 0b10010, 0b10001]),
    ('S', [0b01111, 0b10000, 0b01110, 0b00001, 0b11110]),
    ('T', [0b11111, 0b00100, 0b00100, 0b00100, 0b00100]),
    ('U', [0b10001, 0b10001, 0b10001, 0b10001, 0b01110]),
    ('V', [0b10001, 0b10001, 0b10001, 0b01010, 0b00100]),
    ('W', [0b10001, 0b10001, 0b10101, 0b11011, 0b10001]),
    ('X', [0b10001, 0b01010, 0b00100, 0b01010, 0b10001]),
    ('Y', [0b10001, 0b01010, 0b00100, 0b00100, 0b00100]),
    ('Z', [0b11111, 0b00010, 0b00100, 0b01000, 0b11111]),
    ('0', [0b01110, 0b10011, 0b10101, 0b11001, 0b01110]),
    ('1', [0b00100, 0b01100, 0b00100, 0b00100, 0b01110]),
    ('2', [0b11110, 0b00001, 0b01110, 0b10000, 0b11111]),
    ('3', [0b11110, 0b00001, 0b01110, 0b00001, 0b11110]),
    ('4', [0b10010, 0b10010, 0b11111, 0b00010, 0b00010]),
    ('5', [0b11111, 0b10000, 0b11110, 0b00001, 0b11110]),
    ('6', [0b01111, 0b10000, 0b11110, 0b10001, 0b01110]),
    ('7', [0b11111, 0b00001, 0b00010, 0b00100, 0b00100]),
    ('8', [0b01110, 0b10001, 0b01110, 0b10001, 0b01110]),
    ('9', [0b01110, 0b10001, 0b01111, 0b00001, 0b11110]),
];

/// `text` in large letters, five lines; a sign that has no large form is left blank.
pub(super) fn large(text: &str) -> Vec<String> {
    let signs: Vec<[u8; 5]> = text
        .to_uppercase()
        .chars()
        .map(|sign| {
            let known = SIGNS.iter().find(|(known, _)| *known == sign);
            known.map_or([0; 5], |(_, rows)| *rows)
        })
        .collect();
    (0..5)
        .map(|row| {
            let line: String = signs
                .iter()
                .filter_map(|rows| rows.get(row))
                .flat_map(|bits| (0..6).map(move |at| bits << at & 0b10000 != 0))
                .map(|ink| if ink { '#' } else { ' ' })
                .collect();
            line.trim_end().to_owned()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_stand_five_lines_high() {
        assert_eq!(large("hi").len(), 5);
        assert_eq!(
            large("T1"),
            [
                "#####   #",
                "  #    ##",
                "  #     #",
                "  #     #",
                "  #    ###"
            ]
        );
    }

    #[test]
    fn every_word_that_is_answered_has_all_its_letters() {
        let blank = large(" ").concat();
        for sign in ('A'..='Z').chain('0'..='9') {
            assert_ne!(large(&sign.to_string()).concat(), blank, "{sign}");
        }
        let mut seen = std::collections::BTreeSet::new();
        assert!(SIGNS.iter().all(|(_, rows)| seen.insert(rows)));
    }
}
