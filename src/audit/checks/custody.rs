//! Custody: who gave what to whom, where and when, with what seals; the same serials at both ends.

use std::collections::{BTreeMap, BTreeSet};

use crate::audit::{Dossier, Exchange, Found, Side};
use crate::procedure::Act;

/// Hours between giving and taking above which an auditor asks where the goods were. A setting of
/// this project, not law.
const LONGEST_WAY_H: i64 = 72;

fn on(exchange: &Exchange, what: impl Into<String>, found: impl Into<String>) -> Found {
    let mut one = Found::new(what, found).at_seq(exchange.seq);
    one.at = Some(exchange.at.to_string());
    one
}

/// `custody.signed`
pub(in crate::audit) fn signed(dossier: &Dossier) -> Vec<Found> {
    dossier
        .exchanges
        .iter()
        .filter(|one| one.side == Side::Gave)
        .filter_map(|one| {
            let missing: Vec<&str> = [
                (one.from.is_empty(), "who gave"),
                (one.to.is_empty(), "who took"),
                (one.place.is_empty(), "place"),
                (one.count.is_none() && one.packages.is_none(), "count"),
                (one.seals_whole.is_none() && one.packages.is_none(), "seals"),
                (one.condition.is_empty(), "condition"),
            ]
            .into_iter()
            .filter(|(missing, _)| *missing)
            .map(|(_, what)| what)
            .collect();
            (!missing.is_empty()).then(|| {
                on(one, "hand-over", format!("without {}", missing.join(", ")))
                    .limit("from, to, time, place, count, seals, condition")
                    .way_out("ask both sides, and enter it late with the reason")
            })
        })
        .collect()
}

/// `custody.count`
pub(in crate::audit) fn count(dossier: &Dossier) -> Vec<Found> {
    let packed = dossier.job.contents().len() as u64;
    if packed == 0 {
        return Vec::new();
    }
    let gave: Vec<&Exchange> = by_side(dossier, Side::Gave).collect();
    let mut found = Vec::new();
    // Several hand-overs may share a job's packages between them.
    let given = gave.iter().map(|one| one.count).sum::<Option<u64>>();
    if let (Some(given), Some(last)) = (given, gave.last())
        && given != packed
    {
        found.push(
            on(last, "packages handed over", given.to_string())
                .limit(format!("{packed}, as packed")),
        );
    }
    for took in by_side(dossier, Side::Took) {
        let wanted = answered(&gave, took).map_or(Some(packed), |gave| gave.count);
        if let (Some(count), Some(wanted)) = (took.count, wanted)
            && count != wanted
        {
            found.push(
                on(took, "packages received", count.to_string())
                    .limit(format!("{wanted}, as handed over")),
            );
        }
    }
    found
        .into_iter()
        .map(|one| {
            one.way_out(
                "count again with the other side; the difference opens a clock in waste law",
            )
        })
        .collect()
}

fn by_side(dossier: &Dossier, side: Side) -> impl Iterator<Item = &Exchange> {
    dossier.exchanges.iter().filter(move |one| one.side == side)
}

/// The giving that a taking names.
fn answered<'a>(gave: &[&'a Exchange], took: &Exchange) -> Option<&'a Exchange> {
    let leaf = took.answers.as_deref()?;
    gave.iter().copied().find(|one| one.leaf == leaf)
}

/// `custody.serials`
pub(in crate::audit) fn serials(dossier: &Dossier) -> Vec<Found> {
    let removed: BTreeSet<String> = dossier.removed_identities().into_iter().collect();
    let gave: Vec<&Exchange> = by_side(dossier, Side::Gave).collect();
    let mut found = Vec::new();
    let mut compare = |wanted: &BTreeSet<String>,
                       listed: &BTreeSet<String>,
                       word: &str,
                       place: Found| {
        if let Some(what) = differing(wanted, listed) {
            found.push(Found {
                reason: Found::new(format!("serials {word}"), what)
                    .limit("the same serials at both ends, each once")
                    .way_out("settle with the other side which module it is, before it is treated")
                    .reason,
                ..place
            });
        }
    };
    let given: Option<BTreeSet<String>> =
        gave.iter()
            .map(|one| one.identities())
            .try_fold(BTreeSet::new(), |mut all, one| {
                all.extend(one?);
                Some(all)
            });
    if let (Some(given), Some(last)) = (&given, gave.last()) {
        compare(&removed, given, "handed over", on(last, "", ""));
    }
    for took in by_side(dossier, Side::Took) {
        let Some(listed) = took.identities() else {
            continue;
        };
        let wanted = answered(&gave, took).and_then(Exchange::identities);
        compare(
            wanted.as_ref().unwrap_or(&removed),
            &listed,
            "received",
            on(took, "", ""),
        );
    }
    if let Some(one) = dossier.last("Z10", None) {
        let listed = one.entry.evidence.texts("serials");
        let listed = listed.iter().map(|text| (*text).to_owned()).collect();
        compare(&removed, &listed, "delivered", Found::new("", "").on(one));
    }
    found
}

