//! A consignment by air, under the ICAO and IATA texts and in the United States: what does not fly,
//! most in a package, charge, approvals. The aircraft itself is the operator's.

use crate::transport::document_words::digits_of;
use crate::transport::facts::{ApprovalKind, Mode};
use crate::transport::load_form::{Goods, Load};
use crate::transport::sea_air_rows::{
    AIR_APPROVALS, AIR_CARGO_NET, AIR_CARGO_ONLY, AIR_CHARGE, AIR_IN_UNIT, AIR_NO_DAMAGED,
    AIR_PACKED_WITH, AIR_PASSENGER_NET, AIR_WASTE, AIRCRAFT_APPROVALS, AIRCRAFT_CARGO_NET,
    AIRCRAFT_CARGO_ONLY, AIRCRAFT_CHARGE, AIRCRAFT_IN_UNIT, AIRCRAFT_NO_DAMAGED,
    AIRCRAFT_PASSENGER_NET,
};
use crate::transport::vehicle_load::Check;
use crate::transport::vehicle_rows::{Due, LoadLaw, LoadRule};

/// The rows of one law, and which approvals are in hand.
struct Flight {
    passenger: bool,
    most_in_package: &'static LoadRule,
    charge: &'static LoadRule,
    no_damaged: &'static LoadRule,
    in_unit: &'static LoadRule,
    cargo_only: &'static LoadRule,
    approvals: &'static LoadRule,
    /// Waste; the United States have no such row for the air.
    waste: Option<&'static LoadRule>,
    /// Batteries beside their equipment.
    packed_with: Option<&'static LoadRule>,
    /// Numbers for which the texts at hand give no packing.
    open: &'static [&'static str],
    heavy_approved: bool,
    charge_approved: bool,
}

const ALONE: [&str; 3] = ["3090", "3480", "3551"];
const WITH_EQUIPMENT: [&str; 3] = ["3091", "3481", "3552"];

impl Check {
    pub(super) fn air(&mut self, load: &Load, mode: Mode) {
        let origin = load.has_approval(ApprovalKind::StateOfOrigin);
        let both = origin && load.has_approval(ApprovalKind::StateOfTheOperator);
        let passenger = mode == Mode::PassengerAircraft;
        let flight = Flight {
            passenger,
            most_in_package: if passenger {
                &AIR_PASSENGER_NET
            } else {
                &AIR_CARGO_NET
            },
            charge: &AIR_CHARGE,
            no_damaged: &AIR_NO_DAMAGED,
            in_unit: &AIR_IN_UNIT,
            cargo_only: &AIR_CARGO_ONLY,
            approvals: &AIR_APPROVALS,
            waste: Some(&AIR_WASTE),
            packed_with: Some(&AIR_PACKED_WITH),
            open: &["3090", "3091", "3551", "3552"],
            heavy_approved: origin,
            charge_approved: both,
        };
        self.flight(load, LoadLaw::Air, &flight);
    }

    pub(super) fn aircraft(&mut self, load: &Load, mode: Mode) {
        let approved = load.has_approval(ApprovalKind::CompetentAuthority);
        let passenger = mode == Mode::PassengerAircraft;
        let flight = Flight {
            passenger,
            most_in_package: if passenger {
                &AIRCRAFT_PASSENGER_NET
            } else {
                &AIRCRAFT_CARGO_NET
            },
            charge: &AIRCRAFT_CHARGE,
            no_damaged: &AIRCRAFT_NO_DAMAGED,
            in_unit: &AIRCRAFT_IN_UNIT,
            cargo_only: &AIRCRAFT_CARGO_ONLY,
            approvals: &AIRCRAFT_APPROVALS,
            waste: None,
            packed_with: None,
            open: &["3551", "3552"],
            heavy_approved: approved,
            charge_approved: approved,
        };
        self.flight(load, LoadLaw::Aircraft, &flight);
        self.duties(LoadLaw::UnitedStates, Due::FullLoad);
    }

    fn flight(&mut self, load: &Load, law: LoadLaw, flight: &Flight) {
        self.sensible(load);
        self.duties(law, Due::Always);
        for goods in &load.goods {
            let number = digits_of(&goods.un);
            let alone = ALONE.contains(&number.as_str());
            if number == "3536" {
                self.unit_in_flight(goods, flight);
            } else if alone || WITH_EQUIPMENT.contains(&number.as_str()) {
                self.batteries_in_flight(goods, &number, alone, flight);
            } else {
                self.hold(
                    "other goods in the consignment",
                    &goods.un,
                    "the operator says how they fly and what they stand beside; this rule set has \
                     no rows for them by air",
                );
            }
        }
    }

