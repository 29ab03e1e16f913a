//! Plans what stands on what: packages onto pallets and into overpacks, those onto vehicles.
//!
//! Every way is tried within a counted number of steps, fewest carriers first; `arrange` says what
//! may go together on one carrier.

use super::arrange::{ROOM, arrange};
use super::carriers::{Carrier, CarrierKind, Carriers};
use super::parcel::{Parcel, asked};
use super::plan::{Carried, Counted, Haul, NotCarried, Stand};
use crate::citation::Reason;
use crate::packing::load::{Load, Piece, Stock};
use crate::units::Grams;

/// Most steps of the search for one stage.
const STEPS: u32 = 3_000;

/// The plan for the packages of `load` with these carriers.
#[must_use]
pub fn plan_haul(load: &Load, pieces: &[Piece], stock: &Stock, carriers: &Carriers) -> Haul {
    let mut haul = Haul::default();
    let mut parcels = Vec::new();
    for package in &load.packages {
        match Parcel::of(package, pieces, stock) {
            Some(parcel) => parcels.push(parcel),
            None => haul.not_carried.push(NotCarried {
                what: package.id.clone(),
                reasons: vec![
                    Reason::new(
                        format!("outer size of `{}`", package.packaging),
                        "not known",
                    )
                    .way_out("measure it: outer_length_mm and so on in packagings.csv"),
                ],
            }),
        }
    }
    let of = |vehicle: bool| -> Vec<&Carrier> {
        let all = carriers.carriers.iter();
        all.filter(|one| (one.kind == CarrierKind::Vehicle) == vehicle)
            .collect()
    };
    let (units, vehicles) = (of(false), of(true));
    let mut aboard = parcels;
    if !units.is_empty() {
        let stage = stage(&aboard, &units);
        haul.handling_units = stage.counted;
        let mut next = Vec::new();
        for (at, (carrier, inside)) in stage.filled.iter().enumerate() {
            let id = format!("L{}", at + 1);
            if let Some(carried) = carried(&id, carrier, inside) {
                next.push(unit(&carried, carrier, inside));
                haul.carried.push(carried);
            }
        }
        // What no pallet takes goes loose onto a vehicle, where there is one.
        for (parcel, reasons) in stage.refused {
            if vehicles.is_empty() {
                haul.not_carried.push(NotCarried {
                    what: parcel.id.clone(),
                    reasons,
                });
            } else {
                next.push(parcel.clone());
            }
        }
        aboard = next;
    }
    if !vehicles.is_empty() {
        let stage = stage(&aboard, &vehicles);
        haul.vehicles = stage.counted;
        for (at, (carrier, inside)) in stage.filled.iter().enumerate() {
            let carried = carried(&format!("V{}", at + 1), carrier, inside);
            haul.carried.extend(carried);
        }
        for (parcel, reasons) in stage.refused {
            haul.not_carried.push(NotCarried {
                what: parcel.id.clone(),
                reasons,
            });
        }
    }
    haul
}

/// A loaded pallet or overpack as a thing to be carried. Nothing stands on it: what it could carry
/// is not known.
fn unit(carried: &Carried, carrier: &Carrier, inside: &[&Parcel]) -> Parcel {
    let top = |stand: &Stand| stand.z_mm.saturating_add(stand.height_mm);
    let height = carried.stands.iter().map(top).max().unwrap_or(0);
    Parcel {
        id: carried.id.clone(),
        outer_mm: carrier.outer_mm(height),
        gross: carried.gross_kg.as_thousandths(),
        carries: 0,
        company: inside
            .first()
            .map_or(String::new(), |one| one.company.clone()),
        critical: inside.iter().any(|one| one.critical),
        goods: inside.iter().flat_map(|one| one.goods.clone()).collect(),
        leg: inside.iter().find_map(|one| one.leg.clone()),
    }
}

