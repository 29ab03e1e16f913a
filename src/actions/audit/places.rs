//! Where the jobs lie: folders of jobs, bundles, or folders that hold such.

use std::fs;
use std::path::{Path, PathBuf};

use crate::store::StoreError;

/// How deep a folder of folders is looked through.
const DEEPEST: u8 = 4;

/// What lies at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A job's folder.
    Job,
    /// A hand-over bundle, as one file or unpacked.
    Bundle,
    /// The register of a site that receives.
    Register,
}

/// A place with what lies there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) path: PathBuf,
    pub(super) kind: Kind,
}

/// What lies at `path` itself.
fn kind_of(path: &Path) -> Option<Kind> {
    if path.is_file() {
        let zip = path
            .extension()
            .is_some_and(|ext| ext.eq_ignore_ascii_case("zip"));
        return zip.then_some(Kind::Bundle);
    }
    if path.join("site.json").is_file() {
        Some(Kind::Register)
    } else if path.join("bagit.txt").is_file() {
        Some(Kind::Bundle)
    } else if path.join("ledger/device.jsonl").is_file() {
        Some(Kind::Job)
    } else {
        None
    }
}

/// Every job, bundle and register at `paths` or below them; those of one folder by name.
///
/// # Errors
/// A path that is not there, or holds nothing of the kind.
pub(super) fn places(paths: &[PathBuf]) -> Result<Vec<Place>, StoreError> {
    let mut found = Vec::new();
    for path in paths {
        let before = found.len();
        fs::metadata(path).map_err(StoreError::file(path))?;
        look(path, 0, &mut found)?;
        if found.len() == before {
            return Err(StoreError::NoLedger { path: path.clone() });
        }
    }
    Ok(found)
}

fn look(path: &Path, depth: u8, found: &mut Vec<Place>) -> Result<(), StoreError> {
    if let Some(kind) = kind_of(path) {
        found.push(Place {
            path: path.to_path_buf(),
            kind,
        });
        // The bundles that a site received are jobs of others; what it sent on has its own.
        for inside in ["bundles", "dispatches"] {
            let inside = path.join(inside);
            if kind == Kind::Register && inside.is_dir() {
                look(&inside, depth + 1, found)?;
            }
        }
        return Ok(());
    }
    if !path.is_dir() || depth >= DEEPEST {
        return Ok(());
    }
    let mut inside = Vec::new();
    for entry in fs::read_dir(path).map_err(StoreError::file(path))? {
        let entry = entry.map_err(StoreError::file(path))?;
        // A link could lead round in a circle, or out of what was named.
        let is_link = entry.file_type().is_ok_and(|kind| kind.is_symlink());
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        if !is_link && !hidden {
            inside.push(entry.path());
        }
    }
    inside.sort();
    for one in inside {
        look(&one, depth + 1, found)?;
    }
    Ok(())
}
