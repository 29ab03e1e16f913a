//! What a unit packed for the sea and a consignment by air must have, as rows, beside those of
//! vehicles and wagons. The sea code and the air texts were not read: what stands here is known
//! second-hand or from memory and only makes an answer stricter. 49 CFR was read in copies of the
//! years named in `cfr49_modes`.

use crate::citation::Known;
use crate::transport::vehicle_rows::{
    Due, LoadLaw, LoadRule, NEXT_EDITION_ROAD, duty, known_as, limited,
};

const fn second_hand(rule: LoadRule) -> LoadRule {
    known_as(rule, Known::Secondary)
}

const fn from_memory(rule: LoadRule) -> LoadRule {
    known_as(rule, Known::Memory)
}

/// Placards on a unit for the sea. Model 9 and never 9A was read in ADR 2025, 5.3.1.1.4.
pub(super) const SEA_PLACARDS: LoadRule = from_memory(limited(
    duty(
        "load-sea-placards",
        "Placards of model 9, never 9A, stand on all four sides of the unit.",
        LoadLaw::Sea,
        Due::Always,
        "IMDG 42-24, 5.3.1",
    ),
    4_000,
    "sides",
));

/// The number on a unit for the sea.
pub(super) const SEA_NUMBER: LoadRule = from_memory(limited(
    duty(
        "load-sea-number",
        "Above 4,000 kg of one UN number that number too stands on all four sides of the unit.",
        LoadLaw::Sea,
        Due::AtLimit,
        "IMDG 42-24, 5.3.2",
    ),
    4_000_000,
    "kg gross",
));

/// Damaged and waste batteries at sea.
pub(super) const SEA_ON_DECK: LoadRule = second_hand(duty(
    "load-sea-on-deck",
    "Damaged and waste batteries are in stowage category C: the unit stands on deck, unless the \
     voyage is a short international one. The carrier is told before it books.",
    LoadLaw::Sea,
    Due::AtLimit,
    "IMDG 42-24, 7.1, SW19",
));

/// Critical batteries at sea.
pub(super) const SEA_CRITICAL: LoadRule = second_hand(duty(
    "load-sea-critical",
    "A critical battery is in a package that its verification report covers, or travels under the \
     approval of a competent authority, of which a copy travels too.",
    LoadLaw::Sea,
    Due::AtLimit,
    "IMDG 42-24, 3.3 SP 376; 4.1.4, P911, LP906",
));

/// The sea code in the months when two amendments may be used.
pub(super) const NEXT_AMENDMENT: LoadRule = LoadRule {
    id: "load-sea-next-amendment",
    says: "From 2027 the next amendment stands beside this one; its text was not seen, so the \
           officer says which of the two the unit travels by.",
    law: LoadLaw::Sea,
    clause: "adoption of the next amendment",
    ..NEXT_EDITION_ROAD
};

/// Damaged and waste batteries on a vessel of the United States.
pub(super) const VESSEL_ON_DECK: LoadRule = from_memory(duty(
    "load-us-vessel-on-deck",
    "Damaged batteries and those for recycling or disposal are stowed as category C, on deck, \
     unless the voyage is a short international one.",
    LoadLaw::Vessel,
    Due::AtLimit,
    "49 CFR, 176.84(b), code 156",
));

/// Most in a package on cargo aircraft.
pub(super) const AIR_CARGO_NET: LoadRule = second_hand(limited(
    duty(
        "load-air-cargo-net",
        "By cargo aircraft a package holds at most 35 kg of batteries; above that only with an \
         approval of the State of Origin.",
        LoadLaw::Air,
        Due::AtLimit,
        "ICAO/IATA 2025 and 2026, PI 965, section IA; special provision A99",
    ),
    35_000,
    "kg net",
));

/// Most in a package on passenger aircraft, with or in equipment.
pub(super) const AIR_PASSENGER_NET: LoadRule = second_hand(limited(
    duty(
        "load-air-passenger-net",
        "On passenger aircraft a package holds at most 5 kg of batteries, with or in equipment \
         only; batteries by themselves do not fly there.",
        LoadLaw::Air,
        Due::AtLimit,
        "ICAO/IATA 2025 and 2026, list of dangerous goods, UN 3480 and UN 3481, passenger aircraft",
    ),
    5_000,
    "kg net",
));

