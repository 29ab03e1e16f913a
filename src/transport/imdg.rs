//! The rows for the sea alone: IMDG amendment 42-24. Its pages were not read; what stands here is
//! known second-hand or from memory and only makes an answer stricter.

use crate::citation::Known;
use crate::transport::criteria::{Criteria, Fact, Value};
use crate::transport::edition::{Edition, day};
use crate::transport::facts::Stowage;
use crate::transport::rule::{Effect, IfUnknown, MarkText, Place, Rule};
use crate::transport::situation::{
    DAMAGED, FOUND_DAMAGED, IMDG_SEA, LITHIUM_OR_SODIUM, PACKAGED, SOUND, WASTE, YES,
};
use crate::transport::surface_places::read;

const IMDG: Rule = Rule {
    scope: IMDG_SEA,
    basis: Known::Secondary,
    ..Rule::BLANK
};

const fn at(place: &'static str) -> [Place; 1] {
    [read(Edition::Imdg42, place)]
}

/// Under SP 376 or 377: damaged, or waste.
const DAMAGED_OR_WASTE: Criteria = Criteria::Any(&[DAMAGED, Criteria::All(&[SOUND, WASTE])]);
const SHORT: Criteria = Criteria::Stated(&Criteria::OneOf(Fact::ShortVoyage, YES));

/// Every row.
pub(crate) static RULES: &[Rule] = &[
    Rule {
        id: "imdg-text-not-read",
        says: "The pages of the sea code were not read; the answer follows ADR, which repeats the \
               same model regulations, so read them before the package is handed over.",
        when: Criteria::Always,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &at("whole text"),
        ..IMDG
    },
    Rule {
        id: "imdg-name-mark",
        says: "On the sea the proper shipping name stands on the package beside the UN number.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PACKAGED]),
        effects: &[Effect::Mark {
            text: MarkText::Name,
            min_height_mm: 0,
        }],
        clauses: &at("5.2.1"),
        ..IMDG
    },
    Rule {
        id: "imdg-emergency-schedule",
        says: "The document names the emergency schedules F-A and S-I.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &at("3.2, dangerous goods list, EmS"),
        ..IMDG
    },
    Rule {
        id: "imdg-shipper-declaration",
        says: "The consignor signs the declaration on the dangerous goods document in the words of \
               the code.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &at("5.4.1.6"),
        basis: Known::Memory,
        ..IMDG
    },
    Rule {
        id: "imdg-packing-certificate",
        says: "Who packs the container certifies that it is clean and fit, that only sound \
               packages are in it, secured, marked and placarded, with a document for each.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &at("5.4.2"),
        ..IMDG
    },
    Rule {
        id: "imdg-unit-placards",
        says: "The container carries class 9 placards, never model 9A, on four sides, and above \
               4000 kg of one number that number too.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &at("5.3.1; 5.3.2"),
        basis: Known::Memory,
        ..IMDG
    },
    Rule {
        id: "imdg-stowed-on-deck",
        says: "Damaged and waste batteries stand on deck only, unless the voyage is a short \
               international one.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, DAMAGED_OR_WASTE, Criteria::Not(&SHORT)]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &at("7.1, SW19"),
        ..IMDG
    },
    Rule {
        id: "imdg-under-deck",
        says: "Damaged and waste batteries may not stand under deck, unless the voyage is a short \
               international one.",
        when: Criteria::All(&[
            LITHIUM_OR_SODIUM,
            Criteria::Stated(&Criteria::OneOf(
                Fact::Stowage,
                &[Value::Stowage(Stowage::UnderDeck)],
            )),
            Criteria::Not(&Criteria::OneOf(Fact::ShortVoyage, YES)),
            Criteria::Any(&[FOUND_DAMAGED, WASTE]),
        ]),
        effects: &[Effect::Forbid {
            way_out: "the consignor asks the carrier for a place on deck",
        }],
        clauses: &at("7.1, SW19"),
        ..IMDG
    },
    Rule {
        id: "imdg-stowage-category",
        says: "Batteries that are neither damaged nor waste are in stowage category A, on or under \
               deck.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &at("3.2, dangerous goods list, stowage"),
        basis: Known::Memory,
        ..IMDG
    },
    Rule {
        id: "imdg-land-reliefs-not-open",
        says: "The reliefs for collected batteries, for household equipment and for one's own work \
               are not in the sea code.",
        when: Criteria::Any(&[
            Criteria::OneOf(Fact::ClaimsCollection, YES),
            Criteria::OneOf(Fact::ClaimsHousehold, YES),
            Criteria::OneOf(Fact::ClaimsOwnWork, YES),
        ]),
        effects: &[Effect::Requirement],
        clauses: &at("3.3"),
        ..IMDG
    },
    Rule {
        id: "imdg-amendment-of-before-usable",
        says: "Until the end of 2025 the amendment before this one may be used instead.",
        when: Criteria::Always,
        effects: &[Effect::Requirement],
        clauses: &at("adoption of amendment 42-24"),
        valid_to: Some(day(2025, 12, 31)),
        ..IMDG
    },
    Rule {
        id: "imdg-next-amendment",
        says: "From 2027 the next amendment stands beside this one and was not seen; read it \
               before relying on this answer.",
        when: Criteria::Always,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &at("adoption of the next amendment"),
        valid_from: Some(day(2027, 1, 1)),
        basis: Known::Memory,
        ..IMDG
    },
];
