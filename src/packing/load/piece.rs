//! What is to be packed, and the plan that comes of it.

use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::packing::haul::Haul;
use crate::transport::Facts;
use crate::units::{Grams, MilliwattHours};

/// One module with all that decides where it may go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Its name in the job.
    pub module: String,
    /// Length, width and height in mm as it stands.
    pub size_mm: Option<[u32; 3]>,
    /// Whether it may travel on its side.
    pub may_lie: bool,
    /// What may stand on it as it stands upright; nothing where it is not known.
    pub stack_load: Option<Grams>,
    /// Whether battery terminals are on its upper side.
    pub terminals_on_top: Option<bool>,
    /// Facts for each leg of the way, without a package.
    pub legs: Vec<Facts>,
}

impl Piece {
    /// Mass, where it is known; the same on every leg.
    #[must_use]
    pub fn mass(&self) -> Option<Grams> {
        self.legs.first()?.item.net_mass_kg
    }

    /// Rated energy, where it is known.
    #[must_use]
    pub fn energy(&self) -> Option<MilliwattHours> {
        self.legs.first()?.item.rated_energy_wh
    }
}

/// Which module stands in which package, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Load {
    /// Name of the job.
    pub job: String,
    /// The packages.
    pub packages: Vec<LoadedPackage>,
    /// What cannot be packed, and why.
    #[serde(default)]
    pub not_packed: Vec<NotPacked>,
    /// Packagings of the stock that take none of the modules, and why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub passed_over: Vec<PassedOver>,
    /// How many packages.
    pub count: usize,
    /// No plan for the modules that are packed can use fewer packages of this stock.
    pub lower_bound: usize,
    /// Whether `count` is `lower_bound`.
    pub proven: bool,
    /// What stands on which pallet and vehicle, where carriers are listed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub haul: Option<Haul>,
    /// What the plan takes for granted: to be done when packing.
    #[serde(default)]
    pub duties: Vec<String>,
}

impl Load {
    /// A plan in which nothing is packed.
    pub(super) fn nothing(job: &str) -> Self {
        Self {
            job: job.into(),
            packages: Vec::new(),
            not_packed: Vec::new(),
            passed_over: Vec::new(),
            count: 0,
            lower_bound: 0,
            proven: true,
            haul: None,
            duties: Vec::new(),
        }
    }
}

/// One package.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LoadedPackage {
    /// Name in the plan.
    pub id: String,
    /// Name of the packaging in the stock.
    pub packaging: String,
    /// Mass of the modules.
    pub net_mass_kg: Grams,
    /// Mass when closed, with the dividers.
    pub gross_mass_kg: Grams,
    /// Rated energy, where that of each module is known.
    #[serde(default)]
    pub rated_energy_wh: Option<MilliwattHours>,
    /// Dividers between layers of modules.
    #[serde(default, skip_serializing_if = "is_none")]
    pub dividers: u32,
    /// Where each module stands.
    pub placements: Vec<Placement>,
}

impl LoadedPackage {
    /// In which layer each module stands, the lowest first, and how many layers there are.
    #[must_use]
    pub fn layer_of(&self, placement: &Placement) -> (usize, usize) {
        let mut floors: Vec<u32> = self.placements.iter().map(|one| one.z_mm).collect();
        floors.sort_unstable();
        floors.dedup();
        let below = floors.iter().filter(|floor| **floor < placement.z_mm);
        (below.count() + 1, floors.len())
    }
}

/// One module in its package, seen from above.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Placement {
    /// The module.
    pub module: String,
    /// From the inner left wall, along the length of the packaging.
    pub x_mm: u32,
    /// From the inner front wall, along its width.
    pub y_mm: u32,
    /// How far above the inner floor lies what it stands on: 0, or the top of a divider.
    #[serde(default, skip_serializing_if = "is_none")]
    pub z_mm: u32,
    /// Along the length of the packaging.
    pub length_mm: u32,
    /// Along its width.
    pub width_mm: u32,
    /// Upward.
    pub height_mm: u32,
    /// Why here.
    #[serde(default)]
    pub why: String,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it")]
const fn is_none(number: &u32) -> bool {
    *number == 0
}

/// A packaging that takes none of the modules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PassedOver {
    /// Its name in the stock.
    pub packaging: String,
    /// Why not even one of the first module that another packaging takes.
    pub reasons: Vec<Reason>,
}

/// A module without a package.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NotPacked {
    /// The module.
    pub module: String,
    /// Why.
    pub reasons: Vec<Reason>,
}
