//! Logs of several devices put together: any order gives the same, forks are shown, nothing is
//! thrown away.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use packdown::custody::{Branch, Conflict, Merged};
use packdown::ledger::{DeviceKey, Draft, Log, Note};
use proptest::prelude::*;
use serde_json::json;

use crate::program::Bench;

fn draft(kind: &str, body: serde_json::Value) -> Draft {
    Draft {
        time: "2026-11-25T08:50:00+01:00".parse().unwrap(),
        actor: "ada".into(),
        kind: kind.into(),
        body,
        refs: Vec::new(),
        photos: Vec::new(),
    }
}

fn key(device: u8) -> DeviceKey {
    DeviceKey::from_seed(&format!("works.invalid/{device}"), &[device; 32]).unwrap()
}

/// The log of a device for a job: `path` says what is written after the first entry, one number
/// an entry, so that two equal beginnings are the same log.
fn grown(device: u8, job: u8, path: &[u8]) -> Branch {
    let mut log = Log::open(key(device).name()).unwrap();
    let mut bytes = Vec::new();
    let plan = json!({"plan": {"job": format!("job-{job}")}});
    for (kind, body) in [("job_opened", plan)]
        .into_iter()
        .chain(path.iter().map(|said| ("step", json!({ "said": said }))))
    {
        let line = log.append(draft(kind, body)).unwrap().line;
        bytes.extend(line.into_bytes());
    }
    Branch { bytes, log }
}

/// A copy to be merged: device, job, what was written, and whether its checkpoint comes along.
type Copy = (u8, u8, Vec<u8>, bool);

fn take(merged: &mut Merged, copy: &Copy) {
    let (device, job, path, signed) = copy;
    let branch = grown(*device, *job, path);
    let note = branch.log.checkpoint(&key(*device)).unwrap();
    let notes: Vec<Note> = signed.then_some(note).into_iter().collect();
    merged.take(branch, &notes).unwrap();
}

fn copies() -> impl Strategy<Value = Vec<Copy>> {
    // Few devices, jobs and words: beginnings and forks come about by themselves.
    let copy = (
        0..2_u8,
        0..2_u8,
        proptest::collection::vec(0..2_u8, 0..5),
        any::<bool>(),
    );
    proptest::collection::vec(copy, 1..8)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn any_order_and_any_grouping_give_the_same(copies in copies(), turn in 0..8_usize, cut in 0..8_usize) {
        let mut one = Merged::default();
        copies.iter().for_each(|copy| take(&mut one, copy));
        let mut turned = copies.clone();
        turned.rotate_left(turn % copies.len());
        turned.reverse();
        let mut other = Merged::default();
        turned.iter().for_each(|copy| take(&mut other, copy));
        prop_assert_eq!(&one, &other);
        // In two heaps that are joined, one of them twice.
        let (left, right) = copies.split_at(cut % copies.len());
        let (mut joined, mut second) = (Merged::default(), Merged::default());
        left.iter().for_each(|copy| take(&mut joined, copy));
        right.iter().for_each(|copy| take(&mut second, copy));
        joined.join(second.clone());
        joined.join(second);
        prop_assert_eq!(&one, &joined);
        prop_assert_eq!(one.conflicts(), joined.conflicts());
    }

    #[test]
    fn what_is_kept_and_what_is_a_fork_agrees_with_plain_lists(copies in copies()) {
        let mut merged = Merged::default();
        copies.iter().for_each(|copy| take(&mut merged, copy));
        for (device, job) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            let of: BTreeSet<&Vec<u8>> = copies
                .iter()
                .filter(|copy| (copy.0, copy.1) == (device, job))
                .map(|copy| &copy.2)
                .collect();
            let longest: BTreeSet<usize> = of
                .iter()
                .filter(|path| !of.iter().any(|other| other.len() > path.len() && other.starts_with(path)))
                .map(|path| path.len() + 1)
                .collect();
            let leaves = of
                .iter()
                .filter(|path| !of.iter().any(|other| other.len() > path.len() && other.starts_with(path)))
                .count();
            let name = |about: &str, origin: &str| {
                about == format!("job-{job}") && origin == key(device).name()
            };
            let kept = merged.logs().find(|(log, _)| name(&log.about, &log.origin));
            let sizes: BTreeSet<usize> = kept
                .map(|(_, branches)| branches.copies().map(|(_, one)| usize::try_from(one.log.len()).unwrap()).collect())
                .unwrap_or_default();
            prop_assert_eq!(sizes, longest);
            let forks = merged
                .conflicts()
                .iter()
                .filter(|one| matches!(one, Conflict::Fork { log, .. } if name(&log.about, &log.origin)))
                .count();
            prop_assert_eq!(forks, usize::from(leaves > 1));
        }
        // Every checkpoint here is of one of the copies.
        let forks_only = merged.conflicts().iter().all(|one| matches!(one, Conflict::Fork { .. }));
        prop_assert!(forks_only);
    }
}

