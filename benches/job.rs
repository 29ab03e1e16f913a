//! Time promises of one job: the gate decision for one entry, and the whole command.
//!
//! Goals (first edition): one decision under 20 microseconds on a job of 1,000 entries; the whole
//! command at most three times a minimal program without the durable sync. Run with
//! `cargo bench --bench job`; machines are noisy, so compare within one run.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench prints what it measured"
)]

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use packdown::job::{EntryBody, Job, Plan};
use packdown::ledger::{DeviceKey, Draft, Log};
use packdown::papers::{Look, papers_of};
use packdown::procedure::{Entry, Procedure, Settings};

fn sample(name: &str) -> (Plan, Vec<Entry>) {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-jobs");
    let folder = samples.join(name);
    let plan = std::fs::read_to_string(folder.join("job.json")).unwrap();
    let record = std::fs::read_to_string(folder.join("record.jsonl")).unwrap();
    let entries = record
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    (Plan::read(&plan).unwrap(), entries)
}

fn open(plan: &Plan) -> Job {
    let procedure = Procedure::shipped(plan.procedure_name()).unwrap().unwrap();
    Job::open(plan.clone(), procedure, Settings::shipped().unwrap())
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

/// Every step of the record, each decided after 1,000 readings went before it; the quickest of
/// several times, since a busy machine is not the gate's doing.
fn gate(name: &str) {
    let (plan, entries) = sample(name);
    let before = after_many_readings(&plan, entries.first().unwrap());
    let mut times = vec![Duration::MAX; entries.len()];
    for _ in 0..20 {
        let mut job = before.clone();
        for (entry, quickest) in entries.iter().zip(&mut times) {
            let entry = entry.clone();
            let begun = Instant::now();
            std::hint::black_box(job.take(entry));
            *quickest = begun.elapsed().min(*quickest);
        }
    }
    let worst = times.iter().zip(&entries).max_by_key(|(time, _)| *time);
    let (worst, entry) = worst.unwrap();
    println!(
        "gate decision of {name}, 1,000 entries before: median {:?}, worst {worst:?} at {} {}",
        median(times.clone()),
        entry.step.as_deref().unwrap_or_default(),
        entry.module.as_deref().unwrap_or_default(),
    );
}

fn after_many_readings(plan: &Plan, first: &Entry) -> Job {
    let mut job = open(plan);
    let reading = format!(
        r#"{{"kind":"reading","at":"{}","by":"{}","evidence":{{"voltage_v":51.3}}}}"#,
        first.at, first.by
    );
    let reading: Entry = serde_json::from_str(&reading).unwrap();
    for _ in 0..1_000 {
        job.take(reading.clone());
    }
    job
}

/// The whole command beside the smallest program there is here.
fn command() {
    let program = env!("CARGO_BIN_EXE_packdown");
    let folder = std::env::temp_dir().join(format!("packdown-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let job = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-jobs/harbour-lane-stack");
    let time = |arguments: &[&str], clean: Option<&Path>| {
        let times = (0..100)
            .map(|_| {
                if let Some(folder) = clean {
                    let _ = std::fs::remove_dir_all(folder);
                }
                let begun = Instant::now();
                let (program, rest) = arguments.split_first().unwrap();
                Command::new(program)
                    .args(rest)
                    .stdout(Stdio::null())
                    .status()
                    .unwrap();
                begun.elapsed()
            })
            .collect();
        median(times)
    };
    let out = folder.join("out");
    let (job, out_text) = (
        job.to_string_lossy().into_owned(),
        out.to_string_lossy().into_owned(),
    );
    println!("true (coreutils)      {:?}", time(&["true"], None));
    println!(
        "packdown --version    {:?}",
        time(&[program, "--version"], None)
    );
    println!(
        "packdown run          {:?}",
        time(&[program, "run", &job, "--out", &out_text], Some(&out))
    );
    println!(
        "packdown show         {:?}",
        time(&[program, "show", &out_text], None)
    );
    println!(
        "packdown verify       {:?}",
        time(&[program, "verify", &out_text], None)
    );
    let _ = std::fs::remove_dir_all(&folder);
}

/// Where the time of one job goes, warm, in one process.
fn phases() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-jobs/harbour-lane-stack");
    let plan_text = std::fs::read_to_string(folder.join("job.json")).unwrap();
    let record = std::fs::read_to_string(folder.join("record.jsonl")).unwrap();
    let repeat = |name: &str, work: &mut dyn FnMut()| {
        let times = (0..50)
            .map(|_| {
                let begun = Instant::now();
                work();
                begun.elapsed()
            })
            .collect();
        println!("  {name:<22} {:?}", median(times));
    };
    println!("phases of one job");
    let read = || -> Vec<Entry> {
        record
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect()
    };
    let plan = Plan::read(&plan_text).unwrap();
    let entries = read();
    repeat("read the plan", &mut || {
        drop(Plan::read(&plan_text).unwrap())
    });
    repeat("read the procedure", &mut || {
        drop(Procedure::shipped("ac-coupled-stack").unwrap().unwrap())
    });
    repeat("read the settings", &mut || {
        drop(Settings::shipped().unwrap())
    });
    repeat("read the record", &mut || drop(read()));
    repeat("open the job", &mut || drop(open(&plan)));
    let empty = open(&plan);
    let mut played = empty.clone();
    repeat("take every entry", &mut || {
        let mut job = empty.clone();
        for entry in &entries {
            job.take(entry.clone());
        }
        played = job;
    });
    let key = DeviceKey::demo();
    let mut log = Log::open(key.name()).unwrap();
    repeat("append to the log", &mut || {
        log = Log::open(key.name()).unwrap();
        for taken in played.taken() {
            log.append(Draft {
                time: taken.entry.at,
                actor: taken.entry.by.clone(),
                kind: "step".into(),
                body: EntryBody::value_of(taken).unwrap(),
                refs: Vec::new(),
                photos: Vec::new(),
            })
            .unwrap();
        }
    });
    repeat("sign", &mut || drop(log.checkpoint(&key).unwrap()));
    repeat("is it entitled", &mut || {
        drop(played.not_entitled_to_papers())
    });
    repeat("read the rule set", &mut || {
        drop(packdown::transport::rule_set().text())
    });
    repeat("decide how each travels", &mut || drop(played.verdicts()));
    repeat("write every paper", &mut || {
        drop(papers_of(&played, &log, 1, false, &Look::default()).unwrap())
    });
}

fn main() {
    gate("harbour-lane-stack");
    gate("corner-shop-rack");
    phases();
    command();
}
