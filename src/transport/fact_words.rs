//! The words that facts are said in.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The body of rules that one leg of the way stands under.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Regime {
    /// Road in Europe.
    Adr,
    /// Air: ICAO Technical Instructions and IATA.
    Air,
    /// United States, every mode.
    Cfr49,
    /// Sea.
    Imdg,
    /// Rail in Europe.
    Rid,
}

impl Regime {
    /// The only mode of the regime; `None` where it has several and the facts must say which.
    #[must_use]
    pub const fn only_mode(self) -> Option<Mode> {
        match self {
            Self::Adr => Some(Mode::Road),
            Self::Rid => Some(Mode::Rail),
            Self::Imdg => Some(Mode::Sea),
            Self::Air | Self::Cfr49 => None,
        }
    }

    /// The name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Adr => "adr",
            Self::Air => "air",
            Self::Cfr49 => "cfr49",
            Self::Imdg => "imdg",
            Self::Rid => "rid",
        }
    }
}

/// How one leg is travelled.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Mode {
    /// Aircraft without passengers.
    CargoAircraft,
    /// Aircraft with passengers.
    PassengerAircraft,
    /// Railway.
    Rail,
    /// Road, highway.
    Road,
    /// Vessel.
    Sea,
}

impl Mode {
    /// The name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::CargoAircraft => "cargo_aircraft",
            Self::PassengerAircraft => "passenger_aircraft",
            Self::Rail => "rail",
            Self::Road => "road",
            Self::Sea => "sea",
        }
    }
}

/// Whether the battery travels by itself or with what it feeds.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Configuration {
    /// By itself; also a store whose only task is to feed something else.
    Alone,
    /// Inside the equipment that it makes run.
    ContainedInEquipment,
    /// Installed in a container or vehicle body that feeds something outside it.
    InCargoTransportUnit,
    /// Beside the equipment that it makes run.
    PackedWithEquipment,
}

/// What stands around the battery.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum PackageKind {
    /// Large packaging with a UN mark (codes 50 and 51).
    LargePackaging,
    /// Nothing.
    None,
    /// Crate with open sides.
    OpenCrate,
    /// Pallet or other handling device.
    Pallet,
    /// Enclosure such as a closed or slatted wooden crate.
    ProtectiveEnclosure,
    /// Strong outer packaging without a UN mark.
    StrongOuter,
    /// Drum, jerrican or box with a UN mark.
    UnPackaging,
}

/// Where cargo stands on a vessel.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Stowage {
    /// On deck.
    OnDeck,
    /// Under deck.
    UnderDeck,
}

/// Who gave a permission.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ApprovalKind {
    /// Competent authority of a state; in the United States the Associate Administrator.
    CompetentAuthority,
    /// Multilateral or bilateral agreement of states.
    MultilateralAgreement,
    /// Special permit (United States).
    SpecialPermit,
    /// State of origin, for air.
    StateOfOrigin,
    /// State of the operator, for air.
    StateOfTheOperator,
}

/// A way out of the full rules that somebody means to take.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Relief {
    /// Materials of trade (49 CFR 173.6).
    MaterialsOfTrade,
    /// The owner's own carriage, for no business (49 CFR 171.1).
    NotInCommerce,
    /// Carriage beside a firm's main work (ADR/RID 1.1.3.1 c).
    OwnWork,
    /// Small batteries (SP 188).
    Sp188,
    /// Sodium ion batteries shorted so that they hold no energy (SP 400).
    Sp400,
    /// Small batteries collected for sorting, disposal or recycling (SP 636).
    Sp636,
    /// Batteries in equipment from households (SP 670).
    Sp670,
}

/// The mark for small batteries, with red hatching.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum BatteryMark {
    /// As it is since 2025.
    WithoutTelephone,
    /// The older form, with a telephone number.
    WithTelephone,
}

impl Configuration {
    /// The name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Alone => "alone",
            Self::ContainedInEquipment => "contained_in_equipment",
            Self::InCargoTransportUnit => "in_cargo_transport_unit",
            Self::PackedWithEquipment => "packed_with_equipment",
        }
    }
}

impl PackageKind {
    /// The name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::LargePackaging => "large_packaging",
            Self::None => "none",
            Self::OpenCrate => "open_crate",
            Self::Pallet => "pallet",
            Self::ProtectiveEnclosure => "protective_enclosure",
            Self::StrongOuter => "strong_outer",
            Self::UnPackaging => "un_packaging",
        }
    }
}