/// What is in one set only, in words; `None` where they are equal.
pub(in crate::audit) fn differing(
    ours: &BTreeSet<String>,
    theirs: &BTreeSet<String>,
) -> Option<String> {
    let list = |set: Vec<&String>| {
        let shown: Vec<&str> = set.iter().take(5).map(|one| one.as_str()).collect();
        let more = set.len().saturating_sub(shown.len());
        let tail = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        format!("{}{tail}", shown.join(", "))
    };
    let missing: Vec<&String> = ours.difference(theirs).collect();
    let strange: Vec<&String> = theirs.difference(ours).collect();
    match (missing.is_empty(), strange.is_empty()) {
        (true, true) => None,
        (false, true) => Some(format!("missing: {}", list(missing))),
        (true, false) => Some(format!("never removed: {}", list(strange))),
        (false, false) => Some(format!(
            "missing: {}; never removed: {}",
            list(missing),
            list(strange)
        )),
    }
}

/// `custody.seals`
pub(in crate::audit) fn seals(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    // Seals put on, by package.
    let mut put_on: BTreeMap<String, String> = BTreeMap::new();
    for package in dossier.job.contents() {
        let sealed = package.modules.iter().find_map(|module| {
            dossier
                .doing(Act::EnterOnManifest)
                .rfind(|one| one.slot == Some(*module))
        });
        match (package.seal, sealed) {
            (Some(seal), Some(sealed)) => {
                if let Some(other) = put_on.insert(seal.clone(), package.package.clone()) {
                    found.push(
                        Found::new(
                            format!("seal {seal}"),
                            format!("on {other} and {}", package.package),
                        )
                        .on(sealed)
                        .limit("each seal once")
                        .way_out("look at the packages, and read the numbers again"),
                    );
                }
            }
            (None, Some(sealed)) => found.push(
                Found::new(format!("seal of {}", package.package), "none")
                    .on(sealed)
                    .limit("a numbered seal on every package")
                    .way_out("ask whether it was sealed, and look at it on arrival"),
            ),
            _ => {}
        }
    }
    let put_on: BTreeSet<String> = put_on.into_keys().collect();
    // Seals as loaded.
    if let Some(loaded) = dossier.last("Z05", None) {
        let listed: BTreeSet<String> = loaded
            .entry
            .evidence
            .texts("seals")
            .iter()
            .map(|seal| (*seal).to_owned())
            .collect();
        if let Some(what) = differing(&put_on, &listed).filter(|_| !put_on.is_empty()) {
            found.push(
                Found::new(
                    "seals loaded",
                    what.replace("never removed", "never put on"),
                )
                .on(loaded)
                .limit("the seals that were put on")
                .way_out("look at the seals on arrival, package by package"),
            );
        }
    }
    for one in &dossier.exchanges {
        if one.seals_whole == Some(false) {
            found.push(
                on(one, "seals", "broken, or not those of the paper")
                    .limit("whole, and the numbers of the paper")
                    .way_out("find out who opened it, and what is in it now"),
            );
        }
        let listed = one
            .packages
            .iter()
            .flatten()
            .filter_map(|package| package.seal.clone());
        let strange: Vec<String> = listed.filter(|seal| !put_on.contains(seal)).collect();
        if !strange.is_empty() && !put_on.is_empty() {
            found.push(
                on(one, "seals", format!("{} never put on", strange.join(", ")))
                    .limit("the seals that were put on")
                    .way_out("find out who sealed it again, and what is in it now"),
            );
        }
    }
    found
}

/// Each giving with the taking that answers it.
fn hands(dossier: &Dossier) -> Vec<(&Exchange, Option<&Exchange>)> {
    let (gave, took): (Vec<_>, Vec<_>) = dossier
        .exchanges
        .iter()
        .partition(|one| one.side == Side::Gave);
    let mut free: Vec<&Exchange> = took;
    gave.into_iter()
        .map(|gave| {
            let linked = free
                .iter()
                .position(|took| took.answers.as_deref() == Some(gave.leaf.as_str()))
                .or_else(|| free.iter().position(|took| took.answers.is_none()));
            (gave, linked.map(|at| free.remove(at)))
        })
        .collect()
}

/// `custody.time`
pub(in crate::audit) fn time(dossier: &Dossier) -> Vec<Found> {
    hands(dossier)
        .into_iter()
        .filter_map(|(gave, took)| {
            let took = took?;
            let hours = took.at.seconds_since(gave.at) / 3600;
            let found = if took.at < gave.at {
                format!("received {} before it was handed over {}", took.at, gave.at)
            } else if hours > LONGEST_WAY_H {
                format!("{hours} h on the way")
            } else {
                return None;
            };
            Some(
                on(took, "time between giving and taking", found)
                    .limit(format!("0 to {LONGEST_WAY_H} h, a setting of this project"))
                    .way_out("ask the carrier where the goods were"),
            )
        })
        .collect()
}

