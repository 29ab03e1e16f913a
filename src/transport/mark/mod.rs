//! The mark on a UN packaging: whether a text is one, what it says, and what to doubt. For the
//! packer who reads it off the box, and for the check of the package.

mod answer;
mod parts;
mod reading;

pub use answer::{MarkAnswer, MarkStanding, PackagingMark};
pub use reading::check_mark;
