//! The rows for European road alone, and those that road and rail share: transport category, papers,
//! reliefs, the change of editions. The rest stands in `surface.rs`.

use crate::citation::Known;
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::{Edition, day};
use crate::transport::rule::{Effect, IfUnknown, LinePart, Rule};
use crate::transport::situation::{
    ADR_ROAD, CONTAINED_IN, CRITICAL, LAND, LITHIUM_OR_SODIUM, NOT_CRITICAL, SODIUM_ORGANIC, WASTE,
    YES,
};
use crate::transport::surface_places::{
    by_land, by_land_of_2023, by_land_since_2025, by_road, read,
};

const ADR: Rule = Rule {
    scope: ADR_ROAD,
    ..Rule::BLANK
};
const LAND_ROW: Rule = Rule {
    scope: LAND,
    ..Rule::BLANK
};

const fn claimed(fact: Fact) -> Criteria {
    Criteria::OneOf(fact, YES)
}

/// At most 500 g and 100 Wh.
const SMALL_ENOUGH_TO_COLLECT: Criteria = Criteria::All(&[
    Criteria::Compare(Fact::Energy, Is::AtMost, Value::Thousandths(100_000)),
    Criteria::Compare(Fact::Mass, Is::AtMost, Value::Thousandths(500)),
]);
const FROM_HOUSEHOLDS: Criteria =
    Criteria::All(&[CONTAINED_IN, Criteria::OneOf(Fact::Household, YES)]);

