//! Table of contents of the tests.

/// What the papers look like, and that other programs read them as meant.
mod papers;
