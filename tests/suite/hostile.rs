//! Input that is broken, huge, or meant to harm: one clear message, exit 4 (or a refusal), and
//! nothing half-written.

use crate::program::Bench;

/// Runs the job and expects one message with `words`, exit 4, and no output folder.
fn refused(bench: &Bench, words: &[&str]) {
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 4, "{}{}", ran.out, ran.err);
    for word in words {
        assert!(ran.err.contains(word), "`{word}` is not in: {}", ran.err);
    }
    assert_eq!(
        ran.err
            .lines()
            .filter(|line| line.starts_with("packdown:"))
            .count(),
        1
    );
    assert!(!ran.err.contains("panicked"), "{}", ran.err);
    assert!(!bench.path("out").exists(), "something was written");
    assert!(
        !bench.path(".out.partial").exists(),
        "something was left behind"
    );
}

fn bench() -> Bench {
    Bench::with_lawful_job()
}

#[test]
fn a_plan_that_is_not_json() {
    for text in ["", "{", "[]", "null", "{\"format\":\"1.0\"", "\u{0}\u{0}"] {
        let bench = bench();
        bench.write("job/job.json", text);
        refused(&bench, &["job.json"]);
    }
}

#[test]
fn a_record_line_that_is_not_json_names_its_line() {
    let bench = bench();
    let text = bench.read("job/record.jsonl").replacen("\n{", "\n{,", 1);
    bench.write("job/record.jsonl", text);
    refused(&bench, &["record.jsonl` line 2:"]);
}

#[test]
fn numbers_that_no_instrument_shows() {
    for (bad, words) in [
        ("NaN", "expected"),
        ("Infinity", "expected"),
        ("1e400", "number out of range"),
        ("1e3", "plain decimal"),
        ("99999999999999999999", "more digits"),
        ("0x10", "expected"),
        ("\"1,5\"", "answer"),
    ] {
        let bench = bench();
        bench.change(
            "job/record.jsonl",
            "\"current_a\": 0.1",
            &format!("\"current_a\": {bad}"),
        );
        let ran = bench.run(&["run", "job", "--out", "out"]);
        // A text that is no number is an answer that does not pass; the rest cannot be read.
        if bad.starts_with('"') {
            assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
        } else {
            assert_eq!(ran.code, 4, "{bad}: {}{}", ran.out, ran.err);
            assert!(!bench.path("out").exists());
            let known = ["expected", "number", "decimal", "digits", "invalid"];
            assert!(
                known.iter().any(|word| ran.err.contains(word)),
                "{words}: {}",
                ran.err
            );
        }
    }
}

#[test]
fn a_field_in_the_wrong_unit_gets_its_near_match() {
    let bench = bench();
    bench.change(
        "job/job.json",
        "\"net_mass_kg\": 49.5",
        "\"net_mass_g\": 49500",
    );
    refused(
        &bench,
        &["unknown field `net_mass_g`", "did you mean `net_mass_kg`"],
    );
}

#[test]
fn a_mass_finer_than_a_gram_is_not_rounded() {
    let bench = bench();
    bench.change(
        "job/job.json",
        "\"net_mass_kg\": 49.5",
        "\"net_mass_kg\": 49.50001",
    );
    refused(&bench, &["finer than 0.001 kg"]);
}

#[test]
fn a_field_given_twice() {
    let bench = bench();
    bench.change(
        "job/job.json",
        "\"demo\": true",
        "\"demo\": true, \"demo\": false",
    );
    refused(&bench, &["duplicate field `demo`"]);
    let bench = self::bench();
    bench.change(
        "job/record.jsonl",
        "\"current_a\": 0.1",
        "\"current_a\": 0.1, \"current_a\": 9.9",
    );
    refused(&bench, &["`current_a` is answered twice"]);
}

#[test]
fn text_that_is_not_utf8() {
    for file in ["job/job.json", "job/record.jsonl"] {
        let bench = bench();
        let mut bytes = std::fs::read(bench.path(file)).unwrap();
        bytes[40] = 0xff;
        bench.write(file, bytes);
        refused(
            &bench,
            &["is not UTF-8 text (byte 40)", "save the file as UTF-8"],
        );
    }
}

#[test]
fn a_byte_order_mark_is_passed_over() {
    let bench = bench();
    let text = format!("\u{feff}{}", bench.read("job/job.json"));
    bench.write("job/job.json", text);
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
}

#[test]
fn a_line_of_ten_megabytes() {
    let bench = bench();
    let long = format!(
        "{{\"kind\":\"step\",\"reason\":\"{}\"}}\n",
        "x".repeat(10 * 1024 * 1024)
    );
    bench.write("job/record.jsonl", long);
    refused(&bench, &["line 1 is", "at most 262144"]);
}