fn carried(id: &str, carrier: &Carrier, inside: &[&Parcel]) -> Option<Carried> {
    let stands = arrange(carrier, inside).ok()?;
    let load: i64 = inside.iter().map(|parcel| parcel.gross).sum();
    let tare = carrier.tare_kg.map_or(0, Grams::as_thousandths);
    let mut duties = match carrier.kind {
        CarrierKind::Overpack => vec![
            "mark it OVERPACK and repeat every mark and label that does not show (ADR 2025, \
             5.1.2.1, read in translation)"
                .to_owned(),
        ],
        CarrierKind::Pallet => vec!["strap or wrap the packages to the pallet".to_owned()],
        CarrierKind::Vehicle => vec!["secure the load so that nothing shifts".to_owned()],
    };
    let answer = (carrier.kind == CarrierKind::Vehicle)
        .then(|| asked(inside))
        .flatten();
    if let Some(answer) = &answer {
        let due = answer.requirements.iter();
        duties.extend(due.map(|due| format!("{} [{}]", due.says, due.clause)));
    }
    let points = answer.as_ref().and_then(|answer| answer.points);
    Some(Carried {
        id: id.to_owned(),
        carrier: carrier.id.clone(),
        load_kg: Grams::thousandths(load),
        gross_kg: Grams::thousandths(load.checked_add(tare)?),
        points,
        small_load: points.and(answer).map(|answer| answer.small_load),
        duties,
        stands,
    })
}

/// What one stage gives.
struct Stage<'a> {
    filled: Vec<(&'a Carrier, Vec<&'a Parcel>)>,
    refused: Vec<(&'a Parcel, Vec<Reason>)>,
    counted: Counted,
}

fn stage<'a>(parcels: &'a [Parcel], carriers: &[&'a Carrier]) -> Stage<'a> {
    let mut refused = Vec::new();
    let mut ready: Vec<&Parcel> = Vec::new();
    for parcel in parcels {
        let reasons: Vec<Reason> = carriers
            .iter()
            .filter_map(|carrier| {
                let mut reason = arrange(carrier, &[parcel]).err()?;
                reason.what = format!("{}: {}", carrier.id, reason.what);
                Some(reason)
            })
            .collect();
        if reasons.len() == carriers.len() {
            refused.push((parcel, reasons));
        } else {
            ready.push(parcel);
        }
    }
    ready.sort_by(|a, b| {
        a.company
            .cmp(&b.company)
            .then(b.outer_mm.cmp(&a.outer_mm))
            .then(b.gross.cmp(&a.gross))
    });
    let mut search = Search {
        carriers,
        parcels: &ready,
        steps: STEPS,
        room_refused: false,
        best: None,
    };
    let mut at_hand: Vec<u32> = carriers.iter().map(|one| one.count).collect();
    search.deeper(0, 0, &mut at_hand, &mut Vec::new());
    let whole = search.steps > 0;
    let Some(best) = search.best.take() else {
        let short = if whole {
            Reason::new("carriers at hand", "not enough for every package")
        } else {
            Reason::new("plan", "none found within the steps")
        }
        .way_out("bring more carriers, or go twice");
        refused.extend(ready.iter().map(|parcel| (*parcel, vec![short.clone()])));
        return Stage {
            filled: Vec::new(),
            refused,
            counted: Counted::default(),
        };
    };
    let count = best.len();
    let lower_bound = if whole && !search.room_refused {
        count
    } else {
        bound(&ready, carriers).min(count)
    };
    let filled = best
        .into_iter()
        .filter_map(|(at, inside)| Some((*carriers.get(at)?, inside)))
        .collect();
    Stage {
        filled,
        refused,
        counted: Counted {
            count,
            lower_bound,
            proven: count == lower_bound,
        },
    }
}

/// A design with what it carries.
type Open<'a> = (usize, Vec<&'a Parcel>);

struct Search<'s, 'a> {
    carriers: &'s [&'a Carrier],
    parcels: &'s [&'a Parcel],
    steps: u32,
    /// Whether several things found no room together: another arrangement might have.
    room_refused: bool,
    best: Option<Vec<Open<'a>>>,
}

