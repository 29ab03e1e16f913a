//! The packing manifest: what is in which package, for the driver, the warehouse and the consignee.
//!
//! Content comes from the job, the decisions and the packing plan; here it is added up, compared
//! with the plan's count, and written as [`csv()`] or as a page, [`html`].

use chrono::NaiveDate;
use serde::Serialize;

use crate::battery::Soundness;
use crate::clock::Moment;
use crate::ids::PackageCode;
use crate::papers::stamp::words;
use crate::papers::words::fill;
use crate::papers::{ChargeRange, Language, PaperError};
use crate::units::{Grams, MilliwattHours};

pub use crate::papers::manifest_table::{csv, csvw, datapackage, workbook};
pub use crate::papers::page::{html, html_on};

/// A duty holder with the address that papers show.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Party {
    /// Name.
    pub name: String,
    /// Address, in one line; may be empty.
    pub address: String,
}

/// The signed state of the ledger that a paper was printed from.
///
/// Printed on paper it is a witness: nobody can rewrite the record behind it unseen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LedgerMark {
    /// Name of the log.
    pub origin: String,
    /// Entries covered.
    pub size: u64,
    /// Root of the tree, as the checkpoint prints it.
    pub root: String,
}

/// The four answers to "may it travel".
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TravelState {
    /// Allowed as it is.
    Allowed,
    /// Allowed under requirements.
    AllowedWith,
    /// Forbidden.
    Forbidden,
    /// Facts are missing.
    NotDetermined,
}

impl TravelState {
    /// The words on papers; they stand beside the shape, which never stands alone.
    #[must_use]
    pub const fn words(self) -> &'static str {
        words().states.travel(self)
    }
}

/// How one module may travel in one regime, short.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TravelAnswer {
    /// Regime and edition: `ADR 2025 road`.
    pub regime: String,
    /// The answer.
    pub state: TravelState,
    /// Entry, provision, packing instruction, or what is missing: `UN 3480, SP 377, P909`.
    pub text: String,
}

/// One module in a package.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ModuleLine {
    /// Serial, or the job serial where the plate cannot be read.
    pub serial: String,
    /// Whether the serial was read from the module; `false` prints "identity unproved".
    pub serial_proved: bool,
    /// Type designation on the plate; `None`: not known.
    pub model: Option<String>,
    /// Rated energy; `None`: not known.
    pub energy_wh: Option<MilliwattHours>,
    /// Mass without packaging; `None`: not weighed.
    pub net_mass_kg: Option<Grams>,
    /// Condition in transport terms.
    pub soundness: Soundness,
    /// State of charge; `None`: not known, taken as full.
    pub state_of_charge: Option<ChargeRange>,
    /// How it may travel, one answer a regime.
    pub answers: Vec<TravelAnswer>,
    /// Layer of the package that it stands in, from the floor; `None`: nobody said, or there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layer: Option<u32>,
}

/// One package with its contents.
///
/// Net mass and energy are not stated but added up from the modules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PackageLine {
    /// Id of the package in the job.
    pub package_id: String,
    /// Its code, as on its label and in events.
    pub code: PackageCode,
    /// The packaging: a UN mark, or words such as `strong outer packaging`.
    pub packaging: String,
    /// What is in it.
    pub modules: Vec<ModuleLine>,
    /// Mass with packaging; `None`: not weighed.
    pub gross_mass_kg: Option<Grams>,
    /// Marks to be on it.
    pub marks: Vec<String>,
    /// Labels to be on it.
    pub labels: Vec<String>,
    /// Lines and statements for the transport document.
    pub document_lines: Vec<String>,
    /// Seal number; `None`: not sealed.
    pub seal: Option<String>,
}

/// A planned module that stays on site.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftBehind {
    /// Serial, or the id in the plan.
    pub serial: String,
    /// Why it stays.
    pub reason: String,
}

/// The count that must add up: planned = removed + left behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Count {
    /// Modules in the plan.
    pub planned: u32,
    /// Modules taken out.
    pub removed: u32,
    /// Modules that stay on site.
    pub left_behind: u32,
}

/// Everything that the packing manifest says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Manifest {
    /// The language of its own words; data is always English.
    #[serde(skip)]
    pub language: Language,
    /// Id of the job.
    pub job: String,
    /// Number of the issue; `None`: not issued.
    pub issue: Option<u32>,
    /// What the job is called.
    pub title: Option<String>,
    /// The word printed across a paper that may not be used, such as
    /// `DRAFT - NOT FOR TRANSPORT`; `None`: issued.
    pub draft: Option<String>,
    /// Where the battery stood.
    pub site: String,
    /// Who consigns.
    pub consignor: Party,
    /// Where it goes.
    pub consignee: Party,
    /// Who carries; `None`: not named yet.
    pub carrier: Option<Party>,
    /// Whether masses are printed in pounds as well.
    pub pounds: bool,
    /// Planned day.
    pub planned_on: Option<NaiveDate>,
    /// When the paper was issued.
    pub issued_at: Option<Moment>,
    /// Why the battery leaves, in words.
    pub purpose: String,
    /// Regimes and editions that the answers follow, one an entry.
    pub regimes: Vec<String>,
    /// Name or hash of the rule set.
    pub rule_set: String,
    /// Ledger state; `None`: the job has no ledger yet.
    pub ledger: Option<LedgerMark>,
    /// Technician.
    pub technician: String,
    /// Person in charge of the job.
    pub person_in_charge: String,
    /// Packages, in the order of loading.
    pub packages: Vec<PackageLine>,
    /// What stays on site, and why.
    pub left_behind: Vec<LeftBehind>,
    /// The count against the plan.
    pub count: Count,
    /// What to beware of.
    pub cautions: Vec<String>,
    /// What is still open.
    pub open_points: Vec<String>,
    /// What rests on unverified figures, and says so.
    pub unverified: Vec<String>,
}

