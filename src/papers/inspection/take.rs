//! Inspection sheets taken from a job.

use super::chart::{self, TrendPoint};
use super::content::InspectionSheet;
use crate::battery::Chemistry;
use crate::clock::Moment;
use crate::inspection::Sheet;
use crate::job::Job;
use crate::papers::page::{layer, soundness_shape, unbroken};
use crate::papers::plain_text;
use crate::papers::stamp::Stamp;
use crate::physics::{self, CellKind};
use crate::procedure::Outcome;
use crate::units::{Decimal, Grams};

/// The sheet of every module that was looked at.
pub(crate) fn inspection_sheets(job: &Job, stamp: &Stamp) -> Vec<InspectionSheet> {
    (0..job.frame().modules.len())
        .filter(|module| job.progress().left_behind(*module).is_none())
        .map(|module| sheet(job, module, stamp))
        .collect()
}

fn sheet(job: &Job, module: usize, stamp: &Stamp) -> InspectionSheet {
    let w = stamp.words;
    let sheet = job.sheet(module);
    let soundness = job.soundness(module);
    let or_not = |value: Option<String>| {
        value.map_or_else(|| w.not_known.to_owned(), |value| plain_text(&value))
    };
    let facts = vec![
        (w.module.to_owned(), plain_text(&sheet.module)),
        (w.model.to_owned(), or_not(sheet.model.clone())),
        (w.position.to_owned(), sheet.position.to_string()),
        (w.judged.to_owned(), or_not(sheet.judged_by.clone())),
        (w.criteria.to_owned(), or_not(sheet.criteria_source.clone())),
        (w.covers.to_owned(), or_not(sheet.terminal_covers.clone())),
        (
            w.lifted.to_owned(),
            or_not(sheet.lift_note.as_deref().map(|note| w.listed(note))),
        ),
        (
            w.package.to_owned(),
            or_not(match (&sheet.package, &sheet.packaging) {
                (Some(package), Some(packaging)) => {
                    let layer = layer(job.layer_of(module), w);
                    let parts = [package, &w.term(packaging), &layer];
                    let said = parts.into_iter().filter(|part| !part.is_empty());
                    Some(said.map(String::as_str).collect::<Vec<_>>().join(", "))
                }
                (Some(package), None) => Some(package.clone()),
                (None, _) => None,
            }),
        ),
        (w.photographs.to_owned(), sheet.photos.len().to_string()),
    ];
    let interval = interval(&sheet);
    InspectionSheet {
        module: plain_text(&sheet.module),
        serial: plain_text(&sheet.serial),
        serial_proved: sheet.serial_proved,
        facts,
        readings: readings(job, module, &sheet, stamp),
        soundness: w.states.soundness(soundness),
        soundness_shape: soundness_shape(soundness),
        findings: sheet
            .findings
            .iter()
            .map(|code| w.finding(&plain_text(code)))
            .collect(),
        trend: chart::trend(&series(job, &sheet.module), w),
        charge: chart::charge(curve(job).as_deref(), interval, w),
    }
}

fn readings(job: &Job, module: usize, sheet: &Sheet, stamp: &Stamp) -> Vec<(String, String)> {
    let w = stamp.words;
    let number = |name: &str, value: Option<Decimal>, unit: &str| {
        let value = value.map_or_else(|| w.not_known.to_owned(), |value| format!("{value} {unit}"));
        (name.to_owned(), value)
    };
    let charge = &sheet.state_of_charge;
    let mass = job.net_mass(module);
    let mut readings = vec![
        number(w.hottest_face, sheet.surface_temperature_c, "\u{b0}C"),
        number(w.air_title, sheet.ambient_temperature_c, "\u{b0}C"),
        number(w.terminal_voltage, sheet.terminal_voltage_v, "V"),
        number(w.positive_to_case, sheet.positive_to_case_v, "V"),
        number(w.negative_to_case, sheet.negative_to_case_v, "V"),
        number(w.insulation, sheet.insulation_ohm_per_v, "ohm/V"),
        number(w.lowest_cell, sheet.cell_voltage_lowest_v, "V"),
        number(w.highest_cell, sheet.cell_voltage_highest_v, "V"),
        (
            w.state_of_charge.to_owned(),
            match interval(sheet) {
                Some(_) => format!(
                    "{} % {}, {}",
                    w.range(&charge.low_percent, &charge.high_percent),
                    w.of_present_capacity,
                    unbroken(&w.listed(&plain_text(&charge.basis)))
                ),
                None => w.taken_as_full.to_owned(),
            },
        ),
        (
            w.energy_inside.to_owned(),
            job.energy_inside(module).map_or_else(
                || w.not_known.to_owned(),
                |inside| format!("{} Wh", w.range(&inside.low_wh, &inside.high_wh)),
            ),
        ),
        (
            w.net_mass.to_owned(),
            mass.map_or_else(|| w.not_weighed.to_owned(), |mass: Grams| stamp.mass(mass)),
        ),
    ];
    let remarks = charge.reasons.iter().map(|reason| w.refusal(reason));
    let remarks: Vec<String> = remarks.collect();
    for (name, lines) in [
        (w.curves_used, charge.curves.join(", ")),
        (w.charge_remarks, remarks.join("; ")),
    ] {
        if !lines.is_empty() {
            readings.push((name.to_owned(), plain_text(&lines)));
        }
    }
    readings
}

