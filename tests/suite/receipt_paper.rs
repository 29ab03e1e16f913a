//! The receipt of a load on paper: what came, what is not as stated with both sides, what nobody
//! looked at, both names; a receipt that is not closed says that it is none.

use std::fs;

use crate::dock::{NOON, open_register, receive, site_json};
use crate::pdf_reader::read;
use crate::program::Bench;

fn bench(scans: &str) -> Bench {
    bench_with(&[], scans)
}

fn bench_with(more: &[&str], scans: &str) -> Bench {
    let bench = Bench::with_lawful_job();
    open_register(&bench);
    let ran = receive(&bench, more, scans);
    assert!(ran.code <= 1, "{}{}", ran.out, ran.err);
    bench
}

const RECEIPT: [&str; 7] = [
    "stock",
    "--register",
    "reg",
    "--receipt",
    "R1",
    "--out",
    "papers",
];

#[test]
fn a_closed_receipt_names_both_sides_and_each_difference() {
    // P1 is not seen, P2 comes with a broken seal, P3 as stated; nobody counted the load.
    let bench = bench("P2\nseal broken\nP3\nseal S3\nmass 64.2\ntemp 13\nclean\ndone\n");
    let ran = bench.run(&RECEIPT);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let html = bench.read("papers/receipt-R1.html");
    for words in [
        "MISSING",
        "SEAL BROKEN",
        "package P1",
        "Ada One",
        "Dan Driver",
        "What nobody looked at",
        "As stated",
        "Received for the site",
    ] {
        assert!(html.contains(words), "{words}: {html}");
    }
    assert!(!html.contains("NOT CLOSED"), "{html}");
    // The law's 15 days for the count of waste in the US, 40 CFR 264.72(b), (c), as the register has
    // it; the seal has the site's own days.
    assert!(html.contains("2026-03-17"), "{html}");
    let pdf = fs::read(bench.path("papers/receipt-R1.pdf")).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    // The same register gives the same bytes.
    assert_eq!(bench.run(&RECEIPT).code, 0);
    assert_eq!(fs::read(bench.path("papers/receipt-R1.pdf")).unwrap(), pdf);
    assert_eq!(bench.read("papers/receipt-R1.html"), html);
}

#[test]
fn an_open_receipt_is_none_yet() {
    let bench = bench("P1\nstop\n");
    assert_eq!(bench.run(&RECEIPT).code, 0);
    let html = bench.read("papers/receipt-R1.html");
    assert!(html.contains("NOT CLOSED - NO RECEIPT"), "{html}");
    assert!(!html.contains("each line is as stated"), "{html}");
}

#[test]
fn a_refused_load_says_why() {
    let bench = bench_with(&["--refuse", "leaks at the door"], "");
    assert_eq!(bench.run(&RECEIPT).code, 0);
    let html = bench.read("papers/receipt-R1.html");
    assert!(html.contains("REFUSED: leaks at the door"), "{html}");
}

#[test]
fn a_receipt_that_is_not_there_is_named_with_those_that_are() {
    let bench = bench("P1\nstop\n");
    let ran = bench.run(&[
        "stock",
        "--register",
        "reg",
        "--receipt",
        "R9",
        "--out",
        "papers",
    ]);
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("R9") && ran.out.contains("R1"),
        "{}",
        ran.out
    );
    assert!(!bench.path("papers").exists());
    // A receipt goes into a folder.
    let ran = bench.run(&["stock", "--register", "reg", "--receipt", "R1"]);
    assert_eq!(ran.code, 2, "{}{}", ran.out, ran.err);
}

/// The papers of a site in German: its words, the answers, and the stock that is asked for.
#[test]
fn papers_of_a_site_speak_german() {
    let bench = bench("P2\nseal broken\nP3\nseal S3\nmass 64.2\ntemp 13\nclean\ndone\n");
    let german = [&RECEIPT[..], &["--language", "de", "--stock", "a4"]].concat();
    let ran = bench.run(&german);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let html = bench.read("papers/receipt-R1.html");
    for words in [
        "lang=\"de\"",
        "Empfangsschein",
        "FEHLT",
        "PLOMBE GEBROCHEN",
        "Versandstück P1",
        "Was niemand angesehen hat",
        "sichtbarer Schaden",
        "vom Absender angegeben, ohne Protokoll: nicht bewiesen",
    ] {
        assert!(html.contains(words), "{words}: {html}");
    }
    for words in [
        "MISSING",
        "SEAL BROKEN",
        "package P1",
        "visible damage",
        "gross mass",
        "without a log",
    ] {
        assert!(!html.contains(words), "{words}: {html}");
    }
    let fire = |more: &[&str]| {
        let asked = ["stock", "--register", "reg", "--at", NOON, "--fire-page"];
        bench.run(&[&asked[..], more].concat())
    };
    let ran = fire(&["fire.html", "--language", "de", "--stock", "letter"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("FEUERWEHR: WAS BRENNT WO"), "{}", ran.out);
    let html = bench.read("fire.html");
    assert!(
        html.contains("size: letter") && html.contains("Was brennt wo"),
        "{html}"
    );
    for english in [
        "What burns where",
        "Distances",
        "modules",
        "not stated",
        "As of",
    ] {
        assert!(!html.contains(english), "{english}: {html}");
    }
    // What stays in the language it is kept in is said on this paper too.
    let stays = "stehen in deren Sprache (Englisch)";
    assert!(html.contains(stays), "{html}");
    assert_eq!(fire(&["fire.pdf", "--language", "de"]).code, 0);
    let pages = read(&fs::read(bench.path("fire.pdf")).unwrap());
    assert!(pages[0].text().replace('\n', " ").contains(stays));
    assert_eq!(fire(&["again.pdf", "--language", "xx"]).code, 2);
}

/// A4, Letter for a site in the United States; the same file each time.
#[test]
fn the_fire_page_is_a_pdf_on_the_stock_at_hand() {
    let bench = bench("P1\nstop\n");
    fs::create_dir_all(bench.path("us")).unwrap();
    let american = site_json("us").replace("\"country\": \"XX\"", "\"country\": \"US\"");
    bench.write("us/site.json", american);
    assert_eq!(bench.run(&["register", "open", "us"]).code, 0);
    let page = |register: &str, file: &str, more: &[&str]| {
        let asked = [
            "stock",
            "--register",
            register,
            "--at",
            NOON,
            "--fire-page",
            file,
        ];
        let ran = bench.run(&[&asked[..], more].concat());
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
        fs::read(bench.path(file)).unwrap()
    };
    for (register, usual, other) in [("reg", "a4", "letter"), ("us", "letter", "a4")] {
        let pdf = page(register, "fire.pdf", &[]);
        assert!(pdf.starts_with(b"%PDF-"));
        assert_eq!(
            page(register, "same.pdf", &["--stock", usual]),
            pdf,
            "{register}"
        );
        assert_ne!(
            page(register, "other.pdf", &["--stock", other]),
            pdf,
            "{register}"
        );
    }
}
