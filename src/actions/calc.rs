//! One sum by itself, without a job: reads its input as JSON, gives its answer as JSON, and says
//! what the sum is, where it is from and what it leaves out. It computes nothing.

use schemars::{JsonSchema, Schema, schema_for};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use super::ActionError;
use crate::physics::{self, DomainError};

/// A sum that can be asked for by name.
#[derive(Debug, Clone, Copy)]
pub struct Sum {
    /// Its name on the command line.
    pub name: &'static str,
    /// What it answers.
    pub answers: &'static str,
    /// Its formula.
    pub formula: &'static str,
    /// Where that is from, and how it is known.
    pub source: &'static str,
    /// The range it holds for.
    pub holds_for: &'static str,
    /// What it leaves out.
    pub leaves_out: &'static str,
    run: fn(Value) -> Result<Value, Refusal>,
    input: fn() -> Schema,
    answer: fn() -> Schema,
}

/// Why an input gives no answer.
enum Refusal {
    Unreadable(serde_json::Error),
    Domain(DomainError),
}

/// The answers to a file, in the shape in which it asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Calculated {
    /// One object.
    One(Value),
    /// An array.
    Array(Vec<Value>),
    /// One object a line.
    Lines(Vec<Value>),
}

fn through<I: DeserializeOwned, A: Serialize>(
    input: Value,
    sum: impl Fn(&I) -> Result<A, DomainError>,
) -> Result<Value, Refusal> {
    let input: I = serde_json::from_value(input).map_err(Refusal::Unreadable)?;
    let answer = sum(&input).map_err(Refusal::Domain)?;
    serde_json::to_value(answer).map_err(Refusal::Unreadable)
}

macro_rules! sum {
    ($name:literal, $input:ident -> $answer:ident, $sum:expr, $answers:literal, $formula:literal,
     $source:literal, $holds_for:literal, $leaves_out:literal) => {
        Sum {
            name: $name,
            answers: $answers,
            formula: $formula,
            source: $source,
            holds_for: $holds_for,
            leaves_out: $leaves_out,
            run: |input| through::<physics::$input, physics::$answer>(input, $sum),
            input: || schema_of::<physics::$input>(),
            answer: || schema_of::<physics::$answer>(),
        }
    };
}

fn schema_of<T: JsonSchema>() -> Schema {
    schema_for!(T)
}

/// Every sum, by name.
pub const SUMS: &[Sum] = &[
    sum!(
        "discharge", DischargeInput -> DischargeAnswer, physics::discharge,
        "hours, watt-hours, amperes and heat of bringing a module down through a load",
        "dQ = I dt; V = OCV(soc) - I R; resistor I = OCV/(R + R_load), power I = 2P/(OCV + sqrt(OCV^2 - 4 R P))",
        "curves: reference/ocv_*.csv; heat capacity: BPX example files (read); limits chosen here",
        "1 to 1000 cells, from_percent above to_percent, loads below the short-circuit current",
        "cells that differ, resistance that rises when cold or empty; whether the findings allow it"
    ),
    sum!(
        "energy", EnergyInput -> EnergyAnswer, physics::energy,
        "rated watt-hours and the bounds of what is inside",
        "Wh = Ah x V; inside = Wh x health x share of the energy below the state of charge",
        "49 CFR 171.8 (read); curves: reference/ocv_*.csv; 2 % note chosen here",
        "positive ratings, 0 to 100 %, health 0 to 1.2",
        "energy that heat or fire sets free"
    ),
    sum!(
        "lift", LiftInput -> LiftAnswer, physics::lift,
        "recommended weight limit and lifting index at both ends of a lift",
        "RWL = LC HM VM DM AM FM CM; LI = load/RWL; team of 2: 4/3 RWL, of 3: 3/2 RWL",
        "NIOSH 94-110 revised 9/2021, pp. 1-20 (restatement read); team: HSE L23 paragraph 120 (read)",
        "two hands, up to 8 h, unrestricted posture, team of 1 to 4",
        "carrying, pushing, stairs, restricted space: answered as not applicable"
    ),
    sum!(
        "lift-tasks", TasksInput -> TasksAnswer, physics::lift_tasks,
        "composite lifting index of tasks done in turn",
        "CLI = STLI_1 + sum FILI_n (1/FM_1..n - 1/FM_1..n-1)",
        "NIOSH 94-110 revised 9/2021, pp. 26-28 (restatement read)",
        "as lift; at least one task, one duration for all",
        "as lift; a frequency over the table gives no figure"
    ),
    sum!(
        "state-of-charge", RestedReading -> ChargeVerdict,
        |reading| physics::state_of_charge(reading).map(physics::ChargeVerdict::rounded),
        "bounds of the state of charge from a rested voltage, and whether a limit is proven",
        "low = min over curves of soc(V_low - e), high = max of soc(V_high + e); e = meter + hysteresis + rest + 0.5 mV/K |T - 25| + curve",
        "curves: reference/ocv_*.csv; rest: doi 10.3390/batteries11050186 and batteries8080077 (abstracts); other allowances chosen here",
        "5 to 35 degC, no current, rested 3 h (LFP 24 h to prove), 1 to 1000 cells of 0 to 5 V",
        "aged cells whose curve has shifted; share is of present capacity, not of rated"
    ),
    sum!(
        "wait", WaitInput -> WaitAnswer, physics::capacitor_wait,
        "seconds before the dead test, and what is stored",
        "t = R C ln(V0/V); E = C V0^2/2; Q = C V0; required = max(label, t), 300 s without either",
        "published worked examples (read); 300 s: 29 CFR 1910.269(w) (second-hand)",
        "R, C, V above 0; tolerances 0 to 1",
        "an open bleeder: the wait is a floor and never proof; the measured voltage decides"
    ),
];

