//! Packing against its goals: families of loads, uniform one-dimensional sets, a recall campaign.
//!
//! `cargo bench --bench packing`; with a campaign table (`... -- modules.csv`, columns `depot_id`,
//! `mass_kg`, `energy_wh`, `damage`, `recalled`, `disposition`) that is read, grouped and packed too.
//! Machines are noisy, so compare within one run.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a bench prints what it measured"
)]

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use packdown::packing::{Instance, Plan, check, instances, solve, solve_all};

const FAMILIES: &str = include_str!("../tests/cases/packing-families.jsonl");

struct Dice(u64);

impl Dice {
    fn from(&mut self, low: u64, high: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        low + (self.0 >> 33) % (high - low + 1)
    }
}

/// Kinds of modules: kilograms in tenths, watt-hours.
const MODULES: [(u64, u64); 12] = [
    (240, 2560),
    (440, 5120),
    (315, 3552),
    (260, 2560),
    (298, 3263),
    (225, 2400),
    (220, 2611),
    (330, 2592),
    (1120, 14_336),
    (970, 9811),
    (340, 3072),
    (520, 4954),
];

/// Class of a module, as the campaign's stand-in rules have it, with the limits of its packages.
fn class(damage: &str, recalled: bool, disposition: &str) -> (&'static str, [u64; 3]) {
    match damage {
        "vent" | "heat" => ("critical", [4_000, 1 << 40, 1]),
        "swollen" | "leak" | "water" | "dent" => ("damaged", [4_000, 25_000, 4]),
        _ if recalled && disposition == "return" => ("damaged", [4_000, 25_000, 4]),
        _ if disposition == "reuse" => ("reuse", [8_000, 60_000, 24]),
        _ => ("end of life", [8_000, 60_000, 24]),
    }
}

