//! A second opinion on the parts of the solver, in the slowest and plainest way, for small loads:
//! bounds that prove too much and searches that miss a way would otherwise hide behind each other.

use super::columns::{Budget, Known, relax};
use super::dive::Dive;
use super::greedy::{best_fit_of_orders, fill_one_by_one};
use super::kinds::Kinds;
use super::knapsack::Knapsack;
use super::pattern::{Packed, packages};
use super::search::{Search, Verdict};
use super::simplex::Pool;
use crate::packing::{Instance, Packer, check};

struct Dice(u64);

impl Dice {
    fn from(&mut self, low: u64, high: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + self.0 % (high - low + 1)
    }

    /// A load of a few kinds, several of each, that no trivial rule settles.
    fn load(&mut self) -> Instance {
        let limits = self.from(1, 3) as usize;
        let cap = vec![[12, 60, 1000][self.from(0, 2) as usize]; limits];
        let mut items = Vec::new();
        for _ in 0..self.from(2, 4) {
            let size: Vec<u64> = cap
                .iter()
                .map(|cap| self.from(cap / 6, cap * 3 / 5))
                .collect();
            for _ in 0..self.from(1, 3) {
                items.push(size.clone());
            }
        }
        items.truncate(9);
        Instance::new("load", cap, &items).unwrap()
    }
}

/// Every way to fill a package with what is left, none left out.
fn all_patterns(kinds: &Kinds, left: &[u32]) -> Vec<Vec<u32>> {
    let mut all = vec![Vec::new()];
    for &has in left {
        all = all
            .into_iter()
            .flat_map(|start: Vec<u32>| (0..=has).map(move |n| [start.clone(), vec![n]].concat()))
            .collect();
    }
    all.retain(|counts| {
        kinds.cap.iter().enumerate().all(|(limit, cap)| {
            let load: u64 = counts
                .iter()
                .zip(&kinds.size)
                .map(|(n, size)| u64::from(*n) * size[limit])
                .sum();
            load <= *cap
        })
    });
    all
}

/// The fewest packages, by taking each pattern away in turn.
fn fewest(left: &[u32], patterns: &[Vec<u32>], most: u64) -> u64 {
    let Some(first) = left.iter().position(|has| *has > 0) else {
        return 0;
    };
    let mut best = most;
    for pattern in patterns.iter().filter(|pattern| pattern[first] > 0) {
        if best <= 1 {
            break;
        }
        if pattern.iter().zip(left).all(|(n, has)| n <= has) {
            let rest: Vec<u32> = left.iter().zip(pattern).map(|(has, n)| has - n).collect();
            best = best.min(1 + fewest(&rest, patterns, best - 1));
        }
    }
    best
}

fn holds(kinds: &Kinds, packed: &Packed) -> bool {
    let covered = kinds.demand.iter().enumerate().all(|(kind, asked)| {
        let given: u32 = packed
            .iter()
            .flat_map(|(pattern, times)| pattern.iter().map(move |of| (of, times)))
            .filter(|((of, _), _)| *of as usize == kind)
            .map(|((_, count), times)| count * times)
            .sum();
        given >= *asked
    });
    covered
        && packed.iter().all(|(pattern, _)| {
            kinds.cap.iter().enumerate().all(|(limit, cap)| {
                let load: u64 = pattern
                    .iter()
                    .map(|(kind, count)| kinds.size[*kind as usize][limit] * u64::from(*count))
                    .sum();
                load <= *cap
            })
        })
}

