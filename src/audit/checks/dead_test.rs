//! The dead test as an auditor accepts it: tester proved, full matrix in volts, tester proved again,
//! three times in order. A second opinion that shares no code with the gate.

use super::isolation::touched;
use crate::audit::{Dossier, Found, Recorded};
use crate::battery::Supply;
use crate::clock::Moment;
use crate::inspection::{Instrument, InstrumentKind};
use crate::procedure::Act;
use crate::units::Decimal;

/// A tester proof: the entry, and before what its answers are called (`before_` where one step
/// holds the whole set).
#[derive(Clone, Copy)]
struct Proving<'a> {
    on: &'a Recorded,
    prefix: &'static str,
}

/// A dead test with the proofs around it.
struct Set<'a> {
    test: &'a Recorded,
    before: Option<Proving<'a>>,
    after: Option<Proving<'a>>,
}

impl Proving<'_> {
    fn at(&self) -> Moment {
        let name = match self.prefix {
            "" => return self.on.entry.at,
            prefix => format!("{prefix}at"),
        };
        self.on
            .entry
            .evidence
            .time(&name)
            .unwrap_or(self.on.entry.at)
    }

    fn volts(&self, supply: &str) -> Option<Decimal> {
        let name = format!("{}voltage_{supply}_v", self.prefix);
        self.on.entry.evidence.number(&name)
    }

    fn text(&self, name: &str) -> Option<&str> {
        self.on.entry.evidence.text(name)
    }
}

/// Every dead test that says "dead", with its proofs.
fn sets(dossier: &Dossier) -> Vec<Set<'_>> {
    let tests: Vec<&Recorded> = dossier
        .doing(Act::TestDead)
        .filter(|one| one.entry.evidence.text("outcome") != Some("not_provable"))
        .collect();
    tests
        .iter()
        .enumerate()
        .map(|(n, test)| {
            let whole = dossier.step_of(test).is_some_and(|step| {
                step.does_act(Act::ProveTesterBefore) && step.does_act(Act::ProveTesterAfter)
            });
            if whole {
                let there = |prefix: &'static str| {
                    let named = ["voltage_ac_v", "voltage_dc_v"].iter().any(|name| {
                        test.entry
                            .evidence
                            .number(&format!("{prefix}{name}"))
                            .is_some()
                    });
                    named.then_some(Proving { on: test, prefix })
                };
                return Set {
                    test,
                    before: there("before_"),
                    after: there("after_"),
                };
            }
            let since = n
                .checked_sub(1)
                .and_then(|n| tests.get(n))
                .map_or(0, |one| one.seq);
            let until = tests.get(n + 1).map_or(u64::MAX, |one| one.seq);
            let plain = |on| Proving { on, prefix: "" };
            Set {
                test,
                before: dossier
                    .doing(Act::ProveTesterBefore)
                    .rfind(|one| since < one.seq && one.seq < test.seq)
                    .map(plain),
                after: dossier
                    .doing(Act::ProveTesterAfter)
                    .find(|one| test.seq < one.seq && one.seq < until)
                    .map(plain),
            }
        })
        .collect()
}

fn tester<'a>(dossier: &'a Dossier, set: &Set<'_>) -> Option<&'a Instrument> {
    dossier
        .frame()
        .instrument(set.test.entry.evidence.text("tester")?)
}

/// `dead.done`
pub(in crate::audit) fn done(dossier: &Dossier) -> Vec<Found> {
    let Some(touch) = touched(dossier, Act::TestDead) else {
        return Vec::new();
    };
    if dossier
        .doing(Act::TestDead)
        .any(|test| test.seq < touch.seq)
    {
        return Vec::new();
    }
    vec![
        Found::new("dead test before work began", "none on record")
            .on(touch)
            .limit("a test for absence of voltage at the place of work, before anything is touched")
            .way_out("speak with the crew today; nothing in this record shows that it was dead"),
    ]
}

/// `dead.tester`
pub(in crate::audit) fn tester_named(dossier: &Dossier) -> Vec<Found> {
    sets(dossier)
        .iter()
        .filter_map(|set| {
            let serial = set.test.entry.evidence.text("tester");
            let found = match (serial, tester(dossier, set)) {
                (None, _) => "no serial".to_owned(),
                (Some(serial), None) => format!("{serial} is not among the instruments of the job"),
                (Some(serial), Some(one)) if one.kind != InstrumentKind::VoltageTester => {
                    format!("{serial} is a {}", one.kind.name().replace('_', " "))
                }
                _ => return None,
            };
            Some(
                Found::new("tester of the dead test", found)
                    .on(set.test)
                    .limit("serial of a two-pole voltage tester")
                    .way_out("find out which tester was used; a proximity detector proves nothing"),
            )
        })
        .collect()
}

