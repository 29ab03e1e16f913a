//! The paper room: drawings in micrometres, text that is measured and wrapped, pages that flow,
//! and two ways out, PDF and SVG. It knows nothing about batteries.
//!
//! Whole numbers only, no date and no id in a file: the same paper has the same bytes everywhere.

mod cell;
mod code128;
mod drawing;
mod embed;
mod face;
mod file;
mod flow;
mod measure;
mod pattern;
mod svg;
mod table;
mod text;
mod tiled;

pub use cell::{Cell, Shape};
pub use code128::gs1_128;
pub use drawing::{Drawing, Ink, Mark, Seg, Turn, mm, pt};
pub use face::Face;
pub use file::pdf;
pub use flow::{Flow, Head, Stock, fewest, text_block, word_across};
pub use measure::{height_for_letters, width};
pub use pattern::{bars, qr};
pub use svg::svg;
pub use table::{Column, SIZE};
pub use text::{Run, bold, plain};
pub(crate) use tiled::{each, piece, tiled};
