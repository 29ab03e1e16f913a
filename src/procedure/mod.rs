//! The order of a removal: steps, their precedence, its proof, progress, stop-work and the gate.

mod acts;
mod answers;
mod crew;
mod drawing;
mod entry;
mod error;
mod escape;
mod flaw;
mod frame;
mod gate;
mod graph;
mod join;
mod judgement;
mod kind;
mod look_over;
mod needs;
mod progress;
mod proof;
mod settings;
mod step;

pub use acts::{
    LABEL_READ_ON_SITE, RequiredWait, modules_below, required_wait_s, two_reading_insulation,
};
pub(crate) use answers::nearest;
pub use crew::{Competence, Person};
pub use entry::{Entry, Evidence, LONGEST_TEXT, Photo, Value};
pub use error::ProcedureError;
pub use escape::{Escape, Link, Proof};
pub use frame::{Frame, Slot};
pub use gate::{closed, people};
pub use graph::{Cycle, Graph, StepSet};
pub use judgement::{Judgement, Outcome, open_steps, take, take_as_recorded};
pub use kind::Kind;
pub use progress::{Progress, Standing, Stop};
pub use proof::prove;
pub use settings::{NotBeyond, Setting, Settings};
pub use step::{
    Above, Act, Branch, EvidenceKind, EvidenceSpec, Limit, Need, OnlyFor, People, Per, Procedure,
    Role, Step, When,
};
