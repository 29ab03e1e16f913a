//! Stored energy, what stays live, and the release of the work.

use super::isolation::touched;
use crate::audit::{Dossier, Found};
use crate::procedure::{Act, LABEL_READ_ON_SITE, Step, required_wait_s};
use crate::units::Decimal;

/// `energy.wait`
pub(in crate::audit) fn wait(dossier: &Dossier) -> Vec<Found> {
    let Some(touch) = touched(dossier, Act::WaitStoredEnergy) else {
        return Vec::new();
    };
    let read = dossier
        .passed()
        .filter_map(|one| one.entry.evidence.number(LABEL_READ_ON_SITE)?.as_whole())
        .max();
    let required = required_wait_s(dossier.frame(), read);
    let mut waits = dossier.doing(Act::WaitStoredEnergy).peekable();
    if waits.peek().is_none() {
        return vec![
            Found::new("wait for stored energy", "not on record")
                .on(touch)
                .limit(format!("{} s ({})", required.seconds, required.from))
                .way_out("ask the crew; the dead test shows at least what was left"),
        ];
    }
    let mut found = Vec::new();
    for one in waits {
        let said = &one.entry.evidence;
        let (Some(start), Some(end)) = (said.time("started_at"), said.time("ended_at")) else {
            found.push(
                Found::new("wait for stored energy", "no start or no end")
                    .on(one)
                    .limit("start and end, as clock times")
                    .way_out("ask when the clock was started"),
            );
            continue;
        };
        let waited = end.seconds_since(start);
        if waited < required.seconds {
            found.push(
                Found::new("wait for stored energy", format!("{waited} s"))
                    .on(one)
                    .limit(format!("{} s ({})", required.seconds, required.from))
                    .way_out("take it up with the crew: the next step was opened too early"),
            );
        }
        let opened = dossier
            .doing(Act::Isolate)
            .filter(|isolated| isolated.seq <= one.seq)
            .flat_map(|isolated| isolated.entry.evidence.rows("devices"))
            .filter_map(|row| row.time("opened_at"))
            .max();
        if let Some(opened) = opened.filter(|opened| start < *opened) {
            found.push(
                Found::new(
                    "wait for stored energy",
                    format!("began {} before the last device opened", start.wall_clock()),
                )
                .on(one)
                .limit(format!("not before {}", opened.wall_clock()))
                .way_out("the clock starts again whenever something is closed"),
            );
        }
    }
    found
}

/// `remains.listed`
pub(in crate::audit) fn remains(dossier: &Dossier) -> Vec<Found> {
    let Some(touch) = touched(dossier, Act::CoverLive) else {
        return Vec::new();
    };
    let mut lists = dossier.doing(Act::CoverLive).peekable();
    if lists.peek().is_none() {
        return vec![
            Found::new("what stays live", "no list")
                .on(touch)
                .limit("each part that stays live, with its voltage and its cover")
                .way_out("\"isolated\" without the battery is wrong: its poles stay live"),
        ];
    }
    let mut found = Vec::new();
    for one in lists {
        let rows = one.entry.evidence.rows("live_remains");
        if !rows
            .iter()
            .any(|row| row.yes_no("is_battery") == Some(true))
        {
            found.push(
                Found::new("what stays live", "the battery is not on the list")
                    .on(one)
                    .limit("the poles of the battery are always on it")
                    .way_out("take it up with the crew: the poles were live all day"),
            );
        }
        let bare = rows.iter().filter(|row| row.text("cover").is_none());
        found.extend(bare.map(|row| {
            Found::new(row.text("what").unwrap_or("a live part"), "no cover named")
                .on(one)
                .limit("each live part with its cover")
                .way_out("ask how it was covered")
        }));
    }
    found
}

/// `release.written`
pub(in crate::audit) fn release(dossier: &Dossier) -> Vec<Found> {
    let Some(touch) = touched(dossier, Act::ReleaseWork) else {
        return Vec::new();
    };
    if !dossier
        .doing(Act::ReleaseWork)
        .any(|one| one.seq < touch.seq)
    {
        return vec![
            Found::new("release of the work", "none before work began")
                .on(touch)
                .limit("a written release by the person in charge, before anything is touched")
                .way_out("ask who released the work"),
        ];
    }
    dossier
        .doing(Act::ReleaseWork)
        .filter_map(|one| {
            let missing: Vec<&str> = ["release_number", "scope"]
                .into_iter()
                .filter(|name| one.entry.evidence.text(name).is_none())
                .collect();
            (!missing.is_empty()).then(|| {
                Found::new(
                    "release of the work",
                    format!("without {}", missing.join(" and ")),
                )
                .on(one)
                .limit("number and scope in words")
                .way_out("find the written release")
            })
        })
        .collect()
}

