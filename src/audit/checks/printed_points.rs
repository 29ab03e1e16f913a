//! The points on the transport document of a small load, beside those that the record gives.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::Value;

use crate::audit::{Dossier, Found};
use crate::transport::factor_of;
use crate::units::{Decimal, Grams};

/// A small load as `decisions.json` of an issue gives it, or as counted again.
#[derive(Debug, PartialEq, Deserialize)]
struct Points {
    leg: usize,
    points: Decimal,
    categories: Vec<Category>,
}

#[derive(Debug, PartialEq, Deserialize)]
struct Category {
    category: String,
    net_mass_kg: Grams,
    points: Decimal,
}

/// `papers.points`. Papers that were issued before they carried their points are not asked.
pub(in crate::audit) fn printed(dossier: &Dossier) -> Vec<Found> {
    let (Some(decided), Some(issue)) = (dossier.decided(), dossier.issues.last()) else {
        return Vec::new();
    };
    let printed = decided.get("small_loads").and_then(Value::as_array);
    printed
        .into_iter()
        .flatten()
        .filter_map(|one| {
            let printed = Points::deserialize(one).ok().map(|mut points| {
                points
                    .categories
                    .sort_by(|a, b| a.category.cmp(&b.category));
                points
            });
            let leg = one.get("leg").and_then(Value::as_u64);
            let leg = usize::try_from(leg.unwrap_or_default()).unwrap_or_default();
            let (counted, not_known) = counted(dossier, leg);
            if printed.as_ref() == Some(&counted) && not_known.is_empty() {
                return None;
            }
            let shown = |points: &Points| points.shown();
            let mut limit = vec![counted.shown()];
            limit.extend(not_known);
            Some(
                Found::new(
                    format!("small load of leg {leg} on the papers"),
                    printed.as_ref().map_or("cannot be read".to_owned(), shown),
                )
                .at_seq(issue.seq)
                .limit(limit.join(", "))
                .way_out("issue the papers again, and tell those who carried by the old ones"),
            )
        })
        .collect()
}

impl Points {
    fn shown(&self) -> String {
        let mut shown: Vec<String> = self
            .categories
            .iter()
            .map(|one| {
                format!(
                    "category {}: {}, {} points",
                    one.category, one.net_mass_kg, one.points
                )
            })
            .collect();
        shown.push(format!("{} points in all", self.points));
        shown.join("; ")
    }
}

/// Masses and points of the leg by the record as it stands, and what of it cannot be counted.
fn counted(dossier: &Dossier, leg: usize) -> (Points, Vec<String>) {
    let mut sums: BTreeMap<&str, i64> = BTreeMap::new();
    let mut not_known = Vec::new();
    for verdict in dossier.decisions().iter().filter(|one| one.leg + 1 == leg) {
        let identity = dossier.job.identity(verdict.module).0;
        let category = verdict.decision.transport_category.as_deref();
        let category = category.unwrap_or_default();
        match (factor_of(category), dossier.job.net_mass(verdict.module)) {
            (Some(_), Some(mass)) => {
                let sum = sums.entry(category).or_default();
                *sum = sum.saturating_add(mass.as_thousandths());
            }
            (Some(_), None) => not_known.push(format!("no mass of {identity}")),
            (None, _) => not_known.push(format!("{identity} is of no category of a small load")),
        }
    }
    let mut total = 0_i64;
    let categories = sums
        .into_iter()
        .map(|(category, mass)| {
            let points = mass.saturating_mul(factor_of(category).unwrap_or_default());
            total = total.saturating_add(points);
            Category {
                category: category.to_owned(),
                net_mass_kg: Grams::thousandths(mass),
                points: Decimal::from_thousandths(points),
            }
        })
        .collect();
    let points = Points {
        leg,
        points: Decimal::from_thousandths(total),
        categories,
    };
    (points, not_known)
}
