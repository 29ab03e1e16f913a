//! State of charge as papers show it: an interval and how it was known.

use std::fmt;

use serde::Serialize;

use crate::papers::column::{Column, Kind, column};
use crate::units::MilliPercent;

/// The lower end, in every table.
pub(super) const LOW: Column = column(
    "state_of_charge_low_percent",
    Kind::PERCENT,
    "Lowest state of charge that fits the evidence, per cent of present capacity.",
);
/// The upper end, in every table.
pub(super) const HIGH: Column = column(
    "state_of_charge_high_percent",
    Kind::PERCENT,
    "Highest state of charge that fits the evidence, per cent of present capacity.",
);
/// How it was known, where a table says so.
pub(super) const BASIS: Column = column(
    "state_of_charge_basis",
    Kind::Text,
    "How the state of charge was known.",
);

/// State of charge as an interval, and how it was known.
///
/// Where it is not known at all the papers carry `None` and print that it is taken as full.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChargeRange {
    /// Lowest value that fits the evidence, 0 to 100 %.
    pub low_percent: MilliPercent,
    /// Highest value that fits the evidence, 0 to 100 %.
    pub high_percent: MilliPercent,
    /// How it was known, in words: `battery management screen, +-3 %`.
    pub basis: String,
}

impl fmt::Display for ChargeRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.low_percent == self.high_percent {
            return write!(f, "{} %", self.low_percent.decimal());
        }
        write!(
            f,
            "{} to {} %",
            self.low_percent.decimal(),
            self.high_percent.decimal()
        )
    }
}
