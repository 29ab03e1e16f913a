//! A receipt: what was expected, what was found at the dock, and the answer for each line.

use std::collections::BTreeMap;
use std::fmt;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::handover::{HandedModule, HandedPackage, Handover};
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::ledger::Photo;
use crate::units::Decimal;

/// What a line or a scan is about.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Subject {
    /// The whole load.
    Load,
    /// A package, by the name on its label.
    Package(String),
    /// A module, by its identity.
    Module(String),
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Load => f.write_str("load"),
            Self::Package(id) => write!(f, "package {id}"),
            Self::Module(identity) => f.write_str(identity),
        }
    }
}

/// A seal as it was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SealState {
    /// Whole.
    Intact,
    /// Broken, cut or opened.
    Broken,
    /// None where one should be.
    Missing,
}

impl SealState {
    /// The word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Intact => "intact",
            Self::Broken => "broken",
            Self::Missing => "missing",
        }
    }
}

/// A seal as it was found: its state, and its number where it was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SealFound {
    /// State.
    pub state: SealState,
    /// Number; absent where it was not read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
}

/// A photograph taken at the dock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DockPhoto {
    /// Its name in `photos/` of the register.
    pub file: String,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
}

impl From<&DockPhoto> for Photo {
    fn from(photo: &DockPhoto) -> Self {
        Self {
            file: photo.file.clone(),
            sha256: photo.sha256.clone(),
        }
    }
}

/// One scan at the dock: a code that was read, or facts that were seen. What is absent was not
/// looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Scan {
    /// What it is about.
    pub subject: Subject,
    /// What the scanner typed, where that is not the identity itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub code: Option<String>,
    /// Whether the thing itself was scanned now; facts added later are no second sight of it.
    pub sight: bool,
    /// Whether the identity was given here, since no serial could be read.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub temporary: bool,
    /// The package it stood in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub package: Option<String>,
    /// The seal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<SealFound>,
    /// Pieces counted: packages of the load, modules of a package.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Gross mass from the scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross_mass_kg: Option<Decimal>,
    /// Net mass from the scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net_mass_kg: Option<Decimal>,
    /// Hottest spot of the surface.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature_c: Option<Decimal>,
    /// Air beside it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_c: Option<Decimal>,
    /// Damage in words; an empty list says that it was looked for and none was seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub damage: Option<Vec<String>>,
    /// Codes of the catalogue, `F01` to `F37`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<String>,
    /// Volume of the container.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_m3: Option<Decimal>,
    /// Rated energy, from the plate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_energy_wh: Option<Decimal>,
    /// Chemistry, from the plate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chemistry: Option<String>,
    /// The number of an earlier scan that this one takes back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdraws: Option<u32>,
    /// Photographs of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<DockPhoto>,
    /// Remark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
}

impl Scan {
    /// A scan of `subject` and nothing else.
    #[must_use]
    pub const fn of(subject: Subject) -> Self {
        Self {
            subject,
            code: None,
            sight: true,
            temporary: false,
            package: None,
            seal: None,
            count: None,
            gross_mass_kg: None,
            net_mass_kg: None,
            temperature_c: None,
            air_c: None,
            damage: None,
            findings: Vec::new(),
            volume_m3: None,
            rated_energy_wh: None,
            chemistry: None,
            withdraws: None,
            photos: Vec::new(),
            remark: None,
        }
    }
}

/// The answer for one line. All but the first are discrepancies.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// As stated.
    Received,
    /// Stated and not seen.
    Missing,
    /// Seen and not stated.
    Unexpected,
    /// Seen damaged.
    Damaged,
    /// The seal is broken, or bears another number.
    SealBroken,
    /// There is no seal where one was stated.
    SealMissing,
    /// Hotter than it was sent.
    Hotter,
    /// The mass is not the stated one.
    MassOff,
    /// The same thing stands twice, or in two places.
    Twice,
}

impl Answer {
    /// The word on a page.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Received => "received",
            Self::Missing => "MISSING",
            Self::Unexpected => "UNEXPECTED",
            Self::Damaged => "DAMAGED",
            Self::SealBroken => "SEAL BROKEN",
            Self::SealMissing => "SEAL MISSING",
            Self::Hotter => "HOTTER",
            Self::MassOff => "MASS OFF",
            Self::Twice => "TWICE",
        }
    }

    /// The name in a file.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Received => "received",
            Self::Missing => "missing",
            Self::Unexpected => "unexpected",
            Self::Damaged => "damaged",
            Self::SealBroken => "seal_broken",
            Self::SealMissing => "seal_missing",
            Self::Hotter => "hotter",
            Self::MassOff => "mass_off",
            Self::Twice => "twice",
        }
    }

    /// Whether it changes how many pieces there are.
    #[must_use]
    pub const fn is_of_count(self) -> bool {
        matches!(self, Self::Missing | Self::Unexpected | Self::Twice)
    }
}

