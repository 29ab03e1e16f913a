//! Table of contents of the tests.

// Transport decisions: published cases.
mod transport_cases;
// Transport decisions: the finite product of the facts, cell by cell.
mod transport_product;
// Transport decisions: the table of rules as a whole.
mod transport_table;
// Transport decisions: a second opinion in plain branches, on random facts.
mod transport_oracle;