/// Highest charge of a battery by itself in the air.
pub(super) const AIR_CHARGE: LoadRule = second_hand(limited(
    duty(
        "load-air-charge",
        "A battery by itself flies at no more than 30 % of its rated capacity, unless the State of \
         Origin and the State of the Operator approve.",
        LoadLaw::Air,
        Due::AtLimit,
        "ICAO/IATA 2025 and 2026, PI 965, section IA; special provision A331",
    ),
    30_000,
    "%",
));

/// Damaged batteries in the air.
pub(super) const AIR_NO_DAMAGED: LoadRule = second_hand(duty(
    "load-air-no-damaged",
    "A battery that is damaged, defective, recalled for safety or not diagnosable does not fly.",
    LoadLaw::Air,
    Due::AtLimit,
    "ICAO/IATA 2025 and 2026, special provision A154",
));

/// Waste in the air.
pub(super) const AIR_WASTE: LoadRule = second_hand(duty(
    "load-air-waste",
    "Waste batteries and those for recycling or disposal fly only where the State of Origin and \
     the State of the Operator approve.",
    LoadLaw::Air,
    Due::AtLimit,
    "ICAO/IATA 2025 and 2026, special provision A183",
));

/// Units with batteries built in.
pub(super) const AIR_IN_UNIT: LoadRule = second_hand(duty(
    "load-air-in-unit",
    "Batteries built into a transport unit fly only with an approval.",
    LoadLaw::Air,
    Due::AtLimit,
    "ICAO/IATA 2025 and 2026, as 49 CFR 172.102(c)(1), SP 389",
));

/// The text of 2026 on batteries beside their equipment.
pub(super) const AIR_PACKED_WITH: LoadRule = second_hand(duty(
    "load-air-packed-with-charge",
    "From 1 January 2026 a battery above 2.7 Wh beside its equipment flies at no more than 30 % of \
     its rated capacity; before that, and in its equipment, it is advised.",
    LoadLaw::Air,
    Due::AtLimit,
    "ICAO/IATA 2026, PI 966; PI 967",
));

/// Copies of approvals.
pub(super) const AIR_APPROVALS: LoadRule = second_hand(duty(
    "load-air-approval-copies",
    "A copy of each approval travels with the declaration, which names it.",
    LoadLaw::Air,
    Due::AtLimit,
    "ICAO/IATA 2025 and 2026, special provisions A99, A331",
));

/// Cargo aircraft under the air texts.
pub(super) const AIR_CARGO_ONLY: LoadRule = second_hand(duty(
    "load-air-cargo-only",
    "Batteries by themselves fly on cargo aircraft only: each package carries label 9A and the \
     label for cargo aircraft only, and the declaration says so.",
    LoadLaw::Air,
    Due::AtLimit,
    "ICAO/IATA 2025 and 2026, PI 965, section IA",
));

/// Most in a package on cargo aircraft of the United States.
pub(super) const AIRCRAFT_CARGO_NET: LoadRule = limited(
    duty(
        "load-us-air-cargo-net",
        "By cargo aircraft a package holds at most 35 kg of batteries; above that only with an \
         approval of the Associate Administrator.",
        LoadLaw::Aircraft,
        Due::AtLimit,
        "49 CFR, 172.101, UN3480, column 9B; 172.102(c)(2), A54",
    ),
    35_000,
    "kg net",
);

/// Most in a package on passenger aircraft of the United States.
pub(super) const AIRCRAFT_PASSENGER_NET: LoadRule = limited(
    duty(
        "load-us-air-passenger-net",
        "On passenger aircraft a package holds at most 5 kg of batteries, with or in equipment \
         only; batteries by themselves do not fly there.",
        LoadLaw::Aircraft,
        Due::AtLimit,
        "49 CFR, 172.101, UN3480 and UN3481, column 9A",
    ),
    5_000,
    "kg net",
);

/// Highest charge of a battery by itself in the air of the United States.
pub(super) const AIRCRAFT_CHARGE: LoadRule = limited(
    duty(
        "load-us-air-charge",
        "A battery by itself flies at no more than 30 % of its rated capacity, unless the Associate \
         Administrator approves.",
        LoadLaw::Aircraft,
        Due::AtLimit,
        "49 CFR, 172.102(c)(2), A100",
    ),
    30_000,
    "%",
);

