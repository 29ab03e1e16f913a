//! Plans a load: which modules share a package, in which packaging of the stock, where each stands.
//!
//! Every way is tried within a counted number of steps, fewest packages first, then the lowest cost;
//! `fill` says what may go together into one packaging.

use std::collections::BTreeMap;

use super::fill::{
    Alike, ROOM, Sameness, bound, ready, refusals, refusals_as_it_is, refused_anyway, spots,
};
use super::floor::Spot;
use super::piece::{Load, LoadedPackage, NotPacked, Piece, Placement};
use super::stock::{Packaging, Stock};
use crate::citation::Reason;
use crate::units::{Grams, MilliwattHours};

/// Most steps of the search.
const STEPS: u64 = 20_000;

/// What the plan takes for granted.
const DUTIES: [&str; 3] = [
    "protect every battery terminal against short circuit before it goes in",
    "secure the modules so that nothing shifts, with the gaps of the plan filled",
    "nothing stands on a module: one layer in each package",
];

/// A way to fill one packaging: how many of which.
#[derive(Clone)]
struct Way {
    packaging: usize,
    counts: Vec<u32>,
    cost: u64,
}

struct Search<'a> {
    alike: &'a [Alike<'a>],
    stock: &'a Stock,
    lawful: BTreeMap<(usize, Vec<u32>), Option<Vec<Spot>>>,
    steps: u64,
    /// Whether several modules found no room together: another arrangement might have.
    room_refused: bool,
    /// Whether a filling was refused that lighter modules of the same types might pass.
    spread_refused: bool,
    best: Option<(usize, u64, Vec<Way>)>,
}

/// Most modules for which every little difference is looked at, where a plan by types leaves it open
/// whether fewer packages are enough.
const FEW: usize = 12;

/// The plan for the pieces with this stock.
///
/// Modules of one type are first taken as equal, each as heavy as the heaviest, so that a big job
/// stays quick though no two of them weigh the same.
#[must_use]
pub fn plan_load(job: &str, pieces: &[Piece], stock: &Stock) -> Load {
    let exact = || plan_by(job, pieces, stock, Sameness::Exact).map(|(load, _)| load);
    let Some((by_types, spread)) = plan_by(job, pieces, stock, Sameness::OfOneType) else {
        return exact().unwrap_or_else(|| Load::nothing(job));
    };
    if !spread || by_types.proven || pieces.len() > FEW {
        return by_types;
    }
    let is_better = |one: &Load| {
        (one.not_packed.len(), one.count, !one.proven)
            < (by_types.not_packed.len(), by_types.count, !by_types.proven)
    };
    exact().filter(is_better).unwrap_or(by_types)
}

