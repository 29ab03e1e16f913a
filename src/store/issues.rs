//! Issues of papers on disk: each kept whole in a folder of its own, the newest also beside the
//! plan.
//!
//! `papers/issue-2/manifest.html` never changes; `manifest.html` in the job's folder is the newest
//! of its name. What [`crate::actions::play`] wrote lies only beside the plan until a second issue
//! follows; it is then kept first.

use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize as _;

use super::device_log::{replace, sync};
use super::{JobFolder, StoreError};
use crate::job::{PAPERS_ISSUED, PapersBody};
use crate::ledger::{Log, sha256, to_hex};

/// Every issue that the log names, oldest first.
pub(crate) fn issues_in(log: &Log) -> Vec<PapersBody> {
    log.entries()
        .iter()
        .filter(|entry| entry.kind == PAPERS_ISSUED)
        .filter_map(|entry| PapersBody::deserialize(&entry.body).ok())
        .collect()
}

/// Where an issue is kept.
pub(crate) fn issue_folder(folder: &JobFolder, issue: u32) -> PathBuf {
    folder.file("papers").join(format!("issue-{issue}"))
}

/// Keeps what an earlier issue left only beside the plan, before a newer one takes its place.
pub(crate) fn keep_older(folder: &JobFolder, log: &Log) -> Result<(), StoreError> {
    for body in issues_in(log) {
        let kept = issue_folder(folder, body.issue);
        if kept.exists() {
            continue;
        }
        let still_there: Vec<(String, Vec<u8>)> = body
            .papers
            .into_iter()
            .filter(|(name, _)| is_plain(name))
            .filter_map(|(name, hash)| {
                let bytes = fs::read(folder.file(&name)).ok()?;
                (to_hex(&sha256(&bytes)) == hash).then_some((name, bytes))
            })
            .collect();
        keep_into(&kept, &still_there)?;
    }
    Ok(())
}

/// Writes files into a folder that need not exist. What is there already stays as it is: a table often
/// says the same in the next issue, and putting a file in the place of another waits for the disk.
pub(crate) fn write_into(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), StoreError> {
    fs::create_dir_all(folder).map_err(StoreError::file(folder))?;
    for (name, bytes) in files {
        let path = folder.join(name);
        if !holds(&path, bytes) {
            replace(&path, bytes)?;
        }
    }
    Ok(())
}

/// The same for what a log names or is about to name: all of it is on disk when this returns. The sync
/// comes after the last write, so that one wait of the disk serves for most of them.
pub(crate) fn keep_into(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), StoreError> {
    write_into(folder, files)?;
    files
        .iter()
        .try_for_each(|(name, _)| sync(&folder.join(name)))
}

/// Whether the file is there and holds these very bytes.
fn holds(path: &Path, bytes: &[u8]) -> bool {
    let size = fs::metadata(path).map(|about| about.len());
    size.is_ok_and(|size| size == bytes.len() as u64)
        && fs::read(path).is_ok_and(|there| there == bytes)
}

/// Refuses a folder that holds another file of one of these names: nothing is overwritten.
pub(crate) fn refuse_other(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), StoreError> {
    for (name, bytes) in files {
        let path = folder.join(name);
        if fs::read(&path).is_ok_and(|there| there != *bytes) {
            return Err(StoreError::OtherRecord {
                path: folder.into(),
                what: format!("its `{name}` is another one; give an empty folder"),
            });
        }
    }
    Ok(())
}

/// A paper that was issued, as it lies there now.
#[derive(Debug)]
pub(crate) struct PaperThere {
    /// Number of its issue.
    pub(crate) issue: u32,
    /// File name.
    pub(crate) name: String,
    /// Its bytes; `None` where it is missing.
    pub(crate) bytes: Option<Vec<u8>>,
    /// Whether they are what was issued.
    pub(crate) as_issued: bool,
}

/// Every paper of every issue as it lies there now.
pub(crate) fn papers_there(folder: &JobFolder, log: &Log) -> Vec<PaperThere> {
    let issues = issues_in(log);
    let newest = issues.last().map_or(0, |body| body.issue);
    let mut found = Vec::new();
    for body in issues {
        let kept = issue_folder(folder, body.issue);
        let place = if kept.exists() || body.issue != newest {
            kept
        } else {
            folder.path().to_path_buf()
        };
        for (name, expected) in body.papers {
            let bytes = is_plain(&name)
                .then(|| fs::read(place.join(&name)).ok())
                .flatten();
            found.push(PaperThere {
                issue: body.issue,
                as_issued: bytes
                    .as_ref()
                    .is_some_and(|bytes| to_hex(&sha256(bytes)) == expected),
                name,
                bytes,
            });
        }
    }
    found
}

/// Papers that were issued and are no longer there, or no longer what was issued.
pub(crate) fn changed_papers(folder: &JobFolder, log: &Log) -> Vec<String> {
    let issues = issues_in(log);
    let newest = issues.last().map_or(0, |body| body.issue);
    let mut changed = Vec::new();
    for body in &issues {
        let kept = issue_folder(folder, body.issue);
        let (place, prefix) = if kept.exists() || body.issue != newest {
            (kept, format!("papers/issue-{}/", body.issue))
        } else {
            (folder.path().to_path_buf(), String::new())
        };
        for (name, expected) in &body.papers {
            let bytes = is_plain(name)
                .then(|| fs::read(place.join(name)).ok())
                .flatten();
            match bytes {
                None => changed.push(format!("{prefix}{name} is missing")),
                Some(bytes) if to_hex(&sha256(&bytes)) != *expected => {
                    changed.push(format!("{prefix}{name} was changed after it was issued"));
                }
                Some(_) => {}
            }
            // The copy beside the plan may lag an issue behind, where a write was cut off.
            let beside = fs::read(folder.file(name)).ok();
            let is_of_an_issue = |hash: &String| {
                issues
                    .iter()
                    .any(|body| body.papers.iter().any(|(n, h)| n == name && h == hash))
            };
            if let Some(hash) = beside.map(|bytes| to_hex(&sha256(&bytes)))
                && !prefix.is_empty()
                && !is_of_an_issue(&hash)
            {
                changed.push(format!("{name} was changed after it was issued"));
            }
        }
    }
    changed.sort_unstable();
    changed.dedup();
    changed
}

/// Whether a name from the log names a file in the folder and nothing beyond.
fn is_plain(name: &str) -> bool {
    !name.is_empty() && !name.contains(['/', '\\']) && !name.starts_with('.')
}
