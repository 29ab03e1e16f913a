//! What passes from one person to another when a load leaves: the body of a `released` entry and
//! of `data/handover.json` in a bundle.
//!
//! Unit of every temperature: degrees Celsius; of every mass: kilograms; of every charge: percent.
//! An absent value is not known, never zero.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::taken::Taken;
use crate::clock::Moment;
use crate::ledger::{Hash, from_hex};
use crate::physics::CellKind;
use crate::procedure::Role;
use crate::units::Decimal;

/// The kind of the log entry that holds a [`Handover`].
pub const RELEASED: &str = "released";

/// The kind of the log entry that holds a [`Cosigned`].
pub const COSIGNED: &str = "cosigned";

/// Who may sign a load of dangerous goods away: the roles that are trained for its carriage.
pub const GIVERS: [Role; 3] = [Role::Packer, Role::ComplianceOfficer, Role::Driver];

/// What asks for that training.
pub const GIVERS_CLAUSE: &str =
    "ADR 2025, 1.3.1 (unofficial translation); 49 CFR 172.702 (from memory)";

/// A firm or household that gives or takes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Organisation {
    /// Name.
    pub name: String,
    /// Address.
    pub address: String,
    /// Country, two letters (ISO 3166-1).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub country: Option<String>,
}

/// How the goods are kept by whoever has them: the five cases in which custody exists (EPA
/// Region V, chain of custody manual, August 1978). Anything else is a gap in custody.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Keeping {
    /// In somebody's physical possession.
    InHand,
    /// In somebody's view after being in possession.
    InSight,
    /// Locked up by whoever had it.
    LockedUp,
    /// In an area that only authorised people may enter.
    RestrictedArea,
    /// Under a custody seal that is unbroken.
    UnbrokenSeal,
}

impl Keeping {
    /// All cases, in the order of the manual.
    pub const ALL: [Self; 5] = [
        Self::InHand,
        Self::InSight,
        Self::LockedUp,
        Self::RestrictedArea,
        Self::UnbrokenSeal,
    ];

    /// The name in files and on the command line.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::InHand => "in_hand",
            Self::InSight => "in_sight",
            Self::LockedUp => "locked_up",
            Self::RestrictedArea => "restricted_area",
            Self::UnbrokenSeal => "unbroken_seal",
        }
    }

    /// The case of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.name() == name)
    }

    /// The words on papers.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::InHand => "in hand",
            Self::InSight => "in sight",
            Self::LockedUp => "locked up",
            Self::RestrictedArea => "in a restricted area",
            Self::UnbrokenSeal => "under an unbroken seal",
        }
    }
}

/// One hand-over: what left, as the giver knew it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Handover {
    /// From 1 in a job.
    pub number: u32,
    /// Name of the job, as in its plan.
    pub job: String,
    /// When.
    pub at: Moment,
    /// Where.
    pub place: String,
    /// Who gives.
    pub from: Organisation,
    /// The person who gives.
    pub released_by: String,
    /// For whom the load is meant.
    pub to: Organisation,
    /// The person who takes: driver, or somebody of the receiver.
    pub taken_by: String,
    /// The firm of that person, where it is not `to`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken_by_organisation: Option<String>,
    /// Registration of the vehicle it is loaded on, where it was said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vehicle: Option<String>,
    /// What the load is carried for, a word of `battery::Purpose`.
    pub purpose: String,
    /// How it is kept from here; absent where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kept: Option<Keeping>,
    /// Warmest place on the outside of all packages, where only that was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub warmest_c: Option<Decimal>,
    /// Every package.
    pub packages: Vec<HandedPackage>,
    /// Every paper that goes with it.
    pub papers: Vec<PaperHanded>,
    /// What else was said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

