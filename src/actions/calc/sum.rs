//! The sums that can be asked for by name: what each is, where it is from and what it leaves out.
//! It computes nothing.

use schemars::{JsonSchema, Schema, schema_for};
use serde_json::{Map, Value};

use super::answer::{Look, Refusal, answer_json, answer_row};
use super::row::Row;
use crate::actions::ActionError;
use crate::physics;

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
    pub(super) answer_json: fn(Value, Look) -> Result<String, Refusal>,
    pub(super) answer_row: fn(Row<'_>, &mut Vec<u8>) -> Result<(), Refusal>,
    input: fn() -> Schema,
    answer: fn() -> Schema,
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
            answer_json: |input, look| {
                answer_json::<physics::$input, physics::$answer>(input, look, $sum)
            },
            answer_row: |row, out| answer_row::<physics::$input, physics::$answer>(row, out, $sum),
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
        "arc", ArcInput -> ArcAnswer, physics::arc,
        "a screening figure for the heat of a dc arc; gloves, tester and approach for the voltage",
        "Iarc = I/2; E = 0.01 V Iarc t/D^2 cal/cm2; boundary = sqrt(0.01 V Iarc t/1.2) cm",
        "NFPA 70E annex D.5.1 (from memory; agrees with one published table row); gloves: class 00 read, others from memory",
        "above 0 to 1000 V dc; below 100 V the method is silent, not safe",
        "blast, tested arc-resistance methods, fuses that are not proven present"
    ),
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
        "gas", GasInput -> GasAnswer, physics::gas,
        "concentration against limits of exposure, what a fire gives off, time to clear a room",
        "mg/m3 = ppm M/24.45; HF 20 to 200 mg/Wh; t = k (V/Q) ln(C0/C)",
        "limits OSHA, NIOSH, AIHA (read); yields from published fire tests (read); mixing factor from memory",
        "25 degC, 1 atm, no further source, mixing factor 1 to 10",
        "other gases, explosion limits; a figure never says that a room may be entered"
    ),
    sum!(
        "health", HealthInput -> HealthAnswer, physics::health,
        "bounds of the state of health from a discharge, and the gates before an offer for reuse",
        "C_lo = Ah (1 - err)/(S1_hi - S2_lo); C_hi = Ah (1 + err)/(S1_lo - S2_hi); SoH = C/rated",
        "definition: (EU) 2023/1542, article 3(1)(28) (second-hand); gates chosen here",
        "a start whose bounds lie above those of the end",
        "remaining life, power at cold; untested health is unknown, not 1"
    ),
    sum!(
        "insulation", InsulationInput -> InsulationAnswer, physics::insulation,
        "test voltage and least resistance, ohms per volt and class, or the two-reading method",
        "Ri = Ro (Vb/V1' - Vb/V1); class by ohm/V: under 100 damaged, under 500 suspect",
        "UN R100 and ISO 6469 (read); table: a rail operator's (read), IEC 60364-6 from memory; classes chosen here",
        "positive voltages; V1' below V1; pole to pole at least nominal",
        "the stronger side; no test voltage ever goes on a battery with its management system"
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
        "materials", MaterialsInput -> MaterialsAnswer, physics::materials,
        "what cells or home-storage modules are made of, as a range",
        "kg = kWh x kg/kWh (low to high density), or module mass x share (10 % LFP, 30 % others to each side)",
        "Dai et al. 2019, Crenna et al. 2021, Jasper et al. in the open files of premise 2.5.2 (read)",
        "energy of lfp, nmc111, nmc532, nmc622, nmc811, nca; module mass of lfp and nmc811",
        "sodium ion, LTO, LCO; the rest of the system; the maker's declaration goes first"
    ),
    sum!(
        "recycling-rates", RecyclingInput -> RecyclingAnswer, physics::recycling_rates,
        "recycling efficiency and recovery against the targets of the day",
        "rate = m_output/m_input x 100",
        "(EU) 2025/606, annex 2(1), 3(1) (read); targets (EU) 2023/1542, annex XII (partly second-hand, said beside each)",
        "output at most the input",
        "what counts as input or output; black mass is never an output"
    ),
    sum!(
        "self-discharge", SelfDischargeInput -> SelfDischargeAnswer, physics::self_discharge,
        "loss of charge from two rested voltages a day apart",
        "%/day = (dV/dt)/slope of the flattest curve; I = C rate/24; V1 1 %/day, V2 3 %/day",
        "curves: reference/ocv_*.csv; rules chosen here",
        "24 h apart or more, within 5 K, rested, slope above 2 mV per %",
        "the LFP plateau: not assessable, compare cell with cell"
    ),
    sum!(
        "short-circuit", ShortCircuitInput -> ShortCircuitAnswer, physics::short_circuit,
        "prospective short-circuit current of modules in series and parallel",
        "I = Ns V/(Ns R/Np + Rlinks)",
        "published series and parallel rules, worked example 12 V 5 mohm (read)",
        "positive voltage and resistance, 1 to 1000 modules and strings",
        "fuses that are not proven present; the maker's declared figure wins"
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
        "trend", TrendInput -> TrendAnswer, physics::trend,
        "whether a module warms by itself",
        "least-squares slope of surface less ambient; T1 1.2 K/h, T2 1 K in 10 min or twice in 15, T3 60 degC, T4 5 K over a twin",
        "0.02 K/min from calorimetry (from memory); rules chosen here",
        "four readings over 60 min at one spot with one instrument; 2 h after a load",
        "sun, a load or a charger"
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
}
