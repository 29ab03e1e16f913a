//! A unit packed for the sea: under the IMDG Code, and on a vessel of the United States. What the
//! texts at hand do not say of segregation stays open, with who decides.

use chrono::NaiveDate;

use crate::transport::document_words::digits_of;
use crate::transport::facts::Stowage;
use crate::transport::load_form::{Goods, Load};
use crate::transport::sea_air_rows::{
    NEXT_AMENDMENT, SEA_CRITICAL, SEA_NUMBER, SEA_ON_DECK, SEA_PLACARDS, VESSEL_ON_DECK,
};
use crate::transport::vehicle_load::Check;
use crate::transport::vehicle_rows::{Due, LoadLaw, LoadRule, NEXT_EDITION_FROM};

/// What is known of a load in parts: certainly, perhaps, or not at all.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Found {
    No,
    NotKnown,
    Yes,
}

impl Check {
    pub(super) fn sea(&mut self, load: &Load, on: NaiveDate) {
        self.sensible(load);
        self.duties(LoadLaw::Sea, Due::Always);
        if on >= NEXT_EDITION_FROM {
            self.due(&NEXT_AMENDMENT);
        }
        self.sea_placards(load);
        if load.goods.iter().any(|goods| may_be_many(load, goods)) {
            self.due(&SEA_NUMBER);
        }
        self.on_deck(load, &SEA_ON_DECK);
        if load.goods.iter().any(|goods| goods.critical != Some(false)) {
            self.due(&SEA_CRITICAL);
        }
        for goods in &load.goods {
            match digits_of(&goods.un).as_str() {
                "3090" | "3091" | "3480" | "3481" | "3551" | "3552" => {}
                "3536" => self.hold(
                    "stowage of a unit with batteries built in",
                    &goods.un,
                    "the compliance officer reads the entry of UN 3536, whose stowage and \
                     segregation changed with amendment 42-24",
                ),
                _ => self.hold(
                    "segregation from other goods in the unit",
                    &goods.un,
                    "the packer finds it in the segregation table (IMDG 42-24, 7.2, not read), or \
                     packs two units",
                ),
            }
        }
    }

    /// What a vessel of the United States adds to the duties there.
    pub(super) fn vessel(&mut self, load: &Load) {
        self.on_deck(load, &VESSEL_ON_DECK);
    }

    /// Placards on the sides, where somebody looked.
    fn sea_placards(&mut self, load: &Load) {
        let Some(placards) = &load.placards else {
            return;
        };
        let sides = placards.iter().filter(|shown| shown.trim() == "9").count();
        let enough = i64::try_from(sides)
            .is_ok_and(|sides| sides.saturating_mul(1_000) >= SEA_PLACARDS.thousandths());
        if !enough {
            self.forbid(
                "placards of model 9",
                &format!("{sides} sides"),
                &SEA_PLACARDS.limit_words(),
                &SEA_PLACARDS.cited(),
                "the packer puts the missing ones on before the unit leaves",
            );
        }
    }

    /// Damaged and waste batteries under deck.
    fn on_deck(&mut self, load: &Load, rule: &LoadRule) {
        let found = load.goods.iter().map(kept_on_deck).max();
        let short = load
            .voyage
            .as_ref()
            .and_then(|voyage| voyage.short_international);
        if found.is_none_or(|found| found == Found::No) || short == Some(true) {
            return;
        }
        self.due(rule);
        let stowage = load.voyage.as_ref().and_then(|voyage| voyage.stowage);
        if stowage != Some(Stowage::UnderDeck) {
            return;
        }
        let clause = rule.cited();
        if found == Some(Found::NotKnown) {
            self.ask(
                "goods.damaged, goods.waste",
                "is any of the batteries damaged, or waste",
                &clause,
            );
        } else if short.is_none() {
            self.ask(
                "voyage.short_international",
                "is it a short international voyage",
                &clause,
            );
        } else {
            self.forbid(
                "damaged or waste batteries",
                "under deck",
                "on deck only",
                &clause,
                "the consignor asks the carrier for a place on deck",
            );
        }
    }
}

/// Whether the goods are damaged or waste.
fn kept_on_deck(goods: &Goods) -> Found {
    let damaged = if goods.critical == Some(true) {
        Some(true)
    } else {
        goods.damaged
    };
    match (damaged, goods.waste) {
        (Some(true), _) | (_, Some(true)) => Found::Yes,
        (Some(false), Some(false)) => Found::No,
        _ => Found::NotKnown,
    }
}

/// Whether there may be so much of this number that it stands on the unit; a mass that is not known
/// counts as much.
fn may_be_many(load: &Load, goods: &Goods) -> bool {
    let number = digits_of(&goods.un);
    let sum = load
        .goods
        .iter()
        .filter(|other| digits_of(&other.un) == number)
        .try_fold(0_i64, |sum, other| {
            sum.checked_add(other.gross_mass_kg?.as_thousandths())
        });
    sum.is_none_or(|sum| sum > SEA_NUMBER.thousandths())
}
