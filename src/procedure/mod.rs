//! procedure
