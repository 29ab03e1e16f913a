//! The inspection sheet of each module: readings, findings, judgement, two small charts.

mod chart;
mod content;
mod pages;
mod take;

pub(super) use content::html;
pub(super) use pages::file;
pub(super) use take::inspection_sheets;
