//! One removal job: its plan, the entries taken so far, and what they amount to.

mod account;
mod charge;
mod discharge;
mod energy;
mod event;
mod fold;
mod lifted;
mod like;
mod package_numbers;
mod packed;
mod plan;
mod plan_figures;
mod reuse;
mod trail;

pub use account::{Contents, Verdict};
pub use discharge::Discharging;
pub use event::{EntryBody, OpenedBody, PapersBody, recorded_at};
pub use fold::{Job, Taken};
pub use like::NewJob;
pub use package_numbers::Gs1;
pub use plan::{Leg, Party, Plan, Site};
pub use trail::{OPENED, PAPERS_ISSUED, is_of_the_record, module_entries, record_entries};
