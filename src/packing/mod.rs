//! packing
