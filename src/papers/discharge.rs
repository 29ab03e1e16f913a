//! The record sheet of a discharge: for each module whose charge no reading proves low enough for
//! the route, what to expect, when to stop, room for the readings, and what is read after the rest.
//! A module that is never discharged gets a page that says why.

use super::plain_text;
use super::sections::{Grid, Part, Sections, of_numbers, of_words};
use super::stamp::Stamp;
use super::words::{DischargeWords, Words, fill};
use crate::citation::Reason;
use crate::job::{Discharging, Job};
use crate::physics::{CellKind, DischargePlan, READ_EVERY_MIN};
use crate::units::Decimal;

/// The sheets of a job's modules, or why there is none.
///
/// # Errors
/// No limit on the route, or every module proven already.
pub(super) fn discharge_record(job: &Job, stamp: &Stamp) -> Result<Sections, Vec<Reason>> {
    let w = stamp.words;
    let Some(limit) = job.charge_limit_percent() else {
        return Err(vec![
            Reason::new("limit of the state of charge on the route", "none")
                .limit("a leg that asks for one, such as carriage by air")
                .clause("49 CFR 172.102(c)(2), A100; technical instructions, PI 965 (second-hand)")
                .way_out("nothing: without such a leg the charge is left as it is"),
        ]);
    };
    // What is not to be done is read first; the sheets to fill follow, each on its own page.
    let (mut parts, mut sheets): (Vec<Part>, Vec<Part>) = (Vec::new(), Vec::new());
    for module in 0..job.frame().modules.len() {
        if job.progress().left_behind(module).is_some() {
            continue;
        }
        let name = name(job, module, w);
        match job.discharging(module) {
            Discharging::NotAsked | Discharging::Proven => {}
            Discharging::OnlyRead => parts.push(only_read(job, module, name, w)),
            Discharging::Never(reasons) => {
                parts.push(refused(
                    format!("{name}: {}", w.do_not_discharge),
                    &reasons,
                    w,
                ));
            }
            Discharging::NotKnown(reasons) => {
                parts.push(refused(
                    format!("{name}: {}", w.no_discharge_plan),
                    &reasons,
                    w,
                ));
            }
            Discharging::Plan {
                plan,
                every_cell_seen,
            } => sheets.extend(sheet(job, &name, &plan, every_cell_seen, limit, w)),
        }
    }
    parts.extend(sheets);
    if parts.is_empty() {
        return Err(vec![
            Reason::new("state of charge", "proven on every module that left")
                .limit(format!("{limit} % at most"))
                .clause("49 CFR 172.102(c)(2), A100; technical instructions, PI 965 (second-hand)")
                .way_out("nothing: no module is to be discharged"),
        ]);
    }
    let d = &w.wording_of_discharge;
    let lines = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect();
    let mut all = vec![
        Part {
            title: w.cautions_first.to_owned(),
            lines: lines(d.first),
            ..Part::default()
        },
        Part {
            title: w.when_to_stop.to_owned(),
            lines: lines(d.stop),
            ..Part::default()
        },
        Part {
            title: w.when_never.to_owned(),
            strong: true,
            lines: vec![d.never.to_owned()],
            ..Part::default()
        },
    ];
    all.extend(parts);
    Ok(Sections {
        title: w.discharge_record,
        heading: format!(
            "{} {limit} %: {}",
            w.limit_of_route, w.discharge_is_no_permit
        ),
        parts: all,
        sign: match stamp.is_signed() {
            true => vec![w.person_in_charge.to_owned(), w.technician.to_owned()],
            false => Vec::new(),
        },
    })
}

fn name(job: &Job, module: usize, w: &Words) -> String {
    let id = job.frame().modules.get(module).map_or("", |one| &one.id);
    let (serial, proved) = job.identity(module);
    let unproved = if proved {
        ""
    } else {
        w.wording_of_discharge.serial_not_read
    };
    plain_text(&format!("{id}, {serial}{unproved}"))
}

fn refused(title: String, reasons: &[Reason], w: &Words) -> Part {
    Part {
        title,
        new_page: false,
        strong: true,
        lines: reasons
            .iter()
            .map(|reason| plain_text(&w.reason(reason)))
            .collect(),
        table: None,
    }
}

fn only_read(job: &Job, module: usize, name: String, w: &Words) -> Part {
    Part {
        title: format!("{name}: {}", w.only_to_be_read),
        lines: job
            .state_of_charge(module)
            .reasons
            .iter()
            .map(|line| plain_text(&w.refusal(line)))
            .collect(),
        ..Part::default()
    }
}

