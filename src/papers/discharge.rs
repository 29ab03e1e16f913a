//! The record sheet of a discharge: for each module whose charge no reading proves low enough for
//! the route, what to expect, when to stop, room for the readings, and what is read after the rest.
//! A module that is never discharged gets a page that says why.

use super::plain_text;
use super::sections::{Grid, Part, Sections, of_numbers, of_words};
use super::stamp::Stamp;
use super::words::Words;
use crate::citation::Reason;
use crate::job::{Discharging, Job};
use crate::physics::{CellKind, DischargePlan, READ_EVERY_MIN};
use crate::units::Decimal;

/// Who may, and where. All chosen here; the maker's instructions go before them.
const FIRST: [&str; 4] = [
    "A named competent person decides whether it is discharged at all, and signs below. The maker's \
     instructions, local code and licensed practice go before this sheet.",
    "Nobody with less than a qualification for live work on batteries connects the load: the poles \
     cannot be switched off. Insulated tools, eye protection, no metal worn, a fuse at the first pole.",
    "Outdoors or in a fire compartment, nothing that burns within reach of the load: all the energy \
     becomes heat in it. A person stays in the room the whole time, with a way out.",
    "Module and room between 10 and 35 degC; never below 5 degC. One module at a time, no strings: the \
     lowest cell of a string is driven down first.",
];

/// When to stop. All chosen here.
const STOP: [&str; 4] = [
    "Smoke, hiss, smell, bulging: leave, call the fire service, do not touch the load.",
    "Any surface at 45 degC, or 10 K above its start, or 5 K above the rest of the module: load off, \
     keep away, watch.",
    "A current above the figure below, a voltage that falls faster than foreseen, a cell that cannot be \
     read any more: load off.",
    "The stated end is reached. Never further: below its least voltage a cell is spoiled inside, and \
     one that went below it is never charged again.",
];

