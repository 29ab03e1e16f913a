//! Numbers of packages out of the user's own GS1 company prefix: one number on the label, in the
//! manifest, in the custody table, in events and at the dock; never one out of an invented prefix.

use std::fs;

use packdown::ids::{PackageCode, read_scanned};

use crate::pdf_reader::{Page, Path, mm, read};
use crate::program::Bench;

/// First package of the sample: prefix for examples, its serial reference, check digit by hand
/// (GS1 Syntax Dictionary: weights 3 and 1 from the right).
const FIRST: &str = "095211410004200014";

fn issued(bench: &Bench, stock: &str) {
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    let ran = bench.run(&["issue", "out", "--label-stock", stock]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

fn paper(bench: &Bench, name: &str) -> Vec<Page> {
    read(&fs::read(bench.path(&format!("out/papers/issue-2/{name}.pdf"))).unwrap())
}

fn sample() -> Bench {
    Bench::with_sample("gannet-light-return")
}

/// The bars of a page: black rectangles of one height, the highest there are.
fn bars(page: &Page) -> &Path {
    page.paths
        .iter()
        .filter(|path| path.painted == 'f' && path.points.len() >= 4 * 30)
        .rev()
        .max_by(|a, b| height(a).total_cmp(&height(b)))
        .unwrap()
}

fn height(path: &Path) -> f64 {
    let ys = || path.points[..4].iter().map(|point| point.1);
    mm(ys().fold(f64::MIN, f64::max) - ys().fold(f64::MAX, f64::min))
}

/// The text of a linear symbol, read by `rxing` from pixels of a third of a module.
fn read_bars(path: &Path, module_mm: f64) -> String {
    const PIXELS: f64 = 3.0;
    let left = path.points.iter().map(|one| one.0).fold(f64::MAX, f64::min);
    let right = path.points.iter().map(|one| one.0).fold(f64::MIN, f64::max);
    let quiet = 10.0 * PIXELS;
    let at = |x: f64| (mm(x - left) / module_mm * PIXELS + quiet).round() as u32;
    let (wide, high) = (at(right) + quiet as u32, 60_u32);
    let mut luma = vec![255_u8; (wide * high) as usize];
    for bar in path.points.chunks(4) {
        let xs = || bar.iter().map(|one| one.0);
        let (from, to) = (
            at(xs().fold(f64::MAX, f64::min)),
            at(xs().fold(f64::MIN, f64::max)),
        );
        for y in 0..high {
            for x in from..to {
                luma[(y * wide + x) as usize] = 0;
            }
        }
    }
    rxing::helpers::detect_in_luma(luma, wide, high, Some(rxing::BarcodeFormat::CODE_128))
        .unwrap()
        .getText()
        .to_owned()
}

#[test]
fn the_bars_on_the_label_are_read_as_the_number_and_keep_the_sizes_of_the_standard() {
    for (stock, each) in [("a4", 2), ("a5", 1), ("a6", 1), ("letter", 2), ("4x6", 1)] {
        let bench = sample();
        issued(&bench, stock);
        let pages = paper(&bench, "package");
        assert_eq!(pages.len(), 2 / each, "{stock}");
        let page = &pages[0];
        let path = bars(page);
        let xs = || path.points.iter().map(|one| one.0);
        let wide = mm(xs().fold(f64::MIN, f64::max) - xs().fold(f64::MAX, f64::min));
        // Start, FNC1, ten pairs, check digit, stop (ISO/IEC 15417, from memory).
        let module = wide / 156.0;
        // GS1 General Specifications, logistic units (from memory): 0.495 to 0.940 mm, 31.75 mm high.
        assert!((0.4949..=0.9401).contains(&module), "{module} on {stock}");
        assert!(height(path) >= 31.75, "{} on {stock}", height(path));
        // Ten modules free on either side of the sheet, or of the label cut from it.
        let label = if each > 1 { 105.0 } else { mm(page.width) };
        let left = mm(xs().fold(f64::MAX, f64::min));
        assert!(
            left >= 10.0 * module && left + wide + 10.0 * module <= label,
            "{stock}"
        );
        // FNC1 in the first place is told as nothing or as a group separator.
        let text = read_bars(path, module);
        assert_eq!(
            text.trim_start_matches('\u{1d}'),
            format!("00{FIRST}"),
            "{stock}"
        );
        assert!(page.text().contains(&format!("(00){FIRST}")), "{stock}");
    }
}

#[test]
fn label_manifest_custody_and_events_name_a_package_alike() {
    let bench = sample();
    issued(&bench, "a6");
    let link = format!("https://id.gs1.org/00/{FIRST}");
    assert!(read_scanned(&link).is_valid());
    assert_eq!(PackageCode::Sscc(FIRST.into()).square(), link);
    for name in ["manifest.csv", "custody.csv", "epcis.jsonld"] {
        assert!(bench.read(&format!("out/{name}")).contains(&link), "{name}");
    }
    for name in ["manifest", "package"] {
        let all: String = paper(&bench, name).iter().map(Page::text).collect();
        assert!(all.contains(&format!("(00){FIRST}")), "{name}");
    }
    assert!(
        bench
            .read("out/manifest.html")
            .contains(&format!("(00){FIRST}"))
    );
    // A package with a number has no other name anywhere.
    let packages: Vec<String> = bench
        .read("out/custody.csv")
        .lines()
        .filter(|line| line.contains(",package,"))
        .map(|line| line.rsplit(',').next().unwrap().to_owned())
        .collect();
    assert!(packages.len() >= 4, "{packages:?}");
    assert!(
        packages.iter().all(|name| name.contains("id.gs1.org/00/")),
        "{packages:?}"
    );
}

/// The number goes to the receiver in the bundle, so a scan of the bars names the package there.
#[test]
fn a_scan_of_the_bars_at_the_dock_names_the_package() {
    let bench = sample();
    issued(&bench, "a6");
    let ran = bench.run(&[
        "release",
        "out",
        "--at",
        "2026-11-24T12:00:00+00:00",
        "--format",
        "json",
    ]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        bench
            .read("out/ledger/device.jsonl")
            .contains(&format!("\"sscc\":\"{FIRST}\""))
    );
    fs::create_dir_all(bench.path("reg")).unwrap();
    bench.write("reg/site.json", crate::dock::site_json("eu"));
    assert_eq!(bench.run(&["register", "open", "reg"]).code, 0);
    let ran = bench.run_with_input(
        &[
            "receive",
            "out/gannet-light-1-1.zip",
            "--register",
            "reg",
            "--by",
            "ada",
            "--delivered-by",
            "Dan Driver",
            "--at",
            "2026-11-24T18:00:00+00:00",
        ],
        &format!("00{FIRST}\n"),
    );
    assert!(ran.out.contains("P1"), "{}{}", ran.out, ran.err);
    assert!(!ran.out.contains("not on the list"), "{}", ran.out);
}

#[test]
fn a_prefix_that_is_invented_or_has_no_room_is_refused() {
    let gs1 = "\"company_prefix\": \"9521141\",\n    \"first_serial_reference\": 420001";
    for (change, says) in [
        (
            "\"company_prefix\": \"95211\", \"first_serial_reference\": 1",
            "6 to 12 digits",
        ),
        (
            "\"company_prefix\": \"4012345\", \"first_serial_reference\": 1",
            "begins with 952",
        ),
        (
            "\"company_prefix\": \"9521141\", \"first_serial_reference\": 999999990",
            "at most 9 digits",
        ),
        (
            "\"company_prefix\": \"9521141\", \"first_serial_reference\": 1, \"extension_digit\": 10",
            "0 to 9",
        ),
    ] {
        let bench = sample();
        bench.change("job/job.json", gs1, change);
        let ran = bench.run(&["run", "job", "--out", "out"]);
        assert_eq!(ran.code, 4, "{}{}", ran.out, ran.err);
        assert!(ran.err.contains(says), "{change}: {}", ran.err);
        assert!(!bench.path("out").exists());
    }
    // In a job that is none of the invented ones, a prefix for examples is refused too.
    let bench = sample();
    bench.change("job/job.json", "\"demo\": true", "\"demo\": false");
    let ran = bench.run(&["run", "job", "--out", "out"]);
    assert_eq!(ran.code, 4, "{}{}", ran.out, ran.err);
    assert!(ran.err.contains("for examples"), "{}", ran.err);
}

/// A number stays with its package, whatever the record says later.
#[test]
fn numbers_go_by_first_mention_and_do_not_move() {
    let bench = sample();
    let record = bench.read("job/record.jsonl");
    // The packer's first package is called so that it sorts last.
    bench.write(
        "job/record.jsonl",
        record.replace("\"package\": \"P1\"", "\"package\": \"Z9\""),
    );
    issued(&bench, "a6");
    let custody = bench.read("out/custody.csv");
    let line = custody
        .lines()
        .find(|line| line.contains(",Z9,package,"))
        .unwrap();
    assert!(line.ends_with(&format!("/00/{FIRST}")), "{line}");
}

/// The label for cargo aircraft only: 49 CFR 172.407(c)(2) (from memory: 110 mm by 120 mm, letters of
/// 6.3 mm) and 172.448(b) (black on orange).
#[test]
fn the_label_for_cargo_aircraft_is_to_measure_on_orange_and_says_what_it_needs() {
    for stock in ["a4", "a5", "letter"] {
        let bench = sample();
        issued(&bench, stock);
        let pages = paper(&bench, "labels");
        let with: Vec<&Page> = pages
            .iter()
            .filter(|page| page.texts.iter().any(|text| text.text == "CARGO AIRCRAFT"))
            .collect();
        assert_eq!(with.len(), 2, "one a package, on {stock}");
        for page in with {
            let ground = page.paths.iter().find(|path| path.fill < 0.0).unwrap();
            let span = |of: fn(&(f64, f64)) -> f64| {
                let values = || ground.points.iter().map(of);
                mm(values().fold(f64::MIN, f64::max) - values().fold(f64::MAX, f64::min))
            };
            assert!((span(|p| p.0) - 120.0).abs() < 0.01 && (span(|p| p.1) - 110.0).abs() < 0.01);
            for word in ["CARGO AIRCRAFT", "ONLY"] {
                let text = page.texts.iter().find(|text| text.text == word).unwrap();
                assert!(crate::labels::letters_mm(word, text.size) >= 6.3, "{word}");
                assert!(text.x >= ground.points.iter().map(|p| p.0).fold(f64::MAX, f64::min));
            }
            assert!(
                page.text()
                    .replace('\n', " ")
                    .contains("A black printer does not make this")
            );
        }
    }
    let bench = sample();
    issued(&bench, "4x6");
    let all: String = paper(&bench, "labels").iter().map(Page::text).collect();
    assert!(
        all.replace('\n', " ")
            .contains("It does not fit on this stock: 120 x 110 mm"),
        "{all}"
    );
    // By road nobody is told of aircraft.
    let bench = Bench::with_sample("harbour-lane-stack");
    issued(&bench, "a4");
    let all: String = paper(&bench, "labels").iter().map(Page::text).collect();
    assert!(
        !all.contains("AIRCRAFT") && !all.contains("Orientation"),
        "{all}"
    );
}

/// ADR 5.2.1.10.1 (restatements): on two opposite sides, so two for each package.
#[test]
fn arrows_are_printed_twice_where_the_plan_asks_for_them() {
    let bench = sample();
    issued(&bench, "a4");
    let all: String = paper(&bench, "labels").iter().map(Page::text).collect();
    assert_eq!(all.matches("Orientation arrows, asked for").count(), 4);
    let bench = sample();
    bench.change("job/job.json", "\"orientation_arrows\": true,", "");
    issued(&bench, "a4");
    let all: String = paper(&bench, "labels").iter().map(Page::text).collect();
    assert!(!all.contains("Orientation"), "{all}");
}

/// Every particular that the decision's own rows want in the document stands there.
#[test]
fn the_documents_by_sea_and_air_name_what_their_rows_want() {
    let bench = sample();
    issued(&bench, "a4");
    let sea: String = paper(&bench, "transport-1")
        .iter()
        .map(Page::text)
        .collect();
    let air: String = paper(&bench, "transport-2")
        .iter()
        .map(Page::text)
        .collect();
    assert!(sea.contains("EmS F-A, S-I"), "{sea}");
    assert!(sea.contains("UN 3480 LITHIUM ION BATTERIES, 9"), "{sea}");
    for words in ["PI 965 IA", "Cargo aircraft only", "26.3 kg"] {
        assert!(air.contains(words), "{words}: {air}");
    }
    assert!(!sea.contains("PI 965") && !air.contains("EmS"));
}

/// Events of the place that received: our schema, and the names that the giver's own events have.
#[test]
fn the_receiver_tells_of_the_same_things_by_the_same_names() {
    let bench = sample();
    issued(&bench, "a6");
    let ran = bench.run(&["release", "out", "--at", "2026-11-24T12:00:00+00:00"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    fs::create_dir_all(bench.path("reg")).unwrap();
    bench.write("reg/site.json", crate::dock::site_json("eu"));
    assert_eq!(bench.run(&["register", "open", "reg"]).code, 0);
    let receive = |input: &str| {
        let at = "2026-11-24T18:00:00+00:00";
        let load = "out/gannet-light-1-1.zip";
        bench.run_with_input(
            &[
                "receive",
                load,
                "--register",
                "reg",
                "--by",
                "ada",
                "--delivered-by",
                "Jory Quill",
                "--bay",
                "A",
                "--at",
                at,
            ],
            input,
        )
    };
    let document = |name: &str| -> serde_json::Value {
        let ran = bench.run(&["stock", "--register", "reg", "--epcis", name]);
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
        serde_json::from_str(&bench.read(name)).unwrap()
    };
    // An open receipt changed no hands yet.
    let ran = receive(&format!("count load 2\nair 12\n00{FIRST}\nseal S-20418\n"));
    assert_ne!(ran.code, 70, "{}{}", ran.out, ran.err);
    assert_eq!(
        document("before.jsonld")["epcisBody"]["eventList"],
        serde_json::json!([])
    );
    let ran = receive(
        "P2\nseal S-20419\ntemp 12\nmass 34.1\nclean\nP1\ntemp 12\nmass 33.9\nclean\ndone\n",
    );
    assert!(ran.out.contains("Lines:"), "{}{}", ran.out, ran.err);
    let document = document("after.jsonld");
    let schema = serde_json::from_str(include_str!("../../docs/epcis-events.schema.json")).unwrap();
    assert_eq!(
        crate::json_schema::faults(&schema, &document),
        Vec::<String>::new()
    );
    let events = document["epcisBody"]["eventList"].as_array().unwrap();
    assert_eq!(events.len(), 1, "{document}");
    let event = &events[0];
    assert_eq!(
        (&event["bizStep"], &event["disposition"]),
        (&"accepting".into(), &"in_progress".into())
    );
    let given = bench.read("out/epcis.jsonld");
    for identity in event["packdown:identities"].as_array().unwrap() {
        let name = identity["packdown:epc"].as_str().unwrap();
        assert!(
            given.contains(name),
            "{name} is called otherwise by the giver"
        );
    }
    assert_eq!(event["packdown:identities"].as_array().unwrap().len(), 4);
    assert!(
        event["epcList"]
            .as_array()
            .unwrap()
            .iter()
            .all(|name| name.as_str().unwrap().contains("/00/"))
    );
    let job = event["bizTransactionList"][0]["bizTransaction"].as_str();
    assert!(given.contains(job.unwrap()), "{event}");
}
