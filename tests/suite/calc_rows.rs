//! Rows of CSV are answered as the same questions in JSON are, byte by byte, whatever the columns and
//! the number of cores; a row without an answer ends them, and what stands above it is given.

use std::fmt::Write as _;

use packdown::actions::{ActionError, Calculated, find_sum};
use proptest::prelude::*;
use serde_json::{Map, Value};

/// What is given, and how it ends.
fn given(sum: &str, text: &str) -> (String, Result<(), String>) {
    let mut all = String::new();
    let ended = match find_sum(sum).unwrap().calculate(text) {
        Ok(Calculated::Lines(answers)) => {
            all = answers;
            Ok(())
        }
        Ok(Calculated::Rows(rows)) => {
            let ended = rows.each(&mut |answers| {
                all.push_str(std::str::from_utf8(answers).unwrap());
                Ok::<_, ActionError>(())
            });
            ended.map(|count| assert_eq!(count, all.lines().count() as u64))
        }
        Ok(other) => panic!("{other:?}"),
        Err(error) => Err(error),
    };
    assert!(all.is_empty() || all.ends_with('\n'), "whole lines");
    (all, ended.map_err(|error| error.to_string()))
}

fn lines(sum: &str, text: &str) -> Result<String, String> {
    let (all, ended) = given(sum, text);
    ended.map(|()| all)
}

/// The row as a JSON object: a cell is the JSON that it spells, else a text, and nothing where it is
/// empty. Written apart from the program.
fn object(heads: &[&str], cells: &[String]) -> Value {
    let mut whole = Value::Object(Map::new());
    for (head, cell) in heads.iter().zip(cells).filter(|(_, cell)| !cell.is_empty()) {
        let value = serde_json::from_str(cell).unwrap_or_else(|_| Value::from(cell.as_str()));
        let mut part = &mut whole;
        for name in head.split('.') {
            part = part
                .as_object_mut()
                .unwrap()
                .entry(name)
                .or_insert(Value::Object(Map::new()));
        }
        *part = value;
    }
    whole
}

const HEADS: [&str; 17] = [
    "cells",
    "chemistry",
    "module_voltage_v",
    "cell_spread_mv",
    "instrument.percent_of_reading",
    "instrument.digits",
    "instrument.resolution_v",
    "temperature_c",
    "rested_h",
    "current_a",
    "limit_percent",
    "last",
    "management_doubtful",
    "management.percent",
    "coulomb.anchor_high_percent",
    "curve",
    "cell_voltages_v",
];

/// A cell that may be empty, right, or nonsense; no comma and no quote.
fn cell(column: usize) -> BoxedStrategy<String> {
    let number = prop_oneof![
        20 => (0..5_000_u32).prop_map(|n| format!("{}.{:03}", n / 1000, n % 1000)),
        20 => (0..6_u32).prop_map(|n| n.to_string()),
        1 => (-2_000..2_000_i32).prop_map(|n| format!("{}e-2", n)),
        1 => any::<f64>()
            .prop_filter("finite", |x| x.is_finite())
            .prop_map(|x| x.to_string()),
    ];
    let right = match HEADS[column] {
        "cells" => (1..20_u32).prop_map(|n| n.to_string()).boxed(),
        "chemistry" => prop::sample::select(vec!["lfp", "nmc", "nca", "lco", "lto", "unknown"])
            .prop_map(str::to_owned)
            .boxed(),
        "last" => prop::sample::select(vec!["charging", "discharging", "unknown", "null"])
            .prop_map(str::to_owned)
            .boxed(),
        "management_doubtful" => prop::sample::select(vec!["true", "false"])
            .prop_map(str::to_owned)
            .boxed(),
        "curve" | "cell_voltages_v" => prop::sample::select(vec!["null", "", "[3.2]", "{}"])
            .prop_map(str::to_owned)
            .boxed(),
        _ => number.boxed(),
    };
    let must = HEADS[column] == "cells";
    prop_oneof![
        80 => right,
        if must { 0 } else { 20 } => Just(String::new()),
        1 => prop::sample::select(vec!["yes", "-", "1e999", "NaN", "3,", "[", "07", "1_0"])
            .prop_map(|text| text.replace(',', ";")),
    ]
    .boxed()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_row_and_its_object_get_the_same_answer(
        cells in (0..HEADS.len()).map(cell).collect::<Vec<_>>()
    ) {
        let csv = format!("{}\n{}\n", HEADS.join(","), cells.join(","));
        let by_row = lines("state-of-charge", &csv);
        let one = object(&HEADS, &cells).to_string();
        let by_object = lines("state-of-charge", &format!("{one}\n{one}\n"))
            .map(|both| both.split_inclusive('\n').next().unwrap().to_owned());
        match (by_row, by_object) {
            (Ok(row), Ok(object)) => prop_assert_eq!(row, object),
            // Which of several faults is said first goes by the order of the fields.
            (Err(_), Err(_)) => {}
            (row, object) => prop_assert!(false, "{row:?} is not {object:?} for {one}"),
        }
    }
}

