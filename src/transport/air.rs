//! The rows for cargo and passenger aircraft under the ICAO and IATA texts of 2025 and 2026. Those
//! texts were not read: a row gives something only where 49 CFR, which was read, says the same for
//! the same flight.

use crate::battery::Chemistry;
use crate::citation::Known;
use crate::transport::air_packing::{
    A331, CARGO_NET_GRAMS, PASSENGER_NET_GRAMS, PI910, PI965_IA, PI966, PI967, PI974,
};
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::Edition;
use crate::transport::rule::{Effect, IfUnknown, ListEntry, MarkText, Place, Rule};
use crate::transport::situation::{
    AIR, AIR_CARGO, AIR_PASSENGER, ALONE, AS_NEW, CONTAINED_IN, FOUND_DAMAGED, HEAVY_AND_STRONG,
    IN_UNIT, LITHIUM_ION, LITHIUM_METAL, LITHIUM_OR_SODIUM, NO, PACKAGED, PACKED_WITH, PROTOTYPE,
    SODIUM_ORGANIC, SOUND, TESTED, UNTESTED, WASTE, WITH_EQUIPMENT, YES,
};
use crate::transport::surface_places::read;

const ANY_AIRCRAFT: Rule = Rule {
    scope: AIR,
    basis: Known::Secondary,
    ..Rule::BLANK
};
const CARGO: Rule = Rule {
    scope: AIR_CARGO,
    ..ANY_AIRCRAFT
};
const PASSENGER: Rule = Rule {
    scope: AIR_PASSENGER,
    ..ANY_AIRCRAFT
};

const fn at(place: &'static str) -> [Place; 2] {
    [read(Edition::Air2025, place), read(Edition::Air2026, place)]
}

const fn entry(proper_shipping_name: &'static str, un: &'static str) -> Effect {
    Effect::Entry(ListEntry {
        un,
        proper_shipping_name,
        hazard_class: "9",
        label: "9A",
    })
}

const ENTRY_MIRROR: &str = "49 CFR 172.101, UN3480 and UN3481, text of Dec 2022, read";
const BOTH: Criteria = Criteria::OneOf(Fact::BothStatesApproval, YES);
const NOT_BOTH: Criteria = Criteria::OneOf(Fact::BothStatesApproval, NO);
const APPROVED: Criteria = Criteria::OneOf(Fact::OriginApproval, YES);
const NOT_APPROVED: Criteria = Criteria::OneOf(Fact::OriginApproval, NO);
/// Certainly above 30 % of rated capacity.
const CHARGED: Criteria =
    Criteria::Compare(Fact::ChargeLow, Is::MoreThan, Value::Thousandths(30_000));
/// Perhaps above 30 %.
const MAY_BE_CHARGED: Criteria =
    Criteria::Compare(Fact::ChargeHigh, Is::MoreThan, Value::Thousandths(30_000));
const STRADDLES: Criteria = Criteria::All(&[MAY_BE_CHARGED, Criteria::Not(&CHARGED)]);
/// At most 2.7 Wh.
const TINY: Criteria = Criteria::Stated(&Criteria::Compare(
    Fact::Energy,
    Is::AtMost,
    Value::Thousandths(2_700),
));
const TOO_HEAVY: Criteria = Criteria::Any(&[
    Criteria::Compare(
        Fact::Mass,
        Is::MoreThan,
        Value::Thousandths(CARGO_NET_GRAMS),
    ),
    Criteria::Stated(&Criteria::Compare(
        Fact::PackageNet,
        Is::MoreThan,
        Value::Thousandths(CARGO_NET_GRAMS),
    )),
]);
const TOO_HEAVY_WITH_PASSENGERS: Criteria = Criteria::Any(&[
    Criteria::Compare(
        Fact::Mass,
        Is::MoreThan,
        Value::Thousandths(PASSENGER_NET_GRAMS),
    ),
    Criteria::Stated(&Criteria::Compare(
        Fact::PackageNet,
        Is::MoreThan,
        Value::Thousandths(PASSENGER_NET_GRAMS),
    )),
]);

