//! Where modules stand in several layers: upright, with a divider between any two layers.
//!
//! On shelves of the packaging each layer is a floor of its own. On modules every upper one stands
//! over one of the layer below, which is of one height so that the divider lies flat; and since it is
//! not known how a divider shares its load out, each module below must be able to carry all of it.

use super::divider::Divider;
use super::floor::{Spot, Stances, place, stances};
use super::stock::RestsOn;

/// Modules that are alike, as many as go in.
#[derive(Debug, Clone)]
pub(super) struct Kind {
    /// Length, width and height, without the gap.
    pub(super) size: [u32; 3],
    /// Each, in grams.
    pub(super) mass: i64,
    /// What may stand on each, in grams.
    pub(super) bears: i64,
    pub(super) count: u32,
}

/// The inside of a packaging: length and width without one gap, height without any, and the gap.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    pub(super) inner: [u32; 3],
    pub(super) gap: u32,
}

/// One layer: kinds and their spots with the gap.
type Layer = Vec<(usize, Spot)>;

/// A module of a kind, its spot with the gap, and what it stands on above the inner floor.
pub(super) type Stand = (usize, Spot, u32);

/// A place for every module, and how many layers that makes.
pub(super) fn layered(room: Room, divider: &Divider, kinds: &[Kind]) -> Option<(Vec<Stand>, u32)> {
    let fits = |layers: Vec<Layer>| finish(room, divider, kinds, &layers);
    match divider.rests_on {
        RestsOn::Packaging => {
            let by_height = order(kinds, |kind| (i64::from(kind.size[2]), kind.mass));
            let by_mass = order(kinds, |kind| (kind.mass, i64::from(kind.size[2])));
            on_shelves(room, divider, kinds, &by_height)
                .and_then(fits)
                .or_else(|| on_shelves(room, divider, kinds, &by_mass).and_then(fits))
        }
        RestsOn::Modules => {
            let bearers = order(kinds, |kind| (kind.bears, footprint(kind)));
            let mut heights: Vec<u32> = bearers
                .iter()
                .filter_map(|at| kinds.get(*at))
                .filter(|kind| kind.bears > 0)
                .map(|kind| kind.size[2])
                .collect();
            heights.sort_unstable();
            heights.dedup();
            heights.into_iter().find_map(|height| {
                let mut left: Vec<u32> = kinds.iter().map(|kind| kind.count).collect();
                let may = |kind: &Kind| kind.bears > 0 && kind.size[2] == height;
                let lowest = floor_full(room, kinds, &bearers, &mut left, i64::MAX, may);
                on_modules(room, divider, kinds, &left, &mut vec![lowest]).and_then(fits)
            })
        }
    }
}

/// The kinds, greatest first.
fn order<K: Ord>(kinds: &[Kind], key: impl Fn(&Kind) -> K) -> Vec<usize> {
    let mut all: Vec<usize> = (0..kinds.len()).collect();
    all.sort_by_key(|at| std::cmp::Reverse(kinds.get(*at).map(&key)));
    all
}

fn footprint(kind: &Kind) -> i64 {
    i64::from(kind.size[0]) * i64::from(kind.size[1])
}

/// Ways to stand, upright, with the gap.
fn upright(kind: &Kind, gap: u32) -> Stances {
    stances(kind.size, false)
        .into_iter()
        .map(|[length, width, height]| {
            [
                length.saturating_add(gap),
                width.saturating_add(gap),
                height,
            ]
        })
        .collect()
}

/// As many as find room on one floor and weigh no more than `most` together, kind by kind; taken
/// from `left`.
fn floor_full(
    room: Room,
    kinds: &[Kind],
    order: &[usize],
    left: &mut [u32],
    mut most: i64,
    may: impl Fn(&Kind) -> bool,
) -> Layer {
    let mut here: Vec<usize> = Vec::new();
    let mut ways: Vec<Stances> = Vec::new();
    let mut spots: Vec<Spot> = Vec::new();
    for &at in order {
        let (Some(kind), Some(left)) = (kinds.get(at), left.get_mut(at)) else {
            continue;
        };
        while *left > 0 && kind.mass <= most && may(kind) {
            ways.push(upright(kind, room.gap));
            let Some(found) = place(room.inner, &ways) else {
                ways.pop();
                break;
            };
            spots = found;
            here.push(at);
            most -= kind.mass;
            *left -= 1;
        }
    }
    here.into_iter().zip(spots).collect()
}

