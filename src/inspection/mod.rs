//! inspection
