//! Rows that stand under European road and the United States highway alike: what this rule set does
//! not classify, and our own precautions.

use crate::battery::Chemistry;
use crate::citation::Known;
use crate::transport::criteria::{Criteria, Fact, Value};
use crate::transport::edition::Edition;
use crate::transport::rule::{Effect, Place, Rule};
use crate::transport::situation::{ALONE, BOTH_ROADS, LITHIUM_OR_SODIUM, NO, SUSPECT_OR_WORSE};

const BOTH: Rule = Rule {
    scope: BOTH_ROADS,
    ..Rule::BLANK
};

const fn in_adr(place: &'static str) -> Place {
    Place {
        edition: Edition::Adr2025,
        place,
    }
}

const fn in_cfr(place: &'static str) -> Place {
    Place {
        edition: Edition::Cfr49Of2022,
        place,
    }
}

/// Every row of both.
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
        clauses: &[
            in_adr("scope of this rule set"),
            in_cfr("scope of this rule set"),
        ],
        basis: Known::ProjectDefault,
        ..BOTH
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
        clauses: &[
            in_adr("3.2 Table A: no entry found"),
            in_cfr("172.101: no entry found"),
        ],
        ..BOTH
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
        clauses: &[
            in_adr("no rule found; by analogy with 49 CFR"),
            in_cfr("173.22; letter of interpretation 24-0034"),
        ],
        basis: Known::Secondary,
        ..BOTH
    },
    Rule {
        id: "suspect-travels-apart",
        says: "A battery that is not plainly sound travels apart from sound ones and is watched \
               on receipt.",
        when: Criteria::All(&[LITHIUM_OR_SODIUM, ALONE, SUSPECT_OR_WORSE]),
        effects: &[Effect::Requirement],
        clauses: &[in_adr("our own precaution"), in_cfr("our own precaution")],
        basis: Known::ProjectDefault,
        ..BOTH
    },
];
