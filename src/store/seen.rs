//! What this device has seen of other devices' logs: the largest checkpoint of each, so that an
//! older or a forked copy shows.

use std::fs;
use std::path::PathBuf;

use super::StoreError;
use super::bag::{Bundle, file_name_of};
use super::device_log::replace;
use super::keys::{data_folder, signing_key};
use crate::clock::Moment;
use crate::custody::LogName;
use crate::ledger::{Checkpoint, Note};

/// The checkpoint of a bundle with this device's cosignature.
#[derive(Debug, Clone)]
pub struct CosignedNote {
    /// The giver's note with one more signature line.
    pub note: Note,
    /// Name of this device's key.
    pub by: String,
    /// Entries of the same log that this device had seen before; none at the first sight.
    pub seen_before: Option<u64>,
    /// Whether the job is invented; its cosignature is made with the demo key and proves nothing.
    pub demo: bool,
}

/// Cosigns the checkpoint of a bundle, after comparing it with what this device saw of the same
/// log before, and remembers it. Of invented jobs nothing is remembered.
///
/// # Errors
/// A log that is not the continuation of what was seen: a fork, or an older copy.
pub fn cosign(bundle: &Bundle, at: Moment) -> Result<CosignedNote, StoreError> {
    let demo = bundle.job_log.entries().first().is_some_and(|first| {
        let body = first.body.get("plan").unwrap_or(&first.body);
        body.get("demo").and_then(serde_json::Value::as_bool) == Some(true)
    });
    let key = signing_key(demo)?;
    let name = LogName::of(&bundle.job_log);
    let memory = match name.filter(|_| !demo) {
        Some(name) => Some(memory_of(&name)?),
        None => None,
    };
    let mut seen_before = None;
    if let Some(path) = memory.as_ref().filter(|path| path.exists()) {
        let old = fs::read_to_string(path).map_err(StoreError::file(path))?;
        let old = Checkpoint::parse(Note::parse(&old)?.text())?;
        if bundle.checkpoint.size < old.size {
            return Err(StoreError::Older {
                path: bundle.path.clone(),
                found: bundle.checkpoint.size,
                seen: old.size,
            });
        }
        if !bundle.job_log.extends(&old) {
            return Err(StoreError::Fork {
                path: bundle.path.clone(),
                what: format!("its first {} entries are not those seen before", old.size),
            });
        }
        seen_before = Some(old.size);
    }
    let mut note = bundle.note.clone();
    note.cosign(&key, at)?;
    if let Some(path) = memory {
        let folder = path.parent().unwrap_or(&path);
        fs::create_dir_all(folder).map_err(StoreError::file(folder))?;
        replace(&path, note.to_string().as_bytes())?;
    }
    Ok(CosignedNote {
        note,
        by: key.name().to_owned(),
        seen_before,
        demo,
    })
}

/// The largest checkpoint of a log that this device cosigned.
pub(super) fn remembered(name: &LogName) -> Result<Option<Note>, StoreError> {
    let path = memory_of(name)?;
    if !path.exists() {
        return Ok(None);
    }
    let text = fs::read_to_string(&path).map_err(StoreError::file(&path))?;
    Ok(Some(Note::parse(&text)?))
}

fn memory_of(name: &LogName) -> Result<PathBuf, StoreError> {
    let file = format!("{}.checkpoint", file_name_of(&name.about));
    Ok(data_folder()?
        .join("seen")
        .join(file_name_of(&name.origin))
        .join(file))
}