/// `custody.place`
pub(in crate::audit) fn place(dossier: &Dossier) -> Vec<Found> {
    let alike = |one: &str, other: &str| {
        let (one, other) = (one.trim().to_lowercase(), other.trim().to_lowercase());
        one.is_empty() || other.is_empty() || one.contains(&other) || other.contains(&one)
    };
    hands(dossier)
        .into_iter()
        .filter_map(|(gave, took)| {
            // Only a receipt that names the hand-over names firms in the same words.
            let took = took.filter(|took| took.answers.is_some())?;
            let same = alike(&gave.to, &took.to) || alike(&gave.to_address, &took.to_address);
            (!same).then(|| {
                on(
                    took,
                    "who took the goods",
                    format!("{}, {}", took.to, took.to_address),
                )
                .limit(format!("{}, {}, as handed over", gave.to, gave.to_address))
                .way_out("find the hand-over between the two")
            })
        })
        .collect()
}

/// `custody.open`
pub(in crate::audit) fn open(dossier: &Dossier) -> Vec<Found> {
    // 40 CFR 262.42(a)(1): a generator asks after 35 days without the signed copy.
    const DAYS: i64 = 35;
    hands(dossier)
        .into_iter()
        .filter(|(_, took)| took.is_none())
        .filter_map(|(gave, _)| {
            let days = (dossier.day - gave.at.local_day()).num_days();
            (days > DAYS).then(|| {
                on(
                    gave,
                    "receipt of the goods",
                    format!("none known after {days} days"),
                )
                .limit(format!("the receiver's word within {DAYS} days"))
                .way_out(
                    "ask carrier and receiver where the goods are; give the audit their register",
                )
            })
        })
        .collect()
}

/// `identity.twice`
pub(in crate::audit) fn identity_twice(dossier: &Dossier) -> Vec<Found> {
    let mut seen: BTreeMap<&str, &str> = BTreeMap::new();
    let mut found = Vec::new();
    for one in dossier.doing(Act::Identify) {
        let (Some(serial), Some(module)) = (
            one.entry.evidence.text("serial"),
            one.entry.module.as_deref(),
        ) else {
            continue;
        };
        if let Some(other) = seen.insert(serial, module)
            && other != module
        {
            found.push(
                Found::new(
                    format!("serial {serial}"),
                    format!("on {other} and on {module}"),
                )
                .on(one)
                .limit("one serial, one module")
                .way_out("read both plates again; until then neither identity is proved"),
            );
        }
    }
    found
}

/// `identity.planned`
pub(in crate::audit) fn identity_planned(dossier: &Dossier) -> Vec<Found> {
    dossier
        .doing(Act::Identify)
        .filter_map(|one| {
            let planned = dossier.frame().modules.get(one.slot?)?.serial.as_deref()?;
            let read = one.entry.evidence.text("serial")?;
            (planned != read).then(|| {
                Found::new("serial on the module", read)
                    .on(one)
                    .limit(format!("{planned}, as planned"))
                    .way_out("what is on the plate decides; say in the file why the plan differs")
            })
        })
        .collect()
}

/// `hold.kept`
pub(in crate::audit) fn hold_kept(dossier: &Dossier) -> Vec<Found> {
    let Some(sent) = dossier.last("Z10", None) else {
        return Vec::new();
    };
    (0..dossier.frame().modules.len())
        .filter(|module| {
            dossier.job.progress().is_lifted(dossier.frame(), *module)
                && dossier.job.soundness(*module).is_damaged_in_law()
                && dossier.last("X18", Some(*module)).is_none()
        })
        .map(|module| {
            Found::new("damaged module sent on", "without release from quarantine")
                .on(sent)
                .module(dossier.module_id(module))
                .limit("hours, readings and a signature, all three")
                .way_out("tell the treater today what is in the load")
        })
        .collect()
}

/// `hold.released`
pub(in crate::audit) fn hold_released(dossier: &Dossier) -> Vec<Found> {
    let hours = dossier.frame().setting("hold_hours");
    dossier
        .passed()
        .filter(|one| one.entry.step.as_deref() == Some("X18"))
        .filter_map(|one| {
            let said = &one.entry.evidence;
            let found = if said.number("hours").is_none_or(|held| held < hours) {
                format!(
                    "after {} h",
                    said.number("hours").map_or("?".into(), |h| h.to_string())
                )
            } else if said.yes_no("quiet") != Some(true) {
                "not said to have been quiet".into()
            } else if said.texts("watch_log").is_empty() {
                "by the clock alone, no readings".into()
            } else {
                return None;
            };
            Some(
                Found::new("release from quarantine", found)
                    .on(one)
                    .limit(format!("{hours} h, quiet, readings relied on, signed"))
                    .way_out("put it back under watch; no fixed time proves safety"),
            )
        })
        .collect()
}
