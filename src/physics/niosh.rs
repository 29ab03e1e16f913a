//! The revised lifting equation in both unit systems, one lift or several, and for a team.
//!
//! RWL = LC·HM·VM·DM·AM·FM·CM, LI = load / RWL (NIOSH 94-110 revised 9/2021, read in a restatement
//! with page numbers; Tables 5 and 7 in a copy). The two systems are not exact conversions
//! of each other: choose one. A team lifts by the strictest published rule, HSE L23 paragraph 120:
//! two thirds of the sum for two, half for three. LI above 1 raises the risk; an LI is never
//! "safe". Out of its scope the answer is "not applicable" and shows no figure.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, not_below_zero, one, round, within};
use super::lifting_time::{class_of, frequency_multiplier};
use crate::battery::{Coupling, OutsideScope};

/// Which set of constants.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Kilograms and centimetres.
    #[default]
    Metric,
    /// Pounds and inches.
    Us,
}

/// Where the hands are at one end of a lift. Give centimetres (metric) or inches (us).
#[derive(Debug, Clone, Copy, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hands {
    /// Horizontal distance of the hands from the ankles, cm.
    #[serde(default)]
    pub h_cm: Option<f64>,
    /// Height of the hands, cm.
    #[serde(default)]
    pub v_cm: Option<f64>,
    /// Horizontal distance, inches.
    #[serde(default)]
    pub h_in: Option<f64>,
    /// Height, inches.
    #[serde(default)]
    pub v_in: Option<f64>,
    /// Asymmetry, degrees, 0 to 180.
    #[serde(default)]
    pub a_deg: f64,
}

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
    /// Lifts a minute; below 0.2 counts as 0.2.
    #[serde(default)]
    pub lifts_per_min: f64,
    /// Lifts in 15 minutes where the work lasts less than that in 15; over 15 it replaces
    /// `lifts_per_min` (special adjustment).
    #[serde(default)]
    pub lifts_in_15_min: Option<f64>,
    /// Hours of work with lifting; with `recovery_h` decides the duration class.
    pub duration_h: f64,
    /// Hours of light work or rest after it; taken as enough where absent.
    #[serde(default)]
    pub recovery_h: Option<f64>,
    /// Grip.
    pub coupling: Coupling,
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

/// Constants of a unit system: load, reach, far reach, height, slope, highest, least travel,
/// travel, most travel.
struct Constants {
    load: f64,
    reach: f64,
    farthest: f64,
    height: f64,
    slope: f64,
    highest: f64,
    travel: f64,
    most_travel: f64,
}

impl Units {
    const fn constants(self) -> Constants {
        match self {
            Self::Metric => Constants {
                load: 23.0,
                reach: 25.0,
                farthest: 63.0,
                height: 75.0,
                slope: 0.003,
                highest: 175.0,
                travel: 4.5,
                most_travel: 175.0,
            },
            Self::Us => Constants {
                load: 51.0,
                reach: 10.0,
                farthest: 25.0,
                height: 30.0,
                slope: 0.0075,
                highest: 70.0,
                travel: 1.8,
                most_travel: 70.0,
            },
        }
    }

    /// Height at which the table's column changes, 75 cm or 30 in.
    pub(super) const fn knuckle_height(self) -> f64 {
        self.constants().height
    }

    pub(super) fn pick(
        self,
        field: &str,
        metric: Option<f64>,
        us: Option<f64>,
    ) -> Result<f64, DomainError> {
        let (here, other) = match self {
            Self::Metric => (metric, us),
            Self::Us => (us, metric),
        };
        match (here, other) {
            (Some(value), None) => not_below_zero(field, value),
            _ => Err(DomainError::new(
                field,
                if here.is_some() {
                    "given in both systems"
                } else {
                    "absent"
                },
                "the one unit of the system that `units` names",
            )),
        }
    }
}

/// Reach, height and asymmetry of the hands, in the units of the system.
pub(super) fn places_of(hands: &Hands, units: Units) -> Result<(f64, f64, f64), DomainError> {
    hands.place(units)
}

impl Hands {
    fn place(&self, units: Units) -> Result<(f64, f64, f64), DomainError> {
        Ok((
            units.pick("h", self.h_cm, self.h_in)?,
            units.pick("v", self.v_cm, self.v_in)?,
            within("a_deg", self.a_deg, 0.0, 180.0)?,
        ))
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
    let load = above_zero("load", units.pick("load", input.load_kg, input.load_lb)?)?;
    let hours = above_zero("duration_h", input.duration_h)?;
    let mut reasons: Vec<String> = input
        .outside_scope
        .iter()
        .map(|why| format!("not applicable: {}", why.words()))
        .collect();
    if hours > 8.0 {
        reasons.push("not applicable: over 8 h".into());
    }
    let team = team_factor(input.team).ok_or_else(|| {
        DomainError::new("team", input.team, "1 to 4 people")
            .by("HSE L23, paragraph 120, read: more than four are unlikely to work together")
    })?;
    let from = input.origin.place(units)?;
    let to = input
        .destination
        .map(|hands| hands.place(units))
        .transpose()?;
    let travel = match to {
        Some(to) => (to.1 - from.1).abs(),
        None if input.travel_cm.is_none() && input.travel_in.is_none() => 0.0,
        None => units.pick("travel", input.travel_cm, input.travel_in)?,
    };
    let often = match input.lifts_in_15_min {
        Some(lifts) => not_below_zero("lifts_in_15_min", lifts)? / 15.0,
        None => not_below_zero("lifts_per_min", input.lifts_per_min)?,
    };
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
    let class = class_of(hours, input.recovery_h);
    let fm = frequency_multiplier(often, class, from.1 < units.constants().height);
    let places = if input.worksheet { 1 } else { 2 };
    let one_end = |place| {
        let (mut one, limit) = end(units, place, travel, fm, input.coupling, input.worksheet);
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
    reasons.push(match index {
        None => "nothing may be lifted there: over the limits of the method".into(),
        Some(index) if index > 3.0 => {
            "above 3: nearly all workers are at increased risk; use a lifting aid or split the load"
                .into()
        }
        Some(index) if index > 1.0 => {
            "above 1: raised risk for part of the workforce; the goal is 1 or less".into()
        }
        Some(_) => "1 or less: the goal of the method".into(),
    });
    let answer = LiftAnswer {
        applicable: true,
        origin: Some(origin),
        destination,
        lifting_index: index.map(|index| round(index, places)),
        reasons,
    };
    Ok((answer, index))
}
