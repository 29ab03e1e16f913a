//! Papers from invented jobs: golden files, hostile texts, sums, and readers of other makers.
//!
//! `PACKDOWN_BLESS=1` writes the golden files anew. `PACKDOWN_PYTHON` and `PACKDOWN_CHROMIUM` name
//! the programs that read the custody file and print the page; without them those tests say that
//! they were skipped.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stderr,
    reason = "tests may stop at once"
)]

use std::path::{Path, PathBuf};
use std::process::Command;

use packdown::battery::Soundness;
use packdown::ids::PackageCode;
use packdown::inspection::LimitVerdict;
use packdown::papers::custody::{self, CustodyRow, Event, ItemKind, SealState};
use packdown::papers::decisions::{self, Decisions, ModuleDecisions};
use packdown::papers::manifest::{
    self, Count, LedgerMark, LeftBehind, Manifest, ModuleLine, PackageLine, Party, TravelAnswer,
    TravelState,
};
use packdown::papers::sheets::{self, SheetRow};
use packdown::papers::{ChargeRange, Language, PaperError, marked, plain_text, unmarked};
use packdown::units::{Decimal, Grams, MilliwattHours};

fn golden(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/golden")
        .join(name);
    if std::env::var_os("PACKDOWN_BLESS").is_some() {
        std::fs::write(&path, text).unwrap();
    }
    let wanted = std::fs::read_to_string(&path).unwrap();
    assert!(
        wanted == text,
        "{name} differs; look at it, then PACKDOWN_BLESS=1 writes it anew"
    );
}

fn charge(low: &str, high: &str, basis: &str) -> Option<ChargeRange> {
    Some(ChargeRange {
        low_percent: low.parse().unwrap(),
        high_percent: high.parse().unwrap(),
        basis: basis.to_owned(),
    })
}

fn answer(regime: &str, state: TravelState, text: &str) -> TravelAnswer {
    TravelAnswer {
        regime: regime.to_owned(),
        state,
        text: text.to_owned(),
    }
}

fn module(serial: &str) -> ModuleLine {
    ModuleLine {
        serial: serial.to_owned(),
        serial_proved: true,
        model: Some("LB-2560".to_owned()),
        energy_wh: Some("2560".parse().unwrap()),
        net_mass_kg: Some("24.35".parse().unwrap()),
        soundness: Soundness::Sound,
        state_of_charge: charge("27", "33", "management screen, 3 %"),
        layer: None,
        answers: vec![
            answer(
                "ADR 2025 road",
                TravelState::AllowedWith,
                "UN 3480, SP 377, P909",
            ),
            answer(
                "49 CFR highway",
                TravelState::AllowedWith,
                "UN 3480, 173.185(d), strong outer packaging",
            ),
        ],
    }
}

fn package(id: &str, modules: Vec<ModuleLine>) -> PackageLine {
    let net: i64 = modules
        .iter()
        .filter_map(|module| module.net_mass_kg)
        .map(Grams::as_thousandths)
        .sum();
    PackageLine {
        package_id: id.to_owned(),
        code: match id {
            "P1" => PackageCode::Sscc("095211411234567892".to_owned()),
            _ => PackageCode::Uuid("urn:uuid:017f22e2-79b0-8cc3-98c4-dc0c0c07398f".to_owned()),
        },
        packaging: "4G/Y60/S/25/D/ABC-1234".to_owned(),
        modules,
        gross_mass_kg: Some(Grams::thousandths(net + 2_650)),
        marks: vec!["UN 3480".into(), "LITHIUM BATTERIES FOR RECYCLING".into()],
        labels: vec!["9A".into()],
        document_lines: vec!["UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E)".into()],
        seal: Some(format!("S-04{id}")),
    }
}

