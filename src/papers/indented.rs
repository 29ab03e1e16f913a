//! Papers that are JSON: indented, LF line ends, one at the end.

use serde::Serialize;

use super::PaperError;

/// `value` as the text of `paper`.
///
/// # Errors
/// A value that JSON cannot hold, such as a map with keys that are no texts.
pub(super) fn indented<T: Serialize>(paper: &'static str, value: &T) -> Result<String, PaperError> {
    let mut text = serde_json::to_string_pretty(value).map_err(|error| PaperError::Json {
        paper,
        what: error.to_string(),
    })?;
    text.push('\n');
    Ok(text)
}
