//! actions
