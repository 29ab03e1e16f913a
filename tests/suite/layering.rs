//! The plan of the house, read from the sources: who may import whom, who may touch what.
//!
//! Plain text is enough: paths such as `crate::ledger::...` in code, outside comments and the
//! tests at the end of a file.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use crate::tidy::walk;

/// Every module with its layer. A module imports only modules of a lower number.
const LAYERS: [(&str, u8); 23] = [
    ("units", 0),
    ("ids", 0),
    ("clock", 0),
    ("table", 0),
    ("text", 0),
    ("citation", 1),
    ("ledger", 1),
    ("battery", 2),
    ("written", 2),
    ("physics", 3),
    ("inspection", 3),
    ("procedure", 4),
    ("transport", 4),
    ("packing", 5),
    ("custody", 5),
    ("job", 6),
    ("papers", 7),
    ("audit", 7),
    ("store", 7),
    ("actions", 8),
    ("web", 9),
    ("cli", 10),
    ("lib", 11),
];

/// A word that only some modules may use, and why.
struct Wall {
    word: &'static str,
    allowed: &'static [&'static str],
    why: &'static str,
}

const WALLS: [Wall; 13] = [
    Wall {
        word: "sha2::",
        allowed: &["ledger"],
        why: "hash crates stay in the ledger",
    },
    Wall {
        word: "ed25519_dalek",
        allowed: &["ledger"],
        why: "signature crates stay in the ledger",
    },
    Wall {
        word: "libm::",
        allowed: &["physics"],
        why: "floats stay in physics",
    },
    Wall {
        word: "f64",
        allowed: &["physics", "units", "ledger", "packing"],
        why: "floats stay in physics; RFC 8785 reads numbers as doubles; in packing they steer the \
              solver and prove nothing",
    },
    Wall {
        word: "f32",
        allowed: &["physics"],
        why: "floats stay in physics",
    },
    Wall {
        word: "std::fs",
        allowed: &["store", "actions", "cli"],
        why: "layers below 7 touch no file",
    },
    Wall {
        word: "std::env",
        allowed: &["store", "cli"],
        why: "the environment is read at the edge",
    },
    Wall {
        word: "std::net",
        allowed: &["web"],
        why: "only pages need a socket",
    },
    Wall {
        word: "chrono::Local",
        allowed: &["clock"],
        why: "the clock is asked in one place",
    },
    Wall {
        word: "SystemTime",
        allowed: &["clock"],
        why: "the clock is asked in one place",
    },
    Wall {
        word: "getrandom",
        allowed: &["store"],
        why: "randomness only makes keys",
    },
    Wall {
        word: "minijinja",
        allowed: &["papers"],
        why: "templates stay with the papers",
    },
    Wall {
        word: "clap::",
        allowed: &["cli"],
        why: "arguments stay at the command line",
    },
];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut files = Vec::new();
    walk(folder, &mut files);
    found.extend(
        files
            .into_iter()
            .filter(|path| path.extension().is_some_and(|ext| ext == "rs")),
    );
}

