//! Where things stand on one carrier: first side by side on its deck; where that finds no room, also
//! on one another, in columns of one footprint, below what each may carry.

use super::carriers::{Carrier, CarrierKind};
use super::parcel::{Parcel, asked};
use super::plan::Stand;
use crate::citation::Reason;
use crate::packing::load::{Spot, place, stances};
use crate::units::Grams;

/// What a reason is about where there is no room.
pub(super) const ROOM: &str = "room on the carrier";
/// Most things on one another.
const HIGHEST: usize = 4;

/// Where each stands, or why they may not go together on this carrier.
pub(super) fn arrange(carrier: &Carrier, aboard: &[&Parcel]) -> Result<Vec<Stand>, Reason> {
    let mass: i64 = aboard.iter().map(|parcel| parcel.gross).sum();
    if mass > carrier.max_load_kg.as_thousandths() {
        return Err(Reason::new("load", Grams::thousandths(mass).to_string())
            .limit(carrier.max_load_kg.to_string())
            .way_out("a carrier for more mass, or one more"));
    }
    let first = aboard.first();
    match carrier.kind {
        CarrierKind::Vehicle => small_load(carrier, aboard)?,
        CarrierKind::Overpack | CarrierKind::Pallet => {
            let other = aboard
                .iter()
                .find(|parcel| first.is_some_and(|first| first.company != parcel.company));
            if let (Some(first), Some(other)) = (first, other) {
                return Err(Reason::new(
                    "company on one carrier",
                    format!(
                        "{} ({}) and {} ({})",
                        first.id, first.company, other.id, other.company
                    ),
                )
                .limit("the same condition and purpose")
                .clause("common practice, no source")
                .way_out("a carrier each"));
            }
            let critical = aboard.iter().find(|parcel| parcel.critical);
            if let Some(critical) = critical
                && (carrier.kind == CarrierKind::Overpack || aboard.len() > 1)
            {
                return Err(Reason::new("critical batteries", critical.id.clone())
                    .limit("alone on a pallet, in no overpack")
                    .clause("common practice, no source")
                    .way_out("a pallet of its own"));
            }
        }
    }
    (1..=HIGHEST)
        .find_map(|levels| columns(carrier, aboard, levels))
        .ok_or_else(|| {
            let [length, width, height] = carrier.room_mm();
            Reason::new(ROOM, "not found for all of them")
                .limit(format!("{length} x {width} x {height} mm"))
                .way_out("a larger carrier, or packagings that carry more on top")
        })
}

/// A vehicle that must stay a small load does.
fn small_load(carrier: &Carrier, aboard: &[&Parcel]) -> Result<(), Reason> {
    if carrier.small_load != Some(true) {
        return Ok(());
    }
    match asked(aboard) {
        Some(answer) if !answer.small_load => Err(answer
            .reasons
            .into_iter()
            .next()
            .unwrap_or_else(|| Reason::new("relief for small loads", "does not apply"))),
        _ => Ok(()),
    }
}

/// Things on one another: the lowest first, and what each carries.
struct Column<'a> {
    parcels: Vec<&'a Parcel>,
}

impl<'a> Column<'a> {
    fn height(&self) -> u32 {
        let heights = self.parcels.iter().map(|parcel| parcel.outer_mm[2]);
        heights.fold(0, u32::saturating_add)
    }

    fn footprint(&self) -> Option<[u32; 2]> {
        self.parcels.first().map(|parcel| footprint(parcel))
    }

    /// Whether `parcel` may stand on top.
    fn takes(&self, parcel: &Parcel, room: u32, levels: usize) -> bool {
        let mut above = parcel.gross;
        let carried = self.parcels.iter().rev().all(|below| {
            let holds = below.carries >= above && !below.critical;
            above = above.saturating_add(below.gross);
            holds
        });
        carried
            && !parcel.critical
            && self.parcels.len() < levels
            && self.footprint() == Some(footprint(parcel))
            && self.height().saturating_add(parcel.outer_mm[2]) <= room
    }
}

/// Length and width, the longer first: it may be turned.
fn footprint(parcel: &Parcel) -> [u32; 2] {
    let [length, width, _] = parcel.outer_mm;
    [length.max(width), length.min(width)]
}

fn columns(carrier: &Carrier, aboard: &[&Parcel], levels: usize) -> Option<Vec<Stand>> {
    let mut order: Vec<&Parcel> = aboard.to_vec();
    order.sort_by(|a, b| {
        footprint(b)
            .cmp(&footprint(a))
            .then(b.carries.cmp(&a.carries))
            .then(b.gross.cmp(&a.gross))
            .then(a.id.cmp(&b.id))
    });
    let mut columns: Vec<Column<'_>> = Vec::new();
    for parcel in order {
        match columns
            .iter_mut()
            .find(|column| column.takes(parcel, carrier.height_mm, levels))
        {
            Some(column) => column.parcels.push(parcel),
            None => columns.push(Column {
                parcels: vec![parcel],
            }),
        }
    }
    let ways: Vec<Vec<[u32; 3]>> = columns
        .iter()
        .map(|column| {
            let [length, width] = column.footprint().unwrap_or_default();
            stances([length, width, column.height()], false)
        })
        .collect();
    let spots = place(carrier.room_mm(), &ways)?;
    Some(
        columns
            .iter()
            .zip(spots)
            .flat_map(|(column, spot)| stands(column, spot))
            .collect(),
    )
}

fn stands(column: &Column<'_>, (x, y, [length, width, _]): Spot) -> Vec<Stand> {
    let mut z = 0_u32;
    let mut below: Option<&Parcel> = None;
    let mut all = Vec::new();
    for (level, parcel) in column.parcels.iter().enumerate() {
        let above: i64 = column.parcels.iter().skip(level).map(|one| one.gross).sum();
        let why = match below {
            None => "on the deck".to_owned(),
            Some(below) => format!(
                "on {}, which may carry {}; {} stand on it",
                below.id,
                Grams::thousandths(below.carries),
                Grams::thousandths(above),
            ),
        };
        let height = parcel.outer_mm[2];
        all.push(Stand {
            what: parcel.id.clone(),
            x_mm: x,
            y_mm: y,
            z_mm: z,
            length_mm: length,
            width_mm: width,
            height_mm: height,
            why,
        });
        z = z.saturating_add(height);
        below = Some(parcel);
    }
    all
}
