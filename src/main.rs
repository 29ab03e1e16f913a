//! The `packdown` program.

fn main() {}
