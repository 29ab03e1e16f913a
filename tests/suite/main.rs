//! Table of contents of the tests.

// The procedures that come with the program read, and pass the proof.
mod procedure_shipped;
/// What the papers look like, and that other programs read them as meant.
mod papers;
// The ledger's hashes, signatures and trees against published vectors.
mod ledger_vectors;
// A tampered, cut or torn record is always reported, and the entry is named where it can be.
mod ledger_tamper;
// What a log takes, gives and reads back; the words for each defect.
mod ledger_log;
