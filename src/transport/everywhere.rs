//! Rows that stand under every regime alike: what this rule set does not classify, and our own
//! precautions.

use crate::battery::{Chemistry, Soundness};
use crate::citation::Known;
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::{Edition, day};
use crate::transport::rule::{Effect, Place, Rule};
use crate::transport::situation::{EVERYWHERE, LITHIUM_OR_SODIUM, NO, SUSPECT_OR_WORSE, YES};
use crate::transport::surface_places::read;

const ANYWHERE: Rule = Rule {
    scope: EVERYWHERE,
    ..Rule::BLANK
};

/// One place in every edition, and one in 49 CFR.
const fn at(international: &'static str, us: &'static str) -> [Place; 8] {
    [
        read(Edition::Adr2023, international),
        read(Edition::Adr2025, international),
        read(Edition::Rid2023, international),
        read(Edition::Rid2025, international),
        read(Edition::Imdg42, international),
        read(Edition::Air2025, international),
        read(Edition::Air2026, international),
        read(Edition::Cfr49Of2022, us),
    ]
}

/// Every row.
pub(crate) static RULES: &[Rule] = &[
    Rule {
        id: "nickel-or-lead-out-of-scope",
        says: "Nickel metal hydride and lead acid batteries are out of the scope of this rule \
               set; they are never taken for lithium ion.",
        when: Criteria::OneOf(
            Fact::Chemistry,
            &[
                Value::Chemistry(Chemistry::LeadAcid),
                Value::Chemistry(Chemistry::NickelMetalHydride),
            ],
        ),
        effects: &[Effect::NotDetermined {
            question: "out of scope: under which entry does this battery travel",
            who: "the compliance officer",
        }],
        clauses: &at("scope of this rule set", "scope of this rule set"),
        basis: Known::ProjectDefault,
        ..ANYWHERE
    },
    Rule {
        id: "lithium-sodium-mixed-undecided",
        says: "For lithium ion and sodium ion in one battery no rule was found.",
        when: Criteria::OneOf(
            Fact::Chemistry,
            &[Value::Chemistry(Chemistry::LithiumSodiumMixed)],
        ),
        effects: &[Effect::NotDetermined {
            question: "under which entry does a battery of lithium and sodium ion cells travel",
            who: "the compliance officer, with the competent authority",
        }],
        clauses: &at(
            "dangerous goods list: no entry found",
            "172.101: no entry found",
        ),
        ..ANYWHERE
    },
    Rule {
        id: "no-longer-a-battery",
        says: "What can neither be charged nor give power and has lost its electrolyte is no \
               battery any more; it is classified by the hazards of what is left.",
        when: Criteria::Stated(&Criteria::OneOf(Fact::StillABattery, NO)),
        effects: &[Effect::NotDetermined {
            question: "which hazards do the remains have, and under which entry do they travel",
            who: "the compliance officer",
        }],
        clauses: &at(
            "no rule found; by analogy with 49 CFR",
            "173.22; letter of interpretation 24-0034",
        ),
        basis: Known::Secondary,
        ..ANYWHERE
    },
    Rule {
        id: "breached-cell-is-not-sound",
        says: "A battery with a breached cell is not sound, whatever the inspection wrote.",
        when: Criteria::All(&[
            Criteria::Stated(&Criteria::OneOf(Fact::CasingBreached, YES)),
            Criteria::OneOf(
                Fact::Soundness,
                &[
                    Value::Soundness(Soundness::Sound),
                    Value::Soundness(Soundness::Suspect),
                ],
            ),
        ]),
        effects: &[Effect::NotDetermined {
            question: "which of the two is right: a breached cell, or a sound battery",
            who: "whoever inspected it",
        }],
        clauses: &at("our own precaution", "our own precaution"),
        basis: Known::ProjectDefault,
        ..ANYWHERE
    },
    Rule {
        id: "suspect-travels-apart",
        says: "A battery that is not plainly sound travels apart from sound ones and is watched \
               on receipt.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, SUSPECT_OR_WORSE]),
        effects: &[Effect::Requirement],
        clauses: &at("our own precaution", "our own precaution"),
        basis: Known::ProjectDefault,
        ..ANYWHERE
    },
    Rule {
        id: "expired-approval-not-quoted",
        says: "An approval or agreement that has expired is not quoted; the battery travels as if \
               it had never been given.",
        when: Criteria::OneOf(Fact::ExpiredApproval, YES),
        effects: &[Effect::Requirement],
        clauses: &at("terms of the approval", "terms of the approval"),
        basis: Known::CommonPractice,
        ..ANYWHERE
    },
    Rule {
        id: "battery-mark-telephone-until",
        says: "The mark for small batteries may still show a telephone number until 31 December \
               2026.",
        when: Criteria::Stated(&Criteria::OneOf(Fact::BatteryMarkPhone, YES)),
        effects: &[Effect::Requirement],
        clauses: &at("1.6.1.49", "89 FR 25434: highway and rail"),
        valid_to: Some(day(2026, 12, 31)),
        basis: Known::Secondary,
        ..ANYWHERE
    },
    Rule {
        id: "battery-mark-telephone-ended",
        says: "The mark for small batteries no longer shows a telephone number.",
        when: Criteria::Stated(&Criteria::OneOf(Fact::BatteryMarkPhone, YES)),
        effects: &[Effect::Forbid {
            way_out: "the packer takes the old mark off; where the relief for small batteries is used, the mark without a number goes on",
        }],
        clauses: &at("1.6.1.49", "89 FR 25434"),
        valid_from: Some(day(2027, 1, 1)),
        basis: Known::Secondary,
        ..ANYWHERE
    },
    Rule {
        id: "small-relief-claimed",
        says: "A battery of at most 100 Wh may qualify for the relief for small ones; who claims it \
               must meet each of its conditions.",
        when: Criteria::All(&[Criteria::OneOf(Fact::ClaimsSmall, YES), SMALL_ENOUGH]),
        effects: &[Effect::NotDetermined {
            question: "are all conditions of the relief for small batteries met",
            who: "the dangerous goods safety adviser (United States: the hazmat manager)",
        }],
        clauses: &at("3.3 SP 188", "173.185(c)"),
        ..ANYWHERE
    },
    Rule {
        id: "small-relief-not-open",
        says: "The relief for small batteries ends at 100 Wh and is not open to this one, so the \
               full rules hold.",
        when: Criteria::All(&[
            Criteria::OneOf(Fact::ClaimsSmall, YES),
            Criteria::Not(&SMALL_ENOUGH),
        ]),
        effects: &[Effect::Requirement],
        clauses: &at("3.3 SP 188", "173.185(c)"),
        ..ANYWHERE
    },
    Rule {
        id: "shorted-sodium-relief-claimed",
        says: "Whether a sodium ion battery shorted so that it holds no energy is free of the \
               rules hangs on what its cells hold, and was not settled.",
        when: Criteria::All(&[
            Criteria::OneOf(Fact::ClaimsShorted, YES),
            Criteria::OneOf(
                Fact::Chemistry,
                &[Value::Chemistry(Chemistry::SodiumIonOrganic)],
            ),
        ]),
        effects: &[Effect::NotDetermined {
            question: "do the goods in each cell meet chapter 3.4, and is the short circuit plain \
                       to see",
            who: "the dangerous goods safety adviser (United States: the hazmat manager), with the competent authority",
        }],
        clauses: &at("3.3 SP 400", "172.101: no entry found"),
        ..ANYWHERE
    },
    Rule {
        id: "shorted-sodium-relief-not-open",
        says: "The relief for shorted batteries is for sodium ion with an organic electrolyte \
               only, so the full rules hold.",
        when: Criteria::All(&[
            Criteria::OneOf(Fact::ClaimsShorted, YES),
            Criteria::Not(&Criteria::OneOf(
                Fact::Chemistry,
                &[Value::Chemistry(Chemistry::SodiumIonOrganic)],
            )),
        ]),
        effects: &[Effect::Requirement],
        clauses: &at("3.3 SP 400", "172.101: no entry found"),
        ..ANYWHERE
    },
];

/// At most 100 Wh.
const SMALL_ENOUGH: Criteria =
    Criteria::Compare(Fact::Energy, Is::AtMost, Value::Thousandths(100_000));
