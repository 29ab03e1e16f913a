//! Figures that cannot be and answers that the plan says otherwise: told at once, by name, with
//! the limit, while somebody still stands there. The limits are common practice without a source
//! where nothing else is said: each case is far outside of them.

use std::fs;

use packdown::job::Plan;
use packdown::procedure::{Entry, Outcome};

use crate::dock::{open_register, receive};
use crate::lawful::{before, before_with, entry, said, with};
use crate::program::Bench;

fn judged(step: &str, changed: Entry) -> (Outcome, String, String) {
    let taken = before(step).take(changed);
    let (outcome, reasons) = said(&taken);
    (
        outcome,
        reasons.join("\n"),
        taken.judgement.notes.join("\n"),
    )
}

#[test]
fn an_impossible_reading_does_not_pass_a_step() {
    for (step, answer, value, limit) in [
        // A comma lost: 327 V of a cell; 16 cells in series stand at 80 V at most.
        ("M04", "cell_voltage_highest_v", "327.4", "at most 5 V"),
        ("M04", "cell_voltage_lowest_v", "-32", "at most 5 V"),
        ("M04", "terminal_voltage_v", "523.4", "16 cells in series"),
        ("M09", "net_mass_kg", "-49.3", "above 0 kg"),
        ("M09", "net_mass_kg", "0", "above 0 kg"),
        // The package weighs less than the module in it.
        ("M12", "gross_mass_kg", "49.3", "above 49.3 kg"),
        ("C01", "planned_modules", "5", "4, as the plan names them"),
        ("C02", "max_voltage_v", "580", "58.4 V, by which the plan"),
        ("C02", "module_mass_kg", "-1", "above 0 kg"),
    ] {
        let (outcome, reasons, _) = judged(step, with(entry(step), answer, value));
        assert_eq!(outcome, Outcome::NotPassed, "{step} {answer}: {reasons}");
        assert!(reasons.contains(limit), "{step} {answer}: {reasons}");
        assert!(reasons.contains("-> "), "{step} {answer}: {reasons}");
        // The same step with the lawful answer.
        assert_eq!(judged(step, entry(step)).0, Outcome::Passed, "{step}");
    }
}

#[test]
fn lowest_and_highest_cell_the_wrong_way_round() {
    let swapped = with(entry("M04"), "cell_voltage_lowest_v", "3.3");
    let (outcome, reasons, _) = judged("M04", swapped);
    assert_eq!(outcome, Outcome::NotPassed);
    assert!(
        reasons.contains("the lowest not above the highest"),
        "{reasons}"
    );
    // One cell in the module: both are the same.
    let same = with(entry("M04"), "cell_voltage_lowest_v", "3.274");
    assert_eq!(judged("M04", same).0, Outcome::Passed);
}

#[test]
fn what_may_be_right_is_taken_and_told() {
    for (step, answer, value, note) in [
        ("M09", "net_mass_kg", "39.3", "planned 49.5 kg"),
        ("M09", "net_mass_kg", "60", "planned 49.5 kg"),
        (
            "M01",
            "serial",
            "\"HL5-2207-0402\"",
            "the plan has it as m4",
        ),
        (
            "M01",
            "serial",
            "\"HL5-2207-O418\"",
            "looks like HL5-2207-0418",
        ),
        ("M01", "serial", "\"ZZ-1\"", "not on the plan"),
        ("C15", "load_side_voltage_v", "410", "a welded contactor"),
    ] {
        let (outcome, reasons, notes) = judged(step, with(entry(step), answer, value));
        assert_eq!(outcome, Outcome::Passed, "{step} {answer}: {reasons}");
        assert!(notes.contains(note), "{step} {answer}: {notes}");
    }
    // Within a tenth, and as planned: nothing to tell.
    for (step, answer, value) in [
        ("M09", "net_mass_kg", "45"),
        ("M01", "serial", "\"hl5 2207 0418\""),
        ("C15", "load_side_voltage_v", "0.1"),
    ] {
        let (outcome, _, notes) = judged(step, with(entry(step), answer, value));
        assert_eq!(outcome, Outcome::Passed);
        for word in ["planned", "plan has", "looks like", "welded"] {
            assert!(!notes.contains(word), "{step} {answer}: {notes}");
        }
    }
}

/// What is told of a package is measured against the module as it was weighed, not as planned.
#[test]
fn a_package_is_compared_with_the_module_as_weighed() {
    let heavier = |one: &mut Entry| {
        if one.step.as_deref() == Some("M09") {
            *one = with(one.clone(), "net_mass_kg", "54");
        }
    };
    let mut job = before_with("M12", &[], heavier);
    let taken = job.take(with(entry("M12"), "gross_mass_kg", "53"));
    let (outcome, reasons) = said(&taken);
    assert_eq!(outcome, Outcome::NotPassed);
    assert!(reasons.join("\n").contains("above 54 kg"), "{reasons:?}");
}

