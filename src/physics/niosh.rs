//! The revised lifting equation in both unit systems, one lift or several, and for a team.
//!
//! RWL = LC·HM·VM·DM·AM·FM·CM, LI = load / RWL (NIOSH 94-110 revised 9/2021, read in a restatement
//! with page numbers; Tables 5 and 7 in a copy). The two systems are not exact conversions
//! of each other: choose one. A team lifts by the strictest published rule, HSE L23 paragraph 120:
//! two thirds of the sum for two, half for three. LI above 1 raises the risk; an LI is never
//! "safe". Out of its scope the answer is "not applicable" and shows no figure.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, absent, not_below_zero, one, round};
use super::hands::{Hands, Units, travel};
use super::lifting_time::{Period, day, frequency_multiplier};
use crate::battery::{Coupling, OutsideScope};

/// One lift.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiftInput {
    /// Which set of constants.
    #[serde(default)]
    pub units: Units,
    /// Load, kilograms (metric).
    #[serde(default)]
    pub load_kg: Option<f64>,
    /// Load, pounds (us).
    #[serde(default)]
    pub load_lb: Option<f64>,
    /// Where it is taken up.
    pub origin: Hands,
    /// Where it is put down with control; absent where it is let go.
    #[serde(default)]
    pub destination: Option<Hands>,
    /// Vertical travel where there is no destination, cm.
    #[serde(default)]
    pub travel_cm: Option<f64>,
    /// Vertical travel where there is no destination, inches.
    #[serde(default)]
    pub travel_in: Option<f64>,
    /// Lifts a minute; below 0.2 counts as 0.2. This or `lifts_in_15_min`.
    #[serde(default)]
    pub lifts_per_min: Option<f64>,
    /// Lifts in 15 minutes where the work lasts less than that in 15; over 15 it replaces
    /// `lifts_per_min` (special adjustment).
    #[serde(default)]
    pub lifts_in_15_min: Option<f64>,
    /// Hours of work with lifting; with `recovery_h` decides the duration class. This or `periods`.
    #[serde(default)]
    pub duration_h: Option<f64>,
    /// Hours of light work or rest after it; taken as enough where absent.
    #[serde(default)]
    pub recovery_h: Option<f64>,
    /// The day's work with lifting, one period after another, instead of `duration_h`.
    #[serde(default)]
    pub periods: Vec<Period>,
    /// Grip.
    pub coupling: Coupling,
    /// Insulating gloves are worn: the grip counts as fair at the best.
    #[serde(default)]
    pub insulating_gloves: bool,
    /// People lifting together, 1 to 4.
    #[serde(default = "one")]
    pub team: u32,
    /// What puts the lift outside the equation.
    #[serde(default)]
    pub outside_scope: Vec<OutsideScope>,
    /// Round as the manual's worksheets do: multipliers to 0.01, weights and indices to 0.1.
    #[serde(default)]
    pub worksheet: bool,
}

/// One end of a lift.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftEnd {
    /// Horizontal multiplier.
    pub hm: f64,
    /// Vertical multiplier.
    pub vm: f64,
    /// Distance multiplier.
    pub dm: f64,
    /// Asymmetry multiplier.
    pub am: f64,
    /// Frequency multiplier.
    pub fm: f64,
    /// Coupling multiplier.
    pub cm: f64,
    /// Recommended weight limit of one person, kilograms.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rwl_kg: Option<f64>,
    /// Recommended weight limit of one person, pounds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rwl_lb: Option<f64>,
    /// Lifting index of one person; absent where the limit is 0.
    pub li: Option<f64>,
}

/// The lift.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftAnswer {
    /// Whether the equation applies.
    pub applicable: bool,
    /// Where it is taken up.
    pub origin: Option<LiftEnd>,
    /// Where it is put down.
    pub destination: Option<LiftEnd>,
    /// Index of the worse end, for the team; absent where nothing may be lifted there.
    pub lifting_index: Option<f64>,
    /// What it means, and why it does not apply.
    pub reasons: Vec<String>,
}

/// Lifts a minute; by the special adjustment where the work lasts less than 15 minutes in 15.
pub(super) fn frequency(per_min: Option<f64>, in_15: Option<f64>) -> Result<f64, DomainError> {
    match (in_15, per_min) {
        (Some(lifts), _) => Ok(not_below_zero("lifts_in_15_min", lifts)? / 15.0),
        (None, Some(lifts)) => not_below_zero("lifts_per_min", lifts),
        (None, None) => Err(absent(
            "lifts_per_min",
            "a frequency, as lifts_per_min or lifts_in_15_min",
        )),
    }
}

/// Why the equation does not apply, in words.
pub(super) fn out_of_scope(outside: &[OutsideScope], hours: f64) -> Vec<String> {
    let mut why: Vec<String> = outside
        .iter()
        .map(|why| format!("not applicable: {}", why.words()))
        .collect();
    if hours > 8.0 {
        why.push("not applicable: over 8 h".into());
    }
    why
}

/// The grip that counts. No container is optimal for a hand in a glove (Table 6, notes, read in a
/// restatement; that this holds for insulating gloves is ours).
pub(super) fn grip(said: Coupling, gloved: bool, reasons: &mut Vec<String>) -> Coupling {
    if gloved && said == Coupling::Good {
        reasons.push(
            "insulating gloves: the grip counts as fair, and as poor unless the fingers bend by 90 \
             degrees"
                .into(),
        );
        return Coupling::Fair;
    }
    said
}

