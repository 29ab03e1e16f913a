//! Table of contents of the tests.

// The edges of the shipped procedures against the trade's own list.
mod procedure_edges;
// The order of the shipped procedures against published rules, one test a rule.
mod procedure_rules;
// The procedures that come with the program read, pass the proof and say what they must.
mod procedure_shipped;
