//! Whether a module warms by itself: the slope of its surface over ambient through four readings.
//!
//! T1 1.2 K or more in 60 min (0.02 K/min, the calorimetry threshold, from memory) by the slope through
//! any four or more readings in a row that span an hour, so that calm hours do not hide a late rise:
//! suspect. T2 1 K or more within 10 min, or in two successive steps of up to 15 min: likely to
//! react, leave. T3 60 °C or more: likely to react. T4 5 K over the same spot of a twin: suspect.
//! F06 45 °C or more: suspect, read again after an hour in the shade.
//! All chosen here for use in the field. Not covered: sun, a load or a charger; a module that was
//! under load is read from 2 h after on.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, not_below_zero, round, within};
use crate::units::Decimal;

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TemperatureReading {
    /// Minutes since the first.
    pub minute: f64,
    /// Surface, degrees Celsius.
    pub surface_c: f64,
    /// Ambient beside it, degrees Celsius.
    pub ambient_c: f64,
    /// The same spot of a twin module, degrees Celsius.
    #[serde(default)]
    pub twin_c: Option<f64>,
}

/// Readings at one marked spot with one instrument.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TrendInput {
    /// In order of time; four over an hour let the slope be judged.
    pub readings: Vec<TemperatureReading>,
    /// Hours since a load or charger was taken off; absent where there was none.
    #[serde(default)]
    pub load_off_h: Option<f64>,
}

/// What the trend amounts to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TrendOutcome {
    /// Judged over an hour and no rule broken.
    NoRuleBroken,
    /// Too few readings to say.
    NotAssessable,
    /// T1, T4 or F06.
    Suspect,
    /// T2 or T3: leave.
    LikelyToReact,
}

/// The trend.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TrendAnswer {
    /// Least-squares slope of surface less ambient, kelvin a minute; absent below two readings.
    pub slope_k_per_min: Option<f64>,
    /// Steepest slope through four or more readings in a row over an hour or more; absent where there
    /// are none.
    pub steepest_k_per_min: Option<f64>,
    /// Rules broken, and finding F06.
    pub rules: Vec<&'static str>,
    /// What it amounts to.
    pub outcome: TrendOutcome,
    /// What to do, and why it cannot be judged.
    pub reasons: Vec<String>,
}

/// One look of a watch, with the digits of the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WatchLook {
    /// Minutes since the move.
    pub minutes: Decimal,
    /// Surface, degrees Celsius.
    pub surface_c: Decimal,
    /// Air, degrees Celsius.
    pub ambient_c: Decimal,
    /// The same spot of a twin module, degrees Celsius.
    pub twin_c: Option<Decimal>,
}

/// The rules that the looks of a watch break, in any order of entry; none without a look.
///
/// # Errors
/// As [`trend`].
pub fn watch_rules(looks: &[WatchLook]) -> Result<Vec<&'static str>, DomainError> {
    let mut looks = looks.to_vec();
    // Of two looks at one minute the warmer counts.
    looks.sort_by_key(|look| (look.minutes, std::cmp::Reverse(look.surface_c)));
    looks.dedup_by_key(|look| look.minutes);
    if looks.is_empty() {
        return Ok(Vec::new());
    }
    let readings = looks
        .iter()
        .map(|look| TemperatureReading {
            minute: look.minutes.to_f64(),
            surface_c: look.surface_c.to_f64(),
            ambient_c: look.ambient_c.to_f64(),
            twin_c: look.twin_c.map(Decimal::to_f64),
        })
        .collect();
    trend(&TrendInput {
        readings,
        load_off_h: None,
    })
    .map(|answer| answer.rules)
}