/// A stack of six in a cellar: five leave, one of them damaged, one stays.
fn home_job() -> Manifest {
    let mut damaged = package("P5", vec![module("HB24-000417-5")]);
    damaged.packaging = "4A/X80/S/25/D/ABC-77, cushioned, absorbent".to_owned();
    damaged.marks = vec![
        "UN 3480".into(),
        "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES".into(),
    ];
    damaged.document_lines = vec![
        "UN 3480 WASTE LITHIUM ION BATTERIES, 9, (0)".into(),
        "TRANSPORT IN ACCORDANCE WITH SPECIAL PROVISION 376".into(),
    ];
    damaged.gross_mass_kg = None;
    let line = &mut damaged.modules[0];
    line.serial = "HELM-17/J5".to_owned();
    line.serial_proved = false;
    line.model = None;
    line.net_mass_kg = None;
    line.soundness = Soundness::Damaged;
    line.state_of_charge = None;
    line.answers = vec![
        answer(
            "ADR 2025 road",
            TravelState::AllowedWith,
            "UN 3480, SP 376, P908",
        ),
        answer(
            "49 CFR highway",
            TravelState::NotDetermined,
            "missing: whether it is of a type tested under UN 38.3",
        ),
    ];
    let mut packages: Vec<PackageLine> = (1..=4)
        .map(|n| package(&format!("P{n}"), vec![module(&format!("HB24-000417-{n}"))]))
        .collect();
    packages.push(damaged);
    Manifest {
        language: Language::ENGLISH,
        job: "HELM-17".to_owned(),
        issue: Some(2),
        title: Some("Cellar stack, Helm family".to_owned()),
        draft: None,
        site: "Cellar, Lindenweg 17, 99999 Musterhausen".to_owned(),
        consignor: Party {
            name: "Brennert Speicherdienst".to_owned(),
            address: "Werkhof 3, 99998 Musterhausen".to_owned(),
        },
        consignee: Party {
            name: "Aldermoor Recovery Works".to_owned(),
            address: "Dock 4, Kanalstrasse 40, 99990 Beispielstadt".to_owned(),
        },
        carrier: Some(Party {
            name: "Quellhorst Transport".to_owned(),
            address: "Ring 9, 99998 Musterhausen".to_owned(),
        }),
        pounds: false,
        planned_on: Some("2026-11-25".parse().unwrap()),
        issued_at: Some("2026-11-25T13:20:00+01:00".parse().unwrap()),
        purpose: "recycling".to_owned(),
        regimes: vec![
            "ADR 2025 road".into(),
            "49 CFR highway, text of 2022-12".into(),
        ],
        rule_set: "first-cut 1.0, sha256 5f0c2a9e".to_owned(),
        ledger: Some(LedgerMark {
            origin: "packdown.example/job-log/tablet-2".to_owned(),
            size: 148,
            root: "n4bQgYhMfWWaL+qgxVrQFaO/TxsrC4Is0V1sFbDwCgg=".to_owned(),
        }),
        technician: "Ida Brennert".to_owned(),
        person_in_charge: "Jonas Quell".to_owned(),
        packages,
        left_behind: vec![LeftBehind {
            serial: "HB24-000417-6".to_owned(),
            reason: "wall fixing seized; second visit agreed for 2026-12-02".to_owned(),
        }],
        count: Count {
            planned: 6,
            removed: 5,
            left_behind: 1,
        },
        cautions: vec![
            "The terminals of every module stay live; caps stay on until the consignee opens the \
             package."
                .to_owned(),
            "P5: keep apart from P1 to P4, look at its temperature before loading and on arrival."
                .to_owned(),
            "Local code and licensed practice govern.".to_owned(),
        ],
        open_points: vec!["P5 is not weighed; weigh it before it is handed over.".to_owned()],
        unverified: vec![
            "49 CFR 173.185(f): text of December 2022, later changes not looked at.".to_owned(),
        ],
    }
}

/// Eight packages of one module, the largest job that has to fit a page.
fn largest_home_job() -> Manifest {
    let mut manifest = home_job();
    manifest.packages = (1..=8)
        .map(|n| package(&format!("P{n}"), vec![module(&format!("HB24-000417-{n}"))]))
        .collect();
    manifest.packages[7] = home_job().packages[4].clone();
    manifest.packages[7].package_id = "P8".to_owned();
    manifest.count = Count {
        planned: 9,
        removed: 8,
        left_behind: 1,
    };
    manifest
}

#[test]
fn the_manifest_of_a_home_job_is_as_committed() {
    let manifest = home_job();
    golden("manifest.csv", &manifest::csv(&manifest).unwrap());
    golden("manifest.html", &manifest::html(&manifest, None).unwrap());
    let mut draft = largest_home_job();
    draft.draft = Some("DRAFT - NOT FOR TRANSPORT".to_owned());
    draft.issued_at = None;
    draft.count.removed = 7;
    golden(
        "manifest-draft.html",
        &manifest::html(&draft, None).unwrap(),
    );
    golden(
        "manifest-largest.html",
        &manifest::html(&largest_home_job(), None).unwrap(),
    );
}

#[test]
fn the_summary_fits_a_terminal_of_80_columns() {
    let text = packdown::papers::summary::text(&home_job()).unwrap();
    golden("summary.txt", &text);
    let mut wide = hostile_manifest("wort ".repeat(40).trim_end());
    wide.job = "x".repeat(300);
    for text in [text, packdown::papers::summary::text(&wide).unwrap()] {
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
            assert_eq!(line.trim_end(), line);
        }
    }
}

