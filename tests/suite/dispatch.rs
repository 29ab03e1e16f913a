//! What leaves a site again goes with a hand-over bundle of its own, linked to the release of its
//! first sender; the next receiver, the verifier and the auditor take it.

use std::fs;
use std::path::Path;

use packdown::ledger::{sha256, to_hex};
use packdown::store::bag::{file_in, open_bundle};

use crate::bundle::{reseal, unpack};
use crate::dock::site_json;
use crate::program::{Bench, Ran};
use crate::zip_maker::{Member, zip};

const TAG_FILES: [&str; 7] = [
    "bagit.txt",
    "bag-info.txt",
    "checkpoint.note",
    "manifest-sha256.txt",
    "manifest-sha512.txt",
    "tagmanifest-sha256.txt",
    "tagmanifest-sha512.txt",
];

/// A job handed over to a works, which puts two modules together and sends all four on.
struct Chain {
    bench: Bench,
}

const CAME: &str = "2026-11-17T15:00:00+00:00";
const LEFT: &str = "2026-11-18T09:00:00+00:00";
const ARRIVED: &str = "2026-11-18T13:00:00+00:00";
const FIRST: [&str; 2] = ["LK51-24-008817", "LK51-24-008820"];
const OTHERS: [&str; 2] = ["LK51-24-008809", "LK51-24-008831"];

/// Everything that stands at the works, sent on.
const SENDING: [&str; 17] = [
    "stock",
    "dispatch",
    "unit:U1",
    OTHERS[0],
    OTHERS[1],
    "--to",
    "Test yard",
    "--address",
    "Lane 1",
    "--taken-by",
    "Vic Van",
    "--register",
    "works",
    "--by",
    "ada",
    "--at",
    LEFT,
];

