//! What a row of facts is to the rules, as a few numbers: rows with equal numbers get the same
//! decision. Cells of words count by their text; quantities of the battery by their place between
//! the limits that the rules compare them with.
//!
//! Where a package or an approval is described, the check of it looks at quantities themselves, so
//! there every cell counts by its text.

use crate::store::facts::{Kind, Role};
use crate::transport::{FULL_CHARGE, Value, limits_of, rule_set};

/// Most different texts in one column before everything is forgotten.
const MOST_TEXTS: usize = 1 << 12;

/// What became of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reading {
    /// A whole row, with the place of its id and its length.
    Row {
        id_from: usize,
        id_to: usize,
        bytes: usize,
    },
    /// Something that only the plain reader understands.
    Other,
}

/// Reads rows into keys.
pub(super) struct RowKey {
    steps: Vec<Step>,
    words: Vec<u64>,
    full: bool,
}

enum Step {
    /// Passed over.
    Ignored,
    /// The name of the battery.
    Id,
    /// By its text.
    Text(Texts),
    /// A decimal number in thousandths, by its place between limits.
    Number(Vec<i64>, Bound),
    /// A day as year, month, day in one number, by its place between limits.
    Day(Vec<i64>),
}

/// Which bound of the state of charge a number is: a lowest above the highest cannot be.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Bound {
    None,
    Lowest,
    Highest,
}

/// Texts that were seen in a column.
#[derive(Default)]
struct Texts {
    seen: Vec<Box<[u8]>>,
    last: usize,
}

impl RowKey {
    pub(super) fn of(roles: &[Role]) -> Self {
        let described = roles.iter().any(|role| match role {
            Role::Fact(column) => column.name.starts_with("package.") || column.name == "approvals",
            Role::Ignored => false,
        });
        let steps: Vec<Step> = roles
            .iter()
            .map(|role| match role {
                Role::Ignored => Step::Ignored,
                Role::Fact(column) if column.name == "id" => Step::Id,
                Role::Fact(column) => {
                    let of_battery = !described && column.name.starts_with("item.");
                    match column.kind {
                        Kind::Number if of_battery => {
                            Step::Number(limits_of_number(&column.name), bound(&column.name))
                        }
                        Kind::Day if of_battery => Step::Day(limits(&column.name)),
                        _ => Step::Text(Texts::default()),
                    }
                }
            })
            .collect();
        let words = vec![0; steps.len().div_ceil(4)];
        Self {
            steps,
            words,
            full: false,
        }
    }

    /// The key of the row that was read last.
    pub(super) fn words(&self) -> &[u64] {
        &self.words
    }

    /// Whether a column has had too many texts.
    pub(super) const fn is_full(&self) -> bool {
        self.full
    }

    /// Forgets every text; keys made before mean nothing any more.
    pub(super) fn forget(&mut self) {
        self.full = false;
        for step in &mut self.steps {
            if let Step::Text(texts) = step {
                *texts = Texts::default();
            }
        }
    }

    /// Reads the row at the beginning of `rest`.
    pub(super) fn read(&mut self, rest: &[u8]) -> Reading {
        // A blank line is no row.
        if matches!(rest.first(), None | Some(b'\n' | b'\r')) {
            return Reading::Other;
        }
        let mut left = rest;
        let (mut id_from, mut id_to) = (0, 0);
        let mut charge = (None, None);
        let mut steps = self.steps.chunks_mut(4).peekable();
        for word in &mut self.words {
            let Some(four) = steps.next() else { break };
            let is_last = steps.peek().is_none();
            let mut packed = 0;
            let count = four.len();
            for (n, step) in four.iter_mut().enumerate() {
                let Some((class, length)) = step.read(left) else {
                    if let Step::Text(texts) = step {
                        self.full |= texts.seen.len() >= MOST_TEXTS;
                    }
                    return Reading::Other;
                };
                match step {
                    Step::Id => {
                        id_from = rest.len() - left.len();
                        id_to = id_from + length;
                    }
                    Step::Number(_, Bound::Lowest) if length > 0 => charge.0 = number(left),
                    Step::Number(_, Bound::Highest) if length > 0 => charge.1 = number(left),
                    _ => {}
                }
                packed |= class << (16 * n);
                let skip = match (
                    is_last && n + 1 == count,
                    left.get(length),
                    left.get(length + 1),
                ) {
                    (false, Some(b','), _) | (true, Some(b'\n'), _) => 1,
                    (true, Some(b'\r'), Some(b'\n')) => 2,
                    _ => return Reading::Other,
                };
                left = left.get(length + skip..).unwrap_or_default();
            }
            *word = packed;
        }
        if let (Some((low, _)), Some((high, _))) = charge
            && low > high
        {
            return Reading::Other;
        }
        Reading::Row {
            id_from,
            id_to,
            bytes: rest.len() - left.len(),
        }
    }
}