/// The plan, and whether anything was taken for heavier than it is; `None` where the plan does not
/// hold for the very modules in it.
fn plan_by(job: &str, pieces: &[Piece], stock: &Stock, sameness: Sameness) -> Option<(Load, bool)> {
    let mut not_packed = Vec::new();
    let mut alike: Vec<Alike<'_>> = Vec::new();
    for piece in pieces {
        match ready(piece, stock) {
            Err(reasons) => not_packed.push(NotPacked {
                module: piece.module.clone(),
                reasons,
            }),
            Ok(one) => match alike.iter_mut().find(|other| sameness.holds(other, &one)) {
                Some(other) => other.add(&one),
                None => alike.push(one),
            },
        }
    }
    for one in &mut alike {
        one.settle();
    }
    let spread = alike.iter().any(Alike::is_spread);
    alike.sort_by(|a, b| {
        a.company
            .cmp(&b.company)
            .then(b.mass.cmp(&a.mass))
            .then(b.size.cmp(&a.size))
    });
    let mut search = Search {
        alike: &alike,
        stock,
        lawful: BTreeMap::new(),
        steps: STEPS,
        room_refused: false,
        spread_refused: false,
        best: None,
    };
    let mut left: Vec<u32> = alike.iter().map(|one| one.pieces.len() as u32).collect();
    let mut at_hand: Vec<u32> = stock.packagings.iter().map(|one| one.count).collect();
    search.deeper(&mut left, &mut at_hand, &mut Vec::new());
    let whole_search = search.steps > 0 && !search.room_refused && !search.spread_refused;
    let bound = bound(&alike, stock);
    let Some((count, _, ways)) = search.best.take() else {
        let short = if search.steps > 0 {
            Reason::new("packagings at hand", "not enough for every module")
        } else {
            Reason::new("plan", "none found within the steps")
        }
        .way_out("bring more packagings of a kind that fits, or pack in two goes");
        not_packed.extend(
            alike
                .iter()
                .flat_map(|one| &one.pieces)
                .map(|piece| NotPacked {
                    module: piece.module.clone(),
                    reasons: vec![short.clone()],
                }),
        );
        if search.spread_refused {
            // With every module as light as it is, the packagings may be enough.
            return None;
        }
        let nothing = Load::nothing(job);
        return Some((
            Load {
                not_packed,
                ..nothing
            },
            spread,
        ));
    };
    let mut taken = vec![0_usize; alike.len()];
    let packages = ways
        .iter()
        .enumerate()
        .map(|(at, way)| search.package(at, way, &mut taken))
        .collect::<Option<Vec<_>>>()?;
    let lower_bound = if whole_search {
        count
    } else {
        bound.min(count)
    };
    let load = Load {
        job: job.into(),
        packages,
        not_packed,
        count,
        lower_bound,
        proven: lower_bound == count,
        haul: None,
        duties: DUTIES.map(str::to_owned).to_vec(),
    };
    Some((load, spread))
}

