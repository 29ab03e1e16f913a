//! Whatever is done to a record after it was signed is reported, and nothing panics.
//!
//! The attacker of the first tests edits the file. The attacker of the last ones knows the
//! format and recomputes ids; only the signed root stands in the way.

#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a record that cannot be made is a failed test"
)]

use packdown::ledger::{
    Break, DeviceKey, Draft, Fault, Log, Photo, Signed, Verification, Verifier, sha256, to_hex,
    verify,
};
use serde_json::json;

/// A day of 12 entries with an offset change, two in one millisecond, text beyond ASCII, a
/// correction and a photograph.
pub(crate) fn a_day() -> (Log, Vec<String>) {
    let key = DeviceKey::demo();
    let mut log = Log::open(key.name()).unwrap();
    let mut lines = Vec::new();
    let mut first = None;
    for n in 0..12 {
        let time = match n {
            5 => "2026-11-25T08:34:00+01:00".to_owned(),
            11 => "2026-11-25T18:00:00.125+00:00".to_owned(),
            _ => format!("2026-11-25T08:{}:00+01:00", 30 + n),
        };
        let appended = log
            .append(Draft {
                time: time.parse().unwrap(),
                actor: "Ø. Lund".into(),
                kind: if n == 7 { "correction" } else { "reading" }.into(),
                body: json!({"step": format!("prove-dead-{n}"), "voltage_v": "0.4", "n": n}),
                refs: first.iter().cloned().collect(),
                photos: (n == 3)
                    .then(|| Photo {
                        file: "photos/0003.jpg".into(),
                        sha256: to_hex(&sha256(b"picture")),
                    })
                    .into_iter()
                    .collect(),
            })
            .unwrap();
        first = (n == 6).then(|| appended.id.clone());
        lines.push(appended.line);
    }
    (log, lines)
}

struct Record {
    lines: Vec<String>,
    bytes: Vec<u8>,
    checkpoint: String,
    trusted: [Verifier; 1],
}

fn record() -> Record {
    let key = DeviceKey::demo();
    let (log, lines) = a_day();
    Record {
        bytes: lines.concat().into_bytes(),
        lines,
        checkpoint: log.checkpoint(&key).unwrap().to_string(),
        trusted: [key.verifier()],
    }
}

impl Record {
    fn verify(&self, bytes: &[u8]) -> Verification {
        verify(bytes, Some(&self.checkpoint), &self.trusted)
    }

    /// Without the cost of the signature: no key is trusted, and that one break is left out.
    fn compare(&self, bytes: &[u8]) -> Vec<Break> {
        let mut breaks = verify(bytes, Some(&self.checkpoint), &[]).breaks;
        breaks.retain(|found| {
            !matches!(
                found.fault,
                Fault::UnknownKey { .. } | Fault::UnsignedTail { .. }
            )
        });
        breaks
    }
}

fn kinds(breaks: &[Break]) -> Vec<&'static str> {
    breaks.iter().map(Break::kind).collect()
}

fn is_reported(breaks: &[Break]) -> bool {
    breaks.iter().any(|found| !found.is_lawful())
}

#[test]
fn an_untouched_record_holds() {
    let record = record();
    let found = record.verify(&record.bytes);
    assert_eq!(found.breaks, []);
    assert!(found.holds());
    assert_eq!((found.size, found.signed_size()), (12, 12));
    assert_eq!(found.signed, Signed::Signed);
    assert_eq!(found.signers, [record.trusted[0].name()]);
}

#[test]
fn every_changed_bit_is_reported_and_the_line_is_named() {
    let record = &record();
    // Two halves side by side: this is the longest test of the ledger.
    std::thread::scope(|scope| {
        for half in 0..2 {
            scope.spawn(move || change_every_bit(record, half));
        }
    });
    assert!(record.verify(&record.bytes).holds());
}

/// Changes every bit of the even or the odd lines.
fn change_every_bit(record: &Record, half: u64) {
    let mut bytes = record.bytes.clone();
    let mut line = 1;
    for at in 0..bytes.len() {
        let was = bytes[at];
        for bit in (0..8).filter(|_| line % 2 == half) {
            bytes[at] = was ^ (1 << bit);
            let breaks = record.compare(&bytes);
            assert!(is_reported(&breaks), "byte {at} bit {bit}: {breaks:?}");
            let named = breaks.iter().any(|found| found.line == Some(line));
            assert!(named, "byte {at} bit {bit} of line {line}: {breaks:?}");
        }
        bytes[at] = was;
        line += u64::from(was == b'\n');
    }
}

