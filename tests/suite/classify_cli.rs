//! `classify`, `explain`, `rules`, `check-mark`, `check-document`, `load` as a person or a program
//! meets them: forms of input and answer, exact keys, exit codes, one clear message for each fault.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

/// Exit code, standard output, standard error.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

fn packdown(arguments: &[&str], input: &[u8]) -> Ran {
    let mut child = Command::new(env!("CARGO_BIN_EXE_packdown"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_vec();
    // A program that refuses early does not read to the end.
    let writer = std::thread::spawn(move || {
        let _ = stdin.write_all(&input);
    });
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap();
    Ran {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

pub(crate) fn classify(more: &[&str], input: &str) -> Ran {
    let mut arguments = vec!["classify", "-"];
    arguments.extend_from_slice(more);
    packdown(&arguments, input.as_bytes())
}

/// The example of the contract: sound, to be recycled, in a good box.
pub(crate) fn facts() -> Value {
    json!({"id":"m1","regime":"adr","mode":"road","on":"2026-11-25",
        "item":{"chemistry":"lithium_ion","cathode":"lfp","rated_energy_wh":5120,"net_mass_kg":48.0,
            "casing":"strong","tested_type":true,"made_on":"2021-05-01","energy_marked_on_case":true,
            "configuration":"alone","soundness":"sound","recalled_for_safety":false,
            "still_a_battery":true,"leaking":false,
            "state_of_charge_percent":{"low":20,"high":29},"purpose":"recycling"},
        "package":{"kind":"un_packaging","mark":"4D/X90/S/25/GB/1234","items":1,"net_mass_kg":48.0,
            "gross_mass_kg":71.0,
            "inner":{"each_alone":true,"fully_enclosed":true,"non_metallic":true,"leakproof":true},
            "cushioning":{"non_combustible":true,"non_conductive":true,"absorbent":true,
                "thermal_insulation":true},
            "liner_non_conductive":true,"short_circuit_protected":true,"secured":true,
            "load_on_terminals":false,
            "verified":{"report":"VR-12","types":["T1"],"max_items":1,"max_energy_wh":10000,
                "max_state_of_charge_percent":100},
            "marks":[{"text":"UN 3480","height_mm":12}],"labels":["9A"],"packed_on":"2026-11-25"},
        "approvals":[{"kind":"competent_authority","reference":"..."}],
        "voyage":{"short_international":false,"stowage":"on_deck"}})
}

/// The same without a package.
pub(crate) fn bare(id: &str, soundness: &str) -> Value {
    let mut one = facts();
    one["id"] = json!(id);
    one["item"]["soundness"] = json!(soundness);
    one.as_object_mut().unwrap().remove("package");
    one
}

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|error| panic!("{error}: {text}"))
}

#[test]
fn an_object_gets_an_object_with_the_keys_of_the_contract() {
    let ran = classify(&["--format", "json"], &facts().to_string());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answer = parsed(&ran.out);
    for key in [
        "id",
        "answer",
        "edition",
        "rule_set",
        "entry",
        "provisions",
        "packing_instructions",
        "transport_category",
        "marks",
        "document",
        "requirements",
        "package",
        "missing",
        "reasons",
        "unverified",
        "trace",
    ] {
        assert!(answer.get(key).is_some(), "{key}");
    }
    assert_eq!(answer["id"], "m1");
    assert_eq!(answer["answer"], "allowed_with");
    assert_eq!(answer["edition"], "ADR 2025");
    assert_eq!(
        answer["entry"],
        json!({"un":"UN 3480","proper_shipping_name":"LITHIUM ION BATTERIES","hazard_class":"9",
               "label":"9A"})
    );
    assert_eq!(
        answer["packing_instructions"],
        json!(["P909(1)", "P909(4)"])
    );
    assert_eq!(
        answer["document"],
        json!({"line":"UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E)","statements":[]})
    );
    assert_eq!(answer["package"], json!({"answer":"accepted","reasons":[]}));
    assert_eq!(keys(&answer["marks"][0]), ["min_height_mm", "text"]);
    assert_eq!(keys(&answer["requirements"][0]), ["clause", "rule", "says"]);
    assert_eq!(
        keys(&answer["reasons"][0]),
        ["clause", "limit", "value", "way_out", "what"]
    );
    assert_eq!(keys(&answer["trace"][0]), ["because", "outcome", "rule"]);
    assert!(answer["rule_set"].as_str().unwrap().starts_with("sha256:"));
}

#[test]
fn an_array_gets_an_array_and_lines_get_lines_in_order() {
    let three = [
        bare("a", "sound"),
        bare("b", "damaged"),
        bare("c", "critical"),
    ];
    let ids = |answers: &[Value]| -> Vec<String> {
        answers
            .iter()
            .map(|one| one["id"].as_str().unwrap().to_owned())
            .collect()
    };
    let ran = classify(&["--format", "json"], &json!(three).to_string());
    let Value::Array(answers) = parsed(&ran.out) else {
        panic!("{}", ran.out)
    };
    assert_eq!(ids(&answers), ["a", "b", "c"]);
    assert_eq!(
        parsed(&classify(&["--format", "json"], "[]").out),
        json!([])
    );

    let lines: Vec<String> = three.iter().map(Value::to_string).collect();
    for joint in ["\n", "\r\n", "\n\n"] {
        let ran = classify(&["--format", "json"], &lines.join(joint));
        let answers: Vec<Value> = ran.out.lines().map(parsed).collect();
        assert_eq!(ids(&answers), ["a", "b", "c"]);
    }
    // Written over several lines it is one object, also with a byte order mark before it.
    let pretty = format!(
        "\u{feff}\n{}",
        serde_json::to_string_pretty(&three[0]).unwrap()
    );
    let ran = classify(&["--format", "json"], &pretty);
    assert_eq!(parsed(&ran.out)["id"], "a", "{}", ran.err);
}

const CSV: &str = "id,item.chemistry,item.soundness,item.purpose,item.configuration,\
                   item.net_mass_kg,item.recalled_for_safety,item.leaking,on\n\
                   a,lithium_ion,sound,recycling,alone,48,no,FALSE,2026-11-25\n\
                   b,lithium_ion,,recycling,alone,48,0,,2026-11-25\n\
                   c,lithium_ion,critical,recycling,alone,48,yes,true,2026-11-25\n";

#[test]
fn csv_is_judged_as_the_same_facts_in_json() {
    let ran = classify(&["--regime", "adr", "--format", "json"], CSV);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answers: Vec<Value> = ran.out.lines().map(parsed).collect();
    assert_eq!(answers.len(), 3);
    let same = json!({"id":"a","regime":"adr","on":"2026-11-25","item":{"chemistry":"lithium_ion",
        "soundness":"sound","purpose":"recycling","configuration":"alone","net_mass_kg":48,
        "recalled_for_safety":false,"leaking":false}});
    let other = classify(&["--format", "json"], &same.to_string());
    assert_eq!(answers[0], parsed(&other.out));
    // An empty cell is a fact that is not known.
    assert_eq!(answers[1]["missing"], json!(["item.soundness"]));
}

#[test]
fn a_table_has_a_row_for_each_answer_and_no_half_of_it_stays_behind() {
    let folder = tempfile::tempdir().unwrap();
    let table = folder.path().join("answers.csv");
    let path = table.to_str().unwrap();
    let ran = classify(&["--regime", "adr,cfr49:road", "--csv", path], CSV);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(
        ran.out,
        "6 judged: 6 allowed, 0 not determined, 0 forbidden\n"
    );
    let mut reader = csv::Reader::from_path(&table).unwrap();
    let heads: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    assert_eq!(
        heads,
        [
            "id",
            "regime",
            "answer",
            "edition",
            "un",
            "provisions",
            "packing_instructions",
            "transport_category",
            "marks",
            "labels",
            "document_line",
            "statements",
            "eu_waste_code",
            "us_waste",
            "package",
            "missing",
            "reasons"
        ]
    );
    let rows: Vec<(String, String, String)> = reader
        .records()
        .map(|row| {
            let row = row.unwrap();
            (row[0].into(), row[1].into(), row[4].into())
        })
        .collect();
    let wanted = [
        ("a", "adr", "UN 3480"),
        ("a", "cfr49", "UN3480"),
        ("b", "adr", "UN 3480"),
        ("b", "cfr49", "UN3480"),
        ("c", "adr", "UN 3480"),
        ("c", "cfr49", "UN3480"),
    ];
    assert_eq!(rows, wanted.map(|(a, b, c)| (a.into(), b.into(), c.into())));
    // Data Package 2.0: beside the table, with its length; each cell is what its field takes.
    let about = folder.path().join("answers.datapackage.json");
    let about: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(about).unwrap()).unwrap();
    let described = &about["resources"][0];
    assert_eq!(described["path"], "answers.csv");
    let written = std::fs::read(&table).unwrap();
    assert_eq!(described["bytes"], written.len());
    assert_eq!(described["dialect"]["lineTerminator"], "\n");
    assert!(!written.contains(&b'\r'));
    let fields = described["schema"]["fields"].as_array().unwrap();
    let mut reader = csv::Reader::from_path(&table).unwrap();
    assert_eq!(reader.headers().unwrap().len(), fields.len());
    for row in reader.records() {
        for (cell, field) in row.unwrap().iter().zip(fields) {
            if let Some(words) = field["constraints"]["enum"].as_array() {
                let known = words.contains(&serde_json::json!(cell));
                assert!(known || cell.is_empty(), "{}: {cell}", field["name"]);
            }
        }
    }
    // The same to standard output, and from JSON; the count goes beside it.
    let ran = classify(&["--regime", "adr,cfr49:road", "--csv", "-"], CSV);
    assert_eq!(ran.out, std::fs::read_to_string(&table).unwrap());
    assert!(ran.err.starts_with("6 judged"), "{}", ran.err);

    std::fs::remove_file(&table).unwrap();
    std::fs::remove_file(folder.path().join("answers.datapackage.json")).unwrap();
    let broken = CSV.replace("critical", "criticl");
    let ran = classify(&["--regime", "adr", "--csv", path], &broken);
    assert_eq!(ran.code, 4);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn the_exit_code_is_the_worst_answer() {
    assert_eq!(classify(&[], &bare("a", "sound").to_string()).code, 0);
    // Facts are missing.
    let mut open = bare("a", "sound");
    open["item"]["chemistry"] = Value::Null;
    assert_eq!(classify(&[], &open.to_string()).code, 3);
    // A day without an edition.
    assert_eq!(
        classify(&["--on", "2031-01-01"], &facts().to_string()).code,
        3
    );
    // Forbidden: made after 2011 and to be used again, without its energy on the case (SP 348).
    let mut forbidden = bare("a", "sound");
    forbidden["item"]["purpose"] = json!("reuse");
    forbidden["item"]["energy_marked_on_case"] = json!(false);
    assert_eq!(classify(&[], &forbidden.to_string()).code, 1);
    assert_eq!(
        classify(&[], &json!([bare("a", "sound"), open]).to_string()).code,
        3
    );
    assert_eq!(classify(&[], &json!([open, forbidden]).to_string()).code, 1);
    // The battery may travel, but not in this package (ADR 2025, 6.1.3.1: 90 kg in the mark).
    let mut heavy = facts();
    heavy["package"]["gross_mass_kg"] = json!(90.001);
    heavy["package"]["kind"] = json!("un_packaging");
    heavy["item"]["casing"] = json!("weak");
    let ran = classify(&[], &heavy.to_string());
    assert_eq!(ran.code, 1, "{}", ran.out);
    // And of a package about which something is not known nobody says yes.
    let mut open = facts();
    open["package"]["gross_mass_kg"] = Value::Null;
    open["item"]["casing"] = json!("weak");
    assert_eq!(classify(&[], &open.to_string()).code, 3);
}

#[test]
fn each_fault_gets_one_message_with_its_place() {
    let whole = facts().to_string();
    for (input, more, message) in [
        (String::new(), &[][..], "`standard input`: is empty"),
        (" \n\n".into(), &[], "`standard input`: is empty"),
        ("{".into(), &[], "the text ends inside an object"),
        (
            whole.replace("casing", "cassing"),
            &[],
            "unknown field `cassing`",
        ),
        (
            whole.replace("\"strong\"", "\"stong\""),
            &[],
            "unknown word `stong`",
        ),
        (
            whole.replace("\"adr\"", "\"adr2\""),
            &[],
            "unknown word `adr2`",
        ),
        (
            whole.replace("\"regime\":\"adr\",", ""),
            &[],
            "missing field `regime`",
        ),
        (whole.replace("48.0", "-"), &[], "column"),
        (
            whole.replace("5120", "\"1e9\""),
            &[],
            "not a plain decimal number",
        ),
        (
            whole.replace("5120", "5120.0001"),
            &[],
            "finer than 0.001 Wh",
        ),
        (
            whole.replace("\"2021-05-01\"", "\"2021-02-30\""),
            &[],
            "line 1, column",
        ),
        (
            format!("{{\"id\":\"x\",{}", whole.strip_prefix('{').unwrap()),
            &[],
            "duplicate field `id`",
        ),
        (
            format!("[{whole},{{\"regime\":\"adr\",\"x\":1}}]"),
            &[],
            "object 2, its line 1, column",
        ),
        (format!("{whole}\n{whole}\nnonsense"), &[], "line 3"),
        (
            format!("{whole}\n{{\"regime\":\"adr\",\"itm\":{{}}}}"),
            &[],
            "line 2, column 21: unknown field `itm`",
        ),
        (
            format!("{}{}", "[".repeat(5_000), "]".repeat(5_000)),
            &[],
            "object 1: is not an object of facts",
        ),
        (
            format!("{{\"regime\":\"adr\",\"item\":{}", "[".repeat(900)),
            &[],
            "the text ends inside a list",
        ),
        (
            "[[\"m1\",\"adr\"]]".into(),
            &[],
            "object 1: is not an object of facts",
        ),
        (
            "{\"regime\":\"adr\",\"item\":[\"lithium_ion\"]}".into(),
            &[],
            "`item` is a list, not an object with names",
        ),
        (
            "id\na\n".into(),
            &[],
            "line 1: there is no column `regime`, and --regime is not given",
        ),
        (
            "id,regime,masss\n".into(),
            &[],
            "line 1: unknown column `masss`",
        ),
        (
            "id,id,regime\n".into(),
            &[],
            "line 1: column `id` stands twice",
        ),
        (
            "id,regime\na\n".into(),
            &[],
            "line 2: has 1 cells, but the head has 2",
        ),
        (
            "id,regime\na,adr\nb,adr,c\n".into(),
            &[],
            "line 3: has 3 cells",
        ),
        (
            "id,regime\n\"a\nb\",adr\nc,adrr\n".into(),
            &[],
            "line 4, column `regime`: `adrr` is not one of adr",
        ),
        (
            "regime,item.net_mass_kg\nadr,\"48,5\"\n".into(),
            &[],
            "column `item.net_mass_kg`: `48,5` is not a plain decimal",
        ),
        (
            "regime,on\nadr,25.11.2026\n".into(),
            &[],
            "`25.11.2026` is not a day such as 2026-11-25",
        ),
        (
            "regime,package.items\nadr,two\n".into(),
            &[],
            "`two` is not a whole number",
        ),
        (
            "regime,item.leaking\nadr,perhaps\n".into(),
            &[],
            "`perhaps` is not true or false",
        ),
        (
            "regime,package.marks\nadr,UN 3480\n".into(),
            &[],
            "is not a JSON array",
        ),
        (
            "regime,package.marks\nadr,\"[{\"\"txt\"\":1}]\"\n".into(),
            &[],
            "line 2: unknown field `txt`",
        ),
    ] {
        for csv in [false, true] {
            let mut arguments = more.to_vec();
            if csv {
                arguments.extend(["--csv", "-"]);
            }
            let ran = classify(&arguments, &input);
            let shown: String = input.chars().take(80).collect();
            assert_eq!(ran.code, 4, "{shown}: {}", ran.err);
            assert!(ran.err.contains(message), "{shown}: {}", ran.err);
            assert_eq!(ran.err.matches("packdown:").count(), 1, "{}", ran.err);
            for word in ["struct", "enum ", "Facts", "serde", "Error("] {
                assert!(!ran.err.contains(word), "{}", ran.err);
            }
        }
    }
}

#[test]
fn a_slip_gets_the_near_match() {
    let whole = facts().to_string();
    for (input, near) in [
        (
            whole.replace("casing", "cassing"),
            "did you mean `casing` instead of `cassing`?",
        ),
        (
            whole.replace("\"strong\"", "\"stong\""),
            "did you mean `strong` instead of `stong`?",
        ),
        (
            "regime,net_mass_kg\n".into(),
            "did you mean `item.net_mass_kg` instead of `net_mass_kg`?",
        ),
        (
            "regime,item.purpose\nadr,recyling\n".into(),
            "did you mean `recycling` instead of `recyling`?",
        ),
    ] {
        let ran = classify(&[], &input);
        assert!(ran.err.contains(near), "{}", ran.err);
    }
}

#[test]
fn bytes_that_are_no_text_are_refused_and_control_signs_do_not_reach_the_terminal() {
    let ran = packdown(&["classify", "-"], b"{\"regime\":\"adr\",\"id\":\"\xff\"}");
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("is not UTF-8 text"), "{}", ran.err);
    let ran = packdown(
        &["classify", "-", "--regime", "adr"],
        b"id,on\n\xff,2026-11-25\n",
    );
    assert_eq!(ran.code, 4);
    assert!(
        ran.err.contains("line 2, column `id`: is not UTF-8 text"),
        "{}",
        ran.err
    );
    let ran = packdown(&["classify", "-", "--regime", "adr"], b"id,\xff\n");
    assert!(ran.err.contains("line 1: is not UTF-8 text"), "{}", ran.err);
    let mut loud = bare("\u{1b}[31mred\u{7}", "sound");
    loud["item"]["purpose"] = Value::Null;
    for command in ["classify", "explain"] {
        let ran = packdown(&[command, "-"], loud.to_string().as_bytes());
        assert!(!ran.out.contains('\u{1b}'), "{}", ran.out);
    }
    let ran = packdown(&["classify", "/nowhere/facts.json"], b"");
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("do now: look at the path"), "{}", ran.err);
    let ran = packdown(&["classify", "."], b"");
    assert_eq!(ran.code, 4);
}