impl Chain {
    fn new() -> Self {
        let bench = Bench::with_sample("harbour-lane-stack");
        let chain = Self { bench };
        chain.done(&["run", "job", "--out", "out"]);
        chain.done(&["release", "out"]);
        for (place, site) in [("works", "TST"), ("treater", "NXT")] {
            fs::create_dir_all(chain.bench.path(place)).unwrap();
            let text =
                site_json("eu").replace("\"site\": \"TST\"", &format!("\"site\": \"{site}\""));
            // Bay B has a limit of volume, which nobody measured here.
            let text = text.replace(r#"{ "volume_m3": 1 }"#, r#"{ "pieces": 50 }"#);
            chain.bench.write(&format!("{place}/site.json"), text);
            chain.done(&[
                "register",
                "open",
                place,
                "--at",
                "2026-11-17T08:00:00+00:00",
            ]);
        }
        chain.receive(
            "works",
            "out/HL-2026-117-1.zip",
            CAME,
            &[FIRST, OTHERS].concat(),
        );
        let pen = ["--register", "works", "--by", "ada", "--at", LEFT];
        let mut together = vec!["stock", "consolidate", FIRST[0], FIRST[1]];
        together.extend(["--unit", "U1", "--seal", "S-900"]);
        chain.done(&[together.as_slice(), &pen].concat());
        chain
    }

    fn send(&self) -> Ran {
        self.bench.run(&SENDING)
    }

    fn done(&self, arguments: &[&str]) -> Ran {
        let ran = self.bench.run(arguments);
        assert_eq!(ran.code, 0, "{arguments:?}: {}{}", ran.out, ran.err);
        ran
    }

    /// Receives what is typed, one serial a line.
    fn receive(&self, place: &str, load: &str, at: &str, serials: &[&str]) -> Ran {
        let typed: String = serials
            .iter()
            .map(|serial| format!("{serial}\nclean\n"))
            .collect();
        let arguments = [
            "receive",
            load,
            "--register",
            place,
            "--by",
            "ada",
            "--delivered-by",
            "Vic Van",
            "--bay",
            "B",
            "--at",
            at,
        ];
        self.bench
            .run_with_input(&arguments, &format!("{typed}done\n"))
    }

    fn audit(&self, day: &str) -> Ran {
        let asked = [
            "audit", "out", "works", "treater", "--on", day, "--format", "json",
        ];
        self.bench.run(&asked)
    }
}

#[test]
fn what_leaves_again_brings_its_own_bundle_and_the_next_register_takes_it() {
    let chain = Chain::new();
    let sent = chain.send();
    assert_eq!(sent.code, 0, "{}{}", sent.out, sent.err);
    assert!(sent.out.contains("U1, seal S-900"), "{}", sent.out);
    let bundle = "works/dispatches/TST-D1-1.zip";
    chain.done(&["verify", bundle]);

    // Each module says which release it answers, and brings the proofs from the wall.
    let bytes = fs::read(chain.bench.path(bundle)).unwrap();
    let released = chain.bench.read("out/ledger/device.jsonl");
    let last = released.lines().last().unwrap();
    let leaf = to_hex(&packdown::ledger::leaf_hash(last.as_bytes()));
    let place = chain.bench.path(bundle);
    let log = member(
        &place,
        "data/log/demo.packdown.invalid-job-log-demo-device.jsonl",
    );
    assert_eq!(
        log.matches(&leaf).count(),
        8,
        "in body and refs of four entries"
    );
    for serial in [FIRST, OTHERS].concat() {
        assert!(log.contains(serial), "{serial}");
        let proof = format!("{serial}.tlog-proof");
        for folder in ["proofs", "earlier/HL-2026-117-1"] {
            chain
                .bench
                .write(&proof, member(&place, &format!("data/{folder}/{proof}")));
            chain.done(&["verify", &proof]);
        }
    }

    // The same bytes again.
    let pen = ["--register", "works", "--by", "ada"];
    let again = ["stock", "dispatch", "--rewrite", "1", "--out", "again"];
    chain.done(&[&again[..], &pen].concat());
    let again = fs::read(chain.bench.path("again/TST-D1-1.zip")).unwrap();
    assert_eq!(again, bytes);
    let none = ["stock", "dispatch", "--rewrite", "2"];
    assert_eq!(chain.bench.run(&[&none[..], &pen].concat()).code, 1);

    // Under the seal of the unit, and read one by one.
    let typed = "U1\nseal S-900\nclean\nLK51-24-008809\nclean\nLK51-24-008831\nclean\n";
    let arguments = [
        "receive",
        bundle,
        "--register",
        "treater",
        "--by",
        "ada",
        "--delivered-by",
        "Vic Van",
        "--at",
        ARRIVED,
    ];
    let took = chain
        .bench
        .run_with_input(&arguments, &format!("{typed}done\n"));
    assert!(!took.out.contains("MISSING"), "{}{}", took.out, took.err);
    let audited = chain.audit("2027-01-20");
    assert!(
        !audited.out.contains("\"check\": \"custody.serials\""),
        "{}",
        audited.out
    );
    assert!(
        !audited.out.contains("\"check\": \"custody.open\""),
        "{}",
        audited.out
    );
    assert!(
        !audited.out.contains("\"check\": \"bundle.whole\""),
        "{}",
        audited.out
    );
    assert!(
        !audited.out.contains("\"check\": \"ledger.readable\""),
        "{}",
        audited.out
    );
}

#[test]
fn a_module_that_does_not_arrive_and_a_load_nobody_answers_are_found() {
    let chain = Chain::new();
    assert_eq!(chain.send().code, 0);
    let open = chain.audit("2027-01-20");
    assert!(
        open.out.contains("\"check\": \"custody.open\""),
        "{}",
        open.out
    );
    let some = [FIRST[0], FIRST[1], OTHERS[0]];
    chain.receive("treater", "works/dispatches/TST-D1-1.zip", ARRIVED, &some);
    let audited = chain.audit("2026-11-19");
    assert!(
        audited.out.contains("\"check\": \"custody.serials\""),
        "{}",
        audited.out
    );
    assert!(
        audited.out.contains("missing: LK51-24-008831"),
        "{}",
        audited.out
    );
}

#[test]
fn a_bundle_that_was_changed_is_refused_by_receiver_and_verifier() {
    let chain = Chain::new();
    assert_eq!(chain.send().code, 0);
    let good = chain.bench.path("works/dispatches/TST-D1-1.zip");
    let names: Vec<String> = open_bundle(&good)
        .unwrap()
        .files
        .into_iter()
        .map(|file| file.path)
        .chain(TAG_FILES.map(str::to_owned))
        .collect();
    let consignment = member(&good, "data/consignment.json");
    let other = consignment.replace("TST-D1", "TST-D7");
    assert_ne!(other, consignment);
    // As somebody would who makes the manifests anew but holds no key.
    let hash = |text: &str| to_hex(&sha256(text.as_bytes()));
    let manifest = member(&good, "manifest-sha256.txt");
    let resealed = manifest.replace(&hash(&consignment), &hash(&other));
    let members: Vec<Member> = names
        .iter()
        .filter_map(|name| {
            let text = match name.as_str() {
                "data/consignment.json" => other.clone(),
                "manifest-sha256.txt" => resealed.clone(),
                "tagmanifest-sha256.txt" => member(&good, name)
                    .replace(&hash(&manifest), &hash(&resealed))
                    .lines()
                    .filter(|line| !line.contains("manifest-sha512"))
                    .map(|line| format!("{line}\n"))
                    .collect(),
                name if name.contains("sha512") => return None,
                name => member(&good, name),
            };
            Some(Member::stored(&format!("TST-D1-1/{name}"), text.as_bytes()))
        })
        .collect();
    chain.bench.write("TST-D1-1.zip", zip(&members));
    let verified = chain.bench.run(&["verify", "TST-D1-1.zip"]);
    assert!(
        verified.out.contains("is not what the log was opened with"),
        "{}{}",
        verified.out,
        verified.err
    );
    assert_eq!(verified.code, 5);
    let took = chain.receive("treater", "TST-D1-1.zip", ARRIVED, &[]);
    assert_eq!(took.code, 5, "{}{}", took.out, took.err);
    assert!(
        !chain
            .bench
            .read("treater/ledger/device.jsonl")
            .contains("receipt_opened")
    );
}

#[test]
fn earlier_proofs_must_be_of_the_log_that_was_received_and_the_table_of_this_one() {
    let chain = Chain::new();
    assert_eq!(chain.send().code, 0);
    let bench = &chain.bench;
    let folder = unpack(
        &bench.path("works/dispatches/TST-D1-1.zip"),
        &bench.path("TST-D1-1"),
    );
    let table = bench.read("TST-D1-1/data/custody.csv");
    for serial in [FIRST, OTHERS].concat() {
        let rows: Vec<&str> = table.lines().filter(|row| row.contains(serial)).collect();
        assert_eq!(rows.len(), 2, "came and went: {table}");
        assert!(
            rows[0].contains(",received,") && rows[1].contains(",released,"),
            "{rows:?}"
        );
        // One thing, one name.
        assert_eq!(rows[0].rsplit(',').next(), rows[1].rsplit(',').next());
    }
    // The same job with one other reading: its proofs hold by themselves, but the site received
    // another record.
    bench.change(
        "job/record.jsonl",
        "\"condition\": \"boxes dry",
        "\"condition\": \"crates dry",
    );
    chain.done(&["run", "job", "--out", "other"]);
    chain.done(&["release", "other"]);
    let other = unpack(
        &bench.path("other/HL-2026-117-1.zip"),
        &bench.path("forged"),
    );
    let proof = format!("{}.tlog-proof", FIRST[0]);
    let place = format!("data/earlier/HL-2026-117-1/{proof}");
    let good = fs::read(folder.join(&place)).unwrap();
    let events = bench.read("TST-D1-1/data/epcis.jsonld");
    assert!(events.contains("in_transit"), "{events}");
    let changes: [(&str, Vec<u8>, &str); 5] = [
        (
            &place,
            fs::read(other.join("data/proofs").join(&proof)).unwrap(),
            "its checkpoint covers",
        ),
        (&place, Vec::new(), "earlier proof"),
        (
            &place,
            String::from_utf8(good.clone())
                .unwrap()
                .replacen("index ", "index 1", 1)
                .into_bytes(),
            "earlier proof",
        ),
        (
            "data/custody.csv",
            table
                .replacen("LK51-24-008817", "LK51-24-008871", 1)
                .into_bytes(),
            "not what the log gives",
        ),
        (
            "data/epcis.jsonld",
            events.replacen("in_transit", "destroyed", 1).into_bytes(),
            "not what the log gives",
        ),
    ];
    for (name, bytes, word) in changes {
        let kept = fs::read(folder.join(name)).unwrap();
        fs::write(folder.join(name), bytes).unwrap();
        reseal(&folder);
        let ran = bench.run(&["verify", "TST-D1-1"]);
        assert_eq!(ran.code, 5, "{name}: {}{}", ran.out, ran.err);
        let shown = flat(&ran.out);
        assert!(shown.contains(word), "{name}, {word}: {}", ran.out);
        fs::write(folder.join(name), kept).unwrap();
    }
    // A proof under a name of no module of the load.
    let stray = folder.join("data/earlier/HL-2026-117-1/STRANGER.tlog-proof");
    fs::write(&stray, &good).unwrap();
    reseal(&folder);
    let ran = bench.run(&["verify", "TST-D1-1"]);
    assert!(
        flat(&ran.out).contains("no module of the load came that way"),
        "{}",
        ran.out
    );
    fs::remove_file(stray).unwrap();
    reseal(&folder);
    chain.done(&["verify", "TST-D1-1"]);
}

#[test]
fn a_certificate_comes_back_and_is_matched_serial_by_serial() {
    let chain = Chain::new();
    assert_eq!(chain.send().code, 0);
    let bench = &chain.bench;
    let before = bench.read("works/ledger/device.jsonl");
    bench.write("letter.pdf", "%PDF-1.4 a letter");
    let list = |name: &str, serials: &[&str]| {
        bench.write(
            name,
            format!(
                "Serial No.,kg\n{}",
                serials
                    .iter()
                    .map(|one| format!("{one},49\n"))
                    .collect::<String>()
            ),
        );
    };
    let take = |list: &str, number: &str, more: &[&str]| {
        let what = [
            "stock",
            "certificate",
            list,
            "--number",
            number,
            "--treater",
            "Furnace Ltd",
        ];
        let pen = [
            "--register",
            "works",
            "--by",
            "ada",
            "--at",
            "2026-11-20T09:00:00+00:00",
        ];
        bench.run(&[&what[..], &pen, more].concat())
    };
    // Nothing is written of what proves nothing.
    list("bulk.csv", &[]);
    let ran = take("bulk.csv", "C-1", &[]);
    assert_eq!(ran.code, 4, "{}{}", ran.out, ran.err);
    assert!(ran.err.contains("it names no serial"), "{}", ran.err);
    list("twice.csv", &[FIRST[0], FIRST[0]]);
    let ran = take("twice.csv", "C-1", &[]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(
        flat(&ran.out).contains("LK51-24-008817 twice"),
        "{}",
        ran.out
    );
    assert_eq!(take("twice.csv", " ", &[]).code, 1);
    assert_eq!(before, bench.read("works/ledger/device.jsonl"));

    list("list.csv", &[FIRST[0], "lk51-24-008820", OTHERS[0]]);
    let more = [
        "--document",
        "letter.pdf",
        "--issued-on",
        "2026-11-19",
        "--treatment",
        "shredded wet",
    ];
    let ran = take("list.csv", "C-1", &more);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        flat(&ran.out).contains("3 serials, 3 of them left this site"),
        "{}",
        ran.out
    );
    assert!(
        flat(&ran.out).contains("LK51-24-008831, left 2026-11-18"),
        "{}",
        ran.out
    );
    // Once; and what it names beside is kept and said.
    assert_eq!(take("list.csv", "C-1", &[]).code, 1);
    list("more.csv", &[OTHERS[1], "X-77", FIRST[0]]);
    let ran = take("more.csv", "C-2", &[]);
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert!(
        flat(&ran.out).contains("never sent from here") && flat(&ran.out).contains("X-77"),
        "{}",
        ran.out
    );
    assert!(
        flat(&ran.out).contains("named by another certificate before"),
        "{}",
        ran.out
    );
    // The file of a module leads to it, and a changed file shows.
    let ran = bench.run(&[
        "audit",
        "out",
        "works",
        "--module",
        FIRST[0],
        "--on",
        "2026-12-20",
    ]);
    assert!(
        ran.out
            .contains("C-1 of 2026-11-19 by Furnace Ltd, shredded wet"),
        "{}",
        ran.out
    );
    let ran = bench.run(&["register", "verify", "works"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let letter = fs::read_dir(bench.path("works/photos")).unwrap().flatten();
    let letter = letter
        .map(|one| one.path())
        .find(|one| one.to_string_lossy().ends_with("letter.pdf"));
    fs::write(letter.unwrap(), "another letter").unwrap();
    let ran = bench.run(&["register", "verify", "works"]);
    assert_ne!(ran.code, 0);
    let shown = flat(&ran.out);
    assert!(
        shown.contains("certificate `") && !shown.contains("photograph `"),
        "{}",
        ran.out
    );
}

#[test]
fn a_cut_between_the_entry_and_the_bundle_loses_neither() {
    let undisturbed = Chain::new();
    assert_eq!(undisturbed.send().code, 0);
    let bundle = "works/dispatches/TST-D1-1.zip";
    let whole = fs::read(undisturbed.bench.path(bundle)).unwrap();
    let pen = ["--register", "works", "--by", "ada"];
    let rewrite = [&["stock", "dispatch", "--rewrite", "1"][..], &pen].concat();

    // The folder for the bundle cannot be made: the entry stands, and what is missing can be made
    // from it.
    let chain = Chain::new();
    chain.bench.write("works/dispatches", "in the way");
    let ran = chain.send();
    assert_ne!(ran.code, 0, "{}", ran.out);
    assert!(
        chain
            .bench
            .read("works/ledger/device.jsonl")
            .contains("\"dispatched\"")
    );
    fs::remove_file(chain.bench.path("works/dispatches")).unwrap();
    chain.done(&rewrite);
    assert_eq!(fs::read(chain.bench.path(bundle)).unwrap(), whole);

    // Killed at any time: either nothing was sent, or everything can be made again.
    let chain = Chain::new();
    let before = chain.bench.read("works/ledger/device.jsonl");
    let checkpoint = chain.bench.read("works/ledger/device.checkpoint");
    for wait_us in [0, 500, 1_500, 4_000, 9_000, 20_000, 45_000, 90_000] {
        chain.bench.write("works/ledger/device.jsonl", &before);
        chain
            .bench
            .write("works/ledger/device.checkpoint", &checkpoint);
        let _ = fs::remove_dir_all(chain.bench.path("works/dispatches"));
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_packdown"))
            .args(SENDING)
            .current_dir(chain.bench.path(""))
            .env("PACKDOWN_HOME", chain.bench.path("home"))
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_micros(wait_us));
        let _ = child.kill();
        child.wait().unwrap();
        let after = chain.bench.read("works/ledger/device.jsonl");
        assert!(after.starts_with(&before));
        let sent = after
            .lines()
            .last()
            .is_some_and(|line| after.ends_with('\n') && line.contains("\"dispatched\""));
        let ran = if sent {
            chain.bench.run(&rewrite)
        } else {
            chain.send()
        };
        assert_eq!(ran.code, 0, "{wait_us}: {}{}", ran.out, ran.err);
        assert_eq!(
            fs::read(chain.bench.path(bundle)).unwrap(),
            whole,
            "{wait_us}"
        );
    }
}

/// An answer without its line ends.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text of one member of a bundle.
fn member(path: &Path, name: &str) -> String {
    let bytes = file_in(path, name).unwrap();
    String::from_utf8(bytes.unwrap_or_else(|| panic!("{name} is not there"))).unwrap()
}
