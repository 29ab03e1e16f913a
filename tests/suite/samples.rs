//! Every sample job gives what its `expected/` says, twice the same, and what it leaves verifies.
//!
//! Samples are found by listing `sample-jobs/`. `PACKDOWN_BLESS=1` writes `expected/` anew.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Papers that a sample pins, byte for byte, where the job is entitled to them.
const PAPERS: [&str; 4] = [
    "manifest.csv",
    "custody.csv",
    "sheets.csv",
    "decisions.json",
];

fn samples() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-jobs");
    let mut found: Vec<PathBuf> = fs::read_dir(root)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .collect();
    found.sort();
    assert!(found.len() >= 4, "sample jobs are missing: {found:?}");
    found
}

fn packdown(args: &[&str], within: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_packdown"))
        .args(args)
        .current_dir(within)
        .env_remove("COLUMNS")
        .env("NO_COLOR", "1")
        // A sample may not depend on whose machine plays it: no own keys, no own settings.
        .env("HOME", within)
        .env("XDG_DATA_HOME", within)
        .output()
        .unwrap()
}

/// What a run printed. The folder it was told to write to is relative, so no path of this machine
/// can stand in it.
fn printed(output: &Output) -> String {
    assert!(
        output.stderr.is_empty(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let text = String::from_utf8(output.stdout.clone()).unwrap();
    assert!(!text.contains(env!("CARGO_MANIFEST_DIR")), "{text}");
    text
}

/// Every file under `folder`, by its path in it.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    fn walk(root: &Path, folder: &Path, found: &mut BTreeMap<String, Vec<u8>>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(root, &path, found);
            } else {
                let name = path
                    .strip_prefix(root)
                    .unwrap()
                    .to_string_lossy()
                    .replace('\\', "/");
                found.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    let mut found = BTreeMap::new();
    walk(folder, folder, &mut found);
    found
}

/// What one sample gives: the files of `expected/` by name, made in a folder of its own.
fn play(sample: &Path) -> (tempfile::TempDir, BTreeMap<String, Vec<u8>>) {
    let within = tempfile::tempdir().unwrap();
    let run = packdown(
        &["run", sample.to_str().unwrap(), "--out", "out"],
        within.path(),
    );
    let out = within.path().join("out");
    let mut given = BTreeMap::new();
    given.insert("summary.txt".to_owned(), printed(&run).into_bytes());
    let show = packdown(&["show", "out"], within.path());
    given.insert("show.txt".to_owned(), printed(&show).into_bytes());
    given.insert(
        "exit.txt".to_owned(),
        format!("{}\n", run.status.code().unwrap()).into_bytes(),
    );
    for name in PAPERS {
        if let Ok(bytes) = fs::read(out.join(name)) {
            given.insert(name.to_owned(), bytes);
        }
    }
    let stock = sample.join("packagings.csv");
    if stock.exists() {
        let carriers = sample.join("carriers.csv");
        let pack = packdown(
            &[
                "pack",
                "out",
                "--stock",
                stock.to_str().unwrap(),
                "--carriers",
                carriers.to_str().unwrap(),
            ],
            within.path(),
        );
        given.insert("pack.txt".to_owned(), printed(&pack).into_bytes());
    }
    (within, given)
}

#[test]
fn every_sample_gives_what_it_expects() {
    let bless = std::env::var_os("PACKDOWN_BLESS").is_some();
    for sample in samples() {
        let (_within, given) = play(&sample);
        let folder = sample.join("expected");
        if bless {
            let _ = fs::remove_dir_all(&folder);
            fs::create_dir_all(&folder).unwrap();
            for (name, bytes) in &given {
                fs::write(folder.join(name), bytes).unwrap();
            }
            continue;
        }
        let expected = files(&folder);
        let names = |map: &BTreeMap<String, Vec<u8>>| map.keys().cloned().collect::<Vec<_>>();
        assert_eq!(names(&given), names(&expected), "{}", sample.display());
        for (name, bytes) in &expected {
            assert_eq!(
                String::from_utf8_lossy(&given[name]),
                String::from_utf8_lossy(bytes),
                "{} of {}",
                name,
                sample.display()
            );
        }
    }
}

#[test]
fn a_sample_played_twice_gives_the_same_bytes() {
    for sample in samples() {
        let (first, _) = play(&sample);
        let (second, _) = play(&sample);
        let (first, second) = (
            files(&first.path().join("out")),
            files(&second.path().join("out")),
        );
        assert!(
            first.contains_key("ledger/device.jsonl"),
            "{}",
            sample.display()
        );
        for (name, bytes) in &first {
            assert!(
                second.get(name) == Some(bytes),
                "{name} of {}",
                sample.display()
            );
        }
        assert_eq!(first.len(), second.len());
    }
}

#[test]
fn what_a_sample_leaves_verifies() {
    for sample in samples() {
        let (within, _) = play(&sample);
        let verified = packdown(&["verify", "out"], within.path());
        assert!(
            verified.status.success(),
            "{}: {}",
            sample.display(),
            printed(&verified)
        );
        let shown = packdown(&["show", "out"], within.path());
        assert!(shown.status.code().unwrap() <= 1, "{}", sample.display());
        // The demo key alone proves nothing, so a flipped byte must still be found.
        let log = within.path().join("out/ledger/device.jsonl");
        let mut bytes = fs::read(&log).unwrap();
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        fs::write(&log, bytes).unwrap();
        let broken = packdown(&["verify", "out"], within.path());
        assert!(!broken.status.success(), "{}", sample.display());
    }
}

#[test]
fn papers_of_a_sample_account_for_every_module() {
    let mut with_papers = 0;
    for sample in samples() {
        let (within, given) = play(&sample);
        let exit = String::from_utf8(given["exit.txt"].clone()).unwrap();
        let out = within.path().join("out");
        let Ok(custody) = fs::read_to_string(out.join("custody.csv")) else {
            assert_eq!(
                exit,
                "1\n",
                "no papers, but not refused: {}",
                sample.display()
            );
            continue;
        };
        assert_eq!(exit, "0\n", "{}", sample.display());
        with_papers += 1;
        let faults = packdown::papers::custody::check(&custody);
        assert!(faults.is_ok(), "{}: {faults:?}", sample.display());
        let summary = String::from_utf8(given["summary.txt"].clone()).unwrap();
        let count = summary
            .lines()
            .find(|line| line.starts_with("Count:"))
            .unwrap();
        let numbers: Vec<u32> = count
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|word| word.parse().ok())
            .collect();
        let plan: serde_json::Value =
            serde_json::from_str(&fs::read_to_string(sample.join("job.json")).unwrap()).unwrap();
        let modules = plan["modules"].as_array().unwrap().len();
        assert_eq!(numbers.len(), 3, "{count}");
        assert_eq!(numbers[0] as usize, modules, "{count}");
        assert_eq!(numbers[0], numbers[1] + numbers[2], "{count}");
    }
    assert!(with_papers >= 3);
}

#[test]
fn a_line_of_a_summary_fits_a_terminal() {
    for sample in samples() {
        let (_within, given) = play(&sample);
        for name in ["summary.txt", "show.txt"] {
            for line in String::from_utf8_lossy(&given[name]).lines() {
                assert!(
                    line.chars().count() <= packdown::papers::summary::WIDTH,
                    "{name} of {}: {line}",
                    sample.display()
                );
            }
        }
    }
}

/// The firms, people and places are of our own invention, and the papers say so.
#[test]
fn every_sample_is_marked_as_invented_and_tells_its_story() {
    for sample in samples() {
        let plan: serde_json::Value =
            serde_json::from_str(&fs::read_to_string(sample.join("job.json")).unwrap()).unwrap();
        assert_eq!(plan["demo"], true, "{}", sample.display());
        let readme = fs::read_to_string(sample.join("README.md")).unwrap();
        let name = sample.file_name().unwrap().to_string_lossy().into_owned();
        assert!(
            readme.contains(&format!("run sample-jobs/{name} --out out")),
            "{name}"
        );
    }
}