/// A manifest with `text` in every field that takes free text.
fn hostile_manifest(text: &str) -> Manifest {
    let own = || text.to_owned();
    let party = || Party {
        name: own(),
        address: own(),
    };
    Manifest {
        language: Language::ENGLISH,
        job: own(),
        title: Some(own()),
        draft: Some(own()),
        site: own(),
        consignor: party(),
        consignee: party(),
        carrier: Some(party()),
        purpose: own(),
        regimes: vec![own()],
        rule_set: own(),
        ledger: Some(LedgerMark {
            origin: own(),
            size: 1,
            root: own(),
        }),
        technician: own(),
        person_in_charge: own(),
        packages: vec![PackageLine {
            package_id: own(),
            code: PackageCode::Uuid(own()),
            packaging: own(),
            modules: vec![ModuleLine {
                serial: own(),
                model: Some(own()),
                state_of_charge: charge("1", "2", text),
                layer: Some(2),
                answers: vec![answer(text, TravelState::Forbidden, text)],
                ..module("")
            }],
            gross_mass_kg: None,
            marks: vec![own(), own()],
            labels: vec![own(), own()],
            document_lines: vec![own(), own()],
            seal: Some(own()),
        }],
        left_behind: vec![LeftBehind {
            serial: own(),
            reason: own(),
        }],
        cautions: vec![own()],
        open_points: vec![own()],
        unverified: vec![own()],
        ..home_job()
    }
}

fn case_rows() -> Vec<Vec<String>> {
    include_str!("../cases/csv.tsv")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split('\t').map(str::to_owned).collect())
        .collect()
}

/// The seven starts of the OWASP page on CSV injection, from its rows in `csv.tsv`.
fn unsafe_starts() -> Vec<char> {
    let starts: Vec<char> = case_rows()
        .iter()
        .filter(|row| row[0].ends_with("must not begin with"))
        .map(|row| match row[1].strip_prefix("0x") {
            Some(code) => {
                let code = code.split(' ').next().unwrap();
                char::from(u8::from_str_radix(code, 16).unwrap())
            }
            None => row[1].chars().next().unwrap(),
        })
        .collect();
    assert_eq!(starts.len(), 7);
    starts
}

/// Texts that run as a formula in a spreadsheet that is not careful.
fn formulas() -> Vec<String> {
    let mut texts: Vec<String> = unsafe_starts()
        .iter()
        .map(|start| format!("{start}1+2"))
        .collect();
    texts.extend(
        [
            "\";=1+2",
            "\",=1+2",
            "a;=1+2",
            "a|@SUM(A1)",
            "a\r\n=1+2",
            "  =1+2",
            "'=1+2",
            "=cmd|' /C calc'!A0",
        ]
        .map(str::to_owned),
    );
    texts.extend(
        case_rows()
            .iter()
            .filter(|row| row[0] == "OWASP CSV injection")
            .map(|row| row[1].clone()),
    );
    texts
}

const EVENTS: [&str; 5] = [
    "019ab9a1-5c00-7a10-8000-0000000000a1",
    "019ab9a1-6c00-7a10-8000-0000000000a2",
    "019ab9a1-7c00-7a10-8000-0000000000a3",
    "019ab9a1-8c00-7a10-8000-0000000000a4",
    "019ab9a1-9c00-7a10-8000-0000000000a5",
];

fn custody_row(event_id: &str, item: &str, event: Event, at: &str, seq: u64) -> CustodyRow {
    CustodyRow {
        event_id: event_id.to_owned(),
        item_id: item.to_owned(),
        item_kind: ItemKind::Module,
        event,
        at: at.parse().unwrap(),
        place: "cellar, Lindenweg 17".to_owned(),
        released_by: None,
        received_by: None,
        purpose: "recycling".to_owned(),
        condition: "sound, both poles capped".to_owned(),
        seal_number: None,
        seal_state: None,
        state_of_charge_low_percent: None,
        state_of_charge_high_percent: None,
        voltage_v: None,
        surface_temperature_c: None,
        net_mass_kg: None,
        reason: String::new(),
        amends: None,
        evidence_sha256: Vec::new(),
        ledger_log: "packdown.example/job-log/tablet-2".to_owned(),
        ledger_seq: seq,
        leaf_hash: format!("{seq:064x}"),
        item_uri: "urn:uuid:017f22e2-79b0-8cc3-98c4-dc0c0c07398f".to_owned(),
    }
}

