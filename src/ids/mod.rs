//! Identities: ids of events, the names that things carry in a job, and what a scanned code says.
//!
//! Bar codes and tags follow GS1: check digits, element strings, Digital Links, EPC URNs.

mod application_identifier;
mod check_digit;
mod code_fault;
mod digital_link;
mod element_string;
mod event_id;
mod package_code;
mod scanned;
mod serial;
mod urn;

pub use check_digit::{check_digit, has_check_digit};
pub use code_fault::CodeFault;
pub use digital_link::{GS1_DOMAIN, digital_link};
pub use element_string::{Element, bracketed};
pub use event_id::{event_id, name_uuid};
pub use package_code::{CompanyPrefix, PackageCode};
pub use scanned::{CodeKind, Scanned, read_scanned};
pub use serial::{look_alike, look_alikes, same_form, temporary_identity};
