//! Judges what stands on what, ours or made by hand, with sums and geometry of its own and the law
//! asked anew. Shares with the planner only the forms of what is planned.

use crate::battery::Soundness;
use crate::packing::load::{Load, LoadedPackage, Piece, Stock};
use crate::transport::{
    Facts, Goods, Load as VehicleLoad, Regime, Standing, check_load, decide_untraced,
};
use crate::units::Grams;

use super::carriers::{Carrier, CarrierKind, Carriers};
use super::fault::HaulFault;
use super::plan::{Carried, Haul, Stand};

/// A package of the load with what the check needs.
struct Known<'a> {
    package: &'a LoadedPackage,
    legs: Vec<&'a Facts>,
    outer: Option<[u32; 3]>,
    bears: i64,
}

impl Known<'_> {
    fn soundness(&self) -> Option<Soundness> {
        let each = self.legs.iter().map(|leg| leg.item.soundness);
        each.max_by_key(|one| one.map_or(u8::MAX, |one| one as u8))?
    }
}

struct Checker<'a> {
    haul: &'a Haul,
    packages: Vec<Known<'a>>,
    carriers: &'a [Carrier],
    faults: Vec<HaulFault>,
}

/// All that is wrong with the haul; nothing where it holds.
#[must_use]
pub fn check_haul(
    haul: &Haul,
    load: &Load,
    pieces: &[Piece],
    stock: &Stock,
    carriers: &Carriers,
) -> Vec<HaulFault> {
    let packages = load
        .packages
        .iter()
        .map(|package| {
            let design = stock
                .packagings
                .iter()
                .find(|one| one.id == package.packaging);
            let modules = package.placements.iter().map(|one| one.module.as_str());
            let inside = modules.filter_map(|module| pieces.iter().find(|p| p.module == module));
            Known {
                package,
                legs: inside.flat_map(|piece| &piece.legs).collect(),
                outer: design.and_then(|one| {
                    Some([
                        one.outer_length_mm?,
                        one.outer_width_mm?,
                        one.outer_height_mm?,
                    ])
                }),
                bears: design
                    .and_then(|one| one.stack_load_kg)
                    .map_or(0, Grams::as_thousandths),
            }
        })
        .collect();
    let mut checker = Checker {
        haul,
        packages,
        carriers: &carriers.carriers,
        faults: Vec::new(),
    };
    checker.everything_once();
    checker.at_hand();
    for carried in &haul.carried {
        match checker.design(carried) {
            Some(carrier) => checker.one(carried, carrier),
            None => checker.faults.push(HaulFault::TooFew {
                carrier: carried.carrier.clone(),
                used: 1,
                count: 0,
            }),
        }
    }
    checker.counts();
    checker.faults
}

