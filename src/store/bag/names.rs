//! Names of files inside a bundle: what is refused before anything is opened.
//!
//! A name must mean one file in one place on every system, and never a place outside the folder
//! that a bundle is unpacked into.

use std::collections::BTreeMap;

use unicode_normalization::UnicodeNormalization;

/// Longest name of one file or folder, and longest path, in bytes; what common systems take.
const LONGEST_PART: usize = 255;
const LONGEST_PATH: usize = 1024;

/// Names that mean a device on some systems, whatever follows a point.
const DEVICES: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8",
    "com9", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

/// Why `path` is not the path of a file inside a bundle; `None` where it is one.
pub(super) fn fault_of_path(path: &str) -> Option<String> {
    let what = if path.is_empty() {
        "an empty name"
    } else if path.len() > LONGEST_PATH {
        "a path of more than 1024 bytes"
    } else if path.chars().any(char::is_control) {
        "a control character"
    } else if path.contains('\\') {
        "a backslash"
    } else if path.starts_with('/') {
        "an absolute path"
    } else if path.contains(':') {
        "a colon, as in a drive letter"
    } else {
        path.split('/').find_map(fault_of_part)?
    };
    Some(format!("{what}: `{}`", shown(path)))
}

fn fault_of_part(part: &str) -> Option<&'static str> {
    let stem = part.split('.').next().unwrap_or(part).to_lowercase();
    if part.is_empty() {
        Some("an empty part")
    } else if part == ".." || part == "." {
        Some("a part that points elsewhere")
    } else if part.len() > LONGEST_PART {
        Some("a part of more than 255 bytes")
    } else if part.starts_with('~') {
        Some("a part that begins with ~")
    } else if part.ends_with(['.', ' ']) {
        Some("a part that ends in a point or a space")
    } else if DEVICES.contains(&stem.as_str()) {
        Some("the name of a device")
    } else {
        None
    }
}

/// A path for a message: one line, not too long.
pub(super) fn shown(path: &str) -> String {
    let cut: String = path.chars().take(120).collect();
    cut.escape_debug().to_string()
}

/// Paths that were seen, and by what name they would be found on a system that does not tell
/// upper from lower case or one Unicode form from another.
#[derive(Debug, Default)]
pub(super) struct Seen(BTreeMap<String, String>);

impl Seen {
    /// Takes a path, or says with which earlier one it collides.
    pub(super) fn take(&mut self, path: &str) -> Result<(), String> {
        let folded: String = path.nfc().flat_map(char::to_lowercase).nfc().collect();
        match self.0.insert(folded, path.to_owned()) {
            None => Ok(()),
            Some(old) if old == path => {
                Err(format!("a file that is there twice: `{}`", shown(path)))
            }
            Some(old) => Err(format!(
                "names that differ only by case or Unicode form: `{}` and `{}`",
                shown(&old),
                shown(path)
            )),
        }
    }

    /// A path that is a file and at the same time the folder of another one.
    pub(super) fn file_and_folder(&self) -> Option<String> {
        let is_folder = |path: &str| {
            let inside = format!("{path}/");
            let next = self.0.range(inside.clone()..).next();
            next.is_some_and(|(other, _)| other.starts_with(&inside))
        };
        let (_, path) = self.0.iter().find(|(folded, _)| is_folder(folded))?;
        Some(format!("a file that is also a folder: `{}`", shown(path)))
    }
}

/// A name for a file made from an identity or an origin: letters, digits, point, hyphen and
/// underscore stay, every other character becomes a hyphen.
pub(crate) fn file_name_of(name: &str) -> String {
    let kept: String = name
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || "._-".contains(c) {
                c
            } else {
                '-'
            }
        })
        .take(120)
        .collect();
    let trimmed = kept.trim_matches(['.', '-']);
    if fault_of_path(trimmed).is_some() {
        format!("x{trimmed}")
    } else {
        trimmed.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_that_leave_the_folder_or_mean_two_things_are_refused() {
        for path in [
            "",
            "/etc/passwd",
            "data/../../x",
            "./data/x",
            "data//x",
            "data/x/",
            "C:/x",
            "data/x:y",
            "data\\x",
            "~/x",
            "~root/x",
            "data/~x",
            "data/x.",
            "data/x ",
            "data/nul",
            "data/COM1.txt",
            "data/a\nb",
            "data/a\0b",
        ] {
            assert!(fault_of_path(path).is_some(), "{path:?}");
        }
        for path in [
            "data/x",
            "data/a b.txt",
            "data/größe.txt",
            "data/x~1",
            "data/console",
        ] {
            assert_eq!(fault_of_path(path), None, "{path:?}");
        }
    }

    #[test]
    fn names_that_some_system_would_take_for_one_are_refused() {
        let mut seen = Seen::default();
        seen.take("data/A").unwrap();
        assert!(seen.take("data/A").unwrap_err().contains("twice"));
        assert!(seen.take("data/a").unwrap_err().contains("only by case"));
        // One letter, and the same letter as base and combining mark.
        seen.take("data/\u{e9}").unwrap();
        assert!(seen.take("data/e\u{301}").is_err());
        assert_eq!(seen.file_and_folder(), None);
        seen.take("data/A/b").unwrap();
        assert!(seen.file_and_folder().unwrap().contains("also a folder"));
    }

    #[test]
    fn an_identity_becomes_a_name_that_is_taken_everywhere() {
        for (name, expected) in [
            ("PW2-24-118034", "PW2-24-118034"),
            (
                "works.invalid/job-log/tablet 7",
                "works.invalid-job-log-tablet-7",
            ),
            ("../../x", "x"),
            ("nul", "xnul"),
            ("", "x"),
        ] {
            assert_eq!(file_name_of(name), expected);
        }
    }
}
