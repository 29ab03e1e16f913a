//! The order of a removal: steps, their precedence, its proof, progress, stop-work and the gate.

mod drawing;
mod error;
mod escape;
mod flaw;
mod graph;
mod join;
mod look_over;
mod proof;
mod settings;
mod step;

pub use error::ProcedureError;
pub use escape::{Escape, Link, Proof};
pub use graph::{Cycle, Graph, StepSet};
pub use proof::prove;
pub use settings::{NotBeyond, Setting, Settings};
pub use step::{
    Above, Act, Branch, EvidenceKind, EvidenceSpec, Limit, Need, People, Per, Procedure, Role,
    Step, When,
};
