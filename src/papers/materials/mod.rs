//! What modules that go to recycling are made of, for the recycler's evidence of what went in.

mod content;
mod render;
mod take;

pub(super) use render::{csv, csvw, datapackage, json, sections};
pub(super) use take::{materials_of, not_for_recycling};