/// Code lines of a file with their numbers: no comments, nothing after the test module begins.
fn code(text: &str) -> Vec<(usize, String)> {
    let mut lines = Vec::new();
    for (n, line) in text.lines().enumerate() {
        if line.trim_start().starts_with("#[cfg(test)]") {
            break;
        }
        let line = line.split("//").next().unwrap_or("");
        lines.push((n + 1, line.to_owned()));
    }
    lines
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// The top-level module of a file: `src/ledger/log.rs` is `ledger`.
fn module_of(path: &Path) -> String {
    let relative = path.strip_prefix(root()).unwrap();
    let first = relative
        .components()
        .next()
        .unwrap()
        .as_os_str()
        .to_string_lossy()
        .into_owned();
    first.trim_end_matches(".rs").to_owned()
}

fn imports(line: &str) -> Vec<String> {
    line.split("crate::")
        .skip(1)
        .map(|rest| {
            rest.chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect()
        })
        .filter(|name: &String| !name.is_empty())
        .collect()
}

#[test]
fn a_module_imports_only_lower_layers() {
    let layers: BTreeMap<&str, u8> = LAYERS.into_iter().collect();
    let mut files = Vec::new();
    sources(&root(), &mut files);
    let mut broken = Vec::new();
    for path in files.iter().filter(|path| !path.ends_with("main.rs")) {
        let own = module_of(path);
        let own_layer = layers.get(own.as_str()).copied();
        let Some(own_layer) = own_layer else {
            broken.push(format!("{}: module `{own}` has no layer", path.display()));
            continue;
        };
        for (n, line) in code(&fs::read_to_string(path).unwrap()) {
            for other in imports(&line) {
                let Some(layer) = layers.get(other.as_str()) else {
                    continue;
                };
                if other != own && *layer >= own_layer {
                    broken.push(format!(
                        "{}:{n}: `{own}` (layer {own_layer}) imports `{other}` (layer {layer})",
                        path.strip_prefix(root()).unwrap().display()
                    ));
                }
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn what_touches_the_world_stays_behind_its_wall() {
    let mut files = Vec::new();
    sources(&root(), &mut files);
    let mut broken = Vec::new();
    for path in files.iter().filter(|path| !path.ends_with("main.rs")) {
        let own = module_of(path);
        for (n, line) in code(&fs::read_to_string(path).unwrap()) {
            // The list of forms that serde knows is no sum in floats.
            if line.trim_start().starts_with("bool i8 i16 ") {
                continue;
            }
            for wall in &WALLS {
                if line.contains(wall.word) && !wall.allowed.contains(&own.as_str()) {
                    broken.push(format!(
                        "{}:{n}: `{}` outside {:?}: {}",
                        path.strip_prefix(root()).unwrap().display(),
                        wall.word,
                        wall.allowed,
                        wall.why
                    ));
                }
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn files_of_one_action_or_command_do_not_import_each_other() {
    let mut broken = Vec::new();
    for folder in ["actions", "cli/commands"] {
        let mut files = Vec::new();
        sources(&root().join(folder), &mut files);
        // An action or command is a file, or a folder whose parts may know each other.
        let own = |path: &Path| {
            let inside = path.strip_prefix(root().join(folder)).unwrap();
            let top = inside.iter().next().unwrap();
            Path::new(top)
                .file_stem()
                .unwrap()
                .to_string_lossy()
                .into_owned()
        };
        let names: BTreeSet<String> = files
            .iter()
            .map(|path| own(path))
            .filter(|name| name != "mod" && name != "error")
            .collect();
        let module = folder.replace('/', "::");
        for path in files.iter().filter(|path| own(path) != "mod") {
            for (n, line) in code(&fs::read_to_string(path).unwrap()) {
                for name in names.iter().filter(|name| **name != own(path)) {
                    let ways = [
                        format!("super::{name}::"),
                        format!("crate::{module}::{name}::"),
                    ];
                    if ways.iter().any(|way| line.contains(way.as_str())) {
                        broken.push(format!(
                            "{folder}/{}:{n}: imports `{name}`",
                            path.file_name().unwrap().to_string_lossy()
                        ));
                    }
                }
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn the_checker_of_plans_and_their_solver_do_not_know_each_other() {
    let packing = root().join("packing");
    let mut solver = vec![packing.join("bound.rs")];
    sources(&packing.join("solve"), &mut solver);
    assert!(solver.len() > 5, "where has the solver gone?");
    let checker = packing.join("check.rs");
    let words = |path: &Path, words: &[&str]| {
        for (n, line) in code(&fs::read_to_string(path).unwrap()) {
            for word in words {
                assert!(
                    !line.contains(word),
                    "{}:{n} knows `{word}`",
                    path.display()
                );
            }
        }
    };
    words(&checker, &["solve", "bound::", "simple_bound", "f64"]);
    let load = packing.join("load");
    for checker in ["check_load.rs", "check_room.rs"] {
        words(
            &load.join(checker),
            &[
                "plan_load",
                "fill::",
                "floor::",
                "super::room",
                "layers::",
                "divider::",
                "least::",
                "simple_bound",
                "solve",
            ],
        );
    }
    for planner in [
        "plan_load.rs",
        "fill.rs",
        "room.rs",
        "layers.rs",
        "least.rs",
    ] {
        words(&load.join(planner), &["check_load", "check_room"]);
    }
    let haul = packing.join("haul");
    words(
        &haul.join("check_haul.rs"),
        &["plan_haul", "arrange", "parcel", "floor::", "place("],
    );
    for planner in ["plan_haul.rs", "arrange.rs", "parcel.rs"] {
        words(&haul.join(planner), &["check_haul", "HaulFault"]);
    }
    for planner in ["plan_load.rs", "fill.rs", "floor.rs"] {
        words(&load.join(planner), &["check_load", "LoadFault"]);
    }
    for path in solver.iter().filter(|path| !path.ends_with("oracle.rs")) {
        words(path, &["check::", "check(", "Fault"]);
    }
}

#[test]
fn floats_in_packing_only_steer_the_solver() {
    let mut files = Vec::new();
    sources(&root().join("packing"), &mut files);
    for path in files
        .iter()
        .filter(|path| !path.to_string_lossy().contains("/solve/"))
    {
        for (n, line) in code(&fs::read_to_string(path).unwrap()) {
            assert!(!line.contains("f64"), "{}:{n}", path.display());
        }
    }
}
