//! The hold: which readings are due, what each says, and whether release may be asked for.
//!
//! Readings are due 1, 4 and 24 h after the watch began (chosen here; no published interval was
//! found). An event starts the watch again. A clock alone never releases: without the readings
//! nothing is offered, and what is offered still needs two people's signatures. Rules on
//! temperature are those of the trend, in whole seconds and thousandths of a kelvin:
//! T1 1.2 K/h through four readings over an hour or more; T2 1 K within 10 min, or in two
//! successive steps of up to 15 min; T3 60 °C; T4 5 K over the same spot of a twin module; T1 and
//! T2 over ambient; all chosen here. A cold
//! module that warms up to the air is no event: a rise counts from the air upwards.

use super::hold_events::{events, loss};
use super::triage::triage;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::units::Decimal;

/// Hours after which a reading is due.
const DUE_HOURS: [i64; 3] = [1, 4, 24];
/// A reading counts this much before it is due.
const EARLY_S: i64 = 10 * 60;
const HOUR_S: i64 = 3600;
/// No owner may hold for less: advice of vehicle makers, watch for 24 h at least (read).
const LEAST_HOLD_S: i64 = 24 * HOUR_S;
pub(super) const RULE: &str = "rule of the hold (project default, not law)";

/// What was read on a module in the hold at one time. Absent is "not looked at", which is never
/// "not found".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoldReading {
    /// When.
    pub at: Moment,
    /// Warmest marked spot, degrees Celsius.
    pub surface_temperature_c: Option<Decimal>,
    /// Air beside it, out of the sun, degrees Celsius.
    pub ambient_temperature_c: Option<Decimal>,
    /// The same spot of a twin module that is quiet, degrees Celsius.
    pub twin_temperature_c: Option<Decimal>,
    /// Pole to pole, volts.
    pub terminal_voltage_v: Option<Decimal>,
    /// Gas on the meter.
    pub gas: Option<bool>,
    /// Smell.
    pub smell: Option<bool>,
    /// Smoke, vapour, hissing or popping.
    pub smoke: Option<bool>,
}

/// What the rested voltages say, a day or more apart, by the sum for self-discharge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum VoltageTrend {
    /// Below 1 % a day whatever the meter's error.
    NoRuleBroken,
    /// The curve is too flat there, or nobody did the sum: the voltages say nothing.
    NotAssessable,
    /// 1 % a day or more (V1).
    Suspect,
    /// 3 % a day or more (V2).
    Damaged,
}

/// A module in the hold.
#[derive(Debug, Clone)]
pub struct Hold<'a> {
    /// When it was put there.
    pub since: Moment,
    /// As judged last; absent where nobody has.
    pub soundness: Option<Soundness>,
    /// Finding codes.
    pub findings: &'a [&'a str],
    /// Readings, in any order; those before `since` or after the moment asked for do not count.
    pub readings: &'a [HoldReading],
    /// What the voltages say.
    pub voltage: VoltageTrend,
    /// Quiet hours that the site asks for (setting `hold_hours`); fewer than 24 count as 24.
    pub hold_hours: Decimal,
    /// Rise over the air that is an event (setting `damaged_rise_k`), kelvin.
    pub rise_k: Decimal,
}

/// Whether a reading that is due was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DueState {
    /// Not due yet.
    Later,
    /// Due now.
    Due,
    /// Taken, whole and quiet.
    Taken,
}

/// A reading that is due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DueReading {
    /// Hours after the watch began.
    pub hour: i64,
    /// When it is due.
    pub at: Moment,
    /// Whether it was taken.
    pub state: DueState,
}

/// What the hold amounts to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HoldOutcome {
    /// Readings and time are there and no rule was broken: release may be asked for. It is given
    /// by two people's signatures, never by this verdict.
    MayBeOffered,
    /// It stays.
    StaysHeld,
    /// Leave, call; or a specialist decides.
    Escalate,
}

/// The verdict on a hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoldVerdict {
    /// What it amounts to.
    pub outcome: HoldOutcome,
    /// When the watch that counts began: the start of the hold, or the last event, or the reading
    /// from which nothing was missed since.
    pub watch_from: Moment,
    /// The readings of that watch.
    pub due: Vec<DueReading>,
    /// Quiet until when at the earliest; release cannot be asked for before.
    pub not_before: Moment,
    /// Findings that the readings raise.
    pub raised: Vec<&'static str>,
    /// Soundness with them: never better than suspect while it is held.
    pub soundness: Soundness,
    /// Why, and what to do.
    pub reasons: Vec<Reason>,
}