impl Search<'_> {
    fn deeper(&mut self, left: &mut Vec<u32>, at_hand: &mut Vec<u32>, ways: &mut Vec<Way>) {
        let Some(first) = left.iter().position(|count| *count > 0) else {
            let cost = ways.iter().map(|way| way.cost).sum();
            if self
                .best
                .as_ref()
                .is_none_or(|best| (ways.len(), cost) < (best.0, best.1))
            {
                self.best = Some((ways.len(), cost, ways.clone()));
            }
            return;
        };
        // One more package at least.
        if self
            .best
            .as_ref()
            .is_some_and(|best| ways.len() + 1 > best.0)
        {
            return;
        }
        for way in self.ways(left, at_hand, first) {
            if self.steps == 0 {
                return;
            }
            self.steps -= 1;
            for (left, count) in left.iter_mut().zip(&way.counts) {
                *left -= count;
            }
            if let Some(at_hand) = at_hand.get_mut(way.packaging) {
                *at_hand -= 1;
            }
            ways.push(way);
            self.deeper(left, at_hand, ways);
            if let Some(way) = ways.pop() {
                for (left, count) in left.iter_mut().zip(&way.counts) {
                    *left += count;
                }
                if let Some(at_hand) = at_hand.get_mut(way.packaging) {
                    *at_hand += 1;
                }
            }
        }
    }

    /// Ways to fill one packaging that hold one of `first`: most modules first, then the cheapest.
    fn ways(&mut self, left: &[u32], at_hand: &[u32], first: usize) -> Vec<Way> {
        let mut ways = Vec::new();
        for (packaging, design) in self.stock.packagings.iter().enumerate() {
            if at_hand.get(packaging).is_none_or(|count| *count == 0) {
                continue;
            }
            let mut counts = vec![0; left.len()];
            let mut full = Vec::new();
            self.fill(packaging, left, first, first, &mut counts, &mut full);
            let cost = design.cost.unwrap_or(0);
            ways.extend(full.into_iter().map(|counts| Way {
                packaging,
                counts,
                cost,
            }));
        }
        ways.sort_by_key(|way| {
            (
                std::cmp::Reverse(way.counts.iter().sum::<u32>()),
                way.cost,
                way.packaging,
            )
        });
        ways
    }

    /// Every lawful filling from `at` on, with at least one of `first`.
    fn fill(
        &mut self,
        packaging: usize,
        left: &[u32],
        first: usize,
        at: usize,
        counts: &mut Vec<u32>,
        full: &mut Vec<Vec<u32>>,
    ) {
        let same_company = |a: usize, b: usize| {
            let company = |at: usize| self.alike.get(at).map(|one| one.company.as_str());
            company(a) == company(b)
        };
        let (Some(&most), true) = (left.get(at), same_company(first, at)) else {
            if counts.iter().any(|count| *count > 0) {
                full.push(counts.clone());
            }
            return;
        };
        for count in (u32::from(at == first)..=most).rev() {
            if self.steps == 0 {
                break;
            }
            self.set(counts, at, count);
            if count == 0 || self.is_lawful(packaging, counts) {
                self.fill(packaging, left, first, at + 1, counts, full);
            }
        }
        self.set(counts, at, 0);
    }

    fn set(&self, counts: &mut [u32], at: usize, count: u32) {
        if let Some(place) = counts.get_mut(at) {
            *place = count;
        }
    }

    fn is_lawful(&mut self, packaging: usize, counts: &[u32]) -> bool {
        let key = (packaging, counts.to_vec());
        if let Some(known) = self.lawful.get(&key) {
            return known.is_some();
        }
        self.steps = self.steps.saturating_sub(1);
        let found = self.stock.packagings.get(packaging).and_then(|design| {
            let reasons = refusals(design, self.alike, counts);
            self.room_refused |=
                counts.iter().sum::<u32>() > 1 && reasons.iter().any(|reason| reason.what == ROOM);
            self.spread_refused |= !reasons.is_empty()
                && self.alike.iter().any(Alike::is_spread)
                && !refused_anyway(design, self.alike, counts);
            reasons
                .is_empty()
                .then(|| spots(design, self.alike, counts))?
        });
        let lawful = found.is_some();
        self.lawful.insert(key, found);
        lawful
    }

    /// The package of a way, with the next modules of each kind.
    fn package(&self, at: usize, way: &Way, taken: &mut [usize]) -> Option<LoadedPackage> {
        let design = self.stock.packagings.get(way.packaging)?;
        let gap = design.gap_mm.unwrap_or(0);
        let mut spots = self
            .lawful
            .get(&(way.packaging, way.counts.clone()))?
            .clone()?
            .into_iter();
        let mut placements = Vec::new();
        let mut inside = Vec::new();
        let (mut net, mut energy) = (0_i64, Some(0_i64));
        for ((one, count), taken) in self.alike.iter().zip(&way.counts).zip(taken) {
            for _ in 0..*count {
                let piece = one.pieces.get(*taken)?;
                *taken += 1;
                let (x, y, [length, width, height]) = spots.next()?;
                net += piece.mass()?.as_thousandths();
                inside.push((*piece, one));
                energy = energy.zip(one.energy).map(|(sum, one)| sum + one);
                placements.push(Placement {
                    module: piece.module.clone(),
                    x_mm: x + gap,
                    y_mm: y + gap,
                    length_mm: length - gap,
                    width_mm: width - gap,
                    height_mm: height,
                    why: String::new(),
                });
            }
        }
        if !refusals_as_it_is(design, &inside).is_empty() {
            return None;
        }
        for (placement, one) in placements.iter_mut().zip(&inside) {
            placement.why = why(*one, &inside, design);
        }
        let net = Grams::thousandths(net);
        Some(LoadedPackage {
            id: format!("P{}", at + 1),
            packaging: design.id.clone(),
            net_mass_kg: net,
            gross_mass_kg: net.plus(design.tare_kg)?,
            rated_energy_wh: energy.map(MilliwattHours::thousandths),
            placements,
        })
    }
}

/// Why a module stands in this package, and why not one more like it beside it.
fn why(one: (&Piece, &Alike<'_>), inside: &[(&Piece, &Alike<'_>)], design: &Packaging) -> String {
    let mut more = inside.to_vec();
    more.push(one);
    let full = match refusals_as_it_is(design, &more).first() {
        Some(reason) => format!("one more of it would not do: {reason}"),
        None => "one more of it would fit".to_owned(),
    };
    format!("with its like only ({}); {full}", one.1.company)
}
