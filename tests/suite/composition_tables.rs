//! What cells are made of, row by row: the study's shares of a cell against the shipped kilograms per
//! kilowatt-hour and the home module, and the second way, by stoichiometry, against both.

use std::collections::BTreeMap;

use packdown::physics::{MaterialsInput, TabledCell, materials, published_named};

type Row = BTreeMap<String, String>;

fn rows(text: &'static str) -> Vec<Row> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(Result::unwrap)
        .collect()
}

fn number(row: &Row, name: &str) -> f64 {
    row[name].parse().unwrap()
}

fn near(value: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{what}: {value} is not {expected} ± {tolerance}"
    );
}

const CELLS: [TabledCell; 6] = [
    TabledCell::Lfp,
    TabledCell::Nmc111,
    TabledCell::Nmc532,
    TabledCell::Nmc622,
    TabledCell::Nmc811,
    TabledCell::Nca,
];

/// Low, middle and high kilograms of everything in so much.
fn made_of(
    cell: TabledCell,
    energy_wh: Option<f64>,
    module_mass_kg: Option<f64>,
) -> BTreeMap<String, [f64; 3]> {
    let input = MaterialsInput {
        cell,
        energy_wh,
        module_mass_kg,
    };
    let found = materials(&input).unwrap().materials;
    found
        .into_iter()
        .map(|one| (one.material, [one.low_kg, one.middle_kg, one.high_kg]))
        .collect()
}

/// Mass per cent of the cell: `composition_cell_mass_fraction.csv` of the trade study, E.1, computed
/// there from the inventories of Dai et al. 2019 (10.3390/batteries5020048) and Crenna et al. 2021
/// (10.1016/j.resconrec.2021.105619) in the open files of premise 2.5.2.
fn shares() -> Vec<Row> {
    rows(include_str!("../cases/composition_cell_mass_fraction.csv"))
}

#[test]
fn kilograms_a_kilowatt_hour_are_the_shares_over_the_density() {
    // Densities, kWh/kg, low to high: E.1, which names 10.3390/batteries9070379. That of NMC 5:3:2 is
    // not in the text: from memory of the same file, unverified.
    let densities = [
        [0.14, 0.16, 0.19],
        [0.15, 0.18, 0.19],
        [0.17, 0.20, 0.22],
        [0.20, 0.24, 0.28],
        [0.24, 0.28, 0.34],
        [0.24, 0.28, 0.34],
    ];
    let shares = shares();
    assert_eq!(shares.len(), 16);
    let mut held = 0;
    for (cell, density) in CELLS.into_iter().zip(densities) {
        let found = made_of(cell, Some(1000.0), None);
        for row in &shares {
            let (name, share) = (&row["element"], number(row, cell.name()));
            let what = format!("{} {name}", cell.name());
            if share <= 0.0 || name == "unassigned" {
                assert!(!found.contains_key(name), "{what}");
                continue;
            }
            // The least is that of the densest cell.
            for (kg, dense) in found[name].iter().zip(density.iter().rev()) {
                // The share is printed to 0.01 of a per cent, the kilograms to 0.0001.
                near(
                    *kg,
                    share / 100.0 / dense,
                    0.000_05 / dense + 0.000_06,
                    &what,
                );
            }
            held += 1;
        }
        let most = shares.iter().filter(|row| number(row, cell.name()) > 0.0);
        assert!(found.len() <= most.count());
    }
    assert!(held > 70, "{held}");
}

#[test]
fn shares_of_a_cell_are_a_whole_cell() {
    for cell in CELLS {
        let whole: f64 = shares().iter().map(|row| number(row, cell.name())).sum();
        near(whole, 100.0, 0.06, cell.name());
    }
}

#[test]
fn a_home_module_is_its_cells_its_steel_and_its_board() {
    // E.1, Jasper et al. as in premise's home-battery file: 63 % cell, 34 % steel, 3 % board, of which
    // 64 % aluminium heat sink.
    for cell in [TabledCell::Lfp, TabledCell::Nmc811] {
        let found = made_of(cell, None, Some(100.0));
        for row in shares() {
            let (name, share) = (&row["element"], number(&row, cell.name()));
            if share <= 0.0 || name == "unassigned" {
                continue;
            }
            let sink = if name == "Al" { 3.0 * 0.64 } else { 0.0 };
            let what = format!("{} {name}", cell.name());
            near(found[name][1], 0.63 * share + sink, 0.009, &what);
        }
        near(found["steel"][1], 34.0, 0.001, "steel");
        near(found["board, other"][1], 3.0 * 0.36, 0.001, "board");
    }
}

