//! Takes a stationary lithium battery out of service, from the first isolation to the papers.
//!
//! The crate is one library and a thin binary. A module imports only modules of a lower layer;
//! `tests/suite/layering.rs` reads the sources and says which rule a change breaks. Layers 0 to 6
//! are pure: values in, values out. `DEVELOPERS.md` has the plan of the house.

pub mod citation;
pub mod clock;
pub mod ids;
pub mod table;
pub mod text;
pub mod units;

pub mod ledger;

pub mod battery;
pub mod written;

pub mod inspection;
pub mod physics;

pub mod procedure;
pub mod transport;

pub mod custody;
pub mod packing;

pub mod job;

pub mod audit;
pub mod papers;
pub mod store;

pub mod actions;

pub mod web;

pub mod cli;
