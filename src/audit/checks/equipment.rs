//! Instruments and gloves: on the plan, in date on the day, good for what is there.

use std::collections::BTreeMap;

use crate::audit::{Dossier, Found, Recorded};
use crate::inspection::{Instrument, InstrumentKind};
use crate::procedure::EvidenceKind;

/// Every instrument that an entry names, once a serial, with the entry that named it first and how
/// often it was used on that day or later.
fn used(dossier: &Dossier) -> BTreeMap<(&str, chrono::NaiveDate), (&Recorded, usize)> {
    let mut found: BTreeMap<(&str, chrono::NaiveDate), (&Recorded, usize)> = BTreeMap::new();
    for one in dossier.passed() {
        let Some(step) = dossier.step_of(one) else {
            continue;
        };
        for spec in &step.evidence {
            let is_source = matches!(spec.name.as_str(), "source" | "torque_tool");
            if spec.kind != EvidenceKind::Instrument && !is_source {
                continue;
            }
            let Some(serial) = one.entry.evidence.text(&spec.name) else {
                continue;
            };
            // A live point in place of a proving unit is no instrument.
            if is_source && dossier.frame().instrument(serial).is_none() {
                continue;
            }
            let day = one.entry.at.local_day();
            found.entry((serial, day)).or_insert((one, 0)).1 += 1;
        }
    }
    found
}

/// `instruments.on_plan`
pub(in crate::audit) fn on_plan(dossier: &Dossier) -> Vec<Found> {
    used(dossier)
        .into_iter()
        .filter(|((serial, _), _)| dossier.frame().instrument(serial).is_none())
        .map(|((serial, _), (one, _))| {
            Found::new(
                format!("instrument {serial}"),
                "not among the instruments of the job",
            )
            .on(one)
            .limit("every instrument on the plan, with its due date")
            .way_out("find its calibration record")
        })
        .collect()
}

/// `instruments.in_date`
pub(in crate::audit) fn in_date(dossier: &Dossier) -> Vec<Found> {
    out_of_date(dossier, |one| one.kind != InstrumentKind::Gloves)
}

/// `gloves.in_date`
pub(in crate::audit) fn gloves_in_date(dossier: &Dossier) -> Vec<Found> {
    out_of_date(dossier, |one| one.kind == InstrumentKind::Gloves)
}

fn out_of_date(dossier: &Dossier, is: impl Fn(&Instrument) -> bool) -> Vec<Found> {
    used(dossier)
        .into_iter()
        .filter_map(|((serial, day), (one, times))| {
            let instrument = dossier.frame().instrument(serial).filter(|one| is(one))?;
            let reason = instrument.out_of_date(day)?;
            Some(
                Found::new(
                    reason.what,
                    format!("{}; used {times} times on {day}", reason.value),
                )
                .on(one)
                .limit(reason.limit)
                .way_out("look at every reading made with it since its last good check"),
            )
        })
        .collect()
}

/// `gloves.air_test`
pub(in crate::audit) fn air_test(dossier: &Dossier) -> Vec<Found> {
    let asks = |one: &&Recorded| {
        dossier
            .step_of(one)
            .is_some_and(|step| step.spec("gloves_air_tested").is_some())
    };
    dossier
        .passed()
        .filter(asks)
        .filter(|one| one.entry.evidence.yes_no("gloves_air_tested") != Some(true))
        .map(|one| {
            Found::new("gloves blown up and looked over", "not on record")
                .on(one)
                .limit("an air test before each use")
                .way_out("ask the crew; take gloves that were not tested out of use")
        })
        .collect()
}

/// `gloves.class`
pub(in crate::audit) fn glove_class(dossier: &Dossier) -> Vec<Found> {
    let highest = dossier.frame().installation.max_voltage_v;
    used(dossier)
        .into_iter()
        .filter_map(|((serial, _), (one, _))| {
            let gloves = dossier
                .frame()
                .instrument(serial)
                .filter(|one| one.kind == InstrumentKind::Gloves)?;
            let found = match gloves.glove_class {
                Some(class) if class.accepted_dc() >= highest => return None,
                Some(class) => format!("good for {} V dc", class.accepted_dc().decimal()),
                None => "class not known".to_owned(),
            };
            Some(
                Found::new(format!("gloves {serial}"), found)
                    .on(one)
                    .limit(format!(
                        "{} V dc, the highest of the battery",
                        highest.decimal()
                    ))
                    .way_out("find out which gloves were worn"),
            )
        })
        .collect()
}
