//! Where modules stand in a packaging: in one layer where that does, else in several where packaging
//! and modules allow it.

use super::divider::Divider;
use super::fill::Alike;
use super::floor::{place, stances};
use super::layers::{Kind, Room, layered};
use super::stock::Packaging;
use crate::battery::Soundness;
use crate::citation::Reason;

/// What a reason is about where there is no room.
pub(super) const ROOM: &str = "room inside";

/// Where one module stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    /// From the inner walls and floor.
    pub(super) x: u32,
    pub(super) y: u32,
    /// Of what it stands on.
    pub(super) z: u32,
    /// Length, width and height as it stands.
    pub(super) size: [u32; 3],
}

/// A place for each module.
#[derive(Debug, Clone)]
pub(super) struct Arrangement {
    /// In the order of the kinds.
    pub(super) places: Vec<Place>,
    pub(super) dividers: u32,
}

/// A place for each module, or why there is none.
pub(super) fn arrange(
    packaging: &Packaging,
    alike: &[Alike<'_>],
    counts: &[u32],
) -> Result<Arrangement, Reason> {
    let no_room = |layers: &str| {
        Reason::new(ROOM, format!("not enough in {layers}"))
            .limit(format!(
                "{} x {} x {} mm",
                packaging.inner_length_mm, packaging.inner_width_mm, packaging.inner_height_mm
            ))
            .way_out("a larger packaging")
    };
    let Some(room) = room(packaging) else {
        return Err(no_room("one layer"));
    };
    if let Some(places) = in_one_layer(room, alike, counts) {
        return Ok(Arrangement {
            places,
            dividers: 0,
        });
    }
    if counts.iter().sum::<u32>() < 2 {
        return Err(no_room("one layer"));
    }
    let divider = match Divider::of(packaging) {
        Ok(divider) => divider,
        Err(why) if why.is_empty() => return Err(no_room("one layer")),
        Err(why) => return Err(no_room(&format!("one layer; {why}"))),
    };
    if !alike
        .iter()
        .zip(counts)
        .all(|(one, count)| *count == 0 || is_sound(one))
    {
        return Err(no_room("one layer; only sound modules stand in several").clause(SOUND_ONLY));
    }
    in_layers(room, &divider, alike, counts)
        .ok_or_else(|| no_room(&format!("up to {} layers", divider.layers)))
}

/// Why only sound modules stand in layers.
const SOUND_ONLY: &str = "common practice, no source";

/// Whether every module of the kind is known to be sound on every leg.
pub(super) fn is_sound(one: &Alike<'_>) -> bool {
    one.pieces.iter().all(|piece| {
        let sound = |soundness| soundness == Some(Soundness::Sound);
        piece.legs.iter().all(|leg| sound(leg.item.soundness))
    })
}

fn room(packaging: &Packaging) -> Option<Room> {
    let gap = packaging.gap_mm.unwrap_or(0);
    Some(Room {
        inner: [
            packaging.inner_length_mm.checked_sub(gap)?,
            packaging.inner_width_mm.checked_sub(gap)?,
            packaging.inner_height_mm.checked_sub(gap.checked_mul(2)?)?,
        ],
        gap,
    })
}

fn in_one_layer(room: Room, alike: &[Alike<'_>], counts: &[u32]) -> Option<Vec<Place>> {
    let modules: Vec<_> = alike
        .iter()
        .zip(counts)
        .flat_map(|(one, count)| {
            let may_lie = one.pieces.first().is_some_and(|piece| piece.may_lie);
            let stances: Vec<[u32; 3]> = stances(one.size, may_lie)
                .into_iter()
                .map(|[length, width, height]| {
                    [
                        length.saturating_add(room.gap),
                        width.saturating_add(room.gap),
                        height,
                    ]
                })
                .collect();
            std::iter::repeat_n(stances, *count as usize)
        })
        .collect();
    let spots = place(room.inner, &modules)?;
    Some(
        spots
            .into_iter()
            .map(|spot| within(room, spot, 0))
            .collect(),
    )
}

fn in_layers(
    room: Room,
    divider: &Divider,
    alike: &[Alike<'_>],
    counts: &[u32],
) -> Option<Arrangement> {
    let kinds: Vec<Kind> = alike
        .iter()
        .zip(counts)
        .map(|(one, count)| Kind {
            size: one.size,
            mass: one.mass,
            bears: one
                .pieces
                .first()
                .map_or(0, |piece| divider.may_stand_on(piece)),
            count: *count,
        })
        .collect();
    let (mut stands, layers) = layered(room, divider, &kinds)?;
    stands.sort_by_key(|(kind, _, _)| *kind);
    Some(Arrangement {
        places: stands
            .into_iter()
            .map(|(_, spot, floor)| within(room, spot, floor))
            .collect(),
        dividers: layers.saturating_sub(1),
    })
}

/// The place of a spot that has the gap in it.
fn within(room: Room, (x, y, [length, width, height]): super::floor::Spot, z: u32) -> Place {
    Place {
        x: x.saturating_add(room.gap),
        y: y.saturating_add(room.gap),
        z,
        size: [
            length.saturating_sub(room.gap),
            width.saturating_sub(room.gap),
            height,
        ],
    }
}
