//! Time promises of classification: one facts object with and without trace, and a campaign of a
//! million rows from CSV to CSV.
//!
//! ```text
//! cargo bench --bench classify -- [ROWS] [MODULES.csv]
//! ```
//!
//! Without MODULES.csv the campaign is made here, from a fixed seed. With it, a file with the
//! columns below is read instead, so that the same bytes can be given to another program for
//! comparison. Its columns become facts so; what has no counterpart stays in the file under its
//! own name and is passed over, so that as many bytes are read:
//!
//! | column | fact |
//! | --- | --- |
//! | `module_id` | `id` |
//! | `chemistry` LFP NMC NCA LMO | `item.cathode`, with `item.chemistry` lithium_ion |
//! | `energy_wh`, `mass_kg` | `item.rated_energy_wh`, `item.net_mass_kg` |
//! | `soc_pct` | `item.state_of_charge_percent.low` and `.high` |
//! | `damage` none | `item.soundness` sound |
//! | `damage` dent swollen leak water | damaged; `leak` also `item.leaking` |
//! | `damage` heat vent | critical |
//! | `recalled` 0 1 | `item.recalled_for_safety` |
//! | `disposition` recycle return reuse | `item.purpose` recycling, warranty_return, reuse |
//! | `made` | `item.made_on` |
//!
//! `item.configuration` is alone and `item.casing` strong in every row; day and regime come from
//! the command line.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a bench stops at the first surprise and prints what it measured"
)]

use std::fs::File;
use std::hint::black_box;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::time::Instant;

use packdown::actions::classify_to_table;
use packdown::store::{Leg, Said};
use packdown::transport::{Facts, decide, decide_untraced};

/// The heads of the campaign in its own words; those without a fact are passed over.
const PASSED_OVER: [&str; 10] = [
    "serial",
    "model",
    "nominal_v",
    "capacity_ah",
    "len_mm",
    "wid_mm",
    "hgt_mm",
    "removed",
    "site_id",
    "depot_id",
];
const HEAD: &str = "id,serial,model,item.cathode,nominal_v,capacity_ah,item.rated_energy_wh,\
                    item.net_mass_kg,len_mm,wid_mm,hgt_mm,item.state_of_charge_percent.low,\
                    item.state_of_charge_percent.high,item.soundness,item.leaking,\
                    item.recalled_for_safety,item.purpose,item.made_on,removed,site_id,depot_id,\
                    item.chemistry,item.configuration,item.casing";

fn main() {
    let mut rows = 1_000_000;
    let mut modules = None;
    for argument in std::env::args().skip(1) {
        // `cargo bench` adds an argument of its own.
        if argument.starts_with("--") {
            continue;
        }
        match argument.parse() {
            Ok(number) => rows = number,
            Err(_) => modules = Some(PathBuf::from(argument)),
        }
    }
    single();
    let folder = tempfile::tempdir().unwrap();
    let facts = folder.path().join("facts.csv");
    match modules {
        Some(modules) => convert(&modules, &facts),
        None => made_here(rows, &facts),
    }
    campaign(&facts, folder.path(), &["adr"]);
    campaign(&facts, folder.path(), &["adr", "cfr49:road"]);
}

/// One facts object, again and again; the median of batches.
fn single() {
    let text = r#"{"id":"m1","regime":"adr","mode":"road","on":"2026-11-25",
        "item":{"chemistry":"lithium_ion","cathode":"lfp","rated_energy_wh":5120,
          "net_mass_kg":48.0,"casing":"strong","tested_type":true,"made_on":"2021-05-01",
          "energy_marked_on_case":true,"configuration":"alone","soundness":"sound",
          "recalled_for_safety":false,"still_a_battery":true,"leaking":false,
          "state_of_charge_percent":{"low":20,"high":29},"purpose":"recycling"},
        "package":{"kind":"un_packaging","mark":"4D/X90/S/25/GB/1234","items":1,
          "net_mass_kg":48.0,"gross_mass_kg":71.0,"short_circuit_protected":true,"secured":true}}"#;
    let facts: Facts = serde_json::from_str(text).unwrap();
    let mut bare = facts.clone();
    bare.package = None;
    for (name, run) in [
        (
            "one object from JSON text, with trace",
            &(|| {
                let facts: Facts = serde_json::from_str(black_box(text)).unwrap();
                black_box(decide(&facts));
            }) as &dyn Fn(),
        ),
        ("one object, with trace", &|| {
            black_box(decide(black_box(&facts)));
        }),
        ("one object, without trace", &|| {
            black_box(decide_untraced(black_box(&facts)));
        }),
        ("one object without package, without trace", &|| {
            black_box(decide_untraced(black_box(&bare)));
        }),
    ] {
        let mut batches: Vec<u128> = (0..21)
            .map(|_| {
                let begin = Instant::now();
                for _ in 0..200 {
                    run();
                }
                begin.elapsed().as_nanos() / 200
            })
            .collect();
        batches.sort_unstable();
        println!("{name}: {:.2} us", batches[10] as f64 / 1_000.0);
    }
}

