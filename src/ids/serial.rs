//! Serials as people and scanners give them: when two are the same, and when they only look it.

/// A serial in the one form in which two are compared: capital letters, no blanks.
#[must_use]
pub fn same_form(serial: &str) -> String {
    form(serial).collect()
}

fn form(serial: &str) -> impl Iterator<Item = char> {
    serial
        .chars()
        .filter(|sign| !sign.is_whitespace())
        .flat_map(char::to_uppercase)
}

/// A sign as it is read at a glance: 0 and O, 1 and I, 5 and S are alike. Common practice, no
/// source.
const fn look(sign: char) -> char {
    match sign {
        'O' => '0',
        'I' => '1',
        'S' => '5',
        other => other,
    }
}

/// Whether two different serials look alike.
#[must_use]
pub fn look_alike(one: &str, other: &str) -> bool {
    form(one).map(look).eq(form(other).map(look)) && !form(one).eq(form(other))
}

/// Those of `known` that look like `serial` without being it, in their order.
#[must_use]
pub fn look_alikes<'k>(serial: &str, known: impl IntoIterator<Item = &'k str>) -> Vec<&'k str> {
    known
        .into_iter()
        .filter(|known| look_alike(serial, known))
        .collect()
}

/// The name that a module without a readable serial gets: site, receipt, count from 1.
#[must_use]
pub fn temporary_identity(site: &str, receipt: &str, number: usize) -> String {
    format!("TEMP-{site}-{receipt}-{number}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_read_for_one_another_are_hinted_never_taken_as_equal() {
        assert!(look_alike("LK51-24-008817", "LK5I-24-OO8817"));
        assert!(look_alike("HB5-19K", "HBS-I9K"));
        assert!(!look_alike("lk51-24", "LK51-24"));
        assert!(!look_alike("LK51-24", "LK51-25"));
        assert_eq!(
            look_alikes("AO", ["A0", "AO", "AB", "a0"]),
            vec!["A0", "a0"]
        );
    }
}
