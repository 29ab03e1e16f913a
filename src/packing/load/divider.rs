//! The divider between two layers of modules: what is known of it, or why there is one layer only.

use super::piece::Piece;
use super::stock::{Packaging, RestsOn};

/// A divider of which everything is known.
#[derive(Debug, Clone, Copy)]
pub(super) struct Divider {
    /// Most layers in the packaging.
    pub(super) layers: u32,
    pub(super) rests_on: RestsOn,
    pub(super) mm: u32,
    /// Its mass in grams.
    pub(super) mass: i64,
    /// What may stand on it, in grams.
    pub(super) bears: i64,
    clears_terminals: bool,
}

impl Divider {
    /// The divider of this packaging, or why modules stand in one layer there.
    pub(super) fn of(packaging: &Packaging) -> Result<Self, String> {
        let layers = packaging.max_layers.unwrap_or(1);
        if layers < 2 {
            return Err(String::new());
        }
        let unknown = |column: &str| format!("more layers need `{column}`, which is not known");
        if packaging.divider_non_conductive == Some(false) {
            return Err("more layers need a divider that does not conduct".into());
        }
        packaging
            .divider_non_conductive
            .ok_or_else(|| unknown("divider_non_conductive"))?;
        Ok(Self {
            layers,
            rests_on: packaging
                .divider_rests_on
                .ok_or_else(|| unknown("divider_rests_on"))?,
            mm: packaging.divider_mm.ok_or_else(|| unknown("divider_mm"))?,
            mass: packaging
                .divider_kg
                .ok_or_else(|| unknown("divider_kg"))?
                .as_thousandths(),
            bears: packaging
                .divider_bears_kg
                .ok_or_else(|| unknown("divider_bears_kg"))?
                .as_thousandths(),
            clears_terminals: packaging.divider_clears_terminals == Some(true),
        })
    }

    /// What a module below this divider may carry, in grams; nothing where that is not known, or where
    /// the divider would press on its terminals.
    pub(super) fn may_stand_on(&self, piece: &Piece) -> i64 {
        if self.clears_terminals || piece.terminals_on_top == Some(false) {
            piece.stack_load.map_or(0, |load| load.as_thousandths())
        } else {
            0
        }
    }
}
