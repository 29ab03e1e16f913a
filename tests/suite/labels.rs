//! Labels and marks: geometry and heights as they stand in the file, and codes read back by
//! another maker's reader.

use std::fs;

use crate::pdf_reader::{Page, Path, mm, read};
use crate::program::Bench;

fn sheets(job: &str, paper: &str, stock: &str) -> Vec<Page> {
    let bench = Bench::with_sample(job);
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    let ran = bench.run(&["issue", "out", "--paper", paper, "--label-stock", stock]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let file = format!("out/papers/issue-2/{paper}.pdf");
    read(&fs::read(bench.path(&file)).unwrap())
}

/// Closed paths of four corners that are only drawn, largest first.
fn squares(page: &Page) -> Vec<&Path> {
    let mut squares: Vec<&Path> = page
        .paths
        .iter()
        .filter(|path| path.painted == 'S' && path.points.len() == 4)
        .collect();
    squares.sort_by(|a, b| side(b).total_cmp(&side(a)));
    squares
}

fn side(path: &Path) -> f64 {
    let (a, b) = (path.points[0], path.points[1]);
    mm((a.0 - b.0).hypot(a.1 - b.1))
}

fn middle(path: &Path) -> (f64, f64) {
    let (a, c) = (path.points[0], path.points[2]);
    ((a.0 + c.0) / 2.0, (a.1 + c.1) / 2.0)
}

/// ADR 2025, 5.2.2.2.1.1.2 and .3 (at least 100 by 100 mm on its point, a line about 5 mm from the
/// edge to its outside); 49 CFR 172.407(c)(1) (the line at least 2 mm wide).
#[test]
fn the_label_is_a_square_of_100_mm_on_its_point_with_a_line_5_mm_inside() {
    for (job, stock) in [
        ("harbour-lane-stack", "a4"),
        ("harbour-lane-stack", "a5"),
        ("corner-shop-rack", "letter"),
    ] {
        let pages = sheets(job, "labels", stock);
        let page = &pages[0];
        let squares = squares(page);
        let (edge, line) = (squares[0], squares[1]);
        assert!(side(edge) >= 100.0 && side(edge) < 100.01, "{}", side(edge));
        // On its point: two corners lie straight above each other.
        assert!((edge.points[0].0 - edge.points[2].0).abs() < 0.01);
        // 100 mm by the root of two.
        let across = mm((edge.points[1].0 - edge.points[3].0).abs());
        assert!((across - 141.42).abs() < 0.01, "{across}");
        let from_edge = (side(edge) - side(line)) / 2.0 - mm(line.line_width) / 2.0;
        assert!((from_edge - 5.0).abs() < 0.05, "{from_edge}");
        assert!(mm(line.line_width) >= 1.999, "{}", line.line_width);
        assert!(across < mm(page.width));
    }
}

/// ADR 2025, 5.2.2.2.1.3 and the table of models; 49 CFR 172.447(b): seven upright stripes as wide
/// as the gaps, in the upper half only; below it the battery group and the 9; no text.
#[test]
fn the_upper_half_has_seven_stripes_as_wide_as_the_gaps_and_there_is_no_text() {
    let pages = sheets("harbour-lane-stack", "labels", "a4");
    let page = &pages[0];
    let edge = squares(page)[0].clone();
    let (x, y) = middle(&edge);
    let half = mm(edge.points[1].0 - x).abs();
    let mut stripes: Vec<(f64, f64)> = page
        .paths
        .iter()
        .filter(|path| path.painted == 'f' && path.points.iter().all(|one| one.1 >= y - 0.01))
        .map(|path| {
            let across = path.points.iter().map(|one| mm(one.0 - x));
            (
                across.clone().fold(f64::MAX, f64::min),
                across.fold(f64::MIN, f64::max),
            )
        })
        .collect();
    stripes.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert_eq!(stripes.len(), 7, "{stripes:?}");
    for (left, right) in &stripes {
        assert!((right - left - 8.0).abs() < 0.01, "{stripes:?}");
    }
    for pair in stripes.windows(2) {
        assert!((pair[1].0 - pair[0].1 - 8.0).abs() < 0.01, "{stripes:?}");
    }
    // Left and right alike.
    assert!((stripes[0].0 + stripes[6].1).abs() < 0.01, "{stripes:?}");
    for text in &page.texts {
        let away = mm(text.x - x).abs() + mm(text.y - y).abs();
        assert!(away > half, "{text:?} stands inside the label");
    }
    // The group and the 9 stand below the middle, inside the line.
    let below = page
        .paths
        .iter()
        .filter(|path| path.points.iter().all(|one| one.1 < y))
        .filter(|path| {
            path.points
                .iter()
                .all(|one| mm(one.0 - x).abs() + mm(one.1 - y).abs() < 62.2)
        });
    assert!(below.count() >= 8);
}

#[test]
fn a_narrow_stock_gets_the_label_upright_and_the_sheet_says_so() {
    for (stock, wide) in [("a6", 105.0), ("4x6", 101.6)] {
        let pages = sheets("flooded-garage", "labels", stock);
        let page = &pages[0];
        assert!((mm(page.width) - wide).abs() < 0.01);
        let edge = squares(page)[0];
        assert!(side(edge) >= 99.999, "{}", side(edge));
        // Upright: its sides lie along those of the sheet, or it stands on one of them.
        let (a, b) = (edge.points[0], edge.points[1]);
        assert!((a.0 - b.0).abs() < 0.01 || (a.1 - b.1).abs() < 0.01);
        assert!(
            page.text().contains("Printed upright because"),
            "{}",
            page.text()
        );
    }
}

/// Height of the lowest letter or digit of a text as printed, in millimetres, by the boxes in the
/// font's own table.
pub(crate) fn letters_mm(text: &str, size: f64) -> f64 {
    let font = fs::read(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/templates/fonts/LiberationSans-Bold.ttf"
    ))
    .unwrap();
    let face = ttf_parser::Face::parse(&font, 0).unwrap();
    let em = f64::from(face.units_per_em());
    text.chars()
        .filter(|sign| sign.is_ascii_uppercase() || sign.is_ascii_digit())
        .map(|sign| {
            let glyph = face.glyph_index(sign).unwrap();
            let bounds = face.glyph_bounding_box(glyph).unwrap();
            mm(f64::from(bounds.y_max - bounds.y_min.max(0)) / em * size)
        })
        .fold(f64::MAX, f64::min)
}

