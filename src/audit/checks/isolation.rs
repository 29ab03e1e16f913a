//! Isolation, locks and tags: every source a device, every device open, locked and tagged, in order,
//! and as many locks off as on. A second opinion that shares no code with the gate.

use std::collections::{BTreeMap, BTreeSet};

use crate::audit::{Dossier, Found, Recorded};
use crate::clock::Moment;
use crate::procedure::{Act, Evidence, Kind};

/// Whether the record got as far as touching anything; before that nothing is owed.
pub(super) fn touched(dossier: &Dossier, act: Act) -> Option<&Recorded> {
    dossier.frame().steps_doing(act).next()?;
    dossier.first_touch()
}

/// Devices of the plan's sources, and of the sources found on site.
fn devices(dossier: &Dossier) -> BTreeSet<String> {
    let planned = dossier
        .frame()
        .installation
        .sources
        .iter()
        .map(|source| source.isolating_device.clone());
    let found = dossier
        .doing(Act::FindSources)
        .flat_map(|one| one.entry.evidence.rows("sources"))
        .filter(|row| row.yes_no("present") == Some(true))
        .filter_map(|row| row.text("device").map(str::to_owned));
    planned.chain(found).collect()
}

fn rows<'a>(dossier: &'a Dossier, act: Act, name: &'a str) -> Vec<(&'a Recorded, &'a Evidence)> {
    dossier
        .doing(act)
        .flat_map(|one| {
            one.entry
                .evidence
                .rows(name)
                .into_iter()
                .map(move |row| (one, row))
        })
        .collect()
}

/// `isolation.sources`
pub(in crate::audit) fn sources(dossier: &Dossier) -> Vec<Found> {
    let Some(touch) = touched(dossier, Act::FindSources) else {
        return Vec::new();
    };
    let rows = rows(dossier, Act::FindSources, "sources");
    let Some((found_in, _)) = rows.first() else {
        return vec![
            Found::new("sources that can feed the work area", "none named")
                .on(touch)
                .limit("every source named, with the device that separates it")
                .way_out("ask the crew what they isolated; the record does not show it"),
        ];
    };
    let named = |device: &str| {
        rows.iter().any(|(_, row)| {
            row.yes_no("present") == Some(true) && row.text("device") == Some(device)
        })
    };
    let missing = dossier
        .frame()
        .installation
        .sources
        .iter()
        .filter(|source| !named(&source.isolating_device))
        .map(|source| {
            Found::new(
                format!("source {}", source.id),
                format!(
                    "its device {} is not in the answer",
                    source.isolating_device
                ),
            )
            .on(found_in)
        });
    let without = rows
        .iter()
        .filter(|(_, row)| row.yes_no("present") == Some(true) && row.text("device").is_none())
        .map(|(one, row)| {
            Found::new(
                format!("source {}", row.text("kind").unwrap_or("?")),
                "no device that separates it",
            )
            .on(one)
        });
    missing
        .chain(without)
        .map(|found| {
            found
                .limit("every source of the plan and of the site, each with its device")
                .way_out("find out how it was isolated, and enter it late with the reason")
        })
        .collect()
}

/// `isolation.opened`
pub(in crate::audit) fn opened(dossier: &Dossier) -> Vec<Found> {
    let Some(touch) = touched(dossier, Act::Isolate) else {
        return Vec::new();
    };
    let rows = rows(dossier, Act::Isolate, "devices");
    devices(dossier)
        .into_iter()
        .filter_map(|device| {
            let row = rows
                .iter()
                .find(|(_, row)| row.text("device") == Some(device.as_str()));
            let (found, on) = match row {
                None => ("not in the record", touch),
                Some((one, row)) if row.text("position").is_none() => ("no position", *one),
                Some((one, row)) if row.time("opened_at").is_none() => ("no time", *one),
                Some(_) => return None,
            };
            Some(
                Found::new(format!("opening of {device}"), found)
                    .on(on)
                    .limit("position and time of every device")
                    .way_out("ask who opened it and when; a late entry keeps the gap visible"),
            )
        })
        .collect()
}

