//! `decisions.json`: for every module, each decision with its trace, for the officer and auditors.

use serde::{Serialize, Serializer, ser};

use crate::clock::Moment;
use crate::papers::PaperError;
use crate::papers::indented::indented;
use crate::units::{Decimal, Grams};

/// Format of `decisions.json`. A reader takes any minor of its own major.
///
/// 1.1: `small_loads`. A file without a small load is one of 1.0, and says so.
pub const FORMAT: &str = "1.1";
const BEFORE_SMALL_LOADS: &str = "1.0";

/// The decisions of a job; `D` is one decision as the rule engine gives it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Decisions<D> {
    /// Id of the job.
    pub job: String,
    /// Name or hash of the rule set.
    pub rule_set: String,
    /// When they were issued; `None`: not issued.
    pub issued: Option<Moment>,
    /// The modules, in the order of the plan.
    pub modules: Vec<ModuleDecisions<D>>,
    /// What the transport document of each small load gives for it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub small_loads: Vec<SmallLoad>,
}

/// A small load (ADR 1.1.3.6) as its transport document gives it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SmallLoad {
    /// Number of its leg, from 1.
    pub leg: usize,
    /// Points in all, a number in JSON.
    #[serde(serialize_with = "as_number")]
    pub points: Decimal,
    /// What they come from, each transport category once.
    pub categories: Vec<CategorySum>,
}

/// What one transport category has part in a small load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CategorySum {
    /// Transport category, 1 to 4.
    pub category: String,
    /// Mass of the articles without packaging.
    pub net_mass_kg: Grams,
    /// Its points, a number in JSON.
    #[serde(serialize_with = "as_number")]
    pub points: Decimal,
}

fn as_number<S: Serializer>(points: &Decimal, out: S) -> Result<S::Ok, S::Error> {
    points
        .to_string()
        .parse::<serde_json::Number>()
        .map_err(ser::Error::custom)?
        .serialize(out)
}

/// One module's decisions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ModuleDecisions<D> {
    /// Name in the plan, such as `m1`.
    pub module: String,
    /// Serial, or the job serial where the plate cannot be read.
    pub serial: String,
    /// One decision a regime.
    pub decisions: Vec<D>,
}

#[derive(Serialize)]
struct Headed<'a, D> {
    format: &'static str,
    #[serde(flatten)]
    decisions: &'a Decisions<D>,
}

/// The decisions as indented JSON with LF line ends, keys in the order of the fields.
///
/// # Errors
/// A decision that JSON cannot hold, such as a map with keys that are no texts.
pub fn json<D: Serialize>(decisions: &Decisions<D>) -> Result<String, PaperError> {
    let headed = Headed {
        format: if decisions.small_loads.is_empty() {
            BEFORE_SMALL_LOADS
        } else {
            FORMAT
        },
        decisions,
    };
    indented("decisions", &headed)
}
