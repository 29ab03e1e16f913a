//! The rows of the model regulations that European road and rail and the sea share: entries, packing,
//! marks, papers. Read in ADR/RID 2025 (an unofficial translation: numbers and codes); the sea code
//! and the edition of 2023 are known second-hand and say so.

use crate::battery::{Chemistry, Purpose};
use crate::citation::Known;
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::day;
use crate::transport::rule::{Effect, IfUnknown, LinePart, ListEntry, MarkText, Place, Rule};
use crate::transport::situation::{
    ALONE, AS_NEW, CRITICAL, DAMAGED, FOUND_DAMAGED, HEAVY_AND_STRONG, LARGE_PACKAGING, LEAKING,
    LITHIUM, LITHIUM_HYBRID, LITHIUM_ION, LITHIUM_METAL, LITHIUM_OR_SODIUM, NO, NOT_CRITICAL,
    PACKAGED, PROTOTYPE, SODIUM_ORGANIC, SOUND, SURFACE, TESTED, UNDIAGNOSED, UNTESTED, WASTE, YES,
};
use crate::transport::surface_packing::{
    AS_APPROVED, LP903, LP904, LP905, LP906, P903_1, P903_2, P908, P909_1, P909_4, P910_1, P911,
};
use crate::transport::surface_places::{alike, since_2025};

const SURFACE_ROW: Rule = Rule {
    scope: SURFACE,
    ..Rule::BLANK
};

/// In a package, alone or with equipment.
const GOODS: Criteria = Criteria::All(&[LITHIUM_OR_SODIUM, PACKAGED]);
/// In a package of its own.
const BY_ITSELF: Criteria = Criteria::All(&[LITHIUM_OR_SODIUM, ALONE]);

/// The word for waste: on the sea from memory.
const fn waste_word_places() -> [Place; 5] {
    let [a, b, c, d, sea] = alike!("5.4.1.1.3.1");
    [
        a,
        b,
        c,
        d,
        Place {
            known: Some(Known::Memory),
            ..sea
        },
    ]
}