#[test]
fn an_id_that_looks_like_a_formula_is_no_formula_in_the_table() {
    // OWASP, CSV injection: the signs that begin a formula.
    let ran = classify(
        &["--regime", "adr", "--csv", "-"],
        "id,on\n=1+2,2026-11-25\n-5,2026-11-25\n\"@a,b\",2026-11-25\nplain,2026-11-25\n",
    );
    let rows: Vec<&str> = ran.out.lines().skip(1).collect();
    assert!(rows[0].starts_with("\"'=1+2\","), "{}", rows[0]);
    assert!(rows[1].starts_with("'-5,"), "{}", rows[1]);
    assert!(rows[2].starts_with("\"'@a,b\","), "{}", rows[2]);
    assert!(rows[3].starts_with("plain,"), "{}", rows[3]);
}

#[test]
fn a_later_day_says_what_changes() {
    let input = json!([
        bare("a", "sound"),
        bare("b", "sound"),
        bare("c", "critical")
    ])
    .to_string();
    let ran = classify(&["--compare-on", "2026-11-26", "--format", "json"], &input);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(
        parsed(&ran.out),
        json!({"on":"2026-11-26","compared":3,"changed":0,
            "weightiest":{"answer":0,"class":0,"papers":0,"waste":0,"duties":0},
            "edition_only":0,"groups":[]})
    );
    let ran = classify(&["--compare-on", "2031-01-01", "--format", "json"], &input);
    let found = parsed(&ran.out);
    assert_eq!(found["changed"], 3);
    assert_eq!(found["groups"][0]["ids"], json!(["a", "b", "c"]));
    assert_eq!(
        found["groups"][0]["changes"][0],
        json!({"what":"answer","was":"allowed_with","becomes":"not_determined"})
    );
    let ran = classify(&["--compare-on", "2031-01-01"], &input);
    assert!(
        ran.out
            .starts_with("On 2031-01-01 3 of 3 packages change: 3 in their answer, 0 in class"),
        "{}",
        ran.out
    );
    // Decision (EU) 2025/934 with its corrigendum (second-hand): new codes from 9 December 2026.
    let mut lithium = facts();
    lithium["country"] = json!("DE");
    let ran = classify(&["--compare-on", "2026-12-09"], &lithium.to_string());
    assert!(
        ran.out
            .starts_with("On 2026-12-09 1 of 1 packages change: 0 in their answer, 0 in class")
            && ran.out.contains("1 in waste law, 0 in duties alone"),
        "{}",
        ran.out
    );
}

