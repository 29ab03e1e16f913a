//! Judges a load, ours or one made by hand, with sums and geometry of its own and the law asked
//! anew. Shares with the planner only the forms of what is planned.

use crate::battery::Soundness;
use crate::transport::{Answer, PackageAnswer, Regime, decide_untraced};
use crate::units::{Grams, MilliwattHours};

use super::check_room::{check_room, dividers_of};
use super::fault::LoadFault;
use super::piece::{Load, LoadedPackage, Piece, Placement};
use super::stock::{Packaging, Stock};

/// Damaged modules above this mass travel one in a package (ADR 2025, P908, read).
const DAMAGED_ALONE_ABOVE: i64 = 30_000;

/// All that is wrong with the load; nothing where it holds.
#[must_use]
pub fn check_load(load: &Load, pieces: &[Piece], stock: &Stock) -> Vec<LoadFault> {
    let mut faults = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    let placed = load.packages.iter().flat_map(|package| &package.placements);
    let names = placed.map(|one| one.module.as_str());
    for module in names.chain(load.not_packed.iter().map(|one| one.module.as_str())) {
        if seen.contains(&module) {
            faults.push(LoadFault::Twice(module.into()));
        }
        if !pieces.iter().any(|piece| piece.module == module) {
            faults.push(LoadFault::NoSuchModule(module.into()));
        }
        seen.push(module);
    }
    let missing = pieces
        .iter()
        .filter(|piece| !seen.contains(&piece.module.as_str()));
    faults.extend(missing.map(|piece| LoadFault::Missing(piece.module.clone())));
    for packaging in &stock.packagings {
        let used = load
            .packages
            .iter()
            .filter(|one| one.packaging == packaging.id)
            .count();
        if used > packaging.count as usize {
            faults.push(LoadFault::TooFew {
                packaging: packaging.id.clone(),
                used,
                count: packaging.count,
            });
        }
    }
    for package in &load.packages {
        match stock
            .packagings
            .iter()
            .find(|one| one.id == package.packaging)
        {
            Some(packaging) => check_package(package, packaging, pieces, &mut faults),
            None => faults.push(LoadFault::NoSuchPackaging {
                package: package.id.clone(),
                packaging: package.packaging.clone(),
            }),
        }
    }
    let packages = load.packages.len();
    let proven = load.lower_bound == load.count;
    if load.count != packages || load.lower_bound > packages || load.proven != proven {
        faults.push(LoadFault::WrongCount {
            count: load.count,
            lower_bound: load.lower_bound,
            proven: load.proven,
            packages,
        });
    }
    faults
}

fn check_package(
    package: &LoadedPackage,
    packaging: &Packaging,
    pieces: &[Piece],
    faults: &mut Vec<LoadFault>,
) {
    let inside: Vec<(&Placement, &Piece)> = package
        .placements
        .iter()
        .filter_map(|one| Some((one, pieces.iter().find(|piece| piece.module == one.module)?)))
        .collect();
    if package.placements.is_empty() {
        faults.push(LoadFault::Empty(package.id.clone()));
    }
    check_sums(package, packaging, &inside, faults);
    check_room(package, packaging, &inside, faults);
    check_company(package, &inside, faults);
    let described = packaging.as_package(
        inside.len() as u32,
        package.net_mass_kg,
        package.gross_mass_kg,
    );
    for (_, piece) in &inside {
        for leg in &piece.legs {
            let mut facts = leg.clone();
            facts.package = Some(described.clone());
            let decision = decide_untraced(&facts);
            let may = matches!(decision.answer, Answer::Allowed | Answer::AllowedWith);
            if decision.package.answer != PackageAnswer::Accepted || !may {
                let reasons = decision.package.reasons.iter().chain(&decision.reasons);
                faults.push(LoadFault::NotAccepted {
                    package: package.id.clone(),
                    module: piece.module.clone(),
                    why: reasons.map(ToString::to_string).next().unwrap_or_default(),
                });
            }
        }
    }
}