/// `isolation.locked`
pub(in crate::audit) fn locked(dossier: &Dossier) -> Vec<Found> {
    let Some(touch) = touched(dossier, Act::Lock) else {
        return Vec::new();
    };
    let rows = rows(dossier, Act::Lock, "locks");
    let devices = devices(dossier);
    let mut found = Vec::new();
    for device in &devices {
        let row = rows
            .iter()
            .rfind(|(_, row)| row.text("device") == Some(device.as_str()));
        let Some((one, row)) = row else {
            found.push(Found::new(format!("lock on {device}"), "no lock and no tag").on(touch));
            continue;
        };
        let lockable = dossier
            .frame()
            .installation
            .isolating_device(device)
            .is_some_and(|one| one.lockable);
        let (lock, tag) = (row.text("lock_number"), row.text("tag_number"));
        let extra = row.text("extra_measure");
        let what = match (lock, tag) {
            (None, None) => Some("neither lock nor tag"),
            (None, Some(_)) if lockable => Some("tag without lock on a device that takes one"),
            (None, Some(_)) if extra.is_none() => Some("tag only, without an extra measure"),
            (Some(_), None) if devices.len() > 1 => Some("lock without tag"),
            _ if row.text("holder").is_none() => Some("no holder"),
            _ if row.time("fitted_at").is_none() => Some("no time"),
            _ => None,
        };
        if let Some(what) = what {
            found.push(Found::new(format!("lock on {device}"), what).on(one));
        }
    }
    found
        .into_iter()
        .map(|found| {
            found
                .limit("lock and tag, holder and time; where no lock goes on, one extra measure")
                .way_out("corrective action with the crew; the record alone cannot be put right")
        })
        .collect()
}

/// `isolation.own_lock`
pub(in crate::audit) fn own_lock(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    for one in dossier.doing(Act::Lock) {
        let mut seen: BTreeMap<&str, &str> = BTreeMap::new();
        for row in one.entry.evidence.rows("locks") {
            let (Some(lock), Some(device)) = (row.text("lock_number"), row.text("device")) else {
                continue;
            };
            if let Some(other) = seen.insert(lock, device) {
                found.push(
                    Found::new(
                        format!("lock {lock}"),
                        format!("on {other} and on {device}"),
                    )
                    .on(one)
                    .limit("one lock, one device, one holder")
                    .way_out("ask which of the two devices was locked"),
                );
            }
        }
    }
    found
}

/// `isolation.break_seen`
pub(in crate::audit) fn break_seen(dossier: &Dossier) -> Vec<Found> {
    if touched(dossier, Act::SeeBreak).is_none() {
        return Vec::new();
    }
    let locks = rows(dossier, Act::Lock, "locks");
    rows(dossier, Act::SeeBreak, "breaks")
        .into_iter()
        .filter(|(_, row)| row.yes_no("seen") != Some(true))
        .filter_map(|(one, row)| {
            let device = row.text("device")?;
            let extra = locks.iter().any(|(_, lock)| {
                lock.text("device") == Some(device) && lock.text("extra_measure").is_some()
            });
            (!extra).then(|| {
                Found::new(
                    format!("break of {device}"),
                    "not seen, and no extra measure",
                )
                .on(one)
                .limit("a break that cannot be seen gets one extra isolating measure")
                .way_out("ask what else separated it")
            })
        })
        .collect()
}