/// Every row of the three.
pub(crate) static RULES: &[Rule] = &[
    // Entries
    Rule {
        id: "un-entry-lithium-ion",
        says: "A lithium ion battery that travels by itself is UN 3480, also where its task is to \
               feed other equipment.",
        when: Criteria::All(&[LITHIUM_ION, ALONE]),
        effects: &[Effect::Entry(ListEntry {
            un: "UN 3480",
            proper_shipping_name: "LITHIUM ION BATTERIES",
            hazard_class: "9",
            label: "9A",
        })],
        clauses: &alike!("3.2 Table A, UN 3480"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-entry-lithium-metal",
        says: "A lithium metal battery, or a hybrid of lithium metal and lithium ion, that \
               travels by itself is UN 3090.",
        when: Criteria::All(&[LITHIUM_METAL, ALONE]),
        effects: &[Effect::Entry(ListEntry {
            un: "UN 3090",
            proper_shipping_name: "LITHIUM METAL BATTERIES",
            hazard_class: "9",
            label: "9A",
        })],
        clauses: &alike!("3.2 Table A, UN 3090"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-entry-sodium-ion",
        says: "A sodium ion battery with an organic electrolyte that travels by itself is UN \
               3551.",
        when: Criteria::All(&[SODIUM_ORGANIC, ALONE]),
        effects: &[
            Effect::Entry(ListEntry {
                un: "UN 3551",
                proper_shipping_name: "SODIUM ION BATTERIES",
                hazard_class: "9",
                label: "9A",
            }),
            Effect::Provision("SP 401"),
        ],
        clauses: &since_2025!("3.2 Table A, UN 3551; 3.3 SP 401"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-hybrid-as-metal",
        says: "A battery with both lithium metal and lithium ion cells goes under the lithium \
               metal entry.",
        when: Criteria::All(&[LITHIUM_HYBRID, PACKAGED]),
        effects: &[Effect::Provision("SP 387"), Effect::Requirement],
        clauses: &alike!("3.3 SP 387"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-sodium-name-spelling",
        says: "Whether the sodium ion name and words are written with a hyphen was not seen in \
               the authentic text; read it before printing.",
        when: SODIUM_ORGANIC,
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &since_2025!("3.2 Table A, UN 3551"),
        basis: Known::Memory,
        ..SURFACE_ROW
    },
    Rule {
        id: "un-aqueous-sodium-elsewhere",
        says: "A sodium ion battery with an aqueous alkali electrolyte belongs to UN 2795, for \
               which this rule set has no rows.",
        when: Criteria::OneOf(
            Fact::Chemistry,
            &[Value::Chemistry(Chemistry::SodiumIonAqueous)],
        ),
        effects: &[Effect::NotDetermined {
            question: "how does this battery travel under UN 2795",
            who: "the dangerous goods safety adviser",
        }],
        clauses: &since_2025!("3.3 SP 401"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-metallic-sodium-elsewhere",
        says: "A battery with metallic sodium belongs to UN 3292, for which this rule set has no \
               rows.",
        when: Criteria::OneOf(Fact::Chemistry, &[Value::Chemistry(Chemistry::SodiumMetal)]),
        effects: &[Effect::NotDetermined {
            question: "how does this battery travel under UN 3292",
            who: "the dangerous goods safety adviser",
        }],
        clauses: &since_2025!("3.3 SP 401"),
        ..SURFACE_ROW
    },
    // What every package of these entries needs
    Rule {
        id: "un-label",
        says: "The package carries label 9A, at least 100 by 100 mm; the battery mark with red \
               hatching does not replace it.",
        when: GOODS,
        effects: &[Effect::Label("9A"), Effect::Requirement],
        clauses: &alike!("5.2.2.1; 5.2.2.2.1.1; 5.2.1.9"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-number-mark-large",
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
        clauses: &alike!("5.2.1.1"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-number-mark-small",
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
        clauses: &alike!("5.2.1.1"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-large-packaging-two-sides",
        says: "A large packaging carries its marks and labels on two opposite sides.",
        when: Criteria::All(&[GOODS, LARGE_PACKAGING]),
        effects: &[Effect::Requirement],
        clauses: &alike!("5.2.1.4; 5.2.2.1.7"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-class-in-document",
        says: "The transport document gives class 9, never the label number and never a packing \
               group.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &alike!("5.4.1.1.1(c), (d)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-document-content",
        says: "The transport document names consignor and consignee with address, number and kind \
               of packages, and the mass.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &alike!("5.4.1.1.1(e)-(h)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-training",
        says: "Everyone who packs, loads or drives has been trained for it before working alone.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &alike!("1.3; 8.2.3"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-packaging-in-order",
        says: "The packaging is undamaged, closed as its maker says, and clean outside.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &alike!("4.1.1.1; 4.1.1.9"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-small-battery-relief-not-used",
        says: "A battery of at most 100 Wh may qualify for the relief for small ones; it is \
               treated here as fully regulated.",
        when: Criteria::All(&[
            GOODS,
            Criteria::Compare(Fact::Energy, Is::AtMost, Value::Thousandths(100_000)),
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Requirement],
        clauses: &alike!("3.3 SP 188"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-marks-last",
        says: "Marks and labels stand where they can be seen, do not wash off and are not covered; \
               labels stand on the side of the marks where it is large enough.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &alike!("5.2.1.2; 5.2.2.1.6"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-overpack",
        says: "An overpack that hides marks or labels repeats UN number, label and words, and says \
               OVERPACK in letters of at least 12 mm.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &alike!("5.1.2.1"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-unit-placard-model",
        says: "Where a container or wagon is placarded, the placard is model 9 and never 9A.",
        when: GOODS,
        effects: &[Effect::Requirement],
        clauses: &alike!("5.3.1.1.4"),
        ..SURFACE_ROW
    },
    // Sound, carried as new
    Rule {
        id: "un-sound-tested",
        says: "A sound battery of a tested type may travel like a new one.",
        when: Criteria::All(&[BY_ITSELF, SOUND, AS_NEW, TESTED]),
        effects: &[
            Effect::Provision("SP 230"),
            Effect::Packing(&P903_1),
            Effect::Requirement,
        ],
        clauses: &alike!("3.3 SP 230; 2.2.9.1.7; 4.1.4.1 P903(1)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-sound-strong-casing",
        says: "From 12 kg and in a strong casing it may stand in a strong outer, an enclosure or \
               on a pallet, without a tested packaging.",
        when: Criteria::All(&[BY_ITSELF, SOUND, AS_NEW, TESTED, HEAVY_AND_STRONG]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Packing(&P903_2)],
        clauses: &alike!("4.1.4.1 P903(2)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-sound-large-packaging",
        says: "Above 12 kg it may stand in a large packaging.",
        when: Criteria::All(&[
            BY_ITSELF,
            SOUND,
            AS_NEW,
            TESTED,
            Criteria::Compare(Fact::Mass, Is::MoreThan, Value::Thousandths(12_000)),
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Packing(&LP903)],
        clauses: &alike!("4.1.4.3 LP903"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-sound-test-summary",
        says: "The test summary for this battery as it is offered is at hand.",
        when: Criteria::All(&[GOODS, SOUND, AS_NEW]),
        if_unknown: IfUnknown::Apply,
        effects: &[Effect::Requirement],
        clauses: &alike!("2.2.9.1.7.1(g); 2.2.9.1.7.2(f)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-sound-untested",
        says: "A module out of a tested battery pack is itself a battery; untested as offered, it \
               may not simply travel like a new one.",
        when: Criteria::All(&[GOODS, SOUND, AS_NEW, UNTESTED]),
        effects: &[Effect::NotDetermined {
            question: "is there a test of this battery as it is offered, or another lawful route",
            who: "the dangerous goods safety adviser",
        }],
        clauses: &alike!("2.2.9.1.7.1(a) with note; 3.3 SP 230"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-energy-not-on-case",
        says: "A lithium ion battery made after 2011, or a sodium ion battery made after 2025, \
               that travels like a new one carries its energy in Wh on the case.",
        when: Criteria::All(&[
            PACKAGED,
            AS_NEW,
            Criteria::Not(&FOUND_DAMAGED),
            MADE_TO_BE_MARKED,
            Criteria::OneOf(Fact::EnergyMarked, NO),
        ]),
        effects: &[
            Effect::Provision("SP 348"),
            Effect::Forbid {
                way_out: "the consignor has the energy in Wh marked durably on the outside of the case, by the maker's figure",
            },
        ],
        clauses: &alike!("3.3 SP 348"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-energy-on-case-of-others",
        says: "The energy in Wh stands on the case also where the battery is waste or damaged; \
               add it where that is safe, or ask the adviser.",
        when: Criteria::All(&[
            PACKAGED,
            Criteria::Any(&[DAMAGED, WASTE]),
            MADE_TO_BE_MARKED,
            Criteria::OneOf(Fact::EnergyMarked, NO),
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Provision("SP 348"), Effect::Requirement],
        clauses: &alike!("3.3 SP 348"),
        ..SURFACE_ROW
    },
    // Sound, waste
    Rule {
        id: "un-waste-sound",
        says: "A sound battery for disposal or recycling needs no tested type and may travel in \
               the packagings for waste batteries.",
        when: Criteria::All(&[BY_ITSELF, SOUND, WASTE]),
        effects: &[
            Effect::Provision("SP 377"),
            Effect::Packing(&P909_1),
            Effect::Requirement,
        ],
        clauses: &alike!("3.3 SP 377; 4.1.4.1 P909(1)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-waste-strong-casing",
        says: "From 12 kg and in a strong casing it may travel in a strong outer packaging, but \
               not on a pallet or in an open crate.",
        when: Criteria::All(&[BY_ITSELF, SOUND, WASTE, HEAVY_AND_STRONG]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::Packing(&P909_4)],
        clauses: &alike!("4.1.4.1 P909(4)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-waste-on-a-pallet",
        says: "Waste on a pallet or in a crate is lawful at most as if it were new: of a tested \
               type, from 12 kg, in a strong casing.",
        when: Criteria::All(&[
            BY_ITSELF,
            SOUND,
            WASTE,
            HEAVY_AND_STRONG,
            Criteria::Not(&Criteria::Stated(&UNTESTED)),
        ]),
        if_unknown: IfUnknown::Skip,
        effects: &[Effect::PackingOnRequest {
            instruction: &P903_2,
            question: "does the battery meet every condition for a new one, so that it may travel \
                       as waste on a pallet",
            who: "the dangerous goods safety adviser",
        }],
        clauses: &alike!("3.3 SP 230, 377; 4.1.4.1 P903(2)"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-mark-recycling-lithium",
        says: "Lithium batteries for recycling carry the words for it in letters of at least 12 \
               mm.",
        when: Criteria::All(&[LITHIUM, PACKAGED, SOUND, FOR_RECYCLING]),
        effects: &[Effect::Mark {
            text: MarkText::Words("LITHIUM BATTERIES FOR RECYCLING"),
            min_height_mm: 12,
        }],
        clauses: &alike!("3.3 SP 377; 3.3.1"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-mark-disposal-lithium",
        says: "Lithium batteries for disposal carry the words for it in letters of at least 12 \
               mm.",
        when: Criteria::All(&[LITHIUM, PACKAGED, SOUND, FOR_DISPOSAL]),
        effects: &[Effect::Mark {
            text: MarkText::Words("LITHIUM BATTERIES FOR DISPOSAL"),
            min_height_mm: 12,
        }],
        clauses: &alike!("3.3 SP 377; 3.3.1"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-mark-recycling-sodium",
        says: "Sodium ion batteries for recycling carry the words for it in letters of at least \
               12 mm.",
        when: Criteria::All(&[SODIUM_ORGANIC, PACKAGED, SOUND, FOR_RECYCLING]),
        effects: &[
            Effect::Mark {
                text: MarkText::Words("SODIUM ION BATTERIES FOR RECYCLING"),
                min_height_mm: 12,
            },
            Effect::Unverified,
        ],
        clauses: &since_2025!("3.3 SP 377; 3.3.1"),
        basis: Known::Memory,
        ..SURFACE_ROW
    },
    Rule {
        id: "un-mark-disposal-sodium",
        says: "Sodium ion batteries for disposal carry the words for it in letters of at least 12 \
               mm.",
        when: Criteria::All(&[SODIUM_ORGANIC, PACKAGED, SOUND, FOR_DISPOSAL]),
        effects: &[
            Effect::Mark {
                text: MarkText::Words("SODIUM ION BATTERIES FOR DISPOSAL"),
                min_height_mm: 12,
            },
            Effect::Unverified,
        ],
        clauses: &since_2025!("3.3 SP 377; 3.3.1"),
        basis: Known::Memory,
        ..SURFACE_ROW
    },
    Rule {
        id: "un-sorting-marked-for-recycling",
        says: "What goes to be sorted is marked for recycling, unless the consignor knows that it \
               goes to disposal.",
        when: Criteria::All(&[
            GOODS,
            SOUND,
            Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::Sorting)]),
        ]),
        effects: &[Effect::Requirement, Effect::Unverified],
        clauses: &alike!("3.3 SP 377"),
        basis: Known::ProjectDefault,
        ..SURFACE_ROW
    },
    Rule {
        id: "un-waste-word",
        says: "The transport document writes WASTE before the name where the holder discards the \
               battery.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, WASTE]),
        effects: &[Effect::Line(LinePart::BeforeName("WASTE"))],
        clauses: &waste_word_places(),
        ..SURFACE_ROW
    },
    // Damaged
    Rule {
        id: "un-damaged",
        says: "A battery found damaged or defective, recalled for safety, or not diagnosable \
               travels as damaged, whatever it is carried for.",
        when: Criteria::All(&[GOODS, DAMAGED]),
        effects: &[
            Effect::Provision("SP 376"),
            Effect::Statement("Transport in accordance with special provision 376"),
            Effect::Requirement,
        ],
        clauses: &alike!("3.3 SP 376"),
        overrides: &[
            "un-sound-untested",
            "breached-cell-is-not-sound",
            "un-sound-tested",
            "un-sound-test-summary",
            "un-energy-not-on-case",
            "un-waste-sound",
            "un-packed-with-sound",
            "un-contained-in-sound",
            "un-packed-with-waste",
            "un-contained-in-waste",
            "un-sorting-marked-for-recycling",
            "un-prototype",
            "un-mark-recycling-lithium",
            "un-mark-disposal-lithium",
            "un-mark-recycling-sodium",
            "un-mark-disposal-sodium",
        ],
        ..SURFACE_ROW
    },
    Rule {
        id: "un-damaged-packing",
        says: "A damaged battery that is not critical travels in the packagings for damaged ones; \
               above 30 kg one in each.",
        when: Criteria::All(&[GOODS, DAMAGED, NOT_CRITICAL]),
        effects: &[Effect::Packing(&P908), Effect::Packing(&LP904)],
        clauses: &alike!("4.1.4.1 P908; 4.1.4.3 LP904"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-undiagnosed-stricter-packing",
        says: "Where nobody can exclude a dangerous reaction, an undiagnosed battery travels in \
               the packagings for critical ones.",
        when: Criteria::All(&[GOODS, UNDIAGNOSED]),
        effects: &[Effect::Packing(&P911), Effect::Packing(&LP906)],
        clauses: &alike!("3.3 SP 376, note"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-critical-ruled-out",
        says: "Before it travels as damaged but not critical, the maker's criteria or a technical \
               expert have ruled out a dangerous reaction, in writing; otherwise it is critical.",
        when: Criteria::All(&[GOODS, DAMAGED]),
        effects: &[Effect::Requirement],
        clauses: &alike!("3.3 SP 376, note"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-assessment-recorded",
        says: "The record says who assessed the battery, by which criteria, what was found, when, \
               and at what state of charge.",
        when: Criteria::All(&[GOODS, DAMAGED]),
        effects: &[Effect::Requirement],
        clauses: &alike!("3.3 SP 376, note"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-mark-damaged-lithium-ion",
        says: "The package carries the words for damaged lithium ion batteries in letters of at \
               least 12 mm.",
        when: Criteria::All(&[LITHIUM_ION, PACKAGED, DAMAGED]),
        effects: &[Effect::Mark {
            text: MarkText::Words("DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES"),
            min_height_mm: 12,
        }],
        clauses: &alike!("3.3 SP 376; 3.3.1"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-mark-damaged-lithium-metal",
        says: "The package carries the words for damaged lithium metal batteries in letters of at \
               least 12 mm.",
        when: Criteria::All(&[LITHIUM_METAL, PACKAGED, DAMAGED]),
        effects: &[Effect::Mark {
            text: MarkText::Words("DAMAGED/DEFECTIVE LITHIUM METAL BATTERIES"),
            min_height_mm: 12,
        }],
        clauses: &alike!("3.3 SP 376; 3.3.1"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-mark-damaged-sodium-ion",
        says: "The package carries the words for damaged sodium ion batteries in letters of at \
               least 12 mm.",
        when: Criteria::All(&[SODIUM_ORGANIC, PACKAGED, DAMAGED]),
        effects: &[
            Effect::Mark {
                text: MarkText::Words("DAMAGED/DEFECTIVE SODIUM ION BATTERIES"),
                min_height_mm: 12,
            },
            Effect::Unverified,
        ],
        clauses: &since_2025!("3.3 SP 376; 3.3.1"),
        basis: Known::Memory,
        ..SURFACE_ROW
    },
    Rule {
        id: "un-leaking",
        says: "Around a leaking battery there is enough inert absorbent material.",
        when: Criteria::All(&[GOODS, LEAKING]),
        effects: &[Effect::Requirement],
        clauses: &alike!("4.1.4.1 P908; 4.1.4.3 LP904"),
        ..SURFACE_ROW
    },
    Rule {
        id: "un-critical-packing",
        says: "A critical battery travels only in a package verified for its type, number, energy \
               and state of charge; the report is at hand.",
        when: Criteria::All(&[GOODS, CRITICAL]),
        effects: &[
            Effect::Packing(&P911),
            Effect::Packing(&LP906),
            Effect::Requirement,
        ],
        clauses: &alike!("4.1.4.1 P911; 4.1.4.3 LP906"),
        overrides: &[
            "un-damaged-packing",
            "un-undiagnosed-stricter-packing",
            "un-critical-ruled-out",
        ],
        ..SURFACE_ROW
    },
    Rule {
        id: "un-critical-approved",
        says: "A critical battery may also travel as a competent authority has approved; a copy \
               of the approval travels with it.",
        when: Criteria::All(&[
            GOODS,
            CRITICAL,
            Criteria::OneOf(Fact::AuthorityApproval, YES),
        ]),
        effects: &[Effect::Packing(&AS_APPROVED), Effect::Requirement],
        clauses: &alike!("3.3 SP 376"),
        ..SURFACE_ROW
    },
    // Prototypes
    Rule {
        id: "un-prototype",
        says: "A sound prototype, or one of a run of at most a hundred, may travel untested for \
               testing.",
        when: Criteria::All(&[GOODS, SOUND, PROTOTYPE]),
        effects: &[
            Effect::Provision("SP 310"),
            Effect::Packing(&P910_1),
            Effect::Packing(&LP905),
            Effect::Statement("Transport in accordance with special provision 310"),
            Effect::Requirement,
        ],
        clauses: &alike!("3.3 SP 310; 4.1.4.1 P910(1); 4.1.4.3 LP905"),
        ..SURFACE_ROW
    },
];

const FOR_RECYCLING: Criteria = Criteria::OneOf(
    Fact::Purpose,
    &[
        Value::Purpose(Purpose::Recycling),
        Value::Purpose(Purpose::Sorting),
    ],
);
const FOR_DISPOSAL: Criteria = Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::Disposal)]);
/// Made late enough that its energy must stand on the case.
const MADE_TO_BE_MARKED: Criteria = Criteria::Any(&[
    Criteria::All(&[
        LITHIUM_ION,
        Criteria::Compare(Fact::MadeOn, Is::MoreThan, Value::Day(day(2011, 12, 31))),
    ]),
    Criteria::All(&[
        SODIUM_ORGANIC,
        Criteria::Compare(Fact::MadeOn, Is::MoreThan, Value::Day(day(2025, 12, 31))),
    ]),
]);
