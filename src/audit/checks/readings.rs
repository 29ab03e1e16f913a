//! Readings that look written rather than measured: one minute for all, one value for all, round.

use std::collections::BTreeMap;

use crate::audit::{Dossier, Found, Recorded};
use crate::procedure::{Act, Step};
use crate::units::Decimal;

/// How many readings it takes before likeness is a question. A setting of this project.
const ENOUGH: usize = 4;
/// Readings that differ from module to module when they are measured.
const MEASURED: [&str; 3] = [
    "terminal_voltage_v",
    "positive_to_case_v",
    "negative_to_case_v",
];

/// `readings.same_minute`
pub(in crate::audit) fn same_minute(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    for (act, table, name, enough) in [
        (Act::Isolate, "devices", "opened_at", 3),
        (Act::Lock, "locks", "fitted_at", 3),
        (Act::RemoveLocks, "locks", "removed_at", 3),
    ] {
        let mut rows: Vec<(&Recorded, String)> = Vec::new();
        for one in dossier.doing(act) {
            for row in one.entry.evidence.rows(table) {
                if let Some(at) = row.time(name) {
                    rows.push((one, format!("{} {}", at.local_day(), at.wall_clock())));
                }
            }
        }
        let all_one = rows.windows(2).all(|pair| match pair {
            [a, b] => a.1 == b.1,
            _ => true,
        });
        if let Some((one, minute)) = rows.first()
            && rows.len() >= enough
            && all_one
        {
            found.push(
                Found::new(
                    format!("times of {} {table}", rows.len()),
                    format!("all {minute}"),
                )
                .on(one)
                .limit("the time of each, as it was done")
                .way_out("ask how they were written down; the order cannot be seen from them"),
            );
        }
    }
    found.extend(entries_in_one_minute(dossier));
    found
}

/// Many steps of one person written in the same minute.
fn entries_in_one_minute(dossier: &Dossier) -> Vec<Found> {
    const MANY: usize = 6;
    let mut by_minute: BTreeMap<String, Vec<&Recorded>> = BTreeMap::new();
    // Desk work is ticked off in a row; what touches is not.
    let touching = dossier
        .passed()
        .filter(|one| dossier.step_of(one).is_some_and(Step::is_touching));
    for one in touching {
        let at = one.entry.at;
        by_minute
            .entry(format!("{} {}", at.local_day(), at.wall_clock()))
            .or_default()
            .push(one);
    }
    by_minute
        .into_iter()
        .filter(|(_, entries)| entries.len() >= MANY)
        .filter_map(|(minute, entries)| {
            let first = entries.first()?;
            Some(
                Found::new(
                    "steps that touch live parts",
                    format!("{} of them written at {minute}", entries.len()),
                )
                .on(first)
                .limit("written as they are done")
                .way_out("ask how long the work took, and who wrote it down"),
            )
        })
        .collect()
}

/// Every reading of that name, a module each, in order.
fn readings<'a>(dossier: &'a Dossier, name: &str) -> Vec<(&'a Recorded, Decimal)> {
    dossier
        .passed()
        .filter(|one| one.slot.is_some())
        .filter_map(|one| Some((one, one.entry.evidence.number(name)?)))
        .collect()
}

/// `readings.repeated`
pub(in crate::audit) fn repeated(dossier: &Dossier) -> Vec<Found> {
    MEASURED
        .iter()
        .filter_map(|name| {
            let all = readings(dossier, name);
            let (one, first) = all.first()?;
            let same = all.iter().all(|(_, value)| value == first);
            let zero = *first == Decimal::whole(0);
            (all.len() >= ENOUGH && same && !zero).then(|| {
                Found::new(
                    format!("{} of {} modules", name.replace('_', " "), all.len()),
                    format!("{first} on every one"),
                )
                .on(one)
                .limit("readings of different modules differ in the last digit")
                .way_out("meter a sample again, if the modules are still there")
            })
        })
        .collect()
}

/// `readings.round`
pub(in crate::audit) fn round(dossier: &Dossier) -> Vec<Found> {
    let all = readings(dossier, "terminal_voltage_v");
    let whole = all.iter().all(|(_, value)| value.as_whole().is_some());
    let differ = all.windows(2).any(|pair| match pair {
        [a, b] => a.1 != b.1,
        _ => false,
    });
    match all.first() {
        Some((one, _)) if all.len() >= ENOUGH && whole && differ => vec![
            Found::new(
                format!("terminal voltage of {} modules", all.len()),
                "whole volts on every one",
            )
            .on(one)
            .limit("the digits that the meter shows")
            .way_out("ask whether they were read from a meter or from the plate"),
        ],
        _ => Vec::new(),
    }
}
