//! Pure sums. The only place with floats; every function gives the same bits on every machine.

mod lift;
mod wait;

pub use lift::{Foreseen, Lift, foreseen, lifting_index, team_share};
pub use wait::{CapacitorError, StoredEnergy, stored_energy};