impl<'a> Checker<'a> {
    fn design(&self, carried: &Carried) -> Option<&'a Carrier> {
        self.carriers.iter().find(|one| one.id == carried.carrier)
    }

    fn package(&self, id: &str) -> Option<&Known<'a>> {
        self.packages.iter().find(|one| one.package.id == id)
    }

    fn carried(&self, id: &str) -> Option<&'a Carried> {
        self.haul.carried.iter().find(|one| one.id == id)
    }

    fn is_vehicle(&self, carried: &Carried) -> bool {
        self.design(carried)
            .is_some_and(|one| one.kind == CarrierKind::Vehicle)
    }

    /// Every package, and every pallet where vehicles are planned, stands once or is left behind.
    fn everything_once(&mut self) {
        let mut seen: Vec<&str> = Vec::new();
        let stand = self.haul.carried.iter().flat_map(|one| &one.stands);
        let left = self.haul.not_carried.iter().map(|one| one.what.as_str());
        for what in stand.map(|one| one.what.as_str()).chain(left) {
            if seen.contains(&what) {
                self.faults.push(HaulFault::Twice(what.into()));
            }
            seen.push(what);
        }
        let vehicles = self
            .carriers
            .iter()
            .any(|one| one.kind == CarrierKind::Vehicle);
        let units = self
            .haul
            .carried
            .iter()
            .filter(|one| vehicles && !self.is_vehicle(one))
            .map(|one| one.id.as_str());
        let all = self.packages.iter().map(|one| one.package.id.as_str());
        let missing: Vec<HaulFault> = all
            .chain(units)
            .filter(|id| !seen.contains(id))
            .map(|id| HaulFault::Missing(id.into()))
            .collect();
        self.faults.extend(missing);
    }

    fn at_hand(&mut self) {
        for carrier in self.carriers {
            let all = self.haul.carried.iter();
            let used = all.filter(|one| one.carrier == carrier.id).count();
            if used > carrier.count as usize {
                self.faults.push(HaulFault::TooFew {
                    carrier: carrier.id.clone(),
                    used,
                    count: carrier.count,
                });
            }
        }
    }

    /// Mass of a thing in grams, from the packages up.
    fn mass(&self, what: &str, depth: u8) -> Option<i64> {
        if let Some(known) = self.package(what) {
            return Some(known.package.gross_mass_kg.as_thousandths());
        }
        let unit = self.carried(what).filter(|_| depth < 2)?;
        let tare = self.design(unit)?.tare_kg.map_or(0, Grams::as_thousandths);
        unit.stands.iter().try_fold(tare, |sum, stand| {
            sum.checked_add(self.mass(&stand.what, depth + 1)?)
        })
    }

    /// Packages that travel with a thing.
    fn packages_in(&self, what: &str) -> Vec<&Known<'a>> {
        match (self.package(what), self.carried(what)) {
            (Some(known), _) => vec![known],
            (None, Some(unit)) => unit
                .stands
                .iter()
                .filter_map(|stand| self.package(&stand.what))
                .collect(),
            (None, None) => Vec::new(),
        }
    }

    /// Size of a thing from outside.
    fn size(&self, what: &str) -> Option<[u32; 3]> {
        if let Some(known) = self.package(what) {
            return known.outer;
        }
        let unit = self.carried(what)?;
        let design = self.design(unit)?;
        let wall = design.wall_mm.unwrap_or(0);
        let tops = unit
            .stands
            .iter()
            .map(|one| one.z_mm.checked_add(one.height_mm));
        let load = tops.max().flatten()?;
        let inside = if design.kind == CarrierKind::Overpack {
            design.height_mm.checked_add(wall)?
        } else {
            load
        };
        Some([
            design.length_mm.checked_add(2 * wall)?,
            design.width_mm.checked_add(2 * wall)?,
            inside.checked_add(design.deck_mm.unwrap_or(0))?,
        ])
    }

    fn one(&mut self, carried: &Carried, carrier: &Carrier) {
        let id = &carried.id;
        if carried.stands.is_empty() {
            self.faults.push(HaulFault::Empty(id.clone()));
        }
        let mut load = 0_i64;
        for stand in &carried.stands {
            let is_unit = self
                .carried(&stand.what)
                .is_some_and(|unit| self.is_vehicle(carried) && !self.is_vehicle(unit));
            if self.package(&stand.what).is_none() && !is_unit {
                self.faults.push(HaulFault::NoSuchThing {
                    carried: id.clone(),
                    what: stand.what.clone(),
                });
            }
            load = load.saturating_add(self.mass(&stand.what, 0).unwrap_or(0));
        }
        let gross = load.saturating_add(carrier.tare_kg.map_or(0, Grams::as_thousandths));
        for (what, stated, found) in [
            ("load", carried.load_kg, load),
            ("gross mass", carried.gross_kg, gross),
        ] {
            if stated.as_thousandths() != found {
                self.faults.push(HaulFault::WrongNumber {
                    carried: id.clone(),
                    what,
                    stated: stated.to_string(),
                    found: Grams::thousandths(found).to_string(),
                });
            }
        }
        if load > carrier.max_load_kg.as_thousandths() {
            self.faults.push(HaulFault::TooHeavy {
                carried: id.clone(),
                found: Grams::thousandths(load).to_string(),
                limit: carrier.max_load_kg.to_string(),
            });
        }
        self.room(carried, carrier);
        self.bearing(carried);
        match carrier.kind {
            CarrierKind::Vehicle => self.law(carried, carrier),
            CarrierKind::Overpack | CarrierKind::Pallet => self.company(carried, carrier),
        }
    }

    fn room(&mut self, carried: &Carried, carrier: &Carrier) {
        let end = |from: u32, size: u32| u64::from(from) + u64::from(size);
        for (at, stand) in carried.stands.iter().enumerate() {
            let (id, what) = (carried.id.clone(), stand.what.clone());
            let fits = self
                .size(&stand.what)
                .is_some_and(|[length, width, height]| {
                    let turned = [stand.length_mm, stand.width_mm];
                    stand.height_mm == height
                        && (turned == [length, width] || turned == [width, length])
                });
            if !fits {
                self.faults.push(HaulFault::OtherSize {
                    carried: id.clone(),
                    what: what.clone(),
                });
            }
            if end(stand.x_mm, stand.length_mm) > u64::from(carrier.length_mm)
                || end(stand.y_mm, stand.width_mm) > u64::from(carrier.width_mm)
                || end(stand.z_mm, stand.height_mm) > u64::from(carrier.height_mm)
            {
                self.faults.push(HaulFault::SticksOut {
                    carried: id.clone(),
                    what: what.clone(),
                });
            }
            for other in carried.stands.iter().skip(at + 1) {
                let apart = |a: u32, size: u32, b: u32, other: u32| {
                    end(a, size) <= u64::from(b) || end(b, other) <= u64::from(a)
                };
                if !apart(stand.x_mm, stand.length_mm, other.x_mm, other.length_mm)
                    && !apart(stand.y_mm, stand.width_mm, other.y_mm, other.width_mm)
                    && !apart(stand.z_mm, stand.height_mm, other.z_mm, other.height_mm)
                {
                    self.faults.push(HaulFault::InOneAnother {
                        carried: id.clone(),
                        a: what.clone(),
                        b: other.what.clone(),
                    });
                }
            }
        }
    }

    /// The one thing that `stand` stands on; a thing on the deck has none.
    fn below<'s>(carried: &'s Carried, stand: &Stand) -> Option<&'s Stand> {
        let end = |from: u32, size: u32| u64::from(from) + u64::from(size);
        carried.stands.iter().find(|lower| {
            end(lower.z_mm, lower.height_mm) == u64::from(stand.z_mm)
                && lower.x_mm <= stand.x_mm
                && lower.y_mm <= stand.y_mm
                && end(lower.x_mm, lower.length_mm) >= end(stand.x_mm, stand.length_mm)
                && end(lower.y_mm, lower.width_mm) >= end(stand.y_mm, stand.width_mm)
        })
    }

    /// Everything stands on the deck or whole on one thing, and nothing carries more than it may.
    fn bearing(&mut self, carried: &Carried) {
        let mut borne = vec![0_i64; carried.stands.len()];
        for stand in &carried.stands {
            let mass = self.mass(&stand.what, 0).unwrap_or(0);
            let mut upper = stand;
            // Each step goes down; more of them than there are things cannot be.
            for _ in 0..carried.stands.len() {
                if upper.z_mm == 0 {
                    break;
                }
                let Some(lower) = Self::below(carried, upper) else {
                    self.faults.push(HaulFault::NotBorne {
                        carried: carried.id.clone(),
                        what: upper.what.clone(),
                    });
                    break;
                };
                let at = carried
                    .stands
                    .iter()
                    .position(|one| std::ptr::eq(one, lower));
                if let Some(sum) = at.and_then(|at| borne.get_mut(at)) {
                    *sum = sum.saturating_add(mass);
                }
                upper = lower;
            }
        }
        for (stand, borne) in carried.stands.iter().zip(borne) {
            let known = self.package(&stand.what);
            let critical = known.is_some_and(|one| {
                one.soundness()
                    .is_none_or(|worst| worst == Soundness::Critical)
            });
            let bears = known.filter(|_| !critical).map_or(0, |one| one.bears);
            if borne > bears {
                self.faults.push(HaulFault::Crushed {
                    carried: carried.id.clone(),
                    what: stand.what.clone(),
                    found: Grams::thousandths(borne).to_string(),
                    limit: Grams::thousandths(bears).to_string(),
                });
            }
            if critical && stand.z_mm > 0 {
                self.faults.push(HaulFault::NotBorne {
                    carried: carried.id.clone(),
                    what: stand.what.clone(),
                });
            }
        }
    }

    /// On one pallet and in one overpack only what is equally sound and travels for one purpose;
    /// critical batteries alone on a pallet.
    fn company(&mut self, carried: &Carried, carrier: &Carrier) {
        let inside: Vec<&Known<'_>> = carried
            .stands
            .iter()
            .filter_map(|stand| self.package(&stand.what))
            .collect();
        let mut apart = Vec::new();
        let mut fault = |a: &Known<'_>, b: &Known<'_>, why: &'static str| {
            apart.push(HaulFault::KeptApart {
                carried: carried.id.clone(),
                a: a.package.id.clone(),
                b: b.package.id.clone(),
                why,
            });
        };
        for (at, a) in inside.iter().enumerate() {
            let is_critical =
                |one: &Known<'_>| one.soundness().is_none_or(|one| one == Soundness::Critical);
            if is_critical(a) && carrier.kind == CarrierKind::Overpack {
                fault(a, a, "critical batteries go into no overpack");
            }
            for b in inside.iter().skip(at + 1) {
                if is_critical(a) || is_critical(b) {
                    fault(a, b, "critical batteries stand alone on a pallet");
                }
                let pairs = a
                    .legs
                    .iter()
                    .flat_map(|a| b.legs.iter().map(move |b| (a, b)));
                for (one, other) in pairs {
                    if one.regime == other.regime && one.mode == other.mode {
                        if one.item.soundness != other.item.soundness {
                            fault(a, b, "they are not equally sound");
                        } else if one.item.purpose != other.item.purpose {
                            fault(a, b, "they travel for different purposes");
                        }
                    }
                }
            }
        }
        apart.dedup();
        self.faults.extend(apart);
    }

    /// Points and the relief for small loads, asked anew.
    fn law(&mut self, carried: &Carried, carrier: &Carrier) {
        let mut goods = Vec::new();
        let mut road = None;
        for known in carried
            .stands
            .iter()
            .flat_map(|stand| self.packages_in(&stand.what))
        {
            let leg = known
                .legs
                .iter()
                .find(|leg| matches!(leg.regime, Regime::Adr | Regime::Cfr49));
            let Some(leg) = leg else { continue };
            road.get_or_insert(*leg);
            let worst = known.soundness();
            let (net, gross) = (known.package.net_mass_kg, known.package.gross_mass_kg);
            goods.extend(decide_untraced(leg).entry.map(|entry| Goods {
                un: entry.un.into_owned(),
                net_mass_kg: net,
                gross_mass_kg: Some(gross),
                critical: Some(worst.is_none_or(|worst| worst == Soundness::Critical)),
                damaged: Some(worst.is_none_or(Soundness::is_damaged_in_law)),
                waste: None,
                charge_at_most_percent: None,
                on: Standing::Vehicle,
                category: None,
                labels: None,
                heaviest_package_net_kg: Some(net),
                heaviest_package_gross_kg: Some(gross),
            }));
        }
        let Some(leg) = road else { return };
        let answer = check_load(&VehicleLoad::planned(leg, goods));
        if carried.points != answer.points {
            let words = |points: Option<crate::units::Decimal>| {
                points.map_or("not known".to_owned(), |points| points.to_string())
            };
            self.faults.push(HaulFault::WrongNumber {
                carried: carried.id.clone(),
                what: "points",
                stated: words(carried.points),
                found: words(answer.points),
            });
        }
        if carrier.small_load == Some(true) && !answer.small_load {
            self.faults.push(HaulFault::NoSmallLoad {
                carried: carried.id.clone(),
                why: answer
                    .reasons
                    .first()
                    .map_or(String::new(), ToString::to_string),
            });
        }
    }

    fn counts(&mut self) {
        let (vehicles, units): (Vec<&Carried>, Vec<&Carried>) = self
            .haul
            .carried
            .iter()
            .partition(|one| self.is_vehicle(one));
        for (what, stated, found) in [
            (
                "pallets and overpacks",
                self.haul.handling_units,
                units.len(),
            ),
            ("vehicles", self.haul.vehicles, vehicles.len()),
        ] {
            let proven = stated.count == stated.lower_bound;
            if stated.count != found || stated.lower_bound > found || stated.proven != proven {
                self.faults.push(HaulFault::WrongCount {
                    what,
                    stated,
                    found,
                });
            }
        }
    }
}
