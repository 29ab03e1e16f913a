//! The rows for the United States, every mode: 49 CFR, text of December 2022 as read, with the
//! later changes named. Sodium ion is held, since that text has no entry for it.

use crate::battery::{Chemistry, Purpose};
use crate::citation::Known;
use crate::transport::cfr49_packing::{
    B3, B3_EQUIPMENT, B4, B4_UNPACKED, B5, B6, D, E, E4, F3, F3_LARGE, SP389,
};
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::Edition;
use crate::transport::rule::{Effect, IfUnknown, LinePart, ListEntry, MarkText, Place, Rule};
use crate::transport::situation::{
    ALONE, AS_NEW, CONTAINED_IN, CRITICAL, DAMAGED, HEAVY_AND_STRONG, IN_UNIT, LEAKING, LITHIUM,
    LITHIUM_HYBRID, LITHIUM_ION, LITHIUM_METAL, NO, PACKAGED, PACKED_WITH, PROTOTYPE, SOUND,
    TESTED, UNDIAGNOSED, UNTESTED, US, US_AIR, US_CARGO, US_HIGHWAY, US_OFF_HIGHWAY,
    US_RAIL_AND_VESSEL, US_SURFACE, WASTE, WITH_EQUIPMENT, YES,
};

const US_ROW: Rule = Rule {
    scope: US,
    ..Rule::BLANK
};

const fn at(place: &'static str) -> Place {
    Place {
        edition: Edition::Cfr49Of2022,
        place,
        known: None,
    }
}

const GOODS: Criteria = Criteria::All(&[LITHIUM, PACKAGED]);
const BY_ITSELF: Criteria = Criteria::All(&[LITHIUM, ALONE]);

/// Recycling or disposal by motor vehicle.
const ROUTE_D: Criteria = Criteria::OneOf(
    Fact::Purpose,
    &[
        Value::Purpose(Purpose::Disposal),
        Value::Purpose(Purpose::Recycling),
    ],
);
/// Carried like a new one; sorting is not named among the uses that free from the type test.
const ROUTE_B: Criteria = Criteria::Any(&[
    AS_NEW,
    Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::Sorting)]),
]);

const fn class_nine(un: &'static str, proper_shipping_name: &'static str) -> Effect {
    Effect::Entry(ListEntry {
        un,
        proper_shipping_name,
        hazard_class: "9",
        label: "9A",
    })
}

