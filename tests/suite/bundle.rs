//! Handing a load over: what goes into the ledger and the bundle, what is refused, how tampering
//! shows, and that a cut loses nothing.

use std::fs;
use std::path::Path;

use packdown::custody::Handover;
use packdown::ledger::{DeviceKey, Note, leaf_hash, to_hex};
use packdown::store::bag::open_bundle;
use serde_json::Value;

use crate::program::{Bench, Ran};

/// The lawful job, played to `out`.
fn played() -> Bench {
    let bench = Bench::with_lawful_job();
    play(&bench);
    bench
}

fn play(bench: &Bench) {
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

/// The lawful job without the entries of loading and signing over.
fn unloaded() -> Bench {
    let bench = Bench::with_lawful_job();
    let record = bench.read("job/record.jsonl");
    let kept = record
        .lines()
        .filter(|line| !line.contains("\"Z05\"") && !line.contains("\"Z06\""));
    let kept: String = kept.map(|line| format!("{line}\n")).collect();
    bench.write("job/record.jsonl", kept);
    play(&bench);
    bench
}

fn release(bench: &Bench, more: &[&str]) -> Ran {
    bench.run(&[&["release", "out"], more].concat())
}

const BUNDLE: &str = "out/harbour-lane-7-1.zip";

/// What is to be said where the record says nothing.
const ALL: [&str; 12] = [
    "--by",
    "Nora Quill",
    "--taken-by",
    "Tom Garrow",
    "--place",
    "kerb",
    "--count",
    "4",
    "--condition",
    "dry",
    "--temperature",
    "18.3",
];

#[test]
fn a_load_is_handed_over_from_what_the_record_says() {
    let bench = played();
    let before = bench.read("out/ledger/device.jsonl");
    let ran = release(&bench, &[]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let after = bench.read("out/ledger/device.jsonl");
    assert!(after.starts_with(&before));
    let line = after.lines().last().unwrap();
    let entry: Value = serde_json::from_str(line).unwrap();
    assert_eq!(entry["type"], "released");
    let handover: Handover = serde_json::from_value(entry["body"].clone()).unwrap();
    assert_eq!(handover.released_by, "Nora Quill");
    assert_eq!(handover.taken_by, "Tom Garrow");
    assert_eq!(handover.to.name, "Tidewater Battery Recovery");
    assert_eq!(handover.packages.len(), 4);
    assert_eq!(handover.modules().count(), 4);
    assert_eq!(handover.warmest_c.unwrap().to_string(), "18.3");
    let seals: Vec<_> = handover
        .packages
        .iter()
        .filter_map(|p| p.seal.clone())
        .collect();
    assert_eq!(seals, ["S-40117", "S-40118", "S-40119", "S-40120"]);

    let bundle = open_bundle(&bench.path(BUNDLE)).unwrap();
    assert_eq!(bundle.handover, handover);
    assert_eq!(
        bundle.released.leaf_hash,
        to_hex(&leaf_hash(line.as_bytes()))
    );
    // Each module names an entry that is in the same log.
    for (_, module) in handover.modules() {
        let leaf = bundle.job_log.leaf(module.last_entry.seq).unwrap();
        assert_eq!(module.last_entry.hash(), Some(leaf));
    }
    let ran = bench.run(&["verify", BUNDLE]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    assert!(ran.out.contains("The bundle holds"), "{}", ran.out);
    let ran = bench.run(&["verify", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
}

#[test]
fn the_same_job_gives_the_same_bundle_and_it_can_be_written_again() {
    let (one, two) = (played(), played());
    assert_eq!(release(&one, &[]).code, 0);
    assert_eq!(release(&two, &[]).code, 0);
    let bytes = fs::read(one.path(BUNDLE)).unwrap();
    assert_eq!(bytes, fs::read(two.path(BUNDLE)).unwrap());
    // Also when the ledger has gone on since.
    let ran = one.run(&[
        "cosign",
        BUNDLE,
        "--out",
        "note",
        "--at",
        "2026-11-25T10:00:00+00:00",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(release(&one, &["--cosigned", "note"]).code, 0);
    fs::remove_file(one.path(BUNDLE)).unwrap();
    let ran = release(&one, &["--rewrite", "1"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert_eq!(bytes, fs::read(one.path(BUNDLE)).unwrap());
    let ran = release(&one, &["--rewrite", "2"]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.err.contains("one that stands in the ledger"),
        "{}",
        ran.err
    );
}

#[test]
fn what_the_record_does_not_say_is_asked_for_and_can_be_said() {
    let bench = unloaded();
    let before = bench.read("out/ledger/device.jsonl");
    let ran = release(&bench, &[]);
    assert_eq!(ran.code, 3, "{}", ran.out);
    for what in [
        "who hands over: not said",
        "who takes over: not said",
        "where it is handed over: not said",
        "packages counted at the hand-over: not said",
        "condition of package P1: not said",
        "temperature of the packages: not read",
    ] {
        assert!(ran.out.contains(what), "{what}: {}", ran.out);
    }
    assert_eq!(bench.read("out/ledger/device.jsonl"), before);
    assert!(!bench.path(BUNDLE).exists());
    let own = [
        "--kept",
        "in_sight",
        "--remarks",
        "rain",
        "--condition",
        "P2=one corner wet",
    ];
    let ran = release(&bench, &[&ALL[..], &own].concat());
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let bundle = open_bundle(&bench.path(BUNDLE)).unwrap();
    let conditions: Vec<&str> = bundle
        .handover
        .packages
        .iter()
        .map(|p| p.condition.as_str())
        .collect();
    assert_eq!(conditions, ["dry", "one corner wet", "dry", "dry"]);
    assert_eq!(bundle.handover.kept.unwrap().name(), "in_sight");
    assert_eq!(bundle.handover.remarks.as_deref(), Some("rain"));
}

#[track_caller]
fn refused(bench: &Bench, more: &[&str], code: i32, words: &[&str]) {
    let ledger = fs::read(bench.path("out/ledger/device.jsonl")).unwrap();
    let ran = release(bench, more);
    assert_eq!(ran.code, code, "{}{}", ran.out, ran.err);
    for word in words {
        let said = ran.out.clone() + &ran.err;
        assert!(said.contains(word), "{word}: {said}");
    }
    assert_eq!(
        fs::read(bench.path("out/ledger/device.jsonl")).unwrap(),
        ledger
    );
    assert!(!bench.path(BUNDLE).exists());
}

#[test]
fn what_contradicts_the_record_is_refused() {
    let bench = played();
    refused(
        &bench,
        &["--count", "5"],
        1,
        &["hand-over: 5", "limit: 4, as the record packs them"],
    );
    refused(
        &bench,
        &["--seal", "P1=S-1"],
        1,
        &["seal on package P1: S-1", "S-40117, as it was sealed"],
    );
    refused(
        &bench,
        &["--taken-by", "nora quill"],
        1,
        &["two different people"],
    );
    refused(
        &bench,
        &["--to", "Somebody Else"],
        3,
        &["address of Somebody Else: not said"],
    );
    refused(&bench, &["--package", "P9"], 1, &["package: P9"]);
    refused(&bench, &["--kept", "on_the_dock"], 2, &["on_the_dock"]);
    refused(
        &bench,
        &["--at", "2199-01-01T00:00:00Z"],
        2,
        &["ahead of this device's clock"],
    );
    refused(&bench, &["--temperature", "warm"], 2, &["--temperature"]);
    // Two packages leave now: the count of the whole load says nothing about them.
    refused(
        &bench,
        &["--package", "P1", "--package", "P2"],
        1,
        &["limit: 2, as the record packs"],
    );
}

#[test]
fn a_seal_missing_or_read_otherwise_is_refused() {
    let bench = Bench::with_lawful_job();
    bench.change(
        "job/record.jsonl",
        "\"S-40117\", \"S-40118\"",
        "\"S-40171\", \"S-40118\"",
    );
    play(&bench);
    refused(
        &bench,
        &[],
        1,
        &[
            "seals read at the vehicle: S-40118, S-40119, S-40120,",
            "S-40171",
        ],
    );
}

#[test]
fn a_job_that_is_not_done_and_papers_that_are_drafts_are_refused() {
    let bench = Bench::with_lawful_job();
    let record = bench.read("job/record.jsonl");
    let kept: Vec<&str> = record.lines().take(60).collect();
    bench.write("job/record.jsonl", kept.join("\n") + "\n");
    let ran = bench.run(&["run", "job", "--out", "out", "--draft"]);
    assert!(ran.code <= 1, "{}", ran.err);
    let words = ["papers of the load: drafts", "Z02 Count"];
    refused(&bench, &ALL, 1, &words);
}

#[test]
fn a_leg_that_is_forbidden_stops_the_load() {
    // Lithium batteries in cargo hold of passenger aircraft: forbidden since 2016 (ICAO Technical
    // Instructions, special provision A154 and packing instruction 965, as encoded in the rules).
    let bench = Bench::with_lawful_job();
    bench.change(
        "job/job.json",
        "\"route\": [",
        "\"route\": [{\"regime\": \"air\", \"mode\": \"passenger_aircraft\"},",
    );
    play(&bench);
    refused(&bench, &[], 1, &["on leg 1", "forbidden"]);
}

#[test]
fn a_load_in_two_vans_is_two_hand_overs_and_none_leaves_twice() {
    let bench = unloaded();
    let said = |count: &'static str| {
        let mut said = ALL.to_vec();
        said[7] = count;
        said
    };
    let ran = release(&bench, &[&said("1")[..], &["--package", "P3"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.out);
    let ran = release(
        &bench,
        &[&said("3")[..], &["--to", "Tidewater Battery Recovery"]].concat(),
    );
    assert_eq!(ran.code, 0, "{}", ran.out);
    let second = open_bundle(&bench.path("out/harbour-lane-7-2.zip")).unwrap();
    let ids: Vec<&str> = second
        .handover
        .packages
        .iter()
        .map(|p| p.id.as_str())
        .collect();
    assert_eq!((second.handover.number, ids), (2, vec!["P1", "P2", "P4"]));
    let ran = release(&bench, &said("4"));
    assert_eq!(ran.code, 1);
    assert!(
        ran.out.contains("P1, P2, P3, P4 left before"),
        "{}",
        ran.out
    );
    let ran = release(
        &bench,
        &[&said("4")[..], &["--again", "the van broke down"]].concat(),
    );
    assert_eq!(ran.code, 0, "{}", ran.out);
    let third = open_bundle(&bench.path("out/harbour-lane-7-3.zip")).unwrap();
    assert_eq!(
        third.handover.remarks.as_deref(),
        Some("handed over again: the van broke down")
    );
    // The custody table still names the right leaf for every row.
    assert_eq!(bench.run(&["verify", "out"]).code, 0);
}

#[test]
fn a_paper_changed_after_its_issue_does_not_go_along() {
    let bench = played();
    bench.change("out/manifest.html", "Tidewater", "Tidewasser");
    refused(
        &bench,
        &[],
        1,
        &["paper manifest.html: changed since it was issued"],
    );
}

#[test]
fn every_changed_file_of_a_bundle_is_named() {
    let bench = played();
    assert_eq!(release(&bench, &[]).code, 0);
    let folder = unpacked(&bench);
    let names = files_below(&folder);
    assert!(names.len() > 20, "{names:?}");
    for name in &names {
        let path = folder.join(name);
        let good = fs::read(&path).unwrap();
        let mut bad = good.clone();
        let at = bad.len() / 2;
        bad[at] ^= 1;
        fs::write(&path, &bad).unwrap();
        let ran = bench.run(&["verify", "un"]);
        assert_eq!(ran.code, 5, "{name}: {}{}", ran.out, ran.err);
        fs::remove_file(&path).unwrap();
        // Without any one file it does not hold either, but for one of the two tag manifests.
        let ran = bench.run(&["verify", "un"]);
        let lawful = name.starts_with("tagmanifest-") || name == "bag-info.txt";
        assert!(ran.code != 0 || lawful, "{name}: {}", ran.out);
        fs::write(&path, &good).unwrap();
    }
    fs::write(folder.join("data/papers/extra.txt"), "x").unwrap();
    let ran = bench.run(&["verify", "un"]);
    assert_eq!(ran.code, 5);
    assert!(
        ran.out.contains("does not list `data/papers/extra.txt`"),
        "{}",
        ran.out
    );
}

/// The bundle unpacked to `un` by copying what the reader of bundles gives; the paths are known
/// to be harmless then.
fn unpacked(bench: &Bench) -> std::path::PathBuf {
    unpack(&bench.path(BUNDLE), &bench.path("un"))
}

pub(crate) fn unpack(bundle: &Path, folder: &Path) -> std::path::PathBuf {
    let zip = fs::read(bundle).unwrap();
    let mut at = 0;
    while zip[at..].starts_with(b"PK\x03\x04") {
        let u16 =
            |from: usize| usize::from(u16::from_le_bytes([zip[at + from], zip[at + from + 1]]));
        let u32 = |from: usize| u16(from) | u16(from + 2) << 16;
        let name = std::str::from_utf8(&zip[at + 30..at + 30 + u16(26)]).unwrap();
        let data = at + 30 + u16(26) + u16(28);
        let packed = &zip[data..data + u32(18)];
        let bytes = match u16(8) {
            0 => packed.to_vec(),
            _ => miniz_oxide::inflate::decompress_to_vec(packed).unwrap(),
        };
        let path = folder.join(name.split_once('/').unwrap().1);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
        at = data + u32(18);
    }
    folder.to_path_buf()
}

fn files_below(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    crate::tidy::walk(folder, &mut found);
    let mut names: Vec<String> = found
        .iter()
        .map(|path| {
            path.strip_prefix(folder)
                .unwrap()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    names
}

#[test]
fn a_bundle_made_whole_again_around_a_change_is_still_found() {
    // Somebody changes the hand-over and makes every hash of the bag anew: the log tells.
    let bench = played();
    assert_eq!(release(&bench, &[]).code, 0);
    let folder = unpacked(&bench);
    for (file, old, new, word) in [
        (
            "data/handover.json",
            "Tom Garrow",
            "Tim Garrow",
            "not what the log says",
        ),
        ("data/job.json", "Tidewater", "Tidewhater", "not the plan"),
        (
            "data/papers/sheets.csv",
            "sound",
            "souND",
            "not the one handed over",
        ),
        // No signature covers these: they are made from the log again.
        (
            "data/custody.csv",
            "HL5-2207-0418",
            "HL5-2207-0481",
            "not what the log gives",
        ),
        (
            "data/datapackage.json",
            "custody",
            "costody",
            "not what the log gives",
        ),
        (
            "data/epcis.jsonld",
            "2026-11-24T",
            "2026-11-23T",
            "not what the log gives",
        ),
        (
            "data/rules.json",
            "dead",
            "deaf",
            "not what the job was opened with",
        ),
    ] {
        let path = folder.join(file);
        let good = fs::read_to_string(&path).unwrap();
        assert!(good.contains(old), "{file}");
        fs::write(&path, good.replacen(old, new, 1)).unwrap();
        reseal(&folder);
        let ran = bench.run(&["verify", "un"]);
        assert_eq!(ran.code, 5, "{file}: {}", ran.out);
        assert!(ran.out.contains(word), "{file}: {}", ran.out);
        assert!(!ran.out.contains("names"), "{file}: {}", ran.out);
        fs::write(&path, good).unwrap();
    }
    reseal(&folder);
    let ran = bench.run(&["verify", "un"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

/// Writes manifests anew, as somebody would who wants a change to pass.
pub(crate) fn reseal(folder: &Path) {
    use packdown::ledger::{sha256, sha512};
    let names = files_below(folder);
    let of = |only: &dyn Fn(&str) -> bool, long: bool| -> String {
        let line = |name: &String| {
            let bytes = fs::read(folder.join(name)).unwrap();
            let hash = if long {
                to_hex(&sha512(&bytes))
            } else {
                to_hex(&sha256(&bytes))
            };
            format!("{hash}  {name}\n")
        };
        names.iter().filter(|name| only(name)).map(line).collect()
    };
    let sum: u64 = names
        .iter()
        .filter(|name| name.starts_with("data/"))
        .map(|name| fs::metadata(folder.join(name)).unwrap().len())
        .sum();
    let info = fs::read_to_string(folder.join("bag-info.txt")).unwrap();
    let count = names
        .iter()
        .filter(|name| name.starts_with("data/"))
        .count();
    let kept = info
        .lines()
        .filter(|line| !line.starts_with("Payload-Oxum"));
    let info: String = kept.map(|line| format!("{line}\n")).collect();
    fs::write(
        folder.join("bag-info.txt"),
        format!("{info}Payload-Oxum: {sum}.{count}\n"),
    )
    .unwrap();
    for (kind, long) in [("sha256", false), ("sha512", true)] {
        let payload = of(&|name| name.starts_with("data/"), long);
        fs::write(folder.join(format!("manifest-{kind}.txt")), payload).unwrap();
    }
    for (kind, long) in [("sha256", false), ("sha512", true)] {
        let tags = of(
            &|name| !name.starts_with("data/") && !name.starts_with("tagmanifest"),
            long,
        );
        fs::write(folder.join(format!("tagmanifest-{kind}.txt")), tags).unwrap();
    }
}

#[test]
fn a_cosignature_goes_there_and_back_and_only_the_receivers_own_is_taken() {
    let bench = real();
    assert_eq!(release(&bench, &[]).code, 0);
    let sender = bench.run(&["key", "show"]);
    let sender = word_after(&sender.out, "Public");
    // The receiver is another device, which does not know the sender's key.
    let home = bench.path("home");
    fs::rename(&home, bench.path("sender")).unwrap();
    let ran = bench.run(&["verify", BUNDLE]);
    assert_eq!(ran.code, 5, "{}", ran.out);
    assert!(ran.out.contains("NOT TRUSTED HERE"), "{}", ran.out);
    assert!(
        ran.out.replace("\n", " ").contains("add --trust"),
        "{}",
        ran.out
    );
    assert_eq!(bench.run(&["verify", BUNDLE, "--trust", &sender]).code, 0);
    let ran = bench.run(&["cosign", BUNDLE, "--out", "note"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("nothing of this log"), "{}", ran.out);
    let receiver = word_after(&bench.run(&["key", "show"]).out, "Public");
    // A second time: the same state, seen before.
    assert!(
        bench
            .run(&["cosign", BUNDLE, "--out", "note"])
            .out
            .contains("and these continue")
    );
    fs::rename(&home, bench.path("receiver")).unwrap();
    fs::rename(bench.path("sender"), &home).unwrap();

    let ran = release(&bench, &["--cosigned", "note"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(ran.err.contains("--trust"), "{}", ran.err);
    let taken = ["--cosigned", "note", "--trust", &receiver];
    let ran = release(&bench, &taken);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("Kept in the ledger as entry"),
        "{}",
        ran.out
    );
    let line = bench.read("out/ledger/device.jsonl");
    let entry: Value = serde_json::from_str(line.lines().last().unwrap()).unwrap();
    assert_eq!(entry["type"], "cosigned");
    assert_eq!(entry["body"]["handover"], 1);
    assert!(release(&bench, &taken).out.contains("already"));
    assert_eq!(bench.run(&["verify", "out"]).code, 0);

    // One letter of the signature changed; a note of another job.
    let note = bench.read("note");
    let mut bad = note.clone().into_bytes();
    let at = bad.len() - 6;
    bad[at] = if bad[at] == b'A' { b'B' } else { b'A' };
    bench.write("bad", bad);
    let ran = release(&bench, &["--cosigned", "bad", "--trust", &receiver]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(ran.err.contains("it is false"), "{}", ran.err);
    let mut other = Note::parse(&note.replacen("\n9", "\n8", 1)).unwrap();
    other.sign(&DeviceKey::demo());
    bench.write("other", other.to_string());
    let ran = release(&bench, &["--cosigned", "other", "--trust", &receiver]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.err.contains("the beginning of this job's ledger"),
        "{}",
        ran.err
    );
}

#[test]
fn who_takes_a_load_is_named_and_shown_able() {
    let bench = played();
    assert_eq!(release(&bench, &[]).code, 0);
    fs::create_dir(bench.path("yard")).unwrap();
    bench.write("yard/site.json", crate::dock::site_json("eu"));
    let cosign = |more: &[&str]| {
        let at = [
            "cosign",
            BUNDLE,
            "--out",
            "note",
            "--at",
            "2026-11-25T10:00:00+00:00",
        ];
        bench.run(&[&at, more].concat())
    };
    // Somebody of the site who may not receive, and nobody at all: nothing is signed.
    for (who, word) in [
        ("cleo", "cleo: warehouse receiver until 2026-01-31"),
        ("zoe", "`zoe` is nobody of this site"),
    ] {
        let ran = cosign(&["--by", who, "--site", "yard"]);
        assert_eq!(ran.code, 1, "{who}: {}{}", ran.out, ran.err);
        assert!(ran.err.contains("who may take a load over"), "{}", ran.err);
        assert!(ran.err.contains(word), "{}", ran.err);
        assert!(!bench.path("note").exists());
    }
    assert_eq!(cosign(&["--site", "yard"]).code, 2);
    assert_eq!(cosign(&["--by", "Ada\u{7}"]).code, 1);
    let ran = cosign(&["--by", "ada", "--site", "yard/site.json"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("warehouse receiver until"), "{}", ran.out);
    let good = bench.read("note");
    // The statement is the receiver's, word for word.
    bench.write("note", good.replace("warehouse receiver", "driver"));
    let ran = release(&bench, &["--cosigned", "note"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(
        ran.err.contains("statement of who takes the load"),
        "{}",
        ran.err
    );
    bench.write("note", good);
    let ran = release(&bench, &["--cosigned", "note"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("Taken over by"), "{}", ran.out);
    let line = bench.read("out/ledger/device.jsonl");
    let entry: Value = serde_json::from_str(line.lines().last().unwrap()).unwrap();
    let competence = entry["body"]["taken"]["competence"].as_str().unwrap();
    assert!(
        competence.starts_with("warehouse receiver until"),
        "{entry}"
    );
    // Without a site a name is a name, and that is said.
    let ran = cosign(&["--by", "Tom Garrow"]);
    assert!(
        ran.out.contains("nobody looked whether that person may"),
        "{}",
        ran.out
    );
    assert!(cosign(&[]).out.contains("nobody was named"));
}

/// The lawful job as a real one: signed with the device's own key.
fn real() -> Bench {
    let bench = Bench::with_lawful_job();
    bench.change("job/job.json", "\"demo\": true", "\"demo\": false");
    play(&bench);
    bench
}

fn word_after(text: &str, lead: &str) -> String {
    let line = text.lines().find(|line| line.starts_with(lead)).unwrap();
    line.trim_start_matches(lead).trim().to_owned()
}

#[test]
fn a_forked_or_older_log_is_not_cosigned() {
    let bench = real();
    assert_eq!(release(&bench, &[]).code, 0);
    fs::copy(bench.path(BUNDLE), bench.path("first.zip")).unwrap();
    // The same device goes on behind the hand-over, and hands over again.
    let ran = release(&bench, &["--again", "came back"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    let ran = bench.run(&["cosign", "out/harbour-lane-7-2.zip", "--out", "note"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let ran = bench.run(&["cosign", "first.zip", "--out", "note-1"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(
        ran.err.contains("of which this device has seen"),
        "{}",
        ran.err
    );
    // The giver begins anew with another record under the same name.
    fs::remove_dir_all(bench.path("out")).unwrap();
    bench.change("job/record.jsonl", "18.3", "17.3");
    play(&bench);
    assert_eq!(release(&bench, &[]).code, 0);
    let ran = release(&bench, &["--again", "came back"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    let ran = bench.run(&["cosign", "out/harbour-lane-7-2.zip", "--out", "note-2"]);
    assert_eq!(ran.code, 5, "{}", ran.out);
    assert!(ran.err.contains("FORK"), "{}", ran.err);
    assert!(!bench.path("note-1").exists() && !bench.path("note-2").exists());
}

#[test]
fn a_hand_over_that_is_cut_off_leaves_a_job_that_reads_and_can_go_on() {
    for wait_us in [0, 300, 700, 1_500, 3_000, 6_000, 12_000, 25_000] {
        let bench = played();
        let before = bench.read("out/ledger/device.jsonl");
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_packdown"))
            .args(["release", "out"])
            .current_dir(bench.path(""))
            .env("PACKDOWN_HOME", bench.path("home"))
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_micros(wait_us));
        let _ = child.kill();
        child.wait().unwrap();
        assert!(bench.read("out/ledger/device.jsonl").starts_with(&before));
        goes_on(&bench);
    }
}

#[test]
fn a_ledger_cut_at_every_point_of_the_hand_over_goes_on() {
    // Every state that a cut can leave: the entry torn at any byte, with the checkpoint from
    // before or after; a bundle half written beside its place.
    let bench = played();
    let before = bench.read("out/ledger/device.jsonl");
    let checkpoint = bench.read("out/ledger/device.checkpoint");
    assert_eq!(release(&bench, &[]).code, 0);
    let after = bench.read("out/ledger/device.jsonl");
    let later = bench.read("out/ledger/device.checkpoint");
    let whole = fs::read(bench.path(BUNDLE)).unwrap();
    let step = (after.len() - before.len()) / 9;
    for cut in (before.len()..=after.len())
        .step_by(step)
        .chain([after.len()])
    {
        fs::remove_file(bench.path(BUNDLE)).unwrap();
        bench.write("out/ledger/device.jsonl", &after.as_bytes()[..cut]);
        let signed = if cut == after.len() {
            &later
        } else {
            &checkpoint
        };
        bench.write("out/ledger/device.checkpoint", signed);
        bench.write(
            "out/.harbour-lane-7-1.zip.partial",
            &whole[..whole.len() / 2],
        );
        goes_on(&bench);
        assert_eq!(fs::read(bench.path(BUNDLE)).unwrap(), whole, "cut at {cut}");
    }
}

/// Whatever was left: the job reads, and the hand-over comes to its end.
fn goes_on(bench: &Bench) {
    let ran = bench.run(&["verify", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    let released = bench.read("out/ledger/device.jsonl").ends_with('\n')
        && bench
            .read("out/ledger/device.jsonl")
            .contains("\"type\":\"released\"");
    let ran = if released {
        release(bench, &["--rewrite", "1"])
    } else {
        release(bench, &[])
    };
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let ran = bench.run(&["verify", BUNDLE]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

#[test]
fn somebody_untrained_does_not_sign_a_load_away() {
    let bench = Bench::with_lawful_job();
    bench.change(
        "job/job.json",
        "\"people\": [",
        r#""people": [ { "id": "ola", "name": "Ola Past", "competences": [
            { "role": "driver", "covers": "vans", "expires_on": "2025-12-31" } ] },
            { "id": "ewa", "name": "Ewa Amper", "competences": [
            { "role": "qualified_electrical_worker", "covers": "stores", "expires_on": "2099-12-31" }
            ] },"#,
    );
    play(&bench);
    refused(
        &bench,
        &["--by", "Ola Past"],
        1,
        &["who hands over: Ola Past: driver until 2025-12-31"],
    );
    // In date for other work is not trained for this: ADR 1.3.1, 49 CFR 172.702.
    refused(
        &bench,
        &["--by", "Ewa Amper"],
        1,
        &[
            "Ewa Amper: never shown able for dangerous goods",
            "packer or compliance officer or driver in",
        ],
    );
    refused(
        &bench,
        &["--by", "Somebody Else"],
        1,
        &["who hands over: Somebody Else is nobody of the plan"],
    );
    // In the same words as on the plan, by name or by id, whatever the case.
    assert_eq!(release(&bench, &["--by", "nora quill"]).code, 0);
}

#[test]
fn two_people_cannot_hand_over_at_once() {
    let bench = played();
    let lock = fs::File::options()
        .write(true)
        .open(bench.path("out/ledger/.lock"))
        .or_else(|_| fs::File::create(bench.path("out/ledger/.lock")))
        .unwrap();
    lock.lock().unwrap();
    let ran = release(&bench, &[]);
    assert_eq!(ran.code, 6, "{}", ran.err);
    lock.unlock().unwrap();
    assert_eq!(release(&bench, &[]).code, 0);
}

#[test]
fn photographs_go_along_and_a_changed_one_stops_the_load() {
    let bench = Bench::with_lawful_job();
    let hash = "d3d48cdde0e2d2279aed3cbdf34b9480c4c2702aaa6649e2e0b9e6513e88a361";
    let plate = to_hex(&packdown::ledger::sha256(b"the plate of m1"));
    bench.change("job/record.jsonl", hash, &plate);
    fs::create_dir(bench.path("job/photos")).unwrap();
    bench.write("job/photos/m1-plate.jpg", "the plate of m1");
    play(&bench);
    // What the record names goes along with it.
    assert_eq!(bench.read("out/photos/m1-plate.jpg"), "the plate of m1");
    bench.write("out/photos/m1-plate.jpg", "another plate");
    refused(
        &bench,
        &[],
        1,
        &["photograph m1-plate.jpg: changed since it was taken up"],
    );
    bench.write("out/photos/m1-plate.jpg", "the plate of m1");
    assert_eq!(release(&bench, &[]).code, 0);
    let bundle = open_bundle(&bench.path(BUNDLE)).unwrap();
    let photo = "data/photos/m1-plate.jpg";
    let found = bundle.files.iter().find(|file| file.path == photo);
    assert_eq!(found.map(|file| file.sha256.as_str()), Some(plate.as_str()));
    let ran = bench.run(&["verify", BUNDLE]);
    assert!(
        ran.out
            .contains("3 photographs of the log are not in the bundle"),
        "{}",
        ran.out
    );
}

#[test]
fn a_hand_over_that_the_record_does_not_know_stands_in_the_custody_table() {
    let bench = unloaded();
    assert_eq!(release(&bench, &ALL).code, 0);
    let folder = unpacked(&bench);
    let table = fs::read_to_string(folder.join("data/custody.csv")).unwrap();
    let released: Vec<&str> = table
        .lines()
        .filter(|line| line.contains(",released,"))
        .collect();
    assert_eq!(released.len(), 8, "four modules and four packages: {table}");
    let bundle = open_bundle(&bench.path(BUNDLE)).unwrap();
    assert!(
        released
            .iter()
            .all(|line| line.contains(&bundle.released.leaf_hash))
    );
    // What the record knows itself is not said twice.
    let bench = played();
    assert_eq!(release(&bench, &[]).code, 0);
    let folder = unpacked(&bench);
    let table = fs::read_to_string(folder.join("data/custody.csv")).unwrap();
    assert_eq!(
        table
            .lines()
            .filter(|line| line.contains(",released,"))
            .count(),
        8
    );
    assert!(bench.run(&["show", "out"]).out.contains("Handed over:"));
}

#[test]
fn another_key_in_the_bundle_is_found() {
    let bench = played();
    assert_eq!(release(&bench, &[]).code, 0);
    let folder = unpacked(&bench);
    let names = files_below(&folder);
    let vkey = names.iter().find(|name| name.ends_with(".vkey")).unwrap();
    let other = DeviceKey::from_seed(packdown::ledger::DEMO_ORIGIN, &[9; 32]).unwrap();
    for text in [format!("{}\n", other.verifier()), "no key".to_owned()] {
        fs::write(folder.join(vkey), text).unwrap();
        reseal(&folder);
        let ran = bench.run(&["verify", "un"]);
        assert_eq!(ran.code, 5, "{}", ran.out);
        assert!(ran.out.contains("key that"), "{}", ran.out);
    }
}

#[test]
fn a_printed_manifest_is_a_witness_against_a_rewritten_ledger() {
    let bench = played();
    assert_eq!(release(&bench, &[]).code, 0);
    let page = bench.read("out/manifest.html");
    let (size, root) = page
        .split_once(" entries, root ")
        .map(|(before, after)| (before.rsplit(' ').next().unwrap(), after))
        .unwrap();
    let root: String = root.chars().take_while(char::is_ascii_hexdigit).collect();
    assert_eq!(root.len(), 64);
    let short: String = root.chars().take(16).collect();
    for paper in [format!("{size}:{root}"), format!("{size}:{short}")] {
        for what in ["out", BUNDLE] {
            let ran = bench.run(&["verify", what, "--paper", &paper]);
            assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
        }
    }
    // The owner of the key writes another history, signs it and prints nothing: all is in order
    // but for the paper in other hands.
    bench.change("job/record.jsonl", "18.3", "17.3");
    fs::remove_dir_all(bench.path("out")).unwrap();
    play(&bench);
    assert_eq!(release(&bench, &[]).code, 0);
    let paper = format!("{size}:{root}");
    for what in ["out", BUNDLE] {
        assert_eq!(bench.run(&["verify", what]).code, 0);
        let ran = bench.run(&["verify", what, "--paper", &paper]);
        assert_eq!(ran.code, 5, "{}", ran.out);
        assert!(
            ran.out.contains("the paper says that the first"),
            "{}",
            ran.out
        );
    }
    let ran = bench.run(&["verify", "out", "--paper", &format!("999:{root}")]);
    assert!(
        ran.out.contains("was printed from 999 entries"),
        "{}",
        ran.out
    );
    assert_eq!(bench.run(&["verify", "out", "--paper", "94:06da"]).code, 2);
}
