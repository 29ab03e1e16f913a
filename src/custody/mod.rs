//! Change of custody as values: what is handed over. Files lie with `store`, words with `papers`.

mod handover;
mod log_name;

pub use handover::{
    COSIGNED, Cosigned, HandedModule, HandedPackage, Handover, Keeping, LeafRef, Organisation,
    PaperHanded, RELEASED,
};
pub use log_name::LogName;
