//! The points of a small load (ADR 1.1.3.6): what the transport document prints, and what
//! `decisions.json` carries so that an auditor can count it again.

use super::decisions::{CategorySum, SmallLoad};
use crate::job::{Job, Verdict};
use crate::transport::{Regime, factor_of};
use crate::units::{Decimal, Grams};

/// Mass of each transport category, in the order of the plan. A mass that is not known is not in it.
pub(super) fn by_category<'v>(
    job: &Job,
    verdicts: impl IntoIterator<Item = &'v Verdict>,
) -> Vec<(String, Grams)> {
    let mut sums: Vec<(String, Grams)> = Vec::new();
    for verdict in verdicts {
        let category = verdict.decision.transport_category.as_deref();
        let category = category.unwrap_or_default();
        let mass = job.net_mass(verdict.module).unwrap_or_default();
        match sums.iter_mut().find(|(known, _)| *known == category) {
            Some((_, sum)) => *sum = sum.plus(mass).unwrap_or(*sum),
            None => sums.push((category.to_owned(), mass)),
        }
    }
    sums
}

/// Factor and points of one category in thousandths; `None` where a small load must not have it.
pub(super) fn counted(category: &str, mass: Grams) -> Option<(i64, i64)> {
    let factor = factor_of(category)?;
    Some((factor, mass.as_thousandths().checked_mul(factor)?))
}

/// Every leg that goes as a small load and can be counted.
pub(super) fn small_loads(job: &Job, verdicts: &[Verdict]) -> Vec<SmallLoad> {
    let legs = job.plan().route.iter().enumerate();
    legs.filter(|(_, leg)| leg.small_load == Some(true) && leg.regime == Regime::Adr)
        .filter_map(|(n, _)| {
            let on_leg: Vec<&Verdict> = verdicts.iter().filter(|one| one.leg == n).collect();
            small_load(job, n, &on_leg)
        })
        .collect()
}

fn small_load(job: &Job, n: usize, verdicts: &[&Verdict]) -> Option<SmallLoad> {
    if verdicts
        .iter()
        .any(|one| job.net_mass(one.module).is_none())
    {
        return None;
    }
    let mut total = 0_i64;
    let mut categories = Vec::new();
    for (category, mass) in by_category(job, verdicts.iter().copied()) {
        let (_, points) = counted(&category, mass)?;
        total = total.checked_add(points)?;
        categories.push(CategorySum {
            category,
            net_mass_kg: mass,
            points: Decimal::from_thousandths(points),
        });
    }
    (!categories.is_empty()).then(|| SmallLoad {
        leg: n + 1,
        points: Decimal::from_thousandths(total),
        categories,
    })
}
