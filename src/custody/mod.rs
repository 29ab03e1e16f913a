//! custody
