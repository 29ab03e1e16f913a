//! The answer to a packing question: which item is in which package, and how few are possible.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::PackingError;

/// Which item is in which package, by number from 0.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    /// Name of the instance.
    #[serde(default)]
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
    #[serde(default)]
    pub bound_by: String,
}

/// The plans of a text: one object, or one a line.
///
/// # Errors
/// The first that cannot be read, with its line.
pub fn plans(text: &str) -> Result<Vec<Plan>, PackingError> {
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
                let line = if error.line() > before { error.line() } else { before + 1 };
                return Err(PackingError::Unreadable { line, why: error.to_string() });
            }
        }
    }
}
