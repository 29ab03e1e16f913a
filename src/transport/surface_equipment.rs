//! The rows that road, rail and sea share for batteries with or in their equipment, and for those
//! built into a transport unit.

use crate::citation::Known;
use crate::transport::criteria::Criteria;
use crate::transport::rule::{Effect, IfUnknown, ListEntry, Rule};
use crate::transport::situation::{
    AS_NEW, CONTAINED_IN, FOUND_DAMAGED, IN_UNIT, LITHIUM, LITHIUM_ION, LITHIUM_METAL,
    LITHIUM_OR_SODIUM, PACKED_WITH, SODIUM_ORGANIC, SOUND, SURFACE, TESTED, UNTESTED, WASTE,
    WITH_EQUIPMENT,
};
use crate::transport::surface_packing::{
    P903_3, P903_4, P903_4_UNPACKED, P909_1, P909_3, P909_3_UNPACKED, SP389,
};
use crate::transport::surface_places::{alike, since_2025};

const SURFACE_ROW: Rule = Rule {
    scope: SURFACE,
    ..Rule::BLANK
};

const fn class_nine(un: &'static str, proper_shipping_name: &'static str) -> Effect {
    Effect::Entry(ListEntry {
        un,
        proper_shipping_name,
        hazard_class: "9",
        label: "9A",
    })
}

