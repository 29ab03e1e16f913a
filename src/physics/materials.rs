//! What a battery is made of, as a range, for the recycler's upstream evidence.
//!
//! Kilograms = energy × kg/kWh (cells, low to high density) or module mass × mass share. The two
//! ways to the shares agree within 10 % (LFP) and 30 % (others), so a mass gives that much to each
//! side. A maker's declared composition goes before it. Sources in `reference/composition_*.csv`.
//! Not covered: sodium ion, LTO, LCO; housings, inverters and cables of the whole system.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::domain::{DomainError, above_zero, round};
use crate::table;
use crate::units::{Decimal, Grams, MilliwattHours};

/// Cells whose composition is tabled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TabledCell {
    /// Lithium iron phosphate.
    Lfp,
    /// NMC 1:1:1.
    Nmc111,
    /// NMC 5:3:2.
    Nmc532,
    /// NMC 6:2:2.
    Nmc622,
    /// NMC 8:1:1.
    Nmc811,
    /// NCA.
    Nca,
}

impl TabledCell {
    /// Its name in files: `lfp`, `nmc811`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lfp => "lfp",
            Self::Nmc111 => "nmc111",
            Self::Nmc532 => "nmc532",
            Self::Nmc622 => "nmc622",
            Self::Nmc811 => "nmc811",
            Self::Nca => "nca",
        }
    }

    /// How far the two ways to the composition differ.
    const fn doubt(self) -> f64 {
        match self {
            Self::Lfp => 0.10,
            _ => 0.30,
        }
    }
}

/// How much of which battery; one of the two amounts.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MaterialsInput {
    /// Kind of cell.
    pub cell: TabledCell,
    /// Energy of the cells, watt-hours.
    #[serde(default)]
    pub energy_wh: Option<f64>,
    /// Mass of home-storage modules, kilograms; LFP and NMC 8:1:1 only.
    #[serde(default)]
    pub module_mass_kg: Option<f64>,
}

/// One material.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Material {
    /// Element or material.
    pub material: String,
    /// Least, kilograms.
    pub low_kg: f64,
    /// Middle, kilograms.
    pub middle_kg: f64,
    /// Most, kilograms.
    pub high_kg: f64,
}

/// What it is made of.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MaterialsAnswer {
    /// Each material that is in it.
    pub materials: Vec<Material>,
    /// What the figures are.
    pub notes: Vec<&'static str>,
}

/// Composition of cells or modules.
///
/// # Errors
/// None or both of the amounts, an amount not above 0, a module mass of a cell not tabled.
pub fn materials(input: &MaterialsInput) -> Result<MaterialsAnswer, DomainError> {
    let column = input.cell.name();
    let (text, amount, columns) = match (input.energy_wh, input.module_mass_kg) {
        (Some(wh), None) => (
            include_str!("../reference/composition_kg_per_kwh.csv"),
            above_zero("energy_wh", wh)? / 1000.0,
            ["low", "mid", "high"].map(|density| format!("{column}_{density}")),
        ),
        (None, Some(kg)) => (
            include_str!("../reference/composition_home_module.csv"),
            above_zero("module_mass_kg", kg)? / 100.0,
            [column; 3].map(str::to_owned),
        ),
        _ => {
            return Err(DomainError::new(
                "energy_wh",
                "none or both",
                "one of energy_wh and module_mass_kg",
            ));
        }
    };
    let by_mass = input.module_mass_kg.is_some();
    let doubt = if by_mass { input.cell.doubt() } else { 0.0 };
    let rows: Vec<BTreeMap<String, String>> = table::rows("composition", text)
        .map_err(|error| DomainError::new("cell", error.what, "a table that can be read"))?;
    let mut found = Vec::new();
    for row in rows {
        let share = |name: &str| row.get(name).and_then(|text| text.parse::<f64>().ok());
        let [low, middle, high] = &columns;
        let (Some(low), Some(middle), Some(high)) = (share(low), share(middle), share(high)) else {
            return Err(DomainError::new(
                "cell",
                column,
                "lfp and nmc811 where a module mass is given",
            ));
        };
        let name = row.get("element").cloned().unwrap_or_default();
        // "unassigned" is what the inventory's rounding leaves, not a material.
        if middle > 0.0 && name != "unassigned" {
            found.push(Material {
                material: name,
                low_kg: round(amount * low * (1.0 - doubt), 4),
                middle_kg: round(amount * middle, 4),
                high_kg: round(amount * high * (1.0 + doubt), 4),
            });
        }
    }
    Ok(MaterialsAnswer {
        materials: found,
        notes: vec![
            if by_mass {
                "a home-storage module with 63 % cells, 34 % steel, 3 % board; the range is what \
                 two ways to the composition differ by"
            } else {
                "cells only; the range is that of the energy density"
            },
            "the maker's declared composition goes before these",
        ],
    })
}

/// A material of a module in a job: a range that holds whatever way it was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MaterialRange {
    /// Element or material.
    pub material: String,
    /// Least, kilograms, rounded down to a gram.
    pub low_kg: Decimal,
    /// Most, kilograms, rounded up to a gram.
    pub high_kg: Decimal,
    /// Whether the rated energy gave it (cells only).
    pub by_energy: bool,
    /// Whether the mass gave it (a whole home-storage module).
    pub by_mass: bool,
}

/// What a module is made of: the widest range over the kinds of cell that it may have and over
/// both ways, in the order of the tables. Nothing is known without an amount, or without a kind.
///
/// # Errors
/// As [`materials`]: amounts not above 0.
pub fn module_materials(
    kinds: &[TabledCell],
    energy: Option<MilliwattHours>,
    home_module: Option<Grams>,
) -> Result<Vec<MaterialRange>, DomainError> {
    let energy_wh = energy.map(MilliwattHours::to_f64);
    // Only where every kind has a table by mass would a mass say enough.
    let by_mass = |cell: &TabledCell| matches!(cell, TabledCell::Lfp | TabledCell::Nmc811);
    let module_mass_kg = home_module
        .map(Grams::to_f64)
        .filter(|_| kinds.iter().all(by_mass));
    let mut ranges: Vec<MaterialRange> = Vec::new();
    for &cell in kinds {
        for (energy_wh, module_mass_kg) in [(energy_wh, None), (None, module_mass_kg)] {
            if energy_wh.is_none() && module_mass_kg.is_none() {
                continue;
            }
            let found = materials(&MaterialsInput {
                cell,
                energy_wh,
                module_mass_kg,
            })?;
            for one in found.materials {
                widen(&mut ranges, one, energy_wh.is_some());
            }
        }
    }
    Ok(ranges)
}

fn widen(ranges: &mut Vec<MaterialRange>, one: Material, by_energy: bool) {
    // The table's figures have four places; noise below them is no gram.
    let grams = |kg: f64| libm::round(kg * 1e4) / 10.0;
    let low = Decimal::from_thousandths(libm::floor(grams(one.low_kg)) as i64);
    let high = Decimal::from_thousandths(libm::ceil(grams(one.high_kg)) as i64);
    let known = ranges
        .iter_mut()
        .find(|range| range.material == one.material);
    match known {
        Some(range) => {
            range.low_kg = range.low_kg.min(low);
            range.high_kg = range.high_kg.max(high);
            range.by_energy |= by_energy;
            range.by_mass |= !by_energy;
        }
        None => ranges.push(MaterialRange {
            material: one.material,
            low_kg: low,
            high_kg: high,
            by_energy,
            by_mass: !by_energy,
        }),
    }
}
