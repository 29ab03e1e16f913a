//! The register of a receiver beside the jobs: its receipts are the other half of hand-overs, and it
//! has duties of its own. One fault is planted in each.

use std::collections::BTreeMap;

use packdown::audit::{Audited, RegisterRecord, audit};
use packdown::clock::Moment;
use packdown::ledger::{DEMO_ORIGIN, DeviceKey, Draft, Log, to_hex, verify};
use serde_json::{Value, json};

use crate::audit_histories::{BASES, History};
use crate::program::Bench;

/// A register with the receipt of one hand-over; a test changes its entries.
struct Site {
    entries: Vec<(&'static str, &'static str, Value)>,
    day: &'static str,
}

impl Site {
    /// Everything as handed over, received on the same day and sent on in December.
    fn clean(history: &History, leaf: &str) -> Self {
        let handover = history.handover.clone().unwrap();
        let arrived: Vec<Value> = handover["packages"]
            .as_array()
            .unwrap()
            .iter()
            .map(|package| {
                json!({"identity": package["modules"][0]["identity"], "package": package["id"],
                    "temporary": false, "soundness": "sound", "findings": []})
            })
            .collect();
        let serials: Vec<Value> = arrived.iter().map(|one| one["identity"].clone()).collect();
        let site = json!({"name": "Tidewater Battery Recovery", "address": "Dock 9",
            "country": "IE", "region": "eu"});
        let first = serials[0].clone();
        Self {
            entries: vec![
                (
                    "2026-11-01T08:00:00+00:00",
                    "register_opened",
                    json!({"site": site}),
                ),
                (
                    "2026-11-24T15:00:00+00:00",
                    "receipt_opened",
                    json!({"receipt": "R1",
                    "handover": handover, "source": "bundle", "proof": "signed",
                    "released": {"log": DEMO_ORIGIN, "seq": 1, "leaf_hash": leaf},
                    "delivered_by": "Tom Garrow"}),
                ),
                (
                    "2026-11-24T15:30:00+00:00",
                    "receipt_closed",
                    json!({"receipt": "R1",
                    "received_by": "Wim Oakes", "delivered_by": "Tom Garrow", "arrived": arrived,
                    "lines": [{"answers": ["received"]}]}),
                ),
                (
                    "2026-11-24T15:40:00+00:00",
                    "discrepancy",
                    json!({"id": "R1/mass_off/P2",
                    "clock": {"basis": "the site's own period", "clause": "settings of the site",
                        "due": "2026-12-09"}}),
                ),
                (
                    "2026-11-25T10:00:00+00:00",
                    "held",
                    json!({"identity": first, "reason": "warm"}),
                ),
                (
                    "2026-11-28T10:00:00+00:00",
                    "cleared",
                    json!({"identity": first, "by": "wim",
                    "with": "ruth", "reason": "cool for three days", "readings": 6}),
                ),
                (
                    "2026-12-01T10:00:00+00:00",
                    "discrepancy_settled",
                    json!({"id": "R1/mass_off/P2",
                    "by": "wim", "reason": "scale of the sender"}),
                ),
                (
                    "2026-12-10T10:00:00+00:00",
                    "dispatched",
                    json!({"identities": serials,
                    "to": "treater"}),
                ),
            ],
            day: "2026-12-20",
        }
    }

    fn body(&mut self, kind: &str) -> &mut Value {
        &mut self.entries.iter_mut().find(|one| one.1 == kind).unwrap().2
    }

    /// The treater's certificate, as the register keeps it.
    fn certify(&mut self, serials: Value) {
        let number = format!("C-{}", self.entries.len());
        self.entries.push((
            "2026-12-18T10:00:00+00:00",
            "certificate_taken",
            json!({"number": number, "treater": "treater", "serials": serials, "files": [],
                "by": "wim"}),
        ));
    }

    fn drop(&mut self, kind: &str) {
        self.entries.retain(|one| one.1 != kind);
    }

    fn record(&self) -> RegisterRecord {
        let mut log = Log::open(DEMO_ORIGIN).unwrap();
        let mut text = String::new();
        for (at, kind, body) in &self.entries {
            let draft = Draft {
                time: at.parse::<Moment>().unwrap(),
                actor: "wim".into(),
                kind: (*kind).into(),
                body: body.clone(),
                refs: Vec::new(),
                photos: Vec::new(),
            };
            text.push_str(&log.append(draft).unwrap().line);
        }
        let key = DeviceKey::demo();
        let checkpoint = log.checkpoint(&key).unwrap().to_string();
        RegisterRecord {
            source: "register".into(),
            record: verify(text.as_bytes(), Some(&checkpoint), &[key.verifier()]),
            day: self.day.parse().unwrap(),
        }
    }
}

/// Audits a history beside a register.
fn both(history: &History, site: &Site) -> (Audited, Audited) {
    let register = site.record();
    let mut receipts: BTreeMap<String, Vec<packdown::audit::Exchange>> = BTreeMap::new();
    for receipt in register.receipts() {
        receipts
            .entry(receipt.job.clone())
            .or_default()
            .push(receipt);
    }
    let mut dossier = history.dossier().unwrap();
    dossier.add_receipts(&receipts);
    (audit(&dossier, None), register.audited())
}

