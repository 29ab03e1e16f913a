//! `site.json`: a place that receives batteries, its bays with their limits, and its people.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::procedure::{Person, Role};
use crate::units::{Decimal, Grams};
use crate::written::{Written, WrittenError};

/// Whose storage and waste law a site stands under.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Region {
    /// United States: universal waste, 40 CFR 273.
    Us,
    /// European Union: Regulation (EU) 2023/1542, Annex XII.
    Eu,
    /// Elsewhere: only the site's own limits are counted.
    Other,
}

/// What a bay is for.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum BayKind {
    /// Sound goods.
    Normal,
    /// Held goods, apart from sound ones, in a fire compartment.
    Hold,
    /// Held goods outdoors.
    Outdoor,
}

impl BayKind {
    /// The word on a page.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Hold => "hold",
            Self::Outdoor => "outdoor",
        }
    }
}

/// Most that may stand in one place. An absent limit is none.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// Pieces: modules.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pieces: Option<u32>,
    /// Net mass of the modules.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<Grams>,
    /// Rated energy; charge is not subtracted, since it may be full.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub energy_kwh: Option<Decimal>,
    /// Volume of the containers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_m3: Option<Decimal>,
    /// Who set them: permit, fire code, insurer. Shown with each refusal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// A place inside or outside the building.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bay {
    /// Short name, as on the floor.
    pub id: String,
    /// What it is for.
    pub kind: BayKind,
    /// Where it is, for somebody who comes through the gate: "hall 1, north wall".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Most that may stand there.
    #[serde(default)]
    pub limits: Limits,
    /// Distances to what else can burn, with the figure: "16 m to hall 2, no roof".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub distances: Vec<String>,
    /// What the EU asks of a store of waste batteries; what is absent is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub store: Option<StoreDuties>,
}

/// Answers to Regulation (EU) 2023/1542, Annex XII part A (second-hand), for one bay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StoreDuties {
    /// A hard floor that lets nothing through.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hard_floor: Option<bool>,
    /// Under cover, or in suitable containers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weather_cover: Option<bool>,
    /// Kept from metal and from what burns.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nothing_conductive_or_burnable: Option<bool>,
    /// Away from heat, water and crushing, and well aired.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cool_dry_aired: Option<bool>,
    /// In the normal fitted position, never upside down, covered with insulating rubber.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upright_and_covered: Option<bool>,
    /// A warning sign on the store.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub warning_sign: Option<bool>,
}

impl StoreDuties {
    /// Each duty with its answer.
    #[must_use]
    pub const fn answers(self) -> [(&'static str, Option<bool>); 6] {
        [
            ("hard floor that lets nothing through", self.hard_floor),
            ("weather cover or suitable containers", self.weather_cover),
            (
                "apart from conductive and burnable waste",
                self.nothing_conductive_or_burnable,
            ),
            (
                "away from heat, water and crushing, well aired",
                self.cool_dry_aired,
            ),
            (
                "in the normal fitted position, covered with insulating rubber",
                self.upright_and_covered,
            ),
            ("warning sign on the store", self.warning_sign),
        ]
    }
}

/// What the site itself sets for all its bays together.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SiteLimits {
    /// Most on the whole site, what stands at the dock included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_site: Option<Limits>,
    /// Longest stay of a module in days; a shorter one of law wins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longest_stay_days: Option<u32>,
    /// Days to settle a discrepancy; a shorter one of law wins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub discrepancy_days: Option<u32>,
    /// US: the authority was told that 5,000 kg of universal waste will be reached (40 CFR
    /// 273.32).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub large_handler_notified: Option<bool>,
}

/// A place that receives.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// Form of this file, `1.0`.
    pub format: String,
    /// Short name of the site; begins the temporary identities it gives.
    pub site: String,
    /// Whether it is invented: its ledger is then signed with the public demo key.
    #[serde(default)]
    pub demo: bool,
    /// Name on papers.
    pub name: String,
    /// Address on papers.
    pub address: String,
    /// Country, two letters (ISO 3166-1).
    pub country: String,
    /// Whose law it stands under.
    pub region: Region,
    /// Who answers at any hour, for the fire service.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub emergency_telephone: Option<String>,
    /// People, with what each was shown able to do and until when.
    pub people: Vec<Person>,
    /// Bays.
    pub bays: Vec<Bay>,
    /// The site's own limits.
    #[serde(default)]
    pub limits: SiteLimits,
}

impl Site {
    /// Reads `site.json`. Repeated and unknown fields are refused by name.
    ///
    /// # Errors
    /// Text that is not a site, a site of another form, or one that contradicts itself.
    pub fn read(text: &str) -> Result<Self, WrittenError> {
        Self::read_written(text)
    }

