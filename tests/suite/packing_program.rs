//! `packdown pack` as typed: bare instances, plans judged, a job with its stock of packagings.

use crate::program::Bench;

const INSTANCE: &str = r#"{"name":"a","cap":[10,10],"items":[[4,1],[4,1],[6,9],[6,1],[1,1]]}
{"name":"b","cap":[5],"items":[[5],[5]]}
"#;

const STOCK: &str = "\
id,kind,mark,inner_length_mm,inner_width_mm,inner_height_mm,gap_mm,max_gross_kg,tare_kg,count,cost,inner_fully_enclosed,inner_non_metallic
two,un_packaging,4D/Y160/S/25/GB/1234,1050,520,250,20,160,24,3,90,yes,yes
";

#[test]
fn bare_instances_give_one_line_of_json_each() {
    let bench = Bench::with_lawful_job();
    bench.write("load.jsonl", INSTANCE);
    let ran = bench.run(&["pack", "--instance", "load.jsonl"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let lines: Vec<serde_json::Value> = ran
        .out
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(lines.len(), 2);
    assert_eq!(lines[1]["name"], "b");
    assert_eq!(lines[1]["bins"], serde_json::json!([[0], [1]]));
    assert_eq!(lines[0]["count"], 3);
    assert_eq!(lines[0]["lower_bound"], 3);
    assert_eq!(lines[0]["proven"], true);
    let plain = bench.run(&["pack", "--instance", "load.jsonl", "--format", "plain"]);
    assert!(
        plain
            .out
            .starts_with("a: 3 packages; no plan can use fewer than 3"),
        "{}",
        plain.out
    );

    // Its own plan holds; a hand-made one with a module too many does not.
    bench.write("plan.jsonl", &ran.out);
    let judged = bench.run(&["pack", "--instance", "load.jsonl", "--check", "plan.jsonl"]);
    assert_eq!(
        (judged.code, judged.out.as_str()),
        (0, "HOLDS: a, 3 packages\nHOLDS: b, 2 packages\n")
    );
    bench.write("hand.json", r#"{"name":"b","bins":[[0,1]]}"#);
    let judged = bench.run(&["pack", "--instance", "load.jsonl", "--check", "hand.json"]);
    assert_eq!(judged.code, 1);
    assert!(
        judged.out.contains("package 0 holds 10, limit 0 is 5"),
        "{}",
        judged.out
    );
    assert!(
        judged.out.contains("there is no plan for it"),
        "{}",
        judged.out
    );
}

#[test]
fn what_cannot_be_packed_is_said_with_what_to_do() {
    let bench = Bench::with_lawful_job();
    bench.write("load.json", r#"{"name":"a","cap":[10],"items":[[11]]}"#);
    let ran = bench.run(&["pack", "--instance", "load.json"]);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err
            .contains("item 0 fits into no package: 11 is more than 10"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("larger package"), "{}", ran.err);
    assert_eq!(bench.run(&["pack"]).code, 2);
    assert_eq!(
        bench.run(&["pack", "job", "--instance", "load.json"]).code,
        2
    );
}

#[test]
fn a_job_is_packed_from_its_decisions_and_stock() {
    let bench = Bench::with_lawful_job();
    let text = bench.read("job/job.json").replace(
        "\"cells_in_series\": 16,",
        "\"cells_in_series\": 16, \"outer_size_mm\": [480, 442, 133],",
    );
    bench.write("job/job.json", text);
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    let missing = bench.run(&["pack", "out"]);
    assert_eq!(missing.code, 4);
    assert!(missing.err.contains("packagings.csv"), "{}", missing.err);

    bench.write("out/packagings.csv", STOCK);
    let ran = bench.run(&["pack", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out
            .contains("harbour-lane-7: 2 packages; no plan with this stock can use fewer than 2")
    );
    assert_eq!(ran.out, bench.run(&["pack", "out"]).out);

    let json = bench.run(&["pack", "out", "--format", "json"]);
    bench.write("load.json", &json.out);
    assert_eq!(
        bench.run(&["pack", "out", "--check", "load.json"]).out,
        "HOLDS\n"
    );
    let load: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    let first = load["packages"][0]["placements"][0]["module"]
        .as_str()
        .unwrap();
    bench.write("load.json", json.out.replacen(first, "m9", 1));
    let judged = bench.run(&["pack", "out", "--check", "load.json"]);
    assert_eq!(judged.code, 1);
    assert!(
        judged.out.contains("`m9` is not a module of the job"),
        "{}",
        judged.out
    );

    // With one box at hand there is no plan, and every module says so.
    bench.write("few.csv", STOCK.replace(",24,3,", ",24,1,"));
    let ran = bench.run(&["pack", "out", "--stock", "few.csv"]);
    assert_eq!(ran.code, 1);
    // All for one reason, so in one go.
    assert_eq!(ran.out.matches("NOT PACKED").count(), 1, "{}", ran.out);
    let line = ran.out.lines().find(|line| line.starts_with("NOT PACKED"));
    for module in ["m1", "m2", "m3", "m4"] {
        assert!(line.unwrap().contains(module), "{}", ran.out);
    }
}

/// What a technician meets: a job without sizes, measured afterwards, with layers in one box.
#[test]
fn what_was_measured_since_fills_the_plan_and_never_contradicts_it() {
    let bench = Bench::with_lawful_job();
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    bench.write("out/packagings.csv", STOCK);
    let ran = bench.run(&["pack", "out"]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("no package can be planned"), "{}", ran.out);
    assert!(ran.out.contains("list it in modules.csv"), "{}", ran.out);

    let head = "module,model,length_mm,width_mm,height_mm,stack_load_kg,terminals_on_top\n";
    let all: String = (1..=4)
        .map(|n| format!("m{n},,480,442,133,110,no\n"))
        .collect();
    bench.write("out/modules.csv", format!("{head}{all}"));
    let ran = bench.run(&["pack", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("2 packages"), "{}", ran.out);
    assert!(!ran.out.contains("layer 1 of"), "{}", ran.out);

    // A box that takes two layers: all four in one, and the plan says which layer.
    let (head, row) = STOCK.trim_end().split_once('\n').unwrap();
    let high = format!(
        "{head},max_layers,divider_rests_on,divider_mm,divider_kg,divider_bears_kg,\
         divider_non_conductive\n{},2,modules,10,4,110,yes\n",
        row.replace(",520,250,20,160,", ",520,396,20,320,")
            .replace("Y160", "Y320")
    );
    bench.write("high.csv", &high);
    let ran = bench.run(&["pack", "out", "--stock", "high.csv"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    for said in [
        "1 package; no plan with this stock can use fewer than 1",
        "2 of 2",
        "layer 2 of 2, on a divider",
        "a divider between any two layers",
    ] {
        assert!(ran.out.contains(said), "{said}: {}", ran.out);
    }
    let json = bench.run(&["pack", "out", "--stock", "high.csv", "--format", "json"]);
    bench.write("load.json", &json.out);
    let held = ["pack", "out", "--stock", "high.csv", "--check", "load.json"];
    assert_eq!(bench.run(&held).out, "HOLDS\n");
    // The same plan with a divider that nobody knows the strength of.
    bench.write("weak.csv", high.replace(",110,yes", ",,yes"));
    let judged = bench.run(&["pack", "out", "--stock", "weak.csv", "--check", "load.json"]);
    assert_eq!(judged.code, 1);
    assert!(
        judged.out.contains("what may stand on the divider"),
        "{}",
        judged.out
    );

    // Rows that cannot be: each is named, and nothing is planned.
    let title = "module,model,length_mm,width_mm,height_mm,stack_load_kg,terminals_on_top";
    for (row, said) in [
        (
            ",,480,442,133,,",
            "either a `module` of the job or a `model`",
        ),
        ("m1,,480,442,,,", "all three above zero"),
        ("m1,,48 cm,442,133,,", "line 2, column `length_mm`: `48 cm`"),
        ("m1,,480,442,133,-1,", "below zero"),
        (
            "m1,,480,442,133,,maybe",
            "line 2, column `terminals_on_top`",
        ),
        ("m1,,480,442,133,,\nm1,,480,442,133,,", "`m1` stands twice"),
    ] {
        bench.write("bad.csv", format!("{title}\n{row}\n"));
        let ran = bench.run(&["pack", "out", "--modules", "bad.csv"]);
        assert_eq!(ran.code, 4, "{row}");
        assert!(ran.err.contains(said), "{row}: {}", ran.err);
        assert!(ran.err.contains("do now: "), "{}", ran.err);
    }

    // What the job says stands: a table that says otherwise is refused.
    let text = bench.read("job/job.json").replace(
        "\"cells_in_series\": 16,",
        "\"cells_in_series\": 16, \"outer_size_mm\": [480, 442, 133],",
    );
    bench.write("job/job.json", text);
    assert_eq!(bench.run(&["run", "job", "--out", "again"]).code, 0);
    bench.write("other.csv", format!("{title}\nm2,,480,442,134,,\n"));
    let ran = bench.run(&[
        "pack",
        "again",
        "--stock",
        "out/packagings.csv",
        "--modules",
        "other.csv",
    ]);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err
            .contains("`m2`: the size is not what the job says of it"),
        "{}",
        ran.err
    );
}

/// Faults that people make in a table: line, column, what stands there, what is wanted.
#[test]
fn a_stock_typed_wrong_is_answered_with_its_place_and_what_to_do() {
    let bench = Bench::with_lawful_job();
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    for (wrong, right, said) in [
        (
            ",160,24,",
            ",160 kg,24,",
            "line 2, column `max_gross_kg`: `160 kg`",
        ),
        (
            ",1050,",
            ",105cm,",
            "line 2, column `inner_length_mm`: `105cm` is not a whole number",
        ),
        (
            ",1050,",
            ",1050.5,",
            "line 2, column `inner_length_mm`: `1050.5`",
        ),
        (",24,3,", ",24,,", "line 2, column `count`: it is empty"),
        (
            "un_packaging",
            "box",
            "line 2, column `kind`: `box` is none of",
        ),
        (
            "gap_mm",
            "gap",
            "the column `gap` is not known; did you mean `gap_mm`?",
        ),
        ("tare_kg,", "", "the head has 12 columns"),
        (
            "inner_length_mm",
            "inner_length_cm",
            "did you mean `inner_length_mm`?",
        ),
        (",160,24,", ",160000,24,", "its mark allows 160 kg"),
        (
            ",yes,yes",
            ",yes,perhaps",
            "`perhaps` is not yes, no or empty",
        ),
    ] {
        assert!(STOCK.contains(wrong), "{wrong}");
        bench.write("wrong.csv", STOCK.replacen(wrong, right, 1));
        let ran = bench.run(&["pack", "out", "--stock", "wrong.csv"]);
        assert_eq!(ran.code, 4, "{right}: {}", ran.out);
        assert!(ran.err.contains(said), "{right}: {}", ran.err);
        assert!(ran.err.contains("do now: "), "{}", ran.err);
    }
    bench.write("wrong.csv", STOCK.replace(',', ";"));
    let ran = bench.run(&["pack", "out", "--stock", "wrong.csv"]);
    assert!(
        ran.err.contains("parted by `;`; save it with commas"),
        "{}",
        ran.err
    );
    let missing = STOCK.replace("tare_kg,", "").replace(",24,3,", ",3,");
    bench.write("wrong.csv", missing);
    let ran = bench.run(&["pack", "out", "--stock", "wrong.csv"]);
    assert!(
        ran.err.contains("the column `tare_kg` is not there"),
        "{}",
        ran.err
    );
}

#[test]
fn a_packaging_that_takes_nothing_and_a_job_with_nothing_off_the_wall_are_said() {
    let bench = Bench::with_lawful_job();
    assert_eq!(bench.run(&["run", "job", "--out", "out"]).code, 0);
    let head = "module,length_mm,width_mm,height_mm\n";
    let all: String = (1..=4).map(|n| format!("m{n},480,442,133\n")).collect();
    bench.write("out/modules.csv", format!("{head}{all}"));
    let tin = "\ntin,un_packaging,4D/Y160/S/25/GB/1234,105,52,25,,160,24,3,90,yes,yes\n";
    bench.write("out/packagings.csv", format!("{}{tin}", STOCK.trim_end()));
    let ran = bench.run(&["pack", "out"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("NOT USED: tin"), "{}", ran.out);
    assert!(!ran.out.contains("NOT USED: two"), "{}", ran.out);

    // Larger than every box: each box is named with its room.
    bench.write(
        "large.csv",
        "module,length_mm,width_mm,height_mm\nm1,4800,4420,1330\n",
    );
    let ran = bench.run(&["pack", "out", "--modules", "large.csv"]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("NOT PACKED: m1\n"), "{}", ran.out);
    assert!(ran.out.contains("two: room inside"), "{}", ran.out);
    assert!(ran.out.contains("1050 x 520 x 250 mm"), "{}", ran.out);

    // Broken off before the first lift.
    let record = bench.read("job/record.jsonl");
    let first: Vec<&str> = record.lines().take(3).collect();
    bench.write("job/record.jsonl", first.join("\n") + "\n");
    bench.run(&["run", "job", "--out", "short"]);
    bench.write("short/packagings.csv", STOCK);
    let ran = bench.run(&["pack", "short"]);
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("nothing to pack"), "{}", ran.out);
}