#[test]
fn an_answer_of_a_hundred_thousand_letters() {
    let bench = bench();
    let long = "x".repeat(100_000);
    bench.change(
        "job/record.jsonl",
        "\"owner_release\": \"",
        &format!("\"owner_release\": \"{long}"),
    );
    refused(&bench, &["a text of 1000", "at most 2000"]);
}

#[test]
fn a_nest_of_a_hundred_thousand_brackets() {
    for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
        let bench = bench();
        let deep = format!("{}1{}", open.repeat(40_000), close.repeat(40_000));
        bench.change(
            "job/record.jsonl",
            "\"current_a\": 0.1",
            &format!("\"current_a\": {deep}"),
        );
        let ran = bench.run(&["run", "job", "--out", "out"]);
        assert_eq!(ran.code, 4, "{}", ran.err);
        assert!(!bench.path("out").exists());
    }
}

#[test]
fn a_job_name_that_is_a_path() {
    for name in ["../x", "/etc/passwd", "a b", "", "a\\\\b"] {
        let bench = bench();
        bench.change(
            "job/job.json",
            "\"job\": \"harbour-lane-7\"",
            &format!("\"job\": \"{name}\""),
        );
        refused(&bench, &["contradicts itself", "letters, digits, hyphen"]);
    }
}

#[test]
fn a_photograph_outside_its_folder_is_refused_and_not_read() {
    for name in [
        "../../secret.jpg",
        "/etc/passwd",
        "C:\\\\x.jpg",
        "..",
        ".hidden",
    ] {
        let bench = bench();
        let record = bench.read("job/record.jsonl");
        let first = record.lines().next().unwrap();
        let tricked = format!(
            "{},\"photos\":[{{\"file\":\"{name}\"}}]}}",
            first.strip_suffix('}').unwrap()
        );
        bench.write("job/record.jsonl", record.replacen(first, &tricked, 1));
        let ran = bench.run(&["run", "job", "--out", "out"]);
        assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
        assert!(
            ran.out
                .contains("a plain file name in the job's photos folder"),
            "{}",
            ran.out
        );
    }
}

#[test]
fn a_folder_that_holds_something_else_is_left_alone() {
    let bench = bench();
    std::fs::create_dir(bench.path("out")).unwrap();
    bench.write("out/letter.txt", "mine");
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("nothing was written"), "{}", ran.err);
    assert_eq!(bench.read("out/letter.txt"), "mine");
    assert_eq!(std::fs::read_dir(bench.path("out")).unwrap().count(), 1);
}

#[test]
fn another_record_is_not_written_over() {
    let bench = bench();
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    let before = bench.read("out/ledger/device.jsonl");
    // The same record again: the same bytes.
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    assert_eq!(bench.read("out/ledger/device.jsonl"), before);
    bench.change(
        "job/record.jsonl",
        "\"current_a\": 0.1",
        "\"current_a\": 0.2",
    );
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err.contains("its ledger does not begin like this one"),
        "{}",
        ran.err
    );
    assert_eq!(bench.read("out/ledger/device.jsonl"), before);
}

/// OWASP on CSV injection: the starts of a cell that a spreadsheet takes for a formula.
#[test]
fn a_formula_in_every_free_text_stays_text() {
    let starts = [
        "=cmd|' /C calc'!A0",
        "+1+1",
        "-2+3",
        "@SUM(1)",
        "\\t=1",
        "\\r=1",
        "\";=1+2",
    ];
    for start in starts {
        let bench = bench();
        let escaped = start.replace('"', "\\\"");
        for (file, old) in [
            ("job/job.json", "\"name\": \"House at Harbour Lane 7\""),
            ("job/job.json", "\"name\": \"Nora Quill\""),
            ("job/job.json", "\"model\": \"HL5\""),
        ] {
            let key = old.split(':').next().unwrap();
            bench.change(file, old, &format!("{key}: \"{escaped}\""));
        }
        let ran = bench.run(&["run", "job", "--out", "out"]);
        assert_eq!(ran.code, 0, "{start}: {}{}", ran.out, ran.err);
        for paper in ["custody.csv", "sheets.csv", "manifest.csv"] {
            let text = bench.read(&format!("out/{paper}"));
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(true)
                .from_reader(text.as_bytes());
            let heads = reader.headers().unwrap().clone();
            for row in reader.records() {
                for (head, cell) in heads.iter().zip(row.unwrap().iter()) {
                    let number = cell.parse::<f64>().is_ok();
                    let unsafe_start = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
                    assert!(number || !unsafe_start, "{paper}, {head}: {cell}");
                }
            }
        }
        let page = bench.read("out/manifest.html");
        assert!(!page.contains("<script"), "the page carries a script");
    }
}