fn on_shelves(
    room: Room,
    divider: &Divider,
    kinds: &[Kind],
    order: &[usize],
) -> Option<Vec<Layer>> {
    let mut left: Vec<u32> = kinds.iter().map(|kind| kind.count).collect();
    let mut layers: Vec<Layer> = Vec::new();
    for level in 0..divider.layers {
        let most = if level == 0 { i64::MAX } else { divider.bears };
        layers.push(floor_full(room, kinds, order, &mut left, most, |_| true));
        if left.iter().all(|left| *left == 0) {
            return Some(layers);
        }
    }
    None
}

/// Layers above the last of `layers`, until nothing is left.
fn on_modules(
    room: Room,
    divider: &Divider,
    kinds: &[Kind],
    left: &[u32],
    layers: &mut Vec<Layer>,
) -> Option<Vec<Layer>> {
    if left.iter().all(|left| *left == 0) {
        return Some(layers.clone());
    }
    if layers.len() >= divider.layers as usize {
        return None;
    }
    // What stands on top of all may be of any height and need carry nothing.
    let mut heights: Vec<Option<u32>> = vec![None];
    let bearers = kinds.iter().zip(left.iter());
    heights.extend(
        bearers
            .filter(|(kind, left)| **left > 0 && kind.bears > 0)
            .map(|(kind, _)| Some(kind.size[2])),
    );
    heights.dedup();
    for height in heights {
        let may =
            |kind: &Kind| height.is_none_or(|height| kind.bears > 0 && kind.size[2] == height);
        let below = layers.last()?;
        let mut then = left.to_vec();
        let layer = over(room, kinds, below, &mut then, may);
        let all = then.iter().all(|left| *left == 0);
        if layer.is_empty() || (height.is_none() && !all) {
            continue;
        }
        layers.push(layer);
        let found = on_modules(room, divider, kinds, &then, layers);
        layers.pop();
        if found.is_some() {
            return found;
        }
    }
    None
}

/// A layer of which each stands over one module of the layer below: the largest first, each over the
/// smallest that takes it.
fn over(
    room: Room,
    kinds: &[Kind],
    below: &Layer,
    left: &mut [u32],
    may: impl Fn(&Kind) -> bool,
) -> Layer {
    let mut free: Vec<Spot> = below.iter().map(|(_, spot)| *spot).collect();
    free.sort_by_key(|(x, y, [length, width, _])| (u64::from(*length) * u64::from(*width), *y, *x));
    let mut layer = Layer::new();
    for at in order(kinds, |kind| (footprint(kind), kind.mass)) {
        let (Some(kind), Some(left)) = (kinds.get(at), left.get_mut(at)) else {
            continue;
        };
        if !may(kind) {
            continue;
        }
        let ways = upright(kind, room.gap);
        while *left > 0 {
            let taken = free.iter().enumerate().find_map(|(n, (x, y, base))| {
                let fits = |way: &&[u32; 3]| way[0] <= base[0] && way[1] <= base[1];
                Some((n, (*x, *y, *ways.iter().find(fits)?)))
            });
            let Some((n, spot)) = taken else {
                break;
            };
            free.remove(n);
            layer.push((at, spot));
            *left -= 1;
        }
    }
    layer
}

/// The stands of the layers, where the height is enough and everything is borne.
fn finish(
    room: Room,
    divider: &Divider,
    kinds: &[Kind],
    layers: &[Layer],
) -> Option<(Vec<Stand>, u32)> {
    let mass = |layer: &Layer| -> i64 {
        let each = layer.iter().filter_map(|(at, _)| kinds.get(*at));
        each.map(|kind| kind.mass).sum()
    };
    let mut above = 0_i64;
    for (lower, upper) in layers.iter().zip(layers.iter().skip(1)).rev() {
        above = match divider.rests_on {
            RestsOn::Packaging => mass(upper),
            RestsOn::Modules => above.saturating_add(mass(upper)),
        };
        if above > divider.bears {
            return None;
        }
        above = above.saturating_add(divider.mass);
        let may_carry = |at: &usize| kinds.get(*at).is_some_and(|kind| kind.bears >= above);
        if divider.rests_on == RestsOn::Modules && !lower.iter().all(|(at, _)| may_carry(at)) {
            return None;
        }
    }
    let mut stands = Vec::new();
    let mut floor = 0_u32;
    for layer in layers {
        let highest = layer.iter().map(|(_, spot)| spot.2[2]).max()?;
        let top = floor.checked_add(highest)?;
        if top > room.inner[2] {
            return None;
        }
        stands.extend(layer.iter().map(|(at, spot)| (*at, *spot, floor)));
        floor = top
            .checked_add(room.gap.checked_mul(2)?)?
            .checked_add(divider.mm)?;
    }
    Some((stands, u32::try_from(layers.len()).ok()?))
}
