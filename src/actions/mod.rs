//! One file for each thing a person does. The command line calls these; so will pages later.

mod add_entry;
mod classify;
mod classify_table;
mod error;
mod facts_columns;
mod folder;
mod interview;
mod issue_papers;
mod keys;
mod method;
mod play;
mod procedures;
mod read_facts;
mod read_record;
mod rules;
mod schema;
mod status;
mod verify_job;

pub use add_entry::{Added, add_entry};
pub use classify::{Change, ChangedAlike, Comparison, Tally, Worst, classify, compare};
pub use classify_table::{Progress, classify_to_table, classify_to_writer};
pub use error::ActionError;
pub use folder::{JobFolder, OpenJob};
pub use interview::{Interview, Question};
pub use issue_papers::{Issued, issue_papers, manifest_of};
pub use keys::{KeyShown, show_key};
pub use method::{LiftForeseen, Method, MethodStep, method_statement};
pub use play::{Played, play};
pub use procedures::{find_procedure, load_procedure, load_settings, proof_of};
pub use read_facts::{Form, Leg, Said};
pub use read_record::read_record;
pub use rules::{rule_book, rule_card, rule_cards};
pub use schema::{SCHEMAS, schema};
pub use status::{ModuleStatus, OpenStep, Status, outcome_word, status};
pub use verify_job::{JobVerification, verify_job};
