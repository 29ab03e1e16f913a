//! `decisions.json`: for every module, each decision with its trace, for the officer and auditors.

use serde::Serialize;

use crate::clock::Moment;
use crate::papers::PaperError;
use crate::papers::indented::indented;

/// Format of `decisions.json`. A reader takes any minor of its own major.
pub const FORMAT: &str = "1.0";

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
        format: FORMAT,
        decisions,
    };
    indented("decisions", &headed)
}
