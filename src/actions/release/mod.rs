//! Hands a load over: an entry in the ledger, and one file that goes with it.

mod bag;
mod checks;
mod cosigned;
mod hand_over;
mod load;
mod packed;
mod said;
mod seals;

pub use cosigned::{CosignatureTaken, take_cosignature};
pub use hand_over::{Released, release, rewrite_bundle};
pub use said::ReleaseSaid;
