//! Pure sums. The only place with floats; every function gives the same bits on every machine.

mod curves;
mod domain;
mod lift;
mod rested_reading;
mod state_of_charge;
mod wait;

pub use curves::{CellKind, Curve, published, published_named};
pub use domain::DomainError;
pub use lift::{Foreseen, Lift, foreseen, lifting_index, team_share};
pub use rested_reading::{
    CoulombCount, CurvePoint, LastCurrent, MakerCurve, ManagementValue, Meter, RestedReading,
    StableReadings,
};
pub use state_of_charge::{ChargeVerdict, ErrorTerms, Proof, state_of_charge};
pub use wait::{CapacitorError, StoredEnergy, stored_energy};
