//! Table of contents of the tests.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops at the first surprise; clippy knows only test functions, not their tools"
)]

// The form in which shipped procedures are read is what their sources say.
mod procedure_compiled;
// The edges of the shipped procedures against the trade's own list.
mod procedure_edges;
// The proof against a plain oracle, on a family of broken procedures.
mod procedure_proof;
// Wrong files of a user, settings, drawings.
mod procedure_files;
// The order of the shipped procedures against published rules, one test a rule.
mod procedure_rules;
// The procedures that come with the program read, pass the proof and say what they must.
mod procedure_shipped;
