//! JSON schemas of the files that people write, made from the types that read them.

use schemars::schema_for;

use super::ActionError;
use crate::job::Plan;
use crate::procedure::Entry;
use crate::transport::{Decision, Facts};

/// Names of the schemas there are.
pub const SCHEMAS: [&str; 4] = ["job", "record", "facts", "decision"];

/// The schema of that name as indented JSON.
///
/// # Errors
/// A name that is none of [`SCHEMAS`].
pub fn schema(name: &str) -> Result<String, ActionError> {
    let schema = match name {
        "job" => schema_for!(Plan),
        "record" => schema_for!(Entry),
        "facts" => schema_for!(Facts),
        "decision" => schema_for!(Decision),
        other => {
            return Err(ActionError::NoSuchSchema {
                name: other.into(),
                known: SCHEMAS.to_vec(),
            });
        }
    };
    let mut text = serde_json::to_string_pretty(&schema)?;
    text.push('\n');
    Ok(text)
}
