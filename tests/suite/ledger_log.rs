//! What a log takes, gives and reads back; the code and the words for each defect.

#![expect(
    clippy::unwrap_used,
    reason = "a record that cannot be made is a failed test"
)]

use std::collections::BTreeSet;

use packdown::ledger::{
    Break, Checkpoint, DeviceKey, Draft, LedgerError, Log, MAX_LINE, Note, Numbers, Photo,
    Verifier, canonical_bytes, parse_json, sha256, to_hex, verify_consistency, verify_inclusion,
};
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::ledger_tamper::a_day;

fn draft(time: &str, body: Value) -> Draft {
    Draft {
        time: time.parse().unwrap(),
        actor: "O. Lund".into(),
        kind: "reading".into(),
        body,
        refs: vec![],
        photos: vec![],
    }
}

/// A line with one of its members changed and its id made right again, as another program might
/// write it.
fn rewritten(line: &str, change: impl FnOnce(&mut Value)) -> String {
    let mut entry: Value = serde_json::from_str(line).unwrap();
    change(&mut entry);
    let members = entry.as_object_mut().unwrap();
    let had_id = members.remove("id").is_some();
    let content = sha256(&canonical_bytes(&json!(members)).unwrap());
    let ms = members["time"]
        .as_str()
        .and_then(|time| time.parse::<packdown::clock::Moment>().ok())
        .map_or(0, |moment| moment.unix_ms());
    if had_id {
        let id = packdown::ids::event_id(ms, &content);
        members.insert("id".into(), id.into());
    }
    String::from_utf8(canonical_bytes(&entry).unwrap()).unwrap() + "\n"
}

fn said(bytes: impl AsRef<[u8]>) -> Vec<String> {
    let (_, breaks) = Log::read(bytes.as_ref());
    breaks
        .iter()
        .map(|found| format!("{}: {found}", found.kind()))
        .collect()
}

#[test]
fn a_day_has_frozen_bytes() {
    // The files were checked by a second implementation in Python 3.11 (json, hashlib,
    // cryptography 48): canonical lines, ids, root and signature.
    let (log, lines) = a_day();
    assert_eq!(lines.concat(), include_str!("../cases/ledger_day.jsonl"));
    let note = log.checkpoint(&DeviceKey::demo()).unwrap();
    assert_eq!(
        note.to_string(),
        include_str!("../cases/ledger_day.checkpoint")
    );
    assert_eq!(
        DeviceKey::demo().verifier().to_string(),
        include_str!("../cases/ledger_day.vkey").trim_end()
    );
}

#[test]
fn what_is_appended_is_what_is_read() {
    let (written, lines) = a_day();
    let (read, breaks) = Log::read(lines.concat().as_bytes());
    assert_eq!(breaks, []);
    assert_eq!(read.entries(), written.entries());
    assert_eq!(read.root(), written.root());
    assert_eq!(read.origin(), written.origin());
    for (entry, line) in read.entries().iter().zip(&lines) {
        assert_eq!(format!("{}\n", entry.line().unwrap()), *line);
        assert_eq!(entry.content_id().unwrap(), entry.id);
        // The id is the same as over canonical bytes made by the whole-document writer.
        assert_eq!(rewritten(line, |_| {}), *line);
        assert_eq!(read.entry(entry.seq), Some(entry));
    }
    assert_eq!(read.entry(12), None);
    assert!(read.entries().is_sorted_by_key(|entry| &entry.hlc));
    let ids: BTreeSet<_> = read.entries().iter().map(|entry| &entry.id).collect();
    assert_eq!(ids.len(), 12);
    let local = read.entries().last().unwrap().moment().local();
    assert_eq!(local, "2026-11-25T18:00:00.125+00:00");
}

