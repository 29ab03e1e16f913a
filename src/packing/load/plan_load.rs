//! Plans a load: which modules share a package, in which packaging of the stock, where each stands.
//!
//! Every way is tried within a counted number of steps, fewest packages first, then the lowest cost;
//! `fill` says what may go together into one packaging.

use std::collections::BTreeMap;

use super::fill::{Alike, Sameness, fit, objections_as_it_is, ready, refused_anyway};
use super::least::bound;
use super::piece::{Load, LoadedPackage, NotPacked, PassedOver, Piece, Placement};
use super::room::{Arrangement, ROOM};
use super::stock::{Packaging, RestsOn, Stock};
use crate::citation::Reason;
use crate::units::{Grams, MilliwattHours};

/// Most steps of the search.
const STEPS: u64 = 20_000;

/// What the plan takes for granted.
const DUTIES: [&str; 2] = [
    "protect every battery terminal against short circuit before it goes in",
    "secure the modules so that nothing shifts, with the gaps of the plan filled",
];

/// What stands on what, said for the packages of a plan.
fn duties_of_layers(packages: &[LoadedPackage], stock: &Stock) -> Vec<String> {
    let names = |of: &dyn Fn(&LoadedPackage) -> bool| {
        let all: Vec<&str> = packages
            .iter()
            .filter(|one| of(one))
            .map(|one| one.id.as_str())
            .collect();
        all.join(", ")
    };
    let on_modules = |package: &LoadedPackage| {
        let design = stock
            .packagings
            .iter()
            .find(|one| one.id == package.packaging);
        package.dividers > 0
            && design.is_some_and(|one| one.divider_rests_on == Some(RestsOn::Modules))
    };
    let mut duties = Vec::new();
    if packages.iter().all(|one| one.dividers == 0) {
        duties.push("nothing stands on a module: one layer in each package".to_owned());
        return duties;
    }
    duties.push(format!(
        "{}: upright, a divider between any two layers, nothing on a battery terminal; nothing stands \
         on a module in any other package",
        names(&|one| one.dividers > 0)
    ));
    if packages.iter().any(on_modules) {
        duties.push(format!(
            "{}: the divider lies flat on all modules below it, and each upper one stands over a lower \
             one",
            names(&on_modules)
        ));
    }
    duties
}

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
    lawful: BTreeMap<(usize, Vec<u32>), Option<Arrangement>>,
    steps: u64,
    /// Whether several modules found no room together: another arrangement might have.
    room_refused: bool,
    /// Whether a filling was refused that lighter modules of the same types might pass.
    spread_refused: bool,
    best: Option<(usize, u64, Vec<Way>)>,
}

/// Most modules for which every little difference is looked at, where a plan by types leaves it open
/// whether fewer packages are enough.
const FEW: usize = 30;

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
    let passed_over = passed_over(&alike, stock);
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
                passed_over,
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
    let mut duties = Vec::new();
    if !packages.is_empty() {
        duties.extend(DUTIES.map(str::to_owned));
        duties.extend(duties_of_layers(&packages, stock));
    }
    let load = Load {
        job: job.into(),
        packages,
        not_packed,
        passed_over,
        count,
        lower_bound,
        proven: lower_bound == count,
        haul: None,
        duties,
    };
    Some((load, spread))
}

