//! Modules, mass and material by month and chemistry: removed, packed, handed over, received,
//! treated. What is in one column and not in the next is on its way, or lost.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Dossier, Side};
use crate::battery::Cathode;
use crate::physics::{MaterialsInput, materials};
use crate::procedure::Act;
use crate::units::{Decimal, Grams, MilliwattHours};

/// Modules with their mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Amount {
    modules: u64,
    net: Grams,
    /// Modules whose mass nobody knows.
    unweighed: u64,
}

impl Amount {
    fn add(&mut self, mass: Option<Grams>) {
        self.modules += 1;
        match mass.and_then(|mass| self.net.plus(mass)) {
            Some(sum) => self.net = sum,
            None => self.unweighed += 1,
        }
    }

    fn join(&mut self, other: Self) {
        self.modules += other.modules;
        self.unweighed += other.unweighed;
        match self.net.plus(other.net) {
            Some(sum) => self.net = sum,
            None => self.unweighed += other.modules,
        }
    }
}

/// One line of the report.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MassLine {
    /// Month in which the modules were removed, `2026-11`.
    pub month: String,
    /// Chemistry and positive electrode.
    pub chemistry: String,
    /// Modules removed.
    pub removed: u64,
    /// Their mass.
    pub removed_kg: Decimal,
    /// Their rated energy, as far as it is known.
    pub energy_kwh: Decimal,
    /// Modules packed.
    pub packed: u64,
    /// Modules handed over.
    pub handed_over: u64,
    /// Modules that a receiver counted.
    pub received: u64,
    /// Modules on a certificate of the treater.
    pub treated: u64,
    /// Mass of these, as removed.
    pub treated_kg: Decimal,
    /// Modules removed whose mass is not known.
    pub unweighed: u64,
    /// Material in them, low to high, as far as a table has the cell.
    pub materials: Vec<String>,
}

#[derive(Debug, Clone, Default)]
struct Sums {
    cathode: Cathode,
    removed: Amount,
    energy_mwh: i64,
    packed: u64,
    handed_over: u64,
    received: u64,
    treated: Amount,
}

/// What one job adds.
#[derive(Debug)]
pub struct MassPart {
    month: String,
    chemistry: String,
    sums: Sums,
}

/// The report over all jobs.
#[derive(Debug, Default)]
pub struct MassReport {
    lines: BTreeMap<(String, String), Sums>,
}

/// What one job adds.
#[must_use]
pub fn mass_part(dossier: &Dossier) -> Option<MassPart> {
    let first = dossier.doing(Act::LiftModule).next()?;
    let installation = &dossier.frame().installation;
    let received = dossier.exchanges.iter().any(|one| one.side == Side::Took);
    let certificate = dossier
        .last("Z11", None)
        .map(|one| one.entry.evidence.texts("serials"))
        .unwrap_or_default();
    let mut sums = Sums {
        cathode: installation.cathode,
        ..Sums::default()
    };
    for module in 0..dossier.frame().modules.len() {
        if !dossier.job.progress().is_lifted(dossier.frame(), module) {
            continue;
        }
        let mass = dossier.job.net_mass(module);
        sums.removed.add(mass);
        let energy = dossier
            .frame()
            .modules
            .get(module)
            .and_then(|one| one.rated_energy_wh)
            .map_or(0, MilliwattHours::as_thousandths);
        sums.energy_mwh = sums.energy_mwh.saturating_add(energy);
        let packed = dossier.doing(Act::Pack).any(|one| one.slot == Some(module));
        let given = packed && dossier.exchanges.iter().any(|one| one.side == Side::Gave);
        sums.packed += u64::from(packed);
        sums.handed_over += u64::from(given);
        sums.received += u64::from(given && received);
        let (identity, _) = dossier.job.identity(module);
        let certified = dossier.certified(&identity).is_some();
        if certified || certificate.contains(&identity.as_str()) {
            sums.treated.add(mass);
        }
    }
    let month = first.entry.at.local_day().format("%Y-%m").to_string();
    let word = |value: serde_json::Result<serde_json::Value>| {
        value
            .ok()
            .and_then(|value| value.as_str().map(|word| word.replace('_', " ")))
            .unwrap_or_default()
    };
    Some(MassPart {
        month,
        chemistry: format!(
            "{}, {}",
            word(serde_json::to_value(installation.chemistry)),
            word(serde_json::to_value(installation.cathode))
        ),
        sums,
    })
}

impl MassReport {
    /// Adds one job.
    pub fn add(&mut self, part: MassPart) {
        let line = self.lines.entry((part.month, part.chemistry)).or_default();
        line.cathode = part.sums.cathode;
        line.removed.join(part.sums.removed);
        line.treated.join(part.sums.treated);
        line.energy_mwh = line.energy_mwh.saturating_add(part.sums.energy_mwh);
        line.packed += part.sums.packed;
        line.handed_over += part.sums.handed_over;
        line.received += part.sums.received;
    }

    /// The lines, by month.
    #[must_use]
    pub fn lines(self) -> Vec<MassLine> {
        self.lines
            .into_iter()
            .map(|((month, chemistry), sums)| MassLine {
                month,
                chemistry,
                removed: sums.removed.modules,
                removed_kg: sums.removed.net.decimal(),
                energy_kwh: Decimal::from_thousandths(sums.energy_mwh / 1_000),
                packed: sums.packed,
                handed_over: sums.handed_over,
                received: sums.received,
                treated: sums.treated.modules,
                treated_kg: sums.treated.net.decimal(),
                unweighed: sums.removed.unweighed,
                materials: material_words(sums.cathode, sums.removed.net),
            })
            .collect()
    }
}

/// Materials in that mass of modules; empty where no table has the cell.
fn material_words(cathode: Cathode, net: Grams) -> Vec<String> {
    // Of the mixed oxides the ratio would have to be known, and no plate says it.
    if cathode != Cathode::Lfp || net.as_thousandths() <= 0 {
        return Vec::new();
    }
    let asked = format!("{{\"cell\":\"lfp\",\"module_mass_kg\":{}}}", net.decimal());
    serde_json::from_str::<MaterialsInput>(&asked)
        .ok()
        .and_then(|input| materials(&input).ok())
        .map(|answer| {
            answer
                .materials
                .into_iter()
                .map(|one| {
                    format!(
                        "{} {:.1} to {:.1} kg",
                        one.material, one.low_kg, one.high_kg
                    )
                })
                .collect()
        })
        .unwrap_or_default()
}
