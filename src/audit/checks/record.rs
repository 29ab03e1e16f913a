//! The record itself: whole, signed, in one line of time; what was written late or written over.

use crate::audit::{Dossier, Found};
use crate::ledger::{DEMO_ORIGIN, Fault, Signed, Verification};
use crate::procedure::{Act, Kind, Outcome};

/// Hours after which a late entry is more than a slip. A setting of this project, not law.
const LATE_H: i64 = 24;
/// Seconds by which a clock may be put right without a question. A setting of this project.
const CLOCK_S: u64 = 120;

/// `bundle.whole`
pub(in crate::audit) fn bundle(dossier: &Dossier) -> Vec<Found> {
    bundle_of(&dossier.bundle_faults)
}

/// What is wrong with a bundle.
pub(in crate::audit) fn bundle_of(faults: &[String]) -> Vec<Found> {
    faults
        .iter()
        .map(|fault| {
            Found::new("the bundle", fault.clone())
                .limit("every file there, with the hash that stands for it, and one story")
                .way_out("ask the giver for the bundle again; keep this one beside")
        })
        .collect()
}

/// `ledger.whole`
pub(in crate::audit) fn whole(dossier: &Dossier) -> Vec<Found> {
    whole_of(&dossier.record)
}

/// As `ledger.whole`, of any log.
pub(in crate::audit) fn whole_of(record: &Verification) -> Vec<Found> {
    record
        .breaks
        .iter()
        .filter(|found| !found.is_lawful())
        .filter(|found| {
            !matches!(
                found.fault,
                Fault::UnknownKey { .. } | Fault::NoCheckpoint | Fault::BadSignature { .. }
            )
        })
        .map(|found| {
            let mut one = Found::new(format!("the log ({})", found.kind()), found.to_string())
                .limit("every line as it was written, in order, under the signed root")
                .way_out("stop using it; compare it with the copy that the receiver keeps");
            one.entry = found.seq;
            one
        })
        .collect()
}

/// `ledger.signed`
pub(in crate::audit) fn signed(dossier: &Dossier) -> Vec<Found> {
    signed_of(&dossier.record, dossier.plan().demo)
}

/// As `ledger.signed`, of any log; `invented` ones may be signed with the public demo key.
pub(in crate::audit) fn signed_of(record: &Verification, invented: bool) -> Vec<Found> {
    let found = match record.signed {
        Signed::Signed => {
            let demo = record.log.origin() == DEMO_ORIGIN && !invented;
            if !demo {
                return Vec::new();
            }
            "with the public demo key, which proves nothing"
        }
        Signed::Unsigned => "not signed",
        Signed::BadSignature => "the signature is false",
        Signed::UnknownKey => "only by keys that are not trusted here",
    };
    vec![
        Found::new("signature over the log", found)
            .limit("signed by the device that wrote it, with a key that is trusted")
            .way_out("get the device's key from its owner, and give it with --trust"),
    ]
}

/// `ledger.tail`
pub(in crate::audit) fn tail(dossier: &Dossier) -> Vec<Found> {
    tail_of(&dossier.record)
}

/// As `ledger.tail`, of any log.
pub(in crate::audit) fn tail_of(record: &Verification) -> Vec<Found> {
    record
        .breaks
        .iter()
        .filter(|found| {
            matches!(
                found.fault,
                Fault::TornLastLine { .. } | Fault::NewerFormat { .. }
            ) || (matches!(found.fault, Fault::UnsignedTail { .. })
                && record.signed == Signed::Signed)
        })
        .map(|found| {
            Found::new(
                format!("end of the log ({})", found.kind()),
                found.to_string(),
            )
            .limit("the last checkpoint covers every entry")
            .way_out("open the job on its device once: it signs the end")
        })
        .collect()
}

/// `ledger.clock`
pub(in crate::audit) fn clock(dossier: &Dossier) -> Vec<Found> {
    clock_of(&dossier.record)
}

/// As `ledger.clock`, of any log.
pub(in crate::audit) fn clock_of(record: &Verification) -> Vec<Found> {
    record
        .breaks
        .iter()
        .filter_map(|found| match found.fault {
            Fault::ClockSetBack { by_ms } if by_ms > CLOCK_S * 1000 => Some((found, by_ms)),
            _ => None,
        })
        .map(|(found, by_ms)| {
            let mut one = Found::new(
                "clock of the device",
                format!("set back by {} s", by_ms / 1000),
            )
            .limit(format!("put right by at most {CLOCK_S} s"))
            .way_out("the order stands, the times are in doubt: ask what the clock showed");
            one.entry = found.seq;
            one
        })
        .collect()
}

