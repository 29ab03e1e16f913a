//! The papers that are data: the twin for spreadsheets, descriptions of the tables, workbooks.
//!
//! `tests/outside/tables.py` reads the same files with PyPI `frictionless`, `csvw` and `openpyxl`.

use std::fs;
use std::path::Path;

use packdown::papers::custody::{self, CustodyRow, Event, ItemKind};
use serde_json::Value;

use crate::program::Bench;

fn row(condition: &str, seal: &str) -> CustodyRow {
    CustodyRow {
        event_id: "01a1e8ca-81a0-7484-8531-965b1760fa49".into(),
        item_id: "000123".into(),
        item_kind: ItemKind::Module,
        event: Event::Removed,
        at: "2026-11-17T10:15:48+01:00".parse().unwrap(),
        place: "Cellar".into(),
        released_by: None,
        received_by: None,
        purpose: "recycling".into(),
        condition: condition.into(),
        seal_number: Some(seal.into()),
        seal_state: None,
        state_of_charge_low_percent: None,
        state_of_charge_high_percent: None,
        voltage_v: Some("-0.40".parse().unwrap()),
        surface_temperature_c: None,
        net_mass_kg: None,
        reason: String::new(),
        amends: None,
        evidence_sha256: Vec::new(),
        ledger_log: "x".into(),
        ledger_seq: 1,
        leaf_hash: "0".repeat(64),
        item_uri: String::new(),
    }
}

#[test]
fn the_twin_for_spreadsheets_is_the_published_form_and_says_what_it_is() {
    // OWASP, CSV Injection (www-community, commit 0e5e8f00, read): the worked example.
    let twin = custody::for_spreadsheets(&[row("=1+2'\" ;,=1+2", "1E5")]);
    assert!(twin.contains("\"'=1+2'\"\" ;,=1+2\""), "{twin}");
    let lines: Vec<&str> = twin.split("\r\n").collect();
    assert!(lines[0].starts_with("\u{feff}\"For reading only. custody.csv is the record"));
    assert!(lines[1].starts_with("\"event_id\",\"item_id\""));
    // What a spreadsheet would turn into another number stays what it is; a number stays one.
    assert!(lines[2].contains("\"'000123\""), "{}", lines[2]);
    assert!(lines[2].contains("\"'1E5\""), "{}", lines[2]);
    assert!(lines[2].contains("\"-0.40\""), "{}", lines[2]);
    assert_eq!(lines[3], "");
    // It is never read back.
    assert!(custody::check(&twin).is_err());
}

#[test]
fn no_cell_of_the_twin_begins_a_formula_however_it_is_split() {
    // The seven starts of the OWASP page, and the way out of a cell.
    for start in ["=", "+", "-", "@", "\t=", "\r=", "\n=", "\";=", "|=", " ="] {
        let text = format!("{start}HYPERLINK(1)");
        let twin = custody::for_spreadsheets(&[row(&text, &text)]);
        for line in twin.lines().skip(2) {
            for cell in line.split(['"', ';', '|', '\t']) {
                let cell = cell.trim_start();
                assert!(
                    !cell.starts_with(['=', '+', '@'])
                        && (cell == "-0.40" || !cell.starts_with('-')),
                    "{text:?}: {line}"
                );
            }
        }
    }
}

#[test]
fn every_table_of_an_issue_is_described_as_it_is() {
    let bench = Bench::with_lawful_job();
    bench.run(&["run", "job", "--out", "out"]);
    let issued = bench.run(&["issue", "out", "--out", "copies", "--format", "json"]);
    assert_eq!(issued.code, 0, "{}{}", issued.out, issued.err);
    for name in ["custody", "sheets", "manifest"] {
        let csv = bench.read(&format!("copies/{name}.csv"));
        let heads: Vec<&str> = csv.lines().next().unwrap().split(',').collect();
        let package: Value =
            serde_json::from_str(&bench.read(&format!("copies/{name}.datapackage.json"))).unwrap();
        let resource = &package["resources"][0];
        assert_eq!(resource["path"], format!("{name}.csv"));
        assert_eq!(resource["bytes"], csv.len());
        let hash = packdown::ledger::to_hex(&packdown::ledger::sha256(csv.as_bytes()));
        assert_eq!(resource["hash"], format!("sha256:{hash}"));
        let fields = resource["schema"]["fields"].as_array().unwrap();
        let names: Vec<&str> = fields.iter().map(|f| f["name"].as_str().unwrap()).collect();
        assert_eq!(names, heads, "{name}");
        // The key names columns, and no two rows have the same.
        let mut keys = std::collections::BTreeSet::new();
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        for record in reader.records() {
            let record = record.unwrap();
            let key: Vec<String> = resource["schema"]["primaryKey"]
                .as_array()
                .unwrap()
                .iter()
                .map(|column| {
                    let at = heads.iter().position(|head| column == head).unwrap();
                    record[at].to_owned()
                })
                .collect();
            assert!(keys.insert(key), "{name}: {record:?}");
        }
        assert!(!keys.is_empty());
    }
    let csvw: Value =
        serde_json::from_str(&bench.read("copies/custody.csv-metadata.json")).unwrap();
    assert_eq!(csvw["@context"][0], "http://www.w3.org/ns/csvw");
    assert_eq!(csvw["url"], "custody.csv");
    let columns = csvw["tableSchema"]["columns"].as_array().unwrap();
    let heads = bench.read("copies/custody.csv");
    let heads: Vec<&str> = heads.lines().next().unwrap().split(',').collect();
    let titles: Vec<&str> = columns
        .iter()
        .map(|c| c["titles"].as_str().unwrap())
        .collect();
    assert_eq!(titles, heads);
}

#[test]
fn workbooks_and_events_are_made_when_asked_and_have_the_same_bytes_each_time() {
    let files = ["manifest.xlsx", "custody.xlsx", "epcis.jsonld"];
    let bytes = |bench: &Bench, file: &str| fs::read(bench.path(&format!("out/{file}"))).unwrap();
    let issue = || {
        let bench = Bench::with_lawful_job();
        bench.run(&["run", "job", "--out", "out"]);
        for file in files {
            assert!(!Path::new(&bench.path(&format!("out/{file}"))).exists());
        }
        let issued = bench.run(&["issue", "out"]);
        assert_eq!(issued.code, 0, "{}{}", issued.out, issued.err);
        bench
    };
    let (first, second) = (issue(), issue());
    for file in files {
        assert!(
            bytes(&first, file) == bytes(&second, file),
            "{file} differs"
        );
    }
    assert!(bytes(&first, "manifest.xlsx").starts_with(b"PK\x03\x04"));
}