#[test]
fn each_part_agrees_with_the_plain_count() {
    let mut dice = Dice(88_172_645_463_325_252);
    let (mut loads, mut by_fractions, mut impossible) = (0, 0, 0);
    for _ in 0..1_500 {
        let instance = dice.load();
        let kinds = Kinds::gather(&instance);
        if kinds.len() == 0 {
            continue;
        }
        loads += 1;
        let patterns = all_patterns(&kinds, &kinds.demand);
        let least = fewest(&kinds.demand, &patterns, u64::MAX);
        let knapsack = || Knapsack::new(kinds.cap.len());

        // Greedy plans hold and are not better than can be.
        for packed in [
            best_fit_of_orders(&kinds, &kinds.demand, 0),
            fill_one_by_one(&kinds, &kinds.demand),
        ] {
            assert!(holds(&kinds, &packed), "{instance:?}");
            assert!(packages(&packed) >= least, "{instance:?}");
        }

        // The bound by fractions proves nothing untrue; its prices hold for every pattern.
        let known = Known {
            least: 1,
            enough: u64::MAX,
        };
        let mut pool = Pool::default();
        let mut budget = Budget(10_000_000);
        let relaxed = relax(
            &kinds,
            &kinds.demand,
            &mut pool,
            &mut knapsack(),
            known,
            &mut budget,
        );
        assert!(
            relaxed.settled && relaxed.bound <= least,
            "{} {instance:?}",
            relaxed.bound
        );
        assert!(relaxed.value < least as f64 + 1e-3, "{instance:?}");
        let prices = relaxed.prices.unwrap();
        for pattern in &patterns {
            let worth: u64 = pattern
                .iter()
                .zip(&prices.value)
                .map(|(n, value)| u64::from(*n) * value)
                .sum();
            assert!(worth <= prices.worth, "{pattern:?} {instance:?}");
        }
        by_fractions += u32::from(relaxed.bound == least);

        // The search finds the least, and says of one fewer that it cannot be.
        for prices in [None, Some(&prices)] {
            let mut budget = Budget(10_000_000);
            let verdict = Search::new(&kinds, prices, &mut budget).run(&kinds.demand, least);
            let Verdict::Packed(packed) = verdict else {
                panic!("{verdict:?} {instance:?}")
            };
            assert!(
                holds(&kinds, &packed) && packages(&packed) <= least,
                "{instance:?}"
            );
            let verdict = Search::new(&kinds, prices, &mut budget).run(&kinds.demand, least - 1);
            assert_eq!(verdict, Verdict::Impossible, "{instance:?}");
            impossible += 1;
        }

        // A dive that ends holds.
        let mut budget = Budget(10_000_000);
        let mut dive = Dive {
            kinds: &kinds,
            pool: &mut pool,
            knapsack: &mut knapsack(),
            budget: &mut budget,
        };
        assert_eq!(dive.pack(&kinds.demand, least - 1, 2), None);
        let packed = dive.pack(&kinds.demand, least, 3);
        assert!(
            packed.is_none_or(|packed| holds(&kinds, &packed)),
            "{instance:?}"
        );

        // And the whole.
        let plan = Packer::default().pack(&instance);
        assert_eq!(
            plan.count as u64,
            least + kinds.alone.len() as u64,
            "{instance:?}"
        );
        assert!(plan.proven, "{instance:?}");
        assert_eq!(check(&instance, &plan.into()), []);
    }
    // The test says something only where the parts had work to do.
    assert!(loads > 1_000 && by_fractions > loads * 9 / 10 && impossible > 2_000);
}

/// The most valuable package, against every package.
#[test]
fn the_knapsack_finds_the_best_and_says_so() {
    let mut dice = Dice(362_436_069);
    for _ in 0..3_000 {
        let instance = dice.load();
        let kinds = Kinds::gather(&instance);
        let value: Vec<u64> = (0..kinds.len()).map(|_| dice.from(0, 1 << 30)).collect();
        let best = all_patterns(&kinds, &kinds.demand)
            .iter()
            .map(|pattern| {
                pattern
                    .iter()
                    .zip(&value)
                    .map(|(n, v)| u64::from(*n) * v)
                    .sum()
            })
            .max()
            .unwrap_or(0);
        let mut knapsack = Knapsack::new(kinds.cap.len());
        for threshold in [0, best / 2, best.saturating_sub(1), best, best + 1] {
            let found = knapsack.search(&kinds, &value, &kinds.demand, threshold, 1_000_000);
            assert!(found.complete);
            let most = found.patterns.last().map(|found| found.0);
            assert_eq!(
                most,
                (best > threshold).then_some(best),
                "{threshold} {instance:?}"
            );
        }
    }
}

/// Ten packages have room by the sums; whether the items go in, fifty steps do not tell.
#[test]
fn a_search_cut_short_claims_nothing() {
    let items: Vec<Vec<u64>> = (0..40)
        .map(|n| vec![200 + n * 7 % 97, 150 + n * 11 % 83])
        .collect();
    let instance = Instance::new("short", vec![1_000, 900], &items).unwrap();
    let kinds = Kinds::gather(&instance);
    let value = vec![1 << 28; kinds.len()];
    let found = Knapsack::new(2).search(&kinds, &value, &kinds.demand, 1 << 28, 5);
    assert!(!found.complete);
    let mut budget = Budget(50);
    let verdict = Search::new(&kinds, None, &mut budget).run(&kinds.demand, 10);
    assert_eq!(verdict, Verdict::Unknown);
}
