//! The packagings at hand: `packagings.csv`, one row a design. An empty cell is "not known", and what
//! is not known is never taken for a yes.

use serde::{Deserialize, Deserializer};

use crate::packing::PackingError;
use crate::transport::{Cushioning, Inner, Package, PackageKind};
use crate::units::{Grams, MilliwattHours};

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
    /// Most rated energy inside, where the owner or a report sets one.
    #[serde(default)]
    pub max_energy_wh: Option<MilliwattHours>,
    /// Most modules inside, where the owner sets a number.
    #[serde(default)]
    pub max_modules: Option<u32>,
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
        let packagings: Vec<Packaging> = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes())
            .deserialize()
            .collect::<Result<_, _>>()
            .map_err(|why| PackingError::Stock(why.to_string()))?;
        let mut names: Vec<&str> = packagings.iter().map(|one| one.id.as_str()).collect();
        names.sort_unstable();
        if let Some((twice, _)) = names.iter().zip(names.iter().skip(1)).find(|(a, b)| a == b) {
            return Err(PackingError::Stock(format!("`{twice}` stands twice")));
        }
        for one in &packagings {
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
    /// Most that the modules in it may weigh together.
    #[must_use]
    pub fn net_limit(&self) -> Grams {
        Grams::thousandths(self.max_gross_kg.as_thousandths() - self.tare_kg.as_thousandths())
    }

    /// The package as facts for the law: this packaging, closed with so many modules of such a mass.
    /// Short-circuit protection, securing and free battery terminals are duties that the plan states.
    #[must_use]
    pub fn as_package(&self, modules: u32, net: Grams) -> Package {
        Package {
            kind: Some(self.kind),
            mark: self.mark.clone().filter(|mark| !mark.is_empty()),
            items: Some(modules),
            net_mass_kg: Some(net),
            gross_mass_kg: net.plus(self.tare_kg),
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
            ..Package::default()
        }
    }
}

fn yes_no<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<bool>, D::Error> {
    match String::deserialize(deserializer)?.to_lowercase().as_str() {
        "" | "unknown" => Ok(None),
        "yes" | "true" => Ok(Some(true)),
        "no" | "false" => Ok(Some(false)),
        other => Err(serde::de::Error::custom(format!(
            "`{other}` is not yes, no or empty"
        ))),
    }
}
