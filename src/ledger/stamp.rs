//! Hybrid logical stamps: an order for people across devices whose clocks are not right.
//!
//! A hint only. The truth of the order is the place in the log and what an entry refers to.

use std::fmt;
use std::str::FromStr;

/// The largest counter that six digits hold.
const LAST_COUNTER: u32 = 999_999;

/// The largest milliseconds that fifteen digits hold.
const LAST_MS: u64 = 999_999_999_999_999;

/// Milliseconds since 1970 and a counter. As text both are padded with zeros, so that text sorts
/// as time does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stamp {
    /// The later of the device's clock and the stamp before.
    pub ms: u64,
    /// Counts stamps within one millisecond, and while the clock stands behind.
    pub counter: u32,
}

impl Stamp {
    /// The stamp after `before` when the clock says `clock_ms`; `None` where its text would be too
    /// long to sort.
    #[must_use]
    pub fn next(before: Option<Self>, clock_ms: u64) -> Option<Self> {
        let next = match before {
            Some(Self { ms, counter }) if ms >= clock_ms => {
                if counter < LAST_COUNTER {
                    Self {
                        ms,
                        counter: counter + 1,
                    }
                } else {
                    Self {
                        ms: ms + 1,
                        counter: 0,
                    }
                }
            }
            _ => Self {
                ms: clock_ms,
                counter: 0,
            },
        };
        (next.ms <= LAST_MS).then_some(next)
    }
}

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:015}.{:06}", self.ms, self.counter)
    }
}

impl FromStr for Stamp {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let (ms, counter) = text.split_once('.').ok_or(())?;
        let stamp = Self {
            ms: ms.parse().map_err(|_| ())?,
            counter: counter.parse().map_err(|_| ())?,
        };
        if stamp.ms > LAST_MS || stamp.counter > LAST_COUNTER || stamp.to_string() != text {
            return Err(());
        }
        Ok(stamp)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stamp_never_goes_back_and_sorts_as_text() {
        let clock = [5, 5, 7, 6, 6, 900, 8, 1_764_060_000_000, 9];
        let mut before = None;
        let mut texts = Vec::new();
        for ms in clock {
            let stamp = Stamp::next(before, ms).unwrap();
            assert!(before < Some(stamp) && stamp.ms >= ms);
            assert_eq!(stamp.to_string().parse(), Ok(stamp));
            texts.push(stamp.to_string());
            before = Some(stamp);
        }
        assert!(texts.is_sorted());
        assert_eq!(texts[1], "000000000000005.000001");
    }

    #[test]
    fn a_full_counter_moves_to_the_next_millisecond() {
        let full = Stamp {
            ms: 5,
            counter: LAST_COUNTER,
        };
        assert_eq!(
            Stamp::next(Some(full), 1),
            Some(Stamp { ms: 6, counter: 0 })
        );
        let last = Stamp {
            ms: LAST_MS,
            counter: LAST_COUNTER,
        };
        assert_eq!(last.to_string().parse(), Ok(last));
        assert_eq!(Stamp::next(Some(last), 1), None);
    }

    #[test]
    fn a_second_text_for_a_stamp_is_refused() {
        for text in [
            "5.0",
            "000000000000005.+00001",
            "000000000000005",
            "0000000000000005.000001",
        ] {
            assert!(text.parse::<Stamp>().is_err(), "{text}");
        }
    }
}