/// `dead.rating`
pub(in crate::audit) fn rating(dossier: &Dossier) -> Vec<Found> {
    let frame = dossier.frame();
    let highest = frame
        .installation
        .sources
        .iter()
        .filter(|source| source.supply == Supply::Dc)
        .map(|source| source.nominal_voltage_v)
        .chain([frame.installation.max_voltage_v])
        .max()
        .unwrap_or_default();
    sets(dossier)
        .iter()
        .filter_map(|set| {
            let tester = tester(dossier, set)?;
            let found = match tester.rated_dc_voltage_v {
                Some(rated) if rated >= highest => return None,
                Some(rated) => format!("{} V dc", rated.decimal()),
                None => "not known".to_owned(),
            };
            Some(
                Found::new(format!("rating of tester {}", tester.serial), found)
                    .on(set.test)
                    .limit(format!(
                        "{} V dc or more, the highest of the installation",
                        highest.decimal()
                    ))
                    .way_out(
                        "repeat nothing on paper: have the tester looked at, and its other jobs",
                    ),
            )
        })
        .collect()
}

/// `dead.proof_before`
pub(in crate::audit) fn proof_before(dossier: &Dossier) -> Vec<Found> {
    missing_proof(dossier, |set| set.before.is_none(), "before")
}

/// `dead.proof_after`
pub(in crate::audit) fn proof_after(dossier: &Dossier) -> Vec<Found> {
    missing_proof(dossier, |set| set.after.is_none(), "after")
}