/// What an index means.
pub(super) fn meaning(index: Option<f64>) -> &'static str {
    match index {
        None => "nothing may be lifted there: over the limits of the method",
        Some(index) if index > 3.0 => {
            "above 3: nearly all workers are at increased risk; use a lifting aid or split the load"
        }
        Some(index) if index > 1.0 => {
            "above 1: raised risk for part of the workforce; the goal is 1 or less"
        }
        Some(_) => "1 or less: the goal of the method",
    }
}

pub(super) fn end(
    units: Units,
    (h, v, a): (f64, f64, f64),
    travel: f64,
    fm: f64,
    coupling: Coupling,
    worksheet: bool,
) -> (LiftEnd, f64) {
    let k = units.constants();
    let two = |value: f64| if worksheet { round(value, 2) } else { value };
    let hm = if h > k.farthest {
        0.0
    } else {
        k.reach / h.max(k.reach)
    };
    let vm = if v > k.highest {
        0.0
    } else {
        1.0 - k.slope * (v - k.height).abs()
    };
    let dm = if travel > k.most_travel {
        0.0
    } else {
        // Equal to 1 at the least travel that counts, 25 cm or 10 in.
        0.82 + k.travel / travel.max(k.reach)
    };
    let am = if a > 135.0 { 0.0 } else { 1.0 - 0.0032 * a };
    let cm = match coupling {
        Coupling::Good => 1.0,
        Coupling::Fair if v < k.height => 0.95,
        Coupling::Fair => 1.0,
        Coupling::Poor => 0.90,
    };
    let (mut hm, vm, mut dm, am, fm) = (two(hm), two(vm), two(dm), two(am), two(fm));
    if worksheet {
        // Three printed values of Tables 1 and 3 are not those of the formula; a worksheet is
        // filled in from the tables.
        let is = |value: f64, printed: f64| (value - printed).abs() < 1e-9;
        match units {
            Units::Us if is(h, 22.0) => hm = 0.46,
            Units::Us if is(h, 23.0) => hm = 0.44,
            Units::Metric if is(travel, 130.0) => dm = 0.86,
            _ => {}
        }
    }
    let limit = k.load * hm * vm * dm * am * fm * cm;
    let limit = if worksheet { round(limit, 1) } else { limit };
    let places = if worksheet { 1 } else { 2 };
    let shown = Some(round(limit, places));
    let metric = units == Units::Metric;
    let end = LiftEnd {
        hm: round(hm, 4),
        vm: round(vm, 4),
        dm: round(dm, 4),
        am: round(am, 4),
        fm: round(fm, 4),
        cm,
        rwl_kg: shown.filter(|_| metric),
        rwl_lb: shown.filter(|_| !metric),
        li: None,
    };
    (end, limit)
}

/// Limit of a team as a multiple of one person's, by the strictest published rule.
pub(super) const fn team_factor(people: u32) -> Option<f64> {
    match people {
        1 => Some(1.0),
        2 => Some(4.0 / 3.0),
        // A fourth person adds nothing to the published half of the sum for three.
        3 | 4 => Some(1.5),
        _ => None,
    }
}

/// Limits and index of one lift.
///
/// # Errors
/// Values outside their ranges; a team of more than four.
pub fn lift(input: &LiftInput) -> Result<LiftAnswer, DomainError> {
    lift_unrounded(input).map(|(answer, _)| answer)
}

/// [`lift`], and the team's index before it is rounded for reading.
pub(super) fn lift_unrounded(input: &LiftInput) -> Result<(LiftAnswer, Option<f64>), DomainError> {
    let units = input.units;
    let load = units.load("load", input.load_kg, input.load_lb)?;
    let (hours, class) = day(input.duration_h, input.recovery_h, &input.periods)?;
    let mut reasons = out_of_scope(&input.outside_scope, hours);
    let team = team_factor(input.team).ok_or_else(|| {
        DomainError::new("team", input.team, "1 to 4 people")
            .by("HSE L23, paragraph 120, read: more than four are unlikely to work together")
    })?;
    if !reasons.is_empty() {
        let answer = LiftAnswer {
            applicable: false,
            origin: None,
            destination: None,
            lifting_index: None,
            reasons,
        };
        return Ok((answer, None));
    }
    let from = input.origin.place(units, "origin")?;
    let to = input
        .destination
        .map(|hands| hands.place(units, "destination"))
        .transpose()?;
    let travel = travel(
        units,
        from.1,
        to.map(|to| to.1),
        [input.travel_cm, input.travel_in],
    )?;
    let often = frequency(input.lifts_per_min, input.lifts_in_15_min)?;
    let grip = grip(input.coupling, input.insulating_gloves, &mut reasons);
    let fm = frequency_multiplier(often, class, from.1 < units.constants().height);
    let places = if input.worksheet { 1 } else { 2 };
    let one_end = |place| {
        let (mut one, limit) = end(units, place, travel, fm, grip, input.worksheet);
        one.li = (limit > 0.0).then(|| round(load / limit, places));
        (one, limit)
    };
    let (origin, mut least) = one_end(from);
    let destination = to.map(|place| {
        let (one, limit) = one_end(place);
        least = least.min(limit);
        one
    });
    let index = (least > 0.0).then(|| load / (team * least));
    reasons.push(meaning(index).into());
    if input.team > 1 {
        reasons.push(
            "a team bears less on uneven ground and stairs (HSE L23, paragraph 119, read)".into(),
        );
    }
    let answer = LiftAnswer {
        applicable: true,
        origin: Some(origin),
        destination,
        lifting_index: index.map(|index| round(index, places)),
        reasons,
    };
    Ok((answer, index))
}
