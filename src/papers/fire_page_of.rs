//! Takes the sheet for the fire service from a site's register.

use std::collections::BTreeMap;

use crate::battery::Soundness;
use crate::clock::Moment;
use crate::custody::{Amount, BayKind, Item, Register, Site, Stock};
use crate::papers::fire_page::{FirePage, FirePlace, modules};
use crate::papers::words::{FireWords, Words, fill};
use crate::papers::{Language, pdf};
use crate::units::Decimal;

/// What burns where on `site` at `now`; printed on Letter in the United States, else on A4, where no
/// stock is named.
#[must_use]
pub fn fire_page_of(
    site: &Site,
    register: &Register,
    now: Moment,
    language: Language,
    printed_on: Option<pdf::Stock>,
) -> FirePage {
    let w = language.words();
    let f = &w.fire;
    let usual = pdf::Stock::usual(site.country == "US");
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
            w,
        );
        places.push((most, shown));
    }
    if !stock.dock.is_empty() {
        let most = Amount::of(stock.dock.iter().copied()).energy_wh.thousandths;
        let shown = place(
            "DOCK",
            f.not_in_a_bay,
            "dock",
            false,
            &stock.dock,
            Vec::new(),
            w,
        );
        places.push((most, shown));
    }
    // Danger first, then the most energy: the order in which somebody reads who has a minute.
    places.sort_by_key(|(most, place)| (!place.danger, std::cmp::Reverse(*most)));
    let all = register.on_site();
    let mut unknown = Vec::new();
    for (what, count) in [
        (f.energy_not_known, stock.all.energy_wh.unknown),
        (f.mass_not_known, stock.all.mass_kg.unknown),
        (
            f.chemistry_of,
            u32::try_from(
                all.iter()
                    .filter(|item| item.arrived.chemistry.is_none())
                    .count(),
            )
            .unwrap_or(u32::MAX),
        ),
    ] {
        if count > 0 {
            unknown.push(fill(what, &[("modules", &modules(count, f))]));
        }
    }
    if site.emergency_telephone.is_none() {
        unknown.push(f.nobody_answers.into());
    }
    FirePage {
        language,
        stock: printed_on.unwrap_or(usual),
        site: site.name.clone(),
        address: site.address.clone(),
        telephone: site.emergency_telephone.clone().unwrap_or_default(),
        made_at: made_at(now),
        demo: site.demo,
        energy_kwh: energy(&stock.all),
        mass_kg: mass(&stock.all),
        left_out: left_out(&stock.all, f),
        modules: modules(stock.all.pieces, f),
        chemistries: chemistries(&all, w),
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
    w: &Words,
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
        kind: w.term(kind),
        danger,
        energy_kwh: energy(&amount),
        mass_kg: mass(&amount),
        left_out: left_out(&amount, &w.fire),
        modules: modules(amount.pieces, &w.fire),
        chemistries: chemistries(items, w),
        conditions: conditions
            .iter()
            .rev()
            .map(|(soundness, count)| format!("{count} {}", w.states.soundness(*soundness)))
            .collect(),
        held: items.iter().filter_map(|item| held(item, w)).collect(),
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
fn left_out(amount: &Amount, f: &FireWords) -> String {
    let mut words = Vec::new();
    for (what, count) in [
        (f.energy_left_out, amount.energy_wh.unknown),
        (f.mass_left_out, amount.mass_kg.unknown),
    ] {
        if count > 0 {
            words.push(fill(what, &[("count", &count)]));
        }
    }
    words.join(", ")
}

fn chemistries(items: &[&Item], w: &Words) -> Vec<String> {
    let mut words: Vec<String> = items
        .iter()
        .filter_map(|item| item.arrived.chemistry.as_deref())
        .map(|chemistry| w.term(&chemistry.replace('_', "-")))
        .collect();
    words.sort();
    words.dedup();
    words
}

fn held(item: &Item, w: &Words) -> Option<String> {
    let hold = item.hold.as_ref()?;
    let last = hold
        .readings
        .iter()
        .rev()
        .find_map(|(at, reading)| Some((at, reading.surface_temperature_c?)));
    let identity = &item.arrived.identity;
    let why = w.term(&hold.reason);
    Some(match last {
        Some((at, warm)) => fill(
            w.fire.read_at,
            &[
                ("identity", identity),
                ("why", &why),
                ("warm", &warm),
                ("time", &at.wall_clock()),
            ],
        ),
        None => fill(w.fire.not_read, &[("identity", identity), ("why", &why)]),
    })
}