/// Every row.
pub(crate) static RULES: &[Rule] = &[
    // Entries
    Rule {
        id: "un-entry-ion-packed-with",
        says: "A lithium ion battery beside the equipment that it makes run is UN 3481, packed \
               with equipment.",
        when: Criteria::All(&[LITHIUM_ION, PACKED_WITH]),
        effects: &[class_nine(
            "UN 3481",
            "LITHIUM ION BATTERIES PACKED WITH EQUIPMENT",
        )],
        clauses: &alike!("3.2 Table A, UN 3481"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-entry-ion-contained-in",
        says: "A lithium ion battery inside the equipment that it makes run is UN 3481, contained \
               in equipment.",
        when: Criteria::All(&[LITHIUM_ION, CONTAINED_IN]),
        effects: &[class_nine(
            "UN 3481",
            "LITHIUM ION BATTERIES CONTAINED IN EQUIPMENT",
        )],
        clauses: &alike!("3.2 Table A, UN 3481"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-entry-metal-packed-with",
        says: "A lithium metal or hybrid battery beside the equipment that it makes run is UN \
               3091, packed with equipment.",
        when: Criteria::All(&[LITHIUM_METAL, PACKED_WITH]),
        effects: &[class_nine(
            "UN 3091",
            "LITHIUM METAL BATTERIES PACKED WITH EQUIPMENT",
        )],
        clauses: &alike!("3.2 Table A, UN 3091"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-entry-metal-contained-in",
        says: "A lithium metal or hybrid battery inside the equipment that it makes run is UN \
               3091, contained in equipment.",
        when: Criteria::All(&[LITHIUM_METAL, CONTAINED_IN]),
        effects: &[class_nine(
            "UN 3091",
            "LITHIUM METAL BATTERIES CONTAINED IN EQUIPMENT",
        )],
        clauses: &alike!("3.2 Table A, UN 3091"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-entry-sodium-packed-with",
        says: "A sodium ion battery with an organic electrolyte beside the equipment that it \
               makes run is UN 3552, packed with equipment.",
        when: Criteria::All(&[SODIUM_ORGANIC, PACKED_WITH]),
        effects: &[
            class_nine("UN 3552", "SODIUM ION BATTERIES PACKED WITH EQUIPMENT"),
            Effect::Provision("SP 401"),
        ],
        clauses: &since_2025!("3.2 Table A, UN 3552; 3.3 SP 401"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-entry-sodium-contained-in",
        says: "A sodium ion battery with an organic electrolyte inside the equipment that it \
               makes run is UN 3552, contained in equipment.",
        when: Criteria::All(&[SODIUM_ORGANIC, CONTAINED_IN]),
        effects: &[
            class_nine("UN 3552", "SODIUM ION BATTERIES CONTAINED IN EQUIPMENT"),
            Effect::Provision("SP 401"),
        ],
        clauses: &since_2025!("3.2 Table A, UN 3552; 3.3 SP 401"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-entry-in-unit",
        says: "Lithium batteries built into a container or vehicle body that only feeds something \
               outside it are UN 3536.",
        when: Criteria::All(&[LITHIUM, IN_UNIT]),
        effects: &[
            Effect::Entry(ListEntry {
                un: "UN 3536",
                proper_shipping_name: "LITHIUM BATTERIES INSTALLED IN CARGO TRANSPORT UNIT",
                hazard_class: "9",
                label: "9",
            }),
            Effect::Provision("SP 389"),
        ],
        clauses: &alike!("3.2 Table A, UN 3536; 3.3 SP 360, 389"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-sodium-in-unit-undecided",
        says: "For sodium ion batteries built into a transport unit no entry was found.",
        when: Criteria::All(&[SODIUM_ORGANIC, IN_UNIT]),
        effects: &[Effect::NotDetermined {
            question: "under which entry does a unit with sodium ion batteries travel",
            who: "the dangerous goods safety adviser, with the competent authority",
        }],
        clauses: &alike!("3.2 Table A: no entry found"),
        ..SURFACE_ROW
    },
    // With or in equipment
    Rule {
        id: "un-equipment-not-a-store",
        says: "Only what the battery makes run is its equipment; a store that feeds something \
               else travels as a battery alone, so the record says why this one does not.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, WITH_EQUIPMENT]),
        effects: &[Effect::Requirement],
        clauses: &alike!("4.1.4.1 P903"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-packed-with-and-contained-in",
        says: "Batteries packed with and contained in equipment in one package are marked and \
               named as packed with equipment.",
        when: Criteria::All(&[LITHIUM, WITH_EQUIPMENT]),
        effects: &[Effect::Provision("SP 390"), Effect::Requirement],
        clauses: &alike!("3.3 SP 390"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-packed-with-sound",
        says: "A sound battery of a tested type beside its equipment travels in a tested \
               packaging, alone or together with the equipment.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PACKED_WITH, SOUND, AS_NEW, TESTED]),
        effects: &[
            Effect::Provision("SP 230"),
            Effect::Packing(&P903_3),
            Effect::Requirement,
        ],
        clauses: &alike!("3.3 SP 230; 4.1.4.1 P903(3)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-contained-in-sound",
        says: "A sound battery of a tested type in its equipment travels in a strong outer, \
               secured against being switched on.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, CONTAINED_IN, SOUND, AS_NEW, TESTED]),
        effects: &[
            Effect::Provision("SP 230"),
            Effect::Packing(&P903_4),
            Effect::PackingOnRequest {
                instruction: &P903_4_UNPACKED,
                question: "does the equipment protect the battery as well as a packaging would",
                who: "the dangerous goods safety adviser",
            },
            Effect::Requirement,
        ],
        clauses: &alike!("3.3 SP 230; 4.1.4.1 P903(4)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-packed-with-waste",
        says: "A sound battery for disposal or recycling beside its equipment needs no tested type \
               and travels in the packagings for waste batteries.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PACKED_WITH, SOUND, WASTE]),
        effects: &[
            Effect::Provision("SP 377"),
            Effect::Packing(&P909_1),
            Effect::Requirement,
        ],
        clauses: &alike!("3.3 SP 377; 4.1.4.1 P909(1)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-contained-in-waste",
        says: "A sound battery for disposal or recycling in its equipment travels in a strong \
               outer.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, CONTAINED_IN, SOUND, WASTE]),
        effects: &[
            Effect::Provision("SP 377"),
            Effect::Packing(&P909_3),
            Effect::PackingOnRequest {
                instruction: &P909_3_UNPACKED,
                question: "does the equipment protect the battery as well as a packaging would",
                who: "the dangerous goods safety adviser",
            },
            Effect::Requirement,
        ],
        clauses: &alike!("3.3 SP 377; 4.1.4.1 P909(3)"),
        ..SURFACE_ROW
    },
    // In a transport unit
    Rule {
        id: "un-unit-sound",
        says: "In a unit the batteries are of a tested type, fixed to the structure, protected \
               against over-charge and over-discharge, with other dangerous goods only to run it.",
        when: Criteria::All(&[LITHIUM, IN_UNIT, SOUND, TESTED]),
        effects: &[Effect::Packing(&SP389), Effect::Requirement],
        clauses: &alike!("3.3 SP 389; 2.2.9.1.7.1"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-unit-untested",
        says: "A unit with batteries of a type that is not tested is not UN 3536.",
        when: Criteria::All(&[LITHIUM, IN_UNIT, SOUND, UNTESTED]),
        effects: &[Effect::NotDetermined {
            question: "is there a test of these batteries, or must they come out and travel alone",
            who: "the dangerous goods safety adviser",
        }],
        clauses: &alike!("3.3 SP 389; 2.2.9.1.7.1(a)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-unit-damaged",
        says: "A unit with a damaged or defective battery inside is not UN 3536.",
        when: Criteria::All(&[LITHIUM, IN_UNIT, FOUND_DAMAGED]),
        effects: &[Effect::Forbid {
            way_out: "a qualified electrical worker takes the damaged battery out; the consignor sends it by itself as damaged",
        }],
        clauses: &alike!("3.3 SP 376, 389"),
        overrides: &["un-unit-sound", "un-unit-untested"],
        ..SURFACE_ROW
    },
    Rule {
        id: "un-unit-placards",
        says: "The unit shows orange plates and class 9 placards on two opposite sides; the \
               batteries inside need no marks and labels.",
        when: Criteria::All(&[LITHIUM, IN_UNIT]),
        effects: &[Effect::Requirement],
        clauses: &alike!("3.3 SP 389; 5.3.1.1; 5.3.2.2"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-all-in-one-by-officer",
        says: "A store with inverter and modules in one housing counts as a battery alone unless \
               the officer writes down why it is equipment.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, CONTAINED_IN]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &alike!("4.1.4.1 P903"),
        basis: Known::ProjectDefault,
        ..SURFACE_ROW
    },
];
