//! Finds every copy of a log below a path: jobs, registers, bundles, merged folders.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use super::StoreError;
use super::bag::{file_name_of, inspect_bundle};
use super::record::read_text;
use super::replace;
use super::seen::remembered;
use crate::custody::{Branch, COSIGNED, Cosigned, LogName, Merged};
use crate::ledger::{Log, Note};

/// Copies found below some paths.
#[derive(Debug, Default)]
pub struct Gathered {
    /// The logs.
    pub merged: Merged,
    /// How many copies were read.
    pub copies: u32,
    /// Copies that cannot be used, with the reason: they are shown and left out.
    pub unusable: Vec<String>,
}

/// Folders in folders that are looked into.
const DEEPEST: u8 = 8;

/// Reads every copy below `path`. A copy with a break is named and left out.
///
/// # Errors
/// A path that cannot be read.
pub fn gather(path: &Path, into: &mut Gathered) -> Result<(), StoreError> {
    into.look(path, 0)?;
    Ok(())
}

impl Gathered {
    fn look(&mut self, path: &Path, depth: u8) -> Result<(), StoreError> {
        if path.is_file() {
            return self.file(path);
        }
        if path.join("bagit.txt").exists() {
            return self.bundle(path, &[]);
        }
        let log = path.join("ledger/device.jsonl");
        if log.exists() {
            let note = note_in(&path.join("ledger/device.checkpoint"));
            self.log(&log, &note.into_iter().collect::<Vec<_>>())?;
            let bundles = path.join("bundles");
            return if bundles.is_dir() {
                self.look(&bundles, depth + 1)
            } else {
                Ok(())
            };
        }
        if depth > DEEPEST {
            return Ok(());
        }
        let mut inside: Vec<PathBuf> = fs::read_dir(path)
            .map_err(StoreError::file(path))?
            .map(|item| item.map(|item| item.path()))
            .collect::<Result<_, _>>()
            .map_err(StoreError::file(path))?;
        inside.sort();
        for item in inside {
            let hidden = item
                .file_name()
                .is_some_and(|name| name.to_string_lossy().starts_with('.'));
            let link = fs::symlink_metadata(&item).is_ok_and(|about| about.is_symlink());
            if !hidden && !link {
                self.look(&item, depth + 1)?;
            }
        }
        Ok(())
    }

    fn file(&mut self, path: &Path) -> Result<(), StoreError> {
        match path.extension().and_then(|ending| ending.to_str()) {
            Some("zip") => self.bundle(path, &notes_beside(path)?),
            Some("jsonl") => self.log(path, &notes_beside(path)?),
            _ => Ok(()),
        }
    }

    fn log(&mut self, path: &Path, notes: &[Note]) -> Result<(), StoreError> {
        let bytes = fs::read(path).map_err(StoreError::file(path))?;
        self.bytes(path, bytes, notes)
    }

    fn bundle(&mut self, path: &Path, notes: &[Note]) -> Result<(), StoreError> {
        match inspect_bundle(path, &[]) {
            Ok(found) => match (found.faults.first(), found.bundle) {
                (None, Some(bundle)) => {
                    let mut notes = notes.to_vec();
                    notes.push(bundle.note);
                    self.bytes(path, bundle.log_bytes, &notes)?;
                }
                (fault, _) => {
                    let why = fault.map_or("no hand-over in it", String::as_str);
                    self.unusable.push(format!("{}: {why}", path.display()));
                }
            },
            Err(error @ StoreError::Bundle { .. }) => self.unusable.push(error.to_string()),
            Err(error) => return Err(error),
        }
        Ok(())
    }

