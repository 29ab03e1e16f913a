//! The method statement, taken from the plan and its procedure.

use std::collections::BTreeSet;

use super::content::{LiftForeseen, Method, MethodStep, OwnNumbers};
use crate::job::Job;
use crate::papers::stamp::words;
use crate::papers::words::{MethodWords, Words, fill};
use crate::physics::{
    DischargePlan, Foreseen, StandingModules, TeamIndex, foreseen, proving_cell_voltage, site_fault,
};
use crate::procedure::{
    Act, Branch, EvidenceSpec, People, Per, Role, Step, modules_below, required_wait_s,
};
use crate::units::Decimal;

/// The method statement of a job.
#[must_use]
pub fn method_of(job: &Job) -> Method {
    method_in(job, words())
}

/// The same in the words of a language; the sentences of the procedure stay as its file has them.
pub(crate) fn method_in(job: &Job, w: &Words) -> Method {
    let m = &w.wording_of_method;
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
    let steps = in_order(steps);
    let gathered = |pick: fn(&crate::procedure::Step) -> &Vec<String>| {
        let all: BTreeSet<&String> = steps.iter().flat_map(|step| pick(step)).collect();
        all.into_iter().cloned().collect::<Vec<_>>()
    };
    let group = job.progress().largest_group_v(frame);
    Method {
        job: plan.job.clone(),
        heading: fill(
            m.heading,
            &[
                ("installation", &plan.installation.name),
                ("site", &plan.site.name),
                ("address", &plan.site.address),
                ("day", &plan.planned_on),
                ("count", &frame.modules.len()),
                ("purpose", &w.states.purpose(plan.purpose)),
            ],
        ),
        procedure: format!("{} ({})", frame.procedure.title, frame.procedure.id),
        cautions: frame.procedure.cautions.clone(),
        stored_energy_wait: format!("{} s ({})", wait.seconds, w.term(&wait.from)),
        voltage: voltage_words(job, group, m),
        short_circuit: short_circuit(job, w),
        state_of_charge: state_of_charge(job, w),
        people: frame
            .people
            .iter()
            .map(|person| {
                let can: Vec<String> = person
                    .competences
                    .iter()
                    .map(|c| {
                        fill(
                            m.person_until,
                            &[
                                ("role", &w.term(c.role.words())),
                                ("day", &c.expires_on),
                                ("covers", &c.covers),
                            ],
                        )
                    })
                    .collect();
                format!("{} [{}]: {}", person.name, person.id, can.join("; "))
            })
            .collect(),
        not_in_date: not_in_date(job, w),
        instruments: frame
            .instruments
            .iter()
            .map(|one| {
                let kind = w.term(&one.kind.name().replace('_', " "));
                format!("{kind} {}", one.serial)
            })
            .collect(),
        tools: gathered(|step| &step.tools),
        protective: gathered(|step| &step.protective),
        lifts: lifts(job, w),
        steps: steps
            .iter()
            .map(|step| MethodStep {
                step: step.id.clone(),
                does: step.does.clone(),
                who: any_of(&step.role, w),
                people: match step.people {
                    People::One => "1".into(),
                    People::Two => "2".into(),
                    People::TwoIfHeavy => m.two_if_heavy.into(),
                },
                each_module: step.per == Per::Module,
                red_flag: step.branch == Branch::RedFlag,
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
        by_owner: by_owner(job),
    }
}

/// Any one of the roles may.
fn any_of(roles: &[Role], w: &Words) -> String {
    let words: Vec<&str> = roles.iter().map(|role| role.words()).collect();
    w.terms_of(&words, &format!(" {} ", w.states.or))
}

fn by_owner(job: &Job) -> Vec<OwnNumbers> {
    let mut all: Vec<OwnNumbers> = Vec::new();
    for s in job.frame().settings.iter() {
        let line = format!("{} = {} {}: {}", s.name, s.value, s.unit, s.used_for);
        match all.iter_mut().find(|one| one.owner == s.owner) {
            Some(one) => one.lines.push(line),
            None => all.push(OwnNumbers {
                owner: s.owner.clone(),
                lines: vec![line],
            }),
        }
    }
    all
}

/// The steps in the order of the work: what needs nothing of the hand-over is done before it, right
/// behind the last step that it waits for.
fn in_order(steps: Vec<&Step>) -> Vec<&Step> {
    let Some(release) = steps.iter().position(|step| step.does_act(Act::Release)) else {
        return steps;
    };
    let (mut ordered, behind): (Vec<&Step>, Vec<&Step>) = {
        let (before, behind) = steps.split_at(release + 1);
        (before.to_vec(), behind.to_vec())
    };
    for step in behind {
        let needed = |one: &&Step| {
            step.needs
                .iter()
                .any(|need| need.ids().contains(&one.id.as_str()))
        };
        let last = ordered.iter().rposition(needed);
        let place = match last {
            Some(last) if step.branch == Branch::Main => last + 1,
            _ => ordered.len(),
        };
        ordered.insert(place, step);
    }
    ordered
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

fn voltage_words(job: &Job, group: Decimal, m: &MethodWords) -> String {
    let frame = job.frame();
    let what = if group > frame.setting("group_limit_v") {
        m.above_split
    } else if group > frame.setting("live_work_release_v") {
        m.live_work
    } else if group > frame.setting("gloves_v") {
        m.gloves
    } else {
        m.no_shock
    };
    fill(m.volts, &[("volts", &group), ("what", &what)])
}

fn short_circuit(job: &Job, w: &Words) -> Vec<String> {
    let m = &w.wording_of_method;
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
        Err(why) => return vec![fill(m.no_figure, &[("why", &w.refusal(&why.to_string()))])],
    };
    vec![
        fill(
            m.short_circuit,
            &[
                ("module", &fault.module_current_a),
                ("pack", &fault.pack_current_a),
                ("mohm", &fault.module_resistance_mohm),
            ],
        ),
        match fault.arc {
            Ok(arc) => fill(
                m.arc,
                &[
                    ("energy", &arc.energy_cal_cm2),
                    ("boundary", &arc.boundary_cm),
                    ("class", &arc.glove_class.unwrap_or(m.above_all_classes)),
                    ("volts", &arc.tester_least_v),
                ],
            ),
            Err(why) => fill(m.no_arc, &[("why", &w.refusal(&why))]),
        },
    ]
}

fn state_of_charge(job: &Job, w: &Words) -> Vec<String> {
    let m = &w.wording_of_method;
    let Some(limit) = job.charge_limit_percent() else {
        return Vec::new();
    };
    let mut lines = vec![fill(m.by_air, &[("limit", &limit)])];
    let kind = job.cell_kind();
    let volts = |error_mv| proving_cell_voltage(kind, limit, Decimal::whole(error_mv));
    lines.push(match (volts(2), volts(5)) {
        (Some(fine), Some(usual)) => fill(m.rested_cell, &[("usual", &usual), ("fine", &fine)]),
        _ if job.plan().installation.cell_curve_csv.is_some() => m.makers_table.to_owned(),
        _ => m.no_rested_cell.to_owned(),
    });
    if let Some(plan) = job.foreseen_discharge() {
        lines.push(fill(
            m.full_module,
            &[
                ("hours", &(plan.minutes / 60)),
                ("minutes", &format!("{:02}", plan.minutes % 60)),
                ("current", &plan.current_a),
                ("target", &plan.target_percent),
                ("energy", &plan.energy_wh),
            ],
        ));
        lines.extend(crew_load(job, &plan, w));
    }
    lines.push(m.other_proof.to_owned());
    lines
}

/// The load that the crew brings: how long a full module takes, or why it is the wrong one.
fn crew_load(job: &Job, plan: &DischargePlan, w: &Words) -> Vec<String> {
    let m = &w.wording_of_method;
    let (Some(load), Some(found)) = (&job.plan().discharge_load, plan.by_good_load()) else {
        let refused = job.load_refused(plan);
        return refused
            .iter()
            .map(|reason| fill(m.not_with_load, &[("reason", &w.reason(reason))]))
            .collect();
    };
    vec![fill(
        m.with_load,
        &[
            ("load", &load.name),
            ("draws", &load.draws.words()),
            ("hours", &(found.minutes / 60)),
            ("minutes", &format!("{:02}", found.minutes % 60)),
            ("watts", &found.start.power_w.max(found.end.power_w)),
            ("current", &found.start.current_a.max(found.end.current_a)),
        ],
    )]
}

fn not_in_date(job: &Job, w: &Words) -> Vec<String> {
    let m = &w.wording_of_method;
    let day = job.plan().planned_on;
    let frame = job.frame();
    let people = frame.people.iter().flat_map(|person| {
        person
            .competences
            .iter()
            .filter(move |c| c.expires_on < day)
            .map(move |c| {
                fill(
                    m.ended_on,
                    &[
                        ("name", &person.name),
                        ("role", &w.term(c.role.words())),
                        ("day", &c.expires_on),
                    ],
                )
            })
    });
    let instruments = frame
        .instruments
        .iter()
        .filter_map(|one| one.out_of_date(day))
        .map(|reason| w.reason(&reason));
    people.chain(instruments).collect()
}

fn lifts(job: &Job, w: &Words) -> Vec<LiftForeseen> {
    let m = &w.wording_of_method;
    let modules = &job.frame().modules;
    let place = job.plan().installation.lifting.as_ref();
    modules
        .iter()
        .enumerate()
        .map(|(n, module)| {
            let Some(mass) = module.net_mass_kg else {
                return LiftForeseen {
                    module: module.id.clone(),
                    mass_kg: w.not_known.into(),
                    lifting_index: w.not_known.into(),
                    lifting_index_of_teams: String::new(),
                    advice: m.weigh_it.into(),
                };
            };
            let lift = foreseen(mass, modules_below(job.frame(), n), place);
            let index = |people| lift.of(people).map(tenths);
            LiftForeseen {
                module: module.id.clone(),
                mass_kg: mass.decimal().to_string(),
                lifting_index: match &lift {
                    Foreseen::NotApplicable(_) => m.not_applicable.into(),
                    Foreseen::OutOfReach => m.out_of_reach.into(),
                    Foreseen::Index(_) => index(1).unwrap_or_default(),
                },
                lifting_index_of_teams: [2, 3]
                    .into_iter()
                    .filter_map(index)
                    .collect::<Vec<_>>()
                    .join(", "),
                advice: advice(&lift, w),
            }
        })
        .collect()
}

fn tenths(team: TeamIndex) -> String {
    format!("{}.{}", team.tenths / 10, team.tenths % 10)
}

/// What to bring. An index above 1 is no prohibition; the person in charge decides.
fn advice(lift: &Foreseen, w: &Words) -> String {
    let m = &w.wording_of_method;
    match lift {
        Foreseen::NotApplicable(why) => fill(m.aid_and_look, &[("why", &w.terms_of(why, "; "))]),
        Foreseen::OutOfReach => m.aid_nobody.into(),
        Foreseen::Index(teams) => match (lift.people_at_goal(), teams) {
            (Some(1), _) => m.one_person.into(),
            (Some(people), _) => fill(m.aid_or_people, &[("people", &people)]),
            (None, [.., three]) if three.tenths > 30 => m.aid_or_split.into(),
            (None, _) => m.aid.into(),
        },
    }
}
