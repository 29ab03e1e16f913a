//! The families of battery loads with their proven bounds and best known counts.
//!
//! `tests/cases/packing-families.jsonl`: loads of one crew, a van, a truck, loads of unlike modules,
//! and planted triplets (kilograms in tenths, watt-hours, litres in tenths). `least` and
//! `best_known` come from outside: HiGHS on all patterns and CP-SAT with 15 seconds each, and the
//! planted count.

use packdown::packing::{Instance, check, instances, solve, solve_all};

#[derive(serde::Deserialize)]
struct Known {
    name: String,
    best_known: usize,
    least: usize,
}

const FAMILIES: &str = include_str!("../cases/packing-families.jsonl");

fn families() -> Vec<(Known, Instance)> {
    FAMILIES
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .zip(instances(FAMILIES).unwrap())
        .collect()
}

#[test]
fn no_family_needs_more_than_the_best_known() {
    for (known, instance) in families() {
        let plan = solve(&instance);
        assert_eq!(check(&instance, &plan.clone().into()), [], "{}", known.name);
        assert!(
            plan.count <= known.best_known,
            "{}: {}",
            known.name,
            plan.count
        );
        assert!(
            plan.count >= known.least,
            "{}: {} is impossible",
            known.name,
            plan.count
        );
        assert!(
            plan.lower_bound <= known.best_known,
            "{}: bound too high",
            known.name
        );
        assert!(
            plan.proven,
            "{}: {} of {}",
            known.name, plan.count, plan.lower_bound
        );
    }
}

#[test]
fn the_same_loads_give_the_same_plans() {
    let all: Vec<Instance> = families().into_iter().map(|known| known.1).collect();
    assert_eq!(solve_all(&all), solve_all(&all));
    // Even a load that is solved by dives and by search.
    for instance in &all {
        assert_eq!(solve(instance), solve(instance), "{}", instance.name);
    }
}

#[test]
fn the_order_of_items_does_not_change_the_count() {
    for (known, instance) in families().into_iter().filter(|known| known.1.len() < 70) {
        let mut items: Vec<Vec<u64>> = instance.items().map(<[u64]>::to_vec).collect();
        items.reverse();
        let turned = Instance::new("turned", instance.cap.clone(), &items).unwrap();
        assert_eq!(
            solve(&turned).count,
            solve(&instance).count,
            "{}",
            known.name
        );
    }
}

/// What a recall brings: few kinds, thousands of modules; every package of a class alike.
#[test]
fn a_recall_is_packed_to_its_bound() {
    let kinds = [
        (240, 2560),
        (440, 5120),
        (315, 3552),
        (225, 2400),
        (1120, 14_336),
        (520, 4954),
    ];
    let demand = [700, 400, 900, 350, 40, 260];
    let mut items = Vec::new();
    for ((mass, energy), count) in kinds.iter().zip(demand) {
        items.extend(std::iter::repeat_n(vec![*mass, *energy, 1], count));
    }
    let instance = Instance::new("recall", vec![8_000, 60_000, 24], &items).unwrap();
    let plan = solve(&instance);
    assert_eq!(check(&instance, &plan.clone().into()), []);
    // A thousandth, rounded down, is nothing here: the bound itself.
    assert_eq!(plan.count, plan.lower_bound);
}