/// ADR 2025, 5.2.1.1 (12 mm; 6 mm up to 30 kg) and 3.3.1 (12 mm); 49 CFR 172.301(a)(1).
#[test]
fn letters_of_marks_are_as_high_as_the_law_wants() {
    for (job, marks) in [
        (
            "harbour-lane-stack",
            [("UN 3480", 12.0), ("RECYCLING", 12.0)],
        ),
        ("flooded-garage", [("UN 3480", 6.0), ("DEFECTIVE", 12.0)]),
        ("corner-shop-rack", [("UN3480", 12.0), ("UN3480", 12.0)]),
    ] {
        let bench = Bench::with_sample(job);
        assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
        for (n, stock) in ["a4", "a5", "a6", "letter", "4x6"].into_iter().enumerate() {
            let ran = bench.run(&["issue", "out", "--paper", "labels", "--label-stock", stock]);
            assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
            let file = format!("out/papers/issue-{}/labels.pdf", n + 2);
            let pages = read(&fs::read(bench.path(&file)).unwrap());
            for (mark, least) in marks {
                heights(&pages, mark, least, &format!("{job} on {stock}"));
            }
        }
    }
}

fn heights(pages: &[Page], mark: &str, least: f64, place: &str) {
    let found: Vec<_> = pages
        .iter()
        .flat_map(|page| page.texts.iter().map(move |text| (page, text)))
        .filter(|(_, text)| text.text.contains(mark))
        .collect();
    assert!(!found.is_empty(), "{mark} of {place}");
    for (page, text) in found {
        assert!(text.bold);
        let high = letters_mm(&text.text, text.size);
        assert!(high >= least, "{}: {high} mm, {place}", text.text);
        assert!(high < least * 1.2, "{}: {high} mm, {place}", text.text);
        assert!(mm(text.x) >= 3.0 && text.y > 0.0 && text.y < page.height);
    }
}

