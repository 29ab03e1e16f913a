//! What stands where: sums of each bay against its limits, and whether a move may be made.

use super::amount::Amount;
use super::deadline::{is_waste, last_day_of_stay};
use super::receipt::Clock;
use super::register::{Item, Register};
use super::site::{Bay, BayKind, Region, Site};
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::units::Grams;

/// Universal waste on a site from which its handler is a large one.
const LARGE_HANDLER: Grams = Grams::thousandths(5_000_000);

/// What stands in one bay.
#[derive(Debug, Clone)]
pub struct BayStock<'r> {
    /// The bay.
    pub bay: &'r Bay,
    /// What stands there, oldest first.
    pub items: Vec<&'r Item>,
    /// Their sum.
    pub amount: Amount,
}

/// What stands on a site.
#[derive(Debug, Clone)]
pub struct Stock<'r> {
    /// Each bay of the site.
    pub bays: Vec<BayStock<'r>>,
    /// What stands at the dock, in no bay yet, or in a bay that the site no longer has.
    pub dock: Vec<&'r Item>,
    /// The sum of everything.
    pub all: Amount,
}

impl<'r> Stock<'r> {
    /// The stock of `site` by its register.
    #[must_use]
    pub fn of(site: &'r Site, register: &'r Register) -> Self {
        let items = register.on_site();
        let bays = site
            .bays
            .iter()
            .map(|bay| {
                let items: Vec<&Item> = items
                    .iter()
                    .copied()
                    .filter(|item| item.bay.as_deref() == Some(bay.id.as_str()))
                    .collect();
                BayStock {
                    bay,
                    amount: Amount::of(items.iter().copied()),
                    items,
                }
            })
            .collect();
        let dock = items
            .iter()
            .copied()
            .filter(|item| {
                item.bay
                    .as_deref()
                    .is_none_or(|bay| site.bay(bay).is_none())
            })
            .collect();
        Self {
            bays,
            dock,
            all: Amount::of(items),
        }
    }

    /// Places whose limits are broken or cannot be judged as things stand.
    #[must_use]
    pub fn broken(&self, site: &Site) -> Vec<Reason> {
        let mut reasons: Vec<Reason> = self
            .bays
            .iter()
            .flat_map(|one| {
                one.amount
                    .breaks(&one.bay.limits, &format!("bay {}", one.bay.id))
            })
            .collect();
        if let Some(limits) = &site.limits.on_site {
            reasons.extend(self.all.breaks(limits, "the whole site"));
        }
        reasons.extend(universal_waste(site, self));
        reasons
    }
}

/// The status that the amount of universal waste on site makes (US).
fn universal_waste(site: &Site, stock: &Stock<'_>) -> Vec<Reason> {
    if site.region != Region::Us {
        return Vec::new();
    }
    let waste = Amount::of(
        stock
            .bays
            .iter()
            .flat_map(|bay| bay.items.iter().copied())
            .chain(stock.dock.iter().copied())
            .filter(|item| is_waste(&item.purpose)),
    );
    let known = Grams::thousandths(waste.mass_kg.thousandths);
    let told = site.limits.large_handler_notified == Some(true);
    if told || (known < LARGE_HANDLER && waste.mass_kg.unknown == 0) {
        return Vec::new();
    }
    vec![
        Reason::new(
            "universal waste on site",
            format!("{} kg", waste.mass_kg.words(waste.pieces)),
        )
        .limit("below 5,000 kg for a small handler, at any time")
        .clause("40 CFR 273.9, 273.32 (from memory, unverified)")
        .way_out(
            "notify the authority and get an EPA id before 5,000 kg is reached; enter \
             large_handler_notified in site.json",
        ),
    ]
}

/// The last day that `item` may stay, where a period runs.
#[must_use]
pub fn stay(site: &Site, item: &Item) -> Option<Clock> {
    last_day_of_stay(site, &item.purpose, item.received_at.local_day())
}