#[test]
fn what_a_module_holds_for_each_kilowatt_hour_agrees_by_both_amounts() {
    // E.1: 161.28 kg of module for 14.4 kWh, 11.2 kg/kWh. By its energy or by its mass the lithium of
    // one module must come out in one range.
    let by_energy = made_of(TabledCell::Lfp, Some(14_400.0), None);
    let by_mass = made_of(TabledCell::Lfp, None, Some(161.28));
    for name in ["Li", "Fe", "P", "Cu", "graphite"] {
        let ([low, _, high], [least, _, most]) = (by_energy[name], by_mass[name]);
        assert!(
            low <= most && least <= high,
            "{name}: {low} to {high}, {least} to {most}"
        );
    }
}

/// Formula units: grams a mole by standard atomic weights (IUPAC 2021), and moles of each element.
fn formula(chemistry: &str) -> (f64, Vec<(&'static str, f64, f64)>) {
    const OXYGEN: f64 = 15.999;
    let (oxygen, others) = match chemistry {
        "lfp" => (
            4.0,
            vec![("Li", 1.0, 6.94), ("Fe", 1.0, 55.845), ("P", 1.0, 30.974)],
        ),
        "nmc111" => (
            2.0,
            vec![
                ("Li", 1.0, 6.94),
                ("Ni", 1.0 / 3.0, 58.693),
                ("Mn", 1.0 / 3.0, 54.938),
                ("Co", 1.0 / 3.0, 58.933),
            ],
        ),
        "nmc811" => (
            2.0,
            vec![
                ("Li", 1.0, 6.94),
                ("Ni", 0.8, 58.693),
                ("Mn", 0.1, 54.938),
                ("Co", 0.1, 58.933),
            ],
        ),
        "nca" => (
            2.0,
            vec![
                ("Li", 1.0, 6.94),
                ("Ni", 0.8, 58.693),
                ("Co", 0.15, 58.933),
                ("Al", 0.05, 26.982),
            ],
        ),
        other => panic!("{other}"),
    };
    let mass: f64 = others.iter().map(|(_, moles, weight)| moles * weight).sum();
    (mass + oxygen * OXYGEN, others)
}

#[test]
fn stoichiometry_over_the_curves_gives_the_second_way() {
    // `composition_stoichiometry_check.csv`, E.1: the window of lithium that each cell uses is the
    // study's; volts are those of the compiled curves, and everything else is computed here: Faraday
    // 96 485.33 C/mol is 26.801 Ah/mol (SI, exact).
    let rows = rows(include_str!("../cases/composition_stoichiometry_check.csv"));
    assert_eq!(rows.len(), 5);
    for row in &rows {
        let set = &row["set"];
        let curve = published_named(set).unwrap();
        let volts = (0..100)
            .map(|n| f64::from(n) / 100.0)
            .map(|soc| (curve.voltage(soc) + curve.voltage(soc + 0.01)) / 2.0)
            .sum::<f64>()
            / 100.0;
        near(volts, number(row, "mean_ocv_v"), 0.002, set);
        let (mass, elements) = formula(&row["chemistry"]);
        let wh_per_kg = number(row, "used_stoichiometry") * 26.801 * volts / mass * 1000.0;
        near(wh_per_kg, number(row, "wh_per_kg_active"), 0.6, set);
        let active = 1000.0 / wh_per_kg;
        near(active, number(row, "kg_active_per_kwh"), 0.002, set);
        let cell = CELLS
            .into_iter()
            .find(|cell| cell.name() == row["chemistry"]);
        let by_inventory = made_of(cell.unwrap(), Some(1000.0), None);
        for (name, moles, weight) in elements {
            // The study's table has no column for the aluminium of NCA.
            if name == "Al" {
                continue;
            }
            let kg = active * moles * weight / mass;
            let what = format!("{set} {name}");
            near(kg, number(row, name), 0.000_9, &what);
            // "The two ways agree within 10 % for LFP and within 30 % for the others": so much doubt
            // is what a mass is given to each side. The set whose negative is no graphite (A.1) is
            // the one that does not agree.
            let [_, middle, _] = by_inventory[name];
            let apart = (kg / middle - 1.0).abs();
            let within = if set == "lfp_bpx2022" { 0.10 } else { 0.30 };
            assert!(apart <= within, "{what}: {kg} against {middle}");
        }
    }
}