#[test]
fn a_checkpoint_that_no_copy_leads_to_is_shown() {
    let long = grown(1, 0, &[1, 2, 3]);
    let note = long.log.checkpoint(&key(1)).unwrap();
    let mut merged = Merged::default();
    merged
        .take(grown(1, 0, &[1, 2]), std::slice::from_ref(&note))
        .unwrap();
    let conflicts = merged.conflicts();
    assert!(
        matches!(
            conflicts[..],
            [Conflict::Missing {
                found: 3,
                signed: 4,
                ..
            }]
        ),
        "{conflicts:?}"
    );
    // The missing entry turns up: nothing is wrong any more.
    merged.take(long, &[]).unwrap();
    assert_eq!(merged.conflicts(), []);
    let mut rewritten = Merged::default();
    rewritten.take(grown(1, 0, &[1, 2, 4, 5]), &[note]).unwrap();
    let conflicts = rewritten.conflicts();
    assert!(
        matches!(conflicts[..], [Conflict::Contradicts { size: 4, .. }]),
        "{conflicts:?}"
    );
    assert!(
        conflicts[0]
            .to_string()
            .contains("no copy begins like that")
    );
}

#[test]
fn signatures_under_one_checkpoint_are_gathered() {
    let branch = grown(1, 0, &[1]);
    let signed = |desk: u8| {
        let mut note = branch.log.checkpoint(&key(1)).unwrap();
        note.cosign(&key(desk), "2026-11-25T09:00:00+01:00".parse().unwrap())
            .unwrap();
        note
    };
    let mut merged = Merged::default();
    merged.take(branch.clone(), &[signed(7)]).unwrap();
    merged.take(branch.clone(), &[signed(8)]).unwrap();
    let (_, branches) = merged.logs().next().unwrap();
    let notes: Vec<Note> = branches.notes().collect();
    assert_eq!(notes.len(), 1);
    let by: BTreeSet<String> = notes[0]
        .cosignatures(&[key(7).verifier(), key(8).verifier()])
        .into_iter()
        .filter(|one| one.holds)
        .map(|one| one.by)
        .collect();
    assert_eq!(by.len(), 2);
}

#[test]
fn an_answer_to_an_entry_that_is_not_at_hand_is_an_open_end() {
    let sender = grown(1, 0, &[1]);
    let leaf = packdown::ledger::to_hex(&sender.log.leaf(1).unwrap());
    let mut log = Log::open(key(2).name()).unwrap();
    let mut bytes = log
        .append(draft("register_opened", json!({})))
        .unwrap()
        .line;
    let mut receipt = draft("receipt_opened", json!({}));
    receipt.refs = vec![leaf.clone()];
    bytes.push_str(&log.append(receipt).unwrap().line);
    let mut merged = Merged::default();
    let branch = Branch {
        bytes: bytes.into_bytes(),
        log,
    };
    merged.take(branch, &[]).unwrap();
    let open = merged.open_ends();
    assert_eq!(open.len(), 1);
    assert_eq!((open[0].1, open[0].2.as_str()), (1, leaf.as_str()));
    assert_eq!(open[0].0.about, "register");
    merged.take(sender, &[]).unwrap();
    assert_eq!(merged.open_ends(), []);
    assert_eq!(merged.conflicts(), []);

    // Another place says that it received the same load.
    let mut log = Log::open(key(3).name()).unwrap();
    let mut bytes = log
        .append(draft("register_opened", json!({})))
        .unwrap()
        .line;
    let mut receipt = draft("receipt_opened", json!({}));
    receipt.refs = vec![leaf.clone()];
    bytes.push_str(&log.append(receipt).unwrap().line);
    let branch = Branch {
        bytes: bytes.into_bytes(),
        log,
    };
    merged.take(branch, &[]).unwrap();
    let conflicts = merged.conflicts();
    let [
        Conflict::TwoReceivers {
            released,
            receivers,
        },
    ] = &conflicts[..]
    else {
        panic!("{conflicts:?}");
    };
    assert_eq!((released, receivers.len()), (&leaf, 2));
}

/// Every file below a folder with its bytes.
fn tree(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    crate::tidy::walk(folder, &mut found);
    let mut files: Vec<(String, Vec<u8>)> = found
        .iter()
        .map(|path| {
            let name = path.strip_prefix(folder).unwrap().to_string_lossy();
            (name.into_owned(), fs::read(path).unwrap())
        })
        .collect();
    files.sort();
    files
}

