//! What is said about one battery, its package and its way: the input of every decision. A fact
//! that is absent is not known, and is never taken for a yes.

use std::fmt;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::battery::{Casing, Cathode, Chemistry, Purpose, Soundness};
pub use crate::transport::fact_words::{
    ApprovalKind, BatteryMark, Configuration, Mode, PackageKind, Regime, Relief, Stowage,
};
use crate::units::{Grams, MilliPercent, MilliwattHours};

/// Lowest and highest state of charge that the readings allow, in per cent of rated capacity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StateOfCharge {
    /// Lowest.
    pub low: MilliPercent,
    /// Highest.
    pub high: MilliPercent,
}

/// The battery itself.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Item {
    /// Electrochemical family.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chemistry: Option<Chemistry>,
    /// Positive electrode.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cathode: Option<Cathode>,
    /// Rated energy of the battery as offered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rated_energy_wh: Option<MilliwattHours>,
    /// Mass without packaging.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub net_mass_kg: Option<Grams>,
    /// Casing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub casing: Option<Casing>,
    /// Whether the battery, as offered, is of a type proven under UN Manual 38.3.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tested_type: Option<bool>,
    /// Date of manufacture.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made_on: Option<NaiveDate>,
    /// Whether the energy in Wh stands on the outside of the case.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub energy_marked_on_case: Option<bool>,
    /// Whether it travels by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub configuration: Option<Configuration>,
    /// Condition in transport terms; absent counts as undiagnosed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub soundness: Option<Soundness>,
    /// Whether the maker or an authority has named it unsafe.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub recalled_for_safety: Option<bool>,
    /// Whether it still meets the definition of a battery; absent counts as yes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub still_a_battery: Option<bool>,
    /// Whether liquid or gas leaves it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leaking: Option<bool>,
    /// State of charge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub state_of_charge_percent: Option<StateOfCharge>,
    /// What it is carried for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub purpose: Option<Purpose>,
    /// Whether it was collected, as waste, from private households.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub household_collected: Option<bool>,
    /// Whether the casing of a single cell is breached.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cell_casing_breached: Option<bool>,
}

/// The inner packaging.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Inner {
    /// One battery in each.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub each_alone: Option<bool>,
    /// It encloses the battery on all sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fully_enclosed: Option<bool>,
    /// It is not of metal.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub non_metallic: Option<bool>,
    /// No liquid leaves it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leakproof: Option<bool>,
}

/// What fills the space around the inner packaging.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Cushioning {
    /// It does not burn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub non_combustible: Option<bool>,
    /// It does not conduct electricity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub non_conductive: Option<bool>,
    /// It takes up liquid.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub absorbent: Option<bool>,
    /// It holds heat back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thermal_insulation: Option<bool>,
}

/// What the verification report of a package for critical batteries covers.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Verified {
    /// Number of the report.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub report: Option<String>,
    /// Battery types it names.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub types: Option<Vec<String>>,
    /// Most batteries in one package.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_items: Option<u32>,
    /// Most energy in one package.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_energy_wh: Option<MilliwattHours>,
    /// Highest state of charge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_state_of_charge_percent: Option<MilliPercent>,
}

/// A mark as it stands on the package.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MarkShown {
    /// The words.
    pub text: String,
    /// Height of the letters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<u32>,
}

/// The package.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Package {
    /// What it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<PackageKind>,
    /// The UN mark, as one text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mark: Option<String>,
    /// Batteries inside.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub items: Option<u32>,
    /// Mass of the batteries inside.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub net_mass_kg: Option<Grams>,
    /// Mass of the package as handed over.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gross_mass_kg: Option<Grams>,
    /// Inner packaging.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inner: Option<Inner>,
    /// Cushioning or insulation.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cushioning: Option<Cushioning>,
    /// Whether a metal outer has a lining that does not conduct.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub liner_non_conductive: Option<bool>,
    /// Whether the battery terminals cannot be short-circuited.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_circuit_protected: Option<bool>,
    /// Whether the contents cannot shift.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub secured: Option<bool>,
    /// Whether the battery terminals carry the weight of something above.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load_on_terminals: Option<bool>,
    /// Report of a package for critical batteries.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verified: Option<Verified>,
    /// Marks as they stand on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub marks: Option<Vec<MarkShown>>,
    /// Labels as they stand on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub labels: Option<Vec<String>>,
    /// The mark for small batteries, where it stands on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub battery_mark: Option<BatteryMark>,
    /// Day it was closed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub packed_on: Option<NaiveDate>,
}

/// A permission in hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Approval {
    /// Who gave it.
    pub kind: ApprovalKind,
    /// Its number.
    pub reference: String,
    /// Last day it is good for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expires_on: Option<NaiveDate>,
}

impl Approval {
    /// Whether it is of this kind, has a number, and is good on the day of carriage.
    #[must_use]
    pub fn is_good(&self, kind: ApprovalKind, on: Option<NaiveDate>) -> bool {
        self.kind == kind
            && !self.reference.trim().is_empty()
            && match (self.expires_on, on) {
                (None, _) => true,
                (Some(last), Some(on)) => on <= last,
                (Some(_), None) => false,
            }
    }
}

