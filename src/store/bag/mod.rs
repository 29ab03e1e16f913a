//! Hand-over bundles: one zip file that holds a bag (RFC 8493) with log, checkpoint and papers.

mod bagit;
mod bundle;
mod crc;
mod earlier;
mod limits;
mod names;
mod source;
mod tag_files;
mod write;
mod zip_read;
mod zip_write;

pub use bagit::{BagCheck, BagFile};
pub use bundle::{Bundle, BundleFound, file_in, inspect_bundle, keep, open_bundle};

pub(crate) use bundle::{CHECKPOINT, CONSIGNMENT, proof_file};
pub(crate) use names::file_name_of;
pub(crate) use write::{BagToWrite, Content, write_bag};
