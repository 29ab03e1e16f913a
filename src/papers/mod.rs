//! What the documents say and how they look; nothing is decided here.
//!
//! Each paper has one content type; every rendering of it takes that and returns text. Files
//! are written by the caller.

pub mod answers;
mod cell;
mod charge;
mod column;
pub mod custody;
pub mod decisions;
mod error;
pub mod manifest;
mod page;
pub mod rule_book;
pub mod sheets;
pub mod summary;

pub use cell::{marked, plain_text, unmarked};
pub use charge::ChargeRange;
pub use column::Fault;
pub use error::PaperError;