#[test]
fn jobs_and_bundles_are_merged_into_a_folder_in_any_order() {
    let bench = Bench::with_lawful_job();
    for (from, to) in [("18.3", "18.3"), ("18.3", "17.3")] {
        bench.change("job/record.jsonl", from, to);
        let out = if from == to { "one" } else { "two" };
        assert_eq!(bench.run(&["run", "job", "--out", out]).code, 0);
    }
    assert_eq!(bench.run(&["release", "one", "--out", "sent"]).code, 0);
    let ran = bench.run(&["merge", "sent", "one", "--into", "a"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.starts_with("2 copies of 1 logs"), "{}", ran.out);
    // The other way round, one after the other, and again.
    assert_eq!(bench.run(&["merge", "one", "--into", "b"]).code, 0);
    assert_eq!(bench.run(&["merge", "sent", "--into", "b"]).code, 0);
    assert_eq!(bench.run(&["merge", "b", "--into", "b"]).code, 0);
    assert_eq!(tree(&bench.path("a")), tree(&bench.path("b")));

    // Another history of the same job by the same device: both stay, and it is said.
    let ran = bench.run(&["merge", "two", "--into", "a"]);
    assert_eq!(ran.code, 5, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("FORK in harbour-lane-7 of "),
        "{}",
        ran.out
    );
    let forked = tree(&bench.path("a"));
    let logs: Vec<_> = forked
        .iter()
        .filter(|(name, _)| name.ends_with(".jsonl"))
        .collect();
    assert_eq!(logs.len(), 2, "{forked:?}");
    let original = fs::read(bench.path("two/ledger/device.jsonl")).unwrap();
    assert!(logs.iter().any(|(_, bytes)| *bytes == original));
    assert_eq!(
        bench
            .run(&["merge", "two", "one", "sent", "--into", "c"])
            .code,
        5
    );
    assert_eq!(forked, tree(&bench.path("c")));
    // It is said again each time, from the folder alone.
    assert_eq!(bench.run(&["merge", "c"]).code, 5);
}

#[test]
fn a_broken_copy_is_left_out_and_named() {
    let bench = Bench::with_lawful_job();
    assert_eq!(bench.run(&["run", "job", "--out", "one"]).code, 0);
    bench.change("one/ledger/device.jsonl", "home stack", "home steck");
    let ran = bench.run(&["merge", "one", "--into", "a"]);
    assert_eq!(ran.code, 4, "{}", ran.out);
    assert!(ran.out.contains("Left out:"), "{}", ran.out);
    assert!(!bench.path("a").exists());
}

#[test]
fn a_module_is_proved_without_the_others() {
    let bench = Bench::with_lawful_job();
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    assert_eq!(bench.run(&["release", "out"]).code, 0);
    let serial = "HL5-2207-0418";
    let ran = bench.run(&["proof", "out", "--module", serial, "--out", "slip"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let slip = bench.read("slip");
    // The same as the bundle brings, by serial or by id.
    let ran = bench.run(&["proof", "out/harbour-lane-7-1.zip", "--module", serial]);
    assert_eq!((ran.code, ran.out.as_str()), (0, slip.as_str()));
    assert_eq!(bench.run(&["proof", "out", "--module", "m1"]).out, slip);
    let ran = bench.run(&["verify", "slip"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("Every entry is in the log"), "{}", ran.out);
    let shown = bench.run(&["verify", "slip", "--format", "json"]);
    assert!(shown.out.contains(serial), "{}", shown.out);
    for other in ["HL5-2207-0377", "HL5-2207-0402", "HL5-2207-0421"] {
        assert!(!shown.out.contains(other), "{other}");
    }
    // The hand-over names all that left together, so it comes along only when it is asked for.
    let ran = bench.run(&[
        "proof",
        "out",
        "--module",
        serial,
        "--with-handovers",
        "--out",
        "long",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let shown = bench.run(&["verify", "long", "--format", "json"]);
    assert!(shown.out.contains("\"released\"") && shown.out.contains("HL5-2207-0421"));
    let ran = bench.run(&["proof", "out", "--module", "HL5-9"]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("limit: one of "), "{}", ran.err);
}

#[test]
fn a_proof_changed_anywhere_does_not_hold() {
    let bench = Bench::with_lawful_job();
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    assert_eq!(
        bench
            .run(&["proof", "out", "--module", "m1", "--out", "slip"])
            .code,
        0
    );
    let slip = fs::read(bench.path("slip")).unwrap();
    for at in (0..slip.len()).step_by(slip.len() / 150) {
        let mut bad = slip.clone();
        bad[at] ^= 1;
        bench.write("bad.tlog-proof", &bad);
        let ran = bench.run(&["verify", "bad.tlog-proof"]);
        assert!(
            [4, 5].contains(&ran.code),
            "{at}: {} {}{}",
            ran.code,
            ran.out,
            ran.err
        );
    }
    bench.write("bad.tlog-proof", &slip[..slip.len() / 2]);
    assert!([4, 5].contains(&bench.run(&["verify", "bad.tlog-proof"]).code));
}
