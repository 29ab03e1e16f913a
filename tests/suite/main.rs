//! Table of contents of the tests.

// The procedures that come with the program read, and pass the proof.
mod procedure_shipped;
/// What the papers look like, and that other programs read them as meant.
mod papers;
