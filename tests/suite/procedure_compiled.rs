//! The shipped procedures and settings in the form that is read at run time are what their sources
//! say.
//!
//! After a change of a source: `PACKDOWN_COMPILE=1 cargo test --test suite procedure_compiled`.

use std::fs;
use std::path::PathBuf;

use packdown::procedure::Settings;

/// A source as JSON, one step or setting a line so that a change shows as one.
fn compiled(source: &str, rows: &str) -> String {
    let mut table: toml::Table = toml::from_str(source).unwrap();
    let each = table.remove(rows).unwrap();
    let head = serde_json::to_string(&table).unwrap();
    let comma = if table.is_empty() { "" } else { "," };
    let each: Vec<String> = each
        .as_array()
        .unwrap()
        .iter()
        .map(|one| serde_json::to_string(one).unwrap())
        .collect();
    format!(
        "{}{comma}\"{rows}\":[\n{}\n]}}\n",
        head.strip_suffix('}').unwrap(),
        each.join(",\n")
    )
}

#[test]
fn compiled_settings_are_what_their_source_says() {
    let templates = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("templates");
    let source = fs::read_to_string(templates.join("settings.toml")).unwrap();
    let fresh = compiled(&source, "setting");
    let target = templates.join("compiled-settings.json");
    if std::env::var_os("PACKDOWN_COMPILE").is_some() {
        fs::write(&target, &fresh).unwrap();
    }
    assert!(
        fs::read_to_string(&target).unwrap() == fresh,
        "compiled-settings.json is not what settings.toml says; run this test with PACKDOWN_COMPILE=1"
    );
    // Read either way they are the same, down to the digits, which a job's hash is taken over.
    let (from_source, shipped) = (
        Settings::read(&source).unwrap(),
        Settings::shipped().unwrap(),
    );
    assert_eq!(from_source, shipped);
    for (one, other) in from_source.iter().zip(shipped.iter()) {
        assert_eq!(
            one.value.to_string(),
            other.value.to_string(),
            "{}",
            one.name
        );
    }
}

#[test]
fn compiled_procedures_are_what_their_sources_say() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("templates/procedures");
    let mut seen = 0;
    for entry in fs::read_dir(&folder).unwrap() {
        let source = entry.unwrap().path();
        if source.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        seen += 1;
        let name = source.file_stem().unwrap().to_str().unwrap();
        let fresh = compiled(&fs::read_to_string(&source).unwrap(), "step");
        let target = folder.join("compiled").join(format!("{name}.json"));
        if std::env::var_os("PACKDOWN_COMPILE").is_some() {
            fs::write(&target, &fresh).unwrap();
        }
        let committed = fs::read_to_string(&target).unwrap();
        assert!(
            committed == fresh,
            "{name}.json is not what {name}.toml says; run this test with PACKDOWN_COMPILE=1"
        );
    }
    assert_eq!(seen, 9);
    assert_eq!(fs::read_dir(folder.join("compiled")).unwrap().count(), seen);
}