/// A sum over things of which some may not be known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Sum<Q> {
    /// Sum of those that are known.
    pub known: Q,
    /// How many are not known.
    pub unknown: usize,
}

/// What the manifest adds up to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Totals {
    /// Packages.
    pub packages: usize,
    /// Modules in them.
    pub modules: usize,
    /// Mass of the modules.
    pub net_mass_kg: Sum<Grams>,
    /// Mass of the packages.
    pub gross_mass_kg: Sum<Grams>,
    /// Rated energy of the modules.
    pub energy_wh: Sum<MilliwattHours>,
}

impl PackageLine {
    /// Mass of the modules in it.
    ///
    /// # Errors
    /// [`PaperError::SumTooLarge`].
    pub fn net_mass_kg(&self) -> Result<Sum<Grams>, PaperError> {
        let masses = self.modules.iter().map(|module| module.net_mass_kg);
        sum("net masses", masses, Grams::plus)
    }

    /// Rated energy of the modules in it.
    ///
    /// # Errors
    /// [`PaperError::SumTooLarge`].
    pub fn energy_wh(&self) -> Result<Sum<MilliwattHours>, PaperError> {
        let energies = self.modules.iter().map(|module| module.energy_wh);
        sum("rated energies", energies, MilliwattHours::plus)
    }
}

impl Manifest {
    /// What it adds up to.
    ///
    /// # Errors
    /// [`PaperError::SumTooLarge`].
    pub fn totals(&self) -> Result<Totals, PaperError> {
        let modules = || self.packages.iter().flat_map(|package| &package.modules);
        Ok(Totals {
            packages: self.packages.len(),
            modules: modules().count(),
            net_mass_kg: sum(
                "net masses",
                modules().map(|module| module.net_mass_kg),
                Grams::plus,
            )?,
            gross_mass_kg: sum(
                "gross masses",
                self.packages.iter().map(|package| package.gross_mass_kg),
                Grams::plus,
            )?,
            energy_wh: sum(
                "rated energies",
                modules().map(|module| module.energy_wh),
                MilliwattHours::plus,
            )?,
        })
    }

    /// Where planned, removed, left behind and the lists do not agree; empty where they do.
    #[must_use]
    pub fn differences(&self) -> Vec<String> {
        let Count {
            planned,
            removed,
            left_behind,
        } = self.count;
        let listed: usize = self
            .packages
            .iter()
            .map(|package| package.modules.len())
            .sum();
        let says = &self.language.words().states;
        let mut differences = Vec::new();
        if u64::from(planned) != u64::from(removed) + u64::from(left_behind) {
            differences.push(fill(
                says.planned_is_not,
                &[
                    ("planned", &planned),
                    ("removed", &removed),
                    ("left", &left_behind),
                ],
            ));
        }
        if u32::try_from(listed) != Ok(removed) {
            differences.push(fill(
                says.removed_is_not,
                &[("removed", &removed), ("listed", &listed)],
            ));
        }
        if u32::try_from(self.left_behind.len()) != Ok(left_behind) {
            differences.push(fill(
                says.left_is_not,
                &[("left", &left_behind), ("listed", &self.left_behind.len())],
            ));
        }
        differences
    }

    /// Refuses to print what cannot be true: a package lighter than its contents, and, unless it
    /// is a draft, a count that does not add up.
    pub(crate) fn printable(&self) -> Result<(), PaperError> {
        for package in &self.packages {
            let net = package.net_mass_kg()?.known;
            if let Some(gross) = package.gross_mass_kg
                && gross < net
            {
                return Err(PaperError::GrossBelowNet {
                    package: package.package_id.clone(),
                    gross: gross.to_string(),
                    net: net.to_string(),
                });
            }
        }
        let differences = self.differences();
        if differences.is_empty() || self.draft.is_some() {
            return Ok(());
        }
        Err(PaperError::CountsDiffer {
            job: self.job.clone(),
            differences,
        })
    }
}

fn sum<Q: Copy + Default>(
    what: &'static str,
    values: impl Iterator<Item = Option<Q>>,
    plus: impl Fn(Q, Q) -> Option<Q>,
) -> Result<Sum<Q>, PaperError> {
    let mut total = Sum {
        known: Q::default(),
        unknown: 0,
    };
    for value in values {
        match value {
            Some(value) => {
                total.known = plus(total.known, value).ok_or(PaperError::SumTooLarge { what })?;
            }
            None => total.unknown += 1,
        }
    }
    Ok(total)
}
