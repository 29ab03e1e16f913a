//! Plans a load: which modules share a package, in which packaging of the stock, where each stands.
//!
//! Whether a packaging with such contents is lawful is asked of `transport`, for every module on
//! every leg; here stand only mass, energy, number, room and what must be kept apart. Every way is
//! tried within a counted number of steps, fewest packages first, then the lowest cost.

use std::collections::BTreeMap;

use super::floor::{place, stances};
use super::piece::{Load, LoadedPackage, NotPacked, Piece, Placement};
use super::stock::{Packaging, Stock};
use crate::citation::Reason;
use crate::packing::simple_bound;
use crate::transport::{Answer, PackageAnswer, decide_untraced};
use crate::units::{Grams, MilliwattHours};

/// Most steps of the search.
const STEPS: u64 = 20_000;

/// What a reason is about where the floor is too small.
const ROOM: &str = "room inside";

/// What the plan takes for granted.
const DUTIES: [&str; 3] = [
    "protect every battery terminal against short circuit before it goes in",
    "secure the modules so that nothing shifts, with the gaps of the plan filled",
    "nothing stands on a module: one layer in each package",
];

/// Modules that are alike in everything that counts.
struct Alike<'a> {
    /// What they may share a package with: the same words.
    company: String,
    pieces: Vec<&'a Piece>,
    mass: i64,
    energy: Option<i64>,
    size: [u32; 3],
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
    lawful: BTreeMap<(usize, Vec<u32>), Option<Vec<super::floor::Spot>>>,
    steps: u64,
    /// Whether several modules found no room together: another arrangement might have.
    room_refused: bool,
    best: Option<(usize, u64, Vec<Way>)>,
}

/// The plan for the pieces with this stock.
#[must_use]
pub fn plan_load(job: &str, pieces: &[Piece], stock: &Stock) -> Load {
    let mut not_packed = Vec::new();
    let mut alike: Vec<Alike<'_>> = Vec::new();
    for piece in pieces {
        match ready(piece, stock) {
            Err(reasons) => not_packed.push(NotPacked {
                module: piece.module.clone(),
                reasons,
            }),
            Ok(one) => match alike.iter_mut().find(|other| same(other, &one)) {
                Some(other) => other.pieces.push(piece),
                None => alike.push(one),
            },
        }
    }
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
        best: None,
    };
    let mut left: Vec<u32> = alike.iter().map(|one| one.pieces.len() as u32).collect();
    let mut at_hand: Vec<u32> = stock.packagings.iter().map(|one| one.count).collect();
    search.deeper(&mut left, &mut at_hand, &mut Vec::new());
    let whole_search = search.steps > 0 && !search.room_refused;
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
        return Load {
            job: job.into(),
            packages: Vec::new(),
            not_packed,
            count: 0,
            lower_bound: 0,
            proven: true,
            duties: Vec::new(),
        };
    };
    let mut taken = vec![0_usize; alike.len()];
    let packages = ways
        .iter()
        .enumerate()
        .filter_map(|(at, way)| search.package(at, way, &mut taken))
        .collect::<Vec<_>>();
    let lower_bound = if whole_search {
        count
    } else {
        bound.min(count)
    };
    Load {
        job: job.into(),
        packages,
        not_packed,
        count,
        lower_bound,
        proven: lower_bound == count,
        duties: DUTIES.map(str::to_owned).to_vec(),
    }
}

