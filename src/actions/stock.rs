//! What stands where: the stock against its limits, moves, units, the way out, the fire page.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::Serialize;

use super::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{
    AmountShown, Item, Limits, Region, RunningCase, Site, Stock, consolidate, move_to,
    running_cases, stay,
};
use crate::papers::{FirePage, Language, fire_page_of, pdf, received_document};
use crate::store::{OpenRegister, RegisterFolder, plain};

/// A module in stock.
#[derive(Debug, Clone, Serialize)]
pub struct ItemShown {
    /// Which.
    pub identity: String,
    /// Whether the identity was given here.
    pub temporary: bool,
    /// Package it came in, with the receipt: `R1/P1`.
    pub package: String,
    /// Unit it was put in.
    pub unit: Option<String>,
    /// Bay; absent at the dock.
    pub bay: Option<String>,
    /// Condition.
    pub soundness: &'static str,
    /// Whether it is held.
    pub held: bool,
    /// Received on.
    pub received_on: NaiveDate,
    /// Last day of its stay, with the days left and why.
    pub last_day: Option<(NaiveDate, i64, String)>,
    /// Rated energy, Wh.
    pub rated_energy_wh: Option<String>,
    /// Net mass, kg.
    pub net_mass_kg: Option<String>,
}

/// A bay.
#[derive(Debug, Clone, Serialize)]
pub struct BayShown {
    /// Name.
    pub bay: String,
    /// Kind.
    pub kind: &'static str,
    /// What stands there.
    pub amount: AmountShown,
    /// Its limits.
    pub limits: Limits,
    /// The oldest receipt in it.
    pub oldest: Option<NaiveDate>,
}

/// The stock.
#[derive(Debug, Clone, Serialize)]
pub struct StockShown {
    /// Site.
    pub site: String,
    /// When.
    pub at: Moment,
    /// Bays, then the dock.
    pub bays: Vec<BayShown>,
    /// Everything.
    pub all: AmountShown,
    /// Modules, oldest first.
    pub items: Vec<ItemShown>,
    /// Stays that end soon or are over.
    pub ending: Vec<ItemShown>,
    /// Limits that are broken or cannot be judged.
    pub limits: Vec<Reason>,
    /// What the EU asks of a store and is not met or not known.
    pub duties: Vec<String>,
    /// Discrepancies whose clock runs.
    pub discrepancies: Vec<RunningCase>,
    /// Receipts that are open.
    pub open_receipts: Vec<String>,
    /// Entries that cannot be.
    pub misfits: Vec<String>,
}

impl StockShown {
    /// Whether something is over or broken.
    #[must_use]
    pub fn is_out_of_order(&self) -> bool {
        !self.limits.is_empty()
            || self
                .ending
                .iter()
                .any(|item| item.last_day.as_ref().is_some_and(|(_, left, _)| *left < 0))
            || self.discrepancies.iter().any(|case| case.days_left < 0)
            || !self.misfits.is_empty()
    }
}

/// The stock at `now`.
///
/// # Errors
/// A register that cannot be opened.
pub fn stock(folder: &RegisterFolder, now: Moment) -> Result<StockShown, ActionError> {
    let open = folder.open()?;
    let (site, register) = (&open.site, &open.register);
    let stock = Stock::of(site, register);
    let day = now.local_day();
    let mut bays: Vec<BayShown> = stock
        .bays
        .iter()
        .map(|one| BayShown {
            bay: one.bay.id.clone(),
            kind: one.bay.kind.word(),
            amount: one.amount.shown(),
            limits: one.bay.limits.clone(),
            oldest: one.items.first().map(|item| item.received_at.local_day()),
        })
        .collect();
    if !stock.dock.is_empty() {
        bays.push(BayShown {
            bay: "at the dock".into(),
            kind: "dock",
            amount: crate::custody::Amount::of(stock.dock.iter().copied()).shown(),
            limits: Limits::default(),
            oldest: stock.dock.first().map(|item| item.received_at.local_day()),
        });
    }
    let items: Vec<ItemShown> = register
        .on_site()
        .into_iter()
        .map(|item| item_shown(site, item, day))
        .collect();
    let warn = i64::from(open.tolerances.stay_warning_days.whole());
    let ending = items
        .iter()
        .filter(|item| {
            item.last_day
                .as_ref()
                .is_some_and(|(_, left, _)| *left <= warn)
        })
        .cloned()
        .collect();
    Ok(StockShown {
        site: site.name.clone(),
        at: now,
        bays,
        all: stock.all.shown(),
        ending,
        items,
        limits: stock.broken(site),
        duties: duties(&open),
        discrepancies: running_cases(register, day),
        open_receipts: register
            .receipts
            .iter()
            .filter(|(_, one)| one.state == crate::custody::ReceiptState::Open)
            .map(|(name, one)| {
                format!(
                    "{name} from {} since {}, {} scans",
                    one.opened.handover.from.name,
                    one.opened_at,
                    one.scans.len()
                )
            })
            .collect(),
        misfits: register
            .misfits
            .iter()
            .map(|misfit| format!("entry {}: {}", misfit.seq, misfit.why))
            .collect(),
    })
}

