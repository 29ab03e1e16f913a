//! Every sample site's day gives what its `expected/` says, twice the same, and what it leaves
//! verifies.
//!
//! `day.txt` has one command a line behind `$ packdown `, and lines that are typed at it behind
//! `> `. `PACKDOWN_BLESS=1` writes `expected/` anew.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_os_string();
        // What a run left in the folder is no part of the sample.
        if path.is_file() {
            fs::copy(&path, to.join(name)).unwrap();
        }
    }
}

/// The words of a command; quotes keep blanks together.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for sign in line.chars() {
        match sign {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            other => words.last_mut().unwrap().push(other),
        }
    }
    words
}

fn follow(within: &Path, command: &str, typed: &str) -> String {
    let mut child = Command::new(env!("CARGO_BIN_EXE_packdown"))
        .args(words(command))
        .current_dir(within)
        .env_remove("COLUMNS")
        .env("NO_COLOR", "1")
        .env("HOME", within)
        .env("XDG_DATA_HOME", within)
        .env_remove("PACKDOWN_HOME")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let output = child.wait_with_output().unwrap();
    let mut text = format!("$ packdown {command}\n");
    // What other commands print is pinned by their own samples.
    if !command.ends_with("--format json") {
        text.push_str(&String::from_utf8(output.stdout).unwrap());
        text.push_str(&String::from_utf8(output.stderr).unwrap());
    }
    if !text.ends_with('\n') {
        text.push('\n');
    }
    text.push_str(&format!("[exit {}]\n\n", output.status.code().unwrap()));
    assert!(!text.contains(env!("CARGO_MANIFEST_DIR")), "{text}");
    text
}

/// A day's output, and the folder it left.
fn day(site: &Path) -> (String, tempfile::TempDir) {
    let within = tempfile::tempdir().unwrap();
    copy(site, &within.path().join("site"));
    for job in fs::read_dir(root().join("sample-jobs")).unwrap() {
        let job = job.unwrap().path();
        copy(
            &job,
            &within
                .path()
                .join("sample-jobs")
                .join(job.file_name().unwrap()),
        );
    }
    let text = fs::read_to_string(site.join("day.txt")).unwrap();
    let mut said = String::new();
    let mut lines = text.lines().peekable();
    while let Some(line) = lines.next() {
        let command = line.strip_prefix("$ packdown ").unwrap();
        let mut typed = String::new();
        while let Some(answer) = lines.peek().and_then(|line| line.strip_prefix("> ")) {
            typed.push_str(answer);
            typed.push('\n');
            lines.next();
        }
        said.push_str(&follow(within.path(), command, &typed));
    }
    (said, within)
}

fn sites() -> Vec<PathBuf> {
    let mut sites: Vec<PathBuf> = fs::read_dir(root().join("sample-sites"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .collect();
    sites.sort();
    assert!(!sites.is_empty());
    sites
}

#[test]
fn every_day_at_a_site_goes_as_expected() {
    for site in sites() {
        let (said, within) = day(&site);
        let page = fs::read_to_string(within.path().join("fire.html")).unwrap();
        let given = [("day.txt", said), ("fire.html", page)];
        let folder = site.join("expected");
        if std::env::var_os("PACKDOWN_BLESS").is_some() {
            fs::create_dir_all(&folder).unwrap();
            for (name, text) in &given {
                fs::write(folder.join(name), text).unwrap();
            }
        }
        for (name, text) in &given {
            let expected = fs::read_to_string(folder.join(name)).unwrap_or_default();
            assert_eq!(&expected, text, "{name} of {}", site.display());
        }
    }
}

#[test]
fn a_day_typed_twice_gives_the_same_bytes() {
    for site in sites() {
        let ledger = |within: &tempfile::TempDir| {
            fs::read(within.path().join("site/ledger/device.jsonl")).unwrap()
        };
        let (first, second) = (day(&site), day(&site));
        assert_eq!(first.0, second.0);
        assert!(ledger(&first.1) == ledger(&second.1), "{}", site.display());
    }
}

/// The receipt answers the giver's entry by its leaf hash, and the bundle is kept as it came.
#[test]
fn the_receipt_names_the_leaf_of_the_release_and_keeps_the_bundle() {
    let (_, within) = day(&root().join("sample-sites/dunfarran-works"));
    let log = fs::read_to_string(within.path().join("site/ledger/device.jsonl")).unwrap();
    let bytes = fs::read(within.path().join("job/ledger/device.jsonl")).unwrap();
    let released = String::from_utf8(bytes)
        .unwrap()
        .lines()
        .find(|line| line.contains("\"type\":\"released\""))
        .map(|line| packdown::ledger::to_hex(&packdown::ledger::leaf_hash(line.as_bytes())))
        .unwrap();
    for kind in ["receipt_opened", "receipt_closed", "discrepancy"] {
        let entry: serde_json::Value = log
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .find(|entry: &serde_json::Value| entry["type"] == kind)
            .unwrap();
        assert_eq!(entry["refs"][0], released, "{kind}");
    }
    assert_eq!(
        fs::read(within.path().join("job/MS-2026-041-1.zip")).unwrap(),
        fs::read(within.path().join("site/bundles/MS-2026-041-1.zip")).unwrap()
    );
    // The giver takes the signed note back.
    let taken = follow(
        within.path(),
        "release job --cosigned site/bundles/MS-2026-041-1.checkpoint",
        "",
    );
    assert!(taken.contains("[exit 0]"), "{taken}");
}