/// `release.other_person`
pub(in crate::audit) fn other_person(dossier: &Dossier) -> Vec<Found> {
    if dossier.frame().installation.one_household_circuit {
        return Vec::new();
    }
    dossier
        .doing(Act::ReleaseWork)
        .filter(|one| {
            dossier
                .doing(Act::TestDead)
                .any(|test| test.seq < one.seq && test.entry.by == one.entry.by)
        })
        .map(|one| {
            Found::new("release of the work", "by the person who tested")
                .on(one)
                .limit("another person than the tester, unless one household circuit is all")
                .way_out("two people look at what one person may have missed")
        })
        .collect()
}

/// `release.live_links`
pub(in crate::audit) fn live_links(dossier: &Dossier) -> Vec<Found> {
    let limit = dossier.frame().setting("live_work_release_v");
    let highest = dossier.frame().installation.max_voltage_v.decimal();
    let split = dossier.doing(Act::Split).next();
    let (Some(split), true) = (split, highest > limit) else {
        return Vec::new();
    };
    let named = dossier
        .doing(Act::ReleaseWork)
        .any(|one| one.seq < split.seq && one.entry.evidence.text("live_work_release").is_some());
    if named {
        return Vec::new();
    }
    vec![
        Found::new(
            "live-work release for the links",
            format!("none; the battery has up to {highest} V dc"),
        )
        .on(split)
        .limit(format!(
            "above {limit} V dc every link parted live is named in a release"
        ))
        .way_out("ask who allowed it"),
    ]
}

/// `release.in_force`
pub(in crate::audit) fn in_force(dossier: &Dossier) -> Vec<Found> {
    let touching = dossier
        .passed()
        .filter(|one| dossier.step_of(one).is_some_and(Step::is_touching));
    let late = touching.filter(|one| {
        let release = dossier
            .doing(Act::ReleaseWork)
            .rfind(|release| release.seq < one.seq);
        release
            .and_then(|release| release.entry.evidence.time("expires_at"))
            .is_some_and(|expires| one.entry.at > expires)
    });
    let mut late = late.peekable();
    let Some(first) = late.peek().copied() else {
        return Vec::new();
    };
    vec![
        Found::new(
            "work after the release had run out",
            format!(
                "{} entries, the first {}",
                late.count(),
                first.entry.at.wall_clock()
            ),
        )
        .on(first)
        .limit("released for the shift, and within it")
        .way_out("ask why no new release was written"),
    ]
}

/// `count.modules`
pub(in crate::audit) fn count(dossier: &Dossier) -> Vec<Found> {
    let frame = dossier.frame();
    let modules = frame.modules.len();
    let left = (0..modules)
        .filter(|module| dossier.job.progress().left_behind(*module).is_some())
        .count();
    let removed = (0..modules)
        .filter(|module| dossier.job.progress().is_lifted(frame, *module))
        .count();
    let Some(count) = dossier.doing(Act::Count).last() else {
        return match dossier.released() {
            None => Vec::new(),
            Some(released) => vec![
                Found::new("count of modules", "none before the hand-over")
                    .on(released)
                    .limit("planned = removed + left behind")
                    .way_out("count again from the entries, with the receiver"),
            ],
        };
    };
    let said = |name: &str| {
        count
            .entry
            .evidence
            .number(name)
            .and_then(Decimal::as_whole)
            .and_then(|n| usize::try_from(n).ok())
    };
    let counted = (said("planned"), said("removed"), said("left"));
    if counted == (Some(modules), Some(removed), Some(left)) && modules == removed + left {
        return Vec::new();
    }
    let shown = |n: Option<usize>| n.map_or("?".to_owned(), |n| n.to_string());
    vec![
        Found::new(
            "planned, removed, left behind",
            format!(
                "counted {} = {} + {}; the entries give {modules} = {removed} + {left}",
                shown(counted.0),
                shown(counted.1),
                shown(counted.2)
            ),
        )
        .on(count)
        .limit("the same numbers, and planned = removed + left behind")
        .way_out("find the module that is in one list only"),
    ]
}
