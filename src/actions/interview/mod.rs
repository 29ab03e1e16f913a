//! Asks a crew through the job, one question at a time, and takes each step when it is answered.

mod happening;
mod question;
mod talk;
mod typed;

pub use happening::{HAPPENINGS, Happening};
pub use question::{Choice, Question};
pub use talk::{Asked, Interview};