/// P909: nothing moves in the package, the outer packaging is of packing group II, the mark
/// covers the gross mass. Told when it is packed or sealed, not at issue when everybody has left.
#[test]
fn what_the_rules_have_against_a_package_is_told_when_it_is_packed() {
    let told = |step: &str, answer: &str, value: &str| {
        let mut job = before(step);
        let taken = job.take(with(entry(step), answer, value));
        assert_eq!(taken.judgement.outcome, Outcome::Passed, "{step} {answer}");
        job.against_package(&taken.entry).join("\n")
    };
    assert_eq!(told("M10", "secured", "true"), "");
    assert_eq!(told("M12", "gross_mass_kg", "71.2"), "");
    let loose = told("M10", "secured", "false");
    assert!(
        loose.contains("ADR 2025: ") && loose.contains("package.secured"),
        "{loose}"
    );
    let weak = told("M10", "packaging_mark", "\"UN 4D/Z95/S/25/IRL/BW-114\"");
    assert!(weak.contains("packing group letter: Z"), "{weak}");
    let heavy = told("M12", "gross_mass_kg", "95.1");
    assert!(heavy.contains("package.gross_mass_kg"), "{heavy}");
    // Other steps say nothing of packages.
    assert_eq!(told("M09", "net_mass_kg", "49.3"), "");
}

/// A plan that says one thing impossible is refused by name; with the thing put right it is read.
#[test]
fn a_plan_with_figures_that_no_battery_has_is_refused() {
    let plan = fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/lawful-stack/job.json"),
    )
    .unwrap();
    assert!(Plan::read(&plan).is_ok());
    for (old, new, what) in [
        (
            "\"max_voltage_v\": 58.4",
            "\"max_voltage_v\": 58400",
            "installation.max_voltage_v",
        ),
        (
            "\"max_voltage_v\": 58.4",
            "\"max_voltage_v\": -58.4",
            "installation.max_voltage_v",
        ),
        ("\"strings\": 4", "\"strings\": 0", "installation.strings"),
        (
            "\"rated_energy_wh\": 20480",
            "\"rated_energy_wh\": -20480",
            "installation.rated_energy_wh",
        ),
        (
            "\"nominal_voltage_v\": 230",
            "\"nominal_voltage_v\": 230000",
            "at most 1000 V ac",
        ),
        (
            "\"net_mass_kg\": 49.5",
            "\"net_mass_kg\": -49.5",
            "modules.net_mass_kg of `m1`",
        ),
        // Grams for kilograms, and kilowatt hours for watt hours.
        (
            "\"net_mass_kg\": 49.5",
            "\"net_mass_kg\": 49500",
            "modules.net_mass_kg of `m1`",
        ),
        (
            "\"rated_energy_wh\": 5120",
            "\"rated_energy_wh\": 5.12",
            "`m1`",
        ),
        (
            "\"cells_in_series\": 16",
            "\"cells_in_series\": 6",
            "6 cells in series",
        ),
        (
            "\"cells_in_series\": 16",
            "\"cells_in_series\": 0",
            "modules.cells_in_series of `m1`",
        ),
        (
            "\"proving_low_v\": 220",
            "\"proving_low_v\": 2200",
            "instruments.proving_low_v of `PU-0871`",
        ),
        (
            "\"made_on\": \"2022-07-18\"",
            "\"made_on\": \"2032-07-18\"",
            "made_on",
        ),
    ] {
        assert!(plan.contains(old), "{old}");
        let error = Plan::read(&plan.replacen(old, new, 1)).unwrap_err();
        let packdown::written::WrittenError::Contradicts { faults, .. } = error else {
            panic!("{new}: {error:?}");
        };
        let told = faults
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("\n");
        assert!(told.contains(what), "{new}: {told}");
        assert!(told.contains("-> "), "{new}: {told}");
    }
}

fn dock() -> Bench {
    let bench = Bench::with_lawful_job();
    open_register(&bench);
    bench
}

#[test]
fn a_slip_of_the_pen_at_the_dock_is_asked_again_and_not_entered() {
    let bench = dock();
    let typed = "P1\nmass -64\nmass 64000\ntemp 9999\ntemp -200\nair 250\nmass 64.1\nstop\n";
    let ran = receive(&bench, &[], typed);
    for words in [
        "gross_mass_kg of package P1: -64",
        "gross_mass_kg of package P1: 64000",
        "more than a lorry carries",
        "temperature_c of package P1: 9999",
        "temperature_c of package P1: -200",
        "air_c",
        "read it again; nothing was taken from this line",
    ] {
        assert!(ran.out.contains(words), "{words}: {}{}", ran.out, ran.err);
    }
    let ledger = bench.read("reg/ledger/device.jsonl");
    for figure in ["64000", "9999", "-200", "250"] {
        assert!(!ledger.contains(figure), "{figure}");
    }
    assert!(ledger.contains("64.1"));
    assert_eq!(bench.run(&["register", "verify", "reg"]).code, 0);
}