#[test]
fn explain_names_every_duty_and_the_rows_that_decided() {
    let ran = packdown(&["explain", "-"], facts().to_string().as_bytes());
    assert_eq!(ran.code, 0);
    let json = parsed(&classify(&["--format", "json"], &facts().to_string()).out);
    for due in json["requirements"].as_array().unwrap() {
        assert!(ran.out.contains(due["says"].as_str().unwrap()));
        assert!(ran.out.contains(due["clause"].as_str().unwrap()));
    }
    for row in json["trace"].as_array().unwrap() {
        let named = ran
            .out
            .contains(&format!("- {}: ", row["rule"].as_str().unwrap()));
        assert_eq!(named, row["outcome"] != "does_not_apply", "{row}");
    }
    assert!(
        ran.out
            .contains("UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E)")
    );
}

#[test]
fn the_rule_book_is_stable_and_names_what_is_not_verified_first() {
    let book = packdown(&["rules", "book"], b"").out;
    assert_eq!(book, packdown(&["rules", "book"], b"").out);
    let cards = parsed(&packdown(&["rules", "list", "--format", "json"], b"").out);
    let cards = cards.as_array().unwrap();
    let (before, _) = book.split_once("2. Editions").unwrap();
    let (_, list) = before.split_once("1. Not verified").unwrap();
    let mut open = 0;
    for card in cards {
        let id = card["id"].as_str().unwrap();
        assert!(book.contains(&format!("id=\"{id}\"")), "{id}");
        let in_list = list.contains(&format!(">{id}</a>"));
        assert_eq!(in_list, card["verified"] == false, "{id}");
        open += usize::from(in_list);
    }
    assert!(open > 0);
    // The hash on the book is that on every decision.
    let answer = parsed(&classify(&["--format", "json"], &facts().to_string()).out);
    assert!(book.contains(answer["rule_set"].as_str().unwrap()));
    // Nothing is fetched from elsewhere.
    assert!(!book.contains("http") && !book.contains("<script"));

    let id = cards[0]["id"].as_str().unwrap();
    let one = parsed(&packdown(&["rules", "show", id, "--format", "json"], b"").out);
    assert_eq!(&one, &cards[0]);
    let ran = packdown(
        &["rules", "show", id.strip_suffix(|_: char| true).unwrap()],
        b"",
    );
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains(&format!("did you mean `{id}`?")),
        "{}",
        ran.err
    );
}