#[test]
fn every_changed_bit_of_the_checkpoint_is_reported() {
    let record = record();
    let mut bytes = record.checkpoint.clone().into_bytes();
    for at in 0..bytes.len() {
        let was = bytes[at];
        for bit in 0..8 {
            bytes[at] = was ^ (1 << bit);
            // A checkpoint that is not UTF-8 cannot be passed on at all.
            let Ok(text) = std::str::from_utf8(&bytes) else {
                continue;
            };
            let found = verify(&record.bytes, Some(text), &record.trusted);
            assert!(!found.holds(), "byte {at} bit {bit}");
            assert!(is_reported(&found.breaks), "byte {at} bit {bit}");
            assert_eq!(found.signed_size(), 0);
        }
        bytes[at] = was;
    }
}

#[test]
fn a_line_that_is_left_out_is_named() {
    let record = record();
    for at in 0..record.lines.len() {
        let mut lines = record.lines.clone();
        lines.remove(at);
        let breaks = record.compare(lines.concat().as_bytes());
        let kinds = kinds(&breaks);
        assert!(
            kinds.contains(&"shorter-than-checkpoint"),
            "{at}: {breaks:?}"
        );
        if at + 1 < record.lines.len() {
            let seq = at as u64;
            let hole = Fault::SeqHole { from: seq, to: seq };
            assert!(breaks.iter().any(|found| found.fault == hole), "{at}");
        }
    }
}

#[test]
fn two_lines_that_changed_places_are_named_once() {
    let record = record();
    for at in 1..record.lines.len() {
        let mut lines = record.lines.clone();
        lines.swap(at - 1, at);
        let breaks = record.compare(lines.concat().as_bytes());
        assert_eq!(kinds(&breaks), ["seq-swapped", "root-mismatch"], "{at}");
        assert_eq!(breaks[0].line, Some(at as u64));
    }
    // Further apart, too.
    let mut lines = record.lines.clone();
    lines.swap(2, 9);
    let breaks = record.compare(lines.concat().as_bytes());
    assert!(is_reported(&breaks));
    assert_eq!(breaks[0].line, Some(3));
}

#[test]
fn a_line_that_is_there_twice_is_named() {
    let record = record();
    for at in 0..record.lines.len() {
        for to in at..record.lines.len() {
            let mut lines = record.lines.clone();
            lines.insert(to + 1, record.lines[at].clone());
            let breaks = record.compare(lines.concat().as_bytes());
            assert!(is_reported(&breaks));
            let repeat = breaks.iter().find(|found| found.fault == Fault::SeqRepeat);
            let repeat = repeat.unwrap_or_else(|| panic!("{at} {to}: {breaks:?}"));
            assert_eq!(repeat.line, Some(to as u64 + 2));
            assert_eq!(repeat.seq, Some(at as u64));
        }
    }
}

#[test]
fn a_file_cut_at_any_byte_is_reported_and_its_beginning_stays_usable() {
    let record = record();
    for length in 0..record.bytes.len() {
        let cut = &record.bytes[..length];
        let breaks = record.compare(cut);
        assert!(is_reported(&breaks), "{length}");
        let kinds = kinds(&breaks);
        assert!(
            kinds.contains(&"shorter-than-checkpoint"),
            "{length}: {kinds:?}"
        );
        let whole = cut.iter().filter(|byte| **byte == b'\n').count();
        let at_end = cut.last().is_none_or(|byte| *byte == b'\n');
        assert_eq!(kinds.contains(&"torn-last-line"), !at_end, "{length}");
        let (log, _) = Log::read(cut);
        assert_eq!(log.entries().len(), whole);
        assert_eq!(
            log.good_bytes() as usize,
            record
                .lines
                .iter()
                .take(whole)
                .map(String::len)
                .sum::<usize>()
        );
        assert_eq!(log.is_writable(), whole > 0);
    }
}

#[test]
fn after_a_power_cut_the_log_goes_on() {
    let record = record();
    let torn = &record.bytes[..record.bytes.len() - 40];
    let (mut log, breaks) = Log::read(torn);
    assert_eq!(kinds(&breaks), ["torn-last-line"]);
    let mut file = torn[..log.good_bytes() as usize].to_vec();
    let last = Log::read(&record.bytes).0.entries()[11].clone();
    let appended = log
        .append(Draft {
            time: last.moment(),
            actor: last.actor,
            kind: last.kind,
            body: last.body,
            refs: last.refs,
            photos: last.photos,
        })
        .unwrap();
    file.extend_from_slice(appended.line.as_bytes());
    // The same record gives the same bytes.
    assert_eq!(file, record.bytes);
    assert_eq!(log.good_bytes(), file.len() as u64);
}