/// A package handed over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HandedPackage {
    /// Its id in the job.
    pub id: String,
    /// Number of the logistic unit on its label, 18 digits (GS1), where the giver has a company
    /// prefix.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sscc: Option<String>,
    /// Number of its seal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<String>,
    /// Mass of what is in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net_mass_kg: Option<Decimal>,
    /// Mass with packaging.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross_mass_kg: Option<Decimal>,
    /// Condition in words.
    pub condition: String,
    /// Warmest place on its outside at the hand-over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface_temperature_c: Option<Decimal>,
    /// What is in it.
    pub modules: Vec<HandedModule>,
}

/// A module handed over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HandedModule {
    /// Serial as read, or the serial that the job gave it.
    pub identity: String,
    /// Whether the serial was read from the module itself.
    pub serial_readable: bool,
    /// Chemistry, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chemistry: Option<String>,
    /// Electrodes, where the job says so: what the curves of a cell go by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell_kind: Option<CellKind>,
    /// A word of `battery::Soundness`.
    pub soundness: String,
    /// Rated energy, Wh.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_energy_wh: Option<Decimal>,
    /// Mass without packaging.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net_mass_kg: Option<Decimal>,
    /// Lower bound of the state of charge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state_of_charge_low_percent: Option<Decimal>,
    /// Upper bound of the state of charge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state_of_charge_high_percent: Option<Decimal>,
    /// Last temperature of its own face, before it was packed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface_temperature_c: Option<Decimal>,
    /// UN number on the first leg.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub un: Option<String>,
    /// Proper shipping name on the first leg.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shipping_name: Option<String>,
    /// Why it must be held apart, where the job says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hold: Option<String>,
    /// The last entry of the giver's log that is about this module.
    pub last_entry: LeafRef,
}

/// A paper that goes with the load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PaperHanded {
    /// File name.
    pub name: String,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
    /// Issue of the papers that it belongs to.
    pub issue: u32,
}

/// An entry of some log, named so that nobody can put another in its place.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LeafRef {
    /// Origin of the log.
    pub log: String,
    /// Place in it, from 0.
    pub seq: u64,
    /// Hash of the leaf, lower-case hexadecimal.
    pub leaf_hash: String,
}

/// The state of a log at some time: how many entries it had, and the root over them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LogState {
    /// Entries.
    pub size: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
}

/// The body of a `cosigned` entry: the receiver's device has signed the giver's checkpoint.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cosigned {
    /// Number of the hand-over that it answers.
    pub handover: u32,
    /// Name of the receiver's key.
    pub by: String,
    /// Entries of the giver's log that the signature covers.
    pub size: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
    /// When the receiver's device signed, by its own clock.
    pub at: Moment,
    /// The signed note whole, so that nothing else is needed to check it.
    pub note: String,
    /// The person who takes the load, as the receiver's device says; absent where it named nobody.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken: Option<Taken>,
}

impl LeafRef {
    /// The hash; `None` where it is not 64 hexadecimal digits.
    #[must_use]
    pub fn hash(&self) -> Option<Hash> {
        from_hex(&self.leaf_hash)?.try_into().ok()
    }
}

impl Handover {
    /// Every module with the package it is in.
    pub fn modules(&self) -> impl Iterator<Item = (&HandedPackage, &HandedModule)> {
        self.packages
            .iter()
            .flat_map(|package| package.modules.iter().map(move |module| (package, module)))
    }

    /// How warm a package was at most when it left: its own reading, else the warmest of all.
    #[must_use]
    pub fn warmest_of(&self, package: &HandedPackage) -> Option<Decimal> {
        package.surface_temperature_c.or(self.warmest_c)
    }

    /// The module of that identity and its package.
    #[must_use]
    pub fn module(&self, identity: &str) -> Option<(&HandedPackage, &HandedModule)> {
        self.modules()
            .find(|(_, module)| module.identity == identity)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_of_keeping_returns_from_its_name() {
        for kept in Keeping::ALL {
            assert_eq!(Keeping::named(kept.name()), Some(kept));
            // The name on the command line is the one in the files.
            assert_eq!(serde_json::to_value(kept).unwrap(), kept.name());
        }
        assert_eq!(Keeping::named("on_the_dock"), None);
    }
}