/// The trend of a surface.
///
/// # Errors
/// No reading, readings out of order, temperatures outside −90 to 1000 °C.
pub fn trend(input: &TrendInput) -> Result<TrendAnswer, DomainError> {
    let mut points: Vec<(f64, f64)> = Vec::new();
    let (mut hottest, mut twin) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for (n, one) in input.readings.iter().enumerate() {
        let of = |error: DomainError| error.within_part("reading", n + 1);
        let celsius = |field: &str, value| within(field, value, -90.0, 1000.0).map_err(of);
        let minute = not_below_zero("minute", one.minute).map_err(of)?;
        let surface = celsius("surface_c", one.surface_c)?;
        let ambient = celsius("ambient_c", one.ambient_c)?;
        if points.last().is_some_and(|(before, _)| *before >= minute) {
            let falls = DomainError::new("minute", minute, "minutes that rise");
            return Err(of(falls));
        }
        if let Some(other) = one.twin_c {
            twin = twin.max(surface - celsius("twin_c", other)?);
        }
        hottest = hottest.max(surface);
        // A cold module that warms to the air is no trend: it counts from the air upwards.
        points.push((minute, (surface - ambient).max(0.0)));
    }
    let Some((first, last)) = points.first().zip(points.last()) else {
        return Err(DomainError::new(
            "readings",
            "empty",
            "at least one reading",
        ));
    };
    let slope = slope(&points);
    let mut reasons = Vec::new();
    let early = match input.load_off_h {
        Some(hours) => not_below_zero("load_off_h", hours)? < 2.0,
        None => false,
    };
    let steepest = steepest(&points);
    let long_enough = steepest.is_some();
    let mut rules = Vec::new();
    // Rounding of 0.1 K steps must not hide a slope that stands at the limit.
    if steepest.is_some_and(|k| k * 60.0 >= 1.2 - 1e-9) {
        rules.push("T1");
    }
    if fast(&points) {
        rules.push("T2");
    }
    if hottest >= 60.0 {
        rules.push("T3");
    }
    if twin >= 5.0 {
        rules.push("T4");
    }
    if (45.0..60.0).contains(&hottest) {
        rules.push("F06");
    }
    let outcome = if rules.iter().any(|rule| matches!(*rule, "T2" | "T3")) {
        reasons.push("leave; likely to react".into());
        TrendOutcome::LikelyToReact
    } else if !rules.is_empty() {
        reasons.push("keep reading; do not move it".into());
        TrendOutcome::Suspect
    } else if !long_enough {
        reasons.push(format!(
            "{} readings over {} min; read at 0, 15, 30 and 60 min",
            points.len(),
            last.0 - first.0
        ));
        TrendOutcome::NotAssessable
    } else if early {
        reasons.push("read again from 2 h after the load was taken off".into());
        TrendOutcome::NotAssessable
    } else {
        TrendOutcome::NoRuleBroken
    };
    Ok(TrendAnswer {
        slope_k_per_min: slope.map(|k| round(k, 4)),
        steepest_k_per_min: steepest.map(|k| round(k, 4)),
        rules,
        outcome,
        reasons,
    })
}

/// 1 K within any 10 min, or in each of two successive steps of up to 15 min.
fn fast(points: &[(f64, f64)]) -> bool {
    let within_ten = points.iter().enumerate().any(|(n, a)| {
        points
            .iter()
            .skip(n + 1)
            .any(|b| b.0 - a.0 <= 10.0 && b.1 - a.1 >= 1.0 - 1e-9)
    });
    let step = |pair: &[(f64, f64)]| matches!(pair, [a, b] if b.0 - a.0 <= 15.0 && b.1 - a.1 >= 1.0 - 1e-9);
    let steps: Vec<bool> = points.windows(2).map(step).collect();
    within_ten || steps.windows(2).any(|two| two.iter().all(|risen| *risen))
}

/// The steepest slope through four or more readings in a row that span an hour or more.
fn steepest(points: &[(f64, f64)]) -> Option<f64> {
    let mut most: Option<f64> = None;
    for (n, first) in points.iter().enumerate() {
        for (m, last) in points.iter().enumerate().skip(n + 3) {
            if last.0 - first.0 >= 60.0 {
                let here = points.get(n..=m).and_then(slope);
                most = [most, here].into_iter().flatten().reduce(f64::max);
            }
        }
    }
    most
}

fn slope(points: &[(f64, f64)]) -> Option<f64> {
    if points.len() < 2 {
        return None;
    }
    let count = points.iter().fold(0.0, |n, _| n + 1.0);
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let over: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    let under: f64 = points.iter().map(|p| (p.0 - x) * (p.0 - x)).sum();
    Some(over / under)
}
