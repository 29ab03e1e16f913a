//! Small loads of several jobs on one vehicle and day: each may be small where all together are none.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::Found;
use super::together::key_of;
use crate::custody::same_form;
use crate::ledger::Hash;
use crate::transport::{Edition, Mode, Regime, points_of, small_load_limit};
use crate::units::Grams;

/// The edition of 2023 is second-hand: an industry handbook of that year gives 333 kg of lithium
/// batteries, net (page 35); categories and factors are taken to be those of 2025. So it may say that a
/// load was too much, never that it was small.
const BEFORE: &str =
    "ADR 2023, 1.1.3.6.3; 1.1.3.6.4 (second-hand: 333 kg net; the rest as ADR 2025)";

/// What one hand-over of a job put on a vehicle that was named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loaded {
    /// Leaf of the hand-over: the same in every copy of the log.
    pub leaf: String,
    /// Its number in the log.
    pub seq: u64,
    /// The vehicle, as it was said.
    pub vehicle: String,
    /// The day.
    pub day: NaiveDate,
    /// Mass of each transport category 0 to 4, in thousandths of a kilogram.
    pub by_category: [i64; 5],
    /// Whether that is all of it.
    pub whole: bool,
    /// Whether it went as a small load.
    pub relies: bool,
}

/// A vehicle's name as it is compared: `kl 123-45` is `KL12345`.
pub(super) fn plate(name: &str) -> String {
    same_form(name).replace('-', "")
}

/// Why goods of these masses are no small load; `None` where they are one.
pub(super) fn too_much(by_category: &[i64; 5]) -> Option<String> {
    if by_category.first().is_some_and(|mass| *mass > 0) {
        return Some("critical batteries aboard".to_owned());
    }
    match points_of(by_category) {
        Some((_, true)) => None,
        Some((points, false)) => Some(format!("points of the load {points}")),
        None => Some("more points than can be added up".to_owned()),
    }
}

/// Where the limit of a small load stands in that edition.
pub(super) fn clause_of(edition: Edition) -> String {
    match edition {
        Edition::Adr2023 => BEFORE.to_owned(),
        _ => small_load_limit().1,
    }
}

/// What was seen so far: some 100 bytes a vehicle and day, 16 a hand-over.
#[derive(Debug, Default)]
pub(super) struct Vehicles {
    seen: BTreeSet<u64>,
    days: BTreeMap<(u64, NaiveDate), OnDay>,
}

#[derive(Debug, Default)]
struct OnDay {
    by_category: [i64; 5],
    not_counted: bool,
    relies: bool,
    jobs: Vec<usize>,
    told: Told,
}

/// What was said of a vehicle and day: it is said once, and once more where it turns out too much.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
enum Told {
    #[default]
    Nothing,
    NotDetermined,
    TooMuch,
}

impl Vehicles {
    /// Takes one more hand-over, of the job at `own` in `jobs`. What went as a full load counts too:
    /// it stood on the same vehicle.
    pub(super) fn add(
        &mut self,
        loaded: &Loaded,
        own: usize,
        jobs: &[(String, Hash)],
    ) -> Option<Found> {
        let edition = Edition::of(Regime::Adr, Mode::Road, loaded.day)?;
        if !self.seen.insert(key_of(&loaded.leaf)) {
            return None;
        }
        let key = (key_of(&plate(&loaded.vehicle)), loaded.day);
        let on = self.days.entry(key).or_default();
        for (sum, more) in on.by_category.iter_mut().zip(loaded.by_category) {
            *sum = sum.saturating_add(more);
        }
        on.not_counted |= !loaded.whole;
        on.relies |= loaded.relies;
        let log = |n: usize| jobs.get(n).map(|(_, log)| log);
        if !on.jobs.iter().any(|n| log(*n) == log(own)) {
            on.jobs.push(own);
        }
        if on.jobs.len() < 2 || !on.relies {
            return None;
        }
        let (told, why) = match too_much(&on.by_category) {
            Some(why) => (Told::TooMuch, why),
            None if on.not_counted => (
                Told::NotDetermined,
                "not determined, a mass or category is not known".to_owned(),
            ),
            None => return None,
        };
        if told <= on.told {
            return None;
        }
        on.told = told;
        let mass = on
            .by_category
            .iter()
            .fold(0_i64, |sum, mass| sum.saturating_add(*mass));
        let names: Vec<&str> = on
            .jobs
            .iter()
            .filter_map(|n| Some(jobs.get(*n)?.0.as_str()))
            .collect();
        let what = format!("small load on {}, {}", loaded.vehicle, loaded.day);
        let found = format!(
            "{why}, {} counted: {}",
            Grams::thousandths(mass),
            names.join(", ")
        );
        Some(
            Found::new(what, found)
                .at_seq(loaded.seq)
                .limit(small_load_limit().0)
                .clause(clause_of(edition))
                .way_out(
                    "ask the carrier whether they stood on it together; if so it went without what \
                     a full load needs: tell carrier and officer today",
                ),
        )
    }
}
