//! The method statement: what is to be done, by whom, in which order, with what to beware of.

mod content;
mod pages;
mod take;

pub use content::{LiftForeseen, Method, MethodStep, OwnNumbers};
pub(super) use pages::{file, html};
pub(super) use take::method_in;
pub use take::method_of;