/// Damaged batteries in the air of the United States.
pub(super) const AIRCRAFT_NO_DAMAGED: LoadRule = duty(
    "load-us-air-no-damaged",
    "A damaged, defective or recalled battery does not fly.",
    LoadLaw::Aircraft,
    Due::AtLimit,
    "49 CFR, 173.185(f)",
);

/// Units with batteries built in, United States.
pub(super) const AIRCRAFT_IN_UNIT: LoadRule = duty(
    "load-us-air-in-unit",
    "Batteries built into a transport unit fly only with an approval.",
    LoadLaw::Aircraft,
    Due::AtLimit,
    "49 CFR, 172.102(c)(1), SP 389",
);

/// Copies of approvals, United States.
pub(super) const AIRCRAFT_APPROVALS: LoadRule = from_memory(duty(
    "load-us-air-approval-kept",
    "The approval is kept with the papers.",
    LoadLaw::Aircraft,
    Due::AtLimit,
    "49 CFR, 173.185(h); 107 subpart H",
));

/// Cargo aircraft of the United States.
pub(super) const AIRCRAFT_CARGO_ONLY: LoadRule = second_hand(duty(
    "load-us-air-cargo-only",
    "Batteries by themselves fly on cargo aircraft only: each package also carries the label for \
     cargo aircraft only, and the paper says so.",
    LoadLaw::Aircraft,
    Due::AtLimit,
    "49 CFR, 172.402(c); 172.448; 172.203(f)",
));

