//! What stands on the wall: chemistry, nameplate, modules, sources and soundness.

mod chemistry;
mod installation;
mod lifting;
mod module;
mod soundness;

pub use chemistry::{Anode, Cathode, Chemistry};
pub use installation::{
    Capacitors, Installation, IsolatingDevice, Source, SourceKind, Supply, Variant,
};
pub use lifting::{Coupling, LiftPlace, OutsideScope};
pub use module::{Casing, Module};
pub use soundness::{Purpose, Soundness};