/// A table long enough for several cores; some rows are not proven, some proven, some disproven.
fn long_table(quote: &str) -> (String, String) {
    let mut csv = String::from(
        "id,chemistry,cells,module_voltage_v,cell_spread_mv,temperature_c,rested_h,current_a\n",
    );
    let mut json = String::new();
    for n in 0..20_000 {
        let volts = format!("{}.{:02}", 48 + n % 7, n % 100);
        writeln!(csv, "{quote}m{n}{quote},lfp,16,{volts},10,25,24,0").unwrap();
        writeln!(
            json,
            r#"{{"chemistry":"lfp","cells":16,"module_voltage_v":{volts},"cell_spread_mv":10,"temperature_c":25,"rested_h":24,"current_a":0}}"#
        )
        .unwrap();
    }
    (csv, json)
}

#[test]
fn a_long_table_cut_for_all_cores_is_answered_in_order_as_json_is() {
    let (csv, json) = long_table("");
    assert!(csv.len() > 2 * 256 * 1024);
    // Quotes from the middle on: blocks first, rows behind them.
    let (half, _) = csv.match_indices('\n').nth(10_000).unwrap();
    let (first, last) = csv.split_at(half);
    let some_quoted = first.to_owned() + &last.replace("lfp", "\"lfp\"");
    let by_object = lines("state-of-charge", &json).unwrap();
    let without_end = csv.trim_end().to_owned();
    for text in [
        csv.clone(),
        csv.replace('\n', "\r\n"),
        long_table("\"").0,
        some_quoted,
        without_end,
    ] {
        let by_row = lines("state-of-charge", &text).unwrap();
        let pairs = by_row.lines().zip(by_object.lines());
        for (n, (row, object)) in pairs.enumerate() {
            let with_id =
                object.strip_suffix('}').unwrap().to_owned() + &format!(",\"id\":\"m{n}\"}}");
            assert_eq!(row, with_id);
        }
        assert_eq!(by_row.lines().count(), 20_000);
    }
}

/// The fault of the row of `m{row}`, and that all rows before it are given as in a good table.
fn ends_at(text: &str, good: &str, row: usize) -> String {
    let (all, ended) = given("state-of-charge", text);
    let said = ended.unwrap_err();
    assert_eq!(all.lines().count(), row, "{said}");
    assert!(good.starts_with(&all));
    assert!(
        said.contains(&format!(
            "the {row} rows above are answered, this one and those below are not"
        )),
        "{said}"
    );
    said
}