/// The piece with its numbers, or why it cannot be packed at all.
fn ready<'a>(piece: &'a Piece, stock: &Stock) -> Result<Alike<'a>, Vec<Reason>> {
    let unknown = |what: &str, way_out: &str| Reason::new(what, "not known").way_out(way_out);
    let mut reasons = Vec::new();
    if piece.mass().is_none() {
        reasons.push(unknown("mass of the module", "weigh it"));
    }
    if piece.size_mm.is_none() {
        reasons.push(unknown(
            "size of the module",
            "measure it: `outer_size_mm` in job.json",
        ));
    }
    let mut company = Vec::new();
    for facts in &piece.legs {
        let decision = decide_untraced(facts);
        if decision.answer == Answer::Forbidden {
            reasons.extend(decision.reasons);
            continue;
        }
        let entry = decision.entry.map_or(String::new(), |entry| entry.un);
        company.push(format!(
            "{:?} {:?} {} {entry} {}",
            facts.item.soundness,
            facts.item.purpose,
            facts.regime,
            decision.packing_instructions.join("+"),
        ));
    }
    let (Some(mass), Some(size), true) = (piece.mass(), piece.size_mm, reasons.is_empty()) else {
        return Err(reasons);
    };
    let one = Alike {
        company: company.join("; "),
        pieces: vec![piece],
        mass: mass.as_thousandths(),
        energy: piece.energy().map(MilliwattHours::as_thousandths),
        size,
    };
    // Alone in a packaging of each design: where none takes it, say what each lacks.
    let refusals: Vec<Vec<Reason>> = stock
        .packagings
        .iter()
        .map(|packaging| refusals(packaging, std::slice::from_ref(&one), &[1]))
        .collect();
    if refusals.iter().any(Vec::is_empty) {
        return Ok(one);
    }
    let mut reasons: Vec<Reason> = Vec::new();
    for (packaging, refused) in stock.packagings.iter().zip(refusals) {
        if let Some(mut reason) = refused.into_iter().next() {
            reason.what = format!("{}: {}", packaging.id, reason.what);
            reasons.push(reason);
        }
    }
    if reasons.is_empty() {
        reasons
            .push(Reason::new("packagings at hand", "none").way_out("list them in packagings.csv"));
    }
    Err(reasons)
}

/// Whether two modules are one and the same to the plan.
fn same(a: &Alike<'_>, b: &Alike<'_>) -> bool {
    let (Some(first), Some(second)) = (a.pieces.first(), b.pieces.first()) else {
        return false;
    };
    let nameless = |piece: &Piece| {
        let mut legs = piece.legs.clone();
        for leg in &mut legs {
            leg.id = None;
        }
        legs
    };
    first.size_mm == second.size_mm
        && first.may_lie == second.may_lie
        && nameless(first) == nameless(second)
}