    /// The bay of that name.
    #[must_use]
    pub fn bay(&self, id: &str) -> Option<&Bay> {
        self.bays.iter().find(|bay| bay.id == id)
    }

    /// Why `id` is no bay, with those that there are.
    #[must_use]
    pub fn no_such_bay(&self, id: &str) -> Reason {
        let known: Vec<&str> = self.bays.iter().map(|bay| bay.id.as_str()).collect();
        Reason::new("bay", format!("`{id}`"))
            .limit(known.join(", "))
            .clause("site.json, bays")
            .way_out("name one of these")
    }

    /// The person of that name, with a competence for one of `roles` on `day`.
    ///
    /// # Errors
    /// Why that person may not.
    pub fn competent(
        &self,
        id: &str,
        roles: &[Role],
        day: NaiveDate,
        to_do: &str,
    ) -> Result<&Person, Reason> {
        let limit = format!("{} in date on {day}", Role::any_of(roles));
        let may: Vec<&str> = self
            .people
            .iter()
            .filter(|person| person.competence(roles, day).is_some())
            .map(|person| person.id.as_str())
            .collect();
        let way_out = if may.is_empty() {
            "nobody of this site may: train a person and enter it".to_owned()
        } else {
            format!(
                "one of these does it: {}; or the person is trained and entered",
                may.join(", ")
            )
        };
        let no = |value: String| {
            Reason::new(format!("who may {to_do}"), value)
                .limit(limit.clone())
                .clause("site.json, people")
                .way_out(way_out.clone())
        };
        let Some(person) = self.people.iter().find(|person| person.id == id) else {
            return Err(no(format!("`{id}` is nobody of this site")));
        };
        if person.competence(roles, day).is_some() {
            return Ok(person);
        }
        let expired = person
            .competences
            .iter()
            .filter(|one| roles.contains(&one.role))
            .map(|one| format!("{} until {}", one.role.words(), one.expires_on))
            .next_back();
        Err(no(match expired {
            Some(expired) => format!("{id}: {expired}"),
            None => format!("{id} has no such competence"),
        }))
    }
}

impl Written for Site {
    const WHAT: &'static str = "site";

    fn format(&self) -> &str {
        &self.format
    }

    fn faults(&self) -> Vec<Reason> {
        let mut faults = Vec::new();
        let mut fault = |what: &str, value: String, limit: &str| {
            faults.push(
                Reason::new(what, value)
                    .limit(limit)
                    .way_out("put site.json right"),
            );
        };
        let plain = |name: &str, most: usize| {
            !name.is_empty()
                && name.len() <= most
                && name
                    .bytes()
                    .all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b))
        };
        if !plain(&self.site, 20) {
            fault(
                "site",
                format!("`{}`", self.site.chars().take(40).collect::<String>()),
                "letters, digits, hyphen, 1 to 20 of them",
            );
        }
        if self.bays.is_empty() {
            fault("bays", "none".into(), "one or more");
        }
        if !self.bays.iter().any(|bay| bay.kind != BayKind::Normal) {
            fault(
                "bays",
                "no bay of kind hold or outdoor".into(),
                "one at least, so that a suspect module has a place to stand apart",
            );
        }
        let mut seen = BTreeSet::new();
        for bay in &self.bays {
            if !plain(&bay.id, 40) || !seen.insert(&bay.id) {
                fault(
                    "bays.id",
                    format!("`{}`", bay.id),
                    "letters, digits, hyphen, and each only once",
                );
            }
        }
        let mut seen = BTreeSet::new();
        for person in &self.people {
            if person.id.trim().is_empty() || !seen.insert(&person.id) {
                fault(
                    "people.id",
                    format!("`{}`", person.id),
                    "not empty, and each only once",
                );
            }
        }
        let all = self
            .bays
            .iter()
            .map(|bay| (bay.id.as_str(), &bay.limits))
            .chain(self.limits.on_site.iter().map(|one| ("on_site", one)));
        for (place, limits) in all {
            let negative = |value: Option<Decimal>| value.is_some_and(|v| v < Decimal::whole(0));
            let too_fine =
                |value: Option<Decimal>| value.is_some_and(|v| v.thousandths().is_none());
            let mass = limits.mass_kg.map(Grams::decimal);
            for (what, value) in [
                ("mass_kg", mass),
                ("energy_kwh", limits.energy_kwh),
                ("volume_m3", limits.volume_m3),
            ] {
                if negative(value) || too_fine(value) {
                    fault(
                        &format!("limits of {place}: {what}"),
                        value.map(|v| v.to_string()).unwrap_or_default(),
                        "0 or more, no finer than a thousandth",
                    );
                }
            }
        }
        faults
    }
}
