//! What packages travel on: `carriers.csv`, one row a design. An empty cell is "not known".

use serde::{Deserialize, Serialize};

use crate::packing::PackingError;
use crate::packing::rows::read_rows;
use crate::units::Grams;

/// What a carrier is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CarrierKind {
    /// Encloses packages as one handling unit; it needs the mark OVERPACK.
    Overpack,
    /// A pallet that packages stand on.
    Pallet,
    /// A vehicle.
    Vehicle,
}

/// One design and how many of it are at hand.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Carrier {
    /// Its name.
    pub id: String,
    /// What it is.
    pub kind: CarrierKind,
    /// Length, width and height of the room for the load, in mm.
    pub length_mm: u32,
    /// See above.
    pub width_mm: u32,
    /// See above.
    pub height_mm: u32,
    /// How thick its walls are, in mm; none on a pallet.
    #[serde(default)]
    pub wall_mm: Option<u32>,
    /// How high its deck is, in mm.
    #[serde(default)]
    pub deck_mm: Option<u32>,
    /// Most that it may carry.
    pub max_load_kg: Grams,
    /// Its own mass; zero where it does not count.
    #[serde(default)]
    pub tare_kg: Option<Grams>,
    /// How many are at hand.
    pub count: u32,
    /// Vehicles: whether the load must stay a small load of ADR 1.1.3.6, at most 1,000 points.
    #[serde(default, deserialize_with = "yes_no")]
    pub small_load: Option<bool>,
}

impl Carrier {
    /// Length, width and height from outside with a load of this height.
    pub(super) fn outer_mm(&self, load_height: u32) -> [u32; 3] {
        let wall = self.wall_mm.unwrap_or(0);
        let height = match self.kind {
            CarrierKind::Overpack => self.height_mm.saturating_add(wall),
            CarrierKind::Pallet | CarrierKind::Vehicle => load_height,
        };
        [
            self.length_mm.saturating_add(wall.saturating_mul(2)),
            self.width_mm.saturating_add(wall.saturating_mul(2)),
            height.saturating_add(self.deck_mm.unwrap_or(0)),
        ]
    }

    /// Room for the load.
    pub(super) const fn room_mm(&self) -> [u32; 3] {
        [self.length_mm, self.width_mm, self.height_mm]
    }
}

/// What is at hand, in the order of the file; the first that fits is taken first.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Carriers {
    /// The designs.
    pub carriers: Vec<Carrier>,
}

impl Carriers {
    /// Reads `carriers.csv`. Lines that begin with `#` are remarks.
    ///
    /// # Errors
    /// The first row that cannot be read, or a name that stands twice.
    pub fn read(text: &str) -> Result<Self, PackingError> {
        let carriers: Vec<Carrier> = read_rows(text).map_err(PackingError::Carriers)?;
        for (at, one) in carriers.iter().enumerate() {
            if carriers.iter().take(at).any(|other| other.id == one.id) {
                return Err(PackingError::Carriers(format!("`{}` stands twice", one.id)));
            }
            if one.max_load_kg <= Grams::default() || one.room_mm().contains(&0) {
                return Err(PackingError::Carriers(format!(
                    "`{}`: room and load must be above zero",
                    one.id
                )));
            }
        }
        Ok(Self { carriers })
    }
}

fn yes_no<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Option<bool>, D::Error> {
    match String::deserialize(deserializer)?.to_lowercase().as_str() {
        "" => Ok(None),
        "yes" | "true" => Ok(Some(true)),
        "no" | "false" => Ok(Some(false)),
        other => Err(serde::de::Error::custom(format!(
            "`{other}` is not yes, no or empty"
        ))),
    }
}
