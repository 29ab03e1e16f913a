//! The shipped procedures in the form that is read at run time are what their sources say.
//!
//! After a change of a source: `PACKDOWN_COMPILE=1 cargo test --test suite procedure_compiled`.

use std::fs;
use std::path::PathBuf;

/// A source as JSON, one step a line so that a change shows as one.
fn compiled(source: &str) -> String {
    let mut table: toml::Table = toml::from_str(source).unwrap();
    let steps = table.remove("step").unwrap();
    let head = serde_json::to_string(&table).unwrap();
    let steps: Vec<String> = steps
        .as_array()
        .unwrap()
        .iter()
        .map(|step| serde_json::to_string(step).unwrap())
        .collect();
    format!(
        "{},\"step\":[\n{}\n]}}\n",
        head.strip_suffix('}').unwrap(),
        steps.join(",\n")
    )
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
        let fresh = compiled(&fs::read_to_string(&source).unwrap());
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
