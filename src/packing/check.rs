//! Judges a plan against its instance: every item once, no limit passed, counts and claims true.
//!
//! Shares no code with the solver. A claimed lower bound is believed only as far as it is at most
//! the count; where the plain sum over one limit already shows it, that is said.

use std::collections::BTreeMap;

use super::instance::Instance;
use super::plan::Plan;

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
    #[error("proven says {proven}, count is {count} and lower bound {lower_bound}")]
    WrongProven {
        /// What the plan says.
        proven: bool,
        /// Its count.
        count: usize,
        /// Its lower bound.
        lower_bound: usize,
    },
}

/// All that is wrong with `plan`; nothing where it holds.
#[must_use]
pub fn check(instance: &Instance, plan: &Plan) -> Vec<Fault> {
    let mut faults = Vec::new();
    if plan.name != instance.name {
        faults.push(Fault::OtherName {
            plan: plan.name.clone(),
            instance: instance.name.clone(),
        });
    }
    let items: Vec<&[u64]> = instance.items().collect();
    let mut place: BTreeMap<usize, usize> = BTreeMap::new();
    for (bin, held) in plan.bins.iter().enumerate() {
        if held.is_empty() {
            faults.push(Fault::Empty { bin });
        }
        let mut load = vec![0_u128; instance.cap.len()];
        for &item in held {
            let Some(sizes) = items.get(item) else {
                faults.push(Fault::NoSuchItem { bin, item });
                continue;
            };
            for (sum, size) in load.iter_mut().zip(*sizes) {
                *sum += u128::from(*size);
            }
            match place.get(&item) {
                Some(&first) => faults.push(Fault::Twice { item, first, second: bin }),
                None => {
                    place.insert(item, bin);
                }
            }
        }
        for (limit, (&load, &cap)) in load.iter().zip(&instance.cap).enumerate() {
            if load > u128::from(cap) {
                faults.push(Fault::TooFull { bin, limit, load, cap });
            }
        }
    }
    for item in (0..items.len()).filter(|item| !place.contains_key(item)) {
        faults.push(Fault::Missing { item });
    }
    claims(instance, plan, &items, &mut faults);
    faults
}

/// What the plan says of itself.
fn claims(instance: &Instance, plan: &Plan, items: &[&[u64]], faults: &mut Vec<Fault>) {
    let bins = plan.bins.len();
    let Plan { count, lower_bound, proven, .. } = *plan;
    if count != bins {
        faults.push(Fault::WrongCount { count, bins });
    }
    if lower_bound > bins {
        faults.push(Fault::BoundAboveCount { lower_bound, bins });
    }
    if proven != (count == lower_bound) {
        faults.push(Fault::WrongProven { proven, count, lower_bound });
    }
    for (limit, &cap) in instance.cap.iter().enumerate() {
        let total: u128 = items
            .iter()
            .filter_map(|sizes| sizes.get(limit))
            .map(|size| u128::from(*size))
            .sum();
        let mut sum = 0_u128;
        if cap > 0 {
            sum = total / u128::from(cap);
            if sum * u128::from(cap) < total {
                sum += 1;
            }
        }
        if (lower_bound as u128) < sum {
            faults.push(Fault::BoundTooLow { lower_bound, sum, limit });
        }
    }
}
