//! How often and how long a person lifts: the duration class and the frequency multiplier.
//!
//! NIOSH 94-110 revised 9/2021, Table 5 and pp. 13 to 16, read in a restatement.

use std::sync::LazyLock;

use schemars::JsonSchema;
use serde::Deserialize;

use super::domain::{DomainError, above_zero, absent, not_below_zero};
use crate::table;

/// How long the work with lifting lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Duration {
    /// Up to 1 h.
    Short,
    /// Up to 2 h.
    Moderate,
    /// Up to 8 h.
    Long,
}

/// A stretch of work with lifting and what follows it.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Period {
    /// Work with lifting, minutes.
    pub work_min: f64,
    /// Light work or rest after it, minutes; 0 where absent, which does not matter for the last.
    #[serde(default)]
    pub recovery_min: f64,
}

/// Hours of work with lifting in the day, and their class.
///
/// # Errors
/// Neither hours nor periods, or both; values outside their ranges.
pub(super) fn day(
    hours: Option<f64>,
    recovery: Option<f64>,
    periods: &[Period],
) -> Result<(f64, Duration), DomainError> {
    let recovery = recovery
        .map(|hours| not_below_zero("recovery_h", hours))
        .transpose()?;
    match (hours, periods) {
        (Some(hours), []) => {
            let hours = above_zero("duration_h", hours)?;
            Ok((hours, class_of(hours, recovery)))
        }
        (None, []) => Err(absent("duration_h", "a duration, or periods of work")),
        (hours, periods) => {
            if hours.is_some() || recovery.is_some() {
                return Err(DomainError::new(
                    "periods",
                    format!("{} periods", periods.len()),
                    "either periods, or duration_h with recovery_h, not both",
                ));
            }
            let mut minutes = Vec::new();
            for (n, period) in periods.iter().enumerate() {
                let of = |error: DomainError| error.within_part("period", n + 1);
                minutes.push((
                    above_zero("work_min", period.work_min).map_err(of)?,
                    not_below_zero("recovery_min", period.recovery_min).map_err(of)?,
                ));
            }
            let work: f64 = minutes.iter().map(|(work, _)| work).sum();
            Ok((work / 60.0, duration_class(&minutes)))
        }
    }
}

/// Class of a day of (work, recovery after it) in minutes; the last needs no recovery. Where the
/// recovery is too short, work times add and the pause does not count (pp. 13 to 15).
#[must_use]
pub fn duration_class(periods: &[(f64, f64)]) -> Duration {
    let mut class = Duration::Short;
    let mut added = 0.0;
    for (n, (work, recovery)) in periods.iter().enumerate() {
        added += work;
        let last = n + 1 == periods.len();
        let rested = if added <= 60.0 {
            last || *recovery >= added
        } else {
            last || *recovery >= 0.3 * added
        };
        let here = if added <= 60.0 {
            Duration::Short
        } else if added <= 120.0 {
            Duration::Moderate
        } else {
            Duration::Long
        };
        class = class.max(here);
        if rested && here != Duration::Long {
            added = 0.0;
        }
    }
    class
}

fn class_of(hours: f64, recovery: Option<f64>) -> Duration {
    let enough = |share: f64| recovery.is_none_or(|rest| rest >= share * hours);
    if hours <= 1.0 && enough(1.0) {
        Duration::Short
    } else if hours <= 2.0 && enough(0.3) {
        Duration::Moderate
    } else {
        Duration::Long
    }
}

#[derive(Deserialize)]
struct FrequencyRow {
    lifts_per_min: String,
    le1h_v_lt_30in: f64,
    le1h_v_ge_30in: f64,
    le2h_v_lt_30in: f64,
    le2h_v_ge_30in: f64,
    le8h_v_lt_30in: f64,
    le8h_v_ge_30in: f64,
}

static FREQUENCY: LazyLock<Vec<(f64, FrequencyRow)>> = LazyLock::new(|| {
    table::rows(
        "niosh_table5_fm",
        include_str!("../reference/niosh_table5_fm.csv"),
    )
    .unwrap_or_default()
    .into_iter()
    .filter_map(|row: FrequencyRow| Some((row.lifts_per_min.parse().ok()?, row)))
    .collect()
});

/// Frequency multiplier, Table 5: linear between rows, 0 beside a 0 (chosen here: the manual is
/// silent) and above 15 a minute.
#[must_use]
pub fn frequency_multiplier(lifts_per_min: f64, duration: Duration, low: bool) -> f64 {
    let of = |row: &FrequencyRow| match (duration, low) {
        (Duration::Short, true) => row.le1h_v_lt_30in,
        (Duration::Short, false) => row.le1h_v_ge_30in,
        (Duration::Moderate, true) => row.le2h_v_lt_30in,
        (Duration::Moderate, false) => row.le2h_v_ge_30in,
        (Duration::Long, true) => row.le8h_v_lt_30in,
        (Duration::Long, false) => row.le8h_v_ge_30in,
    };
    let f = lifts_per_min.max(0.2);
    let after = FREQUENCY.partition_point(|(at, _)| *at <= f);
    let before = after.checked_sub(1).and_then(|n| FREQUENCY.get(n));
    match (before, FREQUENCY.get(after)) {
        (Some((at, row)), _) if f <= *at => of(row),
        (Some((a, low)), Some((b, high))) => {
            let (low, high) = (of(low), of(high));
            if high > 0.0 {
                low + (high - low) * (f - a) / (b - a)
            } else {
                0.0
            }
        }
        _ => 0.0,
    }
}