/// One module from the wall to the carrier, one reading corrected, one package.
fn custody_rows() -> Vec<CustodyRow> {
    let removed = custody_row(
        EVENTS[0],
        "HB24-000417-1",
        Event::Removed,
        "2026-11-25T10:02:11+01:00",
        61,
    );
    let inspected = CustodyRow {
        state_of_charge_low_percent: Some("27".parse().unwrap()),
        state_of_charge_high_percent: Some("33".parse().unwrap()),
        voltage_v: Some("-51.20".parse().unwrap()),
        surface_temperature_c: Some("-0.5".parse().unwrap()),
        net_mass_kg: Some("24.35".parse().unwrap()),
        evidence_sha256: vec!["ab".repeat(32), "cd".repeat(32)],
        ..custody_row(
            EVENTS[1],
            "HB24-000417-1",
            Event::Inspected,
            "2026-11-25T10:09:40.250+01:00",
            66,
        )
    };
    let corrected = CustodyRow {
        voltage_v: Some("51.20".parse().unwrap()),
        reason: "leads of the meter were swapped".to_owned(),
        amends: Some(EVENTS[1].to_owned()),
        ..custody_row(
            EVENTS[2],
            "HB24-000417-1",
            Event::Corrected,
            "2026-11-25T10:14:05+01:00",
            70,
        )
    };
    let sealed = CustodyRow {
        item_kind: ItemKind::Package,
        condition: "closed \"as tested\", no dents; dry".to_owned(),
        seal_number: Some("S-04P1".to_owned()),
        seal_state: Some(SealState::Intact),
        ..custody_row(
            EVENTS[3],
            "P1",
            Event::Sealed,
            "2026-11-25T11:30:00+01:00",
            90,
        )
    };
    let released = CustodyRow {
        released_by: Some("Ida Brennert".to_owned()),
        received_by: Some("M. Quellhorst, Quellhorst Transport".to_owned()),
        ..sealed.clone()
    };
    let released = |item: &str, kind| CustodyRow {
        event_id: EVENTS[4].to_owned(),
        item_id: item.to_owned(),
        item_kind: kind,
        event: Event::Released,
        at: "2026-11-25T13:31:00+01:00".parse().unwrap(),
        ledger_seq: 140,
        ..released.clone()
    };
    vec![
        removed,
        inspected,
        corrected,
        sealed,
        released("P1", ItemKind::Package),
        released("HB24-000417-1", ItemKind::Module),
    ]
}

#[test]
fn the_custody_file_is_as_committed_and_reads_back_whole() {
    let rows = custody_rows();
    let csv = custody::csv(&rows).unwrap();
    golden("custody.csv", &csv);
    let hash = "0f".repeat(32);
    golden(
        "custody.datapackage.json",
        &custody::datapackage(&csv, Some(&hash)).unwrap(),
    );
    assert_eq!(custody::check(&csv).unwrap(), rows);
    // Another minor: a table without the column that came with 1.1, and one with a later column.
    let cells = |line: &str, cut: bool| match line.rsplit_once(',') {
        Some((before, _)) if cut => before.to_owned(),
        _ => format!("{line},later"),
    };
    for cut in [true, false] {
        let other: String = csv.lines().map(|line| cells(line, cut) + "\r\n").collect();
        let read = custody::check(&other).unwrap();
        assert_eq!(read.len(), rows.len());
        assert_eq!(read[0].item_uri.is_empty(), cut);
        assert_eq!(read[0].leaf_hash, rows[0].leaf_hash);
    }
}

#[test]
fn rfc_4180_rows_come_out_as_published() {
    // RFC 4180 section 2: our writer quotes more than it must, never less.
    let rows: Vec<_> = case_rows();
    let published: Vec<_> = rows
        .iter()
        .filter(|row| row[0].starts_with("RFC 4180"))
        .collect();
    assert_eq!(published.len(), 2);
    for row in published {
        let text = row[1].replace("\\r\\n", "\r\n");
        let wanted: serde_json::Value = serde_json::from_str(&row[2]).unwrap();
        let wanted = match wanted[0].as_array() {
            Some(_) => wanted,
            None => serde_json::json!([wanted]),
        };
        let read: Vec<Vec<String>> = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(text.as_bytes())
            .into_records()
            .map(|record| record.unwrap().iter().map(str::to_owned).collect())
            .collect();
        assert_eq!(serde_json::to_value(&read).unwrap(), wanted);
        for cells in read {
            let mut row = custody_row(EVENTS[0], &cells[0], Event::Held, "2026-11-25T10:00:00Z", 1);
            row.place = cells[1].clone();
            row.reason = cells[2].clone();
            let written = custody::csv(&[row]).unwrap();
            let quoted: Vec<String> = cells.iter().map(|cell| cell.replace('"', "\"\"")).collect();
            for cell in quoted {
                assert!(written.contains(&cell), "{cell}");
            }
            let back = custody::check(&written).unwrap();
            assert_eq!(
                [&back[0].item_id, &back[0].place, &back[0].reason],
                [&cells[0], &cells[1], &cells[2]]
            );
        }
    }
}

/// What a spreadsheet may show as cells, whichever sign it splits at and whether or not it
/// honours the quotes of a line that it has split elsewhere.
fn cells_however_split(csv: &str) -> Vec<String> {
    let mut cells = Vec::new();
    for delimiter in [b',', b';', b'|', b'\t'] {
        for record in csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(csv.as_bytes())
            .into_records()
        {
            cells.extend(record.unwrap().iter().map(str::to_owned));
        }
    }
    cells.extend(csv.split([';', '|', '\t', '\r', '\n']).map(str::to_owned));
    cells
}

fn assert_no_formula(csv: &str) {
    for cell in cells_however_split(csv) {
        let cell = cell.trim_start().trim_start_matches('"').trim_start();
        let is_number = cell.parse::<Decimal>().is_ok();
        assert!(
            is_number || !cell.starts_with(['=', '+', '-', '@']),
            "{cell:?} in {csv}"
        );
    }
}

