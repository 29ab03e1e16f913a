//! The materials paper: ranges that hold against other ways to the same figures, sums, what is not
//! known, and jobs that have none.

use std::collections::BTreeMap;

use packdown::physics::{TabledCell, module_materials};
use packdown::units::{Decimal, Grams, MilliwattHours};

use crate::program::Bench;

fn energy(wh: i64) -> Option<MilliwattHours> {
    Some(MilliwattHours::thousandths(wh * 1_000))
}

fn range(
    kinds: &[TabledCell],
    wh: Option<MilliwattHours>,
    kg: Option<Grams>,
    of: &str,
) -> (f64, f64) {
    let found = module_materials(kinds, wh, kg).unwrap();
    let one = found.iter().find(|one| one.material == of).unwrap();
    (one.low_kg.to_f64(), one.high_kg.to_f64())
}

/// Stoichiometry of LiFePO4 (atomic weights of IUPAC 2021 as remembered: Li 6.94, Fe 55.845,
/// P 30.974, O 15.999) with 2.09 kg of it for each kWh, the mean of the electrode windows of a
/// published cell (BPX example file, LFP 2022): another way to the same figures.
#[test]
fn the_range_of_an_lfp_module_holds_what_its_formula_gives() {
    let formula = 6.94 + 55.845 + 30.974 + 4.0 * 15.999;
    let lfp = 2.09 * 5.12;
    for (element, weight) in [("Fe", 55.845), ("P", 30.974)] {
        let kg = lfp * weight / formula;
        let (low, high) = range(&[TabledCell::Lfp], energy(5_120), None, element);
        assert!(low <= kg && kg <= high, "{element}: {low} {kg} {high}");
        assert!(
            high < 1.5 * low,
            "{element}: {low} to {high} says too little"
        );
    }
}

/// Home-storage module of 161.28 kg for 14.4 kWh (Jasper et al.): energy and mass of one and the
/// same module, so both ways must agree within the doubt.
#[test]
fn two_ways_make_a_range_that_covers_both() {
    let mass = Some(Grams::thousandths(161_280));
    let lfp = [TabledCell::Lfp];
    for element in ["Li", "Fe", "P", "Cu", "graphite"] {
        let by_energy = range(&lfp, energy(14_400), None, element);
        let by_mass = range(&lfp, None, mass, element);
        let both = range(&lfp, energy(14_400), mass, element);
        let same = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(same(both.0, by_energy.0.min(by_mass.0)), "{element}");
        assert!(same(both.1, by_energy.1.max(by_mass.1)), "{element}");
        assert!(
            by_energy.0 <= by_mass.1 && by_mass.0 <= by_energy.1,
            "{element}"
        );
    }
    // Steel is of the casing: no energy says it.
    let steel = range(&lfp, energy(14_400), mass, "steel");
    assert_eq!(steel, range(&lfp, None, mass, "steel"));
}

#[test]
fn a_ratio_that_is_not_known_widens_the_range_and_a_mass_does_not_count() {
    use TabledCell::{Nmc111, Nmc532, Nmc622, Nmc811};
    let all = [Nmc111, Nmc532, Nmc622, Nmc811];
    let mass = Some(Grams::thousandths(40_000));
    for element in ["Li", "Co", "Ni", "Mn", "Cu"] {
        let whole = range(&all, energy(5_000), mass, element);
        for one in all {
            let alone = range(&[one], energy(5_000), None, element);
            assert!(
                whole.0 <= alone.0 && alone.1 <= whole.1,
                "{element} {one:?}"
            );
        }
    }
    let found = module_materials(&all, energy(5_000), mass).unwrap();
    assert!(
        found
            .iter()
            .all(|one| !one.by_mass && one.material != "steel")
    );
    assert_eq!(module_materials(&all, None, mass).unwrap(), []);
    assert_eq!(module_materials(&[], energy(5_000), mass).unwrap(), []);
}

fn issued(bench: &Bench) {
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let ran = bench.run(&["issue", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

#[test]
fn totals_are_the_sums_of_the_modules_and_json_says_what_the_table_says() {
    let bench = Bench::with_sample("harbour-lane-stack");
    issued(&bench);
    let csv = bench.read("out/papers/issue-2/materials.csv");
    let mut sums: BTreeMap<String, (i64, i64)> = BTreeMap::new();
    let mut totals = sums.clone();
    let grams = |text: &str| text.parse::<Decimal>().unwrap().thousandths().unwrap();
    for row in csv::Reader::from_reader(csv.as_bytes()).records() {
        let row = row.unwrap();
        let into = if &row[0] == "total" {
            &mut totals
        } else {
            &mut sums
        };
        let sum = into.entry(row[7].to_owned()).or_default();
        sum.0 += grams(&row[8]);
        sum.1 += grams(&row[9]);
    }
    assert_eq!(sums, totals);
    assert!(totals.len() > 10);
    let json: serde_json::Value =
        serde_json::from_str(&bench.read("out/papers/issue-2/materials.json")).unwrap();
    for line in json["total"]["materials"].as_array().unwrap() {
        let (low, high) = totals[line["material"].as_str().unwrap()];
        assert_eq!(grams(line["low_kg"].as_str().unwrap()), low);
        assert_eq!(grams(line["high_kg"].as_str().unwrap()), high);
    }
    // (EU) 2023/1542, Annex XII: 65 % by the end of 2025 (read in news of the Commission, 2025).
    let target = &json["targets"][0];
    assert_eq!(
        (target["percent"].as_str(), target["by"].as_str()),
        (Some("65"), Some("2025-12-31"))
    );
}

#[test]
fn what_is_not_known_is_said() {
    let bench = Bench::with_sample("harbour-lane-stack");
    bench.change(
        "job/job.json",
        "\"cathode\": \"lfp\"",
        "\"cathode\": \"nmc\"",
    );
    bench.change("job/job.json", "\"rated_energy_wh\": 5120,", "");
    issued(&bench);
    let html = bench.read("out/papers/issue-2/materials.html");
    for wanted in [
        "The ratio of nickel, manganese and cobalt",
        "m1: no rated energy (and no mass that a table fits): no composition; not in the total",
        "Nothing was analysed",
    ] {
        assert!(html.contains(wanted), "{wanted}");
    }
    let csv = bench.read("out/papers/issue-2/materials.csv");
    assert!(
        csv.contains("m1,LK51-24-008817,LK51-100,49.4,yes,,sound,not known,,,"),
        "{csv}"
    );
}

#[test]
fn a_job_that_is_not_for_recycling_has_no_such_paper_and_says_so_when_asked() {
    let bench = Bench::with_sample("flooded-garage");
    issued(&bench);
    assert!(!bench.path("out/papers/issue-2/materials.pdf").exists());
    let ran = bench.run(&["issue", "out", "--paper", "materials"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(
        ran.out.contains("NOT PRINTED: materials, because")
            && ran.out.contains("purpose of the job: disposal"),
        "{}",
        ran.out
    );
}
