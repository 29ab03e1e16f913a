//! The questions of `packdown run` at a terminal, a line each.
//!
//! Plain lines, not a screen: it works in gloves with a scanner that types a line, over any
//! connection, and with a screen reader.

mod beside;
mod conversation;
mod terminal;

pub(super) use conversation::interview;
