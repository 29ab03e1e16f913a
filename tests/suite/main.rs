//! Table of contents of the tests.
