//! Was a damaged module watched for as long as the settings ask after it was moved?

use crate::citation::Reason;
use crate::physics::{WatchLook, watch_rules};
use crate::procedure::frame::{Frame, Slot};
use crate::procedure::progress::Progress;
use crate::procedure::{Act, Entry};

/// Why the looks of a `watch` table are not enough; empty where they are, or where there is none.
///
/// One look from each of the four times on, and the last of them no earlier after the move than
/// the clock of the record allows.
pub(super) fn too_short(
    frame: &Frame,
    progress: &Progress,
    slot: Slot,
    entry: &Entry,
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let minutes: Vec<i64> = entry
        .evidence
        .rows("watch")
        .iter()
        .filter_map(|row| row.number("minutes")?.as_whole())
        .collect();
    if minutes.is_empty() {
        return reasons;
    }
    let step = entry.step.as_deref().unwrap_or("watch");
    let [first, second, third, fourth] = [
        "watch_first_min",
        "watch_second_min",
        "watch_third_min",
        "watch_fourth_min",
    ]
    .map(|name| frame.whole_setting(name));
    let times = [
        (first, second),
        (second, third),
        (third, fourth),
        (fourth, i64::MAX),
    ];
    // Two settings at one minute are one look.
    for (from, before) in times.into_iter().filter(|(from, before)| from < before) {
        if !minutes.iter().any(|m| (from..before).contains(m)) {
            reasons.push(
                Reason::new(
                    format!("{step}, watch"),
                    format!("no look from {from} min on"),
                )
                .limit(format!(
                    "looks at {first}, {second}, {third} and {fourth} min after the move"
                ))
                .clause("settings watch_first_min to watch_fourth_min (project default, not law)")
                .way_out("go on watching, then enter all the looks"),
            );
        }
    }
    let moved = progress
        .passed_doing(frame, Act::LiftModule, slot)
        .last()
        .map(|lift| lift.at);
    if let Some(moved) = moved {
        let since = entry.at.seconds_since(moved);
        if let Some(last) = minutes.iter().max().filter(|last| since < **last * 60) {
            reasons.push(
                Reason::new(
                    format!("{step}, watch"),
                    format!(
                        "a look at {last} min, entered {} min after the move",
                        since / 60
                    ),
                )
                .limit("looks are entered after they were made")
                .clause("rule G13 of the procedure")
                .way_out("wait, look, then enter it"),
            );
        }
    }
    reasons
}

/// Findings of a `watch` table by the rules of the trend: T1 and T4 are F04, T2 is F03, T3 is F05; F06
/// is itself.
pub(super) fn warms(entry: &Entry) -> Vec<String> {
    let looks: Option<Vec<WatchLook>> = entry
        .evidence
        .rows("watch")
        .iter()
        .map(|row| {
            Some(WatchLook {
                minutes: row.number("minutes")?,
                surface_c: row.number("face_temperature_c")?,
                ambient_c: row.number("ambient_temperature_c")?,
                twin_c: row.number("twin_temperature_c"),
            })
        })
        .collect();
    // A table that is not whole is said elsewhere.
    let rules = looks
        .and_then(|looks| watch_rules(&looks).ok())
        .unwrap_or_default();
    let codes = rules.into_iter().map(|rule| match rule {
        "T2" => "F03",
        "T3" => "F05",
        "F06" => "F06",
        _ => "F04",
    });
    codes.map(str::to_owned).collect()
}
