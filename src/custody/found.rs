//! What all scans of one thing say together.

use std::collections::{BTreeMap, BTreeSet};

use super::receipt::{Scan, SealFound, SealState, Sides, Subject};
use crate::units::Decimal;

/// What was found of one thing: the warmest spot, the worst seal, all damage, the last mass.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Found {
    pub(super) sights: u32,
    pub(super) temporary: bool,
    pub(super) package: Option<String>,
    pub(super) seal: Option<SealFound>,
    pub(super) count: Option<u32>,
    pub(super) gross_mass_kg: Option<Decimal>,
    pub(super) net_mass_kg: Option<Decimal>,
    pub(super) temperature_c: Option<Decimal>,
    pub(super) air_c: Option<Decimal>,
    pub(super) damage: Option<Vec<String>>,
    pub(super) findings: Vec<String>,
    pub(super) volume_m3: Option<Decimal>,
    pub(super) rated_energy_wh: Option<Decimal>,
    pub(super) chemistry: Option<String>,
    pub(super) photos: Vec<String>,
    pub(super) remarks: Vec<String>,
}

/// Everything that was found, by subject. A scan that was taken back does not count.
pub(super) fn gather(scans: &[Scan]) -> BTreeMap<Subject, Found> {
    let withdrawn: BTreeSet<u32> = scans.iter().filter_map(|scan| scan.withdraws).collect();
    let mut found: BTreeMap<Subject, Found> = BTreeMap::new();
    for (number, scan) in (1_u32..).zip(scans) {
        if withdrawn.contains(&number) || scan.withdraws.is_some() {
            continue;
        }
        found.entry(scan.subject.clone()).or_default().take(scan);
    }
    found
}

/// The facts of one scan, by name.
#[must_use]
pub fn facts_of(scan: &Scan) -> Sides {
    let mut found = Found::default();
    found.take(scan);
    let mut sides = Sides::new();
    found.state(&mut sides);
    sides
}

impl Found {
    fn take(&mut self, scan: &Scan) {
        let later = |old: &mut Option<Decimal>, new: Option<Decimal>| {
            if new.is_some() {
                *old = new;
            }
        };
        self.sights += u32::from(scan.sight);
        self.temporary |= scan.temporary;
        if scan.package.is_some() {
            self.package.clone_from(&scan.package);
        }
        if let Some(seal) = &scan.seal {
            let worse = |state: SealState| match state {
                SealState::Intact => 0,
                SealState::Broken => 1,
                SealState::Missing => 2,
            };
            if self
                .seal
                .as_ref()
                .is_none_or(|old| worse(seal.state) >= worse(old.state))
            {
                self.seal = Some(seal.clone());
            }
        }
        if scan.count.is_some() {
            self.count = scan.count;
        }
        later(&mut self.gross_mass_kg, scan.gross_mass_kg);
        later(&mut self.net_mass_kg, scan.net_mass_kg);
        later(&mut self.air_c, scan.air_c);
        later(&mut self.volume_m3, scan.volume_m3);
        later(&mut self.rated_energy_wh, scan.rated_energy_wh);
        if let Some(warm) = scan.temperature_c
            && self.temperature_c.is_none_or(|old| warm > old)
        {
            self.temperature_c = Some(warm);
        }
        if let Some(damage) = &scan.damage {
            self.damage
                .get_or_insert_with(Vec::new)
                .extend(damage.iter().cloned());
        }
        for code in &scan.findings {
            if !self.findings.contains(code) {
                self.findings.push(code.clone());
            }
        }
        if scan.chemistry.is_some() {
            self.chemistry.clone_from(&scan.chemistry);
        }
        self.photos
            .extend(scan.photos.iter().map(|photo| photo.file.clone()));
        self.remarks.extend(scan.remark.iter().cloned());
    }

    /// The facts as they stand on the receiver's side.
    pub(super) fn state(&self, sides: &mut Sides) {
        let mut put = |name: &str, value: Option<String>| {
            if let Some(value) = value {
                sides.insert(name.into(), value);
            }
        };
        put(
            "seal",
            self.seal.as_ref().map(|seal| match &seal.number {
                Some(number) => format!("{number} {}", seal.state.word()),
                None => seal.state.word().to_owned(),
            }),
        );
        put("gross_mass_kg", self.gross_mass_kg.map(|v| v.to_string()));
        put("net_mass_kg", self.net_mass_kg.map(|v| v.to_string()));
        put("temperature_c", self.temperature_c.map(|v| v.to_string()));
        put("air_c", self.air_c.map(|v| v.to_string()));
        put(
            "damage",
            self.damage.as_ref().map(|damage| {
                if damage.is_empty() {
                    "none seen".into()
                } else {
                    damage.join("; ")
                }
            }),
        );
        put(
            "findings",
            (!self.findings.is_empty()).then(|| self.findings.join(" ")),
        );
        put("count", self.count.map(|v| v.to_string()));
        put("volume_m3", self.volume_m3.map(|v| v.to_string()));
        put(
            "rated_energy_wh",
            self.rated_energy_wh.map(|v| v.to_string()),
        );
        put("chemistry", self.chemistry.clone());
        put(
            "photos",
            (!self.photos.is_empty()).then(|| self.photos.join(", ")),
        );
        put(
            "remark",
            (!self.remarks.is_empty()).then(|| self.remarks.join("; ")),
        );
    }
}
