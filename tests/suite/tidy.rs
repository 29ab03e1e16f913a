//! Form of the sources that no lint knows: heads, lengths, names, words that must not be there.

use std::fs;
use std::path::{Path, PathBuf};

/// Logic before a file's tests, in lines; tables may be longer.
const LONGEST_LOGIC: usize = 500;
/// Tables and what is all rows.
const LONGEST_TABLE: usize = 1_000;

/// Files over the length with the reason.
const LONG: [(&str, &str); 1] = [(
    "src/procedure/step.rs",
    "the words of the procedure files, each with its doc: a table of types",
)];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every file below, in order, build output left out.
pub(crate) fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            if !["target", ".git", "out"].contains(&name.as_str()) {
                walk(&path, found);
            }
        } else {
            found.push(path);
        }
    }
}

fn files(ending: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for folder in ["src", "tests", "benches", "templates", "sample-jobs"] {
        if root().join(folder).exists() {
            walk(&root().join(folder), &mut found);
        }
    }
    found
        .into_iter()
        .filter(|path| path.to_string_lossy().ends_with(ending))
        .filter_map(|path| {
            let text = fs::read_to_string(&path).ok()?;
            Some((
                path.strip_prefix(root())
                    .unwrap()
                    .to_string_lossy()
                    .into_owned(),
                text,
            ))
        })
        .collect()
}

#[test]
fn every_source_begins_by_saying_what_it_is_for() {
    for (path, text) in files(".rs") {
        assert!(
            text.starts_with("//! "),
            "{path} does not begin with `//! `"
        );
    }
}

#[test]
fn no_file_is_longer_than_a_person_reads() {
    let mut long = Vec::new();
    for (path, text) in files(".rs")
        .into_iter()
        .filter(|(path, _)| path.starts_with("src/"))
    {
        let logic = text
            .lines()
            .take_while(|line| !line.starts_with("#[cfg(test)]"))
            .count();
        let is_table = [
            "Rule {",
            "derive(Debug, Subcommand)",
            ": Words = Words {",
            ": Terms = &[",
        ]
        .iter()
        .any(|mark| text.contains(mark));
        let limit = if is_table {
            LONGEST_TABLE
        } else {
            LONGEST_LOGIC
        };
        let excused = LONG.iter().any(|(name, _)| *name == path);
        if logic > limit && !excused {
            long.push(format!("{path}: {logic} lines, at most {limit}"));
        }
    }
    assert!(long.is_empty(), "{}", long.join("\n"));
}

#[test]
fn no_drawer_for_the_rest() {
    const NAMES: [&str; 8] = [
        "util", "utils", "helper", "helpers", "common", "misc", "manager", "types",
    ];
    for (path, _) in files(".rs") {
        let stem = Path::new(&path)
            .file_stem()
            .unwrap()
            .to_string_lossy()
            .into_owned();
        assert!(
            !NAMES.contains(&stem.as_str()),
            "{path} is named like a drawer"
        );
    }
}

#[test]
fn a_folder_file_only_declares() {
    for (path, text) in files("mod.rs")
        .into_iter()
        .filter(|(p, _)| p.starts_with("src/"))
    {
        let excused = path == "src/cli/mod.rs" || path.starts_with("src/cli/commands/");
        let has_logic = text
            .lines()
            .any(|line| line.starts_with("fn ") || line.starts_with("pub fn "));
        assert!(excused || !has_logic, "{path} holds logic");
    }
}

#[test]
fn no_machine_path_and_no_unfinished_place() {
    // Put together here so that this file does not find itself.
    let words: Vec<String> = [("/wo", "rk/"), ("/tm", "p/"), ("TO", "DO"), ("FIX", "ME")]
        .iter()
        .map(|(a, b)| format!("{a}{b}"))
        .collect();
    let mut found = Vec::new();
    for ending in [".rs", ".toml", ".md", ".json", ".jsonl", ".html", ".csv"] {
        for (path, text) in files(ending) {
            for (n, line) in text.lines().enumerate() {
                for word in &words {
                    if line.contains(word.as_str()) && !line.contains(&format!("\"{word}")) {
                        found.push(format!("{path}:{}: {word}", n + 1));
                    }
                }
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_test_file_is_declared() {
    let table = fs::read_to_string(root().join("tests/suite/main.rs")).unwrap();
    for (path, _) in files(".rs")
        .into_iter()
        .filter(|(path, _)| path.starts_with("tests/suite/"))
    {
        let parts: Vec<&str> = path.trim_start_matches("tests/suite/").split('/').collect();
        let first = parts[0].trim_end_matches(".rs");
        assert!(
            first == "main" || table.contains(&format!("mod {first};")),
            "{path} is not declared in tests/suite/main.rs"
        );
    }
}
