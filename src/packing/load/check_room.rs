//! Whether modules stand inside their packaging, apart from one another, the way they may, and what
//! those in an upper layer stand on. For the checker of loads, with geometry and sums of its own.

use crate::battery::Soundness;
use crate::units::Grams;

use super::fault::LoadFault;
use super::piece::{LoadedPackage, Piece, Placement};
use super::stock::{Packaging, RestsOn};

/// How many dividers lie in the package: one between any two layers.
pub(super) fn dividers_of(package: &LoadedPackage) -> u32 {
    (floors(package.placements.iter()).len() as u32).saturating_sub(1)
}

/// Heights of what modules stand on, the lowest first.
fn floors<'a>(placements: impl Iterator<Item = &'a Placement>) -> Vec<u32> {
    let all: std::collections::BTreeSet<u32> = placements.map(|one| one.z_mm).collect();
    all.into_iter().collect()
}

type Inside<'a> = [(&'a Placement, &'a Piece)];

/// Names every fault of place and of weight.
pub(super) fn check_room(
    package: &LoadedPackage,
    packaging: &Packaging,
    inside: &Inside<'_>,
    faults: &mut Vec<LoadFault>,
) {
    let gap_mm = packaging.gap_mm.unwrap_or(0);
    let gap = u64::from(gap_mm);
    for (at, (placement, piece)) in inside.iter().enumerate() {
        let (module, id) = (placement.module.clone(), package.id.clone());
        let right = u64::from(placement.x_mm) + u64::from(placement.length_mm) + gap;
        let back = u64::from(placement.y_mm) + u64::from(placement.width_mm) + gap;
        let top = u64::from(placement.z_mm) + u64::from(placement.height_mm) + 2 * gap;
        if right > u64::from(packaging.inner_length_mm)
            || back > u64::from(packaging.inner_width_mm)
            || top > u64::from(packaging.inner_height_mm)
            || placement.x_mm < gap_mm
            || placement.y_mm < gap_mm
        {
            faults.push(LoadFault::SticksOut {
                package: id.clone(),
                module: module.clone(),
            });
        }
        let drawn = [placement.length_mm, placement.width_mm, placement.height_mm];
        let stands = match piece.size_mm {
            None => false,
            Some(size) if piece.may_lie && package.dividers == 0 => sorted(size) == sorted(drawn),
            Some([length, width, height]) => {
                drawn == [length, width, height] || drawn == [width, length, height]
            }
        };
        if !stands {
            faults.push(LoadFault::WrongStance {
                package: id.clone(),
                module: module.clone(),
            });
        }
        for (other, _) in inside.iter().skip(at + 1) {
            let beside =
                |a: u32, size: u32, b: u32| u64::from(a) + u64::from(size) + gap <= u64::from(b);
            let apart = beside(placement.x_mm, placement.length_mm, other.x_mm)
                || beside(other.x_mm, other.length_mm, placement.x_mm)
                || beside(placement.y_mm, placement.width_mm, other.y_mm)
                || beside(other.y_mm, other.width_mm, placement.y_mm)
                || beside(placement.z_mm, placement.height_mm, other.z_mm)
                || beside(other.z_mm, other.height_mm, placement.z_mm);
            if !apart {
                faults.push(LoadFault::TooClose {
                    package: id.clone(),
                    a: module.clone(),
                    b: other.module.clone(),
                    gap_mm,
                });
            }
        }
    }
    let floors = floors(inside.iter().map(|(placement, _)| *placement));
    let mut say = |layer: usize, what: String| {
        faults.push(LoadFault::NotBorne {
            package: package.id.clone(),
            layer: format!("layer {layer} of {}", floors.len()),
            what,
        });
    };
    if floors.first().is_some_and(|lowest| *lowest > 0) {
        say(1, "does not stand on the floor".into());
    }
    if floors.len() > 1 {
        for what in against_layers(packaging, inside, floors.len()) {
            say(floors.len(), what);
        }
        let layers: Vec<Vec<(&Placement, &Piece)>> = floors
            .iter()
            .map(|floor| {
                let here = inside.iter().filter(|(one, _)| one.z_mm == *floor);
                here.copied().collect()
            })
            .collect();
        let mut above = 0_i64;
        for (below, upper) in (0..layers.len() - 1).rev().zip((1..layers.len()).rev()) {
            let (Some(lower), Some(on_it)) = (layers.get(below), layers.get(upper)) else {
                continue;
            };
            let mass: i64 = on_it.iter().map(|(_, piece)| grams(piece.mass())).sum();
            above = match packaging.divider_rests_on {
                // A shelf hands its load to the packaging.
                Some(RestsOn::Packaging) => mass,
                _ => above + mass,
            };
            for what in on_the_divider(packaging, lower, on_it, above) {
                say(upper + 1, what);
            }
            above += grams(packaging.divider_kg);
        }
    }
}