#[test]
fn no_text_in_any_field_becomes_a_formula_and_all_come_back() {
    for text in formulas() {
        let own = || text.clone();
        let row = CustodyRow {
            item_id: own(),
            place: own(),
            released_by: Some(own()),
            received_by: Some(own()),
            purpose: own(),
            condition: own(),
            seal_number: Some(own()),
            reason: own(),
            ledger_log: own(),
            ..custody_rows()[1].clone()
        };
        let csv = custody::csv(std::slice::from_ref(&row)).unwrap();
        assert_no_formula(&csv);
        let back = custody::check(&csv).unwrap().remove(0);
        let plain = plain_text(&text);
        for field in [
            &back.item_id,
            &back.place,
            back.released_by.as_ref().unwrap(),
            back.received_by.as_ref().unwrap(),
            &back.purpose,
            &back.condition,
            back.seal_number.as_ref().unwrap(),
            &back.reason,
            &back.ledger_log,
        ] {
            assert_eq!(*field, plain);
        }
        assert_eq!(unmarked(&marked(&plain)), Some(plain));
        assert_no_formula(&manifest::csv(&hostile_manifest(&text)).unwrap());
        assert_no_formula(&sheets::csv(&[hostile_sheet(&text)]).unwrap());
    }
}

#[test]
fn ids_and_hashes_have_grammars_that_no_formula_fits() {
    for text in formulas() {
        let wrong: [fn(&mut CustodyRow, String); 4] = [
            |row, text| row.event_id = text,
            |row, text| row.amends = Some(text),
            |row, text| row.evidence_sha256 = vec![text],
            |row, text| row.leaf_hash = text,
        ];
        for set in wrong {
            let mut row = custody_rows()[1].clone();
            set(&mut row, text.clone());
            let error = custody::csv(&[row]).unwrap_err();
            assert!(
                matches!(error, PaperError::OutsideGrammar { .. }),
                "{error}"
            );
        }
    }
}

#[test]
fn the_checker_names_line_and_column_of_every_fault() {
    let good = custody::csv(&custody_rows()).unwrap();
    for (from, to, wanted) in [
        ("\r\n", "\n", "not every line ends in CRLF"),
        (
            "event_id,item_id",
            "item_id,event_id",
            "line 1: the head row does not name the columns of this format",
        ),
        (
            ",removed,",
            ",decommissioned,",
            "line 2, column `event`: `decommissioned` is not one of the column's words",
        ),
        (
            ",27,33,",
            ",27,128,",
            "line 3, column `state_of_charge_high_percent`: `128` is not a decimal number in the column's range",
        ),
        (
            ",27,33,",
            ",34,33,",
            "line 3, column `state_of_charge_low_percent`: above state_of_charge_high_percent, or that is empty",
        ),
        (
            ",24.35,",
            ",24.3501,",
            "line 3, column `net_mass_kg`: finer than a gram",
        ),
        (
            ",-51.20,",
            ",5e1,",
            "line 3, column `voltage_v`: `5e1` is not a decimal number in the column's range",
        ),
        (
            "leads of the meter were swapped",
            "=1+2",
            "line 4, column `reason`: `=1+2` is not a text in one line with `'` before a sign that begins a formula",
        ),
        (
            "09:09:40.250Z",
            "09:09:41.250Z",
            "line 3, column `time_utc`: not the instant of time_local, which is 2026-11-25T09:09:40.250Z",
        ),
        (
            "10:02:11+01:00",
            "10:02:11",
            "line 2, column `time_local`: `2026-11-25T10:02:11` is not a local time with its offset",
        ),
        (
            "019ab9a1-6c00-7a10-8000-0000000000a2,HB24",
            "019ab9a1-5c00-7a10-8000-0000000000a1,HB24",
            "line 3, column `event_id`: rows of one entry differ in time or place in the ledger",
        ),
        (
            "0000000000a5,HB24-000417-1,module",
            "0000000000a5,P1,package",
            "line 7, column `event_id`: this event stands for this item already",
        ),
        (
            "019ab9a1-7c00-7a10-8000-0000000000a3,HB24",
            "019ab9a1-6c00-7a10-8000-0000000000a2,HB24",
            "line 4, column `event_id`: rows of one entry differ in time or place in the ledger; line 4, column `amends`: an event cannot correct itself",
        ),
        (
            ",P1,package,released,2026-11-25T13:31:00+01:00,2026-11-25T12:31:00.000Z,\"cellar, Lindenweg 17\",Ida Brennert,",
            ",P1,package,released,2026-11-25T13:31:00+01:00,2026-11-25T12:31:00.000Z,\"cellar, Lindenweg 17\",,",
            "line 6, column `released_by`: empty in a release",
        ),
        (
            ",61,",
            ",,",
            "line 2, column `ledger_seq`: must not be empty",
        ),
        (
            "HB24-000417-1,module,removed",
            "HB24-000417-1,removed",
            "line 2: must have 25 cells",
        ),
    ] {
        assert!(good.contains(from), "{from}");
        let faults = custody::check(&good.replacen(from, to, 1)).unwrap_err();
        let found: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert_eq!(found.join("; "), wanted);
    }
    assert_eq!(
        custody::check("").unwrap_err()[0].to_string(),
        "the file is empty"
    );
}

