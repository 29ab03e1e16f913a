//! Plans the packages of a job from its ledger and the stock of packagings, and judges such plans.

use std::path::Path;

use super::ActionError;
use crate::job::Job;
use crate::packing::{Load, Piece, Stock, check_load, plan_load};
use crate::store::{JobFolder, read_text};

/// The plan for every removed module of the job, judged by the checker before it is given.
///
/// # Errors
/// A ledger or stock that does not read; a plan that does not hold, which is a bug.
pub fn pack_job(folder: &JobFolder, stock: Option<&Path>) -> Result<Load, ActionError> {
    let (job, pieces, stock) = read(folder, stock)?;
    let load = plan_load(&job.plan().job, &pieces, &stock);
    match check_load(&load, &pieces, &stock).first() {
        None => Ok(load),
        Some(fault) => Err(ActionError::PlanDoesNotHold {
            name: load.job,
            fault: fault.to_string(),
        }),
    }
}

/// What is wrong with a plan for the job, made by this program or by hand.
///
/// # Errors
/// A ledger, stock or plan that does not read.
pub fn check_job_plan(
    folder: &JobFolder,
    stock: Option<&Path>,
    plan: &Path,
) -> Result<Vec<String>, ActionError> {
    let (_, pieces, stock) = read(folder, stock)?;
    let load: Load = serde_json::from_str(&read_text(plan)?).map_err(|why| {
        let why = crate::packing::PackingError::Unreadable {
            line: why.line(),
            why: why.to_string(),
        };
        ActionError::Packing {
            path: plan.into(),
            why,
        }
    })?;
    Ok(check_load(&load, &pieces, &stock)
        .iter()
        .map(ToString::to_string)
        .collect())
}

fn read(folder: &JobFolder, stock: Option<&Path>) -> Result<(Job, Vec<Piece>, Stock), ActionError> {
    let job = folder.open()?.job;
    let path = stock.map_or_else(|| folder.file("packagings.csv"), Path::to_path_buf);
    let stock = Stock::read(&read_text(&path)?).map_err(|why| ActionError::Packing {
        path: path.clone(),
        why,
    })?;
    let pieces = job
        .frame()
        .modules
        .iter()
        .enumerate()
        .filter(|(module, _)| job.progress().is_lifted(job.frame(), *module))
        .map(|(module, planned)| Piece {
            module: planned.id.clone(),
            size_mm: planned.outer_size_mm,
            may_lie: planned.may_lie == Some(true),
            legs: job
                .plan()
                .route
                .iter()
                .map(|leg| {
                    let mut facts = job.facts(module, leg);
                    facts.package = None;
                    facts
                })
                .collect(),
        })
        .collect();
    Ok((job, pieces, stock))
}
