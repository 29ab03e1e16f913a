//! The order of a removal: steps, their precedence, its proof, progress, stop-work and the gate.

mod drawing;
mod graph;
mod join;
mod proof;
mod settings;
mod step;

pub use graph::{Cycle, Graph, StepSet};
pub use join::ProcedureError;
pub use proof::{Escape, Link, Proof, prove};
pub use settings::{NotBeyond, Setting, Settings};
pub use step::{
    Above, Act, Branch, EvidenceKind, EvidenceSpec, Limit, Need, People, Per, Procedure, Role,
    Step, When,
};