/// A Python that has the PyPI package `frictionless`; `PACKDOWN_PYTHON` names another one than
/// `python3`.
fn python_with_frictionless() -> Result<PathBuf, String> {
    let python = std::env::var_os("PACKDOWN_PYTHON").unwrap_or_else(|| "python3".into());
    let asked = Command::new(&python)
        .args(["-c", "import frictionless"])
        .output();
    match asked {
        Ok(output) if output.status.success() => Ok(python.into()),
        Ok(_) => Err("python has no package frictionless".to_owned()),
        Err(error) => Err(format!("no python: {error}")),
    }
}

fn skipped(why: &str) {
    eprintln!("skipped: {why}");
}

/// Each error that frictionless finds, as `type row field`.
fn frictionless(python: &Path, csv: &str) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("custody.csv"), csv).unwrap();
    std::fs::write(
        folder.path().join("custody.datapackage.json"),
        custody::datapackage(csv, None).unwrap(),
    )
    .unwrap();
    let script = "import frictionless\n\
        report = frictionless.validate('custody.datapackage.json', type='package')\n\
        for error in report.flatten(['type', 'rowNumber', 'fieldName']): print(*error)\n\
        print('valid', report.valid)";
    let output = Command::new(python)
        .args(["-c", script])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let text = String::from_utf8(output.stdout).unwrap();
    text.lines().map(str::to_owned).collect()
}

#[test]
fn frictionless_reads_the_custody_file_as_meant() {
    let python = match python_with_frictionless() {
        Ok(python) => python,
        Err(why) => return skipped(&why),
    };
    let mut rows = custody_rows();
    for (index, text) in formulas().into_iter().enumerate() {
        let mut row = rows[3].clone();
        row.item_id = format!("P{}", index + 10);
        row.reason = text.clone();
        row.place = text;
        rows.push(row);
    }
    let good = custody::csv(&rows).unwrap();
    assert_eq!(frictionless(&python, &good), ["valid True"]);
    let bad = good
        .replacen(",removed,", ",decommissioned,", 1)
        .replacen(",27,33,", ",27,128,", 1)
        .replacen("leads of the meter were swapped", "=1+2", 1)
        .replacen("0000000000a5,HB24-000417-1", "0000000000a5,P1", 1);
    assert_eq!(
        frictionless(&python, &bad),
        [
            "constraint-error 2 event",
            "constraint-error 3 state_of_charge_high_percent",
            "constraint-error 4 reason",
            "primary-key 7 None",
            "valid False",
        ]
    );

    // The pattern in the schema and our own reader refuse the same cells.
    let cells = [
        "=1",
        " =1",
        "\u{a0}@1",
        "'a",
        "a;-1",
        "a| +1",
        "\"=1",
        "x;'",
        "a\tb",
        "\u{ff1d}1",
    ];
    for cell in cells {
        assert_eq!(unmarked(cell), None, "{cell:?}");
        let quoted = format!("\"{}\"", cell.replace('"', "\"\""));
        let csv = custody::csv(&custody_rows()).unwrap();
        let bad = csv.replacen("leads of the meter were swapped", &quoted, 1);
        assert_eq!(
            frictionless(&python, &bad),
            ["constraint-error 4 reason", "valid False"],
            "{cell:?}"
        );
    }
}

fn sheet(module: &str, serial: &str) -> SheetRow {
    SheetRow {
        module: module.to_owned(),
        serial: serial.to_owned(),
        serial_proved: true,
        model: Some("LB-2560".to_owned()),
        position: Some(1),
        photos: vec!["ab".repeat(32)],
        surface_temperature_c: Some("18.4".parse().unwrap()),
        ambient_temperature_c: Some("17.0".parse().unwrap()),
        temperature_rise_k: Some("1.4".parse().unwrap()),
        terminal_voltage_v: Some("51.20".parse().unwrap()),
        positive_to_case_v: Some("0.3".parse().unwrap()),
        negative_to_case_v: Some("-0.2".parse().unwrap()),
        insulation_ohm_per_v: Some("20000".parse().unwrap()),
        cell_voltage_lowest_v: Some("3.198".parse().unwrap()),
        cell_voltage_highest_v: Some("3.203".parse().unwrap()),
        state_of_charge: charge("27", "33", "management screen, 3 %"),
        energy_inside_wh: None,
        charge_limit: Some(("30".parse().unwrap(), LimitVerdict::NotProven)),
        charge_next: vec!["rest it 24 h".into(), "read the cells".into()],
        findings: vec!["F01".to_owned(), "F12".to_owned()],
        soundness: Soundness::Suspect,
        judged_by: Some("Ida Brennert".to_owned()),
        criteria_source: Some("maker's sheet, revision 4".to_owned()),
        net_mass_kg: Some("24.35".parse().unwrap()),
        lift_note: Some("two persons".to_owned()),
        terminal_covers: Some("caps on both poles".to_owned()),
        package: Some("P1".to_owned()),
        packaging: Some("4G/Y60/S/25/D/ABC-1234".to_owned()),
        seal: Some("S-04P1".to_owned()),
        reuse_gates: vec!["open: findings: outcome 0".into()],
    }
}

