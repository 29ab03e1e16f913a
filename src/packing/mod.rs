//! Which item goes into which package: instance, plan, lower bound, checker, solver.
//!
//! [`solve()`] packs; `check` judges any plan, ours or one made by hand. The two share the forms of
//! `instance` and `plan`, and not a line of sums: a slip in one cannot hide in the other. `load` does
//! the same for real modules and real packagings, where the law has its say.

mod bound;
mod check;
mod error;
mod haul;
mod instance;
mod load;
mod plan;
mod rows;
mod solve;

pub use bound::{Bound, Why, simple_bound};
pub use check::{Fault, check};
pub use error::PackingError;
pub use haul::{
    Carried, Carrier, CarrierKind, Carriers, Counted, Haul, HaulFault, NotCarried, Stand,
    check_haul, plan_haul,
};
pub use instance::{Instance, LARGEST, MOST_ITEMS, instances};
pub use load::{
    Load, LoadFault, LoadedPackage, Measured, NotPacked, Packaging, PassedOver, Piece, Placement,
    RestsOn, Stock, check_load, plan_load,
};
pub use plan::{Plan, Proposal, proposals};
pub use solve::{Packer, solve, solve_all};