const BREACHED: Criteria = Criteria::Stated(&Criteria::OneOf(Fact::CasingBreached, YES));
const NOT_APPROVED: Criteria = Criteria::OneOf(Fact::AuthorityApproval, NO);
/// Every row.
pub(crate) static RULES: &[Rule] = &[
    // Entries
    Rule {
        id: "us-entry-lithium-ion",
        says: "A lithium ion battery that travels by itself is UN3480, also where its task is to \
               feed other equipment.",
        when: Criteria::All(&[LITHIUM_ION, ALONE]),
        effects: &[Effect::Entry(ListEntry {
            un: "UN3480",
            proper_shipping_name: "Lithium ion batteries",
            hazard_class: "9",
            label: "9A",
        })],
        clauses: &[at("172.101, UN3480")],
        ..US_ROW
    },
    Rule {
        id: "us-entry-lithium-metal",
        says: "A lithium metal battery, or a hybrid of primary and rechargeable cells, that \
               travels by itself is UN3090.",
        when: Criteria::All(&[LITHIUM_METAL, ALONE]),
        effects: &[Effect::Entry(ListEntry {
            un: "UN3090",
            proper_shipping_name: "Lithium metal batteries",
            hazard_class: "9",
            label: "9A",
        })],
        clauses: &[at("172.101, UN3090")],
        ..US_ROW
    },
    Rule {
        id: "us-hybrid-as-metal",
        says: "A battery with both primary and rechargeable lithium cells goes under the lithium \
               metal entry.",
        when: Criteria::All(&[LITHIUM_HYBRID, PACKAGED]),
        effects: &[Effect::Provision("SP 388"), Effect::Requirement],
        clauses: &[at("172.102(c)(1), SP 388")],
        ..US_ROW
    },
    Rule {
        id: "us-sodium-ion-held",
        says: "The text has no entry for sodium ion; pack and protect it like lithium ion \
               meanwhile, and never print UN3480 for it.",
        when: Criteria::OneOf(
            Fact::Chemistry,
            &[
                Value::Chemistry(Chemistry::SodiumIonAqueous),
                Value::Chemistry(Chemistry::SodiumIonOrganic),
            ],
        ),
        effects: &[Effect::NotDetermined {
            question: "on what basis does this sodium ion battery travel: the maker's \
                       classification, an approval, or a letter",
            who: "the compliance officer",
        }],
        clauses: &[at("172.101: no entry found")],
        ..US_ROW
    },
    Rule {
        id: "us-metallic-sodium-elsewhere",
        says: "A battery with metallic sodium belongs to UN3292, for which this rule set has no \
               rows.",
        when: Criteria::OneOf(Fact::Chemistry, &[Value::Chemistry(Chemistry::SodiumMetal)]),
        effects: &[Effect::NotDetermined {
            question: "how does this battery travel under UN3292",
            who: "the compliance officer",
        }],
        clauses: &[at("173.189")],
        basis: Known::Secondary,
        ..US_ROW
    },
    Rule {
        id: "us-entry-ion-packed-with",
        says: "A lithium ion battery beside the equipment that it makes run is UN3481, packed with \
               equipment.",
        when: Criteria::All(&[LITHIUM_ION, PACKED_WITH]),
        effects: &[class_nine(
            "UN3481",
            "Lithium ion batteries packed with equipment",
        )],
        clauses: &[at("172.101, UN3481")],
        ..US_ROW
    },
    Rule {
        id: "us-entry-ion-contained-in",
        says: "A lithium ion battery inside the equipment that it makes run is UN3481, contained \
               in equipment.",
        when: Criteria::All(&[LITHIUM_ION, CONTAINED_IN]),
        effects: &[class_nine(
            "UN3481",
            "Lithium ion batteries contained in equipment",
        )],
        clauses: &[at("172.101, UN3481")],
        ..US_ROW
    },
    Rule {
        id: "us-entry-metal-packed-with",
        says: "A lithium metal or hybrid battery beside the equipment that it makes run is UN3091, \
               packed with equipment.",
        when: Criteria::All(&[LITHIUM_METAL, PACKED_WITH]),
        effects: &[class_nine(
            "UN3091",
            "Lithium metal batteries packed with equipment",
        )],
        clauses: &[at("172.101, UN3091")],
        ..US_ROW
    },
    Rule {
        id: "us-entry-metal-contained-in",
        says: "A lithium metal or hybrid battery inside the equipment that it makes run is UN3091, \
               contained in equipment.",
        when: Criteria::All(&[LITHIUM_METAL, CONTAINED_IN]),
        effects: &[class_nine(
            "UN3091",
            "Lithium metal batteries contained in equipment",
        )],
        clauses: &[at("172.101, UN3091")],
        ..US_ROW
    },
    Rule {
        id: "us-packed-with-and-contained-in",
        says: "Batteries packed with and contained in equipment in one package are named and marked \
               as packed with equipment.",
        when: Criteria::All(&[LITHIUM, WITH_EQUIPMENT]),
        effects: &[Effect::Provision("SP 181"), Effect::Requirement],
        clauses: &[at("172.102(c)(1), SP 181")],
        ..US_ROW
    },
    // In a transport unit
    Rule {
        id: "us-entry-in-unit",
        says: "Lithium batteries built into a transport unit that only feeds something outside it \
               are UN3536.",
        when: Criteria::All(&[LITHIUM, IN_UNIT]),
        effects: &[
            Effect::Entry(ListEntry {
                un: "UN3536",
                proper_shipping_name: "Lithium batteries installed in cargo transport unit",
                hazard_class: "9",
                label: "9",
            }),
            Effect::Provision("SP 389"),
        ],
        clauses: &[at("172.101, UN3536; 172.102(c)(1), SP 360, 389")],
        ..US_ROW
    },
    Rule {
        id: "us-unit-sound",
        says: "In a unit the batteries are of a tested type, fixed to the structure and protected \
               against over-charge and over-discharge.",
        when: Criteria::All(&[LITHIUM, IN_UNIT, SOUND, TESTED]),
        effects: &[Effect::Packing(&SP389), Effect::Requirement],
        clauses: &[at("172.102(c)(1), SP 389")],
        ..US_ROW
    },
    Rule {
        id: "us-unit-untested",
        says: "A unit with batteries of a type that is not tested is not UN3536.",
        when: Criteria::All(&[LITHIUM, IN_UNIT, SOUND, UNTESTED]),
        effects: &[Effect::NotDetermined {
            question: "is there a test of these batteries, or must they come out and travel alone",
            who: "the compliance officer",
        }],
        clauses: &[at("172.102(c)(1), SP 389; 173.185(a)")],
        ..US_ROW
    },
    Rule {
        id: "us-unit-damaged",
        says: "A unit with a damaged battery inside does not fit UN3536, which presumes batteries \
               that meet the type test.",
        when: Criteria::All(&[LITHIUM, IN_UNIT, DAMAGED]),
        effects: &[Effect::NotDetermined {
            question: "can the damaged battery be taken out and travel by itself",
            who: "the compliance officer",
        }],
        clauses: &[at("172.102(c)(1), SP 389; 173.185(f)")],
        overrides: &["us-unit-sound", "us-unit-untested"],
        ..US_ROW
    },
    Rule {
        id: "us-unit-placards",
        says: "The unit shows its UN number and is placarded on two opposite sides; the batteries \
               inside need no marks and labels.",
        when: Criteria::All(&[LITHIUM, IN_UNIT]),
        effects: &[Effect::Requirement],
        clauses: &[at("172.102(c)(1), SP 389")],
        ..US_ROW
    },
    Rule {
        id: "us-unit-by-air-forbidden",
        says: "A unit with batteries flies only with an approval.",
        when: Criteria::All(&[LITHIUM, IN_UNIT, NOT_APPROVED]),
        effects: &[Effect::Forbid {
            way_out: "the shipper gets the approval, or sends it by highway, rail or vessel",
        }],
        clauses: &[at("172.102(c)(1), SP 389")],
        scope: US_AIR,
        ..US_ROW
    },
    // What every package needs
    Rule {
        id: "us-label",
        says: "The package carries the Class 9 lithium battery label, not the plain Class 9 label \
               and not the lithium battery mark.",
        when: GOODS,
        effects: &[
            Effect::Provision("SP 422"),
            Effect::Label("9A"),
            Effect::Requirement,
        ],
        clauses: &[at("172.102(c)(1), SP 422; 172.447")],
        ..US_ROW
    },
    Rule {
        id: "us-name-mark",
        says: "The proper shipping name stands on the package.",
        when: GOODS,
        effects: &[Effect::Mark {
            text: MarkText::Name,
            min_height_mm: 0,
        }],
        clauses: &[at("172.301(a)(1)")],
        ..US_ROW
    },
    Rule {
        id: "us-number-mark-large",
        says: "The UN number stands on the package in letters of at least 12 mm.",
        when: Criteria::All(&[
            GOODS,
            Criteria::Compare(Fact::PackageNet, Is::MoreThan, Value::Thousandths(30_000)),
        ]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Mark {
            text: MarkText::Number,
            min_height_mm: 12,
        }],
        clauses: &[at("172.301(a)(1)")],
        ..US_ROW
    },
    Rule {
        id: "us-number-mark-small",
        says: "Up to 30 kg net the UN number stands on the package in letters of at least 6 mm.",
        when: Criteria::All(&[
            GOODS,
            Criteria::Compare(Fact::PackageNet, Is::AtMost, Value::Thousandths(30_000)),
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Mark {
            text: MarkText::Number,
            min_height_mm: 6,
        }],
        clauses: &[at("172.301(a)(1)")],
        ..US_ROW
    },
    Rule {
        id: "us-consignor-on-package",
        says: "Name and address of consignor or consignee stand on the package, unless one motor \
               carrier takes it all the way on the highway.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.301(d)")],
        ..US_ROW
    },
    Rule {
        id: "us-shipping-paper",
        says: "The shipping paper gives number, name and class in that order with nothing between \
               and no packing group, then total mass and number and kind of packages.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.202(a), (b)")],
        ..US_ROW
    },
    Rule {
        id: "us-shipper-certification",
        says: "The shipper signs the certification in the words of the regulation, unless he \
               carries the goods himself and hands them to nobody else.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.204(a), (b)(1)(ii), (d)")],
        ..US_ROW
    },
    Rule {
        id: "us-certification-words",
        says: "The words to sign are: This is to certify that the above-named materials are \
               properly classified, described, packaged, marked and labeled, and are in proper \
               condition for transportation according to the applicable regulations of the \
               Department of Transportation.",
        when: GOODS,
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &[at("172.204(a)(1)")],
        basis: Known::Secondary,
        ..US_ROW
    },
    Rule {
        id: "us-emergency-number",
        says: "The paper has a telephone number, with the name of its registrant, where someone \
               who knows the goods answers at any time while they travel.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.604(a), (b)")],
        ..US_ROW
    },
    Rule {
        id: "us-emergency-information",
        says: "Emergency response information, guide 147, travels with the goods.",
        when: GOODS,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("172.602")],
        basis: Known::Memory,
        ..US_ROW
    },
    Rule {
        id: "us-training",
        says: "Everyone who packs, loads, papers or drives is trained and tested, within 90 days \
               and again every three years.",
        when: GOODS,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("172.704(c)")],
        basis: Known::Secondary,
        ..US_ROW
    },
    Rule {
        id: "us-paper-kept",
        says: "The shipper keeps a copy of the paper for two years, three for hazardous waste.",
        when: GOODS,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("172.201(e)")],
        basis: Known::Secondary,
        ..US_ROW
    },
    Rule {
        id: "us-no-waste-word",
        says: "The word Waste stands before the name only where a hazardous waste manifest is \
               required; universal waste is never added to the name.",
        when: Criteria::All(&[GOODS, WASTE, Criteria::Not(&BREACHED)]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &[at("172.101(c)(9)")],
        basis: Known::Secondary,
        ..US_ROW
    },
    Rule {
        id: "us-waste-word-with-manifest",
        says: "With a breached cell the waste is hazardous waste: the name has the word Waste \
               before it and a manifest travels.",
        when: Criteria::All(&[LITHIUM, WASTE, BREACHED]),
        effects: &[
            Effect::Line(LinePart::BeforeName("Waste")),
            Effect::Requirement,
        ],
        clauses: &[at("172.101(c)(9); 40 CFR 262")],
        basis: Known::Secondary,
        mirror: "letter of interpretation 25-0098, opening read",
        overrides: &["us-no-waste-word"],
        ..US_ROW
    },
    Rule {
        id: "us-text-to-be-read-again",
        says: "The text was read as of December 2022; read the current one before release \
               (changes of April 2024, proposals of July 2025 and February 2026).",
        when: Criteria::Always,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("173.185; 89 FR 25434")],
        basis: Known::Secondary,
        ..US_ROW
    },
    Rule {
        id: "us-bulk-packaging",
        says: "Above 400 kg net it may be a bulk packaging, which carries its number on placard, \
               panel or diamond.",
        when: Criteria::All(&[
            GOODS,
            Criteria::Compare(Fact::PackageNet, Is::MoreThan, Value::Thousandths(400_000)),
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &[at("171.8; 172.504(f)(9)")],
        ..US_ROW
    },
    // Route B
    Rule {
        id: "us-sound-tested",
        says: "A sound battery of a tested type travels in a packaging for packing group II.",
        when: Criteria::All(&[BY_ITSELF, SOUND, ROUTE_B, TESTED]),
        effects: &[Effect::Packing(&B3), Effect::Requirement],
        clauses: &[at("173.185(a), (b)(3)")],
        ..US_ROW
    },
    Rule {
        id: "us-sound-large-packaging",
        says: "Not by air, one sound battery of a tested type may stand in a large packaging.",
        when: Criteria::All(&[BY_ITSELF, SOUND, ROUTE_B, TESTED]),
        effects: &[Effect::Packing(&B6)],
        clauses: &[at("173.185(b)(6)")],
        scope: US_SURFACE,
        ..US_ROW
    },
    Rule {
        id: "us-packed-with-sound",
        says: "A sound battery of a tested type beside its equipment travels in a packaging for \
               packing group II, alone or with the equipment.",
        when: Criteria::All(&[LITHIUM, PACKED_WITH, SOUND, ROUTE_B, TESTED]),
        effects: &[Effect::Packing(&B3_EQUIPMENT), Effect::Requirement],
        clauses: &[at("173.185(a), (b)(3)(iii)")],
        ..US_ROW
    },
    Rule {
        id: "us-contained-in-sound",
        says: "A sound battery of a tested type in its equipment travels in a strong outer, \
               secured against being switched on.",
        when: Criteria::All(&[LITHIUM, CONTAINED_IN, SOUND, ROUTE_B, TESTED]),
        effects: &[
            Effect::Packing(&B4),
            Effect::PackingOnRequest {
                instruction: &B4_UNPACKED,
                question: "does the equipment protect the battery as well as a packaging would",
                who: "the compliance officer",
            },
            Effect::Requirement,
        ],
        clauses: &[at("173.185(a), (b)(4)")],
        ..US_ROW
    },
    Rule {
        id: "us-recycling-off-the-highway-tested",
        says: "Off the highway a sound battery for recycling or disposal has no relief: of a \
               tested type, it travels like any other.",
        when: Criteria::All(&[BY_ITSELF, SOUND, ROUTE_D, TESTED]),
        effects: &[Effect::Packing(&B3), Effect::Requirement],
        clauses: &[at("173.185(a), (b)(3), (d)")],
        scope: US_OFF_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-recycling-large-packaging",
        says: "By rail or vessel one sound battery of a tested type for recycling or disposal may \
               stand in a large packaging.",
        when: Criteria::All(&[BY_ITSELF, SOUND, ROUTE_D, TESTED]),
        effects: &[Effect::Packing(&B6)],
        clauses: &[at("173.185(b)(6), (d)")],
        scope: US_RAIL_AND_VESSEL,
        ..US_ROW
    },
    Rule {
        id: "us-recycling-packed-with-off-the-highway",
        says: "Off the highway a battery for recycling or disposal beside its equipment travels \
               like any other.",
        when: Criteria::All(&[LITHIUM, PACKED_WITH, SOUND, ROUTE_D, TESTED]),
        effects: &[Effect::Packing(&B3_EQUIPMENT), Effect::Requirement],
        clauses: &[at("173.185(b)(3)(iii), (d)")],
        scope: US_OFF_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-recycling-contained-in-off-the-highway",
        says: "Off the highway a battery for recycling or disposal in its equipment travels like \
               any other.",
        when: Criteria::All(&[LITHIUM, CONTAINED_IN, SOUND, ROUTE_D, TESTED]),
        effects: &[Effect::Packing(&B4), Effect::Requirement],
        clauses: &[at("173.185(b)(4), (d)")],
        scope: US_OFF_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-recycling-off-the-highway-untested",
        says: "The freedom from the type test for recycling and disposal ends where the motor \
               vehicle does.",
        when: Criteria::All(&[GOODS, SOUND, ROUTE_D, UNTESTED]),
        effects: &[Effect::NotDetermined {
            question: "is there a test of this battery as it is offered, or can the whole way be \
                       made by motor vehicle",
            who: "the compliance officer",
        }],
        clauses: &[at("173.185(a)(1), (d)")],
        scope: US_OFF_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-sound-untested",
        says: "A module out of a tested battery pack is itself a battery; untested as offered, it \
               may not simply travel like a new one.",
        when: Criteria::All(&[GOODS, SOUND, ROUTE_B, UNTESTED]),
        effects: &[Effect::NotDetermined {
            question: "is there a test of this battery as it is offered, or another lawful route",
            who: "the compliance officer",
        }],
        clauses: &[at("173.185(a)(1)")],
        ..US_ROW
    },
    Rule {
        id: "us-strong-casing",
        says: "From 12 kg and in a strong, impact-resistant casing it may stand in a strong \
               outer, an enclosure or on a pallet.",
        when: Criteria::All(&[
            BY_ITSELF,
            SOUND,
            HEAVY_AND_STRONG,
            Criteria::Any(&[Criteria::All(&[ROUTE_B, TESTED]), ROUTE_D]),
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Packing(&B5)],
        clauses: &[at("173.185(b)(5)")],
        scope: US_HIGHWAY,
        ..US_ROW
    },
    Rule {
        id: "us-strong-casing-off-the-highway",
        says: "By rail or vessel too a battery of a tested type, from 12 kg and in a strong casing, \
               may stand in a strong outer, an enclosure or on a pallet.",
        when: Criteria::All(&[
            BY_ITSELF,
            SOUND,
            HEAVY_AND_STRONG,
            Criteria::Any(&[ROUTE_B, ROUTE_D]),
            TESTED,
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Packing(&B5)],
        clauses: &[at("173.185(b)(5)")],
        scope: US_RAIL_AND_VESSEL,
        ..US_ROW
    },
    Rule {
        id: "us-strong-casing-by-air",
        says: "By cargo aircraft the relief for a strong casing needs an approval.",
        when: Criteria::All(&[BY_ITSELF, HEAVY_AND_STRONG]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &[at("173.185(b)(5)")],
        scope: US_CARGO,
        ..US_ROW
    },
    Rule {
        id: "us-strong-casing-shown",
        says: "The shipper judges that the casing is strong and impact-resistant, and can show \
               it.",
        when: Criteria::All(&[BY_ITSELF, SOUND, HEAVY_AND_STRONG]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &[at("173.185(b)(5)")],
        basis: Known::Secondary,
        scope: US_SURFACE,
        ..US_ROW
    },
    // Route D
    Rule {
        id: "us-waste-sound",
        says: "A sound battery for recycling or disposal needs on the highway no tested type and \
               no tested packaging, but a strong outer and everything else.",
        when: Criteria::All(&[GOODS, SOUND, ROUTE_D]),
        effects: &[Effect::Packing(&D), Effect::Requirement],
        clauses: &[at("173.185(d)")],
        scope: US_HIGHWAY,
        ..US_ROW
    },
    // Route E
    Rule {
        id: "us-prototype",
        says: "A sound prototype, or one of a run of at most a hundred a year, may travel \
               untested in a packaging for packing group I.",
        when: Criteria::All(&[GOODS, SOUND, PROTOTYPE]),
        effects: &[
            Effect::Packing(&E),
            Effect::Statement("Transport in accordance with § 173.185(e)"),
            Effect::Requirement,
        ],
        clauses: &[at("173.185(e)")],
        ..US_ROW
    },
    Rule {
        id: "us-prototype-large-packaging",
        says: "Not by air, one prototype may stand in a large packaging for packing group I.",
        when: Criteria::All(&[GOODS, SOUND, PROTOTYPE]),
        effects: &[Effect::Packing(&E4)],
        clauses: &[at("173.185(e)(4)")],
        scope: US_SURFACE,
        ..US_ROW
    },
    Rule {
        id: "us-prototype-strong-casing",
        says: "From 12 kg and in a strong casing a prototype may stand in a strong outer, an \
               enclosure or on a pallet.",
        when: Criteria::All(&[BY_ITSELF, SOUND, PROTOTYPE, HEAVY_AND_STRONG]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Packing(&B5)],
        clauses: &[at("173.185(e)(5)")],
        scope: US_SURFACE,
        ..US_ROW
    },
    // Route F
    Rule {
        id: "us-damaged",
        says: "A battery found damaged or defective, recalled for safety, or not diagnosable \
               travels one to a packaging for packing group I, whatever it is carried for.",
        when: Criteria::All(&[GOODS, DAMAGED]),
        effects: &[
            Effect::Packing(&F3),
            Effect::Packing(&F3_LARGE),
            Effect::Requirement,
        ],
        clauses: &[at("173.185(f)(1)-(3)")],
        overrides: &[
            "us-sound-untested",
            "breached-cell-is-not-sound",
            "us-sound-tested",
            "us-strong-casing-shown",
            "us-waste-sound",
            "us-packed-with-sound",
            "us-contained-in-sound",
            "us-recycling-off-the-highway-tested",
            "us-recycling-off-the-highway-untested",
            "us-recycling-packed-with-off-the-highway",
            "us-recycling-contained-in-off-the-highway",
            "us-prototype",
        ],
        scope: US_SURFACE,
        ..US_ROW
    },
    Rule {
        id: "us-mark-damaged-ion",
        says: "The outer packaging carries the words for a damaged lithium ion battery in letters \
               of at least 12 mm.",
        when: Criteria::All(&[LITHIUM_ION, PACKAGED, DAMAGED]),
        effects: &[Effect::Mark {
            text: MarkText::Words("Damaged/defective lithium ion battery"),
            min_height_mm: 12,
        }],
        clauses: &[at("173.185(f)(4)")],
        scope: US_SURFACE,
        ..US_ROW
    },
    Rule {
        id: "us-mark-damaged-metal",
        says: "The outer packaging carries the words for a damaged lithium metal battery in \
               letters of at least 12 mm.",
        when: Criteria::All(&[LITHIUM_METAL, PACKAGED, DAMAGED]),
        effects: &[Effect::Mark {
            text: MarkText::Words("Damaged/defective lithium metal battery"),
            min_height_mm: 12,
        }],
        clauses: &[at("173.185(f)(4)")],
        scope: US_SURFACE,
        ..US_ROW
    },
    Rule {
        id: "us-undiagnosed-as-damaged",
        says: "What cannot be diagnosed before it travels counts as damaged; the text read does \
               not say so, the international criterion does.",
        when: Criteria::All(&[GOODS, UNDIAGNOSED]),
        effects: &[Effect::Unverified],
        clauses: &[at("173.185(f)")],
        basis: Known::Memory,
        scope: US_SURFACE,
        ..US_ROW
    },
    Rule {
        id: "us-leaking",
        says: "Around a leaking battery there is enough inert absorbent material, and nothing \
               leaves the package.",
        when: Criteria::All(&[GOODS, LEAKING]),
        effects: &[Effect::Requirement],
        clauses: &[at("173.185(f)(2)")],
        scope: US_SURFACE,
        ..US_ROW
    },
    Rule {
        id: "us-critical-released-by-officer",
        says: "A battery that may react dangerously stays where it is while it heats, smokes or \
               vents; it leaves only when the officer has released it in writing.",
        when: Criteria::All(&[GOODS, CRITICAL]),
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("173.21(c); 173.185(h)")],
        basis: Known::Memory,
        scope: US_SURFACE,
        ..US_ROW
    },
];
