//! How few packages can be enough, by sums that hold for every plan.

use std::collections::BTreeMap;

use super::divider::Divider;
use super::fill::{Alike, grams, never_together};
use super::floor::stances;
use super::room::is_sound;
use super::stock::{Packaging, Stock};
use crate::packing::simple_bound;

/// Stands for "no limit" in energy and count.
const FREE: u64 = 1 << 40;

/// How few packages can be enough by sums of mass, floor, energy and number, with the best of every
/// packaging in one. What may not share a package is counted company by company.
pub(super) fn bound(alike: &[Alike<'_>], stock: &Stock) -> usize {
    let mut companies: BTreeMap<&str, Vec<&Alike<'_>>> = BTreeMap::new();
    for one in alike {
        companies.entry(&one.company).or_default().push(one);
    }
    let sum: u64 = companies
        .values()
        .map(|company| of_company(company, stock))
        .sum();
    usize::try_from(sum).unwrap_or(usize::MAX)
}

fn of_company(company: &[&Alike<'_>], stock: &Stock) -> u64 {
    // Each module with the smallest gap at two of its sides: these lie apart inside the walls.
    let gaps = stock.packagings.iter().map(|one| one.gap_mm.unwrap_or(0));
    let gap = gaps.min().unwrap_or(0);
    let floor_of = |length: u32, width: u32| u64::from(length) * u64::from(width);
    let best = |of: &dyn Fn(&Packaging) -> u64| stock.packagings.iter().map(of).max().unwrap_or(0);
    let whole = |grams: i64| u64::try_from(grams).unwrap_or(0);
    let lowest = company.iter().map(|one| lowest(one)).min().unwrap_or(0);
    let sound = company.iter().all(|one| is_sound(one));
    let cap = [
        best(&|one| whole(one.net_limit().as_thousandths())),
        best(&|one| {
            let floor = floor_of(
                one.inner_length_mm.saturating_sub(gap),
                one.inner_width_mm.saturating_sub(gap),
            );
            floor.saturating_mul(if sound { layers(one, lowest) } else { 1 })
        }),
        best(&|one| {
            one.max_energy_wh
                .map_or(FREE, |most| whole(most.as_thousandths()))
        }),
        best(&|one| one.max_modules.map_or(FREE, u64::from)),
    ];
    let mut sizes: BTreeMap<[u64; 4], u64> = BTreeMap::new();
    let mut alone = 0;
    for one in company {
        // Of sound modules only sums speak against two in one package.
        if !sound && shares_with_none(one, company, stock) {
            alone += one.pieces.len() as u64;
            continue;
        }
        let floor = ways(one)
            .iter()
            .map(|[length, width, _]| {
                floor_of(length.saturating_add(gap), width.saturating_add(gap))
            })
            .min();
        // Each module by its own mass.
        for piece in &one.pieces {
            let energy = whole(one.energy.unwrap_or(0)).min(cap[2]);
            let size = [whole(grams(piece)), floor.unwrap_or(0), energy, 1];
            *sizes.entry(size).or_default() += 1;
        }
    }
    let kinds: Vec<(&[u64], u64)> = sizes
        .iter()
        .map(|(size, count)| (&size[..], *count))
        .collect();
    alone + simple_bound(&cap, &kinds).packages
}

/// Whether no packaging ever takes one of this kind with any other module of the company.
fn shares_with_none(one: &Alike<'_>, company: &[&Alike<'_>], stock: &Stock) -> bool {
    let apart = |pair: &[Alike<'_>], counts: &[u32]| {
        let mut designs = stock.packagings.iter();
        designs.all(|design| never_together(design, pair, counts))
    };
    company.iter().all(|other| {
        if !std::ptr::eq(*other, one) {
            apart(&[one.clone(), (*other).clone()], &[1, 1])
        } else {
            one.pieces.len() < 2 || apart(std::slice::from_ref(one), &[2])
        }
    })
}

fn ways(one: &Alike<'_>) -> Vec<[u32; 3]> {
    let may_lie = one.pieces.first().is_some_and(|piece| piece.may_lie);
    stances(one.size, may_lie)
}

fn lowest(one: &Alike<'_>) -> u32 {
    let heights = ways(one).into_iter().map(|way| way[2]);
    heights.min().unwrap_or(0)
}

/// Most layers that the height takes where no module is lower than `lowest`.
fn layers(packaging: &Packaging, lowest: u32) -> u64 {
    let Ok(divider) = Divider::of(packaging) else {
        return 1;
    };
    let gaps = u64::from(packaging.gap_mm.unwrap_or(0)) * 2;
    let each = (u64::from(lowest) + gaps + u64::from(divider.mm)).max(1);
    let height = u64::from(packaging.inner_height_mm) + u64::from(divider.mm);
    (height / each).clamp(1, u64::from(divider.layers))
}