impl<'a> Search<'_, 'a> {
    /// Places the parcels from `next` on; one like the one before goes to no earlier carrier.
    fn deeper(
        &mut self,
        next: usize,
        from: usize,
        at_hand: &mut Vec<u32>,
        open: &mut Vec<Open<'a>>,
    ) {
        if self
            .best
            .as_ref()
            .is_some_and(|best| open.len() >= best.len())
        {
            return;
        }
        let Some(parcel) = self.parcels.get(next).copied() else {
            self.best = Some(open.clone());
            return;
        };
        let like_the_next = self.parcels.get(next + 1).is_some_and(|other| {
            other.company == parcel.company
                && other.outer_mm == parcel.outer_mm
                && other.gross == parcel.gross
                && other.carries == parcel.carries
                && other.goods == parcel.goods
        });
        let keep = |at: usize| if like_the_next { at } else { 0 };
        for at in from..open.len() {
            let Some((design, inside)) = open.get_mut(at) else {
                continue;
            };
            let Some(carrier) = self.carriers.get(*design) else {
                continue;
            };
            if self.steps == 0 {
                return;
            }
            self.steps -= 1;
            inside.push(parcel);
            let aboard = inside.clone();
            if self.may_stand(carrier, &aboard) {
                self.deeper(next + 1, keep(at), at_hand, open);
            }
            if let Some((_, inside)) = open.get_mut(at) {
                inside.pop();
            }
        }
        for (design, carrier) in self.carriers.iter().enumerate() {
            let Some(left) = at_hand.get_mut(design).filter(|left| **left > 0) else {
                continue;
            };
            if self.steps == 0 {
                return;
            }
            self.steps -= 1;
            if arrange(carrier, &[parcel]).is_err() {
                continue;
            }
            *left -= 1;
            open.push((design, vec![parcel]));
            self.deeper(next + 1, keep(open.len() - 1), at_hand, open);
            open.pop();
            if let Some(left) = at_hand.get_mut(design) {
                *left += 1;
            }
        }
    }

    fn may_stand(&mut self, carrier: &Carrier, aboard: &[&Parcel]) -> bool {
        let refused = arrange(carrier, aboard).err();
        self.room_refused |= refused.as_ref().is_some_and(|reason| reason.what == ROOM);
        refused.is_none()
    }
}

/// How few carriers can be enough by sums: mass, volume, points, company by company on pallets.
fn bound(parcels: &[&Parcel], carriers: &[&Carrier]) -> usize {
    let best = |of: fn(&Carrier) -> i128| carriers.iter().map(|one| of(one)).max().unwrap_or(1);
    let mass = best(|one| i128::from(one.max_load_kg.as_thousandths()));
    let volume = best(|one| one.room_mm().iter().map(|side| i128::from(*side)).product());
    let deck = best(|one| i128::from(one.length_mm) * i128::from(one.width_mm));
    let on_vehicles = carriers.iter().all(|one| one.kind == CarrierKind::Vehicle);
    let all_small = on_vehicles && carriers.iter().all(|one| one.small_load == Some(true));
    let of = |group: &[&Parcel]| -> usize {
        let sum = |of: fn(&Parcel) -> i128| group.iter().map(|one| of(one)).sum::<i128>();
        let by_mass = ceil(sum(|one| i128::from(one.gross)), mass);
        let by_volume = ceil(
            sum(|one| one.outer_mm.iter().map(|side| i128::from(*side)).product()),
            volume,
        );
        // What carries nothing is the top of its column, and tops share the deck.
        let lightest = group.iter().map(|one| one.gross).min().unwrap_or(0);
        let tops = group
            .iter()
            .filter(|one| one.critical || one.carries < lightest);
        let by_deck = ceil(
            tops.map(|one| i128::from(one.outer_mm[0]) * i128::from(one.outer_mm[1]))
                .sum(),
            deck,
        );
        let by_points = asked(group)
            .filter(|_| all_small)
            .and_then(|answer| answer.points?.thousandths())
            .map_or(0, |points| ceil(i128::from(points), 1_000_000));
        by_mass.max(by_volume).max(by_deck).max(by_points)
    };
    if on_vehicles {
        return of(parcels).max(usize::from(!parcels.is_empty()));
    }
    parcels
        .chunk_by(|a, b| a.company == b.company)
        .map(|group| of(group).max(1))
        .sum()
}

fn ceil(sum: i128, most: i128) -> usize {
    let most = most.max(1);
    usize::try_from((sum + most - 1) / most).unwrap_or(usize::MAX)
}
