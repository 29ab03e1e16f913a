//! A thing to be carried, with all that decides where it may stand.

use crate::battery::Soundness;
use crate::packing::load::{LoadedPackage, Piece, Stock};
use crate::transport::{
    Facts, Goods, Load as VehicleLoad, LoadAnswer, Regime, Standing, check_load, decide_untraced,
};
use crate::units::Grams;

/// A package, or a pallet or overpack with what stands on it.
#[derive(Debug, Clone)]
pub(super) struct Parcel {
    pub(super) id: String,
    pub(super) outer_mm: [u32; 3],
    pub(super) gross: i64,
    /// What may stand on it, in grams.
    pub(super) carries: i64,
    /// What it may share a pallet or overpack with: the same words.
    pub(super) company: String,
    /// Critical batteries: nothing above, nothing below, no overpack.
    pub(super) critical: bool,
    /// Its dangerous goods as a vehicle counts them, and the leg that they are counted for.
    pub(super) goods: Vec<Goods>,
    pub(super) leg: Option<Facts>,
}

impl Parcel {
    /// The package as a parcel; `None` where its packaging has no outer size.
    pub(super) fn of(package: &LoadedPackage, pieces: &[Piece], stock: &Stock) -> Option<Self> {
        let design = stock
            .packagings
            .iter()
            .find(|one| one.id == package.packaging)?;
        let inside: Vec<&Piece> = package
            .placements
            .iter()
            .filter_map(|one| pieces.iter().find(|piece| piece.module == one.module))
            .collect();
        let soundness = |piece: &&Piece| piece.legs.first().and_then(|leg| leg.item.soundness);
        // One module that nobody judged makes the package one that nobody judged.
        let judged: Option<Vec<Soundness>> = inside.iter().map(soundness).collect();
        let worst = judged.and_then(|each| each.into_iter().max());
        let leg = inside
            .first()?
            .legs
            .iter()
            .find(|leg| matches!(leg.regime, Regime::Adr | Regime::Cfr49));
        let decided = leg.map(decide_untraced);
        let un = decided
            .and_then(|decided| decided.entry)
            .map(|entry| entry.un.into_owned());
        let critical = worst.is_none_or(|worst| worst == Soundness::Critical);
        Some(Self {
            id: package.id.clone(),
            outer_mm: design.outer_mm()?,
            gross: package.gross_mass_kg.as_thousandths(),
            carries: design.stack_load_kg.map_or(0, Grams::as_thousandths),
            company: company(&inside),
            critical,
            goods: un
                .map(|un| Goods {
                    un,
                    net_mass_kg: package.net_mass_kg,
                    gross_mass_kg: Some(package.gross_mass_kg),
                    critical: Some(critical),
                    damaged: Some(worst.is_none_or(Soundness::is_damaged_in_law)),
                    waste: None,
                    charge_at_most_percent: None,
                    on: Standing::Vehicle,
                    category: None,
                    labels: None,
                    heaviest_package_net_kg: Some(package.net_mass_kg),
                    heaviest_package_gross_kg: Some(package.gross_mass_kg),
                })
                .into_iter()
                .collect(),
            leg: leg.cloned(),
        })
    }
}

/// Soundness and purpose of what lies in a package, on every leg.
fn company(inside: &[&Piece]) -> String {
    let mut words: Vec<String> = inside
        .iter()
        .flat_map(|piece| &piece.legs)
        .map(|leg| {
            let soundness = leg.item.soundness.map(|one| one.to_string());
            let purpose = leg.item.purpose.map(|one| one.to_string());
            let known = |word: Option<String>| word.unwrap_or_else(|| "not known".into());
            format!("{}, for {}", known(soundness), known(purpose))
        })
        .collect();
    words.sort_unstable();
    words.dedup();
    words.join("; ")
}

/// What the law says of a vehicle with these aboard; `None` where no road leg is planned.
pub(super) fn asked(aboard: &[&Parcel]) -> Option<LoadAnswer> {
    let leg = aboard.iter().find_map(|parcel| parcel.leg.as_ref())?;
    let goods = aboard.iter().flat_map(|parcel| parcel.goods.clone());
    Some(check_load(&VehicleLoad::planned(leg, goods.collect())))
}
