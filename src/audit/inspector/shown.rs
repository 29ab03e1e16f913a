//! What a record shows to each question, or the paper that it does not hold.

use std::collections::BTreeSet;

use super::answered::Said;
use crate::audit::checks::shipping::adr_points;
use crate::audit::{Dossier, Side};
use crate::procedure::Act;
use crate::transport::Regime;

pub(super) fn shows(count: usize, what: &str) -> Said {
    Said::Shows(format!("{count} {what}"))
}

/// Names of the people who passed a step, once each.
fn names(dossier: &Dossier, acts: &[Act]) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for one in dossier.passed() {
        let does = dossier
            .step_of(one)
            .is_some_and(|step| acts.is_empty() || acts.iter().any(|act| step.does_act(*act)));
        let name = dossier.frame().name_of(&one.entry.by);
        if does && !found.iter().any(|known| known == name) {
            found.push(name.to_owned());
        }
    }
    found
}

pub(super) fn who_did_it(dossier: &Dossier) -> Said {
    let listed: Vec<String> = dossier
        .frame()
        .people
        .iter()
        .filter(|person| dossier.passed().any(|one| one.entry.by == person.id))
        .map(|person| {
            let roles: Vec<String> = person
                .competences
                .iter()
                .map(|one| format!("{} to {}", one.role.words(), one.expires_on))
                .collect();
            format!("{}: {}", person.name, roles.join(", "))
        })
        .collect();
    Said::Shows(listed.join("; "))
}

pub(super) fn training_record(dossier: &Dossier) -> Said {
    let who = names(
        dossier,
        &[
            Act::Pack,
            Act::MarkPackage,
            Act::EnterOnManifest,
            Act::Release,
        ],
    );
    if who.is_empty() {
        return Said::NotAsked;
    }
    Said::Missing(
        "the plan holds role, cover and last day; not the day, the material, the trainer or the test".into(),
        format!("training records of {}", who.join(", ")),
    )
}

pub(super) fn packed_in(dossier: &Dossier) -> Said {
    let listed: Vec<String> = dossier
        .job
        .contents()
        .iter()
        .map(|package| {
            let first = package.modules.first().copied();
            let kind = first.and_then(|module| dossier.job.packaging_words(module));
            let gross = package
                .gross_mass_kg
                .map_or("not weighed".to_owned(), |mass| {
                    format!("{} kg", mass.decimal())
                });
            format!(
                "{}: {}, {} modules, {gross}",
                package.package,
                kind.unwrap_or_else(|| "not said".into()),
                package.modules.len()
            )
        })
        .collect();
    if listed.is_empty() {
        Said::NotAsked
    } else {
        Said::Shows(listed.join("; "))
    }
}

/// Marks of the packagings, once each.
fn packaging_marks(dossier: &Dossier) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for one in dossier.doing(Act::Pack) {
        if let Some(mark) = one.entry.evidence.text("packaging_mark")
            && !found.iter().any(|known| known == mark)
        {
            found.push(mark.to_owned());
        }
    }
    found
}

pub(super) fn closure(dossier: &Dossier) -> Said {
    let marks = packaging_marks(dossier);
    if marks.is_empty() {
        return Said::NotAsked;
    }
    let seals: Vec<String> = dossier
        .job
        .contents()
        .iter()
        .filter_map(|package| package.seal.clone())
        .collect();
    Said::Missing(
        format!("sealed with {}", seals.join(", ")),
        format!("closure instruction for {}", marks.join(", ")),
    )
}

pub(super) fn test_report(dossier: &Dossier) -> Said {
    let marks = packaging_marks(dossier);
    if marks.is_empty() {
        return Said::NotAsked;
    }
    let reports: Vec<&str> = dossier
        .doing(Act::Pack)
        .filter_map(|one| one.entry.evidence.text("verified_report"))
        .collect();
    match reports.first() {
        Some(report) => Said::Shows(format!("verified by {report}")),
        None => Said::Missing(
            format!("the mark stands for it: {}", marks.join(", ")),
            "test report of the packaging's maker".into(),
        ),
    }
}

pub(super) fn test_summary(dossier: &Dossier) -> Said {
    let modules = &dossier.frame().modules;
    let mut models: Vec<&str> = modules
        .iter()
        .filter_map(|one| one.model.as_deref())
        .collect();
    models.dedup();
    let tested = modules
        .iter()
        .filter(|one| one.tested_type == Some(true))
        .count();
    Said::Missing(
        format!(
            "{tested} of {} modules are said to be of a tested type",
            modules.len()
        ),
        format!(
            "test summary under UN Manual 38.3 for {}",
            models.join(", ")
        ),
    )
}

