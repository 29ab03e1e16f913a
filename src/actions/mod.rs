//! One file for each thing a person does. The command line calls these; so will pages later.

mod add_entry;
mod audit;
mod audit_events;
mod calc;
mod certificate;
mod check_papers;
mod classify;
mod cosign;
mod dispatch;
mod error;
mod hold;
mod hold_tags;
mod interview;
mod issue;
mod merge;
mod method;
mod new_job;
mod pack_instances;
mod pack_job;
mod play;
mod print_receipt;
mod proof;
mod read_code;
mod receive;
mod register;
mod release;
mod rules;
mod schema;
mod status;
mod stock;
mod verify_bundle;
mod verify_job;
mod verify_proof;

pub use add_entry::{Added, add_entry};
pub use audit::{
    AuditAsked, AuditReport, AuditRun, CheckShown, FindingsCsv, Inspected, Look, MOST_KEPT,
    QuestionTally, Take, audit_jobs, describe_findings, means, read_certificate,
};
pub use audit_events::{EventsFiles, audit_table};
pub use calc::{Calculated, Rows, SUMS, Sum, find_sum};
pub use certificate::{CertificateMatched, CertificateSaid, take_certificate};
pub use check_papers::{check_document, check_load, check_mark};
pub use classify::{
    Change, ChangedAlike, Comparison, Progress, Tally, Worst, classify, classify_to_table,
    classify_to_writer, compare, decide_routes,
};
pub use cosign::{CosignedBundle, TakenBy, cosign_bundle};
pub use dispatch::{SentOn, dispatch_stock, rewrite_dispatch};
pub use error::ActionError;
pub use hold::{HoldList, HoldShown, clear_hold, hold_list, put_in_hold, reread};
pub use hold_tags::{TagsPrinted, print_hold_tags};
pub use interview::{Asked, Choice, HAPPENINGS, Happening, Interview, Question};
pub use issue::{Standing, issue_papers};
pub use merge::{LogShown, MergeShown, merge};
pub use method::{method_pdf, method_statement};
pub use new_job::{JobBegun, new_job, serials_in};
pub use pack_instances::{PlanJudged, check_plans, pack_instances};
pub use pack_job::{PackTables, check_job_plan, pack_job};
pub use play::{Played, Print, play};
pub use print_receipt::print_receipt;
pub use proof::{ModuleProof, module_proof};
pub use read_code::{CodeAnswer, CodeStanding, read_code};
pub use receive::{
    ColumnGuess, Context, DOCK_HELP, Delivery, Granted, HeldShown, LineShown, Load, ReceiptShown,
    Receiving, SCAN_COLUMNS, Saying, Table, Typed, begin, read_named, read_scans, read_table,
    read_typed,
};
pub use register::{
    RegisterOpened, RegisterVerified, merge_identity, open_register, settle_discrepancy,
    state_facts, verify_register,
};
pub use release::{
    CosignatureTaken, ReleaseSaid, Released, release, rewrite_bundle, take_cosignature,
};
pub use rules::{rule_book, rule_card, rule_cards};
pub use schema::{SCHEMAS, schema};
pub use status::{ModuleStatus, OpenStep, Status, hand_overs, outcome_word, status};
pub use stock::{
    BayShown, ItemShown, StockShown, consolidate_stock, fire_page, move_stock, received_events,
    stock,
};
pub use verify_bundle::{BundleVerification, verify_bundle};
pub use verify_job::{JobVerification, verify_job};
pub use verify_proof::{ProofVerification, ProvedEntry, is_proof, verify_proof};
