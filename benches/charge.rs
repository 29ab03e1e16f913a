//! Time promise of the charge: one verdict by rested voltage under 10 microseconds, and `calc` over a
//! file of a million rows of CSV in less than 3 times the time of reading that file with all its
//! numbers.
//!
//! Run with `cargo bench --bench charge`; machines are noisy, so compare within one run. Each figure
//! is the best of a few rounds.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a bench prints what it measured"
)]

use std::fmt::Write as _;
use std::fs;
use std::hint::black_box;
use std::time::{Duration, Instant};

use packdown::actions::{ActionError, Calculated, find_sum};
use packdown::physics::{CellKind, Meter, RestedReading, state_of_charge};

const VERDICTS: u32 = 100_000;
const ROWS: u32 = 1_000_000;
const ROUNDS: usize = 7;

fn best(mut run: impl FnMut()) -> Duration {
    let time = |_| {
        let begun = Instant::now();
        run();
        begun.elapsed()
    };
    (0..ROUNDS).map(time).min().unwrap()
}

fn main() {
    let reading = RestedReading {
        chemistry: CellKind::Lfp,
        cells: 16,
        module_voltage_v: Some(52.8),
        cell_spread_mv: Some(10.0),
        instrument: Some(Meter {
            percent_of_reading: 0.5,
            digits: 2.0,
            resolution_v: 0.01,
        }),
        temperature_c: Some(25.0),
        rested_h: Some(24.0),
        current_a: Some(0.0),
        ..RestedReading::default()
    };
    state_of_charge(&reading).unwrap();
    let each = best(|| {
        for _ in 0..VERDICTS {
            black_box(state_of_charge(black_box(&reading)).unwrap());
        }
    }) / VERDICTS;
    println!("one verdict on a state of charge: {each:?} (goal under 10 µs)");

    let mut text = String::from(
        "id,chemistry,cells,module_voltage_v,cell_spread_mv,instrument.percent_of_reading,\
         instrument.digits,instrument.resolution_v,temperature_c,rested_h,current_a\n",
    );
    for n in 0..ROWS {
        let volts = 48.0 + f64::from(n % 600) / 100.0;
        writeln!(text, "m{n},lfp,16,{volts:.2},10,0.5,2,0.01,25,24,0").unwrap();
    }
    // Both read the file, as people's files are read.
    let file = std::env::temp_dir().join(format!("packdown-charge-{}.csv", std::process::id()));
    fs::write(&file, text).unwrap();
    let plain = best(|| {
        let mut reader = csv::Reader::from_path(&file).unwrap();
        let mut record = csv::StringRecord::new();
        let mut sum = 0.0;
        while reader.read_record(&mut record).unwrap() {
            for cell in &record {
                sum += cell.parse::<f64>().unwrap_or(0.0);
            }
        }
        black_box(sum);
    });
    let sum = find_sum("state-of-charge").unwrap();
    let all = best(|| {
        let Ok(Calculated::Rows(rows)) = sum.calculate_file(&file) else {
            panic!("rows of CSV")
        };
        rows.each(&mut |answers| {
            black_box(answers);
            Ok::<_, ActionError>(())
        })
        .unwrap();
    });
    fs::remove_file(&file).unwrap();
    println!(
        "{ROWS} rows of CSV: read with their numbers {plain:?}, read and answered {all:?}: {:.2} \
         times (goal under 3)",
        all.as_secs_f64() / plain.as_secs_f64()
    );
}
