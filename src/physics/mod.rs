//! Pure sums. The only place with floats; every function gives the same bits on every machine.

mod curves;
mod domain;
mod lift;
mod state_of_charge;
mod wait;

pub use curves::{CellKind, Curve, published, published_named};
pub use domain::DomainError;
pub use lift::{Lift, lifting_index, team_share};
pub use state_of_charge::{
    ChargeVerdict, CoulombCount, CurvePoint, ErrorTerms, LastCurrent, MakerCurve, ManagementValue,
    Meter, Proof, RestedReading, StableReadings, state_of_charge,
};
pub use wait::{CapacitorError, StoredEnergy, stored_energy};