/// A sea leg.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Voyage {
    /// Whether it is a short international voyage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_international: Option<bool>,
    /// Where the cargo stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stowage: Option<Stowage>,
}

/// What is said about one battery on one leg.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Facts {
    /// Name of the battery in the record; comes back in the decision.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// Body of rules.
    pub regime: Regime,
    /// How the leg is travelled; `air` and `cfr49` need it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<Mode>,
    /// Day of carriage: it picks the edition.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<NaiveDate>,
    /// Country whose waste law holds, two letters (ISO 3166-1).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub country: Option<String>,
    /// The battery.
    #[serde(default)]
    pub item: Item,
    /// The package, where there is one yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub package: Option<Package>,
    /// Permissions in hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub approvals: Option<Vec<Approval>>,
    /// The sea leg.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voyage: Option<Voyage>,
    /// Ways out of the full rules that somebody means to take; absent means none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reliefs_claimed: Option<Vec<Relief>>,
}

impl Facts {
    /// Nothing known but the regime.
    #[must_use]
    pub fn new(regime: Regime) -> Self {
        Self {
            id: None,
            regime,
            mode: None,
            on: None,
            country: None,
            item: Item::default(),
            package: None,
            approvals: None,
            voyage: None,
            reliefs_claimed: None,
        }
    }

    /// Mass of the batteries in the package: as stated, or else number times mass of one.
    #[must_use]
    pub fn package_net(&self) -> Option<Grams> {
        let package = self.package.as_ref()?;
        package.net_mass_kg.or_else(|| {
            let one = self.item.net_mass_kg?.as_thousandths();
            one.checked_mul(i64::from(package.items?))
                .map(Grams::thousandths)
        })
    }

    /// Whether a permission of this kind is in hand and not expired on the day of carriage.
    #[must_use]
    pub fn has_approval(&self, kind: ApprovalKind) -> bool {
        let mut approvals = self.approvals.iter().flatten();
        approvals.any(|approval| approval.is_good(kind, self.on))
    }
}

impl Facts {
    /// Whether a permission is quoted that had expired on the day of carriage.
    #[must_use]
    pub fn quotes_expired_approval(&self) -> bool {
        self.approvals.iter().flatten().any(|approval| {
            approval
                .expires_on
                .zip(self.on)
                .is_some_and(|(last, on)| last < on)
        })
    }

    /// Whether somebody means to take this way out of the full rules.
    #[must_use]
    pub fn claims(&self, relief: Relief) -> bool {
        self.reliefs_claimed
            .as_ref()
            .is_some_and(|claimed| claimed.contains(&relief))
    }
}

macro_rules! shown_by_name {
    ($($kind:ident)*) => {$(
        impl fmt::Display for $kind {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.name())
            }
        }
    )*};
}

shown_by_name! { Regime Mode Configuration PackageKind }

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_example_of_the_contract_reads_and_comes_back() {
        let text = r#"{"id":"m1","regime":"adr","mode":"road","on":"2026-11-25",
            "item":{"chemistry":"lithium_ion","cathode":"lfp","rated_energy_wh":5120,
              "net_mass_kg":48.0,"casing":"strong","tested_type":true,"made_on":"2021-05-01",
              "energy_marked_on_case":true,"configuration":"alone","soundness":"sound",
              "recalled_for_safety":false,"still_a_battery":true,"leaking":false,
              "state_of_charge_percent":{"low":20,"high":29},"purpose":"recycling"},
            "package":{"kind":"un_packaging","mark":"4D/X90/S/25/GB/1234","items":1,
              "net_mass_kg":48.0,"gross_mass_kg":71.0,
              "inner":{"each_alone":true,"fully_enclosed":true,"non_metallic":true,
                "leakproof":true},
              "cushioning":{"non_combustible":true,"non_conductive":true,"absorbent":true,
                "thermal_insulation":true},
              "liner_non_conductive":true,"short_circuit_protected":true,"secured":true,
              "load_on_terminals":false,
              "verified":{"report":"VR-12","types":["T1"],"max_items":1,"max_energy_wh":10000,
                "max_state_of_charge_percent":100},
              "marks":[{"text":"UN 3480","height_mm":12}],"labels":["9A"],
              "packed_on":"2026-11-25"},
            "approvals":[{"kind":"competent_authority","reference":"..."}],
            "voyage":{"short_international":false,"stowage":"on_deck"}}"#;
        let facts: Facts = serde_json::from_str(text).unwrap();
        let again: Facts = serde_json::from_str(&serde_json::to_string(&facts).unwrap()).unwrap();
        assert_eq!(facts, again);
        assert_eq!(facts.package_net(), Some(Grams::thousandths(48_000)));
        assert!(facts.has_approval(ApprovalKind::CompetentAuthority));
    }

    #[test]
    fn null_is_unknown_and_a_misspelt_name_is_refused() {
        let facts: Facts =
            serde_json::from_str(r#"{"regime":"adr","item":{"casing":null}}"#).unwrap();
        assert_eq!(facts, Facts::new(Regime::Adr));
        assert!(serde_json::from_str::<Facts>(r#"{"regime":"adr","item":{"mass":1}}"#).is_err());
        assert!(serde_json::from_str::<Facts>(r#"{"item":{}}"#).is_err());
    }
}