/// Nothing known but the name and that it must count as undiagnosed.
fn unknown_sheet() -> SheetRow {
    SheetRow {
        module: "m2".to_owned(),
        serial: "HELM-17/J2".to_owned(),
        serial_proved: false,
        model: None,
        position: None,
        photos: Vec::new(),
        surface_temperature_c: None,
        ambient_temperature_c: None,
        temperature_rise_k: None,
        terminal_voltage_v: None,
        positive_to_case_v: None,
        negative_to_case_v: None,
        insulation_ohm_per_v: None,
        cell_voltage_lowest_v: None,
        cell_voltage_highest_v: None,
        state_of_charge: None,
        energy_inside_wh: None,
        charge_limit: None,
        charge_next: Vec::new(),
        findings: Vec::new(),
        soundness: Soundness::Undiagnosed,
        judged_by: None,
        criteria_source: None,
        net_mass_kg: None,
        lift_note: None,
        terminal_covers: None,
        package: None,
        packaging: None,
        seal: None,
        reuse_gates: Vec::new(),
    }
}

fn hostile_sheet(text: &str) -> SheetRow {
    let own = || text.to_owned();
    SheetRow {
        module: own(),
        serial: own(),
        model: Some(own()),
        findings: vec![own(), own()],
        state_of_charge: charge("1", "2", text),
        judged_by: Some(own()),
        criteria_source: Some(own()),
        lift_note: Some(own()),
        terminal_covers: Some(own()),
        package: Some(own()),
        packaging: Some(own()),
        seal: Some(own()),
        ..sheet("", "")
    }
}

#[test]
fn sheets_carry_units_in_the_heads_and_leave_the_unknown_empty() {
    let csv = sheets::csv(&[sheet("m1", "HB24-000417-1"), unknown_sheet()]).unwrap();
    golden("sheets.csv", &csv);
    let unknown = csv.lines().last().unwrap();
    assert_eq!(
        unknown,
        "m2,HELM-17/J2,no,,,,,,,,,,,,,,,,,,,,,,undiagnosed,,,,,,,,,"
    );
}

#[test]
fn decisions_are_the_same_bytes_each_time() {
    let decisions = Decisions {
        job: "HELM-17".to_owned(),
        rule_set: "first-cut 1.0".to_owned(),
        issued: Some("2026-11-25T13:20:00+01:00".parse().unwrap()),
        modules: vec![ModuleDecisions {
            module: "m1".to_owned(),
            serial: "HB24-000417-1".to_owned(),
            decisions: vec![serde_json::json!({
                "regime": "adr_2025_road",
                "answer": "allowed_with",
                "trace": [{ "rule": "sound-for-recycling", "fired": true }],
            })],
        }],
        small_loads: Vec::new(),
    };
    golden("decisions.json", &decisions::json(&decisions).unwrap());
}

#[test]
fn a_manifest_whose_counts_differ_is_printed_only_as_a_draft() {
    let mut manifest = home_job();
    manifest.left_behind.clear();
    manifest.count.left_behind = 0;
    manifest.packages[0].modules.clear();
    let error = manifest::csv(&manifest).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the counts of job `HELM-17` do not add up: planned 6 is not removed 5 + left behind 0; \
         removed 5 but 4 listed in packages"
    );
    assert!(manifest::html(&manifest, None).is_err());
    manifest.draft = Some("DRAFT - NOT FOR TRANSPORT".to_owned());
    let page = manifest::html(&manifest, None).unwrap();
    assert!(page.contains("Count: planned 6 \u{2260} removed 5 + left behind 0"));
    assert!(page.contains("<li>planned 6 is not removed 5 + left behind 0</li>"));
    assert!(page.contains("<li>removed 5 but 4 listed in packages</li>"));
    manifest.left_behind.push(LeftBehind {
        serial: "HB24-000417-6".to_owned(),
        reason: String::new(),
    });
    assert_eq!(
        manifest.differences()[2],
        "left behind 0 but 1 listed with a reason"
    );
}

