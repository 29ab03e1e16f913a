//! How a battery may lawfully travel: facts in, decision with reasons and trace out. Rules are rows
//! of data; this folder's other files are their form, their meaning and the check of the package.

mod adr;
mod air;
mod air_load;
mod air_packing;
mod case;
mod cfr49;
mod cfr49_modes;
mod cfr49_packing;
mod contents;
mod contradiction;
mod criteria;
mod decide;
mod decision;
mod document_check;
mod document_form;
mod document_line;
mod document_words;
mod edition;
mod everywhere;
mod fact;
mod fact_words;
mod facts;
mod highway_load;
mod imdg;
mod instruction;
mod limits;
mod load_form;
mod mark;
mod package;
mod rail_load;
mod reader;
mod rid;
mod route;
mod rule;
mod rule_set;
mod sea_air_rows;
mod sea_load;
mod shelf;
mod shown;
mod situation;
mod standing;
mod surface;
mod surface_equipment;
mod surface_packing;
mod surface_places;
mod vehicle_load;
mod vehicle_rows;
mod waste;
mod waste_rows;

pub(crate) use contradiction::FULL as FULL_CHARGE;
pub use criteria::{Criteria, Fact, FactSet, Finding, Is, Truth, Value};
pub use decide::{decide, decide_by, decide_untraced};
pub use decision::{
    Answer, Decision, DecisionEntry, Document, MarkDue, RequirementDue, TraceLine, TraceOutcome,
    Words,
};
pub use document_check::check_document;
pub use document_form::{DocumentAnswer, DocumentQuestion, DocumentStanding, Quantity};
pub use edition::Edition;
pub use facts::{
    Approval, ApprovalKind, BatteryMark, Configuration, Cushioning, Facts, Inner, Item, MarkShown,
    Mode, Package, PackageKind, Regime, Relief, StateOfCharge, Stowage, Verified, Voyage,
};
pub use instruction::{Group, Instruction, Items, Need, Outer};
pub use limits::limits_of;
pub use load_form::{Goods, Load, LoadAnswer, Standing, Tunnel, Vehicle};
pub use mark::{MarkAnswer, MarkStanding, PackagingMark, check_mark};
pub use package::{PackageAnswer, PackageDecision};
pub use reader::{Reader, Reworded};
pub use route::{LegPacking, RouteAnswer, RoutePackage, decide_route};
pub use rule::{Effect, IfUnknown, LinePart, ListEntry, MarkText, Place, Rule, Scope};
pub use rule_set::{RuleSet, rule_set};
pub use vehicle_load::check_load;
pub(crate) use vehicle_load::{factor_of, points_of, small_load_limit};
pub use vehicle_rows::{Due, LoadLaw, LoadRule, agreement_lines, load_rules, load_table};
pub use waste::{
    UsWaste, WasteDecision, WasteEffect, WasteLaw, WasteRule, judge_waste, waste_law, waste_rules,
};
