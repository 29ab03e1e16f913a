//! What is asked about a load and its vehicle, or about a unit for the sea or a consignment by air,
//! and the form of the answer.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize, Serializer, ser};

use crate::citation::Reason;
use crate::transport::decision::{Answer, RequirementDue, Words};
use crate::transport::facts::{Approval, ApprovalKind, Facts, Mode, Regime, Voyage};
use crate::units::{Decimal, Grams, MilliPercent};

/// A load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// Body of rules.
    pub regime: Regime,
    /// How it travels. Absent means the only mode of the regime, cargo aircraft for `air` and road
    /// for the United States.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<Mode>,
    /// Day of carriage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<NaiveDate>,
    /// The vehicle.
    #[serde(default)]
    pub vehicle: Vehicle,
    /// Whether it draws a trailer.
    #[serde(default)]
    pub trailer: bool,
    /// Category of the most restricted tunnel on the way, A to E.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tunnel: Option<Tunnel>,
    /// Whether the driver holds the certificate of 8.2.1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub driver_certificate: Option<bool>,
    /// United States: whether it was loaded at one site only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loaded_at_one_site: Option<bool>,
    /// United States: whether other freight is aboard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other_freight: Option<bool>,
    /// United States: whether it needs a hazardous waste manifest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hazardous_waste: Option<bool>,
    /// Sea: the voyage and where the unit stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voyage: Option<Voyage>,
    /// Placards on the outside, one for each side that has one, such as `9`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub placards: Option<Vec<String>>,
    /// Permissions in hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub approvals: Option<Vec<Approval>>,
    /// Everything dangerous aboard.
    pub goods: Vec<Goods>,
}

impl Load {
    /// Goods on a vehicle of which nothing is known yet, on the way that `leg` asks about.
    #[must_use]
    pub fn planned(leg: &Facts, goods: Vec<Goods>) -> Self {
        Self {
            regime: leg.regime,
            mode: leg.mode,
            on: leg.on,
            vehicle: Vehicle::default(),
            trailer: false,
            tunnel: None,
            driver_certificate: None,
            loaded_at_one_site: None,
            other_freight: None,
            hazardous_waste: None,
            voyage: None,
            placards: None,
            approvals: None,
            goods,
        }
    }

    /// Whether a permission of this kind is in hand and good on the day of carriage.
    #[must_use]
    pub fn has_approval(&self, kind: ApprovalKind) -> bool {
        let mut approvals = self.approvals.iter().flatten();
        approvals.any(|approval| approval.is_good(kind, self.on))
    }
}

/// The vehicle.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Vehicle {
    /// Greatest permissible mass, with its trailer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_mass_kg: Option<Grams>,
    /// Fire extinguishers aboard, by their filling.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub extinguishers_kg: Option<Vec<Grams>>,
    /// United States: whether a firm carries its own goods for a main business other than carriage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub private_carrier_for_own_trade: Option<bool>,
}

/// Tunnel category.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Tunnel {
    /// No restriction.
    A,
    /// B.
    B,
    /// C.
    C,
    /// D.
    D,
    /// All but limited quantities.
    E,
}

/// Where goods stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// On the trailer.
    Trailer,
    /// On the vehicle.
    #[default]
    Vehicle,
}

/// One kind of goods.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Goods {
    /// UN number.
    pub un: String,
    /// Mass of the articles without packaging.
    pub net_mass_kg: Grams,
    /// Mass with packaging.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross_mass_kg: Option<Grams>,
    /// Whether any of the batteries is critical.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub critical: Option<bool>,
    /// Whether any of the batteries is damaged, defective or recalled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub damaged: Option<bool>,
    /// Whether any of the batteries is waste, or for recycling or disposal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waste: Option<bool>,
    /// Air: the highest state of charge of any of the batteries, in per cent of rated capacity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charge_at_most_percent: Option<MilliPercent>,
    /// Where they stand.
    #[serde(default)]
    pub on: Standing,
    /// Transport category 0 to 4, for numbers that this program does not know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub category: Option<u8>,
    /// Labels, for numbers that this program does not know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub labels: Option<Vec<String>>,
    /// Net mass of the heaviest package.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heaviest_package_net_kg: Option<Grams>,
    /// Gross mass of the heaviest package.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heaviest_package_gross_kg: Option<Grams>,
}

/// The answer for a load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LoadAnswer {
    /// The answer.
    pub answer: Answer,
    /// The edition it was made by; empty where none is encoded for that day and mode.
    pub edition: Words,
    /// Hash of every row.
    pub rule_set: Words,
    /// Points of ADR 1.1.3.6; absent where they cannot be told or do not exist. A number in JSON.
    #[serde(serialize_with = "as_number")]
    pub points: Option<Decimal>,
    /// Whether the relief applies: small load in ADR, materials of trade in the United States.
    pub small_load: bool,
    /// Duties.
    pub requirements: Vec<RequirementDue>,
    /// What stands against it, or is not known.
    pub reasons: Vec<Reason>,
}

fn as_number<S: Serializer>(points: &Option<Decimal>, out: S) -> Result<S::Ok, S::Error> {
    points
        .map(|points| points.to_string().parse::<serde_json::Number>())
        .transpose()
        .map_err(ser::Error::custom)?
        .serialize(out)
}
