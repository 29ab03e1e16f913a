//! Issues of papers: numbered, kept, never overwritten; a single paper; copies elsewhere.

use std::fs;

use crate::program::Bench;

fn done() -> Bench {
    let bench = Bench::with_lawful_job();
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    bench
}

#[test]
fn a_later_issue_supersedes_by_number_and_the_older_one_is_kept() {
    let bench = done();
    let first = bench.read("out/manifest.html");
    let ran = bench.run(&["issue", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("issue 2"), "{}", ran.out);
    assert_eq!(bench.read("out/papers/issue-1/manifest.html"), first);
    assert_eq!(
        bench.read("out/papers/issue-2/manifest.html"),
        bench.read("out/manifest.html")
    );
    assert_eq!(bench.run(&["verify", "out"]).code, 0);
    // An older issue is evidence too.
    bench.change("out/papers/issue-1/manifest.html", "Packing", "packing");
    let ran = bench.run(&["verify", "out"]);
    assert_eq!(ran.code, 5);
    assert!(
        ran.out
            .contains("papers/issue-1/manifest.html was changed after it was issued"),
        "{}",
        ran.out
    );
}

#[test]
fn one_paper_alone_is_issued_and_the_others_stay_as_they_were() {
    let bench = done();
    let ran = bench.run(&["issue", "out", "--paper", "custody"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(bench.path("out/papers/issue-2/custody.csv").exists());
    assert!(!bench.path("out/papers/issue-2/manifest.csv").exists());
    assert_eq!(bench.run(&["verify", "out"]).code, 0);
    bench.change("out/custody.csv", "module", "modul");
    assert_eq!(bench.run(&["verify", "out"]).code, 5);
}

#[test]
fn a_paper_that_does_not_exist_is_named_with_those_that_do() {
    let bench = done();
    let before = bench.read("out/ledger/device.jsonl");
    let ran = bench.run(&["issue", "out", "--paper", "manifesto"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("there is no paper `manifesto`; there are") && ran.err.contains("custody"),
        "{}",
        ran.err
    );
    assert_eq!(bench.read("out/ledger/device.jsonl"), before);
    // Before anything is opened: the folder need not even be there.
    for asked in [
        &["issue", "nowhere", "--paper", "manifesto"][..],
        &[
            "run",
            "nowhere",
            "--record",
            "none",
            "--papers",
            "manifesto",
        ],
    ] {
        let with_out = [asked, &["--out", "elsewhere"]].concat();
        let ran = bench.run(&with_out);
        assert_eq!(ran.code, 2, "{}", ran.err);
        for name in ["`manifesto`", "manifest", "transport", "epcis", "discharge"] {
            assert!(ran.err.contains(name), "{name}: {}", ran.err);
        }
        assert!(!bench.path("elsewhere").exists());
    }
}

/// Each paper is made once, in its language: a template that fails in English is never filled with it.
#[test]
fn a_page_in_another_language_is_not_made_in_english_first() {
    let bench = done();
    fs::create_dir_all(bench.path("out/templates")).unwrap();
    let own = "{% if w.language == 'en' %}{{ no_such_name }}{% endif %}<p>{{ w.language }} {{ size }}</p>";
    bench.write("out/templates/manifest.html", own);
    let ran = bench.run(&["issue", "out", "--language", "fr", "--stock", "letter"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(
        bench.read("out/papers/issue-2/manifest.html"),
        "<p>fr letter</p>"
    );
    // Data stays English.
    let first = bench.read("out/papers/issue-1/manifest.csv");
    let table = bench.read("out/papers/issue-2/manifest.csv");
    assert_eq!(table, first);
    let ran = bench.run(&["issue", "out"]);
    assert!(
        ran.err.contains("no_such_name") || ran.code != 0,
        "{}",
        ran.err
    );
}

#[test]
fn copies_go_where_they_are_asked_for_and_overwrite_nothing() {
    let bench = done();
    let ran = bench.run(&["issue", "out", "--paper", "manifest", "--out", "stick"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(
        bench.read("stick/manifest.csv"),
        bench.read("out/papers/issue-2/manifest.csv")
    );
    bench.change("stick/manifest.csv", "module", "modul");
    let before = bench.read("out/ledger/device.jsonl");
    let ran = bench.run(&["issue", "out", "--paper", "manifest", "--out", "stick"]);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err.contains("its `manifest.csv` is another one"),
        "{}",
        ran.err
    );
    assert_eq!(bench.read("out/ledger/device.jsonl"), before);
    assert!(!bench.path("out/papers/issue-3").exists());
}

#[test]
fn void_papers_say_so_across_with_the_reason_and_nobody_releases_on_them() {
    let bench = done();
    let ran = bench.run(&["issue", "out", "--void", "wrong consignee"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("VOID papers, issue 2"), "{}", ran.out);
    let html = bench.read("out/papers/issue-2/transport-1.html");
    assert!(html.contains("VOID - DO NOT USE"), "{html}");
    assert!(html.contains("VOID: wrong consignee."), "{html}");
    let bytes = std::fs::read(bench.path("out/papers/issue-2/labels.pdf")).unwrap();
    for page in crate::pdf_reader::read(&bytes) {
        assert!(
            page.texts
                .iter()
                .any(|one| !one.level && one.text == "VOID - DO NOT USE")
        );
    }
    let last = bench.read("out/ledger/device.jsonl");
    let last = last.lines().last().unwrap();
    assert!(last.contains("\"void\":\"wrong consignee\"") && last.contains("\"draft\":true"));
    assert_eq!(bench.run(&["verify", "out"]).code, 0);
}

#[test]
fn there_is_nothing_to_make_void_before_the_first_issue() {
    let bench = Bench::with_sample("early-lead-refused");
    bench.run(&["run", "job", "--out", "out"]);
    let ran = bench.run(&["issue", "out", "--void", "wrong consignee"]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("none was issued"), "{}", ran.err);
}

/// `run --papers`: the same files as an issue of their own, in the same go, in the first issue.
#[test]
fn a_played_record_can_print_its_papers_in_the_same_go() {
    let bench = Bench::with_sample("harbour-lane-stack");
    let ran = bench.run(&["run", "job", "--out", "all", "--papers", "all"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert_eq!(bench.run(&["run", "job", "--out", "plain"]).code, 0);
    assert_eq!(bench.run(&["issue", "plain"]).code, 0);
    let names = |folder: &str| {
        let mut names: Vec<String> = std::fs::read_dir(bench.path(folder))
            .unwrap()
            .map(|one| one.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    };
    assert_eq!(names("all/papers/issue-1"), names("plain/papers/issue-2"));
    // What does not name its issue is the same file.
    for name in [
        "sheets.csv",
        "custody.csv",
        "decisions.json",
        "custody.csv-metadata.json",
    ] {
        let of = |folder: &str| bench.read(&format!("{folder}/{name}"));
        assert_eq!(
            of("all/papers/issue-1"),
            of("plain/papers/issue-2"),
            "{name}"
        );
    }
    assert_eq!(bench.run(&["verify", "all"]).code, 0);
    let ran = bench.run(&["issue", "all"]);
    assert!(ran.out.contains("issue 2:"), "{}", ran.out);
    assert_eq!(bench.run(&["verify", "all"]).code, 0);

    // One by name, beside the data that every job leaves.
    let ran = bench.run(&[
        "run", "job", "--out", "one", "--papers", "labels", "--papers", "custody",
    ]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let one = names("one/papers/issue-1");
    for name in ["labels.pdf", "labels.html", "custody.xlsx", "manifest.csv"] {
        assert!(one.iter().any(|there| there == name), "{name}: {one:?}");
    }
    for name in ["manifest.pdf", "transport-1.pdf", "epcis.jsonld"] {
        assert!(!one.iter().any(|there| there == name), "{name}: {one:?}");
    }
    // `none` is what is done without being asked; a name that is none is refused, nothing written.
    assert_eq!(
        bench
            .run(&["run", "job", "--out", "none", "--papers", "none"])
            .code,
        0
    );
    assert!(!bench.path("none/papers").exists());
    let ran = bench.run(&["run", "job", "--out", "wrong", "--papers", "lables"]);
    assert_ne!(ran.code, 0);
    assert!(ran.err.contains("lables"), "{}", ran.err);
    assert!(!bench.path("wrong").exists());
}
