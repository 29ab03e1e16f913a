//! The hold of a damaged module: which readings are due, what releases and what never does.

use packdown::battery::Soundness;
use packdown::clock::Moment;
use packdown::inspection::{DueState, Hold, HoldOutcome, HoldReading, VoltageTrend, judge_hold};
use packdown::units::Decimal;

fn at(text: &str) -> Moment {
    format!("2026-11-{text}:00+01:00").parse().unwrap()
}

fn quiet(when: &str, surface: &str) -> HoldReading {
    HoldReading {
        at: at(when),
        surface_temperature_c: surface.parse().ok(),
        ambient_temperature_c: "14.0".parse().ok(),
        twin_temperature_c: None,
        terminal_voltage_v: "52.40".parse().ok(),
        gas: Some(false),
        smell: Some(false),
        smoke: Some(false),
    }
}

fn hold<'a>(findings: &'a [&'a str], readings: &'a [HoldReading]) -> Hold<'a> {
    Hold {
        since: at("02T10:00"),
        soundness: Some(Soundness::Damaged),
        findings,
        readings,
        voltage: VoltageTrend::NoRuleBroken,
        hold_hours: Decimal::whole(72),
        rise_k: Decimal::whole(5),
    }
}

fn watched() -> Vec<HoldReading> {
    vec![
        quiet("02T11:00", "15.0"),
        quiet("02T14:05", "14.5"),
        quiet("03T10:00", "14.5"),
        quiet("05T10:00", "14.0"),
    ]
}

#[test]
fn a_clock_alone_never_releases() {
    // Crash tests of 2011 (second-hand): fire after more than three weeks, 7 days, 1 day.
    for now in ["03T10:00", "05T10:01", "30T10:00"] {
        let verdict = judge_hold(&hold(&["F10"], &[]), at(now));
        assert_eq!(verdict.outcome, HoldOutcome::StaysHeld, "{now}");
    }
}

#[test]
fn readings_and_time_together_may_be_offered_and_the_condition_stays() {
    let readings = watched();
    let verdict = judge_hold(&hold(&["F10"], &readings), at("05T10:05"));
    assert_eq!(verdict.outcome, HoldOutcome::MayBeOffered, "{verdict:?}");
    assert_eq!(verdict.soundness, Soundness::Damaged);
    assert!(
        verdict
            .reasons
            .iter()
            .any(|r| r.limit.contains("two people sign"))
    );
    // One minute before the hours are full it is not.
    let early = judge_hold(&hold(&["F10"], &readings), at("05T09:59"));
    assert_eq!(early.outcome, HoldOutcome::StaysHeld);
    // Without a look at the end of the hours it is not.
    let no_last = judge_hold(&hold(&["F10"], &readings[..3]), at("05T10:05"));
    assert_eq!(no_last.outcome, HoldOutcome::StaysHeld);
}

#[test]
fn each_due_reading_is_needed_and_must_look_at_everything() {
    for left_out in [0, 1] {
        let mut readings = watched();
        readings.remove(left_out);
        let verdict = judge_hold(&hold(&["F10"], &readings), at("05T10:05"));
        assert_eq!(
            verdict.outcome,
            HoldOutcome::StaysHeld,
            "without {left_out}"
        );
    }
    let mut readings = watched();
    readings[1].smell = None;
    let verdict = judge_hold(&hold(&["F10"], &readings), at("05T10:05"));
    assert_eq!(verdict.outcome, HoldOutcome::StaysHeld);
}

#[test]
fn what_is_due_is_said() {
    let readings = [quiet("02T11:00", "15.0")];
    let verdict = judge_hold(&hold(&["F10"], &readings), at("02T13:55"));
    let states: Vec<_> = verdict.due.iter().map(|one| one.state).collect();
    assert_eq!(states, [DueState::Taken, DueState::Due, DueState::Later]);
    assert_eq!(verdict.due[1].at, at("02T14:00"));
}

#[test]
fn a_watch_that_missed_a_reading_starts_again_with_the_next_one() {
    // Nothing for five hours, then a full watch from 15:00 on.
    let readings = [
        quiet("02T15:00", "15.0"),
        quiet("02T16:00", "15.0"),
        quiet("02T19:00", "15.0"),
        quiet("03T15:00", "15.0"),
        quiet("05T10:00", "14.0"),
    ];
    let verdict = judge_hold(&hold(&["F10"], &readings), at("05T10:05"));
    assert_eq!(verdict.watch_from, at("02T15:00"));
    assert_eq!(verdict.outcome, HoldOutcome::MayBeOffered, "{verdict:?}");
}

