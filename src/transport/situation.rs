//! Conditions that several rows share, named once: what the law takes for damaged, what for waste,
//! and what travels by itself under an entry of its own.

use crate::battery::{Casing, Chemistry, Purpose, Soundness};
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::facts::{Configuration, Mode, PackageKind, Regime};
use crate::transport::rule::Scope;

/// European road.
pub(crate) const ADR_ROAD: &[Scope] = &[Scope {
    regime: Regime::Adr,
    modes: &[Mode::Road],
}];
/// United States highway.
pub(crate) const US_HIGHWAY: &[Scope] = &[Scope {
    regime: Regime::Cfr49,
    modes: &[Mode::Road],
}];
/// European road and United States highway.
pub(crate) const BOTH_ROADS: &[Scope] = &[
    Scope {
        regime: Regime::Adr,
        modes: &[Mode::Road],
    },
    Scope {
        regime: Regime::Cfr49,
        modes: &[Mode::Road],
    },
];

pub(crate) const YES: &[Value] = &[Value::Truth(true)];
pub(crate) const NO: &[Value] = &[Value::Truth(false)];

/// Damaged or defective in the sense of the law: found so or not diagnosable (also where nothing
/// was said), recalled for safety, on its way back for safety, or seen to leak.
pub(crate) const DAMAGED: Criteria = Criteria::Any(&[
    Criteria::OneOf(
        Fact::Soundness,
        &[
            Value::Soundness(Soundness::Undiagnosed),
            Value::Soundness(Soundness::Damaged),
            Value::Soundness(Soundness::Critical),
        ],
    ),
    Criteria::Stated(&Criteria::OneOf(Fact::Leaking, YES)),
    Criteria::OneOf(Fact::Recalled, YES),
    Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::SafetyReturn)]),
]);
pub(crate) const SOUND: Criteria = Criteria::Not(&DAMAGED);
pub(crate) const CRITICAL: Criteria =
    Criteria::OneOf(Fact::Soundness, &[Value::Soundness(Soundness::Critical)]);
pub(crate) const NOT_CRITICAL: Criteria = Criteria::Not(&CRITICAL);
pub(crate) const UNDIAGNOSED: Criteria =
    Criteria::OneOf(Fact::Soundness, &[Value::Soundness(Soundness::Undiagnosed)]);
pub(crate) const SUSPECT_OR_WORSE: Criteria = Criteria::Not(&Criteria::OneOf(
    Fact::Soundness,
    &[Value::Soundness(Soundness::Sound)],
));
pub(crate) const LEAKING: Criteria = Criteria::Stated(&Criteria::OneOf(Fact::Leaking, YES));

pub(crate) const WASTE: Criteria = Criteria::OneOf(
    Fact::Purpose,
    &[
        Value::Purpose(Purpose::Disposal),
        Value::Purpose(Purpose::Recycling),
        Value::Purpose(Purpose::Sorting),
    ],
);
/// Carried like a new one.
pub(crate) const AS_NEW: Criteria = Criteria::OneOf(
    Fact::Purpose,
    &[
        Value::Purpose(Purpose::Reuse),
        Value::Purpose(Purpose::Use),
        Value::Purpose(Purpose::WarrantyReturn),
    ],
);
pub(crate) const PROTOTYPE: Criteria =
    Criteria::OneOf(Fact::Purpose, &[Value::Purpose(Purpose::PrototypeTest)]);

pub(crate) const TESTED: Criteria = Criteria::OneOf(Fact::TestedType, YES);
pub(crate) const UNTESTED: Criteria = Criteria::OneOf(Fact::TestedType, NO);

/// 12 kg or more in a strong, impact-resistant casing.
pub(crate) const HEAVY_AND_STRONG: Criteria = Criteria::All(&[
    Criteria::OneOf(Fact::Casing, &[Value::Casing(Casing::Strong)]),
    Criteria::Compare(Fact::Mass, Is::AtLeast, Value::Thousandths(12_000)),
]);

pub(crate) const ALONE: Criteria = Criteria::OneOf(
    Fact::Configuration,
    &[Value::Configuration(Configuration::Alone)],
);
pub(crate) const LARGE_PACKAGING: Criteria = Criteria::Stated(&Criteria::OneOf(
    Fact::PackageKind,
    &[Value::PackageKind(PackageKind::LargePackaging)],
));

pub(crate) const LITHIUM_ION: Criteria =
    Criteria::OneOf(Fact::Chemistry, &[Value::Chemistry(Chemistry::LithiumIon)]);
/// Lithium metal, and hybrids that travel as such.
pub(crate) const LITHIUM_METAL: Criteria = Criteria::OneOf(
    Fact::Chemistry,
    &[
        Value::Chemistry(Chemistry::LithiumHybrid),
        Value::Chemistry(Chemistry::LithiumMetal),
    ],
);
pub(crate) const LITHIUM_HYBRID: Criteria = Criteria::OneOf(
    Fact::Chemistry,
    &[Value::Chemistry(Chemistry::LithiumHybrid)],
);
/// Lithium of any kind.
pub(crate) const LITHIUM: Criteria = Criteria::OneOf(
    Fact::Chemistry,
    &[
        Value::Chemistry(Chemistry::LithiumHybrid),
        Value::Chemistry(Chemistry::LithiumIon),
        Value::Chemistry(Chemistry::LithiumMetal),
    ],
);
pub(crate) const SODIUM_ORGANIC: Criteria = Criteria::OneOf(
    Fact::Chemistry,
    &[Value::Chemistry(Chemistry::SodiumIonOrganic)],
);
/// Lithium of any kind, or sodium ion with an organic electrolyte.
pub(crate) const LITHIUM_OR_SODIUM: Criteria = Criteria::OneOf(
    Fact::Chemistry,
    &[
        Value::Chemistry(Chemistry::LithiumHybrid),
        Value::Chemistry(Chemistry::LithiumIon),
        Value::Chemistry(Chemistry::LithiumMetal),
        Value::Chemistry(Chemistry::SodiumIonOrganic),
    ],
);
