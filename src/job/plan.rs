//! `job.json`: what is to be removed, by whom, with what, and where it goes.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::package_numbers::Gs1;
use super::plan_figures::impossible;
use crate::battery::{Installation, Module, Purpose, Variant};
use crate::citation::Reason;
use crate::inspection::Instrument;
use crate::physics::{Draws, MakerCurve};
use crate::procedure::Person;
use crate::transport::{Approval, Mode, Regime};
use crate::units::Decimal;
use crate::written::{Written, WrittenError};

/// A place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// What it is called.
    pub name: String,
    /// Address on papers.
    pub address: String,
    /// Country, two letters (ISO 3166-1).
    pub country: String,
}

/// A firm or person on the papers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Party {
    /// Name.
    pub name: String,
    /// Address.
    pub address: String,
    /// Telephone answered all the time the goods are on the way, where the law asks for one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub emergency_telephone: Option<String>,
}

/// One leg of the route.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Leg {
    /// Body of rules.
    pub regime: Regime,
    /// How it is travelled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<Mode>,
    /// Day of carriage; the planned day where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<NaiveDate>,
    /// From where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// To where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
    /// Whether it relies on the relief for small loads (ADR 1.1.3.6), with nothing else aboard;
    /// the transport document then gives the points.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub small_load: Option<bool>,
}

/// The plan of a removal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Form of this file, `1.0`.
    pub format: String,
    /// Name of the job.
    pub job: String,
    /// Whether it is invented: its ledger is then signed with the public demo key, which proves
    /// nothing, and every paper says so.
    #[serde(default)]
    pub demo: bool,
    /// What the battery is carried for.
    pub purpose: Purpose,
    /// Day of the visit.
    pub planned_on: NaiveDate,
    /// Procedure by name; the one for the installation's variant where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub procedure: Option<String>,
    /// Optional steps that the plan leaves out, such as `C10`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<String>,
    /// Where.
    pub site: Site,
    /// Who hands over.
    pub consignor: Party,
    /// Who receives.
    pub consignee: Party,
    /// Who carries.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carrier: Option<Party>,
    /// Numbers for the packages, where whoever hands over has a GS1 company prefix.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gs1: Option<Gs1>,
    /// Whether packages carry orientation arrows. No rule asks for them on batteries; the maker or
    /// the carrier may.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub orientation_arrows: bool,
    /// The way it goes, leg by leg.
    pub route: Vec<Leg>,
    /// Approvals in hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub approvals: Vec<Approval>,
    /// The store.
    pub installation: Installation,
    /// Modules as expected.
    pub modules: Vec<Module>,
    /// People.
    pub people: Vec<Person>,
    /// Instruments, gloves and tools.
    pub instruments: Vec<Instrument>,
    /// The load that the crew brings, where a module is to be discharged before it travels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub discharge_load: Option<DischargeLoad>,
}

/// A load that a crew has.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DischargeLoad {
    /// What it is called, or its number.
    pub name: String,
    /// What it draws.
    pub draws: Draws,
    /// The most that it bears all the time, watts, by its plate.
    pub max_power_w: Decimal,
}

impl Plan {
    /// Reads `job.json`. Repeated and unknown fields are refused by name.
    ///
    /// # Errors
    /// Text that is not a plan, a plan of another form, or one that contradicts itself.
    pub fn read(text: &str) -> Result<Self, WrittenError> {
        Self::read_written(text)
    }

    /// The procedure that the plan asks for.
    #[must_use]
    pub fn procedure_name(&self) -> &str {
        self.procedure
            .as_deref()
            .unwrap_or(match self.installation.variant {
                Variant::AcCoupledStack => "ac-coupled-stack",
                Variant::DcCoupledHybrid => "dc-coupled-hybrid",
                Variant::Rack => "rack",
                Variant::DamagedPack => "damaged-pack",
            })
    }
}

impl Written for Plan {
    const WHAT: &'static str = "plan";

    fn format(&self) -> &str {
        &self.format
    }

    fn faults(&self) -> Vec<Reason> {
        let mut faults = Vec::new();
        let mut fault = |what: &str, value: String, limit: &str| {
            faults.push(
                Reason::new(what, value)
                    .limit(limit)
                    .way_out("put the plan right"),
            );
        };
        if self.job.is_empty()
            || self.job.len() > 60
            || !self
                .job
                .bytes()
                .all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b))
        {
            fault(
                "job",
                format!("`{}`", self.job.chars().take(60).collect::<String>()),
                "letters, digits, hyphen, 1 to 60 of them",
            );
        }
        if self.modules.is_empty() {
            fault("modules", "none".into(), "one or more");
        }
        if self.modules.len() > 2_000 {
            fault("modules", self.modules.len().to_string(), "2000 in one job");
        }
        if self.route.is_empty() {
            fault("route", "no leg".into(), "one leg or more");
        }
        if let Some(load) = &self.discharge_load {
            let (Draws::Resistor { ohm: draws }
            | Draws::Power { watt: draws }
            | Draws::Current { ampere: draws }) = load.draws;
            for (name, value) in [("draws", draws), ("max_power_w", load.max_power_w)] {
                if value <= Decimal::whole(0) {
                    fault(
                        &format!("discharge_load.{name}"),
                        value.to_string(),
                        "above 0, as its plate says",
                    );
                }
            }
        }
        if self.installation.sources.is_empty() {
            fault(
                "installation.sources",
                "none".into(),
                "the pack itself at least",
            );
        }
        let mut once = |what: &str, ids: Vec<&str>| {
            let mut seen = BTreeSet::new();
            for id in ids {
                if id.trim().is_empty() || !seen.insert(id) {
                    fault(what, format!("`{id}`"), "not empty, and each only once");
                }
            }
        };
        once(
            "modules.id",
            self.modules.iter().map(|m| m.id.as_str()).collect(),
        );
        once(
            "modules.serial",
            self.modules
                .iter()
                .filter_map(|m| m.serial.as_deref())
                .collect(),
        );
        once(
            "people.id",
            self.people.iter().map(|p| p.id.as_str()).collect(),
        );
        once(
            "instruments.serial",
            self.instruments.iter().map(|i| i.serial.as_str()).collect(),
        );
        let sources = &self.installation.sources;
        once(
            "installation.sources.id",
            sources.iter().map(|s| s.id.as_str()).collect(),
        );
        let devices: Vec<_> = self
            .installation
            .isolating_devices
            .iter()
            .map(|d| d.id.as_str())
            .collect();
        once("installation.isolating_devices.id", devices.clone());
        let mut positions: Vec<_> = self.modules.iter().map(|m| m.position).collect();
        positions.sort_unstable();
        if positions
            .windows(2)
            .any(|pair| matches!(pair, [a, b] if a == b))
        {
            fault(
                "modules.position",
                format!("{positions:?}"),
                "each place only once",
            );
        }
        for source in sources {
            if !devices.contains(&source.isolating_device.as_str()) {
                fault(
                    "installation.sources.isolating_device",
                    format!("`{}` of source `{}`", source.isolating_device, source.id),
                    "the id of one of the isolating devices",
                );
            }
        }
        if let Some(Err(why)) = self
            .installation
            .cell_curve_csv
            .clone()
            .map(|csv| MakerCurve::Csv(csv).read())
        {
            fault("installation.cell_curve_csv", why.value, &why.domain);
        }
        if let Some(gs1) = &self.gs1 {
            faults.extend(gs1.faults(self.demo, self.modules.len()));
        }
        faults.extend(impossible(self));
        faults
    }
}
