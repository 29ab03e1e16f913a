//! How few packages can be enough, by sums alone: each limit by itself, exact in whole numbers.
//!
//! Volume: all items together over one package. Martello and Toth's L2 (Discrete Applied
//! Mathematics 28 (1990) 59-70; from memory): for a size k, items above cap - k share with none of
//! size k or more, items above half share with none above half, and what is left of their packages
//! is all that the others of size k or more can have.

/// A lower bound and what shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bound {
    /// No plan can use fewer packages.
    pub packages: u64,
    /// What shows it.
    pub why: Why,
}

/// What shows a lower bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// There is something to pack, or nothing.
    Something,
    /// The sum over one limit, by its number from 0.
    Sum(usize),
    /// Items that cannot share by one limit, by its number from 0.
    Share(usize),
    /// Items that can share with none.
    Alone,
    /// No mixture of ways to fill a package does better.
    Patterns,
    /// All ways were tried.
    Search,
}

impl Why {
    /// In words.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Something => "there is something to pack, or nothing".into(),
            Self::Sum(limit) => format!("the sum over limit {limit}"),
            Self::Share(limit) => format!("items that cannot share a package by limit {limit}"),
            Self::Alone => "items that can share a package with no other".into(),
            Self::Patterns => "no mixture of ways to fill a package does better".into(),
            Self::Search => "every way to use fewer was tried".into(),
        }
    }
}

/// The best bound by sums for kinds of items, each sizes and how many.
#[must_use]
pub fn simple_bound(cap: &[u64], kinds: &[(&[u64], u64)]) -> Bound {
    let any = u64::from(kinds.iter().any(|kind| kind.1 > 0));
    let mut best = Bound {
        packages: any,
        why: Why::Something,
    };
    for (limit, &cap) in cap.iter().enumerate() {
        let mut sizes: Vec<(u64, u64)> = kinds
            .iter()
            .filter_map(|(sizes, count)| Some((*sizes.get(limit)?, *count)))
            .filter(|(size, count)| *size > 0 && *count > 0)
            .collect();
        if sizes.is_empty() || cap == 0 {
            continue;
        }
        sizes.sort_unstable_by(|a, b| b.cmp(a));
        let sum: u128 = sizes
            .iter()
            .map(|(size, count)| wide(*size) * wide(*count))
            .sum();
        for (packages, why) in [
            (sum.div_ceil(wide(cap)), Why::Sum(limit)),
            (share(cap, &sizes), Why::Share(limit)),
        ] {
            if let Ok(packages) = u64::try_from(packages)
                && packages > best.packages
            {
                best = Bound { packages, why };
            }
        }
    }
    best
}

/// L2 of sizes in descending order, each with how many.
fn share(cap: u64, sizes: &[(u64, u64)]) -> u128 {
    // Count and sum of the first i sizes.
    let mut before = vec![(0_u128, 0_u128)];
    let mut so_far = (0, 0);
    for (size, count) in sizes {
        so_far.0 += wide(*count);
        so_far.1 += wide(*size) * wide(*count);
        before.push(so_far);
    }
    let at = |end: usize| before.get(end).copied().unwrap_or(so_far);
    let half = at(sizes.partition_point(|(size, _)| size * 2 > cap));
    let half_end = sizes.partition_point(|(size, _)| size * 2 > cap);
    let mut best = half.0;
    for &(least, _) in sizes.get(half_end..).unwrap_or_default() {
        // Above cap - least: alone among those of size `least` or more.
        let alone = at(sizes.partition_point(|(size, _)| *size > cap - least));
        let small_end = sizes.partition_point(|(size, _)| *size >= least);
        let small = at(small_end).1 - half.1;
        let free = (half.0 - alone.0) * wide(cap) - (half.1 - alone.1);
        best = best.max(half.0 + small.saturating_sub(free).div_ceil(wide(cap)));
    }
    best
}

fn wide(number: u64) -> u128 {
    u128::from(number)
}