/// The interval in thousandths of a per cent, where it says more than nothing.
fn interval(sheet: &Sheet) -> Option<(i64, i64)> {
    let charge = &sheet.state_of_charge;
    let (low, high) = (
        charge.low_percent.thousandths()?,
        charge.high_percent.thousandths()?,
    );
    ((low, high) != (0, 100_000)).then_some((low, high))
}

/// Every reading of the hottest face that passed, with the air beside it, in order of time.
fn series(job: &Job, module: &str) -> Vec<TrendPoint> {
    let mut readings: Vec<(Moment, i64, i64, Option<i64>)> = Vec::new();
    for (n, taken) in job.taken().iter().enumerate() {
        // As corrected since, where it was.
        let Some(entry) = job.progress().entry(n + 1) else {
            continue;
        };
        let counts = matches!(taken.judgement.outcome, Outcome::Passed | Outcome::Recorded);
        if !counts || entry.module.as_deref() != Some(module) {
            continue;
        }
        let thousandths = |evidence: &crate::procedure::Evidence, name: &str| {
            evidence.number(name).and_then(Decimal::thousandths)
        };
        if let Some(face) = thousandths(&entry.evidence, "face_temperature_c") {
            let air = thousandths(&entry.evidence, "ambient_temperature_c");
            readings.push((entry.at, 0, face, air));
        }
        // Looks after a move count their minutes from the reading before.
        let from = readings.last().map_or(entry.at, |last| last.0);
        for look in entry.evidence.rows("watch") {
            let minutes = look.number("minutes").and_then(Decimal::as_whole);
            if let (Some(minutes), Some(face)) = (minutes, thousandths(look, "face_temperature_c"))
            {
                let air = thousandths(look, "ambient_temperature_c");
                readings.push((from, minutes, face, air));
            }
        }
    }
    let Some(first) = readings.first().map(|reading| reading.0) else {
        return Vec::new();
    };
    let mut points: Vec<TrendPoint> = readings
        .into_iter()
        .map(|(at, later, face, air)| TrendPoint {
            minutes: at.seconds_since(first) / 60 + later,
            face,
            air,
        })
        .collect();
    points.sort_by_key(|point| point.minutes);
    points
}

/// Millivolts of a rested cell at each per cent, by the published curve of the chemistry.
fn curve(job: &Job) -> Option<Vec<i64>> {
    let name = match job.cell_kind() {
        // The published sodium curve is of organic electrolyte.
        CellKind::SodiumIon if job.plan().installation.chemistry == Chemistry::SodiumIonAqueous => {
            return None;
        }
        CellKind::SodiumIon => "naion_chayambuka2022",
        CellKind::Lfp => "lfp_bpx2022",
        CellKind::Nmc => "nmc_bpx2022",
        CellKind::Nca => "nca_kim2011",
        CellKind::Lco => "lco_ai2020",
        CellKind::Lto => "lto_constructed",
        CellKind::Nco | CellKind::Unknown => return None,
    };
    let curve = physics::published_named(name)?;
    Some((0..=100).map(|percent| curve.millivolts(percent)).collect())
}
