//! Table of contents of the tests.

// The procedures that come with the program read, and pass the proof.
mod procedure_shipped;
