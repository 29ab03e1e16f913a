//! Which family a battery belongs to, for the entry in the dangerous-goods list and the curves.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The electrochemical family. `Unknown` takes the least favourable rule of all.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Chemistry {
    /// Lead and acid: out of scope, refused.
    LeadAcid,
    /// Rechargeable lithium and primary lithium in one battery.
    LithiumHybrid,
    /// Rechargeable lithium ion.
    LithiumIon,
    /// Lithium metal or alloy.
    LithiumMetal,
    /// Lithium ion and sodium ion in one battery: no rule was found.
    LithiumSodiumMixed,
    /// Nickel and metal hydride: out of scope, refused.
    NickelMetalHydride,
    /// Sodium ion with an aqueous alkali electrolyte.
    SodiumIonAqueous,
    /// Sodium ion with an organic electrolyte.
    SodiumIonOrganic,
    /// Metallic sodium.
    SodiumMetal,
    /// Not known.
    #[default]
    Unknown,
}

/// The positive electrode, where the plate or the maker says it.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Cathode {
    /// Lithium cobalt oxide.
    Lco,
    /// Lithium iron phosphate.
    Lfp,
    /// Lithium manganese oxide.
    Lmo,
    /// Lithium nickel cobalt aluminium oxide.
    Nca,
    /// Lithium nickel manganese cobalt oxide.
    Nmc,
    /// Not known.
    #[default]
    Unknown,
}

/// The negative electrode, where it is not the usual carbon; it decides the voltage of a cell.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Anode {
    /// Graphite, hard carbon, with or without silicon.
    #[default]
    Carbon,
    /// Lithium titanate (LTO): about 1.5 V less a cell.
    Titanate,
}

impl Anode {
    /// Whether it is the one that is taken where nothing is said.
    #[must_use]
    pub fn is_usual(&self) -> bool {
        *self == Self::Carbon
    }
}
