//! The composite lifting index of several tasks done in turn.
//!
//! CLI = STLI₁ + Σ FILIₙ·(1/FM₁..ₙ − 1/FM₁..ₙ₋₁), tasks in falling order of STLI, FM at summed
//! frequencies (NIOSH 94-110, pp. 26 to 28). Where the manual is silent the stricter way is taken:
//! the low column of Table 5 where any task starts low, the lower limit of the two ends.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, round};
use super::hands::{Hands, Quantity, Units, travel};
use super::lifting_time::{Duration, Period, day, frequency_multiplier};
use super::niosh::{end, frequency, grip, meaning, out_of_scope};
use crate::battery::{Coupling, OutsideScope};

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
    /// Where it is put down with control; absent where it is let go.
    #[serde(default)]
    pub destination: Option<Hands>,
    /// Vertical travel where there is no destination, cm.
    #[serde(default)]
    pub travel_cm: Option<f64>,
    /// Vertical travel where there is no destination, inches.
    #[serde(default)]
    pub travel_in: Option<f64>,
    /// Grip; poor where absent.
    #[serde(default)]
    pub coupling: Option<Coupling>,
    /// Lifts a minute; below 0.2 counts as 0.2. This or `lifts_in_15_min`.
    #[serde(default)]
    pub lifts_per_min: Option<f64>,
    /// Lifts in 15 minutes where the work lasts less than that in 15 (special adjustment).
    #[serde(default)]
    pub lifts_in_15_min: Option<f64>,
}

/// Several tasks.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TasksInput {
    /// Which set of constants.
    #[serde(default)]
    pub units: Units,
    /// Hours of work with lifting, up to 8. This or `periods`.
    #[serde(default)]
    pub duration_h: Option<f64>,
    /// Hours of light work or rest after it; taken as enough where absent.
    #[serde(default)]
    pub recovery_h: Option<f64>,
    /// The day's work with lifting, one period after another, instead of `duration_h`.
    #[serde(default)]
    pub periods: Vec<Period>,
    /// Insulating gloves are worn: every grip counts as fair at the best.
    #[serde(default)]
    pub insulating_gloves: bool,
    /// What puts the work outside the equation.
    #[serde(default)]
    pub outside_scope: Vec<OutsideScope>,
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
    /// Frequency-independent index; absent where nothing may be lifted there.
    pub fili: Option<f64>,
    /// Index by itself; absent where the limit is 0.
    pub stli: Option<f64>,
    /// What it adds to the composite index; absent where infinite.
    pub adds: Option<f64>,
}

/// The composite index.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TasksAnswer {
    /// Whether the equation applies.
    pub applicable: bool,
    /// Tasks in falling order of their index.
    pub tasks: Vec<TaskAnswer>,
    /// Composite lifting index; absent where it is over the method's limit.
    pub composite_lifting_index: Option<f64>,
    /// What it means, and why it does not apply.
    pub reasons: Vec<String>,
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
    let (hours, class) = day(input.duration_h, input.recovery_h, &input.periods)?;
    let mut reasons = out_of_scope(&input.outside_scope, hours);
    if !reasons.is_empty() {
        return Ok(TasksAnswer {
            applicable: false,
            tasks: Vec::new(),
            composite_lifting_index: None,
            reasons,
        });
    }
    if input.tasks.is_empty() {
        return Err(DomainError::new("tasks", "empty", "at least one task"));
    }
    // A limit that was given tells nothing of the height: the low column is the stricter.
    let knuckles = input.units.knuckle_height();
    let of = |n: usize| move |error: DomainError| error.within_part("task", n + 1);
    let mut low = false;
    for (n, task) in input.tasks.iter().enumerate() {
        let origin = task
            .origin
            .filter(|_| task.firwl_kg.is_none() && task.firwl_lb.is_none());
        low |= match origin {
            Some(hands) => hands.place(input.units, "origin").map_err(of(n))?.1 < knuckles,
            None => true,
        };
    }
    let mut tasks = Vec::new();
    for (n, task) in input.tasks.iter().enumerate() {
        let found = one(n + 1, task, input, class, low, &mut reasons).map_err(of(n))?;
        tasks.push(found);
    }
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
            fili: task.fili.is_finite().then(|| round(task.fili, 3)),
            stli: task.stli.is_finite().then(|| round(task.stli, 3)),
            adds: adds.is_finite().then(|| round(adds, 3)),
        });
    }
    let index = Some(index).filter(|index| index.is_finite());
    reasons.push(meaning(index).into());
    reasons.dedup();
    Ok(TasksAnswer {
        applicable: true,
        tasks: shown,
        composite_lifting_index: index.map(|index| round(index, 3)),
        reasons,
    })
}

fn one(
    number: usize,
    task: &Task,
    input: &TasksInput,
    class: Duration,
    low: bool,
    reasons: &mut Vec<String>,
) -> Result<One, DomainError> {
    let units = input.units;
    let load = units.load("load", task.load_kg, task.load_lb)?;
    let average = match (task.average_load_kg, task.average_load_lb) {
        (None, None) => load,
        (kg, lb) => units.load("average_load", kg, lb)?,
    };
    if average > load {
        return Err(DomainError::new(
            "average_load",
            average,
            "at most the greatest load",
        ));
    }
    let often = frequency(task.lifts_per_min, task.lifts_in_15_min)?;
    let firwl = match (task.firwl_kg, task.firwl_lb, task.origin) {
        (None, None, Some(origin)) => {
            let from = origin.place(units, "origin")?;
            let to = task
                .destination
                .map(|hands| hands.place(units, "destination"))
                .transpose()?;
            let height = to.map(|to| to.1);
            let travel = travel(units, from.1, height, [task.travel_cm, task.travel_in])?;
            let said = task.coupling.unwrap_or(Coupling::Poor);
            let grip = grip(said, input.insulating_gloves, reasons);
            let limit = |place| end(units, place, travel, 1.0, grip, false).1;
            to.map_or(limit(from), |to| f64::min(limit(from), limit(to)))
        }
        (kg, lb, _) => above_zero("firwl", units.need("firwl", Quantity::Mass, kg, lb)?)?,
    };
    let fm = frequency_multiplier(often, class, low);
    Ok(One {
        number,
        fm,
        often,
        firwl,
        // Infinite where the hands are out of reach: nothing may be lifted there.
        fili: load / firwl,
        // And where the frequency multiplier is 0.
        stli: average / (firwl * fm),
    })
}
