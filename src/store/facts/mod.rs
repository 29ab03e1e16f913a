//! Reads facts: one object, an array, lines of JSON, or CSV; which of them is seen from the text.
//! One battery is held at a time, except for an array, which is read whole.

mod columns;
mod each;
mod fault;
mod lines;
mod rows;
mod said;
mod source;

#[cfg(test)]
pub(crate) use columns::Column;
pub(crate) use columns::Kind;
pub(crate) use each::each_of;
pub(crate) use fault::json_fault;
pub(crate) use lines::{Bytes, Row, RowFault};
pub(crate) use rows::{Role, Rows};
pub use said::{Form, Leg, Said};
pub(crate) use source::Source;
