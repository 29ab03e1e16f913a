//! The relief for small loads, counted again: mass by factor over what the hand-overs of one day put
//! on one vehicle. Where no vehicle was said, each hand-over is a load. What else stood on it is not
//! in the record; the plan says that nothing did.

use std::collections::BTreeSet;

use crate::audit::on_vehicle::{Loaded, clause_of, plate, too_much};
use crate::audit::{Dossier, Exchange, Found, Side};
use crate::job::Leg;
use crate::transport::{
    Answer, Decision, Edition, Goods, Load, Regime, Standing, check_load, small_load_limit,
};
use crate::units::Grams;

const EACH: &str = "mass and transport category of each article handed over";
const TELL: &str = "tell carrier and officer today: it went without what a full load needs; the next \
                    one as a full load, or on two journeys";

/// `transport.points`
pub(in crate::audit) fn points(dossier: &Dossier) -> Vec<Found> {
    let relies = |leg: &Leg| leg.small_load == Some(true);
    let legs = dossier.plan().route.iter().enumerate();
    legs.filter(|(_, leg)| relies(leg))
        .flat_map(|(n, leg)| {
            let loads = loads(dossier).into_iter();
            loads.filter_map(move |load| of_load(dossier, n, leg, &load))
        })
        .collect()
}

/// What each hand-over put on a vehicle that was named, to be counted with what other jobs put on it.
pub(in crate::audit) fn loaded(dossier: &Dossier) -> Vec<Loaded> {
    if dossier.exchanges.iter().all(|one| one.vehicle.is_none()) {
        return Vec::new();
    }
    let legs = || {
        let route = dossier.plan().route.iter().enumerate();
        route.filter(|(_, leg)| leg.regime == Regime::Adr)
    };
    let small = legs().find(|(_, leg)| leg.small_load == Some(true));
    let Some((n, leg)) = small.or_else(|| legs().next()) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for together in loads(dossier) {
        let mut counted = BTreeSet::new();
        for gave in together {
            let Some(vehicle) = gave.vehicle.clone() else {
                continue;
            };
            let aboard = aboard(dossier, n, leg, gave, &mut counted);
            let masses = aboard.as_ref().and_then(|(load, _)| masses(load));
            let all_known = aboard.is_some_and(|(_, not_known)| not_known.is_empty());
            found.push(Loaded {
                leaf: gave.leaf.clone(),
                seq: gave.seq,
                vehicle,
                day: gave.at.local_day(),
                by_category: masses.unwrap_or_default(),
                whole: masses.is_some() && all_known,
                relies: leg.small_load == Some(true),
            });
        }
    }
    found
}

/// Mass of each transport category of a load, in thousandths of a kilogram.
fn masses(load: &Load) -> Option<[i64; 5]> {
    let mut sums = [0_i64; 5];
    for goods in &load.goods {
        let sum = sums.get_mut(usize::from(goods.category?))?;
        *sum = sum.checked_add(goods.net_mass_kg.as_thousandths())?;
    }
    Some(sums)
}

/// Hand-overs that stood on a vehicle together, as far as is known.
fn loads(dossier: &Dossier) -> Vec<Vec<&Exchange>> {
    let mut loads: Vec<Vec<&Exchange>> = Vec::new();
    for gave in dossier
        .exchanges
        .iter()
        .filter(|one| one.side == Side::Gave)
    {
        let vehicle = |one: &Exchange| one.vehicle.as_deref().map(plate);
        let with = |load: &&mut Vec<&Exchange>| {
            gave.vehicle.is_some()
                && load.iter().any(|one| {
                    vehicle(one) == vehicle(gave) && one.at.local_day() == gave.at.local_day()
                })
        };
        match loads.iter_mut().find(with) {
            Some(load) => load.push(gave),
            None => loads.push(vec![gave]),
        }
    }
    loads
}

