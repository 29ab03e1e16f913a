//! The answer to a packing question: which item is in which package, and how few are possible.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::PackingError;

/// Which item is in which package, by number from 0.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Plan {
    /// Name of the instance.
    pub name: String,
    /// The packages, each the numbers of its items, ascending.
    pub bins: Vec<Vec<usize>>,
    /// How many packages.
    pub count: usize,
    /// No plan can use fewer.
    pub lower_bound: usize,
    /// Whether `count` is `lower_bound`.
    pub proven: bool,
    /// What shows the lower bound, in words.
    pub bound_by: String,
}

/// A plan that somebody proposes: only which item goes where is asked for, the claims may be left
/// out.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Proposal {
    /// Name of the instance.
    #[serde(default)]
    pub name: String,
    /// The packages, each the numbers of its items.
    pub bins: Vec<Vec<usize>>,
    /// How many packages.
    #[serde(default)]
    pub count: Option<usize>,
    /// No plan can use fewer.
    #[serde(default)]
    pub lower_bound: Option<usize>,
    /// Whether `count` is `lower_bound`.
    #[serde(default)]
    pub proven: Option<bool>,
}

impl From<Plan> for Proposal {
    fn from(plan: Plan) -> Self {
        Self {
            name: plan.name,
            bins: plan.bins,
            count: Some(plan.count),
            lower_bound: Some(plan.lower_bound),
            proven: Some(plan.proven),
        }
    }
}

/// The proposals of a text: one object, or one a line.
///
/// # Errors
/// The first that cannot be read, with its line.
pub fn proposals(text: &str) -> Result<Vec<Proposal>, PackingError> {
    each_of(text)
}

/// The objects of a text: one over any number of lines, or one a line.
pub(super) fn each_of<T: DeserializeOwned>(text: &str) -> Result<Vec<T>, PackingError> {
    let mut stream = serde_json::Deserializer::from_str(text).into_iter::<T>();
    let mut all = Vec::new();
    loop {
        let offset = stream.byte_offset();
        match stream.next() {
            None => return Ok(all),
            Some(Ok(one)) => all.push(one),
            Some(Err(error)) => {
                let before = text.get(..offset).unwrap_or("").matches('\n').count();
                let line = if error.line() > before {
                    error.line()
                } else {
                    before + 1
                };
                return Err(PackingError::Unreadable {
                    line,
                    why: error.to_string(),
                });
            }
        }
    }
}