/// Every row.
pub(crate) static RULES: &[Rule] = &[
    Rule {
        id: "adr-tunnel-code",
        says: "The transport document ends its line with the tunnel code where the way passes \
               restricted tunnels.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Line(LinePart::AfterClass("(E)"))],
        clauses: &by_road!("3.2 Table A, column 15; 5.4.1.1.1(k)"),
        ..ADR
    },
    Rule {
        id: "land-category-two",
        says: "These batteries are in transport category 2: by road at most 333 kg on a small \
               load.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Category("2")],
        clauses: &by_land!("1.1.3.6.3; 3.2 Table A, column 15"),
        ..LAND_ROW
    },
    Rule {
        id: "land-critical",
        says: "A damaged battery that may react dangerously on the way is in transport category \
               0: never on a small load, and the document says so.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, CRITICAL]),
        effects: &[
            Effect::Provision("SP 677"),
            Effect::Category("0"),
            Effect::Statement("Transport category 0"),
            Effect::Requirement,
        ],
        clauses: &by_land_since_2025!("3.3 SP 677; 1.1.3.6.3"),
        overrides: &["land-category-two"],
        ..LAND_ROW
    },
    Rule {
        id: "land-critical-before",
        says: "In the edition of 2023 a battery that may react dangerously was in transport \
               category 0 by its special provision itself.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, CRITICAL]),
        effects: &[Effect::Category("0"), Effect::Requirement],
        clauses: &by_land_of_2023!("3.3 SP 376"),
        basis: Known::Secondary,
        mirror: "ADR/RID 2025, 3.3 SP 677, read",
        overrides: &["land-category-two"],
        ..LAND_ROW
    },
    // Papers and what else travels
    Rule {
        id: "land-document-kept",
        says: "Consignor and carrier keep the transport document and its additions for at least \
               three months, so that they can be printed.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &by_land!("5.4.4"),
        ..LAND_ROW
    },
    Rule {
        id: "land-document-language",
        says: "The document is in an official language of the country of departure and, where \
               that is not English, French or German, in one of these too.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &by_land!("5.4.1.4.1"),
        ..LAND_ROW
    },
    Rule {
        id: "land-packing-certificate",
        says: "A container that goes on by sea has a packing certificate, which may stand in the \
               document.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &by_land!("5.4.2"),
        ..LAND_ROW
    },
    Rule {
        id: "land-adviser-report",
        says: "Who sends or packs more than small loads has a safety adviser, whose yearly report \
               is kept for five years.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &by_land!("1.8.3.1; 1.8.3.3"),
        ..LAND_ROW
    },
    Rule {
        id: "land-third-party",
        says: "Who sends for somebody else has it from him in writing that these are dangerous \
               goods.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &by_land!("1.4.2.1"),
        ..LAND_ROW
    },
    Rule {
        id: "land-accident-report",
        says: "An accident with injury, with a loss or risk of loss of 333 kg, or with great \
               damage is reported to the authority within a month.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &by_land!("1.8.5"),
        ..LAND_ROW
    },
    Rule {
        id: "adr-full-load-papers",
        says: "Above a small load there travel the instructions in writing, a driver's \
               certificate and photo, plates, two extinguishers and the vehicle's kit.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, NOT_CRITICAL]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &by_road!("1.1.3.6; 5.4.3; 8.1.2; 8.1.4; 8.1.5; 5.3.2.1.1"),
        ..ADR
    },
    Rule {
        id: "adr-critical-full-load-papers",
        says: "With a critical battery aboard there always travel the instructions in writing, a \
               driver's certificate and photo, plates, two extinguishers and the vehicle's kit.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, CRITICAL]),
        effects: &[Effect::Requirement],
        clauses: &by_road!("1.1.3.6.3; 5.4.3; 8.1.2; 8.1.4; 8.1.5; 5.3.2.1.1"),
        overrides: &["adr-full-load-papers", "adr-small-load-papers"],
        ..ADR
    },
    Rule {
        id: "adr-small-load-papers",
        says: "On a small load there still travel the document with the mass and the points, one \
               extinguisher of 2 kg and a lamp, and everyone is trained.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, NOT_CRITICAL]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &by_road!("1.1.3.6.2; 5.4.1.1.1(f); 8.1.4.2; 8.2.3; 8.3.4"),
        ..ADR
    },
    Rule {
        id: "adr-estimated-mass",
        says: "The mass of waste may not be estimated where the small load is used.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, WASTE]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &by_road!("5.4.1.1.3.2"),
        ..ADR
    },
    // Reliefs
    Rule {
        id: "land-small-collection-relief-not-used",
        says: "A battery of at most 500 g and 100 Wh collected for sorting, disposal or recycling \
               may qualify for the collection relief; it is treated here as fully regulated.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, WASTE, SMALL_ENOUGH_TO_COLLECT]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &by_land!("3.3 SP 636"),
        ..LAND_ROW
    },
    Rule {
        id: "land-collection-relief-claimed",
        says: "Whether the relief for small collected batteries holds hangs on the collection \
               system: at most 333 kg in a unit, sorted and recorded.",
        when: Criteria::All(&[
            claimed(Fact::ClaimsCollection),
            WASTE,
            SMALL_ENOUGH_TO_COLLECT,
        ]),
        effects: &[Effect::NotDetermined {
            question: "does the collection system meet every condition of SP 636",
            who: "the dangerous goods safety adviser of the collection system",
        }],
        clauses: &by_land!("3.3 SP 636"),
        ..LAND_ROW
    },
    Rule {
        id: "land-collection-relief-not-open",
        says: "The relief for small collected batteries is not open to this one: it ends at 500 g \
               and 100 Wh and holds for waste only, so the full rules hold.",
        when: Criteria::All(&[
            claimed(Fact::ClaimsCollection),
            Criteria::Any(&[
                Criteria::Not(&WASTE),
                Criteria::Not(&SMALL_ENOUGH_TO_COLLECT),
            ]),
        ]),
        effects: &[Effect::Requirement],
        clauses: &by_land!("3.3 SP 636"),
        ..LAND_ROW
    },
    Rule {
        id: "land-household-relief-claimed",
        says: "Whether equipment from households is free of the rules hangs on its battery: not \
               its main source of power, or collected in strong bins under a quality system.",
        when: Criteria::All(&[claimed(Fact::ClaimsHousehold), FROM_HOUSEHOLDS]),
        effects: &[Effect::NotDetermined {
            question: "which case of SP 670 does the equipment meet, and who has checked it",
            who: "the dangerous goods safety adviser of the collection system",
        }],
        clauses: &by_land!("3.3 SP 670"),
        ..LAND_ROW
    },
    Rule {
        id: "land-household-relief-not-open",
        says: "The relief for household equipment is not open to a battery that is not in \
               equipment from households, so the full rules hold.",
        when: Criteria::All(&[
            claimed(Fact::ClaimsHousehold),
            Criteria::Not(&FROM_HOUSEHOLDS),
        ]),
        effects: &[Effect::Requirement],
        clauses: &by_land!("3.3 SP 670"),
        ..LAND_ROW
    },
    Rule {
        id: "land-own-work-claimed",
        says: "Whether a firm that brings removed batteries to its own depot carries them beside \
               its main work is not settled; it never holds for supply or distribution.",
        when: Criteria::All(&[claimed(Fact::ClaimsOwnWork), NOT_CRITICAL]),
        effects: &[Effect::NotDetermined {
            question: "does this journey fall under 1.1.3.1 c",
            who: "the dangerous goods safety adviser, with the competent authority",
        }],
        clauses: &by_land!("1.1.3.1(c)"),
        ..LAND_ROW
    },
    Rule {
        id: "land-own-work-not-open",
        says: "Carriage beside one's own work is not open to a critical battery: its limit is \
               zero.",
        when: Criteria::All(&[claimed(Fact::ClaimsOwnWork), CRITICAL]),
        effects: &[Effect::Requirement],
        clauses: &by_land!("1.1.3.1(c); 1.1.3.6.3"),
        ..LAND_ROW
    },
    Rule {
        id: "land-agreement-used",
        says: "Whether a multilateral agreement covers this carriage hangs on its annex and on the \
               states that signed it.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, Criteria::OneOf(Fact::Agreement, YES)]),
        effects: &[Effect::NotDetermined {
            question: "do all states on the way take part in the agreement, and is its annex met",
            who: "the dangerous goods safety adviser",
        }],
        clauses: &by_land!("1.5.1"),
        ..LAND_ROW
    },
    // Editions
    Rule {
        id: "land-sodium-by-agreement",
        says: "The edition of 2023 has no entry for sodium ion; agreement M354 gave one to the \
               states that signed it, from 28 June 2023 to 30 June 2025.",
        when: SODIUM_ORGANIC,
        effects: &[Effect::NotDetermined {
            question: "do all states on the way take part in M354",
            who: "the dangerous goods safety adviser",
        }],
        clauses: &by_land_of_2023!("1.5.1, agreement M354"),
        basis: Known::Secondary,
        ..LAND_ROW
    },
    Rule {
        id: "land-text-of-before",
        says: "The edition of 2023 is known second-hand only; read it before relying on this \
               answer.",
        when: Criteria::Always,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &by_land_of_2023!("whole text"),
        basis: Known::Secondary,
        ..LAND_ROW
    },
    Rule {
        id: "land-edition-of-before-usable",
        says: "Until 30 June 2025 the edition of 2023 may be used instead, as a whole.",
        when: Criteria::Always,
        effects: &[Effect::Requirement],
        clauses: &by_land_since_2025!("1.6.1.1"),
        valid_to: Some(day(2025, 6, 30)),
        ..LAND_ROW
    },
    Rule {
        id: "adr-next-edition",
        says: "From 2027 the next edition stands beside this one and was not seen; read it before \
               relying on this answer.",
        when: Criteria::Always,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[read(Edition::Adr2025, "1.6.1.1")],
        valid_from: Some(day(2027, 1, 1)),
        basis: Known::Memory,
        ..ADR
    },
];