    fn bytes(&mut self, path: &Path, mut bytes: Vec<u8>, notes: &[Note]) -> Result<(), StoreError> {
        let (log, breaks) = Log::read(&bytes);
        if let Some(fault) = breaks.iter().find(|fault| !fault.is_lawful()) {
            self.unusable.push(format!("{}: {fault}", path.display()));
            return Ok(());
        }
        // A torn last line was never acknowledged.
        bytes.truncate(usize::try_from(log.good_bytes()).unwrap_or(usize::MAX));
        let mut notes = notes.to_vec();
        notes.extend(log.entries().iter().filter_map(|entry| {
            let is_cosigned = entry.kind == COSIGNED;
            let body: Cosigned = is_cosigned
                .then(|| serde_json::from_value(entry.body.clone()).ok())
                .flatten()?;
            Note::parse(&body.note).ok()
        }));
        if let Some(name) = LogName::of(&log) {
            notes.extend(remembered(&name)?);
        }
        if self.merged.take(Branch { bytes, log }, &notes).is_none() {
            self.unusable
                .push(format!("{}: no first entry", path.display()));
            return Ok(());
        }
        self.copies += 1;
        Ok(())
    }
}

fn note_in(path: &Path) -> Option<Note> {
    read_text(path)
        .ok()
        .and_then(|text| Note::parse(&text).ok())
}

/// Checkpoints that lie beside a log or bundle: `name.checkpoint`, `name.2.checkpoint`. Of a fork,
/// whose copies are `name.fork-...jsonl`, all those of the name.
fn notes_beside(path: &Path) -> Result<Vec<Note>, StoreError> {
    let (Some(folder), Some(stem)) = (path.parent(), path.file_stem()) else {
        return Ok(Vec::new());
    };
    let stem = stem.to_string_lossy();
    let stem = stem.split(FORK).next().unwrap_or(&stem);
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let mut notes = Vec::new();
    for item in fs::read_dir(folder).map_err(StoreError::file(folder))? {
        let item = item.map_err(StoreError::file(folder))?.path();
        let name = item.file_name().unwrap_or_default().to_string_lossy();
        let own = name
            .strip_prefix(stem)
            .and_then(|rest| rest.strip_prefix('.')?.strip_suffix("checkpoint"))
            .is_some_and(|number| {
                let number = number.trim_end_matches('.');
                number.bytes().all(|byte| byte.is_ascii_digit())
            });
        if own {
            notes.extend(note_in(&item));
        }
    }
    Ok(notes)
}

const FORK: &str = ".fork-";

/// Writes the merged logs into a folder that holds nothing else: `<job>/<device>.jsonl`, and each
/// checkpoint beside it. New files first; only then what they took the place of goes.
///
/// # Errors
/// A folder that cannot be written.
pub fn write_merged(folder: &Path, merged: &Merged) -> Result<Vec<PathBuf>, StoreError> {
    let mut written = BTreeSet::new();
    for (name, branches) in merged.logs() {
        let place = folder.join(file_name_of(&name.about));
        fs::create_dir_all(&place).map_err(StoreError::file(&place))?;
        let stem = file_name_of(&name.origin);
        let alone = branches.copies().count() == 1;
        for (root, branch) in branches.copies() {
            let short: String = crate::ledger::to_hex(root).chars().take(16).collect();
            let file = if alone {
                format!("{stem}.jsonl")
            } else {
                format!("{stem}{FORK}{short}.jsonl")
            };
            let path = place.join(file);
            replace(&path, &branch.bytes)?;
            written.insert(path);
        }
        for (n, note) in branches.notes().enumerate() {
            let path = place.join(format!("{stem}.{}.checkpoint", n + 1));
            replace(&path, note.to_string().as_bytes())?;
            written.insert(path);
        }
        // Copies that another one now continues.
        for item in fs::read_dir(&place).map_err(StoreError::file(&place))? {
            let item = item.map_err(StoreError::file(&place))?.path();
            let own = item.file_name().unwrap_or_default().to_string_lossy();
            let own = own.starts_with(&format!("{stem}."));
            if own && !written.contains(&item) {
                fs::remove_file(&item).map_err(StoreError::file(&item))?;
            }
        }
    }
    Ok(written.into_iter().collect())
}
