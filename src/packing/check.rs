//! Judges a plan against its instance: every item once, no limit passed, counts and claims true.
//!
//! Shares no code with the solver. A claimed lower bound is believed only as far as it is at most
//! the count; where the plain sum over one limit already shows it, that is said.

use super::instance::Instance;
use super::plan::Proposal;

/// What is wrong with a plan. Packages and items by number from 0.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// The plan is for another instance.
    #[error("plan is for `{plan}`, instance is `{instance}`")]
    OtherName {
        /// Name in the plan.
        plan: String,
        /// Name of the instance.
        instance: String,
    },
    /// An item that the instance does not have.
    #[error("package {bin} holds item {item}, which is not in the instance")]
    NoSuchItem {
        /// The package.
        bin: usize,
        /// The item.
        item: usize,
    },
    /// An item stands in no package.
    #[error("item {item} is in no package")]
    Missing {
        /// The item.
        item: usize,
    },
    /// An item stands twice.
    #[error("item {item} is in package {first} and again in package {second}")]
    Twice {
        /// The item.
        item: usize,
        /// Where first.
        first: usize,
        /// Where again.
        second: usize,
    },
    /// A package takes more than it may.
    #[error("package {bin} holds {load}, limit {limit} is {cap}")]
    TooFull {
        /// The package.
        bin: usize,
        /// Which limit.
        limit: usize,
        /// What it holds.
        load: u128,
        /// What it may hold.
        cap: u64,
    },
    /// A package holds nothing.
    #[error("package {bin} is empty")]
    Empty {
        /// The package.
        bin: usize,
    },
    /// The count is not the number of packages.
    #[error("count says {count}, there are {bins} packages")]
    WrongCount {
        /// What the plan says.
        count: usize,
        /// How many there are.
        bins: usize,
    },
    /// The lower bound is above the count.
    #[error("lower bound {lower_bound} is above the {bins} packages of the plan itself")]
    BoundAboveCount {
        /// What the plan says.
        lower_bound: usize,
        /// How many packages there are.
        bins: usize,
    },
    /// The lower bound is below what the sum over a limit shows.
    #[error("lower bound {lower_bound} is below {sum}, which the sum over limit {limit} shows")]
    BoundTooLow {
        /// What the plan says.
        lower_bound: usize,
        /// What the sum shows.
        sum: u128,
        /// Which limit.
        limit: usize,
    },
    /// "Proven" does not agree with the numbers.
    #[error("proven says {proven}, there are {bins} packages and the lower bound is {lower_bound}")]
    WrongProven {
        /// What the plan says.
        proven: bool,
        /// How many packages there are.
        bins: usize,
        /// Its lower bound.
        lower_bound: usize,
    },
}

/// All that is wrong with `plan`; nothing where it holds.
#[must_use]
pub fn check(instance: &Instance, plan: &Proposal) -> Vec<Fault> {
    let mut faults = Vec::new();
    if plan.name != instance.name {
        faults.push(Fault::OtherName {
            plan: plan.name.clone(),
            instance: instance.name.clone(),
        });
    }
    let items: Vec<&[u64]> = instance.items().collect();
    let mut place: Vec<Option<usize>> = vec![None; items.len()];
    for (bin, held) in plan.bins.iter().enumerate() {
        if held.is_empty() {
            faults.push(Fault::Empty { bin });
        }
        let mut load = vec![0_u128; instance.cap.len()];
        for &item in held {
            let (Some(sizes), Some(place)) = (items.get(item), place.get_mut(item)) else {
                faults.push(Fault::NoSuchItem { bin, item });
                continue;
            };
            for (sum, size) in load.iter_mut().zip(*sizes) {
                *sum += u128::from(*size);
            }
            match *place {
                Some(first) => faults.push(Fault::Twice {
                    item,
                    first,
                    second: bin,
                }),
                None => *place = Some(bin),
            }
        }
        for (limit, (&load, &cap)) in load.iter().zip(&instance.cap).enumerate() {
            if load > u128::from(cap) {
                faults.push(Fault::TooFull {
                    bin,
                    limit,
                    load,
                    cap,
                });
            }
        }
    }
    let missing = place
        .iter()
        .enumerate()
        .filter(|(_, place)| place.is_none());
    faults.extend(missing.map(|(item, _)| Fault::Missing { item }));
    claims(instance, plan, &items, &mut faults);
    faults
}

/// What the plan says of itself, as far as it says anything.
fn claims(instance: &Instance, plan: &Proposal, items: &[&[u64]], faults: &mut Vec<Fault>) {
    let bins = plan.bins.len();
    if let Some(count) = plan.count
        && count != bins
    {
        faults.push(Fault::WrongCount { count, bins });
    }
    let Some(lower_bound) = plan.lower_bound else {
        return;
    };
    if lower_bound > bins {
        faults.push(Fault::BoundAboveCount { lower_bound, bins });
    }
    if let Some(proven) = plan.proven
        && proven != (bins == lower_bound)
    {
        faults.push(Fault::WrongProven {
            proven,
            bins,
            lower_bound,
        });
    }
    for (limit, &cap) in instance.cap.iter().enumerate() {
        let total: u128 = items
            .iter()
            .filter_map(|sizes| sizes.get(limit))
            .map(|size| u128::from(*size))
            .sum();
        let Some(whole) = total.checked_div(u128::from(cap)) else {
            continue;
        };
        let sum = if whole * u128::from(cap) < total {
            whole + 1
        } else {
            whole
        };
        if (lower_bound as u128) < sum {
            faults.push(Fault::BoundTooLow {
                lower_bound,
                sum,
                limit,
            });
        }
    }
}
