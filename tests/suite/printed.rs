//! Printed papers: what stands in them, that the same job gives the same bytes, and what is not
//! printed because a fact is missing.

use std::fs;
use std::path::Path;

use crate::pdf_reader::{Page, mm, read};
use crate::program::Bench;

/// A sample, played and issued, in a folder of its own.
fn issued(name: &str, more: &[&str]) -> Bench {
    let bench = Bench::with_sample(name);
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let mut arguments = vec!["issue", "out"];
    arguments.extend(more);
    let ran = bench.run(&arguments);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    bench
}

fn pages(bench: &Bench, file: &str) -> Vec<Page> {
    read(&fs::read(bench.path(&format!("out/papers/issue-2/{file}"))).unwrap())
}

fn text(pages: &[Page]) -> String {
    let pages: Vec<String> = pages.iter().map(Page::text).collect();
    pages.join("--- page ---\n")
}

/// The text without what changes with every rule and every setting: hashes, names made from them,
/// and the foot they stand in.
fn lasting(text: &str) -> String {
    let hashed = |word: &str| {
        word.len() > 40
            && word
                .trim_end_matches('.')
                .bytes()
                .all(|b| b.is_ascii_hexdigit())
    };
    text.lines()
        .filter(|line| {
            !line.starts_with("Issue ")
                && !line.contains("sha256:")
                && !line.contains("urn:uuid:")
                && !line.contains("demo.packdown.invalid")
                && !line.contains("entries, root")
                && !line.split(' ').any(hashed)
        })
        .map(|line| format!("{line}\n"))
        .collect()
}

/// Compares with a golden file; `PACKDOWN_BLESS=1` writes it anew.
fn golden(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/golden/printed")
        .join(name);
    if std::env::var_os("PACKDOWN_BLESS").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
        return;
    }
    assert_eq!(text, fs::read_to_string(&path).unwrap(), "{name}");
}