fn check_sums(
    package: &LoadedPackage,
    packaging: &Packaging,
    inside: &[(&Placement, &Piece)],
    faults: &mut Vec<LoadFault>,
) {
    let mut net = 0_i64;
    let mut energy = Some(0_i64);
    for (_, piece) in inside {
        match piece.mass() {
            Some(mass) => net = net.saturating_add(mass.as_thousandths()),
            None => faults.push(LoadFault::NotKnown {
                module: piece.module.clone(),
                what: "the mass",
            }),
        }
        energy = energy
            .zip(piece.energy())
            .map(|(sum, one)| sum.saturating_add(one.as_thousandths()));
    }
    let dividers = dividers_of(package);
    if package.dividers != dividers {
        faults.push(LoadFault::WrongNumber {
            package: package.id.clone(),
            what: "number of dividers",
            stated: package.dividers.to_string(),
            found: dividers.to_string(),
        });
    }
    let divider = packaging.divider_kg.map_or(0, Grams::as_thousandths);
    let gross = net
        .saturating_add(packaging.tare_kg.as_thousandths())
        .saturating_add(divider.saturating_mul(i64::from(dividers)));
    for (what, stated, found) in [
        ("net mass", package.net_mass_kg, net),
        ("gross mass", package.gross_mass_kg, gross),
    ] {
        if stated.as_thousandths() != found {
            faults.push(LoadFault::WrongNumber {
                package: package.id.clone(),
                what,
                stated: stated.to_string(),
                found: Grams::thousandths(found).to_string(),
            });
        }
    }
    let mut over = |what: &'static str, found: String, limit: String| {
        faults.push(LoadFault::OverLimit {
            package: package.id.clone(),
            what,
            found,
            limit,
        });
    };
    if gross > packaging.max_gross_kg.as_thousandths() {
        over(
            "gross mass",
            Grams::thousandths(gross).to_string(),
            packaging.max_gross_kg.to_string(),
        );
    }
    if let Some(most) = packaging.max_modules
        && inside.len() > most as usize
    {
        over("modules", inside.len().to_string(), most.to_string());
    }
    if let Some(most) = packaging.max_energy_wh {
        match energy {
            Some(energy) if energy <= most.as_thousandths() => {}
            Some(energy) => {
                over(
                    "energy",
                    MilliwattHours::thousandths(energy).to_string(),
                    most.to_string(),
                );
            }
            None => over("energy", "not known".into(), most.to_string()),
        }
    }
}

fn check_company(
    package: &LoadedPackage,
    inside: &[(&Placement, &Piece)],
    faults: &mut Vec<LoadFault>,
) {
    for (at, (_, a)) in inside.iter().enumerate() {
        for (_, b) in inside.iter().skip(at + 1) {
            let regimes = |piece: &Piece| -> Vec<Regime> {
                piece.legs.iter().map(|leg| leg.regime).collect()
            };
            let by_leg = a.legs.iter().zip(&b.legs).find_map(|(one, other)| {
                let (soundness, with) = (one.item.soundness, other.item.soundness);
                let damaged = |leg: &crate::transport::Facts| {
                    leg.item.soundness.is_none_or(Soundness::is_damaged_in_law)
                };
                let heavy = |leg: &crate::transport::Facts| {
                    leg.item
                        .net_mass_kg
                        .is_none_or(|mass| mass.as_thousandths() > DAMAGED_ALONE_ABOVE)
                };
                if soundness != with {
                    Some("they are not equally sound")
                } else if one.item.purpose != other.item.purpose {
                    Some("they travel for different purposes")
                } else if one.item.chemistry != other.item.chemistry {
                    Some("they have different entries")
                } else if damaged(one) && one.regime == Regime::Cfr49 {
                    Some("one damaged battery in a package (49 CFR 173.185(f))")
                } else if damaged(one) && (heavy(one) || heavy(other)) {
                    Some("a damaged battery above 30 kg travels alone (ADR 2025, P908)")
                } else {
                    None
                }
            });
            let other_rules = regimes(a) != regimes(b);
            if let Some(why) = other_rules
                .then_some("they travel under different rules")
                .or(by_leg)
            {
                faults.push(LoadFault::KeptApart {
                    package: package.id.clone(),
                    a: a.module.clone(),
                    b: b.module.clone(),
                    why,
                });
            }
        }
    }
}
