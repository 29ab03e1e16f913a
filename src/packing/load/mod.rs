//! Real modules into real packagings: what is in stock, what may share, where each one stands.

mod check_load;
mod fill;
mod floor;
mod piece;
mod plan_load;
mod stock;

pub(super) use floor::{Spot, place, stances};

pub use check_load::{LoadFault, check_load};
pub use piece::{Load, LoadedPackage, NotPacked, Piece, Placement};
pub use plan_load::plan_load;
pub use stock::{Packaging, Stock};
