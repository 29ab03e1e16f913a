//! The method statement, taken from the plan and its procedure.

use std::collections::BTreeSet;

use super::content::{LiftForeseen, Method, MethodStep};
use crate::job::Job;
use crate::physics::{
    DischargePlan, Foreseen, StandingModules, TeamIndex, foreseen, proving_cell_voltage, site_fault,
};
use crate::procedure::{Branch, EvidenceSpec, People, Per, Role, modules_below, required_wait_s};
use crate::units::Decimal;

/// The method statement of a job.
#[must_use]
pub fn method_of(job: &Job) -> Method {
    let frame = job.frame();
    let plan = job.plan();
    let wait = required_wait_s(frame, None);
    let steps: Vec<_> = frame
        .procedure
        .steps
        .iter()
        .enumerate()
        .filter(|(place, step)| !frame.is_left_out(*place) && step.branch != Branch::Custody)
        .map(|(_, step)| step)
        .collect();
    let gathered = |pick: fn(&crate::procedure::Step) -> &Vec<String>| {
        let all: BTreeSet<&String> = steps.iter().flat_map(|step| pick(step)).collect();
        all.into_iter().cloned().collect::<Vec<_>>()
    };
    let group = job.progress().largest_group_v(frame);
    Method {
        job: plan.job.clone(),
        heading: format!(
            "{} at {}, {}, on {}; {} modules for {}",
            plan.installation.name,
            plan.site.name,
            plan.site.address,
            plan.planned_on,
            frame.modules.len(),
            plan.purpose
        ),
        procedure: format!("{} ({})", frame.procedure.title, frame.procedure.id),
        cautions: frame.procedure.cautions.clone(),
        stored_energy_wait: format!("{} s ({})", wait.seconds, wait.from),
        voltage: voltage_words(job, group),
        short_circuit: short_circuit(job),
        state_of_charge: state_of_charge(job),
        people: frame
            .people
            .iter()
            .map(|person| {
                let can: Vec<String> = person
                    .competences
                    .iter()
                    .map(|c| format!("{} until {} ({})", c.role.words(), c.expires_on, c.covers))
                    .collect();
                format!("{} [{}]: {}", person.name, person.id, can.join("; "))
            })
            .collect(),
        not_in_date: not_in_date(job),
        instruments: frame
            .instruments
            .iter()
            .map(|one| format!("{} {}", one.kind.name().replace('_', " "), one.serial))
            .collect(),
        tools: gathered(|step| &step.tools),
        protective: gathered(|step| &step.protective),
        lifts: lifts(job),
        steps: steps
            .iter()
            .map(|step| MethodStep {
                step: step.id.clone(),
                does: step.does.clone(),
                who: Role::any_of(&step.role),
                people: match step.people {
                    People::One => "1".into(),
                    People::Two => "2".into(),
                    People::TwoIfHeavy => "2 above 23 kg".into(),
                },
                each_module: step.per == Per::Module,
                hazard: step.hazard.clone(),
                if_fails: step.if_fails.clone(),
                cautions: step.cautions.clone(),
                asked: step.evidence.iter().flat_map(asked).collect(),
            })
            .collect(),
        own_numbers: frame
            .settings
            .iter()
            .map(|s| {
                format!(
                    "{} = {} {}: {} [{}]",
                    s.name, s.value, s.unit, s.used_for, s.owner
                )
            })
            .collect(),
    }
}

fn asked(spec: &EvidenceSpec) -> Vec<String> {
    if spec.columns.is_empty() {
        return vec![spec.ask.clone()];
    }
    let columns: Vec<&str> = spec
        .columns
        .iter()
        .map(|column| column.ask.as_str())
        .collect();
    vec![format!("{} [{}]", spec.ask, columns.join(" "))]
}

fn voltage_words(job: &Job, group: Decimal) -> String {
    let frame = job.frame();
    let what = if group > frame.setting("group_limit_v") {
        "above the split limit: only the next split point may be opened (NEC 2020, 480.7(C))"
    } else if group > frame.setting("live_work_release_v") {
        "each live link needs a live-work release; rated gloves, second person"
    } else if group > frame.setting("gloves_v") {
        "rated gloves and a second person at every touch"
    } else {
        "no shock gate; burns and arcs stay possible: insulated tools, one pole at a time"
    };
    format!("{group} V dc at most: {what}")
}

fn short_circuit(job: &Job) -> Vec<String> {
    let installation = &job.plan().installation;
    let strings = installation.strings.max(1);
    let modules = u32::try_from(job.frame().modules.len()).unwrap_or(u32::MAX);
    let fault = site_fault(&StandingModules {
        chemistry: job.cell_kind(),
        pack_voltage_v: installation.max_voltage_v.decimal(),
        in_series: modules.div_ceil(strings),
        strings,
    });
    let fault = match fault {
        Ok(fault) => fault,
        Err(why) => return vec![format!("no figure: {why}")],
    };
    let mut lines = vec![format!(
        "one module: about {} A, the whole pack: about {} A, with {} mohm a module (assumed) and no \
         fuse counted; the maker's declared figure goes before it",
        fault.module_current_a, fault.pack_current_a, fault.module_resistance_mohm
    )];
    lines.push(match fault.arc {
        Ok(arc) => format!(
            "arc of the whole pack, 2 s, at 45.7 cm: up to {} cal/cm2; 1.2 cal/cm2 at {} cm \
             (NFPA 70E annex D.5.1, from memory; 100 to 1000 V dc; an upper bound, not a test); \
             gloves class {}, tester rated {} V dc or more",
            arc.energy_cal_cm2,
            arc.boundary_cm,
            arc.glove_class.unwrap_or("above all classes"),
            arc.tester_least_v
        ),
        Err(why) => format!("arc of the whole pack: no figure; {why}"),
    });
    lines
}

