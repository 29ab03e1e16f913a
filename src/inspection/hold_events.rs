//! What went wrong in a hold: signs that somebody noticed, heat, and how fast it came.

use super::quarantine::{Hold, HoldReading, RULE};
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::units::Decimal;

/// One thing that went wrong in the hold.
pub(super) struct Event {
    pub(super) at: Moment,
    pub(super) finding: &'static str,
    pub(super) reason: Reason,
    /// Leave and call; else it is watched on.
    pub(super) acute: bool,
}

/// Rise over a twin module that is an event, thousandths of a kelvin (T4, chosen here).
const TWIN_MK: i64 = 5_000;

/// A loss of charge that the voltages show.
pub(super) fn loss(at: Moment, finding: &'static str, what: &str) -> Event {
    Event {
        at,
        finding,
        reason: Reason::new("loss of charge", what)
            .limit("below 1 % a day")
            .clause(RULE)
            .way_out("keep it apart; the watch starts again"),
        acute: false,
    }
}

/// Seconds since the first reading, thousandths of a kelvin over ambient, and when.
type Point = (i64, i64, Moment);

/// Every event in `readings`, which are in order of time.
pub(super) fn events(
    readings: &[&HoldReading],
    hold: &Hold<'_>,
    soundness: Soundness,
) -> Vec<Event> {
    let mut events = Vec::new();
    let mut push = |at, finding, what: &str, value: String, limit: &str, acute| {
        events.push(Event {
            at,
            finding,
            reason: Reason::new(what, format!("{value} at {at}"))
                .limit(limit)
                .clause(RULE)
                .way_out(if acute {
                    "leave and keep everybody away, call the fire service; go back only by X05 \
                     and X08"
                } else {
                    "keep it apart and read on; the watch starts again"
                }),
            acute,
        });
    };
    let mut points: Vec<Point> = Vec::new();
    let first = readings.first().map(|one| one.at);
    let most = hold.rise_k.thousandths().unwrap_or(0);
    for one in readings {
        for (seen, finding, what) in [
            (one.smoke, "F01", "smoke, vapour or sound"),
            (one.gas, "F07", "gas on the meter"),
            (one.smell, "F07", "smell"),
        ] {
            if seen == Some(true) {
                push(one.at, finding, what, "yes".into(), "none", true);
            }
        }
        // A figure finer than any thermometer shows is cut, upwards for the surface.
        let surface = one.surface_temperature_c.map(|t| (t, milli(t, 1)));
        if let Some((shown, surface)) = surface {
            if surface >= 60_000 {
                push(
                    one.at,
                    "F05",
                    "surface (T3)",
                    format!("{shown} °C"),
                    "below 60 °C",
                    true,
                );
            } else if surface >= 45_000 {
                push(
                    one.at,
                    "F06",
                    "surface",
                    format!("{shown} °C"),
                    "below 45 °C",
                    false,
                );
            }
        }
        if let (Some((_, surface)), Some(twin)) = (surface, one.twin_temperature_c) {
            let over = surface.saturating_sub(milli(twin, -1));
            if over >= TWIN_MK {
                push(
                    one.at,
                    "F04",
                    "surface over its twin (T4)",
                    format!("{} K", Decimal::from_thousandths(over)),
                    "below 5 K",
                    false,
                );
            }
        }
        if let (Some((_, surface)), Some(ambient), Some(first)) =
            (surface, one.ambient_temperature_c, first)
        {
            let over = surface.saturating_sub(milli(ambient, -1));
            if over > most {
                push(
                    one.at,
                    "F04",
                    "surface over the air",
                    format!("{} K", Decimal::from_thousandths(over)),
                    &format!("{} K", hold.rise_k),
                    soundness.is_damaged_in_law(),
                );
            }
            points.push((one.at.seconds_since(first), over.max(0), one.at));
        }
    }
    for at in fast(&points) {
        push(
            at,
            "F03",
            "temperature (T2)",
            "rises fast".into(),
            "below 1 K in 10 min, or in two steps of 15 min",
            true,
        );
    }
    for at in slow(&points) {
        push(
            at,
            "F04",
            "temperature (T1)",
            "rises".into(),
            "below 1.2 K/h through four readings",
            false,
        );
    }
    events
}

/// Thousandths, away from the careless side where the figure is finer.
fn milli(value: Decimal, careful: i64) -> i64 {
    value.thousandths().unwrap_or_else(|| {
        let (mut low, mut high) = (-1_000_000_000_i64, 1_000_000_000_i64);
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if Decimal::from_thousandths(middle) <= value {
                low = middle;
            } else {
                high = middle;
            }
        }
        if careful > 0 { high } else { low }
    })
}

/// T2: where 1 K was gained within 10 min, or in two successive steps of up to 15 min.
fn fast(points: &[Point]) -> Vec<Moment> {
    let mut at = Vec::new();
    for (n, later) in points.iter().enumerate() {
        let quick = points
            .iter()
            .take(n)
            .any(|a| later.0 - a.0 <= 600 && later.1 - a.1 >= 1_000);
        let step =
            |pair: &[Point]| matches!(pair, [a, b] if b.0 - a.0 <= 900 && b.1 - a.1 >= 1_000);
        let twice = n >= 2
            && points
                .get(n - 2..=n)
                .is_some_and(|three| three.windows(2).all(step));
        if quick || twice {
            at.push(later.2);
        }
    }
    at
}

/// T1: least-squares slope of four successive readings over 60 min or more, 1.2 K/h or above.
fn slow(points: &[Point]) -> Vec<Moment> {
    points
        .windows(4)
        .filter_map(|four| {
            let (first, last) = (four.first()?, four.last()?);
            let sum = |of: fn(&Point) -> i128| four.iter().map(of).sum::<i128>();
            let x = sum(|p| p.0.into());
            let y = sum(|p| p.1.into());
            let xy = sum(|p| i128::from(p.0) * i128::from(p.1));
            let xx = sum(|p| i128::from(p.0) * i128::from(p.0));
            // slope = over/under in mK/s; 1.2 K/h = 1200/3600 mK/s.
            let (over, under) = (4 * xy - x * y, 4 * xx - x * x);
            (last.0 - first.0 >= 3_600 && under > 0 && over * 3 >= under).then_some(last.2)
        })
        .collect()
}
