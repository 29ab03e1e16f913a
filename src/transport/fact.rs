//! The facts that a rule may look at, and how each is read.

use crate::battery::{Chemistry, Soundness};
use crate::transport::criteria::Value;
use crate::transport::facts::{ApprovalKind, BatteryMark, Facts, Relief};

/// A fact that a rule may look at.
///
/// INVARIANT: the number of a fact is its bit in a [`FactSet`](crate::transport::criteria::FactSet), so there are at most 64.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fact {
    /// Whether a competent authority's approval is in hand.
    AuthorityApproval,
    /// `item.casing`.
    Casing,
    /// `item.chemistry`; the word `unknown` counts as absent.
    Chemistry,
    /// `item.configuration`.
    Configuration,
    /// `item.rated_energy_wh`.
    Energy,
    /// `item.energy_marked_on_case`.
    EnergyMarked,
    /// `item.leaking`.
    Leaking,
    /// `item.made_on`.
    MadeOn,
    /// `item.net_mass_kg`.
    Mass,
    /// `on`.
    On,
    /// `package.kind`.
    PackageKind,
    /// `package.net_mass_kg`, or number times mass of one.
    PackageNet,
    /// `item.purpose`.
    Purpose,
    /// `item.recalled_for_safety`.
    Recalled,
    /// `item.soundness`; absent counts as undiagnosed.
    Soundness,
    /// `item.soundness` as stated; absent is not known. For rows that forbid.
    SoundnessStated,
    /// `item.still_a_battery`.
    StillABattery,
    /// `item.tested_type`.
    TestedType,
    /// `item.household_collected`.
    Household,
    /// `item.cell_casing_breached`.
    CasingBreached,
    /// `item.state_of_charge_percent.low`.
    ChargeLow,
    /// `item.state_of_charge_percent.high`.
    ChargeHigh,
    /// `package.gross_mass_kg`.
    PackageGross,
    /// `voyage.stowage`.
    Stowage,
    /// `voyage.short_international`.
    ShortVoyage,
    /// Whether State of Origin and State of the Operator have both approved.
    BothStatesApproval,
    /// Whether the State of Origin has approved.
    OriginApproval,
    /// Whether a special permit is in hand.
    SpecialPermit,
    /// Whether a multilateral agreement is quoted.
    Agreement,
    /// Whether an approval is quoted that has expired.
    ExpiredApproval,
    /// Whether the mark for small batteries shows a telephone number.
    BatteryMarkPhone,
    /// Whether materials of trade are claimed.
    ClaimsMaterialsOfTrade,
    /// Whether it is claimed that the owner carries it for no business.
    ClaimsNotInCommerce,
    /// Whether carriage beside one's own work is claimed.
    ClaimsOwnWork,
    /// Whether the relief for small batteries is claimed.
    ClaimsSmall,
    /// Whether the relief for shorted sodium ion batteries is claimed.
    ClaimsShorted,
    /// Whether the relief for small collected batteries is claimed.
    ClaimsCollection,
    /// Whether the relief for household equipment is claimed.
    ClaimsHousehold,
}

impl Fact {
    /// Every fact, in the order of its bit.
    pub const ALL: [Self; 38] = [
        Self::AuthorityApproval,
        Self::Casing,
        Self::Chemistry,
        Self::Configuration,
        Self::Energy,
        Self::EnergyMarked,
        Self::Leaking,
        Self::MadeOn,
        Self::Mass,
        Self::On,
        Self::PackageKind,
        Self::PackageNet,
        Self::Purpose,
        Self::Recalled,
        Self::Soundness,
        Self::SoundnessStated,
        Self::StillABattery,
        Self::TestedType,
        Self::Household,
        Self::CasingBreached,
        Self::ChargeLow,
        Self::ChargeHigh,
        Self::PackageGross,
        Self::Stowage,
        Self::ShortVoyage,
        Self::BothStatesApproval,
        Self::OriginApproval,
        Self::SpecialPermit,
        Self::Agreement,
        Self::ExpiredApproval,
        Self::BatteryMarkPhone,
        Self::ClaimsMaterialsOfTrade,
        Self::ClaimsNotInCommerce,
        Self::ClaimsOwnWork,
        Self::ClaimsSmall,
        Self::ClaimsShorted,
        Self::ClaimsCollection,
        Self::ClaimsHousehold,
    ];

