//! The wording of papers, one table a language. Marks, statements and declarations that the law
//! words itself are not here: they come from the rules. How to add a language: `DEVELOPERS.md`.

mod de;
mod de_reasons;
mod en;
mod es;
mod es_reasons;
mod fill;
mod form;
mod form_site;
mod fr;
mod fr_reasons;
mod language;
mod terms;

pub(crate) use en::EN;
pub(crate) use fill::fill;
pub(crate) use form::*;
pub(crate) use form_site::*;
pub use language::Language;
