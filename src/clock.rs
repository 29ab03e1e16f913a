//! Time: the one place that asks the system what time it is, and the one form it is written in.
//!
//! A time is an instant with the local offset beside it (RFC 3339). UTC orders, the offset tells
//! a person what the clock on the wall said.

use std::fmt;
use std::str::FromStr;

use chrono::{DateTime, FixedOffset, NaiveDate, SecondsFormat, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// An instant with its local offset, to the millisecond.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, JsonSchema)]
pub struct Moment(DateTime<FixedOffset>);

/// Why a text is not a time.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a time with its offset such as 2026-11-25T08:50:00+01:00")]
pub struct MomentError(String);

impl Moment {
    /// The present time of this device, with its offset.
    #[must_use]
    pub fn present() -> Self {
        let now = chrono::Local::now().fixed_offset();
        // A log keeps milliseconds: what is in hand is what will be read.
        let finer = now.timestamp_subsec_nanos() % 1_000_000;
        Self(now - chrono::TimeDelta::nanoseconds(i64::from(finer)))
    }

    /// Seconds since 1970-01-01T00:00:00Z, as UTC; `None` beyond what a calendar takes.
    #[must_use]
    pub fn from_unix_s(seconds: u64) -> Option<Self> {
        let seconds = i64::try_from(seconds).ok()?;
        Some(Self(DateTime::from_timestamp(seconds, 0)?.fixed_offset()))
    }

    /// The same moment, cut to whole seconds.
    #[must_use]
    pub fn whole_seconds(self) -> Self {
        let cut = self.0.timestamp_subsec_nanos();
        Self(self.0 - chrono::TimeDelta::nanoseconds(i64::from(cut)))
    }

    /// Milliseconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub fn unix_ms(self) -> i64 {
        self.0.timestamp_millis()
    }

    /// The calendar day at the place.
    #[must_use]
    pub fn local_day(self) -> NaiveDate {
        self.0.date_naive()
    }

    /// Whole seconds from `earlier` to this moment; negative where it is the other way round.
    #[must_use]
    pub fn seconds_since(self, earlier: Self) -> i64 {
        (self.0 - earlier.0).num_seconds()
    }

    /// The moment `seconds` later, with the same offset; the last moment there is where that is
    /// beyond it.
    #[must_use]
    pub fn later(self, seconds: i64) -> Self {
        let step = chrono::TimeDelta::try_seconds(seconds).unwrap_or(chrono::TimeDelta::MAX);
        Self(
            self.0
                .checked_add_signed(step)
                .unwrap_or_else(|| DateTime::<Utc>::MAX_UTC.with_timezone(self.0.offset())),
        )
    }

    /// RFC 3339 in UTC with milliseconds and `Z`.
    #[must_use]
    pub fn utc(self) -> String {
        self.0
            .with_timezone(&Utc)
            .to_rfc3339_opts(SecondsFormat::Millis, true)
    }

    /// RFC 3339 in local time with the offset; milliseconds only where there are any.
    #[must_use]
    pub fn local(self) -> String {
        self.0.to_rfc3339_opts(SecondsFormat::AutoSi, false)
    }

    /// The offset alone, `+01:00`.
    #[must_use]
    pub fn offset(self) -> String {
        self.0.format("%:z").to_string()
    }

    /// Hour and minute at the place, for short lists.
    #[must_use]
    pub fn wall_clock(self) -> String {
        self.0.format("%H:%M").to_string()
    }
}

impl PartialOrd for Moment {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Moment {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.cmp(&other.0).then_with(|| {
            self.0
                .offset()
                .local_minus_utc()
                .cmp(&other.0.offset().local_minus_utc())
        })
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.local())
    }
}

impl FromStr for Moment {
    type Err = MomentError;

    fn from_str(text: &str) -> Result<Self, MomentError> {
        let wrong = || MomentError(text.chars().take(40).collect());
        // A leap second is folded by the parser and would not read back as written.
        if text.get(17..19) == Some("60") {
            return Err(wrong());
        }
        DateTime::parse_from_rfc3339(text)
            .map(Self)
            .map_err(|_| wrong())
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.local())
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_without_offset_or_with_second_60_is_refused() {
        // RFC 3339 allows second 60; no device writes it and two libraries read it differently.
        for text in [
            "2026-11-25T08:50:00",
            "2026-11-25",
            "2016-12-31T23:59:60Z",
            "yesterday",
            "",
        ] {
            assert!(text.parse::<Moment>().is_err(), "{text}");
        }
    }

    #[test]
    fn local_and_utc_name_the_same_instant() {
        let moment: Moment = "2026-11-25T08:50:00+01:00".parse().unwrap();
        assert_eq!(moment.utc(), "2026-11-25T07:50:00.000Z");
        assert_eq!(moment.local(), "2026-11-25T08:50:00+01:00");
        assert_eq!(moment.offset(), "+01:00");
    }
}
