//! Sums of pieces, mass, energy and volume, exact, with what is not known beside them.

use serde::Serialize;

use super::register::Item;
use super::site::Limits;
use crate::citation::Reason;
use crate::units::{Decimal, Grams};

/// One sum: what is known, and how many pieces it is not known of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Sum {
    /// Thousandths of the unit.
    pub thousandths: i64,
    /// Pieces whose value is not known.
    pub unknown: u32,
}

impl Sum {
    fn add(&mut self, value: Option<Decimal>) {
        match value.and_then(careful_thousandths) {
            Some(value) => self.thousandths = self.thousandths.saturating_add(value),
            None => self.unknown += 1,
        }
    }

    /// The known part in the unit.
    #[must_use]
    pub fn decimal(self) -> Decimal {
        Decimal::from_thousandths(self.thousandths)
    }

    /// `245.8`, `245.8 + 2 not known`, or `not known` where nothing is.
    #[must_use]
    pub fn words(self, pieces: u32) -> String {
        match self.unknown {
            0 => self.decimal().to_string(),
            all if all == pieces => "not known".into(),
            some => format!("{} + {some} not known", self.decimal()),
        }
    }
}

/// Whole thousandths; a finer figure or a negative one is not known.
fn careful_thousandths(value: Decimal) -> Option<i64> {
    value.thousandths().filter(|value| *value >= 0)
}

/// What stands in one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Amount {
    /// Modules.
    pub pieces: u32,
    /// Net mass, kg.
    pub mass_kg: Sum,
    /// Rated energy, Wh. It counts as full: charge may be higher than stated.
    pub energy_wh: Sum,
    /// Volume of the containers, m3.
    pub volume_m3: Sum,
}

/// An amount as answers show it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AmountShown {
    /// Modules.
    pub pieces: u32,
    /// Net mass.
    pub mass_kg: Decimal,
    /// Pieces of unknown mass.
    pub mass_unknown: u32,
    /// Rated energy.
    pub energy_kwh: Decimal,
    /// Pieces of unknown energy.
    pub energy_unknown: u32,
    /// Volume.
    pub volume_m3: Decimal,
    /// Pieces of unknown volume.
    pub volume_unknown: u32,
}

impl Amount {
    /// The sum over `items`.
    #[must_use]
    pub fn of<'i>(items: impl IntoIterator<Item = &'i Item>) -> Self {
        let mut amount = Self::default();
        for item in items {
            amount.add(item);
        }
        amount
    }

    /// One more.
    pub fn add(&mut self, item: &Item) {
        self.pieces += 1;
        self.mass_kg.add(item.arrived.net_mass_kg);
        self.energy_wh.add(item.arrived.rated_energy_wh);
        self.volume_m3.add(item.arrived.volume_m3);
    }

    /// Energy in kWh, rounded up to a watt hour.
    #[must_use]
    pub fn energy_kwh(&self) -> Decimal {
        let wh = self.energy_wh.thousandths.saturating_add(999) / 1_000;
        Decimal::from_thousandths(wh)
    }

    /// As answers show it.
    #[must_use]
    pub fn shown(&self) -> AmountShown {
        AmountShown {
            pieces: self.pieces,
            mass_kg: self.mass_kg.decimal(),
            mass_unknown: self.mass_kg.unknown,
            energy_kwh: self.energy_kwh(),
            energy_unknown: self.energy_wh.unknown,
            volume_m3: self.volume_m3.decimal(),
            volume_unknown: self.volume_m3.unknown,
        }
    }

    /// Limits that this amount breaks in `place`, or that cannot be judged since a fact is not
    /// known: not known never becomes yes.
    #[must_use]
    pub fn breaks(&self, limits: &Limits, place: &str) -> Vec<Reason> {
        let (mut over, unknown) = self.judged(limits, place);
        over.extend(unknown);
        over
    }

    /// Limits that are passed by what is known; and those that cannot be judged.
    pub(super) fn judged(&self, limits: &Limits, place: &str) -> (Vec<Reason>, Vec<Reason>) {
        let (mut over, mut unknown) = (Vec::new(), Vec::new());
        let source = limits
            .source
            .clone()
            .unwrap_or_else(|| "site.json, the site's own limit".into());
        let mut judge = |what: &str, unit: &str, sum: Sum, limit: Option<i64>, shown: String| {
            let Some(limit) = limit else { return };
            let shown_limit = format!("{} {unit}", Decimal::from_thousandths(limit));
            if sum.thousandths > limit {
                over.push(
                    Reason::new(format!("{what} in {place}"), format!("{shown} {unit}"))
                        .limit(shown_limit)
                        .clause(&source)
                        .way_out("put it in another bay, or move something out first"),
                );
            } else if sum.unknown > 0 {
                unknown.push(
                    Reason::new(
                        format!("{what} in {place}"),
                        format!("not known of {} pieces", sum.unknown),
                    )
                    .limit(shown_limit)
                    .clause(&source)
                    .way_out("read it from the plate or the scale: `packdown register state`"),
                );
            }
        };
        let pieces = Sum {
            thousandths: i64::from(self.pieces) * 1_000,
            unknown: 0,
        };
        judge(
            "pieces",
            "pieces",
            pieces,
            limits.pieces.map(|most| i64::from(most) * 1_000),
            self.pieces.to_string(),
        );
        judge(
            "mass",
            "kg",
            self.mass_kg,
            limits.mass_kg.map(Grams::as_thousandths),
            self.mass_kg.decimal().to_string(),
        );
        let energy = Sum {
            thousandths: self.energy_wh.thousandths.saturating_add(999) / 1_000,
            unknown: self.energy_wh.unknown,
        };
        judge(
            "energy",
            "kWh",
            energy,
            limits.energy_kwh.and_then(Decimal::thousandths),
            self.energy_kwh().to_string(),
        );
        judge(
            "volume",
            "m3",
            self.volume_m3,
            limits.volume_m3.and_then(Decimal::thousandths),
            self.volume_m3.decimal().to_string(),
        );
        (over, unknown)
    }
}
