//! One file for each thing a person does. The command line calls these; so will pages later.

mod add_entry;
mod error;
mod folder;
mod interview;
mod issue_papers;
mod keys;
mod method;
mod pack_instances;
mod play;
mod procedures;
mod read_record;
mod schema;
mod status;
mod verify_job;

pub use add_entry::{Added, add_entry};
pub use error::ActionError;
pub use folder::{JobFolder, OpenJob};
pub use interview::{Interview, Question};
pub use issue_papers::{Issued, issue_papers, manifest_of};
pub use keys::{KeyShown, show_key};
pub use method::{LiftForeseen, Method, MethodStep, method_statement};
pub use pack_instances::{PlanJudged, check_plans, pack_instances};
pub use play::{Played, play};
pub use procedures::{find_procedure, load_procedure, load_settings, proof_of};
pub use read_record::read_record;
pub use schema::{SCHEMAS, schema};
pub use status::{ModuleStatus, OpenStep, Status, outcome_word, status};
pub use verify_job::{JobVerification, verify_job};
