//! The packagings at hand: `packagings.csv`, one row a design. An empty cell is "not known", and what
//! is not known is never taken for a yes.

use serde::{Deserialize, Deserializer};

use crate::packing::PackingError;
use crate::packing::rows::read_rows;
use crate::transport::{Cushioning, Inner, Package, PackageKind, PackagingMark, Verified};
use crate::units::{Grams, MilliPercent, MilliwattHours};

/// What the divider between two layers of modules rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RestsOn {
    /// The modules below it, which carry it and everything on it.
    Modules,
    /// The packaging itself, a shelf on its walls or on legs: the modules below carry nothing.
    Packaging,
}

/// One design of packaging and how many of it are at hand.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Packaging {
    /// Its name in the stock.
    pub id: String,
    /// What it is.
    pub kind: PackageKind,
    /// UN mark, whole.
    #[serde(default)]
    pub mark: Option<String>,
    /// Inner length, width and height in mm.
    pub inner_length_mm: u32,
    /// See above.
    pub inner_width_mm: u32,
    /// See above.
    pub inner_height_mm: u32,
    /// Room kept free around each module, in mm, for cushioning and inner packaging.
    #[serde(default)]
    pub gap_mm: Option<u32>,
    /// Most that it may weigh when closed.
    pub max_gross_kg: Grams,
    /// Its own mass, with lid, inner packaging and cushioning.
    pub tare_kg: Grams,
    /// How many are at hand.
    pub count: u32,
    /// What one costs, in whatever money the owner counts.
    #[serde(default)]
    pub cost: Option<u64>,
    /// Outer length, width and height in mm, where packages are planned onto carriers.
    #[serde(default)]
    pub outer_length_mm: Option<u32>,
    /// See above.
    #[serde(default)]
    pub outer_width_mm: Option<u32>,
    /// See above.
    #[serde(default)]
    pub outer_height_mm: Option<u32>,
    /// What may stand on a closed one; nothing where it is not known.
    #[serde(default)]
    pub stack_load_kg: Option<Grams>,
    /// Packages for critical batteries: number of the verification report.
    #[serde(default)]
    pub report: Option<String>,
    /// Battery types that the report names, `;` between.
    #[serde(default)]
    pub report_types: Option<String>,
    /// Most batteries in one package by the report.
    #[serde(default)]
    pub report_max_items: Option<u32>,
    /// Most rated energy in one package by the report.
    #[serde(default)]
    pub report_max_energy_wh: Option<MilliwattHours>,
    /// Highest state of charge by the report.
    #[serde(default)]
    pub report_max_state_of_charge_percent: Option<MilliPercent>,
    /// Most rated energy inside, where the owner or a report sets one.
    #[serde(default)]
    pub max_energy_wh: Option<MilliwattHours>,
    /// Most modules inside, where the owner sets a number.
    #[serde(default)]
    pub max_modules: Option<u32>,
    /// Most layers of modules, with a divider between any two; one where it is not said.
    #[serde(default)]
    pub max_layers: Option<u32>,
    /// What the divider rests on.
    #[serde(default)]
    pub divider_rests_on: Option<RestsOn>,
    /// How thick the divider is.
    #[serde(default)]
    pub divider_mm: Option<u32>,
    /// What one divider weighs; it counts in the gross mass.
    #[serde(default)]
    pub divider_kg: Option<Grams>,
    /// What may stand on one divider.
    #[serde(default)]
    pub divider_bears_kg: Option<Grams>,
    /// The divider does not conduct.
    #[serde(default, deserialize_with = "yes_no")]
    pub divider_non_conductive: Option<bool>,
    /// A divider on modules rests on their cases and keeps off terminals on their upper side.
    #[serde(default, deserialize_with = "yes_no")]
    pub divider_clears_terminals: Option<bool>,
    /// Each module in an inner packaging of its own.
    #[serde(default, deserialize_with = "yes_no")]
    pub inner_each_alone: Option<bool>,
    /// The inner packaging encloses it fully.
    #[serde(default, deserialize_with = "yes_no")]
    pub inner_fully_enclosed: Option<bool>,
    /// The inner packaging is not of metal.
    #[serde(default, deserialize_with = "yes_no")]
    pub inner_non_metallic: Option<bool>,
    /// The inner packaging is leak-proof.
    #[serde(default, deserialize_with = "yes_no")]
    pub inner_leakproof: Option<bool>,
    /// The cushioning does not burn.
    #[serde(default, deserialize_with = "yes_no")]
    pub cushioning_non_combustible: Option<bool>,
    /// The cushioning does not conduct.
    #[serde(default, deserialize_with = "yes_no")]
    pub cushioning_non_conductive: Option<bool>,
    /// The cushioning takes up liquid.
    #[serde(default, deserialize_with = "yes_no")]
    pub cushioning_absorbent: Option<bool>,
    /// The cushioning holds heat back.
    #[serde(default, deserialize_with = "yes_no")]
    pub cushioning_thermal_insulation: Option<bool>,
    /// A metal outer has a lining that does not conduct.
    #[serde(default, deserialize_with = "yes_no")]
    pub liner_non_conductive: Option<bool>,
}

/// The packagings at hand, in the order of the file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Stock {
    /// The designs.
    pub packagings: Vec<Packaging>,
}

