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
    assert_eq!(ran.out.matches("NOT PACKED").count(), 4, "{}", ran.out);
}
