//! Conditions that several rows share, named once: what the law takes for damaged, what for waste,
//! and what travels by itself under an entry of its own.

use crate::battery::{Casing, Chemistry, Purpose, Soundness};
use crate::transport::criteria::{Criteria, Fact, Is, Value};
use crate::transport::edition::Edition;
use crate::transport::facts::{Configuration, Mode, PackageKind, Regime};
use crate::transport::rule::Scope;

const ROAD: Scope = Scope {
    regime: Regime::Adr,
    modes: &[Mode::Road],
};
const RAIL: Scope = Scope {
    regime: Regime::Rid,
    modes: &[Mode::Rail],
};
const SEA: Scope = Scope {
    regime: Regime::Imdg,
    modes: &[Mode::Sea],
};
const AIRCRAFT: Scope = Scope {
    regime: Regime::Air,
    modes: &[Mode::CargoAircraft, Mode::PassengerAircraft],
};

const fn us(modes: &'static [Mode]) -> Scope {
    Scope {
        regime: Regime::Cfr49,
        modes,
    }
}

/// European road.
pub(crate) const ADR_ROAD: &[Scope] = &[ROAD];
/// European rail.
pub(crate) const RID_RAIL: &[Scope] = &[RAIL];
/// Sea.
pub(crate) const IMDG_SEA: &[Scope] = &[SEA];
/// European road and rail.
pub(crate) const LAND: &[Scope] = &[ROAD, RAIL];
/// European road and rail, and the sea.
pub(crate) const SURFACE: &[Scope] = &[ROAD, RAIL, SEA];
/// Aircraft of both kinds.
pub(crate) const AIR: &[Scope] = &[AIRCRAFT];
/// Cargo aircraft.
pub(crate) const AIR_CARGO: &[Scope] = &[Scope {
    regime: Regime::Air,
    modes: &[Mode::CargoAircraft],
}];
/// Passenger aircraft.
pub(crate) const AIR_PASSENGER: &[Scope] = &[Scope {
    regime: Regime::Air,
    modes: &[Mode::PassengerAircraft],
}];
/// United States, every mode.
pub(crate) const US: &[Scope] = &[us(Edition::Cfr49Of2022.modes())];
/// United States, not by air.
pub(crate) const US_SURFACE: &[Scope] = &[us(&[Mode::Rail, Mode::Road, Mode::Sea])];
/// United States, highway.
pub(crate) const US_HIGHWAY: &[Scope] = &[us(&[Mode::Road])];
/// United States, highway and rail.
pub(crate) const US_LAND: &[Scope] = &[us(&[Mode::Rail, Mode::Road])];
/// United States, everything but the highway.
pub(crate) const US_OFF_HIGHWAY: &[Scope] = &[us(&[
    Mode::CargoAircraft,
    Mode::PassengerAircraft,
    Mode::Rail,
    Mode::Sea,
])];
/// United States, rail and vessel.
pub(crate) const US_RAIL_AND_VESSEL: &[Scope] = &[us(&[Mode::Rail, Mode::Sea])];
/// United States, vessel.
pub(crate) const US_VESSEL: &[Scope] = &[us(&[Mode::Sea])];
/// United States, aircraft of both kinds.
pub(crate) const US_AIR: &[Scope] = &[us(&[Mode::CargoAircraft, Mode::PassengerAircraft])];
/// United States, cargo aircraft.
pub(crate) const US_CARGO: &[Scope] = &[us(&[Mode::CargoAircraft])];
/// United States, passenger aircraft.
pub(crate) const US_PASSENGER: &[Scope] = &[us(&[Mode::PassengerAircraft])];
/// Every regime and mode.
pub(crate) const EVERYWHERE: &[Scope] =
    &[ROAD, RAIL, SEA, AIRCRAFT, us(Edition::Cfr49Of2022.modes())];

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
/// Damaged by what was stated, not by what was left open: a row that forbids may not rest on an
/// assumption.
pub(crate) const FOUND_DAMAGED: Criteria = Criteria::Any(&[
    Criteria::OneOf(
        Fact::SoundnessStated,
        &[
            Value::Soundness(Soundness::Undiagnosed),
            Value::Soundness(Soundness::Damaged),
            Value::Soundness(Soundness::Critical),
        ],
    ),
    Criteria::OneOf(Fact::Recalled, YES),
    Criteria::OneOf(Fact::Leaking, YES),
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
pub(crate) const PACKED_WITH: Criteria = Criteria::OneOf(
    Fact::Configuration,
    &[Value::Configuration(Configuration::PackedWithEquipment)],
);
pub(crate) const CONTAINED_IN: Criteria = Criteria::OneOf(
    Fact::Configuration,
    &[Value::Configuration(Configuration::ContainedInEquipment)],
);
pub(crate) const IN_UNIT: Criteria = Criteria::OneOf(
    Fact::Configuration,
    &[Value::Configuration(Configuration::InCargoTransportUnit)],
);
pub(crate) const WITH_EQUIPMENT: Criteria = Criteria::OneOf(
    Fact::Configuration,
    &[
        Value::Configuration(Configuration::ContainedInEquipment),
        Value::Configuration(Configuration::PackedWithEquipment),
    ],
);
/// In a package: alone, or with or in equipment.
pub(crate) const PACKAGED: Criteria = Criteria::OneOf(
    Fact::Configuration,
    &[
        Value::Configuration(Configuration::Alone),
        Value::Configuration(Configuration::ContainedInEquipment),
        Value::Configuration(Configuration::PackedWithEquipment),
    ],
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
