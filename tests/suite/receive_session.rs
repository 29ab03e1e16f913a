//! A register that stays open from scan to scan reads only what is new, and still finds every
//! change that somebody made between two scans.

use std::fs;

use packdown::actions::{ActionError, Delivery, Load, Receiving, begin};
use packdown::custody::{Scan, Subject};
use packdown::store::{RegisterFolder, StoreError};

use crate::dock::{NOON, at, handover, site_json};

struct Dock {
    home: tempfile::TempDir,
}

impl Dock {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        fs::write(home.path().join("site.json"), site_json("us")).unwrap();
        let load = serde_json::to_string(&handover()).unwrap();
        fs::write(home.path().join("load.json"), load).unwrap();
        Self { home }
    }

    fn folder(&self) -> RegisterFolder {
        RegisterFolder::at(self.home.path())
    }

    fn receiving(&self) -> Receiving {
        let load = Load::read(&self.home.path().join("load.json")).unwrap();
        let delivery = Delivery {
            delivered_by: "Dan Driver".into(),
            vehicle: None,
        };
        begin(&self.folder(), load, &delivery, None, "ada", Some(at(NOON)))
            .unwrap()
            .unwrap()
    }

    fn ledger(&self) -> Vec<u8> {
        fs::read(self.home.path().join("ledger/device.jsonl")).unwrap()
    }

    fn put_ledger(&self, bytes: &[u8]) {
        fs::write(self.home.path().join("ledger/device.jsonl"), bytes).unwrap();
    }

    /// What reading the whole from the disk gives.
    fn afresh(&self) -> String {
        format!("{:?}", self.folder().open().unwrap().register)
    }
}

fn module(name: &str) -> Scan {
    Scan::of(Subject::Module(name.into()))
}

fn is_broken(given: Result<impl std::fmt::Debug, ActionError>) -> bool {
    matches!(
        given,
        Err(ActionError::Store(StoreError::LedgerBroken { .. }))
    )
}

#[test]
fn what_a_session_knows_is_what_reading_the_whole_gives() {
    let dock = Dock::new();
    let (one, other) = (dock.receiving(), dock.receiving());
    for (clerk, name) in [(&one, "MOD-0001"), (&other, "MOD-0002"), (&one, "MOD-0003")] {
        clerk.scan(module(name)).unwrap().unwrap();
    }
    let (number, _, _) = other.scan(module("MOD-0004")).unwrap().unwrap();
    assert_eq!(number, 4);
    other.undo_last().unwrap().unwrap();
    let folder = dock.folder();
    let first = format!("{:?}", folder.open().unwrap().register);
    one.scan(module("MOD-0004")).unwrap().unwrap();
    // The same value reads on; a new one reads the whole.
    assert_ne!(format!("{:?}", folder.open().unwrap().register), first);
    assert_eq!(
        format!("{:?}", folder.open().unwrap().register),
        dock.afresh()
    );
    assert!(folder.verification(&[]).unwrap().holds());
}

#[test]
fn a_byte_changed_between_two_scans_is_found_at_the_second() {
    let dock = Dock::new();
    let clerk = dock.receiving();
    clerk.scan(module("MOD-0001")).unwrap().unwrap();
    let good = dock.ledger();
    // Every place would be slow; a prime step comes through all lines and members.
    for at in (0..good.len()).step_by(97) {
        let mut bad = good.clone();
        bad[at] ^= 1;
        dock.put_ledger(&bad);
        assert!(is_broken(clerk.scan(module("MOD-0002"))), "byte {at}");
        assert_eq!(dock.ledger(), bad, "nothing is built on it");
        dock.put_ledger(&good);
    }
    let (number, _, _) = clerk.scan(module("MOD-0002")).unwrap().unwrap();
    assert_eq!(number, 2);
}

#[test]
fn whole_entries_taken_away_between_two_scans_are_missed() {
    let dock = Dock::new();
    let clerk = dock.receiving();
    clerk.scan(module("MOD-0001")).unwrap().unwrap();
    let short = dock.ledger();
    clerk.scan(module("MOD-0002")).unwrap().unwrap();
    dock.put_ledger(&short);
    assert!(is_broken(clerk.scan(module("MOD-0003"))));
}

#[test]
fn a_checkpoint_of_another_record_is_found_at_the_next_scan() {
    let dock = Dock::new();
    let clerk = dock.receiving();
    let file = dock.home.path().join("ledger/device.checkpoint");
    let old = fs::read_to_string(&file).unwrap();
    clerk.scan(module("MOD-0001")).unwrap().unwrap();
    let good = fs::read_to_string(&file).unwrap();
    let root = |note: &str| note.lines().nth(2).unwrap().to_owned();
    fs::write(&file, good.replace(&root(&good), &root(&old))).unwrap();
    assert!(is_broken(clerk.scan(module("MOD-0002"))));
    fs::write(&file, &good).unwrap();
    clerk.scan(module("MOD-0002")).unwrap().unwrap();
}

#[test]
fn a_torn_line_of_another_writer_is_dropped_and_nothing_else() {
    let dock = Dock::new();
    let clerk = dock.receiving();
    clerk.scan(module("MOD-0001")).unwrap().unwrap();
    let good = dock.ledger();
    let mut torn = good.clone();
    torn.extend_from_slice(br#"{"actor":"ada","body":{"rec"#);
    dock.put_ledger(&torn);
    clerk.scan(module("MOD-0002")).unwrap().unwrap();
    assert!(dock.ledger().starts_with(&good));
    assert!(dock.folder().verification(&[]).unwrap().holds());
    assert_eq!(
        dock.folder().open().unwrap().register.receipts["R1"]
            .scans
            .len(),
        2
    );
}