/// Every row.
pub(crate) static RULES: &[Rule] = &[
    Rule {
        id: "air-text-not-read",
        says: "The air texts were not read; they and the operator's own rules are read before the \
               package is offered.",
        when: Criteria::Always,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &at("whole text"),
        ..ANY_AIRCRAFT
    },
    // Entries
    Rule {
        id: "air-entry-ion-alone",
        says: "By air too a lithium ion battery that travels by itself is UN 3480.",
        when: Criteria::All(&[LITHIUM_ION, ALONE]),
        effects: &[entry("Lithium ion batteries", "UN 3480")],
        clauses: &at("list of dangerous goods, UN 3480"),
        mirror: ENTRY_MIRROR,
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-entry-ion-packed-with",
        says: "By air too a lithium ion battery beside its equipment is UN 3481.",
        when: Criteria::All(&[LITHIUM_ION, PACKED_WITH]),
        effects: &[entry(
            "Lithium ion batteries packed with equipment",
            "UN 3481",
        )],
        clauses: &at("list of dangerous goods, UN 3481"),
        mirror: ENTRY_MIRROR,
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-entry-ion-contained-in",
        says: "By air too a lithium ion battery in its equipment is UN 3481.",
        when: Criteria::All(&[LITHIUM_ION, CONTAINED_IN]),
        effects: &[entry(
            "Lithium ion batteries contained in equipment",
            "UN 3481",
        )],
        clauses: &at("list of dangerous goods, UN 3481"),
        mirror: ENTRY_MIRROR,
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-metal-or-sodium-undecided",
        says: "For lithium metal and sodium ion by air the packing instructions are known from \
               memory only.",
        when: Criteria::Any(&[LITHIUM_METAL, SODIUM_ORGANIC]),
        effects: &[Effect::NotDetermined {
            question: "how does this battery travel under PI 968 to 970 or PI 976 to 978",
            who: "the compliance officer, with the operator",
        }],
        clauses: &at("PI 968 to 970; PI 976 to 978"),
        basis: Known::Memory,
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-other-sodium-undecided",
        says: "Sodium ion with an aqueous electrolyte and metallic sodium have entries of their \
               own, for which this rule set has no rows.",
        when: Criteria::OneOf(
            Fact::Chemistry,
            &[
                Value::Chemistry(Chemistry::SodiumIonAqueous),
                Value::Chemistry(Chemistry::SodiumMetal),
            ],
        ),
        effects: &[Effect::NotDetermined {
            question: "how does this battery travel by air under UN 2795 or UN 3292",
            who: "the compliance officer",
        }],
        clauses: &at("list of dangerous goods, UN 2795, 3292"),
        basis: Known::Memory,
        ..ANY_AIRCRAFT
    },
    // What never flies
    Rule {
        id: "air-passenger-forbidden",
        says: "Batteries by themselves may not travel on passenger aircraft.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, ALONE]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by road, rail or sea, or by cargo aircraft where that is open",
        }],
        clauses: &at("list of dangerous goods, UN 3480, passenger aircraft"),
        ..PASSENGER
    },
    Rule {
        id: "air-damaged-forbidden",
        says: "A battery that is damaged, defective, recalled for safety or not diagnosable may \
               not travel by air.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, FOUND_DAMAGED]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by road, rail or sea as damaged",
        }],
        clauses: &at("special provision A154"),
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-waste-forbidden",
        says: "Waste batteries and those for recycling or disposal may not travel by air unless \
               the State of Origin and the State of the Operator approve.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, WASTE, NOT_BOTH]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by road, rail or sea, or gets both approvals",
        }],
        clauses: &at("special provision A183"),
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-waste-approved",
        says: "With both approvals waste may fly as they say; the operator may still refuse.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, WASTE, BOTH]),
        effects: &[Effect::NotDetermined {
            question: "do both approvals cover this package in every point, and does the operator \
                       take it",
            who: "the compliance officer, with the operator",
        }],
        clauses: &at("special provision A183"),
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-in-unit-forbidden",
        says: "Batteries built into a transport unit may travel by air only with an approval.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, IN_UNIT, NOT_APPROVED]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by road, rail or sea",
        }],
        clauses: &at("as 49 CFR 172.102(c)(1), SP 389"),
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-in-unit-approved",
        says: "With an approval a unit with batteries may fly as it says.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, IN_UNIT, APPROVED]),
        effects: &[Effect::NotDetermined {
            question: "does the approval cover this unit in every point",
            who: "the compliance officer, with the operator",
        }],
        clauses: &at("as 49 CFR 172.102(c)(1), SP 389"),
        ..ANY_AIRCRAFT
    },
    // State of charge
    Rule {
        id: "air-charge-above",
        says: "A battery by itself flies at no more than 30 % of its rated capacity, unless the \
               State of Origin and the State of the Operator approve.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, ALONE, CHARGED, NOT_BOTH]),
        effects: &[Effect::Forbid {
            way_out: "a qualified person discharges it to 30 % or less by a released method, or the shipper gets both approvals",
        }],
        clauses: &at("PI 965, section IA; special provision A331"),
        ..CARGO
    },
    Rule {
        id: "air-charge-straddles",
        says: "The readings do not show that the state of charge is 30 % or less.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, ALONE, STRADDLES, NOT_BOTH]),
        effects: &[Effect::NotDetermined {
            question: "is the state of charge 30 % or less",
            who: "whoever reads it from the battery's own electronics, or discharges it",
        }],
        clauses: &at("PI 965, section IA; special provision A331"),
        ..CARGO
    },
    Rule {
        id: "air-charge-approved",
        says: "With the approvals of both states a battery above 30 % flies as they say; copies \
               travel with it.",
        when: Criteria::All(&[
            LITHIUM_ION,
            ALONE,
            SOUND,
            AS_NEW,
            TESTED,
            MAY_BE_CHARGED,
            BOTH,
        ]),
        effects: &[Effect::Packing(&A331), Effect::Requirement],
        clauses: &at("special provision A331"),
        mirror: "49 CFR 172.102(c)(2), A100, text of Dec 2022, read",
        ..CARGO
    },
    Rule {
        id: "air-charge-packed-with-advised",
        says: "A battery above 2.7 Wh beside its equipment is best offered at no more than 30 % of \
               its rated capacity, which binds from 1 January 2026.",
        when: Criteria::All(&[
            LITHIUM_OR_SODIUM,
            PACKED_WITH,
            Criteria::Not(&TINY),
            MAY_BE_CHARGED,
        ]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &[read(Edition::Air2025, "PI 966")],
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-charge-packed-with-above",
        says: "From 2026 a battery above 2.7 Wh beside its equipment flies at no more than 30 % of \
               its rated capacity, unless both states approve.",
        when: Criteria::All(&[
            LITHIUM_OR_SODIUM,
            PACKED_WITH,
            Criteria::Not(&TINY),
            CHARGED,
            NOT_BOTH,
        ]),
        effects: &[Effect::Forbid {
            way_out: "a qualified person discharges it to 30 % or less by a released method",
        }],
        clauses: &[read(Edition::Air2026, "PI 966")],
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-charge-packed-with-straddles",
        says: "The readings do not show that the battery beside its equipment is at 30 % or less.",
        when: Criteria::All(&[
            LITHIUM_OR_SODIUM,
            PACKED_WITH,
            Criteria::Not(&TINY),
            STRADDLES,
            NOT_BOTH,
        ]),
        effects: &[Effect::NotDetermined {
            question: "is the state of charge 30 % or less",
            who: "whoever reads it from the battery's own electronics, or discharges it",
        }],
        clauses: &[read(Edition::Air2026, "PI 966")],
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-charge-contained-in-advised",
        says: "A battery in its equipment is best offered at no more than 30 % of its rated \
               capacity, or 25 % as the equipment shows it.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, CONTAINED_IN, MAY_BE_CHARGED]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &at("PI 967"),
        ..ANY_AIRCRAFT
    },
    // Mass
    Rule {
        id: "air-net-mass",
        says: "By cargo aircraft a package holds at most 35 kg of batteries, above that only with \
               an approval of the State of Origin.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PACKAGED]),
        effects: &[Effect::Requirement],
        clauses: &at("list of dangerous goods, UN 3480, cargo aircraft; special provision A99"),
        ..CARGO
    },
    Rule {
        id: "air-too-heavy",
        says: "More than 35 kg of batteries in a package fly only with an approval of the State of \
               Origin.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PACKAGED, TOO_HEAVY, NOT_APPROVED]),
        effects: &[Effect::Forbid {
            way_out: "the shipper gets the approval, or sends it by road, rail or sea",
        }],
        clauses: &at("special provision A99"),
        ..CARGO
    },
    Rule {
        id: "air-heavy-approved",
        says: "With an approval of the State of Origin more than 35 kg fly as it says; a copy \
               travels, and the paper names packing instruction 974.",
        when: Criteria::All(&[
            LITHIUM_ION,
            PACKAGED,
            SOUND,
            AS_NEW,
            TESTED,
            TOO_HEAVY,
            APPROVED,
        ]),
        effects: &[Effect::Packing(&PI974), Effect::Requirement],
        clauses: &at("special provision A99"),
        mirror: "49 CFR 172.102(c)(2), A54, text of Dec 2022, read",
        ..CARGO
    },
    Rule {
        id: "air-passenger-too-heavy",
        says: "On passenger aircraft a package holds at most 5 kg of batteries with or in \
               equipment.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, WITH_EQUIPMENT, TOO_HEAVY_WITH_PASSENGERS]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by cargo aircraft, or by road, rail or sea",
        }],
        clauses: &at("list of dangerous goods, UN 3481, passenger aircraft"),
        ..PASSENGER
    },
    Rule {
        id: "air-strong-casing-needs-approval",
        says: "The relief for heavy batteries in a strong casing needs an approval by air.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, HEAVY_AND_STRONG]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &at("PI 965"),
        ..ANY_AIRCRAFT
    },
    // Sound, carried as new
    Rule {
        id: "air-sound-alone",
        says: "A sound battery of a tested type by itself flies on cargo aircraft in a packaging \
               for packing group II.",
        when: Criteria::All(&[
            LITHIUM_ION,
            ALONE,
            SOUND,
            AS_NEW,
            TESTED,
            Criteria::Not(&TOO_HEAVY),
        ]),
        effects: &[Effect::Packing(&PI965_IA), Effect::Requirement],
        clauses: &at("PI 965, section IA"),
        mirror: "49 CFR 173.185(a), (b)(3), text of Dec 2022, read",
        ..CARGO
    },
    Rule {
        id: "air-sound-packed-with",
        says: "A sound battery of a tested type beside its equipment flies in a packaging for \
               packing group II.",
        when: Criteria::All(&[
            LITHIUM_ION,
            PACKED_WITH,
            SOUND,
            AS_NEW,
            TESTED,
            Criteria::Not(&TOO_HEAVY),
        ]),
        effects: &[Effect::Packing(&PI966), Effect::Requirement],
        clauses: &at("PI 966, section I"),
        mirror: "49 CFR 173.185(b)(3)(iii), text of Dec 2022, read",
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-sound-contained-in",
        says: "A sound battery of a tested type in its equipment flies in a strong outer.",
        when: Criteria::All(&[
            LITHIUM_ION,
            CONTAINED_IN,
            SOUND,
            AS_NEW,
            TESTED,
            Criteria::Not(&TOO_HEAVY),
        ]),
        effects: &[Effect::Packing(&PI967), Effect::Requirement],
        clauses: &at("PI 967, section I"),
        mirror: "49 CFR 173.185(b)(4), text of Dec 2022, read",
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-sound-untested",
        says: "By air too a battery untested as it is offered may not simply travel like a new \
               one.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, SOUND, AS_NEW, UNTESTED]),
        effects: &[Effect::NotDetermined {
            question: "is there a test of this battery as it is offered, or another lawful route",
            who: "the dangerous goods safety adviser",
        }],
        clauses: &at("UN Manual 38.3"),
        ..ANY_AIRCRAFT
    },
    // Prototypes
    Rule {
        id: "air-prototype-forbidden",
        says: "A prototype flies only on cargo aircraft and with an approval of the State of \
               Origin.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PROTOTYPE, NOT_APPROVED]),
        effects: &[Effect::Forbid {
            way_out: "the shipper gets the approval, or sends it by road, rail or sea",
        }],
        clauses: &at("special provision A88"),
        ..CARGO
    },
    Rule {
        id: "air-prototype-approved",
        says: "With an approval of the State of Origin a sound prototype flies as it says; the \
               paper names packing instruction 910.",
        when: Criteria::All(&[LITHIUM_ION, PACKAGED, SOUND, PROTOTYPE, APPROVED]),
        effects: &[Effect::Packing(&PI910), Effect::Requirement],
        clauses: &at("special provision A88"),
        mirror: "49 CFR 173.185(e)(6), text of Dec 2022, read",
        ..CARGO
    },
    Rule {
        id: "air-prototype-never-with-passengers",
        says: "A prototype does not fly on passenger aircraft.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PROTOTYPE]),
        effects: &[Effect::Forbid {
            way_out: "the shipper sends it by cargo aircraft with an approval, or by road, rail or sea",
        }],
        clauses: &at("special provision A88"),
        ..PASSENGER
    },
    // Marks and papers
    Rule {
        id: "air-label",
        says: "The package carries label 9A.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PACKAGED]),
        effects: &[Effect::Label("9A")],
        clauses: &at("PI 965, section IA"),
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-cargo-only-label",
        says: "A battery by itself also carries the label for cargo aircraft only.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, ALONE]),
        effects: &[Effect::Label("CARGO AIRCRAFT ONLY")],
        clauses: &at("PI 965, section IA"),
        ..CARGO
    },
    Rule {
        id: "air-number-mark",
        says: "UN number and name stand on the package, the number in letters of at least 12 mm.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PACKAGED]),
        effects: &[
            Effect::Mark {
                text: MarkText::Number,
                min_height_mm: 12,
            },
            Effect::Mark {
                text: MarkText::Name,
                min_height_mm: 0,
            },
        ],
        clauses: &at("package marks"),
        basis: Known::Memory,
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-names-on-package",
        says: "Names and addresses of consignor and consignee stand on the package.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, PACKAGED]),
        effects: &[Effect::Requirement],
        clauses: &at("package marks"),
        basis: Known::Memory,
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-declaration",
        says: "A shipper's declaration names the packing instruction, the net mass of each package \
               and the kind of aircraft.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &at("PI 965, section IA"),
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-operator-may-refuse",
        says: "The operator may refuse what the rules allow; it is asked before the package is \
               packed.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &at("operator variations"),
        ..ANY_AIRCRAFT
    },
    Rule {
        id: "air-training",
        says: "Whoever packs and signs for air is trained for it and trained again within two \
               years.",
        when: LITHIUM_OR_SODIUM,
        effects: &[Effect::Requirement],
        clauses: &at("training"),
        basis: Known::Memory,
        ..ANY_AIRCRAFT
    },
];