/// Whether `items` may be put in the bay `to`.
///
/// # Errors
/// Every reason why not.
pub fn may_move(
    site: &Site,
    register: &Register,
    items: &[&Item],
    to: &str,
) -> Result<(), Vec<Reason>> {
    let Some(bay) = site.bay(to) else {
        return Err(vec![site.no_such_bay(to)]);
    };
    let mut no: Vec<Reason> = items
        .iter()
        .filter_map(|item| fits_kind(bay, item))
        .collect();
    let after = after(register, items, to);
    no.extend(after.breaks(&bay.limits, &format!("bay {to}")));
    if no.is_empty() { Ok(()) } else { Err(no) }
}

/// What would stand in the bay `to` with `items` in it.
fn after(register: &Register, items: &[&Item], to: &str) -> Amount {
    let stays = register
        .items
        .values()
        .filter(|item| item.gone.is_none() && item.bay.as_deref() == Some(to))
        .filter(|item| {
            !items
                .iter()
                .any(|moved| moved.arrived.identity == item.arrived.identity)
        });
    Amount::of(stays.chain(items.iter().copied()))
}

/// Why `item` may not stand in a bay of that kind.
fn fits_kind(bay: &Bay, item: &Item) -> Option<Reason> {
    let held = item.hold.is_some();
    let what = format!("{} in bay {}", item.arrived.identity, bay.id);
    match bay.kind {
        BayKind::Normal if held => Some(
            Reason::new(what, "held")
                .limit("held goods stand apart from sound ones")
                .clause("steps Z08 and X17 of the procedure (project default, not law)")
                .way_out("a bay of kind hold or outdoor; or two people clear it first"),
        ),
        BayKind::Normal if item.soundness.is_damaged_in_law() => Some(
            Reason::new(what, item.soundness.word())
                .limit("damaged goods never stand among sound ones")
                .clause("procedure step M06, mixing damaged returns with good stock burned a store (second-hand)")
                .way_out("a bay of kind hold or outdoor"),
        ),
        BayKind::Hold if item.soundness == Soundness::Critical => Some(
            Reason::new(what, "critical")
                .limit("outdoors, 15 m to open sides or behind a barrier")
                .clause("Washington Senate bill report 5909 (read), for damaged vehicles; procedure step X17")
                .way_out("a bay of kind outdoor"),
        ),
        BayKind::Hold | BayKind::Outdoor if !held && item.soundness == Soundness::Sound => Some(
            Reason::new(what, "sound")
                .limit("nothing sound beside held goods")
                .clause("step Z08 of the procedure (project default, not law)")
                .way_out("a bay of kind normal"),
        ),
        _ => None,
    }
}

/// The first bay for a held module that has room: outdoors where it is damaged or worse.
///
/// # Errors
/// Why there is none.
pub fn hold_bay(site: &Site, register: &Register, item: &Item) -> Result<String, Vec<Reason>> {
    let outdoors_first = item.soundness >= Soundness::Damaged;
    let mut bays: Vec<&Bay> = site
        .bays
        .iter()
        .filter(|bay| bay.kind != BayKind::Normal)
        .collect();
    bays.sort_by_key(|bay| (bay.kind == BayKind::Outdoor) != outdoors_first);
    let mut why = Vec::new();
    for bay in &bays {
        match may_move(site, register, &[item], &bay.id) {
            Ok(()) => return Ok(bay.id.clone()),
            Err(reasons) => why.extend(reasons),
        }
    }
    // A suspect thing of unknown energy is safer in a hold bay than at the dock. The limit that
    // cannot be judged is shown with the stock until somebody states the energy.
    for bay in bays {
        let (over, _) = after(register, &[item], &bay.id).judged(&bay.limits, &bay.id);
        if over.is_empty() && fits_kind(bay, item).is_none() {
            return Ok(bay.id.clone());
        }
    }
    Err(why)
}