/// A history that ends with its hand-over, and the leaf of that entry.
fn handed_over() -> (History, String) {
    let mut history = History::clean(BASES[0], 7);
    history.hand_over();
    let leaf = leaf_of(&history);
    (history, leaf)
}

fn leaf_of(history: &History) -> String {
    let (log, _) = Log::read(&history.written().0);
    to_hex(&log.leaf(log.len() - 1).unwrap())
}

fn found(audited: &Audited) -> Vec<&str> {
    let mut ids: Vec<&str> = audited
        .findings
        .iter()
        .map(|one| one.check.as_str())
        .collect();
    ids.dedup();
    ids
}

#[test]
fn a_register_that_answers_every_hand_over_gives_no_finding() {
    let (history, leaf) = handed_over();
    let (job, register) = both(&history, &Site::clean(&history, &leaf));
    assert_eq!(job.findings, []);
    assert_eq!(register.findings, []);
    // A receipt of another hand-over answers nothing: after 35 days that is asked about.
    let mut late = history.clone();
    late.day = "2027-01-31";
    let (job, _) = both(&late, &Site::clean(&history, &"ab".repeat(32)));
    assert_eq!(found(&job), ["custody.open"]);
    let (job, _) = both(&late, &Site::clean(&history, &leaf));
    assert_eq!(found(&job), Vec::<&str>::new());
    // A load received from its paper names no leaf: number and job say which hand-over it answers.
    let mut paper = Site::clean(&history, &leaf);
    let opened = paper.body("receipt_opened");
    opened.as_object_mut().unwrap().remove("released");
    let (job, _) = both(&late, &paper);
    assert_eq!(found(&job), Vec::<&str>::new());
    paper.body("receipt_opened")["handover"]["number"] = json!(2);
    let (job, _) = both(&late, &paper);
    assert_eq!(found(&job), ["custody.open"]);
}

#[test]
fn a_certificate_in_a_register_ends_the_wait_for_one() {
    let (mut history, leaf) = handed_over();
    history.day = "2027-07-31";
    let mut site = Site::clean(&history, &leaf);
    site.day = "2027-07-31";
    let serials = site.body("dispatched")["identities"].clone();
    let (_, register) = both(&history, &site);
    assert_eq!(found(&register), ["register.certificates"]);
    assert_eq!(register.findings.len(), 4, "one a module");
    // As the treater writes them: another case, blanks in between.
    let written: Vec<String> = serials
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one.as_str().unwrap().to_lowercase().replacen('-', " -", 1))
        .collect();
    site.certify(json!(written));
    let (_, register) = both(&history, &site);
    assert_eq!(register.findings, []);
    let by = site.record().certified();
    assert_eq!(by.len(), 4);
    let mut dossier = history.dossier().unwrap();
    dossier.add_certificates(&by);
    let first = serials[0].as_str().unwrap();
    let words = &dossier.certified(first).unwrap().words;
    assert!(words.starts_with("C-8 of 2026-12-18 by treater"), "{words}");
    let file = packdown::audit::module_file(&dossier, first, &[]).unwrap();
    assert_eq!(&file.certificate, words);
}