type Groups = BTreeMap<(u32, &'static str), ([u64; 3], Vec<u64>)>;

fn put(groups: &mut Groups, depot: u32, of: (&'static str, [u64; 3]), mass: u64, energy: u64) {
    let (cap, flat) = groups
        .entry((depot, of.0))
        .or_insert_with(|| (of.1, Vec::new()));
    flat.extend([mass, energy.min(cap[1]), 1]);
}

/// A campaign of a million modules by our own dice: 40 depots, some nameplates mistyped.
fn campaign() -> Groups {
    let mut dice = Dice(2024);
    let mut groups = Groups::new();
    for _ in 0..1_000_000 {
        let (mass, energy) = MODULES[dice.from(0, 11) as usize];
        let energy = match dice.from(0, 999) {
            0 => energy / 10,
            1 => energy * 10,
            2 | 3 => energy * 109 / 100,
            _ => energy,
        };
        let damage = match dice.from(0, 999) {
            0..7 => "heat",
            7..70 => "dent",
            _ => "none",
        };
        let disposition = ["recycle", "recycle", "return", "reuse"][dice.from(0, 3) as usize];
        let class = class(damage, dice.from(0, 9) < 3, disposition);
        put(&mut groups, dice.from(1, 40) as u32, class, mass, energy);
    }
    groups
}

/// The campaign of a table.
fn read(path: &str) -> Groups {
    let mut reader = csv::ReaderBuilder::new()
        .buffer_capacity(1 << 20)
        .from_path(path)
        .unwrap();
    let heads = reader.headers().unwrap().clone();
    let at = |name: &str| heads.iter().position(|head| head == name).unwrap();
    let [depot, mass, energy, damage, recalled, disposition] = [
        "depot_id",
        "mass_kg",
        "energy_wh",
        "damage",
        "recalled",
        "disposition",
    ]
    .map(at);
    let tenths = |text: &[u8]| {
        let digits = text.iter().filter(|byte| byte.is_ascii_digit());
        digits.fold(0_u64, |sum, byte| sum * 10 + u64::from(byte - b'0'))
    };
    let mut groups = Groups::new();
    let mut row = csv::ByteRecord::new();
    while reader.read_byte_record(&mut row).unwrap() {
        let text = |at: usize| std::str::from_utf8(&row[at]).unwrap();
        let class = class(text(damage), &row[recalled] == b"1", text(disposition));
        let depot = text(depot).parse().unwrap();
        put(
            &mut groups,
            depot,
            class,
            tenths(&row[mass]),
            tenths(&row[energy]) / 10,
        );
    }
    groups
}

struct Row {
    name: String,
    count: usize,
    least: usize,
    proven: usize,
    plans: usize,
    times: Vec<Duration>,
}

impl Row {
    fn of(name: &str) -> Self {
        Self {
            name: name.into(),
            count: 0,
            least: 0,
            proven: 0,
            plans: 0,
            times: Vec::new(),
        }
    }

    fn add(&mut self, instance: &Instance, plan: Plan) {
        self.plans += 1;
        self.count += plan.count;
        self.least += plan.lower_bound;
        self.proven += usize::from(plan.proven);
        assert_eq!(check(instance, &plan.into()), [], "{}", instance.name);
    }

    fn print(&mut self, goal: &str) {
        self.times.sort_unstable();
        let median = self
            .times
            .get(self.times.len() / 2)
            .copied()
            .unwrap_or_default();
        let most = self.times.last().copied().unwrap_or_default();
        println!(
            "{:<20} {:>5} {:>8} {:>8} {:>7} {:>11.3} {:>11.3}   {goal}",
            self.name,
            self.plans,
            self.count,
            self.least,
            self.proven,
            median.as_secs_f64() * 1e3,
            most.as_secs_f64() * 1e3
        );
    }
}

fn families() {
    let goals = [
        ("job", "proven, at most 10 ms each, median 1 ms"),
        ("van", "proven, at most 10 ms each, median 1 ms"),
        ("truck", "at most the best known, 500 ms each"),
        ("mixed", "at most the best known, 1,000 ms each"),
        (
            "triplet",
            "60: optimum + 1, 120: optimum + 2, 1,000 ms each",
        ),
    ];
    let all = instances(FAMILIES).unwrap();
    for (family, goal) in goals {
        let mut row = Row::of(family);
        for instance in all
            .iter()
            .filter(|instance| instance.name.starts_with(family))
        {
            let start = Instant::now();
            let plan = solve(instance);
            row.times.push(start.elapsed());
            row.add(instance, plan);
        }
        row.print(goal);
    }
}

fn uniform() {
    let mut dice = Dice(3);
    for (count, goal) in [
        (
            120,
            "sums + 1 in 20, 200 ms each (published u120: 982 of 981)",
        ),
        (
            500,
            "sums + 6 in 20, 200 ms each (published u500: 4,030 of 4,024)",
        ),
    ] {
        let mut row = Row::of(&format!("uniform {count}"));
        for case in 0..20 {
            let items: Vec<Vec<u64>> = (0..count).map(|_| vec![dice.from(20, 100)]).collect();
            let instance = Instance::new(format!("u{count}_{case:02}"), vec![150], &items).unwrap();
            let start = Instant::now();
            let plan = solve(&instance);
            row.times.push(start.elapsed());
            row.add(&instance, plan);
        }
        row.print(goal);
    }
}

fn recall(name: &str, groups: impl FnOnce() -> Groups) {
    let start = Instant::now();
    let groups = groups();
    let read = start.elapsed();
    let instances: Vec<Instance> = groups
        .into_iter()
        .map(|((depot, class), (cap, flat))| {
            Instance::from_flat(format!("{depot} {class}"), cap.to_vec(), flat).unwrap()
        })
        .collect();
    let plans = solve_all(&instances);
    let whole = start.elapsed();
    let mut row = Row::of(name);
    for (instance, plan) in instances.iter().zip(plans) {
        row.add(instance, plan);
    }
    row.times = vec![whole];
    let over = row.count - row.least;
    row.print(&format!(
        "at most bound + 0.1 % (is + {:.4} %); {:.0} ms of it to read or make the modules",
        over as f64 * 100.0 / row.least as f64,
        read.as_secs_f64() * 1e3
    ));
}

fn main() {
    println!(
        "{:<20} {:>5} {:>8} {:>8} {:>7} {:>11} {:>11}   goal",
        "family", "loads", "packages", "at least", "proven", "median ms", "most ms"
    );
    families();
    uniform();
    recall("campaign, our dice", campaign);
    for path in std::env::args()
        .skip(1)
        .filter(|arg| !arg.starts_with("--"))
    {
        recall("campaign, table", || read(&path));
    }
}
