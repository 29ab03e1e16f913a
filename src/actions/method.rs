//! The method statement before the visit: steps in order, people, tools, waits, lifts, cautions.

use std::collections::BTreeSet;

use serde::Serialize;

use super::ActionError;
use crate::job::Job;
use crate::physics::foreseen;
use crate::procedure::{Branch, EvidenceSpec, People, Per, required_wait_s};
use crate::store::JobFolder;

/// One step of the statement.
#[derive(Debug, Clone, Serialize)]
pub struct MethodStep {
    /// Id.
    pub step: String,
    /// What to do.
    pub does: String,
    /// Who.
    pub who: String,
    /// `1`, `2`, or `2 above 23 kg`.
    pub people: String,
    /// Once, or for each module.
    pub each_module: bool,
    /// What can hurt.
    pub hazard: String,
    /// What to do when it cannot be passed.
    pub if_fails: String,
    /// Cautions.
    pub cautions: Vec<String>,
    /// What will be asked.
    pub asked: Vec<String>,
}

/// A lift that is foreseen.
#[derive(Debug, Clone, Serialize)]
pub struct LiftForeseen {
    /// The module.
    pub module: String,
    /// Mass in kilograms, or `not known`.
    pub mass_kg: String,
    /// Lifting index for one person, or `not known`.
    pub lifting_index: String,
    /// What to bring.
    pub advice: String,
}

/// The method statement.
#[derive(Debug, Clone, Serialize)]
pub struct Method {
    /// Job.
    pub job: String,
    /// Where, when, what.
    pub heading: String,
    /// Procedure.
    pub procedure: String,
    /// Cautions that come first.
    pub cautions: Vec<String>,
    /// Wait for stored energy, with what decides it.
    pub stored_energy_wait: String,
    /// Voltage of the whole pack and what follows.
    pub voltage: String,
    /// People with their roles and days.
    pub people: Vec<String>,
    /// People, instruments and gloves that are not in date on the planned day.
    pub not_in_date: Vec<String>,
    /// Instruments, gloves and tools of the plan.
    pub instruments: Vec<String>,
    /// Tools that the steps ask for.
    pub tools: Vec<String>,
    /// Protective equipment that the steps ask for.
    pub protective: Vec<String>,
    /// Lifts.
    pub lifts: Vec<LiftForeseen>,
    /// Steps in order.
    pub steps: Vec<MethodStep>,
    /// Settings that are this project's own and not law.
    pub own_numbers: Vec<String>,
}

/// The method statement of the job in `folder`.
///
/// # Errors
/// A plan or procedure that cannot be used.
pub fn method_statement(folder: &JobFolder) -> Result<Method, ActionError> {
    let (job, _) = folder.new_job(None, None)?;
    let frame = job.frame();
    let plan = job.plan();
    let wait = required_wait_s(frame);
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
    Ok(Method {
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
        voltage: voltage_words(&job, group),
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
        not_in_date: not_in_date(&job),
        instruments: frame
            .instruments
            .iter()
            .map(|one| format!("{} {}", one.kind.name().replace('_', " "), one.serial))
            .collect(),
        tools: gathered(|step| &step.tools),
        protective: gathered(|step| &step.protective),
        lifts: lifts(&job),
        steps: steps
            .iter()
            .map(|step| MethodStep {
                step: step.id.clone(),
                does: step.does.clone(),
                who: step
                    .role
                    .iter()
                    .map(|role| role.words())
                    .collect::<Vec<_>>()
                    .join(" or "),
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
    })
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

fn voltage_words(job: &Job, group: crate::units::Decimal) -> String {
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
    modules
        .iter()
        .enumerate()
        .map(|(n, module)| {
            let Some(mass) = module.net_mass_kg else {
                return LiftForeseen {
                    module: module.id.clone(),
                    mass_kg: "not known".into(),
                    lifting_index: "not known".into(),
                    advice: "weigh or look it up; until then two people and an aid".into(),
                };
            };
            let below = u32::try_from(modules.len() - 1 - n).unwrap_or(0);
            let lift = foreseen(mass, below);
            LiftForeseen {
                module: module.id.clone(),
                mass_kg: mass.decimal().to_string(),
                lifting_index: format!("{}.{}", lift.index_tenths / 10, lift.index_tenths % 10),
                advice: if lift.index_tenths <= 10 {
                    "one person".into()
                } else {
                    format!(
                        "a lifting aid, or {} people at the least; stairs and carrying need a second look",
                        lift.people.max(2)
                    )
                },
            }
        })
        .collect()
}
