//! The order of a removal: steps, their precedence, its proof, progress, stop-work and the gate.

mod crew;
mod entry;
mod step;

pub use crew::{Competence, Person};
pub use entry::{Entry, Evidence, Kind, LONGEST_TEXT, Photo, Value};
pub use step::{
    Above, Act, Branch, EvidenceKind, EvidenceSpec, Limit, Need, People, Per, Procedure, Role,
    Step, When,
};