#[test]
fn the_officers_own_template_is_used_and_a_wrong_one_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let own = folder.path().join("own.html");
    let with = |text: &str, path: &Path| {
        std::fs::write(path, text).unwrap();
        packdown(
            &["rules", "book", "--template", path.to_str().unwrap()],
            b"",
        )
    };
    assert_eq!(with("{{ rule_set }}", &own).out.len(), "sha256:".len() + 64);
    let ran = with("{{ ruleset }}", &own);
    assert_eq!(ran.code, 4);
    assert!(
        ran.err
            .contains("the template of the rule book does not work"),
        "{}",
        ran.err
    );
}

#[test]
fn a_mark_a_document_and_a_load_answer_with_their_exit_code() {
    let ran = packdown(
        &["check-mark", "UN 4D/X90/S/25/GB/1234", "--format", "json"],
        b"",
    );
    assert_eq!(ran.code, 0);
    assert_eq!(
        parsed(&ran.out),
        json!({"answer":"valid","code":"4D","group":"X","gross_limit_kg":90,"kind":"S","year":2025,
               "month":null,"state":"GB","maker":"1234","large":false,"salvage":false,
               "warnings":[],"reasons":[]})
    );
    assert_eq!(packdown(&["check-mark", "a cardboard box"], b"").code, 1);
    assert_eq!(packdown(&["check-mark", "UN 4D/X90/S/25"], b"").code, 1);

    // The regime may stand beside the facts only.
    let mut document = json!({"regime":"adr","on":"2026-11-25","facts":facts(),
        "lines":["UN 3480 WASTE LITHIUM ION BATTERIES, 9, (E)","1 box, 48 kg net"],
        "quantity":{"net_mass_kg":48.0,"estimated":false},"small_load":true,"points":144});
    document["facts"].as_object_mut().unwrap().remove("regime");
    let ran = packdown(
        &["check-document", "-", "--format", "json"],
        document.to_string().as_bytes(),
    );
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let rule_set = packdown::transport::rule_set().name();
    assert_eq!(
        parsed(&ran.out),
        json!({"answer":"accepted","edition":"ADR 2025","rule_set":rule_set,"reasons":[]})
    );
    document["points"] = json!(143);
    let ran = packdown(&["check-document", "-"], document.to_string().as_bytes());
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("at least 144"), "{}", ran.out);
    document["point"] = json!(1);
    let ran = packdown(&["check-document", "-"], document.to_string().as_bytes());
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("unknown field `point`"), "{}", ran.err);

    let load = json!({"regime":"adr","on":"2026-11-25",
        "vehicle":{"max_mass_kg":3400,"extinguishers_kg":[2]},"trailer":false,"tunnel":"E",
        "driver_certificate":false,
        "goods":[{"un":"UN 3480","net_mass_kg":333.0,"gross_mass_kg":410,"critical":false,
                  "on":"vehicle"}]});
    let ran = packdown(
        &["load", "-", "--format", "json"],
        load.to_string().as_bytes(),
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answer = parsed(&ran.out);
    assert_eq!(answer["points"], 999);
    assert_eq!(answer["small_load"], true);
    assert_eq!(answer["answer"], "allowed_with");
    assert_eq!(answer["reasons"], json!([]));
}