/// Every duty and limit, in the order in which an answer names them.
pub(super) const RULES: &[LoadRule] = &[
    second_hand(duty(
        "load-sea-text-not-read",
        "The pages of the sea code were not read; who packs and who signs read them first.",
        LoadLaw::Sea,
        Due::Always,
        "IMDG 42-24, whole text",
    )),
    second_hand(duty(
        "load-sea-document",
        "The dangerous goods document names number, name, class and the emergency schedules F-A \
         and S-I, and the consignor signs its declaration.",
        LoadLaw::Sea,
        Due::Always,
        "IMDG 42-24, 5.4.1",
    )),
    second_hand(duty(
        "load-sea-packing-certificate",
        "Who packs the unit signs the packing certificate: the unit is clean, dry and fit; nothing \
         incompatible is together; each package was looked at and only sound ones are in it; all \
         is secured, marked, labelled and placarded; each consignment has its document.",
        LoadLaw::Sea,
        Due::Always,
        "IMDG 42-24, 5.4.2, as ADR 2025, 5.4.2, which was read",
    )),
    SEA_PLACARDS,
    SEA_NUMBER,
    from_memory(duty(
        "load-sea-segregation",
        "The segregation codes of these entries were not read; the packer looks them up in the \
         dangerous goods list, and the ship decides what stands near the unit.",
        LoadLaw::Sea,
        Due::Always,
        "IMDG 42-24, 3.2; 7.2",
    )),
    SEA_ON_DECK,
    SEA_CRITICAL,
    second_hand(duty(
        "load-sea-no-small-load",
        "The sea code has no points and no transport category 0: every load is a full one.",
        LoadLaw::Sea,
        Due::Always,
        "IMDG 42-24, 3.3",
    )),
    duty(
        "load-sea-road-before",
        "Where the unit goes to the port by road packed, marked or placarded for the sea and not \
         for the road, the road document says: Carriage in accordance with 1.1.4.2.1.",
        LoadLaw::Sea,
        Due::Always,
        "ADR 2025, 1.1.4.2.1; 5.4.1.1.7",
    ),
    NEXT_AMENDMENT,
    duty(
        "load-us-vessel-no-placard",
        "No class 9 placard is required in domestic carriage or on the part of an international \
         voyage within the United States; beyond it the sea code asks for one.",
        LoadLaw::Vessel,
        Due::Always,
        "49 CFR, 172.504(f)(9); letter of interpretation 25-0012",
    ),
    duty(
        "load-us-vessel-paper",
        "The shipping paper names the shipper and the emergency number, and says in words where \
         batteries are DAMAGED/DEFECTIVE, LITHIUM BATTERIES FOR DISPOSAL or LITHIUM BATTERIES FOR \
         RECYCLING.",
        LoadLaw::Vessel,
        Due::Always,
        "49 CFR, 172.202; 172.203(i)(1), (4); 172.604",
    ),
    duty(
        "load-us-vessel-certification",
        "The shipper signs the certification in the words of the law.",
        LoadLaw::Vessel,
        Due::Always,
        "49 CFR, 172.204(a), (d)",
    ),
    duty(
        "load-us-vessel-secured",
        "Packages are protected against short circuit, shifting and damage by how they stand.",
        LoadLaw::Vessel,
        Due::Always,
        "49 CFR, 173.185(b)(2)",
    ),
    VESSEL_ON_DECK,
    from_memory(duty(
        "load-us-vessel-carrier",
        "Stowage, segregation and the manifest of dangerous cargo are the carrier's, by rules that \
         were not read; it is asked before the unit is packed.",
        LoadLaw::Vessel,
        Due::Always,
        "49 CFR, part 176",
    )),
    second_hand(duty(
        "load-air-text-not-read",
        "The air texts were not read; they and the operator's own rules are read before the \
         consignment is offered.",
        LoadLaw::Air,
        Due::Always,
        "ICAO/IATA 2025 and 2026, whole text",
    )),
    second_hand(duty(
        "load-air-declaration",
        "A shipper's declaration names the packing instruction, the net mass of each package and \
         the kind of aircraft.",
        LoadLaw::Air,
        Due::Always,
        "ICAO/IATA 2025 and 2026, PI 965, section IA",
    )),
    second_hand(duty(
        "load-air-operator",
        "The operator checks, loads and segregates the packages, and may refuse what the rules \
         allow; it is asked before anything is packed.",
        LoadLaw::Air,
        Due::Always,
        "ICAO/IATA 2025 and 2026, operator variations",
    )),
    from_memory(duty(
        "load-air-trained",
        "Whoever packs and signs for air is trained for it, and again within two years.",
        LoadLaw::Air,
        Due::Always,
        "ICAO/IATA 2025 and 2026, training",
    )),
    AIR_CARGO_NET,
    AIR_PASSENGER_NET,
    AIR_CHARGE,
    AIR_PACKED_WITH,
    AIR_NO_DAMAGED,
    AIR_WASTE,
    AIR_IN_UNIT,
    AIR_CARGO_ONLY,
    AIR_APPROVALS,
    duty(
        "load-us-air-paper",
        "The paper gives the net mass of each package, whether the kind of aircraft is limited, \
         and the emergency number.",
        LoadLaw::Aircraft,
        Due::Always,
        "49 CFR, 172.202(a)(6); 172.203(f); 172.604",
    ),
    duty(
        "load-us-air-certification",
        "The shipper signs the certification in the words of the law.",
        LoadLaw::Aircraft,
        Due::Always,
        "49 CFR, 172.204(a), (d)",
    ),
    duty(
        "load-us-air-not-together",
        "No battery is in one outer packaging with explosives other than 1.4S, flammable gas, \
         liquid or solid, or oxidizers.",
        LoadLaw::Aircraft,
        Due::Always,
        "49 CFR, 173.185(b)(7)",
    ),
    duty(
        "load-us-air-report",
        "Fire, rupture, explosion or dangerous heat of a battery is reported by telephone as soon \
         as practical and within 12 hours, and in writing within 30 days.",
        LoadLaw::Aircraft,
        Due::Always,
        "49 CFR, 171.15(b)(6); 171.16",
    ),
    from_memory(duty(
        "load-us-air-carrier",
        "Loading and segregation aboard are the carrier's, by rules that were not read; it may \
         refuse what they allow.",
        LoadLaw::Aircraft,
        Due::Always,
        "49 CFR, part 175",
    )),
    AIRCRAFT_CARGO_NET,
    AIRCRAFT_PASSENGER_NET,
    AIRCRAFT_CHARGE,
    AIRCRAFT_NO_DAMAGED,
    AIRCRAFT_IN_UNIT,
    AIRCRAFT_CARGO_ONLY,
    AIRCRAFT_APPROVALS,
];
