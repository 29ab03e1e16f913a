//! The questions that inspectors ask, each answered from the record of a job.

mod answered;
mod questions;
mod shown;

pub(in crate::audit) use answered::SHIPPING_ROLES;
pub use answered::{Answered, Standing, answers};
