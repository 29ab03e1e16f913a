//! The transport document of one leg: what the law wants in it, as content, as pages, as HTML.

mod content;
mod declarations;
mod enclosed;
mod kinds;
mod pages;
mod take;

pub(super) use content::html;
pub(super) use pages::file;
pub(super) use take::transport_document;
