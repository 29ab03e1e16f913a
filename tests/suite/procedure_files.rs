//! A user's own procedure and settings files: one clear message for each thing that can be wrong.

use packdown::procedure::{Procedure, Settings, prove};

/// A small file that is right.
const GOOD: &str = r#"
format = "1.0"
id = "own"
title = "Own"
variant = "rack"

[[step]]
id = "S1"
do = "Look."
role = ["planner"]
evidence = [
  { name = "seen_v", ask = "Seen?", kind = "number", limits = [{ at_most = 5, clause = "own", known = "project_default" }] },
]

[[step]]
id = "S2"
do = "Look again."
needs = ["S1"]
role = ["planner"]
"#;

fn message(text: &str) -> String {
    Procedure::read(text).unwrap_err().to_string()
}

/// The message where `old` in the good file is `new`.
fn message_with(old: &str, new: &str) -> String {
    assert!(GOOD.contains(old), "{old}");
    message(&GOOD.replacen(old, new, 1))
}

#[test]
fn the_small_file_is_read_and_steps_come_in_working_order() {
    let procedure = Procedure::read(GOOD).unwrap();
    assert_eq!(procedure.id, "own");
    let turned = GOOD.replace("S1", "T9");
    let ids: Vec<String> = Procedure::read(&turned)
        .unwrap()
        .steps
        .into_iter()
        .map(|step| step.id)
        .collect();
    assert_eq!(ids, ["T9", "S2"]);
    assert!(prove(&procedure).is_err(), "it is no removal");
}

#[test]
fn what_is_not_toml_is_told_with_its_line() {
    assert!(message("format = \"1.0\"\nid = \n").starts_with("line 2: "));
    assert!(message("\u{0}").starts_with("line 1: "));
    assert_eq!(message(""), "line 1: missing field `format`");
    assert!(
        message_with("at_most = 5", "at_most = \"NaN\"")
            .ends_with("`NaN` is not a plain decimal number such as 51.2")
    );
    let unknown_role = message_with("[\"planner\"]", "[\"boss\"]");
    assert!(
        unknown_role.starts_with("line 10: unknown variant `boss`, expected one of "),
        "{unknown_role}"
    );
    // A value deep in nested arrays ends in a message, not in a crash.
    let deep = format!("format = {}", "[".repeat(100_000));
    assert!(message(&deep).starts_with("line 1: "));
}

#[test]
fn an_unknown_field_is_told_with_what_is_allowed() {
    assert_eq!(
        message_with("needs = [\"S1\"]", "need = [\"S1\"]"),
        "line 18: unknown field `need`; allowed here: `id`, `do`, `needs`, `role`, `people`, \
         `per`, `when`, `optional`, `only_for`, `branch`, `acts`, `hazard`, `if_fails`, `cautions`, `tools`, \
         `protective`, `evidence`"
    );
}

