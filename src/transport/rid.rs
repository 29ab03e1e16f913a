//! The rows for European rail alone: RID 2025, read in an unofficial translation. The rest stands in
//! `surface.rs` and `adr.rs`.

use crate::citation::Known;
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::{Edition, day};
use crate::transport::rule::{Effect, IfUnknown, Place, Rule};
use crate::transport::situation::{LITHIUM_OR_SODIUM, RID_RAIL};
use crate::transport::surface_places::{heard, read};

const RID: Rule = Rule {
    scope: RID_RAIL,
    ..Rule::BLANK
};

const fn by_rail(place: &'static str) -> [Place; 2] {
    [
        heard(Edition::Rid2023, place, Known::Secondary),
        read(Edition::Rid2025, place),
    ]
}

/// Every row.
pub(crate) static RULES: &[Rule] = &[
    Rule {
        id: "rid-hazard-number",
        says: "Where orange plates are fitted, the document writes 90 and a comma before the UN \
               number.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &by_rail("5.4.1.1.1(j); 3.2 Table A, column 20"),
        ..RID
    },
    Rule {
        id: "rid-express-parcel",
        says: "As an express parcel a package may weigh at most 40 kg.",
        when: Criteria::All(&[
            LITHIUM_OR_SODIUM,
            Criteria::Not(&Criteria::Compare(
                Fact::PackageGross,
                Is::AtMost,
                Value::Thousandths(40_000),
            )),
        ]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &by_rail("7.6 CE2; 3.2 Table A, column 19"),
        ..RID
    },
    Rule {
        id: "rid-no-small-load",
        says: "By rail there is no relief for small loads; their table only limits what a firm \
               carries beside its own work.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &by_rail("1.1.3.6"),
        ..RID
    },
    Rule {
        id: "rid-next-edition",
        says: "From 2027 the next edition of the rail rules stands beside this one and was not \
               seen; read it before relying on this answer.",
        when: Criteria::Always,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[read(Edition::Rid2025, "1.6.1.1")],
        valid_from: Some(day(2027, 1, 1)),
        basis: Known::Memory,
        ..RID
    },
];
