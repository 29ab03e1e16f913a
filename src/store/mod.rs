//! Where jobs lie: the job's folder on disk, the field record, procedures and settings, the key of
//! this device. The register of many jobs, one trait over the databases, has its room here too.

pub mod bag;
mod copies;
mod device_log;
mod error;
pub(crate) mod facts;
mod finished_table;
mod folder;
mod issues;
mod kept_rules;
mod keys;
mod photographs;
mod procedures;
mod record;
mod register;
mod register_reading;
mod seen;

pub use copies::{Gathered, gather, write_merged};
pub use error::StoreError;
pub use facts::{Form, Leg, Said};
pub use folder::{JobFolder, OpenJob};
pub use keys::{KeyShown, show_key};
pub use procedures::{find_procedure, load_procedure, load_settings, proof_of};
pub use record::read_record;
pub use register::{OpenRegister, RegisterFolder};
pub use seen::{CosignedNote, cosign};

pub(crate) use device_log::replace;
pub(crate) use finished_table::describe_beside;
pub(crate) use folder::{draft_of, lawful_breaks, record_of, replay, settings_sha256, start_log};
pub(crate) use issues::{
    changed_papers, issue_folder, keep_into, keep_older, papers_there, refuse_other, write_into,
};
pub(crate) use kept_rules::{RULES_FILE, Rulebook, Rules, rules_of};
pub(crate) use keys::{is_demo_origin, signing_key, trusted};
pub(crate) use photographs::{hash_photos, photographs_of};
pub(crate) use record::read_text;
pub(crate) use register::plain;