#[test]
fn each_wrong_thing_has_its_message() {
    let cases = [
        (
            "format = \"1.0\"",
            "format = \"2.0\"",
            "`2.0` is not a file format that this version reads (it reads 1.0 to 1.0)",
        ),
        (
            "format = \"1.0\"",
            "format = \"1.1\"",
            "`1.1` is not a file format that this version reads (it reads 1.0 to 1.0)",
        ),
        (
            "format = \"1.0\"",
            "format = \"1\"",
            "`1` is not a file format that this version reads (it reads 1.0 to 1.0)",
        ),
        (
            "format = \"1.0\"",
            "format = \"1.x\"",
            "`1.x` is not a file format that this version reads (it reads 1.0 to 1.0)",
        ),
        (
            "variant = \"rack\"",
            "",
            "`variant` is missing; it says for which installations the procedure is meant",
        ),
        ("id = \"S2\"", "id = \"S1\"", "step `S1` stands twice"),
        (
            "id = \"S2\"",
            "id = \"S 2\"",
            "step `S 2`: an id is letters, digits and dashes, such as `C21`",
        ),
        (
            "do = \"Look.\"",
            "do = \"Look\\nagain.\"",
            "step `S1`: `do` is one line of text",
        ),
        (
            "do = \"Look.\"",
            "do = \"\"",
            "step `S1`: `do` is one line of text",
        ),
        (
            "needs = [\"S1\"]",
            "needs = [\"S3\"]",
            "step `S2` refers to `S3`, which is not a step of this procedure",
        ),
        (
            "needs = [\"S1\"]",
            "needs = [\"S3?\"]",
            "step `S2` refers to `S3`, which is not a step of this procedure",
        ),
        (
            "needs = [\"S1\"]",
            "needs = [\"S1|S3\"]",
            "step `S2` refers to `S3`, which is not a step of this procedure",
        ),
        (
            "needs = [\"S1\"]",
            "needs = [\"S2\"]",
            "steps need each other in a circle: S2 -> S2",
        ),
        (
            "needs = [\"S1\"]",
            "needs = [\"@access\"]",
            "step `S2` needs `@access`, and the file says nothing under `alias.access`",
        ),
        (
            "role = [\"planner\"]",
            "role = []",
            "step `S1` names no role, so nobody may do it",
        ),
        (
            ", clause = \"own\"",
            "",
            "step `S1`: a limit on `seen_v` has no `clause`",
        ),
        (
            ", known = \"project_default\"",
            "",
            "step `S1`: a limit on `seen_v` has no `known`",
        ),
        (
            "at_most = 5",
            "at_most_setting = \"no_such\"",
            "step `S1`: the limit on `seen_v` names no setting: `no_such`",
        ),
        (
            "at_most = 5",
            "same_as = \"S2.lost\"",
            "step `S1`: the limit on `seen_v` refers to `S2.lost`, which is not asked for",
        ),
        (
            "at_most = 5",
            "above = { of = \"lost\", setting = \"room_rise_k\" }",
            "step `S1`: the limit on `seen_v` refers to `lost`, which is not asked for",
        ),
        (
            "evidence = [",
            "evidence = [\n{ name = \"seen_v\", ask = \"Seen?\", kind = \"text\" },",
            "step `S1` asks for `seen_v` twice",
        ),
        (
            "evidence = [",
            "evidence = [\n{ name = \"rows\", ask = \"Rows?\", kind = \"table\" },",
            "step `S1`: table `rows` has no columns",
        ),
        (
            "variant = \"rack\"",
            "variant = \"rack\"\ninclude = [\"../trunk\"]",
            "no fragment `../trunk`; there are `close-out`, `damaged-module`, `module-loop`, `red-flag`, `trunk`; a path is not a name",
        ),
        (
            "variant = \"rack\"",
            "variant = \"rack\"\nalso = [{ step = \"S9\", needs = [\"S1\"] }]",
            "`also` adds to `S9`, which is not a step of this procedure",
        ),
    ];
    for (old, new, wanted) in cases {
        assert_eq!(message_with(old, new), wanted);
    }
}

#[test]
fn a_need_that_is_not_one_is_told() {
    for need in ["", "?", "C10!", "a b", "@", "@a b", "M10|", "C10?*"] {
        let text = message_with("needs = [\"S1\"]", &format!("needs = [\"{need}\"]"));
        assert!(text.starts_with("line 18: `"), "{need}: {text}");
    }
}

#[test]
fn a_file_without_end_is_refused_before_it_is_compared() {
    use std::fmt::Write as _;
    let mut text = GOOD.to_owned();
    for step in 0..999 {
        write!(
            text,
            "\n[[step]]\nid = \"T{step}\"\ndo = \"Look.\"\nrole = [\"planner\"]\n"
        )
        .unwrap();
    }
    assert_eq!(message(&text), "1001 steps; at most 1000 are read");
}

#[test]
fn a_fragment_can_be_added_to_and_nothing_taken_away() {
    let own = Procedure::shipped_text("rack").unwrap();
    let again = format!("{own}\n[[step]]\nid = \"C21\"\ndo = \"Skip.\"\nrole = [\"planner\"]\n");
    assert_eq!(message(&again), "step `C21` stands twice");
}

#[test]
fn a_change_of_any_byte_changes_the_fingerprint() {
    let own = Procedure::shipped_text("rack").unwrap();
    let shipped = Procedure::read(own).unwrap();
    assert_eq!(shipped.fingerprint.len(), 64);
    let changed = Procedure::read(&format!("{own}# a remark\n")).unwrap();
    assert_ne!(shipped.fingerprint, changed.fingerprint);
    assert_eq!(shipped.steps, changed.steps);
}

#[test]
fn the_drawings_are_the_same_each_time_and_name_every_step_and_edge() {
    for id in Procedure::shipped_ids() {
        let one = Procedure::shipped(id).unwrap().unwrap();
        let two = Procedure::read(Procedure::shipped_text(id).unwrap()).unwrap();
        let (text, mermaid, dot) = (
            one.drawn_as_text(),
            one.drawn_as_mermaid(),
            one.drawn_as_dot(),
        );
        assert_eq!(text, two.drawn_as_text());
        assert_eq!(mermaid, two.drawn_as_mermaid());
        assert_eq!(dot, two.drawn_as_dot());
        let edges: usize = one
            .steps
            .iter()
            .flat_map(|step| &step.needs)
            .map(|need| need.ids().len())
            .sum();
        assert_eq!(dot.matches(" -> ").count(), edges, "{id}");
        let arrows = mermaid.matches("-->").count() + mermaid.matches("-.->").count();
        assert_eq!(arrows, edges, "{id}");
        for step in &one.steps {
            assert!(
                text.contains(&format!("  {:<4} {}", step.id, step.does)),
                "{id} {}",
                step.id
            );
            assert!(
                dot.contains(&format!("\"{}\" [label=", step.id)),
                "{id} {}",
                step.id
            );
        }
    }
}

