//! Figures that cannot be: a mass of nothing, a lowest charge above the highest, a package lighter
//! than what is in it. Somebody has mistyped, so the answer waits for the right figure.

use crate::citation::Reason;
use crate::transport::facts::{Facts, Item};
use crate::units::Grams;

/// The highest state of charge there is, in thousandths of a per cent.
pub(crate) const FULL: i64 = 100_000;

/// Figures of the battery that cannot be.
pub(super) fn of_item(item: &Item) -> Vec<Reason> {
    let mut found = Vec::new();
    if let Some(mass) = item.net_mass_kg
        && mass.as_thousandths() <= 0
    {
        found.push(
            Reason::new("item.net_mass_kg", mass.to_string())
                .limit("more than 0 kg")
                .way_out("weigh the battery, or read its nameplate again"),
        );
    }
    if let Some(energy) = item.rated_energy_wh
        && energy.as_thousandths() <= 0
    {
        found.push(
            Reason::new("item.rated_energy_wh", energy.to_string())
                .limit("more than 0 Wh")
                .way_out("read the nameplate again"),
        );
    }
    if let Some(charge) = item.state_of_charge_percent
        && !(0 <= charge.low.as_thousandths()
            && charge.low <= charge.high
            && charge.high.as_thousandths() <= FULL)
    {
        found.push(
            Reason::new(
                "item.state_of_charge_percent",
                format!("{} to {} %", charge.low, charge.high),
            )
            .limit("from 0 to 100 %, the lowest first")
            .way_out("look at the readings again: which of the two is right"),
        );
    }
    found
}

/// Figures of the package that cannot be.
pub(super) fn of_package(facts: &Facts) -> Vec<Reason> {
    let Some(package) = &facts.package else {
        return Vec::new();
    };
    let mut found = Vec::new();
    if package.items == Some(0) {
        found.push(
            Reason::new("package.items", "0")
                .limit("at least 1")
                .way_out("count the batteries in the package"),
        );
    }
    if let Some(net) = package.net_mass_kg
        && net.as_thousandths() <= 0
    {
        found.push(
            Reason::new("package.net_mass_kg", net.to_string())
                .limit("more than 0 kg")
                .way_out("weigh what is in the package"),
        );
    }
    let inside: Option<Grams> = facts.package_net().or(facts.item.net_mass_kg);
    if let Some((gross, net)) = package.gross_mass_kg.zip(inside)
        && gross < net
    {
        found.push(
            Reason::new(
                "package.gross_mass_kg",
                format!("{gross}, with {net} inside"),
            )
            .limit("no less than the batteries in it")
            .way_out("weigh the package again: which of the two is right"),
        );
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::transport::facts::{Package, Regime, StateOfCharge};
    use crate::units::{MilliPercent, MilliwattHours};

    fn whats(reasons: &[Reason]) -> Vec<&str> {
        reasons.iter().map(|reason| reason.what.as_str()).collect()
    }

    #[test]
    fn what_cannot_be_is_found_one_step_past_what_can() {
        // Plain arithmetic; no source.
        let mass = |grams| Item {
            net_mass_kg: Some(Grams::thousandths(grams)),
            ..Item::default()
        };
        assert!(of_item(&mass(1)).is_empty());
        assert_eq!(whats(&of_item(&mass(0))), ["item.net_mass_kg"]);
        assert_eq!(whats(&of_item(&mass(-1))), ["item.net_mass_kg"]);
        let energy = |thousandths| Item {
            rated_energy_wh: Some(MilliwattHours::thousandths(thousandths)),
            ..Item::default()
        };
        assert!(of_item(&energy(1)).is_empty());
        assert_eq!(whats(&of_item(&energy(0))), ["item.rated_energy_wh"]);
        let charge = |low, high| {
            let item = Item {
                state_of_charge_percent: Some(StateOfCharge {
                    low: MilliPercent::thousandths(low),
                    high: MilliPercent::thousandths(high),
                }),
                ..Item::default()
            };
            of_item(&item).len()
        };
        assert_eq!(
            (charge(0, 0), charge(30_000, 30_000), charge(0, FULL)),
            (0, 0, 0)
        );
        assert_eq!(
            (charge(-1, 0), charge(30_001, 30_000), charge(0, FULL + 1)),
            (1, 1, 1)
        );
        let packed = |items, net: Option<i64>, gross| {
            let mut facts = Facts::new(Regime::Adr);
            facts.item.net_mass_kg = Some(Grams::thousandths(20_000));
            facts.package = Some(Package {
                items,
                net_mass_kg: net.map(Grams::thousandths),
                gross_mass_kg: Some(Grams::thousandths(gross)),
                ..Package::default()
            });
            of_package(&facts)
                .iter()
                .map(|reason| reason.what.clone())
                .collect::<Vec<_>>()
        };
        assert!(packed(Some(1), None, 20_000).is_empty());
        assert_eq!(packed(Some(2), None, 39_999), ["package.gross_mass_kg"]);
        assert!(packed(Some(2), None, 40_000).is_empty());
        assert_eq!(packed(None, None, 19_999), ["package.gross_mass_kg"]);
        assert_eq!(
            packed(Some(2), Some(50_000), 49_999),
            ["package.gross_mass_kg"]
        );
        assert_eq!(packed(Some(1), Some(0), 20_000), ["package.net_mass_kg"]);
        assert_eq!(packed(Some(0), Some(20_000), 20_000), ["package.items"]);
        assert!(of_package(&Facts::new(Regime::Adr)).is_empty());
    }
}
