//! Change of custody as values: what is handed over, what arrives, what is held, what stands
//! where. Pure: entries in, a register out; a wish in, entries or reasons out. Files lie with
//! `store`, words with `papers`.

mod amount;
mod certify;
mod closing;
mod compare;
mod deadline;
mod event;
mod figures;
mod found;
mod handover;
mod hold;
mod judge_line;
mod known_later;
mod line_words;
mod log_name;
mod merge;
mod moving;
mod onward;
mod receipt;
mod receiving;
mod register;
mod running;
mod site;
mod stock;
mod taken;
mod tolerance;

pub use amount::{Amount, AmountShown, Sum};
pub use certify::{certify, not_certified};
pub use closing::{Closing, close};
pub use compare::{Compared, compare};
pub use deadline::{discrepancy_clock, is_waste, last_day_of_stay};
pub use event::{
    Arrived, CertificateTaken, Cleared, ColumnsConfirmed, Consolidated, Dispatched, FactsStated,
    Held, IdentityMerged, LoadRefused, Moved, Opened, ReceiptClosed, ReceiptOpened, RegisterEvent,
    Reread, Scanned, Settled,
};
pub use figures::no_such_reading;
pub use found::facts_of;
pub use handover::{
    COSIGNED, Cosigned, GIVERS, GIVERS_CLAUSE, HandedModule, HandedPackage, Handover, Keeping,
    LeafRef, LogState, Organisation, PaperHanded, RELEASED,
};
pub use hold::{ClearanceAsked, HOLDERS, clear, held, on_site, verdict};
pub use log_name::LogName;
pub use merge::{Branch, Branches, Conflict, Merged};
pub use moving::{consolidate, dispatch, merge, move_to, settle, state};
pub use onward::{CARRIED_ON, CONSIGNMENT_OPENED, CarriedOn, ConsignmentOpened, Onward, onward};
pub use receipt::{
    Answer, Clock, Discrepancy, DockPhoto, Expected, Line, Scan, SealFound, SealState, Sides,
    Subject, stated_soundness,
};
pub use receiving::{Heard, Opening, RECEIVERS, open, refuse, scan, scan_all, standing};
pub use register::{
    Case, Certified, Departure, HoldRecord, Item, Misfit, Receipt, ReceiptState, Register,
};
pub use running::{RunningCase, running_cases};
pub use site::{Bay, BayKind, Limits, Region, Site, SiteLimits, StoreDuties};
pub use stock::{BayStock, Stock, hold_bay, may_move, stay};
pub use taken::Taken;
pub use tolerance::{Owned, Tolerances};

pub use crate::ids::{look_alike, look_alikes, same_form, temporary_identity};