/// The sum of that name.
///
/// # Errors
/// A name that is none of [`SUMS`].
pub fn find_sum(name: &str) -> Result<&'static Sum, ActionError> {
    SUMS.iter()
        .find(|sum| sum.name == name)
        .ok_or_else(|| ActionError::NoSuchSum {
            name: name.into(),
            known: SUMS.iter().map(|sum| sum.name).collect(),
        })
}

impl Sum {
    /// Schemas of its input and of its answer, as indented JSON.
    ///
    /// # Errors
    /// A form of ours that does not go into JSON: a bug.
    pub fn schema(&self) -> Result<String, ActionError> {
        let mut both = Map::new();
        both.insert("title".into(), format!("calc-{}", self.name).into());
        both.insert("description".into(), self.answers.into());
        both.insert("input".into(), serde_json::to_value((self.input)())?);
        both.insert("answer".into(), serde_json::to_value((self.answer)())?);
        let mut text = serde_json::to_string_pretty(&Value::Object(both))?;
        text.push('\n');
        Ok(text)
    }

    /// Answers a text of one JSON object, an array of them, or one a line.
    ///
    /// # Errors
    /// Text that is not JSON, fields that are not the sum's, a value outside its domain; the
    /// place is named where there are several.
    pub fn calculate(&self, text: &str) -> Result<Calculated, ActionError> {
        match serde_json::from_str(text) {
            Ok(Value::Array(items)) => items
                .into_iter()
                .enumerate()
                .map(|(n, item)| self.one(item, &format!("item {}", n + 1)))
                .collect::<Result<_, _>>()
                .map(Calculated::Array),
            Ok(one) => self.one(one, "").map(Calculated::One),
            Err(whole) => {
                let lines: Vec<(usize, &str)> = text
                    .lines()
                    .enumerate()
                    .filter(|(_, line)| !line.trim().is_empty())
                    .collect();
                // A broken object over several lines is said of the whole, not of its first line.
                let first = lines
                    .first()
                    .map(|(_, line)| serde_json::from_str::<Value>(line));
                if lines.len() < 2 || !matches!(first, Some(Ok(_))) {
                    return Err(self.refusal("", whole.to_string()));
                }
                lines
                    .into_iter()
                    .map(|(n, line)| {
                        let place = format!("line {}", n + 1);
                        let item = serde_json::from_str(line)
                            .map_err(|error| self.refusal(&place, error.to_string()))?;
                        self.one(item, &place)
                    })
                    .collect::<Result<_, _>>()
                    .map(Calculated::Lines)
            }
        }
    }

    fn one(&self, input: Value, place: &str) -> Result<Value, ActionError> {
        (self.run)(input).map_err(|why| {
            let why = match why {
                Refusal::Unreadable(error) => error.to_string(),
                Refusal::Domain(error) => error.to_string(),
            };
            self.refusal(place, why)
        })
    }

    fn refusal(&self, place: &str, why: String) -> ActionError {
        let place = if place.is_empty() {
            String::new()
        } else {
            format!(" {place}")
        };
        ActionError::Sum {
            name: self.name,
            place,
            why,
        }
    }
}
