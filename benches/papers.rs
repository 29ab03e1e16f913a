//! Printed papers a second on one core, and how long one and all of them take.
//!
//! Goals: 300 one-page manifests a second (2,500 where it can be had), one document in 10 ms with
//! the start of the process, every paper of the job of 14 modules in 100 ms.
//! `tests/outside/papers.py` runs the common Python table writer on the same page.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench prints what it measured"
)]

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use packdown::papers::pdf::{Cell, Column, Flow, Head, SIZE, Stock, bold, pdf, plain, pt};
use packdown::papers::{Look, papers_of, print_papers};
use packdown::store::JobFolder;

/// A heading, three lines, a table of 24 rows by 7 columns: the page that other writers are
/// measured with.
fn page(number: usize) -> Vec<u8> {
    let mut flow = Flow::new(
        Stock::A4,
        Head {
            title: "Packing manifest".into(),
            of: format!("{number:06}"),
            across: None,
            foot: "Issue 1; a later issue of this paper supersedes it.".into(),
            page: ("page", "of"),
        },
    );
    flow.runs(
        &[
            bold("Consignor"),
            plain(format!(" Depot {number}, Industrial Road 5")),
        ],
        pt(95),
    );
    flow.runs(
        &[bold("Consignee"), plain(" Recycling Works, Harbour 12")],
        pt(95),
    );
    flow.runs(&[plain("UN3480, Lithium ion batteries, 9")], pt(95));
    let columns = [
        Column::numbers("No", 6),
        Column::words("Serial", 22),
        Column::words("Model", 12),
        Column::numbers("kg", 10),
        Column::numbers("Wh", 12),
        Column::numbers("SoC %", 12),
        Column::words("Class", 26),
    ];
    let mut table = flow.table(&columns, SIZE, true);
    for row in 0..24 {
        table.row(&[
            Cell::plain(row.to_string()),
            Cell::bold(format!("SN{:09}", number * 24 + row)),
            Cell::plain(format!("M{:02}", row % 12)),
            Cell::plain("24.0"),
            Cell::plain("2560"),
            Cell::plain("27.5"),
            Cell::plain("eol_large"),
        ]);
    }
    table.end();
    pdf("Packing manifest", &flow.finish()).unwrap_or_default()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

fn main() {
    let begun = Instant::now();
    let first = page(0);
    let cold = begun.elapsed();
    assert_eq!(first, page(0), "the same page has the same bytes");
    let count = 2_000;
    let begun = Instant::now();
    let bytes: usize = (1..=count).map(|number| page(number).len()).sum();
    let taken = begun.elapsed();
    println!(
        "one-page manifest, 24 x 7: {:.0} a second on one core ({} bytes each); the first {:.2} ms",
        count as f64 / taken.as_secs_f64(),
        bytes / count,
        cold.as_secs_f64() * 1e3
    );

    let within = tempfile::tempdir().unwrap();
    let program = env!("CARGO_BIN_EXE_packdown");
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-jobs/corner-shop-rack");
    let run = |arguments: &[&str]| {
        let begun = Instant::now();
        let output = Command::new(program)
            .args(arguments)
            .current_dir(within.path())
            .env("PACKDOWN_HOME", within.path().join("home"))
            .output()
            .unwrap();
        assert!(output.status.success(), "{arguments:?}");
        begun.elapsed()
    };
    let sample = sample.to_str().unwrap();
    run(&["run", sample, "--out", "out"]);

    let open = JobFolder::at(within.path().join("out")).open().unwrap();
    let all = || {
        let mut issued = papers_of(&open.job, &open.log, 2, false, &Look::default()).unwrap();
        print_papers(&open.job, &mut issued, &Look::default()).unwrap();
        issued
    };
    let files = all().all_files().count();
    let times = (0..50)
        .map(|_| {
            let begun = Instant::now();
            drop(all());
            begun.elapsed()
        })
        .collect();
    println!(
        "every paper of the 14-module job, {files} files in memory: {:.1} ms (median of 50)",
        median(times).as_secs_f64() * 1e3
    );
    let times = (0..50)
        .map(|_| run(&["issue", "out", "--paper", "manifest"]))
        .collect();
    println!(
        "issue one manifest, process, ledger and disk included: {:.1} ms (median of 50)",
        median(times).as_secs_f64() * 1e3
    );
    let times = (0..50)
        .map(|_| run(&["plan", sample, "--pdf", "method.pdf"]))
        .collect();
    println!(
        "method statement as a PDF, process included: {:.1} ms (median of 50)",
        median(times).as_secs_f64() * 1e3
    );
    let times = (0..20).map(|_| run(&["issue", "out"])).collect();
    println!(
        "issue every paper, process, ledger and disk included: {:.1} ms (median of 20)",
        median(times).as_secs_f64() * 1e3
    );
}
