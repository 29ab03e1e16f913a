//! The rows of waste law: the European list of waste by date, the batteries regulation, and the
//! universal waste rules of the United States. Where a row is not the text of the law itself, it
//! says so.

use crate::battery::{Chemistry, Purpose, Soundness};
use crate::citation::Known;
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::day;
use crate::transport::situation::{AS_NEW, LITHIUM, NO, WASTE, YES};
use crate::transport::waste::{UsWaste, WasteEffect, WasteLaw, WasteRule};

const EU: WasteRule = WasteRule {
    id: "",
    says: "",
    law: WasteLaw::Europe,
    when: Criteria::Always,
    effect: WasteEffect::Duty,
    document: "Decision 2000/532/EC with Decision (EU) 2025/934",
    place: "",
    valid_from: None,
    valid_to: None,
    basis: Known::Secondary,
};
const BATTERIES: WasteRule = WasteRule {
    document: "Regulation (EU) 2023/1542",
    ..EU
};
const US: WasteRule = WasteRule {
    law: WasteLaw::UnitedStates,
    document: "40 CFR 273",
    ..EU
};

/// Collected from households; where nothing is said, a firm has removed it.
const HOUSEHOLD: Criteria = Criteria::Stated(&Criteria::OneOf(Fact::Household, YES));
const FROM_TRADE: Criteria = Criteria::Not(&HOUSEHOLD);
const BREACHED: Criteria = Criteria::Stated(&Criteria::OneOf(Fact::CasingBreached, YES));
const SODIUM: Criteria = Criteria::OneOf(
    Fact::Chemistry,
    &[
        Value::Chemistry(Chemistry::SodiumIonAqueous),
        Value::Chemistry(Chemistry::SodiumIonOrganic),
        Value::Chemistry(Chemistry::SodiumMetal),
    ],
);
const LITHIUM_OR_ANY_SODIUM: Criteria = Criteria::Any(&[LITHIUM, SODIUM]);
const REUSE: Criteria = Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::Reuse)]);
/// Every cell whole: found sound or suspect, or looked at for just this.
const CELLS_WHOLE: Criteria = Criteria::All(&[
    Criteria::Not(&BREACHED),
    Criteria::Any(&[
        Criteria::OneOf(Fact::CasingBreached, NO),
        Criteria::OneOf(
            Fact::Soundness,
            &[
                Value::Soundness(Soundness::Sound),
                Value::Soundness(Soundness::Suspect),
            ],
        ),
    ]),
]);
const UNIVERSAL: Criteria = Criteria::All(&[WASTE, CELLS_WHOLE]);
const HAZARDOUS: Criteria = Criteria::All(&[WASTE, BREACHED]);

