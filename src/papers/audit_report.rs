//! The pages of an audit: the findings, and an inspector's questions with their answers.
//!
//! The templates get finished texts only; `templates/papers/audit.html` and `inspector.html` name all
//! they may use.

use serde::Serialize;

use super::{PaperError, template};

const FINDINGS: &str = include_str!("../../templates/papers/audit.html");
const INSPECTOR: &str = include_str!("../../templates/papers/inspector.html");

/// The findings as a page that stands alone; `content` has the names that the template lists.
///
/// `template` is the user's own text instead of the compiled-in one.
///
/// # Errors
/// A template that does not parse, or asks for a name that the report does not have.
pub fn html(content: &impl Serialize, template: Option<&str>) -> Result<String, PaperError> {
    let template = template.unwrap_or(FINDINGS);
    template::html("audit report", "audit.html", template, content)
}

/// An inspector's questions as a page that stands alone, in the same manner.
///
/// # Errors
/// As [`html`].
pub fn inspector_html(
    content: &impl Serialize,
    template: Option<&str>,
) -> Result<String, PaperError> {
    let template = template.unwrap_or(INSPECTOR);
    template::html("inspector's questions", "inspector.html", template, content)
}