/// Reading on from any line gives what reading the whole gives; anything but plain growth is not
/// taken and changes nothing.
#[test]
fn reading_on_is_reading_the_whole() {
    let day = a_day().1.concat();
    let bytes = day.as_bytes();
    let (whole, breaks) = Log::read(bytes);
    let ends: Vec<usize> = (1..=bytes.len())
        .filter(|end| bytes[end - 1] == b'\n')
        .collect();
    for end in &ends {
        let (mut log, _) = Log::read(&bytes[..*end]);
        let before = (log.len(), log.root(), log.good_bytes());
        // A day whose clock was put back is for the whole reading to say.
        let plain = breaks.iter().all(|found| found.kind() == "torn_last_line");
        if log.read_on(&bytes[*end..]) {
            assert_eq!(log.root(), whole.root());
            assert_eq!(log.entries(), whole.entries());
            assert_eq!(log.good_bytes(), whole.good_bytes());
            for at in 0..whole.len() {
                assert_eq!(log.leaf(at), whole.leaf(at));
            }
        } else {
            assert!(!plain || *end == bytes.len(), "from {end}");
            assert_eq!((log.len(), log.root(), log.good_bytes()), before);
        }
        for spoilt in *end..bytes.len() {
            let mut tail = bytes[*end..].to_vec();
            tail[spoilt - end] ^= 1;
            let (mut log, _) = Log::read(&bytes[..*end]);
            assert!(!log.read_on(&tail), "byte {spoilt}");
            assert_eq!((log.len(), log.root(), log.good_bytes()), before);
        }
        for cut in end + 1..bytes.len() {
            let (mut log, _) = Log::read(&bytes[..*end]);
            if !ends.contains(&cut) {
                assert!(!log.read_on(&bytes[*end..cut]), "cut at {cut}");
            }
        }
    }
}

#[test]
fn every_entry_can_be_proven_alone() {
    let (log, _) = a_day();
    let size = log.len();
    for old in 0..=size {
        let before = log.root_at(old).unwrap();
        let proof = log.consistency_proof(old).unwrap();
        assert!(verify_consistency(old, size, &before, &log.root(), &proof));
        for index in 0..old {
            let proof = log.inclusion_proof(index, old).unwrap();
            let leaf = log.leaf(index).unwrap();
            assert!(verify_inclusion(index, old, &leaf, &proof, &before));
        }
    }
    assert_eq!(log.root_at(size + 1), None);
    assert_eq!(log.inclusion_proof(size, size), None);
}

#[test]
fn a_fork_is_found_at_its_first_entry() {
    let (log, lines) = a_day();
    let note = log.checkpoint(&DeviceKey::demo()).unwrap();
    let checkpoint = Checkpoint::parse(note.text()).unwrap();
    let (shorter, _) = Log::read(lines[..7].concat().as_bytes());
    assert!(log.extends(&checkpoint));
    assert!(!shorter.extends(&checkpoint));
    assert_eq!(log.fork(&shorter), None);

    let mut other = shorter.clone();
    for n in 7..14 {
        let time = format!("2026-11-25T09:{n:02}:00Z");
        other.append(draft(&time, json!({}))).unwrap();
    }
    assert_eq!((log.fork(&other), other.fork(&log)), (Some(7), Some(7)));
    assert!(!other.extends(&checkpoint));
}

#[test]
fn words_from_outside_stay_on_one_line() {
    let (_, lines) = a_day();
    let line = lines[0].replacen("{", "{\"a\\u001b[2J\\n\":1,", 1);
    assert_eq!(
        said(line),
        [
            r"member: line 1: `a\u{1b}[2J\n` is not in the form of an entry: this format has no such member"
        ]
    );
    let twice = lines[0].replacen("\"n\":0", "\"\\n\":0,\"\\n\":0", 1);
    assert_eq!(
        said(twice),
        [r"repeated-key: line 1: the key at `/body/\n` is there twice"]
    );
}