#[test]
fn printed_papers_say_what_they_said() {
    for job in ["corner-shop-rack", "harbour-lane-stack", "flooded-garage"] {
        let bench = issued(job, &[]);
        let mut files: Vec<String> = fs::read_dir(bench.path("out/papers/issue-2"))
            .unwrap()
            .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
            .filter(|name| name.ends_with(".pdf"))
            .collect();
        files.sort();
        for file in files {
            golden(
                &format!("{job}.{}.txt", file.trim_end_matches(".pdf")),
                &lasting(&text(&pages(&bench, &file))),
            );
        }
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let (first, second) = (
        issued("corner-shop-rack", &[]),
        issued("corner-shop-rack", &[]),
    );
    for file in fs::read_dir(first.path("out/papers/issue-2")).unwrap() {
        let name = file.unwrap().file_name();
        let name = format!("out/papers/issue-2/{}", name.to_string_lossy());
        assert_eq!(
            fs::read(first.path(&name)).unwrap(),
            fs::read(second.path(&name)).unwrap(),
            "{name}"
        );
    }
}

#[test]
fn every_page_names_paper_job_issue_rules_ledger_and_its_own_number() {
    let bench = issued("corner-shop-rack", &[]);
    for file in [
        "manifest.pdf",
        "transport-1.pdf",
        "labels.pdf",
        "package.pdf",
        "inspection.pdf",
        "cautions.pdf",
        "method.pdf",
    ] {
        let pages = pages(&bench, file);
        // Labels are stuck on one by one, so they are not numbered through.
        let numbered = !["labels.pdf", "package.pdf"].contains(&file);
        for (n, page) in pages.iter().enumerate() {
            let text = page.text().replace('\n', " ");
            for wanted in [
                "corner-shop-rack",
                "Issue 2; a later issue of this paper supersedes it.",
                "sha256:",
                "49 CFR",
                "211 entries, root",
            ] {
                assert!(text.contains(wanted), "{file}: {wanted}\n{text}");
            }
            let number = format!("page {} of {}", n + 1, pages.len());
            assert_eq!(text.contains(&number), numbered, "{file}: {number}");
        }
    }
}

#[test]
fn a_table_that_goes_on_repeats_its_head_and_nothing_leaves_the_page() {
    let bench = issued("corner-shop-rack", &["--stock", "a5"]);
    let pages = pages(&bench, "manifest.pdf");
    assert!(pages.len() > 2);
    let with_modules: Vec<&Page> = pages
        .iter()
        .filter(|page| page.text().contains("RK51-2101-"))
        .collect();
    assert!(with_modules.len() > 1);
    for page in with_modules {
        assert!(page.text().contains("State of charge"), "{}", page.text());
    }
    for page in &pages {
        for one in &page.texts {
            assert!(one.x > 0.0 && one.y > mm(3.0), "{one:?}");
            assert!(one.x < page.width && one.y < page.height, "{one:?}");
        }
    }
}

/// ISO 216 for A4; ANSI/ASME Y14.1 for 8.5 by 11 in.
#[test]
fn documents_are_on_the_paper_of_the_place() {
    for (job, width, height) in [
        ("harbour-lane-stack", 210.0, 297.0),
        ("corner-shop-rack", 215.9, 279.4),
    ] {
        let bench = issued(job, &["--paper", "manifest"]);
        let page = &pages(&bench, "manifest.pdf")[0];
        assert!((mm(page.width) - width).abs() < 0.01, "{}", page.width);
        assert!((mm(page.height) - height).abs() < 0.01, "{}", page.height);
    }
}

/// 49 CFR 172.204(a)(1), edition of 1 October 2003 (Government Printing Office), and 172.604(a).
#[test]
fn the_american_document_has_the_words_of_the_regulation_and_the_emergency_number() {
    let bench = issued("corner-shop-rack", &["--paper", "transport"]);
    let text = text(&pages(&bench, "transport-1.pdf")).replace('\n', " ");
    assert!(
        text.contains(
            "This is to certify that the above-named materials are properly classified, \
             described, packaged, marked and labeled, and are in proper condition for \
             transportation according to the applicable regulations of the Department of \
             Transportation."
        ),
        "{text}"
    );
    for wanted in [
        "UN3480, Lithium ion batteries, 9",
        "7 strong outer packagings",
        "EMERGENCY",
        "+1 000 555 0177",
    ] {
        assert!(text.contains(wanted), "{wanted}\n{text}");
    }
    let html = bench.read("out/papers/issue-2/transport-1.html");
    assert!(html.contains("UN3480, Lithium ion batteries, 9"));
}

#[test]
fn a_document_that_lacks_a_fact_is_not_printed_and_says_which() {
    let bench = Bench::with_sample("corner-shop-rack");
    bench.change(
        "job/job.json",
        "\"emergency_telephone\": \"+1 000 555 0177\"",
        "\"emergency_telephone\": \"ask the office\"",
    );
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let ran = bench.run(&["issue", "out"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(
        ran.out.contains("NOT PRINTED: transport-1, because")
            && ran
                .out
                .contains("emergency telephone number of the consignor")
            && ran.out.contains("49 CFR, 172.604(a)"),
        "{}",
        ran.out
    );
    assert!(bench.path("out/papers/issue-2/manifest.pdf").exists());
    assert!(!bench.path("out/papers/issue-2/transport-1.pdf").exists());
    // Where it is all that was asked for, nothing is issued.
    let before = bench.read("out/ledger/device.jsonl");
    let ran = bench.run(&["issue", "out", "--paper", "transport"]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("Nothing was issued."), "{}", ran.out);
    assert_eq!(bench.read("out/ledger/device.jsonl"), before);
}

/// ADR 2025, 1.1.3.6.3 and 5.4.1.1.1(f): mass by factor 3 for transport category 2.
#[test]
fn a_small_load_gives_its_points() {
    let bench = Bench::with_sample("harbour-lane-stack");
    bench.change(
        "job/job.json",
        "\"regime\": \"adr\",",
        "\"regime\": \"adr\", \"small_load\": true,",
    );
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let ran = bench.run(&["issue", "out", "--paper", "transport"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    let text = text(&pages(&bench, "transport-1.pdf")).replace('\n', " ");
    // 198.2 kg by 3.
    assert!(
        text.contains("198.2 kg x factor 3 = 594.6 points"),
        "{text}"
    );
}

/// Common practice for forms, no source: nothing a person must read is smaller than 7 pt.
#[test]
fn nothing_is_too_small_to_read_and_the_head_is_bold() {
    let bench = issued("corner-shop-rack", &[]);
    for file in [
        "manifest.pdf",
        "transport-1.pdf",
        "inspection.pdf",
        "cautions.pdf",
        "method.pdf",
    ] {
        for page in pages(&bench, file) {
            assert!(page.texts[0].bold, "{:?}", page.texts[0]);
            for one in &page.texts {
                assert!(one.size >= 7.0 && one.level, "{one:?}");
            }
        }
    }
}

#[test]
fn a_draft_says_so_across_every_page() {
    let bench = Bench::with_sample("early-lead-refused");
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 1);
    let ran = bench.run(&["issue", "out", "--draft", "--paper", "manifest"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let bytes = fs::read(bench.path("out/papers/issue-1/manifest.pdf")).unwrap();
    for page in read(&bytes) {
        let across: Vec<_> = page.texts.iter().filter(|one| !one.level).collect();
        assert_eq!(across.len(), 1);
        assert_eq!(across[0].text, "DRAFT - NOT FOR TRANSPORT");
        assert!(mm(across[0].size) > 15.0, "{across:?}");
    }
}

/// The code is a vector: black squares of half a millimetre.
#[test]
fn the_code_on_the_manifest_is_drawn_as_squares() {
    let bench = issued("harbour-lane-stack", &["--paper", "manifest"]);
    let page = &pages(&bench, "manifest.pdf")[0];
    let code = page
        .paths
        .iter()
        .max_by_key(|path| path.points.len())
        .unwrap();
    assert_eq!((code.painted, code.fill), ('f', 0.0));
    assert!(code.points.len() > 1_000);
    let rows: Vec<f64> = code
        .points
        .chunks(4)
        .map(|square| mm(square[2].1 - square[0].1))
        .collect();
    assert!(
        rows.iter().all(|high| (high - 0.5).abs() < 0.001),
        "{rows:?}"
    );
    let rules = page.paths.iter().filter(|path| path.painted == 'S');
    assert!(rules.clone().count() > 5);
    assert!(rules.clone().all(|rule| mm(rule.line_width) >= 0.19));
}