fn of_load(dossier: &Dossier, n: usize, leg: &Leg, together: &[&Exchange]) -> Option<Found> {
    let gave = together.last()?;
    let found = |found: String, limit: &str| {
        let vehicle = match (&gave.vehicle, together.len()) {
            (Some(vehicle), 2..) => format!(", {} hand-overs on {vehicle}", together.len()),
            _ => String::new(),
        };
        let what = format!(
            "small load of leg {}, handed over at {}{vehicle}",
            n + 1,
            gave.place
        );
        let mut one = Found::new(what, found).at_seq(gave.seq).limit(limit);
        one.at = Some(gave.at.to_string());
        one
    };
    if leg.regime != Regime::Adr {
        return Some(
            found(leg.regime.name().to_owned(), "on the road under ADR only").way_out(
                "tell the carrier that it was a full load; take small_load out of the leg",
            ),
        );
    }
    let Some((load, not_known)) = all_aboard(dossier, n, leg, together) else {
        return Some(
            found(
                "not determined: none of it is a module of this job".into(),
                EACH,
            )
            .way_out("find out what was loaded, and count its points"),
        );
    };
    let answer = check_load(&load);
    let masses_kg = load
        .goods
        .iter()
        .map(|one| one.net_mass_kg.as_thousandths());
    let mass = Grams::thousandths(masses_kg.sum());
    match answer.points {
        // What is known is too much already, whatever else was aboard.
        Some(_) if !answer.small_load => {
            let why = answer.reasons.into_iter().next().unwrap_or_default();
            Some(
                found(
                    format!("{} {}, {mass} in all", why.what, why.value),
                    &why.limit,
                )
                .clause(why.clause)
                .way_out(TELL),
            )
        }
        Some(_) if not_known.is_empty() => None,
        Some(_) => Some(
            found(format!("not determined: {}", not_known.join(", ")), EACH).way_out(
                "have it weighed where it is now, correct the record, count the points again",
            ),
        ),
        None => {
            // Second-hand text may make an answer stricter, never call a load small.
            let before = answer.edition == Edition::Adr2023.name();
            let why = masses(&load).filter(|_| before);
            let why = why.and_then(|masses| too_much(&masses));
            Some(match why {
                Some(why) => found(format!("{why}, {mass} in all"), &small_load_limit().0)
                    .clause(clause_of(Edition::Adr2023))
                    .way_out(TELL),
                None => found(
                    format!("not determined under {}", answer.edition),
                    "points by the edition in force on the day",
                )
                .way_out("the compliance officer counts by the text of that edition"),
            })
        }
    }
}

/// What all of them put on the vehicle. A module that was handed over twice stands on it once.
fn all_aboard(
    dossier: &Dossier,
    n: usize,
    leg: &Leg,
    together: &[&Exchange],
) -> Option<(Load, Vec<String>)> {
    let mut all: Option<(Load, Vec<String>)> = None;
    let mut counted = BTreeSet::new();
    for gave in together {
        let Some((load, not_known)) = aboard(dossier, n, leg, gave, &mut counted) else {
            continue;
        };
        match &mut all {
            Some((sum, unknown)) => {
                sum.goods.extend(load.goods);
                unknown.extend(not_known);
            }
            None => all = Some((load, not_known)),
        }
    }
    all
}

/// What one hand-over put on the vehicle, and what of it cannot be counted; `None` where no module
/// of the job is among it. A hand-over that lists nothing gave away everything.
fn aboard(
    dossier: &Dossier,
    n: usize,
    leg: &Leg,
    gave: &Exchange,
    counted: &mut BTreeSet<usize>,
) -> Option<(Load, Vec<String>)> {
    let listed = gave.identities();
    let mut strange = listed.clone().unwrap_or_default();
    let (mut load, mut not_known) = (None, Vec::new());
    for verdict in dossier.decisions().iter().filter(|one| one.leg == n) {
        let identity = dossier.job.identity(verdict.module).0;
        if listed.as_ref().is_some_and(|set| !set.contains(&identity)) {
            continue;
        }
        strange.remove(&identity);
        let load = load.get_or_insert_with(|| {
            let mut facts = dossier.job.facts(verdict.module, leg);
            let went = gave.at.local_day();
            facts.on = facts.on.map(|planned| planned.max(went));
            Load::planned(&facts, Vec::new())
        });
        if !counted.insert(verdict.module) {
            continue;
        }
        let decision = &verdict.decision;
        if decision.transport_category.is_none() && decision.answer < Answer::NotDetermined {
            // The rules let it go: it counts for nothing.
            continue;
        }
        let mass = dossier.job.net_mass(verdict.module);
        match mass.filter(|mass| *mass > Grams::default()) {
            None => not_known.push(format!("no mass of {identity}")),
            Some(mass) => match goods(decision, mass) {
                None => not_known.push(format!("no transport category of {identity}")),
                Some(goods) => load.goods.push(goods),
            },
        }
    }
    not_known.extend(
        strange
            .iter()
            .map(|one| format!("{one} is not of this job")),
    );
    Some((load?, not_known))
}

fn goods(decision: &Decision, mass: Grams) -> Option<Goods> {
    let category: u8 = decision.transport_category.as_deref()?.parse().ok()?;
    Some(Goods {
        un: decision.entry.as_ref()?.un.to_string(),
        net_mass_kg: mass,
        gross_mass_kg: None,
        critical: Some(category == 0),
        damaged: None,
        waste: None,
        charge_at_most_percent: None,
        on: Standing::Vehicle,
        category: Some(category),
        labels: None,
        heaviest_package_net_kg: None,
        heaviest_package_gross_kg: None,
    })
}