pub(super) fn marks(dossier: &Dossier) -> Said {
    let contents = dossier.job.contents();
    let listed: Vec<String> = contents
        .iter()
        .map(|package| {
            let all: Vec<&str> = package
                .marks
                .iter()
                .map(String::as_str)
                .chain(package.labels.iter().map(String::as_str))
                .collect();
            format!("{}: {}", package.package, all.join(", "))
        })
        .collect();
    if listed.is_empty() {
        Said::NotAsked
    } else {
        Said::Shows(listed.join("; "))
    }
}

pub(super) fn document(dossier: &Dossier) -> Said {
    let Some(issue) = dossier.issues.last() else {
        return Said::Missing("no papers were issued".into(), "transport document".into());
    };
    let files: Vec<&str> = issue
        .body
        .papers
        .iter()
        .map(|(name, _)| name.as_str())
        .collect();
    Said::Shows(format!(
        "issue {} of {} (entry {}): {}",
        issue.body.issue,
        issue.at,
        issue.seq,
        files.join(", ")
    ))
}

pub(super) fn classified(dossier: &Dossier) -> Said {
    let mut listed: Vec<String> = Vec::new();
    for verdict in dossier.decisions() {
        let entry = verdict
            .decision
            .entry
            .as_ref()
            .map_or("no entry", |entry| &*entry.un);
        let line = format!(
            "{entry}, {}, {}",
            verdict.decision.packing_instructions.join(" "),
            verdict.decision.edition
        );
        if !listed.contains(&line) {
            listed.push(line);
        }
    }
    let judged = names(dossier, &[Act::Judge]);
    Said::Shows(format!(
        "{}; soundness judged by {}",
        listed.join("; "),
        judged.join(", ")
    ))
}

pub(super) fn telephone(dossier: &Dossier) -> Said {
    match &dossier.plan().consignor.emergency_telephone {
        Some(number) => Said::Shows(format!("{number} of {}", dossier.plan().consignor.name)),
        None if dossier.is_in_the_us() => Said::Missing(
            "none in the plan".into(),
            "telephone of the consignor, answered while the goods are on the way".into(),
        ),
        None => Said::NotAsked,
    }
}

pub(super) fn small_load(dossier: &Dossier) -> Said {
    if !dossier
        .plan()
        .route
        .iter()
        .any(|leg| leg.regime == Regime::Adr)
    {
        return Said::NotAsked;
    }
    let Some(points) = adr_points(dossier) else {
        return Said::Missing(
            "the points cannot be counted: a mass is missing, or category 0".into(),
            "instructions in writing, equipment of the vehicle, certificate of the driver".into(),
        );
    };
    if points <= crate::units::Decimal::whole(1_000) {
        return Said::Shows(format!("{points} of 1000 points for this job alone"));
    }
    Said::Missing(
        format!("{points} points, above 1000"),
        "instructions in writing, equipment of the vehicle, certificate of the driver".into(),
    )
}

pub(super) fn carrier(dossier: &Dossier) -> Said {
    let given: Vec<String> = dossier
        .exchanges
        .iter()
        .filter(|one| one.side == Side::Gave)
        .map(|one| {
            format!(
                "{} from {} to {}, {} (entry {})",
                one.at, one.from, one.to, one.place, one.seq
            )
        })
        .collect();
    if given.is_empty() {
        Said::Missing(
            "not handed over yet".into(),
            "hand-over signed by both sides".into(),
        )
    } else {
        Said::Shows(given.join("; "))
    }
}

pub(super) fn receiver(dossier: &Dossier) -> Said {
    let taken: Vec<String> = dossier
        .exchanges
        .iter()
        .filter(|one| one.side == Side::Took)
        .map(|one| {
            let count = one.count.map_or("?".to_owned(), |count| count.to_string());
            format!(
                "{} by {}, {count} packages (entry {} of {})",
                one.at, one.to, one.seq, one.log
            )
        })
        .collect();
    if !taken.is_empty() {
        return Said::Shows(taken.join("; "));
    }
    if dossier.released().is_none() {
        return Said::NotAsked;
    }
    Said::Missing(
        "no receipt is known to this audit".into(),
        format!(
            "receipt of {}; give its register to the audit",
            dossier.plan().consignee.name
        ),
    )
}

pub(super) fn held(dossier: &Dossier) -> Said {
    let damaged: Vec<String> = (0..dossier.frame().modules.len())
        .filter(|module| {
            dossier.job.progress().is_lifted(dossier.frame(), *module)
                && dossier.job.soundness(*module).is_damaged_in_law()
        })
        .map(|module| {
            let held = dossier
                .last("X17", Some(module))
                .map_or("no quarantine on record", |_| "in quarantine");
            let out = dossier
                .last("X18", Some(module))
                .map_or("", |_| ", let out with readings");
            format!(
                "{} {}: {held}{out}",
                dossier.job.identity(module).0,
                dossier.job.soundness(module)
            )
        })
        .collect();
    if damaged.is_empty() {
        Said::Shows("no module was judged damaged".into())
    } else {
        Said::Shows(damaged.join("; "))
    }
}