/// A module's own page: what is foreseen, the readings, and what follows.
fn sheet(
    job: &Job,
    name: &str,
    plan: &DischargePlan,
    every_cell_seen: bool,
    limit: Decimal,
    w: &Words,
) -> [Part; 4] {
    let d = &w.wording_of_discharge;
    let mut foreseen = vec![
        fill(
            d.from_the_most,
            &[
                ("target", &plan.target_percent),
                ("energy", &plan.energy_wh),
            ],
        ),
        fill(
            d.current,
            &[
                ("current", &plan.current_a),
                ("time", &hours(plan.minutes, d)),
            ],
        ),
        fill(
            d.resistor,
            &[
                ("ohm", &plan.resistor_ohm),
                ("watts", &plan.load_w),
                ("time", &hours(plan.minutes_by_resistor, d)),
            ],
        ),
        fill(
            d.warms,
            &[("rise", &plan.rise_k), ("cell", &plan.least_cell_v)],
        ),
    ];
    foreseen.extend(crew_load(job, plan, w));
    if every_cell_seen {
        foreseen.push(d.every_cell.to_owned());
    }
    if plan.ends_early {
        foreseen.push(d.ends_early.to_owned());
    }
    [
        Part {
            title: name.to_owned(),
            new_page: true,
            lines: foreseen,
            ..Part::default()
        },
        Part {
            title: w.load_and_instruments.to_owned(),
            table: Some(Grid {
                columns: [24, 26, 24, 26].map(|share| of_words("", share)).to_vec(),
                rows: d
                    .to_write
                    .map(|[left, right]| {
                        vec![left.into(), String::new(), right.into(), String::new()]
                    })
                    .to_vec(),
                to_fill: true,
                ..Grid::default()
            }),
            ..Part::default()
        },
        Part {
            title: format!("{} {READ_EVERY_MIN} min", w.readings_each),
            table: Some(readings(plan, w)),
            ..Part::default()
        },
        Part {
            title: w.after_the_rest.to_owned(),
            lines: after(job.cell_kind(), plan, limit, d),
            table: Some(Grid {
                columns: vec![
                    of_words("", 22),
                    of_words(w.time, 16),
                    of_words(w.terminal_voltage, 16),
                    of_words(w.lowest_cell, 15),
                    of_words(w.highest_cell, 15),
                    of_words(w.hottest_face, 16),
                ],
                rows: [d.at_the_end, d.after_the_rest]
                    .map(|when| {
                        let mut row = vec![when.to_owned()];
                        row.extend((1..6).map(|_| String::new()));
                        row
                    })
                    .to_vec(),
                to_fill: true,
                ..Grid::default()
            }),
            ..Part::default()
        },
    ]
}

/// The load that the crew has: what is foreseen with it, or why it is not used.
fn crew_load(job: &Job, plan: &DischargePlan, w: &Words) -> Vec<String> {
    let d = &w.wording_of_discharge;
    let Some(load) = &job.plan().discharge_load else {
        return Vec::new();
    };
    if let Some(found) = plan.by_good_load() {
        let (start, end) = (found.start, found.end);
        return vec![plain_text(&fill(
            d.crew_load,
            &[
                ("load", &load.name),
                ("draws", &load.draws.words()),
                ("bears", &load.max_power_w),
                ("time", &hours(found.minutes, d)),
                ("energy", &found.energy_wh),
                ("first_v", &start.voltage_v),
                ("first_a", &start.current_a),
                ("first_w", &start.power_w),
                ("last_v", &end.voltage_v),
                ("last_a", &end.current_a),
                ("last_w", &end.power_w),
            ],
        ))];
    }
    job.load_refused(plan)
        .iter()
        .map(|reason| plain_text(&fill(d.not_crew_load, &[("reason", &w.reason(reason))])))
        .collect()
}

fn readings(plan: &DischargePlan, w: &Words) -> Grid {
    let (last, marks) = plan.by_good_load().map_or_else(
        || (plan.minutes.max(plan.minutes_by_resistor), &plan.marks),
        |found| (found.minutes, &found.marks),
    );
    let ends = last.div_ceil(READ_EVERY_MIN);
    let row = |minute: u32| {
        let foreseen = marks
            .iter()
            .find(|mark| mark.minute == minute)
            .map_or(String::new(), |mark| mark.voltage_v.to_string());
        let mut row = vec![minute.to_string(), foreseen];
        row.extend((2..9).map(|_| String::new()));
        row
    };
    Grid {
        columns: vec![
            of_words(w.minutes, 9),
            of_words(w.foreseen_v, 12),
            of_words(w.time, 10),
            of_words("V", 10),
            of_words("A", 10),
            of_words(w.lowest_cell_v, 15),
            of_words(w.face_c, 12),
            of_words(w.air_c, 10),
            of_numbers("Ah", 12),
        ],
        rows: (0..=ends).map(|n| row(n * READ_EVERY_MIN)).collect(),
        to_fill: true,
        ..Grid::default()
    }
}

fn after(kind: CellKind, plan: &DischargePlan, limit: Decimal, d: &DischargeWords) -> Vec<String> {
    let rest = if kind == CellKind::Lfp {
        d.rest_lfp
    } else {
        d.rest_others
    };
    vec![
        fill(d.let_it_rest, &[("rest", &rest)]),
        match plan.proving_cell_v {
            Some(volts) => fill(d.rested_cell, &[("volts", &volts), ("limit", &limit)]),
            None => d.no_rested_cell.to_owned(),
        },
        fill(d.counting, &[("charge", &plan.counted_ah)]),
        d.not_proven.to_owned(),
    ]
}

fn hours(minutes: u32, d: &DischargeWords) -> String {
    fill(
        d.hours,
        &[
            ("hours", &(minutes / 60)),
            ("minutes", &format!("{:02}", minutes % 60)),
        ],
    )
}
