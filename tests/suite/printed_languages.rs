//! Printed papers in every language: no head of a table is broken, what is void is not signed, a page
//! for a browser has the size of its stock, and duties and refusals are said in the paper's words.

use std::fs;

use crate::pdf_reader::{Page, read};
use crate::program::Bench;

fn played(name: &str) -> Bench {
    let bench = Bench::with_sample(name);
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert!(ran.code <= 1, "{}{}", ran.out, ran.err);
    bench
}

fn issue(bench: &Bench, more: &[&str], into: &str) {
    let ran = bench.run(&[&["issue", "out", "--out", into], more].concat());
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

fn pages(bench: &Bench, file: &str) -> Vec<Page> {
    read(&fs::read(bench.path(file)).unwrap())
}

/// The longest words that stand over narrow columns, as the tables of words have them.
#[test]
fn no_word_over_a_column_is_broken() {
    let bench = played("flooded-garage");
    for (language, words) in [
        ("de", ["Nettomasse", "Bruttomasse", "Batterien"]),
        ("fr", ["nette", "brute", "Batteries"]),
        ("es", ["neta", "bruta", "Baterías"]),
    ] {
        for stock in ["a4", "letter", "a5"] {
            let into = format!("{language}-{stock}");
            issue(&bench, &["--language", language, "--stock", stock], &into);
            let manifest = pages(&bench, &format!("{into}/manifest.pdf"));
            let document = pages(&bench, &format!("{into}/transport-1.pdf"));
            let whole = |pages: &[Page], word: &str| {
                let mut texts = pages.iter().flat_map(|page| &page.texts);
                texts.any(|one| one.bold && one.text.split(' ').any(|part| part == word))
            };
            assert!(whole(&manifest, words[0]), "{into}");
            for word in words {
                assert!(whole(&document, word), "{into} {word}");
            }
        }
    }
}

/// Nobody signs a void paper, so no page of it carries boxes alone.
#[test]
fn what_is_void_is_not_signed() {
    let bench = played("mill-street-swollen");
    issue(&bench, &[], "good");
    issue(&bench, &["--void", "wrong consignee"], "void");
    for paper in ["manifest", "transport-1", "method"] {
        let signed = |folder: &str| {
            let pages = pages(&bench, &format!("{folder}/{paper}.pdf"));
            let text: String = pages.iter().map(Page::text).collect();
            let html = bench.read(&format!("{folder}/{paper}.html"));
            let (_, body) = html.split_once("<body>").unwrap();
            let boxes = text.to_lowercase().contains("signature, date, time");
            assert_eq!(boxes, body.contains("class=\"sign\""), "{folder} {paper}");
            boxes
        };
        assert!(signed("good"), "{paper}");
        assert!(!signed("void"), "{paper}");
    }
    assert_eq!(pages(&bench, "void/manifest.pdf").len(), 1);
}

/// CSS Paged Media, 7.1 (from memory): `size` takes `A4` and `letter`.
#[test]
fn a_page_for_a_browser_has_the_size_of_its_stock() {
    let bench = played("harbour-lane-stack");
    for (stock, size) in [("a4", "A4"), ("letter", "letter"), ("a5", "A5")] {
        issue(&bench, &["--stock", stock], stock);
        let mut seen = 0;
        for file in fs::read_dir(bench.path(stock)).unwrap() {
            let name = file.unwrap().file_name().to_string_lossy().into_owned();
            // Labels have a stock of their own.
            if !name.ends_with(".html") || ["labels.html", "package.html"].contains(&name.as_str())
            {
                continue;
            }
            seen += 1;
            let html = bench.read(&format!("{stock}/{name}"));
            assert!(html.contains(&format!("@page {{ size: {size};")), "{name}");
        }
        assert!(seen >= 6, "{seen}");
    }
}

#[test]
fn duties_and_refusals_on_a_manifest_are_in_its_language() {
    let bench = played("early-lead-refused");
    let english = [
        "travels apart from sound ones",
        "travels as damaged",
        "The record says who",
        "not described",
        "say what it is packed in",
        "limit: ",
    ];
    for (language, wanted) in [
        ("en", &english[..]),
        (
            "de",
            &[
                "wird getrennt von unversehrten",
                "Versandstück: nicht beschrieben; Grenze: P908",
                "angeben, worin es verpackt ist",
            ],
        ),
        (
            "es",
            &[
                "viaja apartada de las sanas",
                "bulto: no descrito; límite: P908",
                "decir en qué está embalado",
            ],
        ),
        (
            "fr",
            &[
                "voyage à l&#x27;écart des saines",
                "colis: non décrit; limite: P908",
                "dire dans quoi il est emballé",
            ],
        ),
    ] {
        issue(&bench, &["--draft", "--language", language], language);
        let html = bench.read(&format!("{language}/manifest.html"));
        for words in wanted {
            assert!(html.contains(words), "{language} {words}: {html}");
        }
        for words in english {
            assert_eq!(html.contains(words), language == "en", "{language} {words}");
        }
        assert!(!html.contains("package: package"), "{html}");
    }
}

/// Where a packaging has several layers, the crew says in which a module stands, and the papers of
/// the package say it too.
#[test]
fn the_layer_of_a_module_stands_on_its_papers() {
    let bench = Bench::with_sample("ferry-steps-pallet");
    let packed = "\"evidence\": {\"package\": \"P1\", ";
    bench.change(
        "job/record.jsonl",
        packed,
        &format!("{packed}\"layer\": 2, "),
    );
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    issue(&bench, &["--language", "de"], "de");
    let mut table = csv::Reader::from_path(bench.path("de/manifest.csv")).unwrap();
    let place = |name: &str, heads: &csv::StringRecord| heads.iter().position(|head| head == name);
    let heads = table.headers().unwrap().clone();
    let (package, layer) = (place("package_id", &heads), place("layer", &heads));
    for row in table.records() {
        let row = row.unwrap();
        let of_first = &row[package.unwrap()] == "P1";
        assert_eq!(&row[layer.unwrap()], if of_first { "2" } else { "" });
    }
    for (paper, many) in [("manifest", 1), ("inspection", 1)] {
        let html = bench.read(&format!("de/{paper}.html"));
        assert_eq!(html.matches("Lage\u{a0}2").count(), many, "{paper}");
        let text: String = pages(&bench, &format!("de/{paper}.pdf"))
            .iter()
            .map(Page::text)
            .collect();
        assert_eq!(text.matches("Lage\u{a0}2").count(), many, "{paper}");
    }
    // Layers are counted from 1.
    bench.change("job/record.jsonl", "\"layer\": 2, ", "\"layer\": 0, ");
    let ran = bench.run(&["run", "job", "--out", "other"]);
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("M10"), "{}", ran.out);
}