pub(super) fn accumulation(dossier: &Dossier) -> Said {
    if !dossier.plan().purpose.is_waste() {
        return Said::NotAsked;
    }
    let Some(first) = dossier.doing(Act::LiftModule).next() else {
        return Said::NotAsked;
    };
    let since = first.entry.at.local_day();
    let until = dossier
        .last("Z10", None)
        .map_or(dossier.day, |one| one.entry.at.local_day());
    Said::Shows(format!(
        "since {since} (entry {}), {} days to {until}",
        first.seq,
        (until - since).num_days()
    ))
}

pub(super) fn certificate(dossier: &Dossier) -> Said {
    match dossier.last("Z11", None) {
        Some(one) => Said::Shows(format!(
            "{} of {} (entry {}), {} serials, {}",
            one.entry.evidence.text("certificate").unwrap_or("?"),
            one.entry.at.local_day(),
            one.seq,
            one.entry.evidence.texts("serials").len(),
            one.entry.evidence.text("treatment").unwrap_or("?")
        )),
        None if dossier.released().is_none() => Said::NotAsked,
        None if dossier.all_certified() => Said::Shows({
            let words: BTreeSet<&str> = dossier
                .certificates
                .values()
                .map(|by| by.words.as_str())
                .collect();
            words.into_iter().collect::<Vec<_>>().join("; ")
        }),
        None => Said::Missing(
            "not yet".into(),
            format!(
                "certificate of {}, serial by serial",
                dossier.plan().consignee.name
            ),
        ),
    }
}

pub(super) fn kept(dossier: &Dossier) -> Said {
    let last = crate::audit::retention::calendar(dossier, false)
        .into_iter()
        .max();
    last.map_or(Said::NotAsked, |last| {
        Said::Shows(format!(
            "until {}: {} ({})",
            last.until, last.what, last.clause
        ))
    })
}

pub(super) fn isolated(dossier: &Dossier) -> Said {
    let devices = dossier
        .doing(Act::Isolate)
        .map(|one| one.entry.evidence.rows("devices").len())
        .sum::<usize>();
    let locks = dossier
        .doing(Act::Lock)
        .flat_map(|one| one.entry.evidence.rows("locks"))
        .filter(|row| row.text("lock_number").is_some())
        .count();
    if devices == 0 {
        return Said::NotAsked;
    }
    Said::Shows(format!("{devices} devices opened, {locks} locks with tags"))
}

pub(super) fn dead(dossier: &Dossier) -> Said {
    let listed: Vec<String> = dossier
        .doing(Act::TestDead)
        .map(|one| {
            format!(
                "{} with {} by {}, {} readings (entry {})",
                one.entry.at,
                one.entry.evidence.text("tester").unwrap_or("?"),
                dossier.frame().name_of(&one.entry.by),
                one.entry.evidence.rows("readings").len(),
                one.seq
            )
        })
        .collect();
    if listed.is_empty() {
        Said::NotAsked
    } else {
        Said::Shows(listed.join("; "))
    }
}

pub(super) fn allowed(dossier: &Dossier) -> Said {
    let remains: Vec<&str> = dossier
        .doing(Act::CoverLive)
        .flat_map(|one| one.entry.evidence.rows("live_remains"))
        .filter_map(|row| row.text("what"))
        .collect();
    let releases: Vec<String> = dossier
        .doing(Act::ReleaseWork)
        .map(|one| {
            format!(
                "release {} by {}",
                one.entry.evidence.text("release_number").unwrap_or("?"),
                dossier.frame().name_of(&one.entry.by)
            )
        })
        .collect();
    if releases.is_empty() {
        return Said::NotAsked;
    }
    Said::Shows(format!("{}; {}", remains.join(", "), releases.join(", ")))
}

pub(super) fn in_date(dossier: &Dossier) -> Said {
    let count = dossier.frame().instruments.len();
    Said::Shows(format!(
        "{count} instruments, gloves and tools on the plan, each in date when it was used"
    ))
}

pub(super) fn calibration(dossier: &Dossier) -> Said {
    let serials: Vec<&str> = dossier
        .frame()
        .instruments
        .iter()
        .filter(|one| one.calibration_due_on.is_some())
        .map(|one| one.serial.as_str())
        .collect();
    Said::Missing(
        "the plan holds the due day of each".into(),
        format!("calibration certificates of {}", serials.join(", ")),
    )
}

pub(super) fn unchanged(dossier: &Dossier) -> Said {
    Said::Shows(format!(
        "{} entries under one root, {} signed by {}; {} corrections, each beside the old entry",
        dossier.record.size,
        dossier.record.signed_size(),
        if dossier.record.signers.is_empty() {
            "nobody".to_owned()
        } else {
            dossier.record.signers.join(", ")
        },
        dossier
            .entries
            .iter()
            .filter(|one| one.first_written.is_some())
            .count()
    ))
}