#[test]
fn a_fault_far_down_is_named_by_its_line_and_what_stands_above_is_given() {
    let (csv, _) = long_table("");
    let good = lines("state-of-charge", &csv).unwrap();
    // Line 1 is the head.
    let wrong = csv.replace("m19000,lfp,16", "m19000,lfp,0");
    let said = ends_at(&wrong, &good, 19_000);
    assert!(
        said.contains("line 19002") && said.contains("1 to 1000"),
        "{said}"
    );
    let short = csv.replace("m15000,lfp,16,", "m15000,lfp,");
    let said = ends_at(&short, &good, 15_000);
    assert!(
        said.contains("line 15002") && said.contains("7 cells, but the head has 8"),
        "{said}"
    );
    // Blank lines count as lines, quoted or not.
    for quote in ["", "\""] {
        let blank = long_table(quote).0;
        let wrong = blank.replace(
            &format!("{quote}m19000{quote},lfp,16"),
            &format!("\n\r\n{quote}m19000{quote},lfp,0"),
        );
        let said = ends_at(&wrong, &good, 19_000);
        assert!(said.contains("line 19004"), "{said}");
    }
    // A quote that is left open swallows the rest of a row, and that row is named.
    let open = csv.replace("m17000,lfp", "\"m17000,lfp");
    let said = ends_at(&open, &good, 17_000);
    assert!(
        said.contains("line 17002") && said.contains("1 cells, but the head has 8"),
        "{said}"
    );
    // In the first row nothing stands above.
    let first = csv.replacen(",16,", ",0,", 1);
    let (all, ended) = given("state-of-charge", &first);
    let said = ended.unwrap_err();
    assert!(
        all.is_empty() && said.contains("line 2") && !said.contains("above"),
        "{said}"
    );
    let twice = csv.replacen("rested_h", "cells", 1);
    let said = lines("state-of-charge", &twice).unwrap_err();
    assert!(
        said.contains("line 1") && said.contains("`cells` stands twice"),
        "{said}"
    );
}

/// Old spreadsheets end lines in CR alone; all lines would look like one head, and no row be seen.
#[test]
fn a_table_whose_lines_end_in_cr_alone_is_refused_and_not_answered_with_nothing() {
    let (csv, _) = long_table("");
    let said = lines("state-of-charge", &csv.replace('\n', "\r")).unwrap_err();
    assert!(said.contains("CR alone") && said.contains("CRLF"), "{said}");
}

fn packdown(input: &std::path::Path) -> std::process::Output {
    std::process::Command::new(env!("CARGO_BIN_EXE_packdown"))
        .args(["calc", "state-of-charge"])
        .arg(input)
        .output()
        .unwrap()
}

#[test]
fn a_table_in_a_file_is_answered_up_to_bytes_that_are_no_text() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("readings.csv");
    let (csv, _) = long_table("");
    let good = lines("state-of-charge", &csv).unwrap();
    let mut bytes = csv.into_bytes();
    let begin = b"m19500,";
    let at = bytes.windows(begin.len()).position(|seen| seen == begin);
    bytes[at.unwrap()] = 0xff;
    std::fs::write(&file, bytes).unwrap();
    let ran = packdown(&file);
    assert_eq!(ran.status.code(), Some(4));
    let given = String::from_utf8(ran.stdout).unwrap();
    assert_eq!(given.lines().count(), 19_500);
    assert!(good.starts_with(&given));
    let said = String::from_utf8(ran.stderr).unwrap();
    assert!(
        said.contains("line 19502") && said.contains("not UTF-8") && said.contains("19500 rows"),
        "{said}"
    );
}

/// A table may be as long as it likes; JSON is held whole, and is told of the table.
#[test]
fn more_than_64_mib_is_answered_as_csv_and_refused_as_json() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("readings");
    let long = 64 * 1024 * 1024;
    // One long note of blanks in each row makes a long file of few rows.
    let blanks = " ".repeat(1_000_000);
    let mut csv = String::from("cells,chemistry\n");
    while csv.len() <= long {
        writeln!(csv, "16,lfp{blanks}").unwrap();
    }
    std::fs::write(&file, &csv).unwrap();
    let ran = packdown(&file);
    assert_eq!(ran.status.code(), Some(0));
    assert_eq!(
        String::from_utf8(ran.stdout).unwrap().lines().count() + 1,
        csv.lines().count()
    );
    std::fs::write(&file, format!("{{\"cells\":16}}{}", " ".repeat(long))).unwrap();
    let ran = packdown(&file);
    assert_eq!(ran.status.code(), Some(4));
    let said = String::from_utf8(ran.stderr).unwrap();
    assert!(
        said.contains("64 MiB") && said.contains("as CSV, one question a row"),
        "{said}"
    );
}
