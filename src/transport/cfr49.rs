//! The rows for the United States highway: 49 CFR, text of December 2022 as read, with the later
//! changes named. Sodium ion is held, since that text has no entry for it.

use crate::battery::{Chemistry, Purpose};
use crate::citation::Known;
use crate::transport::cfr49_packing::{B3, B5, B6, D, E, E4, F3, F3_LARGE};
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::Edition;
use crate::transport::facts::Configuration;
use crate::transport::rule::{Effect, IfUnknown, ListEntry, MarkText, Place, Rule};
use crate::transport::situation::{
    ALONE, AS_NEW, CRITICAL, DAMAGED, HEAVY_AND_STRONG, LEAKING, LITHIUM, LITHIUM_HYBRID,
    LITHIUM_ION, LITHIUM_METAL, PROTOTYPE, SOUND, TESTED, UNDIAGNOSED, UNTESTED, US_HIGHWAY, WASTE,
};

const US: Rule = Rule {
    scope: US_HIGHWAY,
    ..Rule::BLANK
};

const fn at(place: &'static str) -> Place {
    Place {
        edition: Edition::Cfr49Of2022,
        place,
    }
}

const GOODS: Criteria = Criteria::All(&[LITHIUM, ALONE]);

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

/// Every row of the United States highway.
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
        ..US
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
        ..US
    },
    Rule {
        id: "us-hybrid-as-metal",
        says: "A battery with both primary and rechargeable lithium cells goes under the lithium \
               metal entry.",
        when: Criteria::All(&[LITHIUM_HYBRID, ALONE]),
        effects: &[Effect::Provision("SP 388"), Effect::Requirement],
        clauses: &[at("172.102(c)(1), SP 388")],
        ..US
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
        ..US
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
        ..US
    },
    Rule {
        id: "us-other-configuration",
        says: "A battery with or in its equipment, or built into a transport unit, has an entry \
               of its own, for which this rule set has no rows.",
        when: Criteria::All(&[
            LITHIUM,
            Criteria::OneOf(
                Fact::Configuration,
                &[
                    Value::Configuration(Configuration::ContainedInEquipment),
                    Value::Configuration(Configuration::InCargoTransportUnit),
                    Value::Configuration(Configuration::PackedWithEquipment),
                ],
            ),
        ]),
        effects: &[Effect::NotDetermined {
            question: "under which entry does the battery travel together with its equipment",
            who: "the compliance officer",
        }],
        clauses: &[at("172.101, UN3481; 172.102(c)(1), SP 360, 389")],
        ..US
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
        ..US
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
        ..US
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
        ..US
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
        ..US
    },
    Rule {
        id: "us-consignor-on-package",
        says: "Name and address of consignor or consignee stand on the package, unless one motor \
               carrier takes it all the way on the highway.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.301(d)")],
        ..US
    },
    Rule {
        id: "us-shipping-paper",
        says: "The shipping paper gives number, name and class in that order with nothing between \
               and no packing group, then total mass and number and kind of packages.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.202(a), (b)")],
        ..US
    },
    Rule {
        id: "us-shipper-certification",
        says: "The shipper signs the certification in the words of the regulation, unless he \
               carries the goods himself and hands them to nobody else.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.204(a), (b)(1)(ii), (d)")],
        ..US
    },
    Rule {
        id: "us-emergency-number",
        says: "The paper has a telephone number, with the name of its registrant, where someone \
               who knows the goods answers at any time while they travel.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &[at("172.604(a), (b)")],
        ..US
    },
    Rule {
        id: "us-emergency-information",
        says: "Emergency response information, guide 147, travels with the goods.",
        when: GOODS,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("172.602")],
        basis: Known::Memory,
        ..US
    },
    Rule {
        id: "us-training",
        says: "Everyone who packs, loads, papers or drives is trained and tested, within 90 days \
               and again every three years.",
        when: GOODS,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("172.704(c)")],
        basis: Known::Memory,
        ..US
    },
    Rule {
        id: "us-paper-kept",
        says: "The shipper keeps a copy of the paper for two years, three for hazardous waste.",
        when: GOODS,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("172.201(e)")],
        basis: Known::Memory,
        ..US
    },
    Rule {
        id: "us-no-waste-word",
        says: "The word Waste stands before the name only where a hazardous waste manifest is \
               required; universal waste is never added to the name.",
        when: Criteria::All(&[GOODS, WASTE]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &[at("172.101(c)(9)")],
        basis: Known::Secondary,
        ..US
    },
    Rule {
        id: "us-text-to-be-read-again",
        says: "The text was read as of December 2022; read the current one before release \
               (changes of April 2024, proposals of July 2025 and February 2026).",
        when: Criteria::Always,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("173.185; 89 FR 25434")],
        basis: Known::Secondary,
        ..US
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
        ..US
    },
    // Route B
    Rule {
        id: "us-sound-tested",
        says: "A sound battery of a tested type travels in a packaging for packing group II.",
        when: Criteria::All(&[GOODS, SOUND, ROUTE_B, TESTED]),
        effects: &[
            Effect::Packing(&B3),
            Effect::Packing(&B6),
            Effect::Requirement,
        ],
        clauses: &[at("173.185(a), (b)(3), (b)(6)")],
        ..US
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
        ..US
    },
    Rule {
        id: "us-strong-casing",
        says: "From 12 kg and in a strong, impact-resistant casing it may stand in a strong \
               outer, an enclosure or on a pallet.",
        when: Criteria::All(&[
            GOODS,
            SOUND,
            HEAVY_AND_STRONG,
            Criteria::Any(&[Criteria::All(&[ROUTE_B, TESTED]), ROUTE_D]),
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Packing(&B5)],
        clauses: &[at("173.185(b)(5)")],
        ..US
    },
    Rule {
        id: "us-strong-casing-shown",
        says: "The shipper judges that the casing is strong and impact-resistant, and can show \
               it.",
        when: Criteria::All(&[GOODS, SOUND, HEAVY_AND_STRONG]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &[at("173.185(b)(5)")],
        basis: Known::Secondary,
        ..US
    },
    // Route D
    Rule {
        id: "us-waste-sound",
        says: "A sound battery for recycling or disposal needs on the highway no tested type and \
               no tested packaging, but a strong outer and everything else.",
        when: Criteria::All(&[GOODS, SOUND, ROUTE_D]),
        effects: &[Effect::Packing(&D), Effect::Requirement],
        clauses: &[at("173.185(d)")],
        ..US
    },
    // Route E
    Rule {
        id: "us-prototype",
        says: "A sound prototype, or one of a run of at most a hundred a year, may travel \
               untested in a packaging for packing group I.",
        when: Criteria::All(&[GOODS, SOUND, PROTOTYPE]),
        effects: &[
            Effect::Packing(&E),
            Effect::Packing(&E4),
            Effect::Statement("Transport in accordance with § 173.185(e)"),
            Effect::Requirement,
        ],
        clauses: &[at("173.185(e)")],
        ..US
    },
    Rule {
        id: "us-prototype-strong-casing",
        says: "From 12 kg and in a strong casing a prototype may stand in a strong outer, an \
               enclosure or on a pallet.",
        when: Criteria::All(&[GOODS, SOUND, PROTOTYPE, HEAVY_AND_STRONG]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Packing(&B5)],
        clauses: &[at("173.185(e)(5)")],
        ..US
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
            "us-sound-tested",
            "us-strong-casing-shown",
            "us-waste-sound",
            "us-prototype",
        ],
        ..US
    },
    Rule {
        id: "us-mark-damaged-ion",
        says: "The outer packaging carries the words for a damaged lithium ion battery in letters \
               of at least 12 mm.",
        when: Criteria::All(&[LITHIUM_ION, ALONE, DAMAGED]),
        effects: &[Effect::Mark {
            text: MarkText::Words("Damaged/defective lithium ion battery"),
            min_height_mm: 12,
        }],
        clauses: &[at("173.185(f)(4)")],
        ..US
    },
    Rule {
        id: "us-mark-damaged-metal",
        says: "The outer packaging carries the words for a damaged lithium metal battery in \
               letters of at least 12 mm.",
        when: Criteria::All(&[LITHIUM_METAL, ALONE, DAMAGED]),
        effects: &[Effect::Mark {
            text: MarkText::Words("Damaged/defective lithium metal battery"),
            min_height_mm: 12,
        }],
        clauses: &[at("173.185(f)(4)")],
        ..US
    },
    Rule {
        id: "us-undiagnosed-as-damaged",
        says: "What cannot be diagnosed before it travels counts as damaged; the text read does \
               not say so, the international criterion does.",
        when: Criteria::All(&[GOODS, UNDIAGNOSED]),
        effects: &[Effect::Unverified],
        clauses: &[at("173.185(f)")],
        basis: Known::Memory,
        ..US
    },
    Rule {
        id: "us-leaking",
        says: "Around a leaking battery there is enough inert absorbent material, and nothing \
               leaves the package.",
        when: Criteria::All(&[GOODS, LEAKING]),
        effects: &[Effect::Requirement],
        clauses: &[at("173.185(f)(2)")],
        ..US
    },
    Rule {
        id: "us-critical-released-by-officer",
        says: "A battery that may react dangerously stays where it is while it heats, smokes or \
               vents; it leaves only when the officer has released it in writing.",
        when: Criteria::All(&[GOODS, CRITICAL]),
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &[at("173.21(c); 173.185(h)")],
        basis: Known::Memory,
        ..US
    },
];
