//! Recycling efficiency and recovery of materials, against the targets in force on a day.
//!
//! rRE = m_output / m_input × 100, rRM = m_output / m_input × 100 of one material (Delegated
//! Regulation (EU) 2025/606, Annex, sections 2(1) and 3(1), read). Oxygen, chlorine and sulphur may be
//! left out of both masses, carbon, iron and phosphorus of the cell until 31 December 2029 only
//! (2(5), 2(6), read). Targets: (EU) 2023/1542, Annex
//! XII, in `reference/eu_recycling_targets.csv` with how each is known. Black mass is never an
//! output. Not covered: what counts as input or output; that is for the first recycler to say.

use chrono::{Datelike, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, not_below_zero, round};
use crate::table;

/// Kind of battery that is reported by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Recycled {
    /// Lithium-based.
    Lithium,
    /// Lead-acid.
    LeadAcid,
    /// Nickel-cadmium.
    NickelCadmium,
    /// Other.
    Other,
}

/// One material in and out, tonnes.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MaterialFlow {
    /// `cobalt`, `copper`, `lead`, `lithium` or `nickel`.
    pub material: String,
    /// In, tonnes.
    pub input_t: f64,
    /// Out at the output point, tonnes.
    pub output_t: f64,
}

/// What may be left out of input and output alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Fraction {
    /// Oxygen.
    Oxygen,
    /// Chlorine.
    Chlorine,
    /// Sulphur.
    Sulphur,
    /// Carbon from carbon sources of the cell.
    Carbon,
    /// Iron from iron sources of the cell.
    Iron,
    /// Phosphorus.
    Phosphorus,
}

impl Fraction {
    const fn word(self) -> &'static str {
        match self {
            Self::Oxygen => "oxygen",
            Self::Chlorine => "chlorine",
            Self::Sulphur => "sulphur",
            Self::Carbon => "carbon",
            Self::Iron => "iron",
            Self::Phosphorus => "phosphorus",
        }
    }

    /// Whether it counts from 2030 on.
    const fn counts_from_2030(self) -> bool {
        matches!(self, Self::Carbon | Self::Iron | Self::Phosphorus)
    }
}

/// A fraction that is left out, tonnes of both masses.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LeftOut {
    /// Which.
    pub fraction: Fraction,
    /// Of the input, tonnes.
    pub input_t: f64,
    /// Of the output, tonnes.
    #[serde(default)]
    pub output_t: f64,
}

/// A year of a recycler.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecyclingInput {
    /// Kind of battery.
    pub kind: Recycled,
    /// Last day of the year that is reported.
    pub on: NaiveDate,
    /// Counted input, water-free, tonnes.
    pub input_t: f64,
    /// Counted output, tonnes.
    pub output_t: f64,
    /// What is left out of both.
    #[serde(default)]
    pub left_out: Vec<LeftOut>,
    /// Materials.
    #[serde(default)]
    pub materials: Vec<MaterialFlow>,
}

/// A rate against its target.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Rate {
    /// `recycling efficiency` or the material.
    pub of: String,
    /// Per cent.
    pub percent: f64,
    /// The target in force on the day, per cent; absent before the first.
    pub target_percent: Option<f64>,
    /// Whether it is met.
    pub met: Option<bool>,
    /// The next target, per cent.
    pub next_percent: Option<f64>,
    /// The day it is to be met by.
    pub next_by: Option<NaiveDate>,
    /// How the target is known.
    pub how_known: Option<String>,
}

/// The rates.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RecyclingAnswer {
    /// Efficiency first, then the materials as given.
    pub rates: Vec<Rate>,
}

/// A target of (EU) 2023/1542, Annex XII, as it is tabled.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Target {
    /// `recycling efficiency, lithium-based`, `recovery of lithium` and so on.
    pub what: String,
    /// Per cent.
    pub percent: f64,
    /// To be met by.
    pub by: NaiveDate,
    /// How it is known.
    pub how_known: String,
}

fn targets() -> Result<Vec<Target>, DomainError> {
    table::rows(
        "eu_recycling_targets",
        include_str!("../reference/eu_recycling_targets.csv"),
    )
    .map_err(|error| DomainError::new("kind", error.what, "a table that can be read"))
}

const fn efficiency_of(kind: Recycled) -> &'static str {
    match kind {
        Recycled::Lithium => "recycling efficiency, lithium-based",
        Recycled::LeadAcid => "recycling efficiency, lead-acid",
        Recycled::NickelCadmium => "recycling efficiency, nickel-cadmium",
        Recycled::Other => "recycling efficiency, other",
    }
}

