//! How a battery may lawfully travel: facts in, decision with reasons and trace out. Rules are rows
//! of data; this folder's other files are their form, their meaning and the check of the package.

mod adr;
mod adr_packing;
mod both_roads;
mod cfr49;
mod cfr49_packing;
mod contents;
mod criteria;
mod decide;
mod decision;
mod document_check;
mod edition;
mod facts;
mod instruction;
mod limits;
mod mark;
mod package;
mod rule;
mod rule_set;
mod shown;
mod situation;
mod vehicle_load;
mod vehicle_rows;

pub use criteria::{Criteria, Fact, FactSet, Finding, Is, Truth, Value};
pub use decide::{decide, decide_by, decide_untraced};
pub use decision::{
    Answer, Decision, DecisionEntry, Document, MarkDue, RequirementDue, TraceLine, TraceOutcome,
};
pub use document_check::{
    DocumentAnswer, DocumentQuestion, DocumentStanding, Quantity, check_document,
};
pub use edition::Edition;
pub use facts::{
    Approval, ApprovalKind, Configuration, Cushioning, Facts, Inner, Item, MarkShown, Mode,
    Package, PackageKind, Regime, StateOfCharge, Stowage, Verified, Voyage,
};
pub use instruction::{Group, Instruction, Items, Need, Outer};
pub use limits::limits_of;
pub use mark::{MarkAnswer, MarkStanding, PackagingMark, check_mark};
pub use package::{PackageAnswer, PackageDecision};
pub use rule::{Effect, IfUnknown, LinePart, ListEntry, MarkText, Place, Rule, Scope};
pub use rule_set::{RuleSet, rule_set};
pub use vehicle_load::{Goods, Load, LoadAnswer, Standing, Tunnel, Vehicle, check_load};