fn missing_proof(dossier: &Dossier, missing: impl Fn(&Set<'_>) -> bool, when: &str) -> Vec<Found> {
    sets(dossier)
        .iter()
        .filter(|set| missing(set))
        .map(|set| {
            Found::new(
                format!("tester proved {when} the dead test"),
                "not on record",
            )
            .on(set.test)
            .limit("proved on a known source before and after: live, dead, live")
            .way_out("the test proves nothing without it; take it up with the crew")
        })
        .collect()
}

/// `dead.source`
pub(in crate::audit) fn source(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    let dc = dossier
        .frame()
        .installation
        .sources
        .iter()
        .any(|source| source.supply == Supply::Dc);
    for set in sets(dossier) {
        for proving in [set.before, set.after].into_iter().flatten() {
            let mut say = |what: String, value: String, limit: &str| {
                found.push(Found::new(what, value).on(proving.on).limit(limit).way_out(
                    "prove testers on a proving unit, or state the band of the live point",
                ));
            };
            let name = proving.text("source");
            let unit = name
                .and_then(|serial| dossier.frame().instrument(serial))
                .filter(|one| one.kind == InstrumentKind::ProvingUnit);
            let band = match unit {
                Some(unit) => (
                    unit.proving_low_v.map(|volts| volts.decimal()),
                    unit.proving_high_v.map(|volts| volts.decimal()),
                ),
                None => (
                    proving.on.entry.evidence.number("stated_low_v"),
                    proving.on.entry.evidence.number("stated_high_v"),
                ),
            };
            let (Some(name), (Some(low), Some(high))) = (name, band) else {
                say(
                    "known source of the tester proof".into(),
                    name.map_or("none named".into(), |name| {
                        format!("{name}, without a band")
                    }),
                    "a proving unit of the job, or a live point with the band it gives",
                );
                continue;
            };
            for supply in ["ac", "dc"] {
                match proving.volts(supply) {
                    Some(volts) if volts.magnitude() < low || volts.magnitude() > high => say(
                        format!("reading on {name}"),
                        format!("{volts} V {supply}"),
                        &format!("{low} to {high} V, what the source gives"),
                    ),
                    None if supply == "dc" && dc => say(
                        format!("tester on {name}"),
                        "not proved on direct voltage".into(),
                        "proved on the kind of voltage that is looked for",
                    ),
                    _ => {}
                }
            }
        }
    }
    found
}

/// The pairs of conductors that must be in a dead test, with ac or dc.
fn matrix(dossier: &Dossier) -> Vec<(String, &'static str)> {
    let installation = &dossier.frame().installation;
    let has = |supply| installation.sources.iter().any(|one| one.supply == supply);
    let mut poles: Vec<String> = match installation.ac_phases {
        3 => vec!["L1".into(), "L2".into(), "L3".into()],
        _ => vec!["L".into()],
    };
    poles.extend(["N".to_owned(), "PE".to_owned()]);
    let mut wanted = Vec::new();
    if has(Supply::Ac) {
        for (n, one) in poles.iter().enumerate() {
            let others = poles.iter().skip(n + 1);
            wanted.extend(others.map(|other| (format!("{one}-{other}"), "ac")));
        }
    }
    if has(Supply::Dc) {
        wanted.extend(["DC+/DC-", "DC+/PE", "DC-/PE"].map(|pair| (pair.to_owned(), "dc")));
    }
    wanted
}

/// `dead.matrix`
pub(in crate::audit) fn full_matrix(dossier: &Dossier) -> Vec<Found> {
    let wanted = matrix(dossier);
    sets(dossier)
        .iter()
        .filter_map(|set| {
            let rows = set.test.entry.evidence.rows("readings");
            let missing: Vec<String> = wanted
                .iter()
                .filter(|(pair, supply)| {
                    !rows.iter().any(|row| {
                        row.text("pair") == Some(pair.as_str())
                            && row.text("supply") == Some(supply)
                    })
                })
                .map(|(pair, supply)| format!("{pair} {supply}"))
                .collect();
            (!missing.is_empty()).then(|| {
                Found::new(
                    "pairs of the dead test",
                    format!("missing: {}", missing.join(", ")),
                )
                .on(set.test)
                .limit("every pair of conductors at the place of work, ac and dc")
                .way_out("ask the tester; what was not measured is not proved dead")
            })
        })
        .collect()
}

/// `dead.volts`
pub(in crate::audit) fn in_volts(dossier: &Dossier) -> Vec<Found> {
    each_reading(dossier, |pair, said, volts, _| {
        volts.is_none().then(|| {
            Found::new(
                format!("reading {pair}"),
                said.unwrap_or_else(|| "none".into()),
            )
            .limit("a number in volts, 0.0 as well")
            .way_out("a word is no reading; ask what the meter showed")
        })
    })
}

/// `dead.values`
pub(in crate::audit) fn values(dossier: &Dossier) -> Vec<Found> {
    each_reading(dossier, |pair, _, volts, limit| {
        let volts = volts?;
        (volts.magnitude() > limit).then(|| {
            Found::new(
                format!("reading {pair}"),
                format!("{volts} V, and the test counted as passed"),
            )
            .limit(format!("{limit} V"))
            .way_out("treat it as live; find out what fed it and who was near")
        })
    })
}

fn each_reading(
    dossier: &Dossier,
    look: impl Fn(&str, Option<String>, Option<Decimal>, Decimal) -> Option<Found>,
) -> Vec<Found> {
    let mut found = Vec::new();
    for set in sets(dossier) {
        for row in set.test.entry.evidence.rows("readings") {
            let supply = row.text("supply").unwrap_or("?");
            let limit = dossier.frame().setting(if supply == "ac" {
                "dead_ac_v"
            } else {
                "dead_dc_v"
            });
            let pair = format!("{} {supply}", row.text("pair").unwrap_or("?"));
            let said = row.answer("voltage_v").map(ToString::to_string);
            let volts = row.number("voltage_v");
            found.extend(look(&pair, said, volts, limit).map(|one| one.on(set.test)));
        }
    }
    found
}

/// `dead.order`
pub(in crate::audit) fn order(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    let minutes = dossier.frame().whole_setting("proof_window_min");
    for set in sets(dossier) {
        let (Some(before), Some(after)) = (set.before, set.after) else {
            continue;
        };
        let test = set.test.entry.at;
        let whole = before.on.seq == set.test.seq;
        let in_order = if whole {
            before.at() < after.at() && after.at() <= test
        } else {
            before.at() < test && test < after.at()
        };
        if !in_order {
            found.push(
                Found::new(
                    "times of proof, test and proof",
                    format!(
                        "{}, {}, {}",
                        before.at().wall_clock(),
                        test.wall_clock(),
                        after.at().wall_clock()
                    ),
                )
                .on(set.test)
                .limit("three different times, in this order")
                .way_out("ask the tester for the true order"),
            );
            continue;
        }
        let window = after.at().seconds_since(before.at());
        if window > minutes * 60 {
            found.push(
                Found::new(
                    "time between the two proofs",
                    format!("{} min", window / 60),
                )
                .on(set.test)
                .limit(format!("{minutes} min, a setting of this project"))
                .way_out("prove, test and prove again in one go"),
            );
        }
        let tester = set.test.entry.evidence.text("tester");
        for proving in [before, after] {
            if proving.text("tester") != tester {
                found.push(
                    Found::new(
                        "tester that was proved",
                        proving.text("tester").unwrap_or("none named"),
                    )
                    .on(proving.on)
                    .limit(format!("{}, the one that tested", tester.unwrap_or("?")))
                    .way_out("the tester that measured was not proved; take it up with the crew"),
                );
            }
        }
    }
    found
}

/// Dead tests made with a tester after the last day on which it was known to be good.
pub(in crate::audit) fn tested_since(
    dossier: &Dossier,
    serial: &str,
    last_good: chrono::NaiveDate,
) -> Vec<Found> {
    dossier
        .doing(Act::TestDead)
        .filter(|test| test.entry.evidence.text("tester") == Some(serial))
        .filter(|test| test.entry.at.local_day() > last_good)
        .map(|test| {
            Found::new(
                format!("dead test with {serial}"),
                format!(
                    "made {} after its last good check",
                    test.entry.at.local_day()
                ),
            )
            .on(test)
            .limit(format!(
                "checked good after the test; last good {last_good}"
            ))
            .way_out("review the job: what else showed that it was dead, and who was exposed")
        })
        .collect()
}
