//! The composite lifting index of several tasks done in turn.
//!
//! CLI = STLI₁ + Σ FILIₙ·(1/FM₁..ₙ − 1/FM₁..ₙ₋₁), tasks in falling order of STLI, FM at summed
//! frequencies (NIOSH 94-110, pp. 26 to 28). Where the manual is silent the stricter way is taken:
//! the low column of Table 5 where any task starts low, the lower limit of the two ends.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, round};
use super::lifting_time::{Duration, frequency_multiplier};
use super::niosh::{Hands, Units, end, places_of};
use crate::battery::Coupling;

/// One task.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Task {
    /// Greatest load, kilograms.
    #[serde(default)]
    pub load_kg: Option<f64>,
    /// Greatest load, pounds.
    #[serde(default)]
    pub load_lb: Option<f64>,
    /// Average load, kilograms; the greatest where absent.
    #[serde(default)]
    pub average_load_kg: Option<f64>,
    /// Average load, pounds.
    #[serde(default)]
    pub average_load_lb: Option<f64>,
    /// Frequency-independent limit, kilograms, instead of the places of the hands.
    #[serde(default)]
    pub firwl_kg: Option<f64>,
    /// Frequency-independent limit, pounds.
    #[serde(default)]
    pub firwl_lb: Option<f64>,
    /// Where it is taken up.
    #[serde(default)]
    pub origin: Option<Hands>,
    /// Where it is put down.
    #[serde(default)]
    pub destination: Option<Hands>,
    /// Grip; poor where absent.
    #[serde(default)]
    pub coupling: Option<Coupling>,
    /// Lifts a minute.
    pub lifts_per_min: f64,
}

/// Several tasks.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TasksInput {
    /// Which set of constants.
    #[serde(default)]
    pub units: Units,
    /// Hours of work with lifting, up to 8.
    pub duration_h: f64,
    /// The tasks, at least one.
    pub tasks: Vec<Task>,
}

/// One task with its indices.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TaskAnswer {
    /// Number in the input, from 1.
    pub task: usize,
    /// Frequency multiplier by itself.
    pub fm: f64,
    /// Frequency-independent limit, in the units of the input.
    pub firwl: f64,
    /// Limit with its frequency.
    pub strwl: f64,
    /// Frequency-independent index.
    pub fili: f64,
    /// Index by itself; absent where the limit is 0.
    pub stli: Option<f64>,
    /// What it adds to the composite index; absent where infinite.
    pub adds: Option<f64>,
}

/// The composite index.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TasksAnswer {
    /// Tasks in falling order of their index.
    pub tasks: Vec<TaskAnswer>,
    /// Composite lifting index; absent where it is over the method's limit.
    pub composite_lifting_index: Option<f64>,
}

struct One {
    number: usize,
    fm: f64,
    often: f64,
    firwl: f64,
    fili: f64,
    stli: f64,
}

/// The composite lifting index.
///
/// # Errors
/// No task, over 8 h, values outside their ranges, a limit of 0.
pub fn lift_tasks(input: &TasksInput) -> Result<TasksAnswer, DomainError> {
    let hours = above_zero("duration_h", input.duration_h)?;
    let class = match hours {
        h if h <= 1.0 => Duration::Short,
        h if h <= 2.0 => Duration::Moderate,
        h if h <= 8.0 => Duration::Long,
        h => {
            return Err(DomainError::new("duration_h", h, "up to 8 h")
                .by("NIOSH 94-110, Table 5, read in a restatement"));
        }
    };
    if input.tasks.is_empty() {
        return Err(DomainError::new("tasks", "empty", "at least one task"));
    }
    // A limit that was given tells nothing of the height: the low column is the stricter.
    let low = input.tasks.iter().try_fold(false, |low, task| {
        let here = match task.origin {
            Some(hands) if task.firwl_kg.is_none() && task.firwl_lb.is_none() => {
                places_of(&hands, input.units)?.1 < input.units.knuckle_height()
            }
            _ => true,
        };
        Ok::<bool, DomainError>(low || here)
    })?;
    let mut tasks = input
        .tasks
        .iter()
        .enumerate()
        .map(|(n, task)| one(n + 1, task, input.units, class, low))
        .collect::<Result<Vec<_>, _>>()?;
    tasks.sort_by(|a, b| b.stli.total_cmp(&a.stli).then(b.often.total_cmp(&a.often)));
    let mut sum = 0.0;
    let mut index = 0.0;
    let mut shown = Vec::new();
    for (n, task) in tasks.iter().enumerate() {
        let before = frequency_multiplier(sum, class, low);
        sum += task.often.max(0.2);
        let adds = if n == 0 {
            task.stli
        } else {
            task.fili * (1.0 / frequency_multiplier(sum, class, low) - 1.0 / before)
        };
        index += adds;
        shown.push(TaskAnswer {
            task: task.number,
            fm: round(task.fm, 4),
            firwl: round(task.firwl, 2),
            strwl: round(task.firwl * task.fm, 2),
            fili: round(task.fili, 3),
            stli: task.stli.is_finite().then(|| round(task.stli, 3)),
            adds: adds.is_finite().then(|| round(adds, 3)),
        });
    }
    Ok(TasksAnswer {
        tasks: shown,
        composite_lifting_index: index.is_finite().then(|| round(index, 3)),
    })
}

fn one(
    number: usize,
    task: &Task,
    units: Units,
    class: Duration,
    low: bool,
) -> Result<One, DomainError> {
    let load = above_zero("load", units.pick("load", task.load_kg, task.load_lb)?)?;
    let average = match (task.average_load_kg, task.average_load_lb) {
        (None, None) => load,
        (kg, lb) => above_zero("average_load", units.pick("average_load", kg, lb)?)?,
    };
    if average > load {
        return Err(DomainError::new(
            "average_load",
            average,
            "at most the greatest load",
        ));
    }
    let often = super::domain::not_below_zero("lifts_per_min", task.lifts_per_min)?;
    let firwl = match (task.firwl_kg, task.firwl_lb, task.origin) {
        (None, None, Some(origin)) => {
            let from = places_of(&origin, units)?;
            let to = task
                .destination
                .map(|hands| places_of(&hands, units))
                .transpose()?;
            let travel = to.map_or(0.0, |to| (to.1 - from.1).abs());
            let grip = task.coupling.unwrap_or(Coupling::Poor);
            let limit = |place| end(units, place, travel, 1.0, grip, false).1;
            to.map_or(limit(from), |to| f64::min(limit(from), limit(to)))
        }
        (kg, lb, _) => units.pick("firwl", kg, lb)?,
    };
    let firwl = above_zero("firwl", firwl)?;
    let fm = frequency_multiplier(often, class, low);
    Ok(One {
        number,
        fm,
        often,
        firwl,
        fili: load / firwl,
        // Infinite where the frequency multiplier is 0.
        stli: average / (firwl * fm),
    })
}