#[test]
fn smoke_gas_smell_heat_and_fast_rises_escalate() {
    let mut smoke = watched();
    smoke[1].smoke = Some(true);
    let mut gas = watched();
    gas[1].gas = Some(true);
    let mut smell = watched();
    smell[2].smell = Some(true);
    let mut hot = watched();
    hot[1].surface_temperature_c = "60.0".parse().ok();
    let fast = vec![quiet("02T11:00", "14.5"), quiet("02T11:10", "15.5")];
    let two_steps = vec![
        quiet("02T11:00", "14.0"),
        quiet("02T11:15", "15.0"),
        quiet("02T11:30", "16.0"),
    ];
    for readings in [smoke, gas, smell, hot, fast, two_steps] {
        let verdict = judge_hold(&hold(&["F13"], &readings), at("05T10:05"));
        assert_eq!(verdict.outcome, HoldOutcome::Escalate, "{readings:?}");
        assert!(!verdict.raised.is_empty());
    }
}

#[test]
fn one_tenth_below_a_rule_is_quiet() {
    let mut warm = watched();
    warm[1].surface_temperature_c = "18.9".parse().ok();
    let slow = vec![quiet("02T11:00", "14.5"), quiet("02T11:11", "15.5")];
    for readings in [warm, slow] {
        let verdict = judge_hold(&hold(&["F13"], &readings), at("03T11:00"));
        assert_eq!(verdict.raised, Vec::<&str>::new(), "{readings:?}");
    }
}

#[test]
fn a_slow_rise_through_four_readings_starts_the_watch_again() {
    // 1.2 K in 60 min: 0.02 K/min, the calorimetry figure (from memory), T1.
    let rise = |step: [&str; 4]| {
        vec![
            quiet("02T11:00", step[0]),
            quiet("02T11:20", step[1]),
            quiet("02T11:40", step[2]),
            quiet("02T12:00", step[3]),
        ]
    };
    let readings = rise(["15.0", "15.4", "15.8", "16.2"]);
    let verdict = judge_hold(&hold(&["F13"], &readings), at("02T12:30"));
    assert_eq!(verdict.raised, ["F04"]);
    assert_eq!(verdict.watch_from, at("02T12:00"));
    assert_eq!(verdict.outcome, HoldOutcome::StaysHeld);
    let below = rise(["15.0", "15.3", "15.7", "16.1"]);
    assert!(
        judge_hold(&hold(&["F13"], &below), at("02T12:30"))
            .raised
            .is_empty()
    );
    // Cold from the van, warming up to the air: no event.
    let cold = rise(["4.0", "7.0", "10.0", "12.0"]);
    assert!(
        judge_hold(&hold(&["F13"], &cold), at("02T12:30"))
            .raised
            .is_empty()
    );
}

#[test]
fn a_critical_module_and_one_that_loses_charge_are_never_offered() {
    let readings = watched();
    let mut critical = hold(&["F15"], &readings);
    critical.soundness = Some(Soundness::Critical);
    assert_eq!(
        judge_hold(&critical, at("05T10:05")).outcome,
        HoldOutcome::Escalate
    );
    let mut losing = hold(&["F10"], &readings);
    losing.voltage = VoltageTrend::Damaged;
    let verdict = judge_hold(&losing, at("05T10:05"));
    assert_eq!(verdict.outcome, HoldOutcome::StaysHeld);
    assert_eq!(verdict.raised, ["F24"]);
}

#[test]
fn a_module_that_is_5_k_over_its_twin_is_watched_again() {
    // T4, chosen for the field, no source.
    for (twin, raised) in [("9.6", vec![]), ("9.5", vec!["F04"])] {
        let mut readings = watched();
        readings[1].twin_temperature_c = twin.parse().ok();
        let verdict = judge_hold(&hold(&["F10"], &readings), at("05T10:05"));
        assert_eq!(verdict.raised, raised, "{twin}");
        if !raised.is_empty() {
            assert_eq!(verdict.outcome, HoldOutcome::StaysHeld);
            assert!(verdict.reasons[0].to_string().contains("T4"), "{verdict:?}");
        }
    }
}

#[test]
fn no_order_of_readings_and_no_more_time_makes_it_worse_or_better() {
    let mut readings = watched();
    let sorted = judge_hold(&hold(&["F10"], &readings), at("05T10:05"));
    readings.reverse();
    assert_eq!(
        judge_hold(&hold(&["F10"], &readings), at("05T10:05")),
        sorted
    );
    // An owner who enters fewer than 24 h gets 24.
    let mut short = hold(&["F10"], &readings);
    short.hold_hours = Decimal::whole(1);
    assert_eq!(
        judge_hold(&short, at("03T09:00")).outcome,
        HoldOutcome::StaysHeld
    );
}
