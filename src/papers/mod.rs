//! What the documents say and how they look; nothing is decided here.
//!
//! Each paper has one content type; every rendering of it takes that and returns text or bytes. Files
//! are written by the caller.

pub mod answers;
pub mod audit_report;
mod cautions;
mod cell;
mod charge;
mod column;
pub mod custody;
mod custody_handed;
mod custody_of;
mod data;
pub mod decisions;
mod described;
mod discharge;
pub mod epcis;
mod epcis_of;
mod epcis_received;
mod error;
mod fire_page;
mod fire_page_of;
mod hold_tag;
mod indented;
mod inspection;
mod issue;
mod labels;
pub mod manifest;
mod manifest_of;
mod manifest_pdf;
mod manifest_table;
mod materials;
pub mod method;
pub mod names;
mod page;
pub mod pdf;
mod print;
mod receipt;
pub mod route_words;
pub mod rule_book;
pub mod rule_card;
mod sections;
pub mod sheets;
mod sheets_of;
mod small_load;
mod spreadsheet;
mod stamp;
pub mod summary;
mod tabular;
mod template;
mod transport;
mod words;

pub use cell::{marked, plain_text, unmarked};
pub use charge::ChargeRange;
pub use column::Fault;
pub use data::{data_papers, event_document, onward_document};
pub use described::{answers_datapackage, finding_heads, findings_datapackage};
pub use epcis_received::received_document;
pub use error::PaperError;
pub use fire_page::{FirePage, FirePlace};
pub use fire_page_of::fire_page_of;
pub(crate) use hold_tag::OFFICER;
pub use hold_tag::{HoldTag, hold_tags_html, hold_tags_pdf};
pub use issue::{
    Issued, NotPrinted, custody_table, onward_table, paper_of_file, papers_of, refuse_unknown,
    void_papers_of,
};
pub use method::method_of;
pub use print::{Look, print_method, print_papers};
pub use receipt::receipt_files;
pub use words::Language;