/// Why modules may not stand in layers here at all.
fn against_layers(packaging: &Packaging, inside: &Inside<'_>, layers: usize) -> Vec<String> {
    let mut what = Vec::new();
    let most = packaging.max_layers.unwrap_or(1);
    if layers > most as usize {
        what.push(format!("`{}` takes {most}", packaging.id));
    }
    for (known, name) in [
        (
            packaging.divider_rests_on.is_some(),
            "what the divider rests on",
        ),
        (
            packaging.divider_mm.is_some(),
            "the thickness of the divider",
        ),
        (packaging.divider_kg.is_some(), "the mass of the divider"),
        (
            packaging.divider_bears_kg.is_some(),
            "what may stand on the divider",
        ),
    ] {
        if !known {
            what.push(format!("{name} is not known"));
        }
    }
    if packaging.divider_non_conductive != Some(true) {
        what.push("that the divider does not conduct is not known".into());
    }
    let other = inside.iter().find(|(_, piece)| {
        let sound = |soundness| soundness == Some(Soundness::Sound);
        !piece.legs.iter().all(|leg| sound(leg.item.soundness))
    });
    if let Some((_, other)) = other {
        what.push(format!(
            "only sound modules stand in layers, and `{}` is not known to be",
            other.module
        ));
    }
    what
}

/// What is wrong between two layers. `load` is what the divider carries, in grams.
fn on_the_divider(
    packaging: &Packaging,
    lower: &Inside<'_>,
    upper: &Inside<'_>,
    load: i64,
) -> Vec<String> {
    let mut what = Vec::new();
    let gap = u64::from(packaging.gap_mm.unwrap_or(0));
    let tops = lower
        .iter()
        .map(|(one, _)| u64::from(one.z_mm) + u64::from(one.height_mm) + 2 * gap);
    let (lowest_top, highest_top) = (
        tops.clone().min().unwrap_or(0),
        tops.clone().max().unwrap_or(0),
    );
    let under = upper.first().map_or(0, |(one, _)| {
        u64::from(one.z_mm).saturating_sub(u64::from(packaging.divider_mm.unwrap_or(0)))
    });
    if under < highest_top {
        what.push("the divider has no room above the layer below".into());
    }
    let bears = grams(packaging.divider_bears_kg);
    if load > bears {
        what.push(format!(
            "the divider may carry {}, and {} stand on it",
            Grams::thousandths(bears),
            Grams::thousandths(load)
        ));
    }
    if packaging.divider_rests_on == Some(RestsOn::Packaging) {
        return what;
    }
    if lowest_top != highest_top || under != highest_top {
        what.push("the divider does not lie flat on the layer below".into());
    }
    let load = load + grams(packaging.divider_kg);
    for (_, piece) in lower {
        let may = grams(piece.stack_load);
        if load > may {
            what.push(format!(
                "`{}` may carry {}, and {} may come to stand on it",
                piece.module,
                Grams::thousandths(may),
                Grams::thousandths(load)
            ));
        }
        if piece.terminals_on_top != Some(false) && packaging.divider_clears_terminals != Some(true)
        {
            what.push(format!(
                "weight may come onto the terminals of `{}`",
                piece.module
            ));
        }
    }
    for (one, _) in upper {
        let stands_on_one = lower.iter().any(|(below, _)| {
            let within = |a: u32, size: u32, b: u32, room: u32| {
                a >= b && u64::from(a) + u64::from(size) <= u64::from(b) + u64::from(room)
            };
            within(one.x_mm, one.length_mm, below.x_mm, below.length_mm)
                && within(one.y_mm, one.width_mm, below.y_mm, below.width_mm)
        });
        if !stands_on_one {
            what.push(format!(
                "`{}` does not stand over one module of the layer below",
                one.module
            ));
        }
    }
    what
}

fn grams(mass: Option<Grams>) -> i64 {
    mass.map_or(0, Grams::as_thousandths)
}

fn sorted(mut size: [u32; 3]) -> [u32; 3] {
    size.sort_unstable();
    size
}