fn item_shown(site: &Site, item: &Item, day: NaiveDate) -> ItemShown {
    ItemShown {
        identity: item.arrived.identity.clone(),
        temporary: item.arrived.temporary,
        package: match &item.arrived.package {
            Some(package) if !package.is_empty() => format!("{}/{package}", item.receipt),
            _ => item.receipt.clone(),
        },
        unit: item.unit.clone(),
        bay: item.bay.clone(),
        soundness: item.soundness.word(),
        held: item.hold.is_some(),
        received_on: item.received_at.local_day(),
        last_day: stay(site, item).map(|clock| {
            let left = (clock.due - day).num_days();
            (
                clock.due,
                left,
                format!("{} [{}]", clock.basis, clock.clause),
            )
        }),
        rated_energy_wh: item.arrived.rated_energy_wh.map(|v| v.to_string()),
        net_mass_kg: item.arrived.net_mass_kg.map(|v| v.to_string()),
    }
}

/// What the EU asks of each bay in use.
fn duties(open: &OpenRegister) -> Vec<String> {
    if open.site.region != Region::Eu {
        return Vec::new();
    }
    let used: BTreeSet<&str> = open
        .register
        .on_site()
        .into_iter()
        .filter_map(|item| item.bay.as_deref())
        .collect();
    let mut duties = Vec::new();
    for bay in open
        .site
        .bays
        .iter()
        .filter(|bay| used.contains(bay.id.as_str()))
    {
        let answers = bay.store.unwrap_or_default().answers();
        let of = |wanted: Option<bool>| -> Vec<&str> {
            answers
                .iter()
                .filter(|(_, answer)| *answer == wanted)
                .map(|(duty, _)| *duty)
                .collect()
        };
        let (not_met, unknown) = (of(Some(false)), of(None));
        if not_met.len() + unknown.len() > 0 {
            let mut words = format!("bay {}:", bay.id);
            for (state, some) in [(" NOT MET", not_met), (" not known", unknown)] {
                if !some.is_empty() {
                    words.push_str(&format!("{state}: {};", some.join("; ")));
                }
            }
            duties.push(words.trim_end_matches(';').to_owned());
        }
    }
    duties
}

/// What was refused, or whatever it gave.
type Granted = Result<(), Vec<Reason>>;

/// Moves modules, units (`unit:U1`) or packages (`package:R1/P1`) to a bay.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn move_stock(
    folder: &RegisterFolder,
    what: &[String],
    to: &str,
    by: &str,
    at: Moment,
) -> Result<Granted, ActionError> {
    let (given, _) = folder.write(at, by, |open| {
        move_to(&open.register, &open.site, what, to, by, at)
            .map(|events| ((), plain(events)))
            .map_err(|reasons| (reasons, Vec::new()))
    })?;
    Ok(given)
}

/// Puts modules together into one unit.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn consolidate_stock(
    folder: &RegisterFolder,
    what: &[String],
    unit: &str,
    seal: Option<&str>,
    by: &str,
    at: Moment,
) -> Result<Granted, ActionError> {
    let (given, _) = folder.write(at, by, |open| {
        consolidate(&open.register, &open.site, what, unit, seal, by, at)
            .map(|events| ((), plain(events)))
            .map_err(|reasons| (reasons, Vec::new()))
    })?;
    Ok(given)
}

/// The sheet for the fire service.
///
/// # Errors
/// A register that cannot be opened.
pub fn fire_page(
    folder: &RegisterFolder,
    now: Moment,
    language: Language,
    stock: Option<pdf::Stock>,
) -> Result<FirePage, ActionError> {
    let open = folder.open()?;
    Ok(fire_page_of(
        &open.site,
        &open.register,
        now,
        language,
        stock,
    ))
}

/// What the register received and sent onward, as one EPCIS document.
///
/// # Errors
/// A register that cannot be opened.
pub fn received_events(folder: &RegisterFolder, now: Moment) -> Result<String, ActionError> {
    let open = folder.open()?;
    Ok(received_document(&open.site, &open.log, now)?)
}