impl Step {
    /// Class and length of the cell that `left` begins with; `None` for the plain reader.
    fn read(&mut self, left: &[u8]) -> Option<(u64, usize)> {
        match self {
            Self::Ignored => Some((0, unquoted(left)?)),
            Self::Id => {
                let length = left.iter().position(|&byte| !is_plain(byte))?;
                let begins_well = left.first().is_some_and(u8::is_ascii_alphanumeric);
                (begins_well || length == 0).then_some((0, length))
            }
            Self::Text(texts) => texts.read(left),
            // An empty cell is a fact that is not known.
            Self::Number(..) | Self::Day(_) if is_end(*left.first()?) => Some((0, 0)),
            Self::Number(limits, _) => {
                let (value, length) = number(left)?;
                Some((place(limits, value), length))
            }
            Self::Day(limits) => {
                let value = day(left)?;
                Some((place(limits, value), 10))
            }
        }
    }
}

impl Texts {
    fn read(&mut self, left: &[u8]) -> Option<(u64, usize)> {
        let begins = |text: &[u8]| {
            left.strip_prefix(text)
                .and_then(<[u8]>::first)
                .is_some_and(|&next| is_end(next))
        };
        if let Some(text) = self.seen.get(self.last)
            && begins(text)
        {
            return Some((self.last as u64, text.len()));
        }
        if let Some(found) = self.seen.iter().position(|text| begins(text)) {
            self.last = found;
            return self.seen.get(found).map(|text| (found as u64, text.len()));
        }
        let length = unquoted(left)?;
        if self.seen.len() >= MOST_TEXTS {
            return None;
        }
        self.last = self.seen.len();
        self.seen.push(left.get(..length)?.into());
        Some((self.last as u64, length))
    }
}

/// Length of the cell that `left` begins with, if it is not quoted and ends here.
fn unquoted(left: &[u8]) -> Option<usize> {
    if left.first() == Some(&b'"') {
        return None;
    }
    left.iter().position(|&byte| is_end(byte))
}

const fn is_end(byte: u8) -> bool {
    matches!(byte, b',' | b'\n' | b'\r')
}

/// Signs that stand in an id as they are, in the table as in the file.
const fn is_plain(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'.' | b'_' | b':' | b'/' | b'-')
}

/// A decimal of at most twelve digits before and three behind the point, in thousandths, and its
/// length. Other numbers are left to the plain reader.
fn number(left: &[u8]) -> Option<(i64, usize)> {
    let mut value = 0_i64;
    let mut length = 0_usize;
    let mut behind = 0_usize;
    let mut seen_point = false;
    for &byte in left {
        match byte {
            b'0'..=b'9' => {
                value = value * 10 + i64::from(byte - b'0');
                behind += usize::from(seen_point);
            }
            b'.' if !seen_point && length > 0 => seen_point = true,
            end if is_end(end) => break,
            _ => return None,
        }
        length += 1;
        if length > 15 || behind > 3 {
            return None;
        }
    }
    if length - behind - usize::from(seen_point) > 12 || (seen_point && behind == 0) {
        return None;
    }
    let scale = match behind {
        0 => 1_000,
        1 => 100,
        2 => 10,
        _ => 1,
    };
    Some((value * scale, length))
}

/// A day `2026-11-25` as 20261125.
fn day(left: &[u8]) -> Option<i64> {
    let &[a, b, c, d, b'-', e, f, b'-', g, h] = left.first_chunk::<10>()? else {
        return None;
    };
    let digit = |byte: u8| byte.is_ascii_digit().then(|| i64::from(byte - b'0'));
    let year = digit(a)? * 1000 + digit(b)? * 100 + digit(c)? * 10 + digit(d)?;
    let month = digit(e)? * 10 + digit(f)?;
    let day = digit(g)? * 10 + digit(h)?;
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => return None,
    };
    (1..=days)
        .contains(&day)
        .then_some(year * 10_000 + month * 100 + day)
}

