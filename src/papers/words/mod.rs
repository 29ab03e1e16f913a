//! The wording of papers, one table a language. Marks, statements and declarations that the law
//! words itself are not here: they come from the rules.

mod de;
mod en;
mod fill;
mod form;
mod language;

pub(crate) use en::EN;
pub(crate) use fill::fill;
pub(crate) use form::*;
pub use language::Language;
