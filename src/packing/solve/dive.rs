//! From fractions to packages: take whole parts, then one likely pattern after another, with a few
//! second choices, and give up where the fractions themselves need more packages than are allowed.

use super::columns::{Budget, Known, relax};
use super::greedy::best_fit_of_orders;
use super::kinds::Kinds;
use super::knapsack::Knapsack;
use super::pattern::{Packed, Pattern, clipped, packages as packages_of, take};
use super::simplex::Pool;

/// What a dive works with.
pub(super) struct Dive<'a> {
    pub kinds: &'a Kinds,
    pub pool: &'a mut Pool,
    pub knapsack: &'a mut Knapsack,
    pub budget: &'a mut Budget,
}

impl Dive<'_> {
    /// At most `packages` for what is `left`, where found; at most `second` second choices.
    pub(super) fn pack(&mut self, left: &[u32], packages: u64, second: u32) -> Option<Packed> {
        if left.iter().all(|count| *count == 0) {
            return Some(Vec::new());
        }
        if packages == 0 || self.budget.0 == 0 {
            return None;
        }
        let plain = best_fit_of_orders(self.kinds, left, packages);
        self.budget
            .spend((plain.len() * self.kinds.len() * 8) as u64);
        if packages_of(&plain) <= packages {
            return Some(plain);
        }
        let known = Known {
            least: packages,
            enough: packages + 1,
        };
        let relaxed = relax(
            self.kinds,
            left,
            self.pool,
            self.knapsack,
            known,
            self.budget,
        );
        if relaxed.bound > packages || (relaxed.value - 1e-4).ceil() > packages as f64 {
            return None;
        }
        let whole: Vec<(Pattern, u32)> = relaxed
            .mixture
            .iter()
            .filter(|(_, share)| *share + 1e-4 >= 1.0)
            .map(|(pattern, share)| (pattern.clone(), (share + 1e-4) as u32))
            .collect();
        if !whole.is_empty() {
            return self.after(left, packages, second, &whole);
        }
        let mut likely = relaxed.mixture;
        likely.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        for (refused, (pattern, _)) in (0..=second).zip(likely) {
            if let Some(plan) = self.after(left, packages, second - refused, &[(pattern, 1)]) {
                return Some(plan);
            }
        }
        None
    }

    /// Packs by the patterns given, then the rest.
    fn after(
        &mut self,
        left: &[u32],
        packages: u64,
        second: u32,
        patterns: &[(Pattern, u32)],
    ) -> Option<Packed> {
        let mut left = left.to_vec();
        let mut plan = Vec::new();
        for (pattern, times) in patterns {
            let mut times = *times;
            while times > 0 {
                let pattern = clipped(pattern, &left);
                let full = pattern
                    .iter()
                    .map(|(kind, count)| left.get(*kind as usize).unwrap_or(&0) / count)
                    .min();
                let Some(full) = full else { break };
                let now = times.min(full);
                take(&pattern, now, &mut left);
                plan.push((pattern, now));
                times -= now;
            }
        }
        let rest = packages.checked_sub(packages_of(&plan))?;
        plan.extend(self.pack(&left, rest, second)?);
        Some(plan)
    }
}