#[test]
fn entries_behind_the_checkpoint_are_lawful_and_said() {
    let record = record();
    let (mut log, _) = Log::read(&record.bytes);
    let appended = log
        .append(Draft {
            time: "2026-11-25T19:00:00+00:00".parse().unwrap(),
            actor: "Ø. Lund".into(),
            kind: "note".into(),
            body: json!({}),
            refs: vec![],
            photos: vec![],
        })
        .unwrap();
    let longer = [&record.bytes, appended.line.as_bytes()].concat();
    let found = record.verify(&longer);
    assert_eq!(kinds(&found.breaks), ["unsigned-tail"]);
    assert_eq!(found.breaks[0].to_string(), "entry 12 is not signed yet");
    assert!(found.holds());
    assert_eq!((found.size, found.signed_size()), (13, 12));
}

#[test]
fn a_forger_who_makes_the_ids_right_meets_the_root() {
    let record = record();
    for at in 0..record.lines.len() {
        // Plays the day again with one word changed from there on.
        let (honest, _) = Log::read(&record.bytes);
        let mut forged = Log::open(honest.origin()).unwrap();
        let mut file = String::new();
        for entry in honest.entries() {
            let mut entry = entry.clone();
            if entry.seq as usize == at {
                entry.body["voltage_v"] = json!("0.3");
            }
            let appended = forged
                .append(Draft {
                    time: entry.moment(),
                    actor: entry.actor,
                    kind: entry.kind,
                    body: entry.body,
                    refs: entry.refs,
                    photos: entry.photos,
                })
                .unwrap();
            file.push_str(&appended.line);
        }
        let found = record.verify(file.as_bytes());
        assert_eq!(kinds(&found.breaks), ["root-mismatch"], "{at}");
        assert!(!found.holds());

        // And signs it with a key of his own, under the same name or another.
        for name in [record.trusted[0].name(), "works.invalid/other"] {
            let own = DeviceKey::from_seed(name, &[0x66; 32]).unwrap();
            let note = forged.checkpoint(&own).unwrap().to_string();
            let found = verify(file.as_bytes(), Some(&note), &record.trusted);
            assert_eq!(found.signed, Signed::UnknownKey);
            assert_eq!(kinds(&found.breaks), ["unknown-key", "unsigned-tail"]);
            assert!(!found.holds());
        }
    }
}

#[test]
fn the_key_of_one_device_does_not_vouch_for_another() {
    let record = record();
    let (log, _) = Log::read(&record.bytes);
    let other = DeviceKey::from_seed("works.invalid/job-log/tablet-8", &[8; 32]).unwrap();
    let note = log.checkpoint(&other).unwrap().to_string();
    let trusted = [record.trusted[0].clone(), other.verifier()];
    let found = verify(&record.bytes, Some(&note), &trusted);
    assert_eq!(found.signed, Signed::UnknownKey);
    assert!(!found.holds());

    // As a second signature beside the device's own it is welcome.
    let mut note = log.checkpoint(&DeviceKey::demo()).unwrap();
    note.sign(&other);
    let found = verify(&record.bytes, Some(&note.to_string()), &trusted);
    assert!(found.holds());
    assert_eq!(found.signers, [trusted[0].name(), other.name()]);
}

#[test]
fn a_missing_or_foreign_checkpoint_is_said() {
    let record = record();
    let found = verify(&record.bytes, None, &record.trusted);
    assert_eq!(found.signed, Signed::Unsigned);
    assert_eq!(kinds(&found.breaks), ["no-checkpoint", "unsigned-tail"]);
    assert!(!found.holds());

    let found = verify(&record.bytes, Some("hello"), &record.trusted);
    assert_eq!(found.signed, Signed::Unsigned);
    assert_eq!(
        found.breaks[0].to_string(),
        "not a signed note: no blank line before the signatures"
    );

    let key = DeviceKey::from_seed("works.invalid/job-log/tablet-8", &[8; 32]).unwrap();
    let note = Log::open(key.name()).unwrap().checkpoint(&key).unwrap();
    let found = verify(&record.bytes, Some(&note.to_string()), &[key.verifier()]);
    assert_eq!(
        kinds(&found.breaks),
        ["checkpoint-of-other-log", "unsigned-tail"]
    );
    assert!(!found.holds());
}

#[test]
fn an_empty_log_can_be_signed_and_holds() {
    let key = DeviceKey::demo();
    let note = Log::open(key.name()).unwrap().checkpoint(&key).unwrap();
    let found = verify(b"", Some(&note.to_string()), &[key.verifier()]);
    assert_eq!(found.breaks, []);
    assert!(found.holds());
}
