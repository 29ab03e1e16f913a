//! The edges of the shipped procedures against the trade's own edge list.

use std::collections::{BTreeMap, BTreeSet};

use packdown::procedure::{Need, Procedure};

const LIST: &str = include_str!("../cases/procedure-edges.txt");

type Edges = BTreeMap<String, BTreeSet<String>>;

fn words(text: &str) -> BTreeSet<String> {
    text.split_whitespace().map(str::to_owned).collect()
}

/// The trade's edges of the steps whose ids begin with one of `letters`.
fn trade(letters: &str, access: &str, all_modules: &str) -> Edges {
    LIST.lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split_once(" <- ").unwrap())
        .filter(|(step, _)| step.starts_with(|first| letters.contains(first)))
        .map(|(step, needs)| {
            let needs = needs
                .replace("(start)", "")
                .replace("@access", access)
                .replace("@allM", all_modules);
            (step.to_owned(), words(&needs))
        })
        .collect()
}

fn shipped(id: &str) -> Edges {
    let procedure = Procedure::shipped(id).unwrap().unwrap();
    procedure
        .steps
        .iter()
        .map(|step| {
            let needs = step.needs.iter().map(Need::to_string).collect();
            (step.id.clone(), needs)
        })
        .collect()
}

/// What this project adds to, or puts in the place of, the trade's edges; each with its ground.
fn refine(edges: &mut Edges, refinements: &[(&str, &str, &str)]) {
    for (step, needs, ground) in refinements {
        assert!(!ground.is_empty());
        let before = edges.insert((*step).to_owned(), words(needs));
        assert_ne!(before, Some(words(needs)), "{step} is no refinement");
    }
}

/// What every sound procedure shares.
const LOOP: [(&str, &str, &str); 3] = [
    (
        "M11",
        "M10|X16",
        "a damaged module leaves the loop at M07 and comes back packed",
    ),
    ("X15", "X14", "one module has no string left to split"),
    (
        "X19",
        "M07",
        "a damaged module of a sound stack comes from the loop",
    ),
];

fn keep_stop_work_and_one_module(edges: &mut Edges) {
    for step in ["X09", "X10", "X11", "X12", "X13"] {
        edges.remove(step);
    }
}

#[test]
fn the_home_stack_has_the_trades_edges_and_its_refined_order() {
    let mut edges = trade("CAMXZ", "A04 A05 A20", "A06 M12*");
    keep_stop_work_and_one_module(&mut edges);
    refine(&mut edges, &LOOP);
    let cover = "covers off, cables off, the same cover on again before anybody carries";
    let support = "a support stands before anything is unplugged";
    refine(
        &mut edges,
        &[
            ("A11", "C12", "the breaker sits behind the front cover"),
            (
                "C15",
                "C13 C14? A11",
                "the breaker is put and seen in its off position",
            ),
            ("A12", "C25", cover),
            ("A01", "A12", cover),
            ("A13", "A03", cover),
            ("A14", "A13", cover),
            ("A15", "A14", "a stack leaves the wall upright"),
            ("A16", "A15", "a stack leaves the wall upright"),
            ("A17", "A16", "top cover on at its torque before the lift"),
            ("A18", "A17", support),
            ("A19", "A18 A02", support),
            ("A04", "A03 A19", support),
            (
                "A20",
                "A04",
                "support brackets come off before the first module is lifted",
            ),
            (
                "A05",
                "A02 A19",
                "the stack is split once its plugs are parted",
            ),
            (
                "A06",
                "A04 A05 A20 M12*",
                "the loop is through when every module is",
            ),
        ],
    );
    assert_eq!(shipped("ac-coupled-stack"), edges);
}

#[test]
fn the_hybrid_has_the_trades_edges_with_its_pv_isolators_compulsory() {
    let mut edges = trade("CBMXZ", "B07 B08", "B09 M12*");
    keep_stop_work_and_one_module(&mut edges);
    refine(&mut edges, &LOOP);
    refine(
        &mut edges,
        &[
            ("C15", "C13 C14? C14", "the array feeds the same dc bus"),
            (
                "B09",
                "B08 B07 M12*",
                "the loop is through when every module is",
            ),
        ],
    );
    assert_eq!(shipped("dc-coupled-hybrid"), edges);
    let procedure = Procedure::shipped("dc-coupled-hybrid").unwrap().unwrap();
    assert!(!procedure.step("C14").unwrap().optional);
}

#[test]
fn the_rack_has_the_trades_edges_with_every_feed_open_before_the_locks() {
    let mut edges = trade("CRMXZ", "R07 R08", "R09 M12*");
    keep_stop_work_and_one_module(&mut edges);
    refine(&mut edges, &LOOP);
    refine(
        &mut edges,
        &[
            ("C17", "C16 R01", "the trade's extra edge for a rack"),
            (
                "R09",
                "R07 R08 M12*",
                "the loop is through when every module is",
            ),
        ],
    );
    assert_eq!(shipped("rack"), edges);
}

#[test]
fn the_damaged_battery_has_the_trades_edges_and_its_papers() {
    let mut edges = trade("XMZ", "X12 X13?", "M12*");
    for step in ["M08", "M09", "M10"] {
        // Fixings, lift and packing are one step there: X15.
        edges.remove(step);
    }
    refine(
        &mut edges,
        &[
            (
                "C03",
                "X01",
                "people and testers in date before anybody goes near",
            ),
            ("C04", "X01", "notices close the file"),
            (
                "X08",
                "X06 X07? C03",
                "people and testers in date before anybody goes near",
            ),
            (
                "X19",
                "X12 M07",
                "poles covered, or kept out of reach, before anything moves",
            ),
            ("M11", "X16", "marked once the watch after the move is over"),
        ],
    );
    assert_eq!(shipped("damaged-pack"), edges);
}