/// `isolation.order`
pub(in crate::audit) fn order(dossier: &Dossier) -> Vec<Found> {
    let mut opened: BTreeMap<&str, Moment> = BTreeMap::new();
    for (_, row) in rows(dossier, Act::Isolate, "devices") {
        if let (Some(device), Some(at)) = (row.text("device"), row.time("opened_at")) {
            opened.entry(device).or_insert(at);
        }
    }
    let mut found = Vec::new();
    for (one, row) in rows(dossier, Act::Lock, "locks") {
        let (Some(device), Some(fitted)) = (row.text("device"), row.time("fitted_at")) else {
            continue;
        };
        if opened.get(device).is_some_and(|opened| fitted < *opened) {
            found.push(
                Found::new(
                    format!("lock on {device}"),
                    format!("fitted {} before it was opened", fitted.wall_clock()),
                )
                .on(one),
            );
        }
        let tried = dossier
            .doing(Act::TryStart)
            .find(|tried| tried.seq > one.seq);
        if let Some(tried) = tried
            && tried.entry.at < fitted
        {
            found.push(
                Found::new(
                    format!("try-start {}", tried.entry.at.wall_clock()),
                    format!("before {device} was locked {}", fitted.wall_clock()),
                )
                .on(tried),
            );
        }
    }
    found
        .into_iter()
        .map(|found| {
            found
                .limit("opened, then locked, then tried")
                .way_out("ask the crew for the true times; none is edited")
        })
        .collect()
}

/// `isolation.locks_off`
pub(in crate::audit) fn locks_off(dossier: &Dossier) -> Vec<Found> {
    let on: BTreeMap<&str, &str> = rows(dossier, Act::Lock, "locks")
        .into_iter()
        .filter_map(|(_, row)| Some((row.text("lock_number")?, row.text("holder").unwrap_or(""))))
        .collect();
    let Some(end) = dossier.doing(Act::RemoveLocks).last() else {
        return match dossier.released() {
            Some(released) if !on.is_empty() => vec![
                Found::new("locks", format!("{} on, none taken off", on.len()))
                    .on(released)
                    .limit("locks put on = locks taken off")
                    .way_out("find the locks and their holders"),
            ],
            _ => Vec::new(),
        };
    };
    let off: BTreeMap<&str, &Evidence> = dossier
        .doing(Act::RemoveLocks)
        .flat_map(|one| one.entry.evidence.rows("locks"))
        .filter_map(|row| Some((row.text("lock_number")?, row)))
        .collect();
    let mut found = Vec::new();
    for (lock, holder) in &on {
        let Some(row) = off.get(lock) else {
            if changed_over(dossier, lock, holder) {
                continue;
            }
            found.push(
                Found::new(format!("lock {lock} of {holder}"), "not taken off")
                    .on(end)
                    .limit("locks put on = locks taken off")
                    .way_out("find the lock and its holder"),
            );
            continue;
        };
        let by = row.text("removed_by").unwrap_or("nobody named");
        let facts = row.yes_no("holder_not_on_site") == Some(true)
            && row.text("effort_to_tell").is_some()
            && row.text("told_before_resuming").is_some();
        // A lock without a holder is said where it was put on.
        if by != *holder && !holder.is_empty() && !facts {
            found.push(
                Found::new(
                    format!("lock {lock} of {holder}"),
                    format!("taken off by {by}"),
                )
                .on(end)
                .limit("by its holder, or with all three facts of the absent-holder route")
                .way_out("ask the employer for the record of the absent-holder route"),
            );
        } else if row.time("removed_at").is_none() {
            found.push(
                Found::new(format!("lock {lock} of {holder}"), "taken off, no time")
                    .on(end)
                    .limit("the time at which it came off")
                    .way_out("ask the holder"),
            );
        }
    }
    for lock in off.keys().filter(|lock| !on.contains_key(*lock)) {
        found.push(
            Found::new(format!("lock {lock}"), "taken off, but never put on")
                .on(end)
                .limit("locks put on = locks taken off")
                .way_out("ask where it was"),
        );
    }
    found
}

/// Whether the holder took the lock off earlier and said which, as when a shift hands over.
fn changed_over(dossier: &Dossier, lock: &str, holder: &str) -> bool {
    dossier.entries.iter().any(|one| {
        let said = one.entry.reason.as_deref().unwrap_or_default();
        one.entry.kind == Kind::LockRemoved
            && one.entry.by == holder
            && said
                .split(|c: char| !c.is_alphanumeric() && c != '-')
                .any(|word| word == lock)
    })
}