/// Judges the hold at the moment `now`.
#[must_use]
pub fn judge_hold(hold: &Hold<'_>, now: Moment) -> HoldVerdict {
    let mut readings: Vec<&HoldReading> = hold
        .readings
        .iter()
        .filter(|one| hold.since <= one.at && one.at <= now)
        .collect();
    readings.sort_by_key(|one| one.at);
    let before = triage(hold.soundness, hold.findings);
    let mut events = events(&readings, hold, before.soundness);
    match hold.voltage {
        VoltageTrend::Suspect => events.push(loss(now, "F23", "1 % a day or more")),
        VoltageTrend::Damaged => events.push(loss(now, "F24", "3 % a day or more")),
        VoltageTrend::NoRuleBroken | VoltageTrend::NotAssessable => {}
    }
    let last_event = events.iter().map(|event| event.at).max();
    let from = last_event.map_or(hold.since, |at| at.max(hold.since));
    let watch_from = start_of_watch(&readings, from, now);
    let due = due(&readings, watch_from, now);

    let mut raised: Vec<&'static str> = events.iter().map(|event| event.finding).collect();
    raised.sort_unstable();
    raised.dedup();
    let mut codes = hold.findings.to_vec();
    codes.extend(&raised);
    let soundness = triage(hold.soundness, &codes)
        .soundness
        .max(Soundness::Suspect);

    // The clock of the site runs from the last event, whatever reading the watch began with.
    let held_s = hold
        .hold_hours
        .thousandths()
        .map_or(i64::MAX, |h| h.saturating_mul(36) / 10)
        .max(LEAST_HOLD_S);
    let not_before = from
        .later(held_s)
        .max(watch_from.later(LEAST_HOLD_S - EARLY_S));

    let mut reasons: Vec<Reason> = Vec::new();
    let acute = events.iter().any(|event| event.acute);
    reasons.extend(events.into_iter().map(|event| event.reason));
    if soundness == Soundness::Critical {
        reasons.push(
            Reason::new("soundness", soundness.word())
                .limit("not liable to react")
                .clause("ADR 2025, SP 376, P911 (read in an unofficial translation)")
                .way_out(
                    "a specialist and the competent authority decide; nothing here releases it",
                ),
        );
    }
    reasons.extend(still_open(hold, &readings, &due, not_before, now));
    let outcome = if acute || soundness == Soundness::Critical {
        HoldOutcome::Escalate
    } else if reasons.is_empty() {
        HoldOutcome::MayBeOffered
    } else {
        HoldOutcome::StaysHeld
    };
    if outcome == HoldOutcome::MayBeOffered {
        reasons.push(
            Reason::new("readings and time", "no rule broken")
                .limit("two people sign; a clock or a reading alone never releases")
                .clause(RULE)
                .way_out(format!(
                    "two named people look again and sign; it leaves as {soundness}"
                )),
        );
        if hold.voltage == VoltageTrend::NotAssessable {
            reasons.push(
                Reason::new("loss of charge", "not assessable from the voltages")
                    .limit("a slope above 2 mV for each per cent")
                    .clause(RULE)
                    .way_out("compare cell with cell before signing"),
            );
        }
    }
    HoldVerdict {
        outcome,
        watch_from,
        due,
        not_before,
        raised,
        soundness,
        reasons,
    }
}

/// What is missing before release may be asked for.
fn still_open(
    hold: &Hold<'_>,
    readings: &[&HoldReading],
    due: &[DueReading],
    not_before: Moment,
    now: Moment,
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    for one in due.iter().filter(|one| one.state != DueState::Taken) {
        reasons.push(
            Reason::new(
                format!("reading at {} h", one.hour),
                match one.state {
                    DueState::Due => "due now".to_owned(),
                    _ => format!("due {}", one.at),
                },
            )
            .limit("surface, air, gas, smell and smoke looked at, each time")
            .clause(RULE)
            .way_out("take it, out of the sun, at the marked spot, with the same instrument"),
        );
    }
    if now < not_before {
        reasons.push(
            Reason::new("quiet hours", format!("until {not_before}"))
                .limit(format!("{} h without an event, 24 h at the least", hold.hold_hours))
                .clause("setting hold_hours; delays of hours to weeks were seen (crash tests of 2011, second-hand)")
                .way_out("keep it apart and watched"),
        );
    } else if !readings
        .iter()
        .any(|one| whole(one) && one.at.later(EARLY_S) >= not_before)
    {
        reasons.push(
            Reason::new("last reading", "none at the end of the quiet hours")
                .limit(format!("a whole one from {not_before} on"))
                .clause(RULE)
                .way_out("look again before anybody signs"),
        );
    }
    if readings
        .iter()
        .filter(|one| one.terminal_voltage_v.is_some())
        .count()
        < 2
    {
        reasons.push(
            Reason::new("voltage at the poles", "not read twice")
                .limit("at the first reading and at the last")
                .clause(RULE)
                .way_out("read it; where nothing can be read, enter F21: it is then undiagnosed"),
        );
    }
    reasons
}

/// Whether a reading looked at everything that a due one asks for.
fn whole(one: &HoldReading) -> bool {
    one.surface_temperature_c.is_some()
        && one.ambient_temperature_c.is_some()
        && one.gas.is_some()
        && one.smell.is_some()
        && one.smoke.is_some()
}

/// The first moment from which every reading due so far was taken: `from`, or else a reading.
fn start_of_watch(readings: &[&HoldReading], from: Moment, now: Moment) -> Moment {
    let missed = |start: Moment| {
        due(readings, start, now)
            .iter()
            .zip(
                DUE_HOURS
                    .iter()
                    .skip(1)
                    .map(|h| h * HOUR_S)
                    .chain([i64::MAX]),
            )
            // Missed for good once the next one is due.
            .any(|(one, next)| {
                one.state == DueState::Due && now.seconds_since(start) >= next - EARLY_S
            })
    };
    if !missed(from) {
        return from;
    }
    readings
        .iter()
        .filter(|one| one.at > from && whole(one))
        .map(|one| one.at)
        .find(|start| !missed(*start))
        .unwrap_or(now)
}

fn due(readings: &[&HoldReading], start: Moment, now: Moment) -> Vec<DueReading> {
    let ends = DUE_HOURS.iter().skip(1).copied().chain([i64::MAX / HOUR_S]);
    DUE_HOURS
        .iter()
        .zip(ends)
        .map(|(&hour, next)| {
            let taken = readings.iter().any(|one| {
                let after = one.at.seconds_since(start);
                whole(one)
                    && after >= hour * HOUR_S - EARLY_S
                    && after < next.saturating_mul(HOUR_S) - EARLY_S
            });
            DueReading {
                hour,
                at: start.later(hour * HOUR_S),
                state: if taken {
                    DueState::Taken
                } else if now.seconds_since(start) >= hour * HOUR_S - EARLY_S {
                    DueState::Due
                } else {
                    DueState::Later
                },
            }
        })
        .collect()
}