#[test]
fn each_fault_in_a_register_is_found_and_nothing_else() {
    type Change = fn(&mut Site);
    // Check of the job, check of the register, what is wrong.
    let faults: [(&str, &str, &str, Change); 19] = [
        ("custody.serials", "", "one module never arrived", |site| {
            site.body("receipt_closed")["arrived"][2]["identity"] = json!("T-1");
            site.body("dispatched")["identities"] = json!([]);
        }),
        ("custody.count", "", "two packages in one", |site| {
            site.body("receipt_closed")["arrived"][3]["package"] = json!("P3");
        }),
        (
            "custody.seals",
            "",
            "a seal was broken on arrival",
            |site| {
                site.body("receipt_closed")["lines"][0]["answers"] =
                    json!(["received", "seal_broken"]);
            },
        ),
        ("custody.place", "", "another firm took the load", |site| {
            site.body("register_opened")["site"]["name"] = json!("Nobody's Yard");
            site.body("register_opened")["site"]["address"] = json!("Lane 1");
        }),
        (
            "custody.time",
            "",
            "received before it was handed over",
            |site| {
                site.entries[1].0 = "2026-11-24T10:00:00+00:00";
                site.entries[2].0 = "2026-11-24T10:30:00+00:00";
            },
        ),
        (
            "",
            "register.receipts",
            "a receipt was never closed",
            |site| {
                let mut more = site.entries[1].clone();
                more.2["receipt"] = json!("R2");
                more.0 = "2026-11-24T15:35:00+00:00";
                site.entries.insert(3, more);
            },
        ),
        (
            "",
            "register.discrepancies",
            "nobody settled the discrepancy",
            |site| {
                site.drop("discrepancy_settled");
            },
        ),
        // 40 CFR 264.72: on the last day it is in time, the day after it is not.
        ("", "register.discrepancies", "settled a day late", |site| {
            site.drop("dispatched");
            let settled = site.entries.last_mut().unwrap();
            settled.0 = "2026-12-10T10:00:00+00:00";
        }),
        ("", "register.holds", "cleared by one person", |site| {
            site.body("cleared")["with"] = json!("wim");
        }),
        ("", "register.holds", "cleared by the clock alone", |site| {
            site.body("cleared")["readings"] = json!(0);
        }),
        ("", "register.holds", "sent on while it was held", |site| {
            site.drop("cleared")
        }),
        (
            "",
            "register.holds",
            "held at its receipt, sent on",
            |site| {
                let arrived = site.body("receipt_closed")["arrived"][1]["identity"].clone();
                site.body("receipt_closed")["lines"][0] = json!({"answers": ["received"],
                "subject": {"module": arrived}, "hold": "hotter than sent"});
            },
        ),
        ("", "register.entries", "one module sent on twice", |site| {
            let mut again = site.entries.last().unwrap().clone();
            let first = again.2["identities"][0].clone();
            again.2["identities"] = json!([first]);
            site.entries.push(again);
        }),
        (
            "",
            "register.entries",
            "an entry of an unknown kind",
            |site| {
                let mut other = site.entries.last().unwrap().clone();
                other.1 = "weather";
                site.entries.push(other);
            },
        ),
        // 40 CFR 273.35: one year from receipt.
        ("", "register.stay", "fourteen months in the US", |site| {
            site.body("register_opened")["site"]["region"] = json!("us");
            site.drop("dispatched");
            site.day = "2028-01-20";
        }),
        // Half a year after it left, a setting of this project.
        (
            "",
            "register.certificates",
            "no certificate after 181 days",
            |site| {
                site.day = "2027-06-09";
            },
        ),
        (
            "",
            "register.certificates",
            "a certificate names what never was here",
            |site| {
                let serials = site.body("dispatched")["identities"].clone();
                let mut named = serials.as_array().unwrap().clone();
                named.push(json!("X-999"));
                site.certify(json!(named));
            },
        ),
        (
            "",
            "register.certificates",
            "one module on two certificates",
            |site| {
                let serials = site.body("dispatched")["identities"].clone();
                site.certify(serials.clone());
                site.certify(json!([serials[0]]));
            },
        ),
        (
            "",
            "ledger.clock",
            "the register's clock was set back",
            |site| {
                site.entries.last_mut().unwrap().0 = "2026-11-30T10:00:00+00:00";
            },
        ),
    ];
    for (job_check, register_check, what, change) in faults {
        let (history, leaf) = handed_over();
        let mut site = Site::clean(&history, &leaf);
        change(&mut site);
        let (job, register) = both(&history, &site);
        let expected = |id: &'static str| if id.is_empty() { vec![] } else { vec![id] };
        assert_eq!(
            found(&job),
            expected(job_check),
            "{what}: {:?}",
            job.findings
        );
        assert_eq!(
            found(&register),
            expected(register_check),
            "{what}: {:?}",
            register.findings
        );
    }
}

#[test]
fn a_hand_over_that_lists_another_serial_than_was_removed_is_found() {
    let (mut history, _) = handed_over();
    history.handover.as_mut().unwrap()["packages"][1]["modules"][0]["identity"] = json!("X-1");
    let site = Site::clean(&history, &leaf_of(&history));
    let (job, _) = both(&history, &site);
    assert_eq!(found(&job), ["custody.serials"]);
    assert_eq!(
        job.findings.len(),
        1,
        "both ends agree with each other: {:?}",
        job.findings
    );
}

#[test]
fn a_bundle_is_audited_as_its_job_is() {
    let bench = Bench::with_lawful_job();
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    let ran = bench.run(&["release", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    std::fs::create_dir(bench.path("in")).unwrap();
    let bundle = std::fs::read_dir(bench.path("out"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.extension().is_some_and(|ext| ext == "zip"))
        .unwrap();
    std::fs::copy(&bundle, bench.path("in/one.zip")).unwrap();
    let asked = |path: &str| {
        let ran = bench.run(&["audit", path, "--on", "2026-11-26", "--format", "json"]);
        let report: Value = serde_json::from_str(&ran.out).unwrap();
        let findings = report["findings"].as_array().unwrap().clone();
        (ran.code, findings, report["summary"]["entries"].clone())
    };
    let (code, findings, entries) = asked("in");
    assert_eq!((code, findings.len()), (0, 0), "{findings:?}");
    assert_eq!((0, 0, entries), {
        let (code, findings, entries) = asked("out");
        (code, findings.len(), entries)
    });
    // The same log twice is no fork, and its serials are no other job's.
    let ran = bench.run(&["audit", "in", "out", "--on", "2026-11-26"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    // One byte of a paper changed inside the zip.
    let mut bytes = std::fs::read(&bundle).unwrap();
    let at = bytes.windows(9).position(|w| w == b"harbour-l").unwrap();
    bytes[at] ^= 1;
    bench.write("in/one.zip", bytes);
    let ran = bench.run(&["audit", "in", "--on", "2026-11-26"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(
        ran.out.contains("bundle.whole") || ran.out.contains("ledger."),
        "{}",
        ran.out
    );
}