impl Stock {
    /// Reads `packagings.csv`. Lines that begin with `#` are remarks.
    ///
    /// # Errors
    /// The first row that cannot be read, or a name that stands twice.
    pub fn read(text: &str) -> Result<Self, PackingError> {
        let packagings: Vec<Packaging> = read_rows(text).map_err(PackingError::Stock)?;
        let mut names: Vec<&str> = packagings.iter().map(|one| one.id.as_str()).collect();
        names.sort_unstable();
        if let Some((twice, _)) = names.iter().zip(names.iter().skip(1)).find(|(a, b)| a == b) {
            return Err(PackingError::Stock(format!("`{twice}` stands twice")));
        }
        for one in &packagings {
            let outer = [
                (one.outer_length_mm, one.inner_length_mm),
                (one.outer_width_mm, one.inner_width_mm),
                (one.outer_height_mm, one.inner_height_mm),
            ];
            if outer
                .iter()
                .any(|(outer, inner)| outer.is_some_and(|outer| outer < *inner))
            {
                return Err(PackingError::Stock(format!(
                    "`{}`: it is smaller outside than inside",
                    one.id
                )));
            }
            one.can_be()?;
            if one.tare_kg < Grams::default() || one.tare_kg >= one.max_gross_kg {
                return Err(PackingError::Stock(format!(
                    "`{}`: tare {} must lie below the gross limit {}",
                    one.id, one.tare_kg, one.max_gross_kg
                )));
            }
        }
        Ok(Self { packagings })
    }
}

impl Packaging {
    /// Numbers that no packaging can have.
    fn can_be(&self) -> Result<(), PackingError> {
        let refuse = |what: &str, way_out: &str| {
            Err(PackingError::Stock(format!(
                "`{}`: {what}; {way_out}",
                self.id
            )))
        };
        if self.max_layers == Some(0) {
            return refuse(
                "max_layers is 0",
                "write 1, or leave the cell empty: then modules stand in one layer",
            );
        }
        // A mass typed in grams, or a limit that the mark does not give.
        let mark = self.mark.as_deref().and_then(PackagingMark::read);
        if let Some(limit) = mark.and_then(|mark| mark.gross_limit)
            && self.max_gross_kg > limit
        {
            return refuse(
                &format!(
                    "max_gross_kg is {}, and its mark allows {limit}",
                    self.max_gross_kg
                ),
                "write what the mark allows, in kilograms",
            );
        }
        let below_nothing = |mass: Option<Grams>| mass.is_some_and(|mass| mass < Grams::default());
        if below_nothing(self.divider_kg) || below_nothing(self.divider_bears_kg) {
            return refuse(
                "a divider weighs or bears less than nothing",
                "write kilograms from 0, or leave the cell empty where it is not known",
            );
        }
        Ok(())
    }

    /// Most that the modules in it may weigh together.
    #[must_use]
    pub fn net_limit(&self) -> Grams {
        Grams::thousandths(self.max_gross_kg.as_thousandths() - self.tare_kg.as_thousandths())
    }

    /// Its own mass with so many dividers.
    #[must_use]
    pub(super) fn tare_with(&self, dividers: u32) -> Option<Grams> {
        let each = self.divider_kg.map_or(0, Grams::as_thousandths);
        let dividers = each.checked_mul(i64::from(dividers))?;
        self.tare_kg.plus(Grams::thousandths(dividers))
    }

    /// Outer size, where it is known.
    #[must_use]
    pub fn outer_mm(&self) -> Option<[u32; 3]> {
        Some([
            self.outer_length_mm?,
            self.outer_width_mm?,
            self.outer_height_mm?,
        ])
    }

    /// The verification report; `None` where no cell of it is filled.
    fn verified(&self) -> Option<Verified> {
        let text = |cell: &Option<String>| cell.clone().filter(|text| !text.is_empty());
        let types = text(&self.report_types).map(|types| {
            types
                .split(';')
                .map(|one| one.trim().to_owned())
                .filter(|one| !one.is_empty())
                .collect()
        });
        let verified = Verified {
            report: text(&self.report),
            types,
            max_items: self.report_max_items,
            max_energy_wh: self.report_max_energy_wh,
            max_state_of_charge_percent: self.report_max_state_of_charge_percent,
        };
        (verified != Verified::default()).then_some(verified)
    }

    /// The package as facts for the law: this packaging, closed with so many modules of such a mass.
    /// Short-circuit protection and securing are duties that the plan states; that no battery terminal
    /// carries anything is how modules are placed.
    #[must_use]
    pub fn as_package(&self, modules: u32, net: Grams, gross: Grams) -> Package {
        Package {
            kind: Some(self.kind),
            mark: self.mark.clone().filter(|mark| !mark.is_empty()),
            items: Some(modules),
            net_mass_kg: Some(net),
            gross_mass_kg: Some(gross),
            inner: Some(Inner {
                each_alone: self.inner_each_alone,
                fully_enclosed: self.inner_fully_enclosed,
                non_metallic: self.inner_non_metallic,
                leakproof: self.inner_leakproof,
            }),
            cushioning: Some(Cushioning {
                non_combustible: self.cushioning_non_combustible,
                non_conductive: self.cushioning_non_conductive,
                absorbent: self.cushioning_absorbent,
                thermal_insulation: self.cushioning_thermal_insulation,
            }),
            liner_non_conductive: self.liner_non_conductive,
            short_circuit_protected: Some(true),
            secured: Some(true),
            load_on_terminals: Some(false),
            verified: self.verified(),
            ..Package::default()
        }
    }
}

/// A cell that says yes or no; empty is not known.
pub(super) fn yes_no<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<bool>, D::Error> {
    match String::deserialize(deserializer)?.to_lowercase().as_str() {
        "" | "unknown" => Ok(None),
        "yes" | "true" => Ok(Some(true)),
        "no" | "false" => Ok(Some(false)),
        other => Err(serde::de::Error::custom(format!(
            "`{other}` is not yes, no or empty"
        ))),
    }
}