/// `record.refused`
pub(in crate::audit) fn refused(dossier: &Dossier) -> Vec<Found> {
    dossier
        .entries
        .last()
        .filter(|one| one.outcome == Outcome::Refused)
        .map(|one| {
            Found::new("end of the record", "an entry that was refused")
                .on(one)
                .limit("a job that is finished, or goes on")
                .way_out("ask what became of the job; nothing after this is known")
        })
        .into_iter()
        .collect()
}

/// `record.late`
pub(in crate::audit) fn late(dossier: &Dossier) -> Vec<Found> {
    dossier
        .entries
        .iter()
        .filter(|one| one.entry.kind == Kind::LateEntry)
        .filter_map(|one| {
            let happened = one.entry.happened_at?;
            let hours = one.entry.at.seconds_since(happened) / 3600;
            (hours >= LATE_H).then(|| {
                Found::new("late entry", format!("{hours} h after it happened"))
                    .on(one)
                    .limit(format!("within {LATE_H} h, a setting of this project"))
                    .way_out("ask what was known at the time, and from whom")
            })
        })
        .collect()
}

/// `record.corrected_proof`
pub(in crate::audit) fn corrected_proof(dossier: &Dossier) -> Vec<Found> {
    const PROOF: [Act; 6] = [
        Act::Isolate,
        Act::Lock,
        Act::WaitStoredEnergy,
        Act::ProveTesterBefore,
        Act::TestDead,
        Act::ProveTesterAfter,
    ];
    dossier
        .entries
        .iter()
        .filter(|one| one.entry.kind == Kind::Correction)
        .filter_map(|one| {
            let old = dossier
                .entries
                .iter()
                .find(|old| Some(old.number) == one.entry.amends.map(|n| n as usize))?;
            let step = dossier.step_of(old)?;
            PROOF.iter().any(|act| step.does_act(*act)).then(|| {
                Found::new(
                    format!("{} written over", step.id),
                    one.entry
                        .reason
                        .clone()
                        .unwrap_or_else(|| "no reason".into()),
                )
                .on(one)
                .limit("what proves the dead state is measured again, not written better")
                .way_out("read old and new value side by side, and ask who saw the meter")
            })
        })
        .collect()
}

/// `record.corrected_after`
pub(in crate::audit) fn corrected_after(dossier: &Dossier) -> Vec<Found> {
    let Some(issue) = dossier.issues.last() else {
        return Vec::new();
    };
    dossier
        .entries
        .iter()
        .filter(|one| one.entry.kind == Kind::Correction && one.seq > issue.seq)
        .map(|one| {
            Found::new(
                "correction after the papers were issued",
                format!(
                    "of entry {}, by {}",
                    one.entry.amends.unwrap_or(0),
                    dossier.frame().name_of(&one.entry.by)
                ),
            )
            .on(one)
            .limit("papers issued again after it")
            .way_out("issue the papers again; the old issue is superseded")
        })
        .collect()
}

/// `record.rules`
pub(in crate::audit) fn rules(dossier: &Dossier) -> Vec<Found> {
    if dossier.same_rules {
        return Vec::new();
    }
    vec![
        Found::new(
            "procedure and settings at hand",
            "not those that the job was opened with",
        )
        .at_seq(0)
        .limit("the hashes that stand in the opening of the job")
        .way_out(
            "put the procedure.toml and settings.toml of that day beside its ledger, or audit it with \
             the program of that day; until then the gate is not asked again",
        ),
    ]
}

/// `record.plays_back`: asked last, and only where nothing more exact was found in the job. By other
/// rules than those of the day the gate has nothing to say.
pub(in crate::audit) fn plays_back(dossier: &Dossier) -> Vec<Found> {
    let Some(first) = dossier.differences.first().filter(|_| dossier.same_rules) else {
        return Vec::new();
    };
    let on = dossier.entries.iter().find(|one| one.seq == first.seq);
    let found = Found::new(
        "outcomes in the record",
        format!(
            "{} differ from the gate's; the first is {:?}, the gate says {:?}: {}",
            dossier.differences.len(),
            first.recorded,
            first.now,
            first.why
        ),
    )
    .limit("what the gate says of the same entries")
    .way_out("find out with what program, procedure and settings the record was made");
    vec![match on {
        Some(on) => found.on(on),
        None => found.at_seq(first.seq),
    }]
}