/// 1 and upwards: below the first limit, on it, above it, on the second, and so on.
fn place(limits: &[i64], value: i64) -> u64 {
    let mut class = 1;
    for &limit in limits {
        class += u64::from(value >= limit) + u64::from(value > limit);
    }
    class
}

/// The limits of a quantity, and what it cannot be: nothing, or more than full.
fn limits_of_number(name: &str) -> Vec<i64> {
    let mut limits = limits(name);
    limits.push(0);
    if bound(name) != Bound::None {
        limits.push(FULL_CHARGE);
    }
    limits.sort_unstable();
    limits.dedup();
    limits
}

fn bound(name: &str) -> Bound {
    match name {
        "item.state_of_charge_percent.low" => Bound::Lowest,
        "item.state_of_charge_percent.high" => Bound::Highest,
        _ => Bound::None,
    }
}

/// The limits of a fact as plain numbers.
fn limits(name: &str) -> Vec<i64> {
    limits_of(rule_set(), name)
        .into_iter()
        .filter_map(|limit| match limit {
            Value::Thousandths(value) => Some(value),
            Value::Day(day) => {
                let text = day.format("%Y%m%d").to_string();
                text.parse().ok()
            }
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_read_as_the_exact_one_or_not_at_all() {
        for (text, wanted) in [
            ("48.0,", Some((48_000, 4))),
            ("48,", Some((48_000, 2))),
            ("0.001\n", Some((1, 5))),
            ("123456789012,", Some((123_456_789_012_000, 12))),
            ("1234567890123,", None),
            ("0.0001,", None),
            ("-1,", None),
            ("1.,", None),
            (".5,", None),
            ("1.2.3,", None),
            ("1e3,", None),
            (" 1,", None),
            ("\"1\",", None),
        ] {
            assert_eq!(number(text.as_bytes()), wanted, "{text}");
        }
    }

    #[test]
    fn rows_share_a_key_between_limits_and_nowhere_else() {
        let role = |name: &str, kind| {
            Role::Fact(crate::store::facts::Column {
                name: name.to_owned(),
                kind,
            })
        };
        let mut key = RowKey::of(&[
            role("id", Kind::Text),
            role("item.net_mass_kg", Kind::Number),
            role("item.casing", Kind::Text),
        ]);
        let mut of = |row: &str| {
            assert!(
                matches!(key.read(row.as_bytes()), Reading::Row { .. }),
                "{row}"
            );
            key.words().to_vec()
        };
        // 12 kg is a limit of ADR 2025, 4.1.4.1 P903(2).
        let above = of("m1,13.5,strong\n");
        assert_eq!(above, of("m2,14,strong\r\n"));
        assert_ne!(above, of("m1,12,strong\n"));
        assert_ne!(above, of("m1,11.999,strong\n"));
        assert_ne!(above, of("m1,,strong\n"));
        assert_ne!(above, of("m1,13.5,weak\n"));
        let mut described = RowKey::of(&[
            role("item.net_mass_kg", Kind::Number),
            role("package.items", Kind::Whole),
        ]);
        let mut of = |row: &str| {
            described.read(row.as_bytes());
            described.words().to_vec()
        };
        assert_ne!(of("13.5,1\n"), of("14,1\n"));
    }

    #[test]
    fn a_day_is_one_of_the_calendar() {
        // Gregorian calendar, ISO 8601.
        assert_eq!(day(b"2024-02-29,"), Some(20_240_229));
        assert_eq!(day(b"2000-02-29,"), Some(20_000_229));
        for wrong in [
            "1900-02-29",
            "2026-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-11-31",
            "2026/11/25",
            "2026-1-25",
        ] {
            assert_eq!(day(wrong.as_bytes()), None, "{wrong}");
        }
    }

    #[test]
    fn a_value_on_a_limit_has_a_place_of_its_own() {
        let limits = [10, 20];
        let places: Vec<u64> = [9, 10, 11, 19, 20, 21]
            .iter()
            .map(|&v| place(&limits, v))
            .collect();
        assert_eq!(places, [1, 2, 3, 3, 4, 5]);
    }
}