#[test]
fn what_cannot_be_written_leaves_the_log_as_it_was() {
    let (mut log, _) = a_day();
    let root = log.root();
    let noon = "2026-11-25T12:00:00+00:00";
    let mut no_kind = draft(noon, json!({}));
    no_kind.kind.clear();
    let mut bad_photo = draft(noon, json!({}));
    bad_photo.photos.push(Photo {
        file: "photos/1.jpg".into(),
        sha256: to_hex(&sha256(b"x")).to_uppercase(),
    });
    for (draft, words) in [
        (
            draft(noon, json!({"readings": [{"voltage_v": 48.1}]})),
            "the number at `/readings/0/voltage_v` is not a whole number within \
             ±9007199254740991; a measured value is written as text",
        ),
        (
            draft("1969-12-31T23:59:59Z", json!({})),
            "the time `1969-12-31T23:59:59.000Z` is before 1970",
        ),
        (
            draft(noon, json!("x".repeat(MAX_LINE))),
            "an entry of 10486025 bytes is longer than 10485760 bytes",
        ),
        (
            no_kind,
            "`type` is not in the form of an entry: it is empty",
        ),
        (
            bad_photo,
            "`photos` is not in the form of an entry: 64 hexadecimal digits for each file",
        ),
    ] {
        assert_eq!(log.append(draft).unwrap_err().to_string(), words);
        assert_eq!((log.len(), log.root()), (12, root));
    }
    assert!(matches!(Log::open("a b"), Err(LedgerError::Name(_))));
}

#[test]
fn each_defect_of_a_line_has_its_code_and_words() {
    let (_, lines) = a_day();
    let line = &lines[0];
    let with = |from: &str, to: &str| line.replacen(from, to, 1);
    let id = &json!(serde_json::from_str::<Value>(line).unwrap())["id"];
    let id = id.as_str().unwrap();
    let edited = format!("id-mismatch: line 1: edited: the content does not give its id `{id}`");
    let cases = [
        ("\n".to_owned(), "empty-line: line 1: the line is empty"),
        (
            with("{", ""),
            "not-json: line 1: the line is not JSON: trailing characters at line 1 column 8",
        ),
        (
            with("\"n\":0", "\"n\":0,\"n\":0"),
            "repeated-key: line 1: the key at `/body/n` is there twice",
        ),
        (
            with("\"n\":0", "\"n\":0.5"),
            "inexact-number: line 1: the number at `/body/n` is not a whole number within \
             ±9007199254740991",
        ),
        (
            with("\"n\":0", "\"n\": 0"),
            "not-canonical: line 1: the line is not in the one form that is hashed (RFC 8785)",
        ),
        (
            with("{", "{\"zz\":1,"),
            "member: line 1: `zz` is not in the form of an entry: this format has no such member",
        ),
        (with("\"0.4\"", "\"0.3\""), &edited),
        (with("Lund", "Lunde"), &edited),
        (
            with("\"actor\"", "\"actress\""),
            "member: line 1: `actor` is not in the form of an entry: it is missing",
        ),
        (
            with(".000Z", "Z"),
            "member: line 1: `time` is not in the form of an entry: UTC with milliseconds and Z",
        ),
        (
            with("\"seq\":0", "\"seq\":-1"),
            "member: line 1: `seq` is not in the form of an entry: a whole number from 0",
        ),
        (
            "[]\n".to_owned(),
            "member: line 1: the line is not a JSON object",
        ),
        (
            rewritten(line, |entry| entry["format"] = "2.0".into()),
            "unknown-format: line 1: the format `2.0` cannot be read; this program reads 1.0",
        ),
        (
            rewritten(line, |entry| entry["format"] = "soon".into()),
            "unknown-format: line 1: the format `soon` cannot be read; this program reads 1.0",
        ),
        (
            rewritten(line, |entry| entry["seq"] = 1.into()),
            "seq-hole: entry 1 (line 1): entry 0 is missing before it",
        ),
        (
            rewritten(line, |entry| {
                entry["seq"] = 9_007_199_254_740_991_u64.into()
            }),
            "seq-hole: entry 9007199254740991 (line 1): entries 0 to 9007199254740990 are missing \
             before it",
        ),
        (
            rewritten(line, |entry| {
                entry["hlc"] = "000000000000005.000000".into();
            }),
            "stamp-backwards: entry 0 (line 1): its stamp does not follow the one before",
        ),
    ];
    for (text, words) in cases {
        assert_eq!(said(&text), [words], "{text}");
    }
    let latin = [b"\"\xe9\"\n", lines[1].as_bytes()].concat();
    assert_eq!(said(latin), ["not-utf8: line 1: the line is not UTF-8"]);
    let long = format!("{}\n{}", "x".repeat(MAX_LINE + 1), lines[1]);
    assert_eq!(
        said(long),
        ["line-too-long: line 1: the line has 10485761 bytes, more than 10485760"]
    );
}

