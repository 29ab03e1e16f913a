//! Papers from invented jobs: golden files, hostile texts, sums, and readers of other makers.
//!
//! `PACKDOWN_BLESS=1` writes the golden files anew.

use std::path::{Path, PathBuf};
use std::process::Command;

use packdown::battery::Soundness;
use packdown::papers::custody::{self, CustodyRow, Event, ItemKind, SealState};
use packdown::papers::decisions::{self, Decisions, ModuleDecisions};
use packdown::papers::manifest::{
    self, Count, LedgerMark, LeftBehind, Manifest, ModuleLine, PackageLine, Party, TravelAnswer,
    TravelState,
};
use packdown::papers::sheets::{self, SheetRow};
use packdown::papers::{ChargeRange, PaperError, marked, plain_text, unmarked};
use packdown::units::{Decimal, Grams, MilliPercent, MilliwattHours};

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
        job: "HELM-17".to_owned(),
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
            packaging: own(),
            modules: vec![ModuleLine {
                serial: own(),
                model: Some(own()),
                state_of_charge: charge("1", "2", text),
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