/// Why these modules may not go together into this packaging; nothing where they may.
fn refusals(packaging: &Packaging, alike: &[Alike<'_>], counts: &[u32]) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let inside = || alike.iter().zip(counts).filter(|(_, count)| **count > 0);
    let modules: u32 = counts.iter().sum();
    let net: i64 = inside()
        .map(|(one, count)| one.mass * i64::from(*count))
        .sum();
    if net > packaging.net_limit().as_thousandths() {
        reasons.push(
            Reason::new("net mass", Grams::thousandths(net).to_string())
                .limit(packaging.net_limit().to_string())
                .way_out("a packaging with a higher gross mass"),
        );
    }
    if let Some(most) = packaging.max_modules.filter(|most| modules > *most) {
        reasons.push(Reason::new("modules inside", modules.to_string()).limit(most.to_string()));
    }
    if let Some(most) = packaging.max_energy_wh {
        let energy = inside().try_fold(0_i64, |sum, (one, count)| {
            one.energy.map(|energy| sum + energy * i64::from(*count))
        });
        match energy {
            None => reasons.push(
                Reason::new("rated energy", "not known")
                    .limit(most.to_string())
                    .way_out("read it from the nameplate"),
            ),
            Some(energy) if energy > most.as_thousandths() => reasons.push(
                Reason::new(
                    "rated energy inside",
                    MilliwattHours::thousandths(energy).to_string(),
                )
                .limit(most.to_string()),
            ),
            Some(_) => {}
        }
    }
    let package = packaging.as_package(modules, Grams::thousandths(net));
    for (one, _) in inside() {
        for facts in one.pieces.first().map_or(&[][..], |piece| &piece.legs) {
            let mut facts = facts.clone();
            facts.package = Some(package.clone());
            let decision = decide_untraced(&facts);
            if decision.package.answer != PackageAnswer::Accepted {
                reasons.extend(decision.package.reasons);
            } else if !matches!(decision.answer, Answer::Allowed | Answer::AllowedWith) {
                reasons.extend(decision.reasons);
            }
        }
    }
    if reasons.is_empty() && spots(packaging, alike, counts).is_none() {
        reasons.push(
            Reason::new(ROOM, "not enough in one layer")
                .limit(format!(
                    "{} x {} x {} mm",
                    packaging.inner_length_mm, packaging.inner_width_mm, packaging.inner_height_mm
                ))
                .way_out("a larger packaging"),
        );
    }
    reasons
}

/// A spot for each module, in the order of `alike`.
fn spots(
    packaging: &Packaging,
    alike: &[Alike<'_>],
    counts: &[u32],
) -> Option<Vec<super::floor::Spot>> {
    let gap = packaging.gap_mm.unwrap_or(0);
    let inner = [
        packaging.inner_length_mm.checked_sub(gap)?,
        packaging.inner_width_mm.checked_sub(gap)?,
        packaging.inner_height_mm.checked_sub(gap.checked_mul(2)?)?,
    ];
    let modules: Vec<_> = alike
        .iter()
        .zip(counts)
        .flat_map(|(one, count)| {
            let may_lie = one.pieces.first().is_some_and(|piece| piece.may_lie);
            let stances: Vec<[u32; 3]> = stances(one.size, may_lie)
                .into_iter()
                .map(|[length, width, height]| {
                    [
                        length.saturating_add(gap),
                        width.saturating_add(gap),
                        height,
                    ]
                })
                .collect();
            std::iter::repeat_n(stances, *count as usize)
        })
        .collect();
    place(inner, &modules)
}

/// How few packages can be enough by sums, with the best of every packaging in one.
fn bound(alike: &[Alike<'_>], stock: &Stock) -> usize {
    let best = |of: fn(&Packaging) -> i64| {
        stock
            .packagings
            .iter()
            .map(of)
            .max()
            .and_then(|most| u64::try_from(most).ok())
            .unwrap_or(0)
    };
    let cap = [
        best(|one| one.net_limit().as_thousandths()),
        best(|one| i64::from(one.inner_length_mm) * i64::from(one.inner_width_mm)),
    ];
    let sizes: Vec<[u64; 2]> = alike
        .iter()
        .map(|one| {
            let may_lie = one.pieces.first().is_some_and(|piece| piece.may_lie);
            let floor = stances(one.size, may_lie)
                .iter()
                .map(|stance| u64::from(stance[0]) * u64::from(stance[1]))
                .min();
            [u64::try_from(one.mass).unwrap_or(0), floor.unwrap_or(0)]
        })
        .collect();
    // What may not share a package is counted company by company.
    let mut companies: BTreeMap<&str, Vec<(&[u64], u64)>> = BTreeMap::new();
    for (one, size) in alike.iter().zip(&sizes) {
        companies
            .entry(&one.company)
            .or_default()
            .push((size, one.pieces.len() as u64));
    }
    let sum: u64 = companies
        .values()
        .map(|kinds| simple_bound(&cap, kinds).packages)
        .sum();
    usize::try_from(sum).unwrap_or(usize::MAX)
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
        let (mut net, mut energy) = (0_i64, Some(0_i64));
        for ((one, count), taken) in self.alike.iter().zip(&way.counts).zip(taken) {
            for _ in 0..*count {
                let piece = one.pieces.get(*taken)?;
                *taken += 1;
                let (x, y, [length, width, height]) = spots.next()?;
                net += one.mass;
                energy = energy.zip(one.energy).map(|(sum, one)| sum + one);
                placements.push(Placement {
                    module: piece.module.clone(),
                    x_mm: x + gap,
                    y_mm: y + gap,
                    length_mm: length - gap,
                    width_mm: width - gap,
                    height_mm: height,
                    why: self.why(one, way, design),
                });
            }
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

    /// Why a module stands in this package, and why not one more beside it.
    fn why(&self, one: &Alike<'_>, way: &Way, design: &Packaging) -> String {
        let mut more = way.counts.clone();
        let at = self.alike.iter().position(|other| std::ptr::eq(other, one));
        if let Some(count) = at.and_then(|at| more.get_mut(at)) {
            *count += 1;
        }
        let full = match refusals(design, self.alike, &more).first() {
            Some(reason) => format!("one more of it would not do: {reason}"),
            None => "one more of it would fit".to_owned(),
        };
        format!("shares only with [{}]; {full}", one.company)
    }
}
