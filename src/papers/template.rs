//! Renders a paper through its template: the compiled-in one or the user's own.
//!
//! Every value is escaped, and a name that the paper does not have is an error.

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, UndefinedBehavior};
use serde::Serialize;

use crate::papers::PaperError;

/// `paper` names it in an error; `file` is the name that the template has there.
///
/// # Errors
/// A template that does not parse, or asks for a name the paper does not have.
pub(super) fn html(
    paper: &'static str,
    file: &str,
    template: &str,
    content: impl Serialize,
) -> Result<String, PaperError> {
    let fault = |error: minijinja::Error| PaperError::Template {
        paper,
        what: error.to_string(),
    };
    let syntax = SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .keep_trailing_newline(true)
        .build()
        .map_err(fault)?;
    let mut environment = Environment::new();
    environment.set_syntax(syntax);
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment
        .render_named_str(file, template, Serde(content))
        .map_err(fault)
}
