//! Takes the sheet for the fire service from a site's register.

use std::collections::BTreeMap;

use crate::battery::Soundness;
use crate::clock::Moment;
use crate::custody::{Amount, BayKind, Item, Register, Site, Stock};
use crate::papers::fire_page::{FirePage, FirePlace};
use crate::units::Decimal;

/// What burns where on `site` at `now`.
#[must_use]
pub fn fire_page_of(site: &Site, register: &Register, now: Moment) -> FirePage {
    let stock = Stock::of(site, register);
    let mut places: Vec<(i64, FirePlace)> = Vec::new();
    let mut empty = Vec::new();
    for one in &stock.bays {
        if one.items.is_empty() {
            empty.push(one.bay.id.clone());
            continue;
        }
        let most = one.amount.energy_wh.thousandths;
        let shown = place(
            &one.bay.id,
            one.bay.place.as_deref().unwrap_or(""),
            one.bay.kind.word(),
            one.bay.kind != BayKind::Normal,
            &one.items,
            one.bay.distances.clone(),
        );
        places.push((most, shown));
    }
    if !stock.dock.is_empty() {
        let most = Amount::of(stock.dock.iter().copied()).energy_wh.thousandths;
        let shown = place(
            "DOCK",
            "not yet put in a bay",
            "dock",
            false,
            &stock.dock,
            Vec::new(),
        );
        places.push((most, shown));
    }
    // Danger first, then the most energy: the order in which somebody reads who has a minute.
    places.sort_by_key(|(most, place)| (!place.danger, std::cmp::Reverse(*most)));
    let all = register.on_site();
    let mut unknown = Vec::new();
    for (what, count) in [
        ("energy", stock.all.energy_wh.unknown),
        ("mass", stock.all.mass_kg.unknown),
        (
            "chemistry",
            u32::try_from(
                all.iter()
                    .filter(|item| item.arrived.chemistry.is_none())
                    .count(),
            )
            .unwrap_or(u32::MAX),
        ),
    ] {
        if count > 0 {
            unknown.push(format!("{what} of {}", modules(count)));
        }
    }
    if site.emergency_telephone.is_none() {
        unknown.push("who answers at any hour: no telephone is stated in site.json".into());
    }
    FirePage {
        site: site.name.clone(),
        address: site.address.clone(),
        telephone: site.emergency_telephone.clone().unwrap_or_default(),
        made_at: made_at(now),
        demo: site.demo,
        energy_kwh: energy(&stock.all),
        mass_kg: mass(&stock.all),
        left_out: left_out(&stock.all),
        modules: modules(stock.all.pieces),
        chemistries: chemistries(&all),
        unknown,
        places: places.into_iter().map(|(_, place)| place).collect(),
        empty,
    }
}

fn place(
    name: &str,
    where_it_is: &str,
    kind: &str,
    apart: bool,
    items: &[&Item],
    distances: Vec<String>,
) -> FirePlace {
    let amount = Amount::of(items.iter().copied());
    let danger = apart
        || items
            .iter()
            .any(|item| item.hold.is_some() || item.soundness > Soundness::Sound);
    let mut conditions: BTreeMap<Soundness, usize> = BTreeMap::new();
    for item in items {
        *conditions.entry(item.soundness).or_default() += 1;
    }
    FirePlace {
        name: name.to_owned(),
        place: where_it_is.to_owned(),
        kind: kind.to_owned(),
        danger,
        energy_kwh: energy(&amount),
        mass_kg: mass(&amount),
        left_out: left_out(&amount),
        modules: modules(amount.pieces),
        chemistries: chemistries(items),
        conditions: conditions
            .iter()
            .rev()
            .map(|(soundness, count)| format!("{count} {soundness}"))
            .collect(),
        held: items.iter().filter_map(|item| held(item)).collect(),
        distances,
    }
}

/// `2026-11-19 17:00 (+00:00)`.
fn made_at(now: Moment) -> String {
    format!(
        "{} {} ({})",
        now.local_day(),
        now.wall_clock(),
        now.offset()
    )
}

/// Energy in kWh, up to the next tenth; what is not known is told beside it.
fn energy(amount: &Amount) -> String {
    let wh = amount.energy_wh.thousandths.saturating_add(999) / 1_000;
    Decimal::from_thousandths((wh + 99) / 100 * 100).to_string()
}

/// Mass, up to the next kilogram.
fn mass(amount: &Amount) -> String {
    Decimal::from_thousandths((amount.mass_kg.thousandths + 999) / 1_000 * 1_000).to_string()
}

/// What the figures leave out: `+ 1 of unknown energy`.
fn left_out(amount: &Amount) -> String {
    let mut words = Vec::new();
    for (what, count) in [
        ("energy", amount.energy_wh.unknown),
        ("mass", amount.mass_kg.unknown),
    ] {
        if count > 0 {
            words.push(format!("+ {count} of unknown {what}"));
        }
    }
    words.join(", ")
}

fn modules(pieces: u32) -> String {
    match pieces {
        1 => "1 module".into(),
        more => format!("{more} modules"),
    }
}

fn chemistries(items: &[&Item]) -> Vec<String> {
    let mut words: Vec<String> = items
        .iter()
        .filter_map(|item| item.arrived.chemistry.clone())
        .map(|chemistry| chemistry.replace('_', "-"))
        .collect();
    words.sort();
    words.dedup();
    words
}

fn held(item: &Item) -> Option<String> {
    let hold = item.hold.as_ref()?;
    let last = hold
        .readings
        .iter()
        .rev()
        .find_map(|(at, reading)| Some((at, reading.surface_temperature_c?)));
    Some(match last {
        Some((at, warm)) => format!(
            "{}: {}, {warm} °C at {}",
            item.arrived.identity,
            hold.reason,
            at.wall_clock()
        ),
        None => format!("{}: {}, not read yet", item.arrived.identity, hold.reason),
    })
}