/// Packagings that take not even one of any module that another takes.
fn passed_over(alike: &[Alike<'_>], stock: &Stock) -> Vec<PassedOver> {
    let alone = |design: &Packaging, one: &Alike<'_>| fit(design, std::slice::from_ref(one), &[1]);
    let all = stock.packagings.iter().filter_map(|design| {
        let reasons = alone(design, alike.first()?).err()?;
        let none = alike.iter().all(|one| alone(design, one).is_err());
        none.then(|| PassedOver {
            packaging: design.id.clone(),
            reasons,
        })
    });
    all.collect()
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
            match fit(design, self.alike, counts) {
                Ok(arrangement) => Some(arrangement),
                Err(reasons) => {
                    self.room_refused |= counts.iter().sum::<u32>() > 1
                        && reasons.iter().any(|reason| reason.what == ROOM);
                    self.spread_refused |= self.alike.iter().any(Alike::is_spread)
                        && !refused_anyway(design, self.alike, counts);
                    None
                }
            }
        });
        let lawful = found.is_some();
        self.lawful.insert(key, found);
        lawful
    }

    /// The package of a way, with the next modules of each kind.
    fn package(&self, at: usize, way: &Way, taken: &mut [usize]) -> Option<LoadedPackage> {
        let design = self.stock.packagings.get(way.packaging)?;
        let key = (way.packaging, way.counts.clone());
        let Arrangement { places, dividers } = self.lawful.get(&key)?.as_ref()?;
        let mut places = places.iter();
        let mut placements = Vec::new();
        let mut inside = Vec::new();
        let (mut net, mut energy) = (0_i64, Some(0_i64));
        for ((one, count), taken) in self.alike.iter().zip(&way.counts).zip(taken) {
            for _ in 0..*count {
                let piece = one.pieces.get(*taken)?;
                *taken += 1;
                let place = places.next()?;
                let [length_mm, width_mm, height_mm] = place.size;
                net += piece.mass()?.as_thousandths();
                inside.push((*piece, one));
                energy = energy.zip(one.energy).map(|(sum, one)| sum + one);
                placements.push(Placement {
                    module: piece.module.clone(),
                    x_mm: place.x,
                    y_mm: place.y,
                    z_mm: place.z,
                    length_mm,
                    width_mm,
                    height_mm,
                    why: String::new(),
                });
            }
        }
        if !objections_as_it_is(design, &inside, *dividers).is_empty() {
            return None;
        }
        let net = Grams::thousandths(net);
        let mut package = LoadedPackage {
            id: format!("P{}", at + 1),
            packaging: design.id.clone(),
            net_mass_kg: net,
            gross_mass_kg: net.plus(design.tare_with(*dividers)?)?,
            rated_energy_wh: energy.map(MilliwattHours::thousandths),
            dividers: *dividers,
            placements,
        };
        let whys = self.whys(&package, way, &inside, design);
        for (placement, why) in package.placements.iter_mut().zip(whys) {
            placement.why = why;
        }
        Some(package)
    }

    /// Why each module stands in this package, and why not one more like it beside it.
    fn whys(
        &self,
        package: &LoadedPackage,
        way: &Way,
        inside: &[(&Piece, &Alike<'_>)],
        design: &Packaging,
    ) -> Vec<String> {
        // Whether one more of a kind would find room is asked once for each kind.
        let no_room: Vec<Option<Reason>> = (0..self.alike.len())
            .map(|kind| {
                let mut counts = way.counts.clone();
                let count = counts.get_mut(kind).filter(|count| **count > 0)?;
                *count += 1;
                fit(design, self.alike, &counts)
                    .err()?
                    .into_iter()
                    .find(|reason| reason.what == ROOM)
            })
            .collect();
        let mut all = Vec::new();
        for (placement, one) in package.placements.iter().zip(inside) {
            let mut more = inside.to_vec();
            more.push(*one);
            let objection = objections_as_it_is(design, &more, 0).into_iter().next();
            let room = || {
                let kind = self.alike.iter().position(|kind| std::ptr::eq(kind, one.1));
                no_room.get(kind?).cloned().flatten()
            };
            let full = match objection.or_else(room) {
                Some(reason) => format!("one more of it would not do: {reason}"),
                None => "one more of it would fit".to_owned(),
            };
            let layer = match (package.layer_of(placement), design.divider_rests_on) {
                ((_, 1), _) => String::new(),
                ((1, layers), _) => format!("layer 1 of {layers}, on the floor; "),
                ((layer, layers), Some(RestsOn::Packaging)) => {
                    format!("layer {layer} of {layers}, on a shelf of the packaging; ")
                }
                ((layer, layers), _) => format!(
                    "layer {layer} of {layers}, on a divider over the modules below, which may carry it; "
                ),
            };
            all.push(format!(
                "{layer}with its like only ({}); {full}",
                one.1.company
            ));
        }
        all
    }
}
