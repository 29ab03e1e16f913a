//! Where modules stand on the floor of a packaging. One layer only: no module carries another, so no
//! battery terminal carries anything.
//!
//! Corner positions are tried depth first within a fixed number of steps. What is found is a place
//! for each; not finding one within the steps counts as no room.

/// Most steps for one floor.
const STEPS: u32 = 20_000;

/// A module to place: its ways to stand, each length, width and height with the room around it.
pub(in crate::packing) type Stances = Vec<[u32; 3]>;

/// One placed module: x, y, and the way it stands.
pub(in crate::packing) type Spot = (u32, u32, [u32; 3]);

/// The ways a module may stand.
pub(in crate::packing) fn stances(size: [u32; 3], may_lie: bool) -> Stances {
    let [length, width, height] = size;
    let mut all = vec![[length, width, height], [width, length, height]];
    if may_lie {
        all.extend([
            [length, height, width],
            [height, length, width],
            [width, height, length],
            [height, width, length],
        ]);
    }
    let mut once: Stances = Vec::new();
    for stance in all {
        if !once.contains(&stance) {
            once.push(stance);
        }
    }
    once
}

/// A spot for each of the modules on a floor of `inner` length and width, below its height.
pub(in crate::packing) fn place(inner: [u32; 3], modules: &[Stances]) -> Option<Vec<Spot>> {
    let area = |[length, width, _]: [u32; 3]| u64::from(length) * u64::from(width);
    let least = |ways: &Stances| ways.iter().map(|way| area(*way)).min().unwrap_or(0);
    if modules.iter().map(least).sum::<u64>() > area(inner) {
        return None;
    }
    let mut steps = STEPS;
    let mut spots = Vec::new();
    deeper(inner, modules, &mut spots, &mut steps).then_some(spots)
}

fn deeper(inner: [u32; 3], modules: &[Stances], spots: &mut Vec<Spot>, steps: &mut u32) -> bool {
    let Some((next, rest)) = modules.split_first() else {
        return true;
    };
    let edges = |of: fn(&Spot) -> u32| {
        let mut edges: Vec<u32> = spots.iter().map(of).chain([0]).collect();
        edges.sort_unstable();
        edges.dedup();
        edges
    };
    let (xs, ys) = (
        edges(|spot| spot.0 + spot.2[0]),
        edges(|spot| spot.1 + spot.2[1]),
    );
    for &stance in next {
        for &y in &ys {
            for &x in &xs {
                if *steps == 0 {
                    return false;
                }
                *steps -= 1;
                let spot = (x, y, stance);
                if fits(inner, &spot) && spots.iter().all(|other| apart(&spot, other)) {
                    spots.push(spot);
                    if deeper(inner, rest, spots, steps) {
                        return true;
                    }
                    spots.pop();
                }
            }
        }
    }
    false
}

fn fits(inner: [u32; 3], (x, y, stance): &Spot) -> bool {
    let ends = [
        x.saturating_add(stance[0]),
        y.saturating_add(stance[1]),
        stance[2],
    ];
    ends.iter().zip(&inner).all(|(end, inner)| end <= inner)
}

fn apart(a: &Spot, b: &Spot) -> bool {
    a.0 + a.2[0] <= b.0 || b.0 + b.2[0] <= a.0 || a.1 + a.2[1] <= b.1 || b.1 + b.2[1] <= a.1
}