#[test]
fn a_quote_in_a_users_text_cannot_leave_its_box() {
    let procedure =
        Procedure::read(&GOOD.replace("\"Look.\"", "'Look \"]; x -> y \\ end.'")).unwrap();
    assert!(
        procedure
            .drawn_as_dot()
            .contains(r#""S1" [label="S1 Look \"]; x -> y \\ end."];"#)
    );
    assert!(
        procedure
            .drawn_as_mermaid()
            .contains(r##"s_S1["S1 Look #quot;]; x -> y \ end."]"##)
    );
}

fn settings_message(old: &str, new: &str) -> String {
    let text = Settings::shipped_text();
    assert!(text.contains(old), "{old}");
    Settings::read(&text.replacen(old, new, 1))
        .unwrap_err()
        .to_string()
}

#[test]
fn a_setting_may_be_stricter_and_never_beyond_a_published_limit() {
    let named = "name = \"group_limit_v\"\nvalue = ";
    let stricter =
        Settings::shipped_text().replacen(&format!("{named}240"), &format!("{named}120.0"), 1);
    let settings = Settings::read(&stricter).unwrap();
    assert_eq!(
        settings.get("group_limit_v").unwrap().value.to_string(),
        "120"
    );
    assert!(settings.get("no_such").is_none());
    assert_eq!(
        settings_message(&format!("{named}240"), &format!("{named}240.1")),
        "setting `group_limit_v`: 240.1 is above 240 [NEC 2020 480.7(C) (read)]"
    );
    assert_eq!(
        settings_message(
            "name = \"hold_hours\"\nvalue = 72",
            "name = \"hold_hours\"\nvalue = 23.9"
        ),
        "setting `hold_hours`: 23.9 is below 24 [advice of vehicle makers: watch for at least 24 h (read)]"
    );
    assert_eq!(
        settings_message(
            "name = \"carbon_monoxide_ppm\"\nvalue = 35",
            "name = \"carbon_monoxide_ppm\"\nvalue = 36"
        ),
        "setting `carbon_monoxide_ppm`: 36 is above 35 [NIOSH recommended limit, 35 ppm (read)]"
    );
}

#[test]
fn a_file_cannot_lift_a_published_limit_from_a_setting() {
    let lifted = Settings::shipped_text()
        .replacen(
            "name = \"group_limit_v\"\nvalue = 240",
            "name = \"group_limit_v\"\nvalue = 400",
            1,
        )
        .replace(
            "not_beyond = { at_most = 240, source = \"NEC 2020 480.7(C) (read)\" }",
            "",
        );
    assert_eq!(
        Settings::read(&lifted).unwrap_err().to_string(),
        "setting `group_limit_v`: 400 is above 240 [NEC 2020 480.7(C) (read)]"
    );
}

#[test]
fn a_settings_file_holds_every_name_once() {
    assert_eq!(
        settings_message("name = \"dead_ac_v\"", "name = \"dead_v\""),
        "there is no setting `dead_v`"
    );
    assert_eq!(
        settings_message("name = \"dead_ac_v\"", "name = \"dead_dc_v\""),
        "setting `dead_dc_v` stands twice"
    );
    let text = Settings::shipped_text();
    let (head, rest) = text.split_once("[[setting]]").unwrap();
    let (_, rest) = rest.split_once("[[setting]]").unwrap();
    let without = format!("{head}[[setting]]{rest}");
    assert_eq!(
        Settings::read(&without).unwrap_err().to_string(),
        "setting `dead_ac_v` is missing; a settings file holds every one"
    );
    assert!(settings_message("value = 5", "value = -inf").starts_with("line "));
    assert!(
        settings_message("unit =", "units =").contains("unknown field `units`; allowed here: ")
    );
}

#[test]
fn every_shipped_setting_is_used_for_something_and_has_an_owner() {
    for setting in Settings::shipped().unwrap().iter() {
        assert!(
            !setting.used_for.is_empty() && !setting.unit.is_empty(),
            "{}",
            setting.name
        );
        assert!(
            setting.owner.contains("name to be entered"),
            "{}",
            setting.name
        );
    }
}
