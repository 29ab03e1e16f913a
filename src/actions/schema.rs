//! JSON schemas of the files that people write, made from the types that read them.

use schemars::schema_for;

use super::{ActionError, CodeAnswer};
use crate::audit::events::{EventRow, EventsAnswer};
use crate::custody::{Handover, Site};
use crate::job::Plan;
use crate::procedure::Entry;
use crate::transport::{
    Decision, DocumentAnswer, DocumentQuestion, Facts, Load, LoadAnswer, MarkAnswer, RouteAnswer,
};

/// Names of the schemas there are.
pub const SCHEMAS: [&str; 15] = [
    "job",
    "record",
    "facts",
    "decision",
    "route-answer",
    "document",
    "document-answer",
    "load",
    "load-answer",
    "mark-answer",
    "events",
    "events-answer",
    "site",
    "handover",
    "read-code",
];

/// The schema of that name as indented JSON.
///
/// # Errors
/// A name that is none of [`SCHEMAS`].
pub fn schema(name: &str) -> Result<String, ActionError> {
    let schema = match name {
        "job" => schema_for!(Plan),
        "record" => schema_for!(Entry),
        // What `classify` takes goes by both names.
        "facts" | "classify" => schema_for!(Facts),
        "decision" => schema_for!(Decision),
        "route-answer" => schema_for!(RouteAnswer),
        "document" => schema_for!(DocumentQuestion),
        "document-answer" => schema_for!(DocumentAnswer),
        "load" => schema_for!(Load),
        "load-answer" => schema_for!(LoadAnswer),
        "mark-answer" => schema_for!(MarkAnswer),
        "events" => schema_for!(EventRow),
        "events-answer" => schema_for!(EventsAnswer),
        "site" => schema_for!(Site),
        "handover" => schema_for!(Handover),
        "read-code" => schema_for!(CodeAnswer),
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