#[test]
fn an_entry_of_another_log_is_named() {
    let (_, mut lines) = a_day();
    lines[4] = rewritten(&lines[4], |entry| entry["log"] = "works.invalid/b".into());
    assert_eq!(
        said(lines.concat()),
        [
            "other-log: entry 4 (line 5): belongs to the log `works.invalid/b`, not to \
             `demo.packdown.invalid/job-log/demo-device`"
        ]
    );
}

#[test]
fn a_stamp_that_does_not_rise_is_named() {
    let (_, mut lines) = a_day();
    let before: Value = serde_json::from_str(&lines[4]).unwrap();
    lines[5] = rewritten(&lines[5], |entry| entry["hlc"] = before["hlc"].clone());
    assert_eq!(
        said(lines.concat()),
        ["stamp-backwards: entry 5 (line 6): its stamp does not follow the one before"]
    );
}

#[test]
fn a_clock_that_was_put_back_is_taken_and_said() {
    let mut log = Log::open("works.invalid/job-log/tablet-7").unwrap();
    let mut file = String::new();
    for time in ["2026-11-25T09:00:00Z", "2026-11-25T08:59:58.500Z"] {
        file += &log.append(draft(time, json!({}))).unwrap().line;
    }
    assert_eq!(
        said(&file),
        [
            "clock-set-back: entry 1 (line 2): the clock of the device was set back by 1500 ms before it"
        ]
    );
    let (read, breaks) = Log::read(file.as_bytes());
    assert!(breaks.iter().all(Break::is_lawful) && read.is_writable());
    let stamps: Vec<_> = read.entries().iter().map(|entry| &*entry.hlc).collect();
    assert_eq!(stamps, ["001795597200000.000000", "001795597200000.000001"]);
}

#[test]
fn a_newer_minor_format_is_read_with_all_its_members_but_not_written_to() {
    let (_, mut lines) = a_day();
    lines[11] = rewritten(&lines[11], |entry| {
        entry["format"] = "1.7".into();
        entry["mood"] = json!({"good": true});
        entry["\u{1f600}"] = json!(1);
        entry["\u{fb33}"] = json!(2);
    });
    let (mut log, breaks) = Log::read(lines.concat().as_bytes());
    let words: Vec<_> = breaks.iter().map(ToString::to_string).collect();
    assert_eq!(
        words,
        [
            "entry 11 (line 12): the format `1.7` is newer than 1.0; it is read, and nothing is \
          written behind it"
        ]
    );
    assert_eq!(log.entries()[11].more["mood"], json!({"good": true}));
    let refused = log.append(draft("2026-11-26T09:00:00Z", json!({})));
    assert_eq!(refused, Err(LedgerError::NewerFormat("1.7".into())));
    assert!(log.checkpoint(&DeviceKey::demo()).is_err());
}