/// Facts of one side, by name with the unit: `gross_mass_kg` to `69.4`.
pub type Sides = BTreeMap<String, String>;

/// The answer for one expected or found thing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// What.
    pub subject: Subject,
    /// The package a module stands in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub package: Option<String>,
    /// One or more answers.
    pub answers: Vec<Answer>,
    /// How it was received: read by itself, or under an unbroken seal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub how: Option<String>,
    /// What the sender stated.
    pub sent: Sides,
    /// What was found.
    pub found: Sides,
    /// Why, for each answer that is not `received`.
    pub reasons: Vec<Reason>,
    /// A module's condition on arrival: the worse of what was stated and what was found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub soundness: Option<Soundness>,
    /// Why a module must be held, where it must.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hold: Option<String>,
}

impl Line {
    /// Whether it is as stated.
    #[must_use]
    pub fn is_as_stated(&self) -> bool {
        self.answers == [Answer::Received]
    }

    /// Whether the thing itself is here.
    #[must_use]
    pub fn is_here(&self) -> bool {
        !self.answers.contains(&Answer::Missing)
    }
}

/// A running period: why it runs, where that is written, its last day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Clock {
    /// What it is for.
    pub basis: String,
    /// Where that is written, and how it is known.
    pub clause: String,
    /// The last day.
    pub due: NaiveDate,
}

/// A difference between the two sides of a hand-over, with the facts of both.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Discrepancy {
    /// `RECEIPT/answer/subject`; the same difference has the same name.
    pub id: String,
    /// The receipt.
    pub receipt: String,
    /// What.
    pub subject: Subject,
    /// Which difference.
    pub answer: Answer,
    /// What the sender stated.
    pub sent: Sides,
    /// What was found.
    pub found: Sides,
    /// In words, with the limit and its owner.
    pub reason: Reason,
    /// When it was opened.
    pub opened_at: Moment,
    /// The period to settle it.
    pub clock: Clock,
}

/// What a hand-over leads one to expect.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expected<'h> {
    handover: &'h Handover,
}

impl<'h> Expected<'h> {
    /// The list that `handover` states.
    #[must_use]
    pub const fn from(handover: &'h Handover) -> Self {
        Self { handover }
    }

    /// The hand-over behind it.
    #[must_use]
    pub const fn handover(&self) -> &'h Handover {
        self.handover
    }

    /// The packages.
    #[must_use]
    pub fn packages(&self) -> &'h [HandedPackage] {
        &self.handover.packages
    }

    /// Each module with its package, in the order of the list.
    pub fn modules(&self) -> impl Iterator<Item = (&'h HandedPackage, &'h HandedModule)> {
        self.handover
            .packages
            .iter()
            .flat_map(|package| package.modules.iter().map(move |module| (package, module)))
    }

    /// How warm a package was at most when it left.
    #[must_use]
    pub fn warmest_of(&self, package: &HandedPackage) -> Option<Decimal> {
        self.handover.warmest_of(package)
    }

    /// The package of that name.
    #[must_use]
    pub fn package(&self, id: &str) -> Option<&'h HandedPackage> {
        let id = super::same_form(id);
        self.handover
            .packages
            .iter()
            .find(|package| super::same_form(&package.id) == id)
    }

    /// The module of that identity, with its package.
    #[must_use]
    pub fn module(&self, identity: &str) -> Option<(&'h HandedPackage, &'h HandedModule)> {
        let identity = super::same_form(identity);
        self.modules()
            .find(|(_, module)| super::same_form(&module.identity) == identity)
    }

    /// What a scanned text names: a package, a module of the list, or a module that is not on it.
    #[must_use]
    pub fn subject(&self, identity: &str) -> Subject {
        if let Some((_, module)) = self.module(identity) {
            return Subject::Module(module.identity.clone());
        }
        match self.package(identity) {
            Some(package) => Subject::Package(package.id.clone()),
            None => Subject::Module(identity.trim().to_owned()),
        }
    }
}

/// The condition that a sender's word means; a word that is none of ours counts as undiagnosed.
#[must_use]
pub fn stated_soundness(word: &str) -> Soundness {
    [
        Soundness::Sound,
        Soundness::Suspect,
        Soundness::Undiagnosed,
        Soundness::Damaged,
        Soundness::Critical,
    ]
    .into_iter()
    .find(|soundness| soundness.word() == word)
    .unwrap_or(Soundness::Undiagnosed)
}
