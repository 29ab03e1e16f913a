//! The order of a removal: steps, their precedence, its proof, progress, stop-work and the gate.

mod graph;
mod join;
mod settings;
mod step;

pub use graph::{Cycle, Graph, StepSet};
pub use join::ProcedureError;
pub use settings::{NotBeyond, Setting, Settings};
pub use step::{
    Above, Act, Branch, EvidenceKind, EvidenceSpec, Limit, Need, People, Per, Procedure, Role,
    Step, When,
};
