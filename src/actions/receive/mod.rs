//! Receives a load: what was stated, what is scanned at the dock, the answer for each line.
//!
//! Each scan is in the ledger, on disk, before it is answered. A cut loses at most the line that
//! was being typed; the receipt goes on where it stood.

mod columns;
mod load;
mod receiving;
mod scans;
mod shown;
mod typed;

pub use columns::{ColumnGuess, Saying, Table, read_table};
pub use load::Load;
pub use receiving::{Delivery, Granted, Receiving, begin, read_named};
pub use scans::{SCAN_COLUMNS, read_scans};
pub use shown::{HeldShown, LineShown, ReceiptShown};
pub use typed::{Context, DOCK_HELP, Typed, read_typed};