    fn unit_in_flight(&mut self, goods: &Goods, flight: &Flight) {
        self.due_once(flight.in_unit);
        if flight.heavy_approved {
            self.hold(
                "unit with batteries built in",
                &goods.un,
                "does the approval cover this unit in every point; the compliance officer decides, \
                 with the operator",
            );
        } else {
            self.forbid(
                "unit with batteries built in",
                &goods.un,
                "only with an approval",
                &flight.in_unit.cited(),
                "the shipper sends it by road, rail or sea",
            );
        }
    }

    fn batteries_in_flight(&mut self, goods: &Goods, number: &str, alone: bool, flight: &Flight) {
        self.undamaged(goods, flight);
        self.no_waste(goods, flight);
        if flight.open.contains(&number) {
            self.hold(
                "entry and packing by air",
                &goods.un,
                "the compliance officer decides, with the operator: the texts that were read do \
                 not give them",
            );
        }
        if !alone && let Some(rule) = flight.packed_with {
            self.due_once(rule);
        }
        self.due_once(flight.most_in_package);
        if alone && flight.passenger {
            self.forbid(
                "batteries by themselves",
                &format!("{} on passenger aircraft", goods.un),
                "cargo aircraft only",
                &flight.most_in_package.cited(),
                "the shipper sends them by cargo aircraft where that is open, or by road, rail or \
                 sea",
            );
            return;
        }
        if alone {
            self.due_once(flight.cargo_only);
        }
        self.heaviest(goods, flight);
        if number == "3480" {
            self.charge(goods, flight);
        }
    }

    fn undamaged(&mut self, goods: &Goods, flight: &Flight) {
        let clause = flight.no_damaged.cited();
        if goods.damaged == Some(true) || goods.critical == Some(true) {
            self.forbid(
                "damaged batteries",
                &goods.un,
                "none by air",
                &clause,
                "the shipper sends them by road, rail or sea as damaged",
            );
        } else if goods.damaged.is_none() {
            self.ask(
                "goods.damaged",
                &format!(
                    "is any battery of {} damaged or recalled, or was it not judged",
                    goods.un
                ),
                &clause,
            );
        }
    }

    fn no_waste(&mut self, goods: &Goods, flight: &Flight) {
        let Some(rule) = flight.waste else { return };
        match goods.waste {
            Some(false) => {}
            None => self.ask(
                "goods.waste",
                &format!(
                    "is any battery of {} waste, or for recycling or disposal",
                    goods.un
                ),
                &rule.cited(),
            ),
            Some(true) if flight.charge_approved => {
                self.due_once(flight.approvals);
                self.hold(
                    "waste batteries",
                    &goods.un,
                    "do both approvals cover this consignment in every point, and does the \
                     operator take it; the compliance officer decides, with the operator",
                );
            }
            Some(true) => self.forbid(
                "waste batteries",
                &goods.un,
                "only with the approvals of the State of Origin and the State of the Operator",
                &rule.cited(),
                "the shipper sends them by road, rail or sea, or gets both approvals",
            ),
        }
    }

    /// The heaviest package; where it is not known, all of it might be in one.
    fn heaviest(&mut self, goods: &Goods, flight: &Flight) {
        let rule = flight.most_in_package;
        let most = goods.heaviest_package_net_kg.unwrap_or(goods.net_mass_kg);
        if most.as_thousandths() <= rule.thousandths() {
            return;
        }
        if goods.heaviest_package_net_kg.is_none() {
            self.ask(
                "goods.heaviest_package_net_kg",
                &format!("how much does the heaviest package of {} hold", goods.un),
                &rule.cited(),
            );
        } else if flight.heavy_approved && !flight.passenger {
            self.due_once(flight.approvals);
        } else {
            self.forbid(
                "net mass in a package",
                &format!("{}: {most} kg", goods.un),
                &rule.limit_words(),
                &rule.cited(),
                if flight.passenger {
                    "the shipper makes smaller packages, or sends them by cargo aircraft, road, \
                     rail or sea"
                } else {
                    "the shipper makes smaller packages, gets the approval, or sends them by road, \
                     rail or sea"
                },
            );
        }
    }

    fn charge(&mut self, goods: &Goods, flight: &Flight) {
        let rule = flight.charge;
        self.due_once(rule);
        match goods.charge_at_most_percent {
            None => self.ask(
                "goods.charge_at_most_percent",
                &format!(
                    "what is the highest state of charge among the batteries of {}",
                    goods.un
                ),
                &rule.cited(),
            ),
            Some(charge) if charge.as_thousandths() <= rule.thousandths() => {}
            Some(_) if flight.charge_approved => self.due_once(flight.approvals),
            Some(charge) => self.forbid(
                "state of charge",
                &format!("{}: up to {charge} %", goods.un),
                &rule.limit_words(),
                &rule.cited(),
                "a qualified person discharges them to 30 % or less by a released method, or the \
                 shipper gets the approval",
            ),
        }
    }

    fn due_once(&mut self, rule: &LoadRule) {
        if self
            .answer
            .requirements
            .iter()
            .all(|due| due.rule != rule.id)
        {
            self.due(rule);
        }
    }
}
