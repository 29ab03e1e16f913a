//! What the cell voltages of a module are by themselves: findings, whatever the charge.

use super::ruling::Rules;
use crate::battery::{Anode, Cathode};
use crate::units::Decimal;

/// Spread of rested cells above which it is a finding, millivolts (chosen here, no source).
const SPREAD_MV: i64 = 100;
/// Below this a cell is damaged, millivolts (from memory, unverified).
const DEEP_MV: i64 = 1_500;

impl Rules<'_> {
    /// M04: a cell outside its limits is F18, F19 or F20; cells that stand apart are F22.
    ///
    /// The limits are the usual ones, since a plan does not carry the maker's: least 2.5 V for iron
    /// phosphate and 3.0 V for the other lithium cathodes, most 3.65 and 4.25 V; against titanate
    /// 1.8 and 2.9 V (from memory, unverified: they only make a module worse). An unknown cathode has
    /// only the 1.5 V limit.
    pub(super) fn cells(&mut self) {
        if self.slot.is_none() {
            return;
        }
        let cell = |name| self.evidence().number(name).and_then(milli);
        let (low, high) = (
            cell("cell_voltage_lowest_v"),
            cell("cell_voltage_highest_v"),
        );
        let installation = &self.frame.installation;
        let (least, most) = match installation.cathode {
            _ if installation.anode == Anode::Titanate => (Some(1_800), Some(2_900)),
            Cathode::Lfp => (Some(2_500), Some(3_650)),
            Cathode::Lco | Cathode::Lmo | Cathode::Nca | Cathode::Nmc => (Some(3_000), Some(4_250)),
            Cathode::Unknown => (None, None),
        };
        let mut findings = Vec::new();
        if let Some(low) = low {
            if low < DEEP_MV {
                findings.push("F19");
            } else if least.is_some_and(|least| low < least) {
                findings.push("F18");
            }
        }
        if high.zip(most).is_some_and(|(high, most)| high > most) {
            findings.push("F20");
        }
        if low
            .zip(high)
            .is_some_and(|(low, high)| high.saturating_sub(low) > SPREAD_MV)
        {
            findings.push("F22");
        }
        self.ruling
            .findings
            .extend(findings.into_iter().map(str::to_owned));
    }
}

/// Whole millivolts; a finer figure is cut towards zero.
fn milli(volts: Decimal) -> Option<i64> {
    volts.thousandths().or_else(|| {
        let text = volts.to_string();
        let (whole, fraction) = text.split_once('.')?;
        let cut: String = fraction.chars().take(3).collect();
        format!("{whole}.{cut}")
            .parse::<Decimal>()
            .ok()?
            .thousandths()
    })
}