fn state_of_charge(job: &Job) -> Vec<String> {
    let Some(limit) = job.charge_limit_percent() else {
        return Vec::new();
    };
    let mut lines = vec![format!(
        "a leg by air asks for {limit} % or less of each module; without proof it does not fly"
    )];
    let kind = job.cell_kind();
    let volts = |error_mv| proving_cell_voltage(kind, limit, Decimal::whole(error_mv));
    lines.push(match (volts(2), volts(5)) {
        (Some(fine), Some(usual)) => format!(
            "rested 24 h at 25 degC, the highest cell proves it at {usual} V or below read to 5 mV, \
             at {fine} V read to 2 mV"
        ),
        _ if job.plan().installation.cell_curve_csv.is_some() => {
            "the maker's own table decides; `packdown show` says the voltage of each module".into()
        }
        _ => "no rested voltage proves it for this chemistry without the maker's own table".into(),
    });
    if let Some(plan) = job.foreseen_discharge() {
        lines.push(format!(
            "a full module needs about {} h {:02} min at {} A (0.2 of its capacity, chosen here) down \
             to {} %, {} Wh of heat in the load, then the rest again; the record sheet and when never \
             to: `packdown issue JOB --draft --paper discharge`",
            plan.minutes / 60,
            plan.minutes % 60,
            plan.current_a,
            plan.target_percent,
            plan.energy_wh
        ));
        lines.extend(crew_load(job, &plan));
    }
    lines.push(
        "else the management system's value with its accuracy, or charge counted from a known point"
            .into(),
    );
    lines
}

/// The load that the crew brings: how long a full module takes, or why it is the wrong one.
fn crew_load(job: &Job, plan: &DischargePlan) -> Vec<String> {
    let (Some(load), Some(found)) = (&job.plan().discharge_load, plan.by_good_load()) else {
        let refused = job.load_refused(plan);
        return refused
            .iter()
            .map(|reason| format!("not with the load of the plan: {reason}"))
            .collect();
    };
    vec![format!(
        "with {} ({}): about {} h {:02} min, {} W and {} A at the most",
        load.name,
        load.draws.words(),
        found.minutes / 60,
        found.minutes % 60,
        found.start.power_w.max(found.end.power_w),
        found.start.current_a.max(found.end.current_a),
    )]
}

fn not_in_date(job: &Job) -> Vec<String> {
    let day = job.plan().planned_on;
    let frame = job.frame();
    let people = frame.people.iter().flat_map(|person| {
        person
            .competences
            .iter()
            .filter(move |c| c.expires_on < day)
            .map(move |c| {
                format!(
                    "{}: {} ended on {}",
                    person.name,
                    c.role.words(),
                    c.expires_on
                )
            })
    });
    let instruments = frame
        .instruments
        .iter()
        .filter_map(|one| one.out_of_date(day))
        .map(|r| r.to_string());
    people.chain(instruments).collect()
}

fn lifts(job: &Job) -> Vec<LiftForeseen> {
    let modules = &job.frame().modules;
    let place = job.plan().installation.lifting.as_ref();
    modules
        .iter()
        .enumerate()
        .map(|(n, module)| {
            let Some(mass) = module.net_mass_kg else {
                return LiftForeseen {
                    module: module.id.clone(),
                    mass_kg: "not known".into(),
                    lifting_index: "not known".into(),
                    lifting_index_of_teams: String::new(),
                    advice: "weigh or look it up; until then two people and an aid".into(),
                };
            };
            let lift = foreseen(mass, modules_below(job.frame(), n), place);
            let index = |people| lift.of(people).map(tenths);
            LiftForeseen {
                module: module.id.clone(),
                mass_kg: mass.decimal().to_string(),
                lifting_index: match &lift {
                    Foreseen::NotApplicable(_) => "not applicable".into(),
                    Foreseen::OutOfReach => "out of reach".into(),
                    Foreseen::Index(_) => index(1).unwrap_or_default(),
                },
                lifting_index_of_teams: [2, 3]
                    .into_iter()
                    .filter_map(index)
                    .collect::<Vec<_>>()
                    .join(", "),
                advice: advice(&lift),
            }
        })
        .collect()
}

fn tenths(team: TeamIndex) -> String {
    format!("{}.{}", team.tenths / 10, team.tenths % 10)
}

/// What to bring. An index above 1 is no prohibition; the person in charge decides.
fn advice(lift: &Foreseen) -> String {
    match lift {
        Foreseen::NotApplicable(why) => format!(
            "a lifting aid, and the person in charge looks at the place first ({})",
            why.join("; ")
        ),
        Foreseen::OutOfReach => "a lifting aid; nobody lifts there by hand".into(),
        Foreseen::Index(teams) => match (lift.people_at_goal(), teams) {
            (Some(1), _) => "one person".into(),
            (Some(people), _) => {
                format!("a lifting aid, or {people} people; stairs and carrying need a second look")
            }
            (None, [.., three]) if three.tenths > 30 => {
                "a lifting aid, or split the load: above 3 for any number of people".into()
            }
            (None, _) => "a lifting aid; above 1 for any number of people".into(),
        },
    }
}
