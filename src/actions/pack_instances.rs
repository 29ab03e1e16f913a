//! Packs bare instances, and judges plans for them.

use std::path::Path;

use serde::Serialize;

use super::ActionError;
use crate::packing::{Fault, Instance, PackingError, Plan, check, instances, proposals, solve_all};
use crate::store::read_text;

/// What was found of one plan.
#[derive(Debug, Clone, Serialize)]
pub struct PlanJudged {
    /// Name of the instance.
    pub name: String,
    /// Whether every item is in one package and no limit is passed.
    pub holds: bool,
    /// How many packages; none where there is no plan.
    pub packages: Option<usize>,
    /// What is wrong.
    pub faults: Vec<String>,
}

/// A plan for each instance of a file, judged by the checker before it is given.
///
/// # Errors
/// A file that does not read or an item that fits nowhere; a plan that does not hold, which is a
/// bug.
pub fn pack_instances(file: &Path) -> Result<Vec<Plan>, ActionError> {
    let instances = read(file)?;
    let plans = solve_all(&instances);
    for (instance, plan) in instances.iter().zip(&plans) {
        let faults = check(instance, &plan.clone().into());
        if let Some(fault) = faults.first() {
            return Err(ActionError::PlanDoesNotHold {
                name: instance.name.clone(),
                fault: fault.to_string(),
            });
        }
    }
    Ok(plans)
}

/// What is wrong with the plans of a file for the instances of another. Plans are found by name,
/// and by place where names are not of any help.
///
/// # Errors
/// A file that does not read.
pub fn check_plans(file: &Path, plans: &Path) -> Result<Vec<PlanJudged>, ActionError> {
    let instances = read(file)?;
    let proposals = proposals(&read_text(plans)?).map_err(packing(plans))?;
    let judged = instances.iter().enumerate().map(|(at, instance)| {
        let same_name = |name: &str| name == instance.name;
        let named = proposals.iter().find(|plan| same_name(&plan.name));
        // A hand-made plan may have no name: then its place says what it is for.
        let plan = named.or_else(|| proposals.get(at).filter(|plan| plan.name.is_empty()));
        let faults: Vec<String> = match plan {
            Some(plan) => check(instance, plan)
                .into_iter()
                .filter(|fault| !plan.name.is_empty() || !matches!(fault, Fault::OtherName { .. }))
                .map(|fault| fault.to_string())
                .collect(),
            None => vec!["there is no plan for it".into()],
        };
        PlanJudged {
            name: instance.name.clone(),
            holds: faults.is_empty(),
            packages: plan.map(|plan| plan.bins.len()),
            faults,
        }
    });
    let mut judged: Vec<PlanJudged> = judged.collect();
    let strangers = proposals.iter().filter(|plan| {
        !plan.name.is_empty() && instances.iter().all(|instance| instance.name != plan.name)
    });
    judged.extend(strangers.map(|plan| PlanJudged {
        name: plan.name.clone(),
        holds: false,
        packages: Some(plan.bins.len()),
        faults: vec!["there is no instance of that name".into()],
    }));
    Ok(judged)
}

fn read(file: &Path) -> Result<Vec<Instance>, ActionError> {
    instances(&read_text(file)?).map_err(packing(file))
}

fn packing(file: &Path) -> impl FnOnce(PackingError) -> ActionError {
    move |why| ActionError::Packing {
        path: file.into(),
        why,
    }
}