/// When it is never done: codes of the catalogue in words. Chosen here.
const NEVER: &str = "Never where any of these was found: gas or smell, leak, venting, swelling, \
    deformation, a pierced or crushed casing, past fire or heat, water, a cell outside its limits, \
    reversed or missing voltage, insulation below 100 ohm/V, an internal fault that the management \
    system reports; never a module that is damaged in law, above 45 degC or below 5 degC, and none \
    with cells more than 100 mV apart unless every cell is watched.";

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
        let name = name(job, module);
        match job.discharging(module) {
            Discharging::NotAsked | Discharging::Proven => {}
            Discharging::OnlyRead => parts.push(only_read(job, module, name, w)),
            Discharging::Never(reasons) => {
                parts.push(refused(format!("{name}: {}", w.do_not_discharge), &reasons));
            }
            Discharging::NotKnown(reasons) => {
                parts.push(refused(
                    format!("{name}: {}", w.no_discharge_plan),
                    &reasons,
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
    let lines = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect();
    let mut all = vec![
        Part {
            title: w.cautions_first.to_owned(),
            lines: lines(&FIRST),
            ..Part::default()
        },
        Part {
            title: w.when_to_stop.to_owned(),
            lines: lines(&STOP),
            ..Part::default()
        },
        Part {
            title: w.when_never.to_owned(),
            strong: true,
            lines: vec![NEVER.to_owned()],
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
        sign: vec![w.person_in_charge, w.technician],
    })
}

fn name(job: &Job, module: usize) -> String {
    let id = job.frame().modules.get(module).map_or("", |one| &one.id);
    let (serial, proved) = job.identity(module);
    let unproved = if proved { "" } else { " (serial not read)" };
    plain_text(&format!("{id}, {serial}{unproved}"))
}

fn refused(title: String, reasons: &[Reason]) -> Part {
    Part {
        title,
        new_page: false,
        strong: true,
        lines: reasons
            .iter()
            .map(|reason| plain_text(&reason.to_string()))
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
            .map(|line| plain_text(line))
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
    let mut foreseen = vec![
        format!(
            "From what it may hold at the most down to {} % of its capacity: {} Wh into the load.",
            plan.target_percent, plan.energy_wh
        ),
        format!(
            "Constant current of {} A at the most (0.2 of the rated capacity, chosen here; the \
             maker's continuous figure goes before it): about {}.",
            plan.current_a,
            hours(plan.minutes)
        ),
        format!(
            "Or a resistor of {} ohm or more, rated {} W or more: about {}. It gets hot enough to \
             burn and to light things.",
            plan.resistor_ohm,
            plan.load_w,
            hours(plan.minutes_by_resistor)
        ),
        format!(
            "The module warms by about {} K by itself. Least cell under load: {} V (from memory, \
             unverified; the maker's figure goes before it).",
            plan.rise_k, plan.least_cell_v
        ),
    ];
    foreseen.extend(crew_load(job, plan));
    if every_cell_seen {
        foreseen.push(
            "Its cells are more than 100 mV apart: only with every cell in view all the time."
                .into(),
        );
    }
    if plan.ends_early {
        foreseen.push(
            "A cell comes to its least voltage before the target at this current: use less.".into(),
        );
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
                rows: [
                    ["load (ohm, A or W)", "who"],
                    ["meter, thermometer", "counter of Ah"],
                    ["started at", "ended at"],
                    ["Ah and Wh at the end", "why it ended"],
                ]
                .map(|[left, right]| vec![left.into(), String::new(), right.into(), String::new()])
                .to_vec(),
                to_fill: true,
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
            lines: after(job.cell_kind(), plan, limit),
            table: Some(Grid {
                columns: vec![
                    of_words("", 22),
                    of_words(w.time, 16),
                    of_words(w.terminal_voltage, 16),
                    of_words(w.lowest_cell, 15),
                    of_words(w.highest_cell, 15),
                    of_words(w.hottest_face, 16),
                ],
                rows: ["at the end", "after the rest"]
                    .map(|when| {
                        let mut row = vec![when.to_owned()];
                        row.extend((1..6).map(|_| String::new()));
                        row
                    })
                    .to_vec(),
                to_fill: true,
            }),
            ..Part::default()
        },
    ]
}

/// The load that the crew has: what is foreseen with it, or why it is not used.
fn crew_load(job: &Job, plan: &DischargePlan) -> Vec<String> {
    let Some(load) = &job.plan().discharge_load else {
        return Vec::new();
    };
    if let Some(found) = plan.by_good_load() {
        let (start, end) = (found.start, found.end);
        return vec![plain_text(&format!(
            "With the crew's load, {} ({}, bears {} W): about {}, {} Wh; {} V, {} A, {} W at the start \
             and {} V, {} A, {} W at the end. The table below foresees this one.",
            load.name,
            load.draws.words(),
            load.max_power_w,
            hours(found.minutes),
            found.energy_wh,
            start.voltage_v,
            start.current_a,
            start.power_w,
            end.voltage_v,
            end.current_a,
            end.power_w,
        ))];
    }
    job.load_refused(plan)
        .iter()
        .map(|reason| plain_text(&format!("NOT with the crew's load: {reason}")))
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
    }
}

fn after(kind: CellKind, plan: &DischargePlan, limit: Decimal) -> Vec<String> {
    let rest = if kind == CellKind::Lfp {
        "24 h without load, or after 1 h two readings 30 min apart that differ by less than 1 mV a cell"
    } else {
        "3 h without load"
    };
    let mut lines = vec![format!(
        "Let it rest: {rest} (relaxation: doi 10.3390/batteries11050186, abstract). Put nothing on \
         it meanwhile, then read the cells and the surface."
    )];
    if let Some(volts) = plan.proving_cell_v {
        lines.push(format!(
            "Highest rested cell at {volts} V or below, read to 5 mV at 25 degC: {limit} % is proven. \
             Enter it as a reading; the program decides with your meter's own error."
        ));
    } else {
        lines.push(
            "No rested voltage proves it for these cells without the maker's own table: count the charge."
                .into(),
        );
    }
    lines.push(format!(
        "Or by counting: a counter of +-1 % and 0.05 A that shows {} Ah or more proves it, from the most \
         that the module may have held.",
        plan.counted_ah
    ));
    lines.push(
        "Not proven is an answer: then it does not fly. Discharge no further than stated.".into(),
    );
    lines
}

fn hours(minutes: u32) -> String {
    format!("{} h {:02} min", minutes / 60, minutes % 60)
}