/// Every target for batteries of a kind: its efficiency, and the recovery of materials.
#[must_use]
pub fn recycling_targets(kind: Recycled) -> Vec<Target> {
    let mut all = targets().unwrap_or_default();
    let wanted = efficiency_of(kind);
    all.retain(|target| target.what == wanted || target.what.starts_with("recovery"));
    all
}

/// Rates of a year against the targets.
///
/// # Errors
/// Masses outside their ranges, more out than in, a material without a target.
pub fn recycling_rates(input: &RecyclingInput) -> Result<RecyclingAnswer, DomainError> {
    let targets = targets()?;
    let kind = efficiency_of(input.kind);
    let (input_t, output_t) = counted(input)?;
    let share = percent("", input_t, output_t)?;
    let mut rates = vec![rate(
        "recycling efficiency",
        share,
        &targets,
        kind,
        input.on,
    )];
    for flow in &input.materials {
        let what = match flow.material.as_str() {
            "lithium" => "recovery of lithium",
            "cobalt" | "copper" | "lead" | "nickel" => "recovery of cobalt, copper, lead, nickel",
            other => {
                return Err(DomainError::new(
                    "material",
                    other,
                    "cobalt, copper, lead, lithium and nickel",
                )
                .by("(EU) 2023/1542, annex XII, second-hand"));
            }
        };
        let share = percent(&format!("{} ", flow.material), flow.input_t, flow.output_t)?;
        rates.push(rate(&flow.material, share, &targets, what, input.on));
    }
    Ok(RecyclingAnswer { rates })
}

/// The masses that count, less what is left out.
fn counted(input: &RecyclingInput) -> Result<(f64, f64), DomainError> {
    let mut into = above_zero("input_t", input.input_t)?;
    let mut out = not_below_zero("output_t", input.output_t)?;
    let mut seen: Vec<Fraction> = Vec::new();
    for (n, left) in input.left_out.iter().enumerate() {
        let of = |error: DomainError| error.within_part("left_out", n + 1);
        let word = left.fraction.word();
        if input.kind != Recycled::Lithium || seen.contains(&left.fraction) {
            let why = DomainError::new("fraction", word, "lithium-based batteries, each once");
            return Err(of(
                why.by("(EU) 2025/606, annex, section 7, its rows for lithium")
            ));
        }
        if left.fraction.counts_from_2030() && input.on.year() >= 2030 {
            let why = DomainError::new(
                "fraction",
                format!("{word} in {}", input.on.year()),
                "oxygen, chlorine and sulphur from 1 January 2030 on",
            );
            return Err(of(why.by("(EU) 2025/606, annex, 2(6)")));
        }
        percent("", left.input_t, left.output_t).map_err(of)?;
        into -= left.input_t;
        out -= left.output_t;
        seen.push(left.fraction);
    }
    // Noise of the last bits is no mass.
    if into <= 0.0 || out < -1e-9 {
        return Err(DomainError::new(
            "left_out",
            format!("{} t in, {} t out are left", round(into, 6), round(out, 6)),
            "less than the whole input, and no more than the output",
        ));
    }
    Ok((into, out.max(0.0)))
}

fn percent(of: &str, input_t: f64, output_t: f64) -> Result<f64, DomainError> {
    let into = above_zero(&format!("{of}input_t"), input_t)?;
    let out = not_below_zero(&format!("{of}output_t"), output_t)?;
    if out > into {
        return Err(
            DomainError::new(format!("{of}output_t"), out, "at most the input")
                .by("(EU) 2025/606, annex, 2(1) and 3(1): shares of what went in"),
        );
    }
    Ok(out / into * 100.0)
}

fn rate(of: &str, percent: f64, targets: &[Target], what: &str, on: NaiveDate) -> Rate {
    let mine = || targets.iter().filter(|target| target.what == what);
    let now = mine()
        .filter(|target| target.by <= on)
        .max_by_key(|target| target.by);
    let next = mine()
        .filter(|target| target.by > on)
        .min_by_key(|target| target.by);
    Rate {
        of: of.to_owned(),
        percent: round(percent, 2),
        target_percent: now.map(|target| target.percent),
        met: now.map(|target| percent >= target.percent),
        next_percent: next.map(|target| target.percent),
        next_by: next.map(|target| target.by),
        how_known: now.or(next).map(|target| target.how_known.clone()),
    }
}