/// Every row.
pub(super) static RULES: &[WasteRule] = &[
    // Codes
    WasteRule {
        id: "eu-code-lithium",
        says: "Lithium batteries of trade and industry are 16 06 07*, hazardous waste.",
        when: Criteria::All(&[WASTE, LITHIUM, FROM_TRADE]),
        effect: WasteEffect::EuCode("16 06 07*"),
        place: "chapter 16 06",
        valid_from: Some(day(2026, 12, 9)),
        ..EU
    },
    WasteRule {
        id: "eu-code-lithium-household",
        says: "Lithium batteries collected from households are 20 01 43*, hazardous waste.",
        when: Criteria::All(&[WASTE, LITHIUM, HOUSEHOLD]),
        effect: WasteEffect::EuCode("20 01 43*"),
        place: "chapter 20 01",
        valid_from: Some(day(2026, 12, 9)),
        ..EU
    },
    WasteRule {
        id: "eu-code-sodium",
        says: "Sodium batteries of trade and industry are 16 06 10*, hazardous waste, unless a \
               chemistry finding shows 16 06 11* or 16 06 12.",
        when: Criteria::All(&[WASTE, SODIUM, FROM_TRADE]),
        effect: WasteEffect::EuCode("16 06 10*"),
        place: "chapter 16 06",
        valid_from: Some(day(2026, 12, 9)),
        ..EU
    },
    WasteRule {
        id: "eu-code-sodium-household",
        says: "Sodium batteries collected from households are 20 01 42*, hazardous waste, unless a \
               chemistry finding shows 20 01 44.",
        when: Criteria::All(&[WASTE, SODIUM, HOUSEHOLD]),
        effect: WasteEffect::EuCode("20 01 42*"),
        place: "chapter 20 01",
        valid_from: Some(day(2026, 12, 9)),
        ..EU
    },
    WasteRule {
        id: "eu-code-before",
        says: "Until 8 December 2026 lithium and sodium batteries of trade and industry are 16 06 \
               05.",
        when: Criteria::All(&[WASTE, LITHIUM_OR_ANY_SODIUM, FROM_TRADE]),
        effect: WasteEffect::EuCode("16 06 05"),
        place: "chapter 16 06",
        valid_to: Some(day(2026, 12, 8)),
        basis: Known::Memory,
        ..EU
    },
    WasteRule {
        id: "eu-code-before-household",
        says: "Until 8 December 2026 batteries collected from households are 20 01 34, and 20 01 \
               33* where they are mixed with lead, nickel-cadmium or mercury ones.",
        when: Criteria::All(&[WASTE, LITHIUM_OR_ANY_SODIUM, HOUSEHOLD]),
        effect: WasteEffect::EuCode("20 01 34"),
        place: "chapter 20 01",
        valid_to: Some(day(2026, 12, 8)),
        basis: Known::Memory,
        ..EU
    },
    WasteRule {
        id: "eu-code-changes",
        says: "What is still on its way on 9 December 2026 is recorded with the old code and the \
               new one.",
        when: Criteria::All(&[WASTE, LITHIUM_OR_ANY_SODIUM]),
        place: "entry into application",
        valid_to: Some(day(2026, 12, 8)),
        ..EU
    },
    WasteRule {
        id: "eu-code-undecided",
        says: "For a battery of mixed or unknown chemistry, or outside this rule set, the \
               compliance officer chooses the code.",
        when: Criteria::All(&[
            WASTE,
            Criteria::Not(&Criteria::Stated(&LITHIUM_OR_ANY_SODIUM)),
        ]),
        place: "chapters 16 06 and 20 01",
        ..EU
    },
    // Duties of waste
    WasteRule {
        id: "eu-hazardous-waste-papers",
        says: "As hazardous waste it travels with the consignment papers of national waste law, \
               whatever transport law asks.",
        when: Criteria::All(&[WASTE, LITHIUM_OR_ANY_SODIUM]),
        place: "hazardous entries",
        valid_from: Some(day(2026, 12, 9)),
        ..EU
    },
    WasteRule {
        id: "eu-waste-across-borders",
        says: "Across a border hazardous waste needs notification and consent beforehand, and both \
               documents travel.",
        when: Criteria::All(&[WASTE, LITHIUM_OR_ANY_SODIUM]),
        document: "Regulation (EU) 2024/1157",
        place: "articles 5 to 17",
        valid_from: Some(day(2026, 5, 21)),
        ..EU
    },
    WasteRule {
        id: "eu-waste-take-back",
        says: "The producer takes industrial batteries back free of charge; hand over only to the \
               producer, a collector it works with, or a permitted facility.",
        when: WASTE,
        place: "article 61",
        valid_from: Some(day(2025, 8, 18)),
        ..BATTERIES
    },
    WasteRule {
        id: "eu-waste-storage",
        says: "Stored waste lithium batteries stand on a hard floor under cover, in their fitted \
               position, insulated, away from heat, water, crushing and what conducts or burns, \
               with a warning sign.",
        when: Criteria::All(&[WASTE, LITHIUM]),
        place: "annex XII, part A",
        ..BATTERIES
    },
    WasteRule {
        id: "eu-waste-recycled",
        says: "All collected waste batteries go to a permitted facility that prepares or recycles \
               them; none is landfilled or burnt.",
        when: WASTE,
        place: "articles 70, 71",
        ..BATTERIES
    },
    // Second life
    WasteRule {
        id: "eu-reuse-shown",
        says: "That it is not waste, or no longer, is shown by a record of its state of health, a \
               contract of sale or transfer, and protection on the way.",
        when: REUSE,
        place: "article 73; annex XIV",
        ..BATTERIES
    },
    WasteRule {
        id: "eu-warranty-shown",
        says: "On its way to the maker under warranty, meant for use again, it needs no invoice \
               and no test record, but protection and the statement that it is not waste.",
        when: Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::WarrantyReturn)]),
        place: "annex XIV, point 2",
        ..BATTERIES
    },
    WasteRule {
        id: "eu-health-data-read",
        says: "The lawful holder may read the state of health out of the battery's own \
               electronics at any time, to judge second life.",
        when: Criteria::Any(&[REUSE, WASTE]),
        place: "article 14",
        valid_from: Some(day(2024, 8, 18)),
        ..BATTERIES
    },
    WasteRule {
        id: "eu-passport",
        says: "From 18 February 2027 an industrial battery above 2 kWh that is put on the market, \
               also repurposed, has a battery passport.",
        when: Criteria::All(&[
            REUSE,
            Criteria::Compare(Fact::Energy, Is::MoreThan, Value::Thousandths(2_000_000)),
        ]),
        place: "article 77",
        valid_from: Some(day(2027, 2, 18)),
        ..BATTERIES
    },
    // United States
    WasteRule {
        id: "us-universal-waste",
        says: "Discarded with every cell casing whole, it may be universal waste, also with a \
               damaged housing.",
        when: UNIVERSAL,
        effect: WasteEffect::Us(UsWaste::UniversalWaste),
        place: "273.9, 273.13; EPA memorandum RO 14957",
        ..US
    },
    WasteRule {
        id: "us-hazardous-waste",
        says: "With a breached cell casing it is hazardous waste, likely D001 and D003, with a \
               manifest, a registered transporter and papers kept three years.",
        when: HAZARDOUS,
        effect: WasteEffect::Us(UsWaste::HazardousWaste),
        document: "40 CFR 261, 262",
        place: "261.21, 261.23; EPA memorandum RO 14957",
        ..US
    },
    WasteRule {
        id: "us-not-waste",
        says: "Carried for use, or to be judged for use with reason to expect it, it is no waste.",
        when: Criteria::Any(&[
            AS_NEW,
            Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::PrototypeTest)]),
        ]),
        effect: WasteEffect::Us(UsWaste::NotWaste),
        document: "40 CFR 261",
        place: "261.2(e)(1)(ii); EPA memorandum RO 14957",
        ..US
    },
    WasteRule {
        id: "us-casing-asked",
        says: "Whether a cell casing is breached is looked at before it is called universal waste; \
               one reading bars every damaged battery, so the officer decides.",
        when: Criteria::All(&[
            WASTE,
            Criteria::Not(&BREACHED),
            Criteria::Not(&Criteria::Stated(&CELLS_WHOLE)),
        ]),
        place: "273.13(a)(2); EPA memorandum RO 14957",
        ..US
    },
    WasteRule {
        id: "us-safety-return-asked",
        says: "Whether a battery returned for safety is waste is for the maker to say, who takes \
               it.",
        when: Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::SafetyReturn)]),
        document: "40 CFR 261",
        place: "261.2",
        basis: Known::ProjectDefault,
        ..US
    },
    WasteRule {
        id: "us-universal-label",
        says: "Battery or container is labelled Universal Waste—Battery(ies), Waste Battery(ies) \
               or Used Battery(ies).",
        when: UNIVERSAL,
        place: "273.14(a), 273.34(a)",
        basis: Known::Secondary,
        ..US
    },
    WasteRule {
        id: "us-universal-one-year",
        says: "It is kept at most one year from the day it became waste, and that day can be \
               shown.",
        when: UNIVERSAL,
        place: "273.15, 273.35",
        basis: Known::Secondary,
        ..US
    },
    WasteRule {
        id: "us-universal-receiver",
        says: "It goes only to another handler, a destination facility or abroad, after the \
               receiver has agreed.",
        when: UNIVERSAL,
        place: "273.38(a)-(e)",
        basis: Known::Read,
        ..US
    },
    WasteRule {
        id: "us-universal-records",
        says: "From 5000 kg on site the handler keeps for three years a record of each load in and \
               out; below that it is not required, and kept here all the same.",
        when: UNIVERSAL,
        place: "273.19, 273.39",
        basis: Known::Read,
        ..US
    },
    WasteRule {
        id: "us-universal-no-manifest",
        says: "It needs no manifest and no hazardous waste transporter, and is hazardous material \
               on the way all the same.",
        when: UNIVERSAL,
        place: "273 subparts B and C; letter of interpretation 25-0098",
        ..US
    },
    WasteRule {
        id: "us-universal-treatment",
        says: "A handler may sort, discharge and take packs apart while each cell casing stays \
               whole and closed, and may not shred.",
        when: UNIVERSAL,
        place: "273.13(a)(2)",
        basis: Known::Read,
        ..US
    },
    WasteRule {
        id: "us-universal-leaking",
        says: "A battery that may leak stands in a closed, sound container.",
        when: Criteria::All(&[
            UNIVERSAL,
            Criteria::Not(&Criteria::Stated(&Criteria::OneOf(Fact::Leaking, NO))),
        ]),
        place: "273.13(a)(1)",
        basis: Known::Read,
        ..US
    },
    WasteRule {
        id: "us-household-removed-by-firm",
        says: "Household waste is exempt, but for a home battery that a firm has removed no \
               statement was found, so it is taken for universal waste.",
        when: Criteria::All(&[WASTE, HOUSEHOLD]),
        document: "40 CFR 261",
        place: "261.4(b)(1)",
        ..US
    },
    // Elsewhere
    WasteRule {
        id: "waste-law-not-encoded",
        says: "The waste law of this country is not encoded, or no country was named; ask the \
               compliance officer.",
        law: WasteLaw::Other,
        when: WASTE,
        document: "packdown",
        place: "scope of this rule set",
        basis: Known::ProjectDefault,
        ..EU
    },
];
