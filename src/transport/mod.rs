//! transport
