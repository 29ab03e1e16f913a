//! The order of a removal: steps, their precedence, its proof, progress, stop-work and the gate.

mod step;

pub use step::{
    Above, Act, Branch, EvidenceKind, EvidenceSpec, Limit, Need, People, Per, Procedure, Role,
    Step, When,
};
