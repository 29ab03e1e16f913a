//! What is stuck on a package: the label of its class, marks with letters of legal height, and the
//! package's own label with its code.

mod diamond;
mod package;
mod pages;
mod pictures;
mod take;

pub(super) use package::package_pages;
pub(super) use pages::{CARGO_AIRCRAFT_ONLY, html, label_pages};
pub(super) use take::package_labels;