fn campaign(facts: &Path, folder: &Path, legs: &[&str]) {
    let said = Said {
        on: chrono::NaiveDate::from_ymd_opt(2026, 11, 25),
        legs: legs.iter().map(|leg| leg.parse::<Leg>().unwrap()).collect(),
        ignored: PASSED_OVER.map(str::to_owned).to_vec(),
        reader: None,
    };
    let mut times: Vec<u128> = (0..5)
        .map(|_| {
            let begin = Instant::now();
            let table = folder.join("answers.csv");
            let tally = classify_to_table(facts, &said, &table, &mut |_, _| {}).unwrap();
            black_box(tally);
            begin.elapsed().as_millis()
        })
        .collect();
    times.sort_unstable();
    let size = facts.metadata().unwrap().len() / 1_000_000;
    println!(
        "{size} MB of CSV for {}: {} ms",
        legs.join(" and "),
        times[2]
    );
    println!("  greatest memory so far: {}", memory());
}

/// The greatest resident memory of this process, where the system tells.
fn memory() -> String {
    std::fs::read_to_string("/proc/self/status")
        .ok()
        .and_then(|text| {
            let line = text.lines().find(|line| line.starts_with("VmHWM"))?;
            Some(line.trim_start_matches("VmHWM:").trim().to_owned())
        })
        .unwrap_or_else(|| "not told by this system".to_owned())
}

/// One module in the words of the campaign.
struct Module<'a> {
    id: &'a str,
    /// serial, model
    named: [&'a str; 2],
    cathode: &'a str,
    /// nominal_v, capacity_ah
    rated: [&'a str; 2],
    energy: &'a str,
    mass: &'a str,
    /// length, width, height
    sizes: [&'a str; 3],
    charge: &'a str,
    damage: &'a str,
    recalled: &'a str,
    disposition: &'a str,
    made: &'a str,
    /// removed, site, depot
    places: [&'a str; 3],
}

fn write(out: &mut impl Write, module: &Module) {
    let soundness = match module.damage {
        "none" => "sound",
        "heat" | "vent" => "critical",
        _ => "damaged",
    };
    let purpose = match module.disposition {
        "recycle" => "recycling",
        "return" => "warranty_return",
        _ => "reuse",
    };
    writeln!(
        out,
        "{},{},{},{},{},{},{},{},{},{soundness},{},{},{purpose},{},{},lithium_ion,alone,strong",
        module.id,
        module.named.join(","),
        module.cathode.to_lowercase(),
        module.rated.join(","),
        module.energy,
        module.mass,
        module.sizes.join(","),
        module.charge,
        module.charge,
        module.damage == "leak",
        module.recalled == "1",
        module.made,
        module.places.join(","),
    )
    .unwrap();
}

fn convert(modules: &Path, facts: &Path) {
    let mut out = BufWriter::new(File::create(facts).unwrap());
    writeln!(out, "{HEAD}").unwrap();
    let mut reader = csv::Reader::from_path(modules).unwrap();
    let mut row = csv::StringRecord::new();
    while reader.read_record(&mut row).unwrap() {
        write(
            &mut out,
            &Module {
                id: &row[0],
                named: [&row[1], &row[2]],
                cathode: &row[3],
                rated: [&row[4], &row[5]],
                energy: &row[6],
                mass: &row[7],
                sizes: [&row[8], &row[9], &row[10]],
                charge: &row[11],
                damage: &row[12],
                recalled: &row[13],
                disposition: &row[14],
                made: &row[15],
                places: [&row[16], &row[17], &row[18]],
            },
        );
    }
    out.flush().unwrap();
}

/// A campaign of the same shape, from a fixed seed.
fn made_here(rows: u64, facts: &Path) {
    let mut out = BufWriter::new(File::create(facts).unwrap());
    writeln!(out, "{HEAD}").unwrap();
    let mut state = 20_240_611_u64;
    let mut roll = |sides: u64| {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % sides
    };
    for n in 1..=rows {
        let kind = roll(12);
        let (damage, cathode) = (roll(1_000), roll(100));
        let (id, serial) = (n.to_string(), format!("SN{:09}", n * 7_919 % 100_000_007));
        let model = format!("M{kind:02}");
        let volts = ["51.2", "48.0", "102.4", "25.6"][usize::try_from(kind % 4).unwrap()];
        let ampere_hours = format!("{}.0", 25 + kind * 12);
        let energy = format!("{}.0", 1_280 + kind * 430);
        let mass = format!("{}.{}", 22 + kind * 7, kind % 10);
        let charge = format!("{}.{}", roll(100), roll(10));
        let made = format!(
            "20{:02}-{:02}-{:02}",
            13 + roll(11),
            1 + roll(12),
            1 + roll(28)
        );
        let removed = format!("2025-{:02}-{:02}", 1 + roll(12), 1 + roll(28));
        let (site, depot) = ((n / 6).to_string(), (1 + roll(40)).to_string());
        write(
            &mut out,
            &Module {
                id: &id,
                named: [&serial, &model],
                cathode: match cathode {
                    0..55 => "LFP",
                    55..90 => "NMC",
                    90..96 => "NCA",
                    _ => "LMO",
                },
                rated: [volts, &ampere_hours],
                energy: &energy,
                mass: &mass,
                sizes: ["480", "442", "133"],
                charge: &charge,
                damage: match damage {
                    0..930 => "none",
                    930..955 => "dent",
                    955..975 => "swollen",
                    975..983 => "leak",
                    983..993 => "water",
                    993..998 => "heat",
                    _ => "vent",
                },
                recalled: if roll(10) < 3 { "1" } else { "0" },
                disposition: match roll(10) {
                    0..6 => "recycle",
                    6..9 => "return",
                    _ => "reuse",
                },
                made: &made,
                places: [&removed, &site, &depot],
            },
        );
    }
    out.flush().unwrap();
}
