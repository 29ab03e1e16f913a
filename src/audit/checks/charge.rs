//! Readings of a module's charge that contradict each other (F37), and what people made of that.

use crate::audit::{Dossier, Found, Recorded};
use crate::battery::Soundness;
use crate::procedure::{Act, Entry, Kind};

const CONTRADICTION: &str = "F37";

/// `readings.charge`
pub(in crate::audit) fn contradicted(dossier: &Dossier) -> Vec<Found> {
    let modules = 0..dossier.frame().modules.len();
    let mut found: Vec<Found> = taken_back(dossier).collect();
    for module in modules {
        if dossier.job.state_of_charge(module).contradiction {
            found.extend(of_module(dossier, module));
        }
    }
    found
}

/// That they contradict each other; who judged it sound all the same; that it was packed for a leg
/// with a limit of the charge; that the papers are older.
fn of_module(dossier: &Dossier, module: usize) -> Vec<Found> {
    let id = dossier.module_id(module);
    let last = dossier
        .entries
        .iter()
        .rfind(|one| one.slot == Some(module) && says_of_its_charge(&one.entry));
    let resting = |found: Found, on: Option<&Recorded>| match on {
        Some(one) => found.on(one),
        None => found.module(id),
    };
    let mut found = vec![resting(
        Found::new(
            "readings of its charge",
            format!("they contradict each other ({CONTRADICTION})"),
        )
        .limit("readings that agree; else the charge counts as full, and the module as suspect")
        .way_out("read every cell again with another meter, and correct what was wrong"),
        last,
    )];
    let of_it = |act| dossier.doing(act).rfind(|one| one.slot == Some(module));
    if let Some(judged) = of_it(Act::Judge)
        && dossier.job.progress().soundness(module) == Some(Soundness::Sound)
    {
        let answered = dossier.job.contradiction_answered(module).is_some();
        let how = if answered {
            "sound, by the compliance officer, who names the finding; its charge counts as full"
        } else {
            "sound; it counts as suspect, as nobody answers for the finding"
        };
        found.push(
            Found::new(
                "judged in spite of readings that contradict each other",
                how,
            )
            .on(judged)
            .limit("suspect, or an answer of the compliance officer for the finding")
            .way_out("ask what showed it sound while its charge was not known"),
        );
    }
    if let (Some(packed), Some(limit)) = (of_it(Act::Pack), dossier.job.charge_limit_percent()) {
        found.push(
            Found::new(
                format!("packed for a leg with a limit of {limit} %"),
                "its charge may be anything up to full",
            )
            .on(packed)
            .limit(format!("shown to be at {limit} % or below"))
            .way_out("take it off that leg until its charge is shown"),
        );
    }
    if let (Some(last), Some(issue)) = (last, dossier.issues.last())
        && issue.seq < last.seq
    {
        found.push(
            Found::new(
                format!("papers of issue {}", issue.body.issue),
                "they were printed before, and give its charge as known",
            )
            .on(last)
            .limit("papers that give it as full")
            .way_out("issue them again, and tell whoever holds the old ones"),
        );
    }
    found
}

/// Whether an entry reads a charge, or says that readings of it contradict each other.
fn says_of_its_charge(entry: &Entry) -> bool {
    let read = [
        "state_of_charge_percent",
        "terminal_voltage_v",
        "cell_voltage_lowest_v",
        "counted_out_ah",
    ];
    names_it(entry)
        || read
            .iter()
            .any(|name| entry.evidence.number(name).is_some())
}

fn names_it(entry: &Entry) -> bool {
    entry.kind == Kind::Finding
        && entry
            .evidence
            .texts("findings")
            .iter()
            .flat_map(|text| text.split([',', ' ']))
            .any(|code| code == CONTRADICTION)
}

/// Entries that said so once and were corrected since.
fn taken_back(dossier: &Dossier) -> impl Iterator<Item = Found> {
    dossier.entries.iter().filter_map(|one| {
        let first = one.first_written.as_ref()?;
        (names_it(first) && !names_it(&one.entry)).then(|| {
            Found::new(
                format!("finding {CONTRADICTION}"),
                "taken back by a correction, which does not lift it",
            )
            .on(one)
            .limit("corrected readings that agree")
            .way_out("ask which reading was wrong, and how that was found")
        })
    })
}