#[test]
fn every_schema_is_json_and_takes_the_example_of_the_contract_by_name() {
    for name in [
        "classify",
        "facts",
        "decision",
        "document",
        "load",
        "mark-answer",
    ] {
        let ran = packdown(&["schema", name], b"");
        assert_eq!(ran.code, 0, "{name}: {}", ran.err);
        assert_eq!(parsed(&ran.out)["type"], "object", "{name}");
    }
    let schema = parsed(&packdown(&["schema", "facts"], b"").out);
    for key in keys(&facts()) {
        assert!(schema["properties"].get(key).is_some(), "{key}");
    }
    assert_eq!(packdown(&["schema", "fact"], b"").code, 2);
}

#[test]
fn a_figure_that_cannot_be_waits_for_the_right_one() {
    // Plain arithmetic; no source.
    for (place, value, what) in [
        ("/item/net_mass_kg", json!(-1), "item.net_mass_kg"),
        ("/item/net_mass_kg", json!(0), "item.net_mass_kg"),
        ("/item/rated_energy_wh", json!(0), "item.rated_energy_wh"),
        (
            "/item/state_of_charge_percent/low",
            json!(30),
            "item.state_of_charge_percent",
        ),
        (
            "/item/state_of_charge_percent/high",
            json!(129),
            "item.state_of_charge_percent",
        ),
        ("/package/items", json!(0), "package.items"),
        ("/package/net_mass_kg", json!(0), "package.net_mass_kg"),
        (
            "/package/gross_mass_kg",
            json!(47.999),
            "package.gross_mass_kg",
        ),
    ] {
        let mut one = facts();
        *one.pointer_mut(place).unwrap() = value;
        let ran = classify(&["--format", "json"], &one.to_string());
        assert_eq!(ran.code, 3, "{place}: {}", ran.out);
        let answer = parsed(&ran.out);
        let reasons = if what.starts_with("item") {
            &answer["reasons"]
        } else {
            &answer["package"]["reasons"]
        };
        assert!(
            reasons
                .as_array()
                .unwrap()
                .iter()
                .any(|reason| reason["what"] == what),
            "{place}: {reasons}"
        );
    }
    // In a table the rows around it keep their answers, and equal places share no wrong one.
    let mut table = "id,regime,on,item.chemistry,item.soundness,item.recalled_for_safety,item.leaking,\
        item.tested_type,item.configuration,item.purpose,item.made_on,item.energy_marked_on_case,\
        item.net_mass_kg,item.casing,item.state_of_charge_percent.low,item.state_of_charge_percent.high\n"
        .to_owned();
    for (id, mass, low, high) in [
        ("a", "48", "20", "25"),
        ("b", "48", "25", "20"),
        ("c", "0", "20", "25"),
        ("d", "-1", "20", "25"),
        ("e", "48", "20", "100"),
        ("f", "48", "20", "100.1"),
        ("g", "48", "20", "25"),
    ] {
        table.push_str(&format!(
            "{id},adr,2026-11-25,lithium_ion,sound,false,false,true,alone,reuse,2021-05-01,true,{mass},strong,{low},{high}\n"
        ));
    }
    let ran = classify(&["--csv", "-"], &table);
    let answers: Vec<(&str, bool)> = ran
        .out
        .lines()
        .skip(1)
        .map(|line| (line.get(..1).unwrap_or(""), line.contains(",allowed_with,")))
        .collect();
    assert_eq!(
        answers,
        [
            ("a", true),
            ("b", false),
            ("c", false),
            ("d", false),
            ("e", true),
            ("f", false),
            ("g", true)
        ],
        "{}",
        ran.out
    );
    let mut one = facts();
    one["on"] = json!("25.11.2026");
    let ran = classify(&[], &one.to_string());
    assert_eq!(ran.code, 4);
    assert!(
        ran.err
            .contains("no day of the calendar; write one such as 2026-11-25"),
        "{}",
        ran.err
    );
}
