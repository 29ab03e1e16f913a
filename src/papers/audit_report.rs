//! The audit report: findings by weight, each with the entry it rests on, to hand to an inspector.
//!
//! The template gets finished texts only; `templates/papers/audit.html` names all it may use.

use serde::Serialize;

use super::{PaperError, template};

const TEMPLATE: &str = include_str!("../../templates/papers/audit.html");

/// The report as a page that stands alone; `content` has the names that the template lists.
///
/// `template` is the user's own text instead of the compiled-in one.
///
/// # Errors
/// A template that does not parse, or asks for a name that the report does not have.
pub fn html(content: &impl Serialize, template: Option<&str>) -> Result<String, PaperError> {
    template::html(
        "audit report",
        "audit.html",
        template.unwrap_or(TEMPLATE),
        content,
    )
}