#[test]
fn totals_add_what_is_known_and_count_what_is_not() {
    // By hand: 4 x 24.35 kg = 97.4 kg, 4 x 27 kg = 108 kg, 5 x 2560 Wh = 12800 Wh.
    let totals = home_job().totals().unwrap();
    assert_eq!((totals.packages, totals.modules), (5, 5));
    assert_eq!(totals.net_mass_kg.known, "97.4".parse::<Grams>().unwrap());
    assert_eq!(totals.net_mass_kg.unknown, 1);
    assert_eq!(totals.gross_mass_kg.known, "108".parse::<Grams>().unwrap());
    assert_eq!(totals.gross_mass_kg.unknown, 1);
    let energy: MilliwattHours = "12800".parse().unwrap();
    assert_eq!(
        (totals.energy_wh.known, totals.energy_wh.unknown),
        (energy, 0)
    );

    let mut heavy = home_job();
    heavy.packages[0].gross_mass_kg = Some("24.349".parse().unwrap());
    assert_eq!(
        manifest::html(&heavy, None).unwrap_err().to_string(),
        "package `P1` weighs 24.349 kg but its modules weigh 24.35 kg"
    );
    heavy.packages[0].gross_mass_kg = Some("24.35".parse().unwrap());
    assert!(manifest::html(&heavy, None).is_ok());
    heavy.packages[0].modules[0].net_mass_kg = Some(Grams::thousandths(i64::MAX));
    assert!(matches!(
        heavy.totals().unwrap_err(),
        PaperError::SumTooLarge { what: "net masses" }
    ));
}

#[test]
fn hostile_text_is_escaped_in_every_field_of_the_page() {
    let plain = manifest::html(&hostile_manifest("QQ"), None).unwrap();
    let places = plain.matches("QQ").count();
    assert!(places > 30, "{places}");
    let text = "<img src=x onerror=alert(1)>\"'&</style></script>\u{202e}\u{1b}[2J";
    let page = manifest::html(&hostile_manifest(text), None).unwrap();
    assert!(!page.contains("<img") && !page.contains("\u{202e}") && !page.contains('\u{1b}'));
    assert_eq!(page.matches("</style>").count(), 1);
    assert!(!page.contains("<script") && !page.contains("</script>"));
    let escaped = "&lt;img src=x onerror=alert(1)&gt;&quot;&#x27;&amp;&lt;&#x2f;style&gt;";
    assert_eq!(page.matches(escaped).count(), places);
    // The text outside of tags is the same but for the fields: no tag was added or lost.
    let tags = |html: &str| html.matches('<').count();
    assert_eq!(tags(&page), tags(&plain));
}

#[test]
fn a_user_may_bring_a_template_and_is_told_what_is_wrong_with_it() {
    let own = "{{ job }}: {% for package in packages %}{{ package.id }} {% endfor %}";
    assert_eq!(
        manifest::html(&home_job(), Some(own)).unwrap(),
        "HELM-17: P1 P2 P3 P4 P5 "
    );
    for (template, wanted) in [
        ("\n{{ jobb }}", "manifest.html:2"),
        ("{% for p in packages %}", "manifest.html:1"),
        ("{{ packages[99].id }}", "manifest.html:1"),
    ] {
        let error = manifest::html(&home_job(), Some(template))
            .unwrap_err()
            .to_string();
        assert!(error.starts_with("the template of the packing manifest does not work: "));
        assert!(error.contains(wanted), "{error}");
    }
}

/// Pages of `html` when `chromium` prints it on `paper`.
fn pages(chromium: &Path, html: &str, paper: &str) -> usize {
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("manifest.html");
    let pdf = folder.path().join("manifest.pdf");
    let sized = html.replace("@page {", &format!("@page {{ size: {paper};"));
    assert_ne!(sized, html);
    std::fs::write(&page, sized).unwrap();
    let output = Command::new(chromium)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
        ])
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", page.display()))
        .output()
        .unwrap();
    let pdf = std::fs::read(&pdf)
        .map_err(|error| format!("{error}: {}", String::from_utf8_lossy(&output.stderr)))
        .unwrap();
    let pdf = String::from_utf8_lossy(&pdf);
    pdf.matches("/Type /Page\n").count()
}

#[test]
fn a_job_of_eight_packages_prints_on_one_page() {
    let Some(chromium) = std::env::var_os("PACKDOWN_CHROMIUM") else {
        return skipped("PACKDOWN_CHROMIUM names no browser");
    };
    let chromium = PathBuf::from(chromium);
    let issued = largest_home_job();
    let mut draft = issued.clone();
    draft.draft = Some("DRAFT - NOT FOR TRANSPORT".to_owned());
    let mut long = issued.clone();
    long.packages
        .extend((9..=60).map(|n| package(&format!("P{n}"), vec![module("x")])));
    long.count.removed = 60;
    long.count.planned = 61;
    for paper in ["A4", "letter"] {
        for manifest in [&issued, &draft] {
            let page = manifest::html(manifest, None).unwrap();
            assert_eq!(pages(&chromium, &page, paper), 1, "{paper}");
        }
        let page = manifest::html(&long, None).unwrap();
        assert!(
            pages(&chromium, &page, paper) > 1,
            "the count of pages does not count"
        );
    }
}
