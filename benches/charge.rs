//! Time promise of the charge: one verdict by rested voltage under 10 microseconds, and what
//! `calc` needs for a row of CSV beside reading it.
//!
//! Run with `cargo bench --bench charge`; machines are noisy, so compare within one run.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench prints what it measured"
)]

use std::fmt::Write as _;
use std::hint::black_box;
use std::time::Instant;

use packdown::actions::find_sum;
use packdown::physics::{CellKind, Meter, RestedReading, state_of_charge};

const VERDICTS: u32 = 200_000;
const ROWS: u32 = 100_000;

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
    let begun = Instant::now();
    for _ in 0..VERDICTS {
        black_box(state_of_charge(black_box(&reading)).unwrap());
    }
    let each = begun.elapsed() / VERDICTS;
    println!("one verdict on a state of charge: {each:?} (goal under 10 µs)");

    let mut text = String::from(
        "id,chemistry,cells,module_voltage_v,cell_spread_mv,instrument.percent_of_reading,\
         instrument.digits,instrument.resolution_v,temperature_c,rested_h,current_a\n",
    );
    for n in 0..ROWS {
        let volts = 48.0 + f64::from(n % 600) / 100.0;
        writeln!(text, "m{n},lfp,16,{volts:.2},10,0.5,2,0.01,25,24,0").unwrap();
    }
    let begun = Instant::now();
    let read = csv::Reader::from_reader(text.as_bytes()).records().count();
    let reading_csv = begun.elapsed();
    let begun = Instant::now();
    black_box(
        find_sum("state-of-charge")
            .unwrap()
            .calculate(&text)
            .unwrap(),
    );
    let all = begun.elapsed();
    println!(
        "{read} rows of CSV: read {reading_csv:?}, read and answered {all:?}, {:.1} times",
        all.as_secs_f64() / reading_csv.as_secs_f64()
    );
}