#[test]
fn a_broken_log_takes_nothing_and_is_not_signed() {
    let (_, mut lines) = a_day();
    lines.remove(3);
    let (mut log, _) = Log::read(lines.concat().as_bytes());
    assert_eq!(log.entries().len(), 11);
    assert_eq!(log.entry(4).map(|entry| entry.seq), Some(4));
    let words = "the log is broken and takes no further entry: entry 4 (line 4): entry 3 is \
                 missing before it";
    let refused = log.append(draft("2026-11-26T09:00:00Z", json!({})));
    assert_eq!(refused.unwrap_err().to_string(), words);
    assert!(log.checkpoint(&DeviceKey::demo()).is_err());
}

#[test]
fn an_end_of_zeros_or_of_half_an_entry_is_a_torn_line() {
    let (_, lines) = a_day();
    let whole = lines.concat();
    for end in ["\0\0\0\0", "{\"actor\":\"O. Lu", "{\"actor\":\"O. Lu\n"] {
        let (log, breaks) = Log::read(format!("{whole}{end}").as_bytes());
        assert_eq!(
            breaks.iter().map(ToString::to_string).collect::<Vec<_>>(),
            [format!(
                "line 13: the file ends within this line; {} bytes are whole, {} are not",
                whole.len(),
                end.len()
            )]
        );
        assert!(log.is_writable());
        assert_eq!(log.len(), 12);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_without_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let (log, breaks) = Log::read(&bytes);
        prop_assert_eq!(breaks.is_empty(), bytes.is_empty());
        prop_assert!(log.entries().is_empty());
    }

    /// Pieces of good lines, JSON and noise in any order: nearer to what a damaged disk gives.
    #[test]
    fn any_mixture_of_pieces_is_read_without_panic(
        pieces in prop::collection::vec((0..16_usize, 0..400_usize, 0..400_usize), 0..20),
    ) {
        let (_, lines) = a_day();
        let mut file = String::new();
        for (which, from, to) in pieces {
            file += match lines.get(which) {
                Some(line) if from < 200 => line,
                Some(line) => line.get(from.min(to)..to).unwrap_or("}\n"),
                None => ["\n", "{}\n", "{\"seq\":1e999}\n", "[[[[[[\n"][which - 12],
            };
        }
        let (log, breaks) = Log::read(file.as_bytes());
        // Without a break the file is a beginning of the day.
        prop_assert!(!breaks.is_empty() || lines.concat().starts_with(&file));
        prop_assert!(log.good_bytes() as usize <= file.len());
    }

    #[test]
    fn any_text_without_fractions_is_appended_and_read_back(
        actor in any::<String>(), key in ".{0,8}", text in ".{0,40}", whole in -1_000_000..1_000_000_i64,
    ) {
        let mut log = Log::open("works.invalid/job-log/tablet-7").unwrap();
        let mut entry = draft("2026-11-25T09:00:00Z", json!({key: [text, whole, null]}));
        entry.actor = actor;
        let line = log.append(entry).unwrap().line;
        let (read, breaks) = Log::read(line.as_bytes());
        prop_assert_eq!(breaks, []);
        prop_assert_eq!(read.entries(), log.entries());
        // The whole-document writer gives the same bytes.
        prop_assert_eq!(rewritten(&line, |_| {}), line);
    }

    #[test]
    fn any_text_is_taken_or_refused_as_note_key_and_json(
        text in "(.|\n|\u{2014} |AAAAAAQB|\\+|\"|\\{|\\[){0,40}",
    ) {
        if let Ok(note) = Note::parse(&text) {
            prop_assert_eq!(note.to_string(), text.clone());
        }
        if let Ok(key) = text.parse::<Verifier>() {
            prop_assert_eq!(key.to_string(), text.clone());
        }
        if let Ok(checkpoint) = Checkpoint::parse(&text) {
            prop_assert_eq!(checkpoint.text(), text.clone());
        }
        if let Ok(value) = parse_json(&text, Numbers::Any) {
            prop_assert_eq!(serde_json::from_str::<Value>(&text).unwrap(), value);
        }
    }
}
