//! Plans the packages of a job from its ledger and the stock of packagings, and judges such plans.

use std::path::{Path, PathBuf};

use super::ActionError;
use crate::job::Job;
use crate::packing::{
    Carriers, Load, Measured, PackingError, Piece, Stock, check_haul, check_load, plan_haul,
    plan_load,
};
use crate::store::{JobFolder, read_text};

/// Tables beside the job, each where it is given instead.
#[derive(Debug, Clone, Copy, Default)]
pub struct PackTables<'a> {
    /// Packagings at hand, instead of `packagings.csv`.
    pub stock: Option<&'a Path>,
    /// Pallets, overpacks and vehicles, instead of `carriers.csv`.
    pub carriers: Option<&'a Path>,
    /// Modules measured since, instead of `modules.csv`.
    pub modules: Option<&'a Path>,
}

/// The plan for every removed module of the job, judged by the checkers before it is given.
///
/// # Errors
/// A ledger, stock or list of carriers that does not read; a plan that does not hold, which is a bug.
pub fn pack_job(folder: &JobFolder, tables: PackTables<'_>) -> Result<Load, ActionError> {
    let (job, pieces, stock) = read(folder, tables)?;
    let carriers = carriers_of(folder, tables.carriers)?;
    let mut load = plan_load(&job.plan().job, &pieces, &stock);
    if let Some(carriers) = &carriers {
        load.haul = Some(plan_haul(&load, &pieces, &stock, carriers));
    }
    match faults(&load, &pieces, &stock, carriers.as_ref())
        .into_iter()
        .next()
    {
        None => Ok(load),
        Some(fault) => Err(ActionError::PlanDoesNotHold {
            name: load.job,
            fault,
        }),
    }
}

/// What is wrong with a plan for the job, made by this program or by hand.
///
/// # Errors
/// A ledger, stock, list of carriers or plan that does not read.
pub fn check_job_plan(
    folder: &JobFolder,
    tables: PackTables<'_>,
    plan: &Path,
) -> Result<Vec<String>, ActionError> {
    let (_, pieces, stock) = read(folder, tables)?;
    let carriers = carriers_of(folder, tables.carriers)?;
    let load: Load = serde_json::from_str(&read_text(plan)?).map_err(|why| {
        let why = PackingError::Unreadable {
            line: why.line(),
            why: why.to_string(),
        };
        ActionError::Packing {
            path: plan.into(),
            why,
        }
    })?;
    Ok(faults(&load, &pieces, &stock, carriers.as_ref()))
}

fn faults(
    load: &Load,
    pieces: &[Piece],
    stock: &Stock,
    carriers: Option<&Carriers>,
) -> Vec<String> {
    let mut faults: Vec<String> = check_load(load, pieces, stock)
        .iter()
        .map(ToString::to_string)
        .collect();
    match (&load.haul, carriers) {
        (Some(haul), Some(carriers)) => {
            let found = check_haul(haul, load, pieces, stock, carriers);
            faults.extend(found.iter().map(ToString::to_string));
        }
        (Some(_), None) => faults.push("the plan has carriers, but none are listed".into()),
        (None, _) => {}
    }
    faults
}

/// The carriers of that file, or of `carriers.csv` in the job's folder where it lies there.
fn carriers_of(
    folder: &JobFolder,
    carriers: Option<&Path>,
) -> Result<Option<Carriers>, ActionError> {
    let beside = folder.file("carriers.csv");
    let path = match carriers {
        Some(path) => path,
        None if beside.exists() => &beside,
        None => return Ok(None),
    };
    Carriers::read(&read_text(path)?)
        .map(Some)
        .map_err(|why| ActionError::Packing {
            path: path.into(),
            why,
        })
}

fn read(
    folder: &JobFolder,
    tables: PackTables<'_>,
) -> Result<(Job, Vec<Piece>, Stock), ActionError> {
    let job = folder.open()?.job;
    let path = tables
        .stock
        .map_or_else(|| folder.file("packagings.csv"), Path::to_path_buf);
    let stock = Stock::read(&read_text(&path)?).map_err(|why| ActionError::Packing {
        path: path.clone(),
        why,
    })?;
    let (measured, path) = measured_of(folder, tables.modules)?;
    let lifted = (job.frame().modules.iter().enumerate())
        .filter(|(module, _)| job.progress().is_lifted(job.frame(), *module));
    let mut pieces = Vec::new();
    for (module, planned) in lifted {
        let legs = job.plan().route.iter().map(|leg| {
            let mut facts = job.facts(module, leg);
            facts.package = None;
            facts
        });
        let mut piece = Piece {
            module: planned.id.clone(),
            size_mm: planned.outer_size_mm,
            may_lie: planned.may_lie == Some(true),
            stack_load: planned.stack_load_kg,
            terminals_on_top: planned.terminals_on_top,
            legs: legs.collect(),
        };
        measured
            .fill(&mut piece, planned.model.as_deref())
            .map_err(|why| ActionError::Packing {
                path: path.clone(),
                why,
            })?;
        pieces.push(piece);
    }
    Ok((job, pieces, stock))
}

/// What was measured since the plan, from that file, or from `modules.csv` in the job's folder.
fn measured_of(
    folder: &JobFolder,
    modules: Option<&Path>,
) -> Result<(Measured, PathBuf), ActionError> {
    let path = modules.map_or_else(|| folder.file("modules.csv"), Path::to_path_buf);
    if modules.is_none() && !path.exists() {
        return Ok((Measured::default(), path));
    }
    let measured = Measured::read(&read_text(&path)?).map_err(|why| ActionError::Packing {
        path: path.clone(),
        why,
    })?;
    Ok((measured, path))
}
