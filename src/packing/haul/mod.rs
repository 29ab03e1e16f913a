//! Packages onto pallets, into overpacks, onto vehicles: what may stand together, on what, and how
//! many points a vehicle then has.

mod arrange;
mod carriers;
mod check_haul;
mod fault;
mod parcel;
mod plan;
mod plan_haul;

pub use carriers::{Carrier, CarrierKind, Carriers};
pub use check_haul::check_haul;
pub use fault::HaulFault;
pub use plan::{Carried, Counted, Haul, NotCarried, Stand};
pub use plan_haul::plan_haul;