    /// Its name in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::AuthorityApproval => "approvals",
            Self::Casing => "item.casing",
            Self::Chemistry => "item.chemistry",
            Self::Configuration => "item.configuration",
            Self::Energy => "item.rated_energy_wh",
            Self::EnergyMarked => "item.energy_marked_on_case",
            Self::Leaking => "item.leaking",
            Self::MadeOn => "item.made_on",
            Self::Mass => "item.net_mass_kg",
            Self::On => "on",
            Self::PackageKind => "package.kind",
            Self::PackageNet => "package.net_mass_kg",
            Self::Purpose => "item.purpose",
            Self::Recalled => "item.recalled_for_safety",
            Self::Soundness | Self::SoundnessStated => "item.soundness",
            Self::StillABattery => "item.still_a_battery",
            Self::TestedType => "item.tested_type",
            Self::Household => "item.household_collected",
            Self::CasingBreached => "item.cell_casing_breached",
            Self::ChargeLow => "item.state_of_charge_percent",
            Self::ChargeHigh => "item.state_of_charge_percent",
            Self::PackageGross => "package.gross_mass_kg",
            Self::Stowage => "voyage.stowage",
            Self::ShortVoyage => "voyage.short_international",
            Self::BothStatesApproval => "approvals",
            Self::OriginApproval => "approvals",
            Self::SpecialPermit => "approvals",
            Self::Agreement => "approvals",
            Self::ExpiredApproval => "approvals",
            Self::BatteryMarkPhone => "package.battery_mark",
            Self::ClaimsMaterialsOfTrade => "reliefs_claimed",
            Self::ClaimsNotInCommerce => "reliefs_claimed",
            Self::ClaimsOwnWork => "reliefs_claimed",
            Self::ClaimsSmall => "reliefs_claimed",
            Self::ClaimsShorted => "reliefs_claimed",
            Self::ClaimsCollection => "reliefs_claimed",
            Self::ClaimsHousehold => "reliefs_claimed",
        }
    }

    /// What to ask a person where it is missing.
    #[must_use]
    pub const fn question(self) -> &'static str {
        match self {
            Self::AuthorityApproval => "is an approval of a competent authority in hand, and which",
            Self::Casing => "is the casing strong and impact-resistant, and can that be shown",
            Self::Chemistry => "which chemistry does the nameplate or the maker state",
            Self::Configuration => "does the battery travel alone, or with or in its equipment",
            Self::Energy => "what rated energy in Wh does the nameplate state",
            Self::EnergyMarked => "does the energy in Wh stand on the outside of the case",
            Self::Leaking => "does liquid or gas leave the battery",
            Self::MadeOn => "when was the battery made",
            Self::Mass => "what does the battery weigh without packaging",
            Self::On => "on which day does it travel",
            Self::PackageKind => "what is it packed in",
            Self::PackageNet => "what do the batteries in the package weigh together",
            Self::Purpose => "what is the battery carried for",
            Self::Recalled => "has the maker or an authority named this battery unsafe",
            Self::Soundness | Self::SoundnessStated => {
                "what did the inspection find: sound, suspect, undiagnosed, damaged or critical"
            }
            Self::StillABattery => "can it still be charged or give power",
            Self::TestedType => "is there a UN 38.3 test summary for this battery as it is offered",
            Self::Household => "was it collected from private households",
            Self::CasingBreached => "is the casing of a single cell breached",
            Self::ChargeLow => "what is the state of charge, lowest and highest",
            Self::ChargeHigh => "what is the state of charge, lowest and highest",
            Self::PackageGross => "what does the closed package weigh",
            Self::Stowage => "does it stand on deck or under deck",
            Self::ShortVoyage => "is it a short international voyage",
            Self::BothStatesApproval => {
                "have the State of Origin and the State of the Operator approved it"
            }
            Self::OriginApproval => "has the State of Origin approved it",
            Self::SpecialPermit => "is a special permit in hand, and which",
            Self::Agreement => "which agreement of states is used",
            Self::ExpiredApproval => "until when is each approval good",
            Self::BatteryMarkPhone => "does the battery mark show a telephone number",
            Self::ClaimsMaterialsOfTrade => "which relief is claimed",
            Self::ClaimsNotInCommerce => "which relief is claimed",
            Self::ClaimsOwnWork => "which relief is claimed",
            Self::ClaimsSmall => "which relief is claimed",
            Self::ClaimsShorted => "which relief is claimed",
            Self::ClaimsCollection => "which relief is claimed",
            Self::ClaimsHousehold => "which relief is claimed",
        }
    }

    /// Its value in `facts`, or `None` where it is not known.
    #[must_use]
    pub fn value(self, facts: &Facts) -> Option<Value> {
        let item = &facts.item;
        match self {
            Self::AuthorityApproval => Some(Value::Truth(
                facts.has_approval(ApprovalKind::CompetentAuthority),
            )),
            Self::Casing => item.casing.map(Value::Casing),
            Self::Chemistry => item
                .chemistry
                .filter(|chemistry| *chemistry != Chemistry::Unknown)
                .map(Value::Chemistry),
            Self::Configuration => item.configuration.map(Value::Configuration),
            Self::Energy => item
                .rated_energy_wh
                .map(|energy| Value::Thousandths(energy.as_thousandths())),
            Self::EnergyMarked => item.energy_marked_on_case.map(Value::Truth),
            Self::Leaking => item.leaking.map(Value::Truth),
            Self::MadeOn => item.made_on.map(Value::Day),
            Self::Mass => item
                .net_mass_kg
                .map(|mass| Value::Thousandths(mass.as_thousandths())),
            Self::On => facts.on.map(Value::Day),
            Self::PackageKind => facts
                .package
                .as_ref()
                .and_then(|package| package.kind)
                .map(Value::PackageKind),
            Self::PackageNet => facts
                .package_net()
                .map(|mass| Value::Thousandths(mass.as_thousandths())),
            Self::Purpose => item.purpose.map(Value::Purpose),
            Self::Recalled => item.recalled_for_safety.map(Value::Truth),
            Self::Soundness => Some(Value::Soundness(
                item.soundness.unwrap_or(Soundness::Undiagnosed),
            )),
            Self::SoundnessStated => item.soundness.map(Value::Soundness),
            Self::StillABattery => item.still_a_battery.map(Value::Truth),
            Self::TestedType => item.tested_type.map(Value::Truth),
            Self::Household => item.household_collected.map(Value::Truth),
            Self::CasingBreached => item.cell_casing_breached.map(Value::Truth),
            Self::ChargeLow => item
                .state_of_charge_percent
                .map(|charge| Value::Thousandths(charge.low.as_thousandths())),
            Self::ChargeHigh => item
                .state_of_charge_percent
                .map(|charge| Value::Thousandths(charge.high.as_thousandths())),
            Self::PackageGross => facts
                .package
                .as_ref()
                .and_then(|package| package.gross_mass_kg)
                .map(|mass| Value::Thousandths(mass.as_thousandths())),
            Self::Stowage => facts
                .voyage
                .as_ref()
                .and_then(|voyage| voyage.stowage)
                .map(Value::Stowage),
            Self::ShortVoyage => facts
                .voyage
                .as_ref()
                .and_then(|voyage| voyage.short_international)
                .map(Value::Truth),
            Self::BothStatesApproval => Some(Value::Truth(
                facts.has_approval(ApprovalKind::StateOfOrigin)
                    && facts.has_approval(ApprovalKind::StateOfTheOperator),
            )),
            Self::OriginApproval => Some(Value::Truth(
                facts.has_approval(ApprovalKind::StateOfOrigin),
            )),
            Self::SpecialPermit => Some(Value::Truth(
                facts.has_approval(ApprovalKind::SpecialPermit),
            )),
            Self::Agreement => Some(Value::Truth(
                facts.has_approval(ApprovalKind::MultilateralAgreement),
            )),
            Self::ExpiredApproval => Some(Value::Truth(facts.quotes_expired_approval())),
            Self::BatteryMarkPhone => facts
                .package
                .as_ref()
                .and_then(|package| package.battery_mark)
                .map(|mark| Value::Truth(mark == BatteryMark::WithTelephone)),
            Self::ClaimsMaterialsOfTrade => {
                Some(Value::Truth(facts.claims(Relief::MaterialsOfTrade)))
            }
            Self::ClaimsNotInCommerce => Some(Value::Truth(facts.claims(Relief::NotInCommerce))),
            Self::ClaimsOwnWork => Some(Value::Truth(facts.claims(Relief::OwnWork))),
            Self::ClaimsSmall => Some(Value::Truth(facts.claims(Relief::Sp188))),
            Self::ClaimsShorted => Some(Value::Truth(facts.claims(Relief::Sp400))),
            Self::ClaimsCollection => Some(Value::Truth(facts.claims(Relief::Sp636))),
            Self::ClaimsHousehold => Some(Value::Truth(facts.claims(Relief::Sp670))),
        }
    }

    pub(super) const fn bit(self) -> u64 {
        1 << (self as u8)
    }
}