/// The page in a browser is the same drawing: type in millimetres, and no size that browsers cut off
/// (Chromium cuts at 10,000 units, measured).
#[test]
fn letters_in_the_browser_are_as_high_as_in_the_file() {
    let bench = Bench::with_sample("harbour-lane-stack");
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    assert_eq!(bench.run(&["issue", "out", "--paper", "labels"]).code, 0);
    let html = bench.read("out/papers/issue-2/labels.html");
    let after = |text: &str, key: &str| -> f64 {
        let rest = text.split(key).nth(1).unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    let svg = html.split("<svg ").nth(1).unwrap();
    // The width is in millimetres, the box in units.
    let wide: f64 = svg
        .split(" width=\"")
        .nth(1)
        .unwrap()
        .split("mm")
        .next()
        .unwrap()
        .parse()
        .unwrap();
    let units = svg
        .split("viewBox=\"0 0 ")
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap();
    let unit_mm = wide / units.parse::<f64>().unwrap();
    let mut found = 0;
    for text in html.split("<text ").skip(1) {
        let size = after(text, "font-size=\"");
        assert!(size < 10_000.0, "{text}");
        let words = text.split('>').nth(1).unwrap().split('<').next().unwrap();
        if words == "UN 3480" || words == "RECYCLING" {
            let points = size * unit_mm / 25.4 * 72.0;
            assert!(letters_mm(words, points) >= 12.0, "{text}");
            found += 1;
        }
    }
    assert_eq!(found, 8);
}

#[test]
fn every_sheet_has_a_line_of_100_mm_to_measure() {
    for stock in ["a4", "a5", "a6", "letter", "4x6"] {
        for page in sheets("flooded-garage", "labels", stock) {
            let long = page
                .paths
                .iter()
                .filter(|path| path.points.len() == 2 && path.painted == 'S')
                .map(|path| mm((path.points[1].0 - path.points[0].0).abs()))
                .fold(0.0, f64::max);
            assert!((long - 100.0).abs() < 0.005, "{long} on {stock}");
            assert!(
                page.text().contains("must measure 100 mm"),
                "{}",
                page.text()
            );
        }
    }
}

#[test]
fn nothing_is_stuck_on_a_package_that_is_refused() {
    let bench = Bench::with_sample("harbour-lane-stack");
    let record = bench.read("job/record.jsonl");
    bench.write(
        "job/record.jsonl",
        record.replace(
            "\"packaging_kind\": \"un_packaging\"",
            "\"packaging_kind\": \"pallet\"",
        ),
    );
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    let ran = bench.run(&["issue", "out"]);
    assert_eq!(ran.code, 1);
    for paper in ["transport-1", "labels", "package"] {
        assert!(
            ran.out.contains(&format!("NOT PRINTED: {paper}, because")),
            "{}",
            ran.out
        );
        assert!(
            !bench
                .path(&format!("out/papers/issue-2/{paper}.pdf"))
                .exists()
        );
    }
}

/// The squares of the code as pixels, read by `rxing`.
fn read_code(page: &Page, code: &Path) -> String {
    const PIXELS: f64 = 4.0;
    let module = code.points[2].1 - code.points[0].1;
    let left = code.points.iter().map(|one| one.0).fold(f64::MAX, f64::min);
    let right = code.points.iter().map(|one| one.0).fold(f64::MIN, f64::max);
    let low = code.points.iter().map(|one| one.1).fold(f64::MAX, f64::min);
    let high = code.points.iter().map(|one| one.1).fold(f64::MIN, f64::max);
    assert!(left > 0.0 && right < page.width && low > 0.0 && high < page.height);
    let quiet = 4.0 * PIXELS;
    let side = ((right - left) / module).round() * PIXELS + 2.0 * quiet;
    let side = side as u32;
    let mut luma = vec![255_u8; (side * side) as usize];
    for square in code.points.chunks(4) {
        let at = |value: f64| ((value / module).round() * PIXELS + quiet) as u32;
        let (from, to) = (at(square[0].0 - left), at(square[2].0 - left));
        let (top, bottom) = (at(high - square[2].1), at(high - square[0].1));
        for y in top..bottom {
            for x in from..to {
                luma[(y * side + x) as usize] = 0;
            }
        }
    }
    rxing::helpers::detect_in_luma(luma, side, side, Some(rxing::BarcodeFormat::QR_CODE))
        .unwrap()
        .getText()
        .to_owned()
}

#[test]
fn the_codes_are_read_back_as_what_stands_beside_them() {
    for page in sheets("corner-shop-rack", "package", "a6") {
        let code = page
            .paths
            .iter()
            .max_by_key(|path| path.points.len())
            .unwrap();
        let read = read_code(&page, code);
        assert!(read.starts_with("urn:uuid:") && read.len() == 45, "{read}");
        let beside: String = page.text().replace('\n', "");
        assert!(beside.contains(&read), "{read}\n{beside}");
        // GS1 General Specifications: 2D symbols in logistics at least 0.743 mm (second-hand).
        assert!(mm(code.points[2].1 - code.points[0].1) >= 0.7429);
    }
    let bench = Bench::with_sample("corner-shop-rack");
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    assert_eq!(bench.run(&["issue", "out", "--paper", "manifest"]).code, 0);
    let page = &read(&fs::read(bench.path("out/papers/issue-2/manifest.pdf")).unwrap())[0];
    let code = page
        .paths
        .iter()
        .max_by_key(|path| path.points.len())
        .unwrap();
    let text = read_code(page, code);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(&lines[..2], ["corner-shop-rack", "issue 2"]);
    // The paper is a witness: size and root of the ledger before this issue was entered.
    let ledger = bench.read("out/ledger/device.jsonl");
    assert_eq!(
        lines[3].parse::<usize>().unwrap(),
        ledger.lines().count() - 1
    );
    assert_eq!(lines[4].len(), 64);
}
