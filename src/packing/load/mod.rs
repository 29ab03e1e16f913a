//! Real modules into real packagings: what is in stock, what may share, where each one stands.

mod check_load;
mod check_room;
mod divider;
mod fault;
mod fill;
mod floor;
mod layers;
mod least;
mod measured;
mod piece;
mod plan_load;
mod room;
mod stock;

pub(super) use floor::{Spot, place, stances};

pub use check_load::check_load;
pub use fault::LoadFault;
pub use measured::Measured;
pub use piece::{Load, LoadedPackage, NotPacked, PassedOver, Piece, Placement};
pub use plan_load::plan_load;
pub use stock::{Packaging, RestsOn, Stock};
