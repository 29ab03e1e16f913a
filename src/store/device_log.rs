//! The log of one device in a folder: `ledger/device.jsonl`, its checkpoint, its lock.
//!
//! Lines are only ever added. A writer holds `ledger/.lock` for as long as it writes, so two
//! people cannot overwrite each other. Jobs and registers keep their logs in this way.

use std::fs::{self, File, OpenOptions};
use std::io::{Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use super::StoreError;
use super::keys::trusted;
use crate::ledger::{DeviceKey, Log, Verification, Verifier, verify};

/// A writer waits two seconds for its turn: another holds the lock for one entry, which is soon
/// over. Then it says who is busy.
const TRIES: u32 = 200;
const BETWEEN_TRIES: Duration = Duration::from_millis(10);

/// The log of one device in a folder.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DeviceLog<'p> {
    folder: &'p Path,
}

impl<'p> DeviceLog<'p> {
    pub(crate) const fn in_folder(folder: &'p Path) -> Self {
        Self { folder }
    }

    pub(crate) fn file(&self) -> PathBuf {
        self.folder.join("ledger/device.jsonl")
    }

    pub(crate) fn checkpoint_file(&self) -> PathBuf {
        self.folder.join("ledger/device.checkpoint")
    }

    /// What a verifier says of it, with `more` keys trusted.
    pub(crate) fn verification(&self, more: &[Verifier]) -> Result<Verification, StoreError> {
        let path = self.file();
        if !path.exists() {
            return Err(StoreError::NoLedger {
                path: self.folder.into(),
            });
        }
        let bytes = fs::read(&path).map_err(StoreError::file(&path))?;
        let checkpoint = self.checkpoint_text();
        Ok(verify(&bytes, checkpoint.as_deref(), &trusted(more)?))
    }

    /// The checkpoint as it stands in its file, if there is one.
    pub(crate) fn checkpoint_text(&self) -> Option<String> {
        let bytes = fs::read(self.checkpoint_file()).ok()?;
        Some(String::from_utf8_lossy(&bytes).into_owned())
    }

    /// Takes the writer's lock, after a wait of two seconds at most; held until the file is dropped.
    pub(crate) fn lock(&self) -> Result<File, StoreError> {
        let folder = self.folder.join("ledger");
        fs::create_dir_all(&folder).map_err(StoreError::file(&folder))?;
        let path = folder.join(".lock");
        let file = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(&path)
            .map_err(StoreError::file(&path))?;
        for _ in 0..TRIES {
            if file.try_lock().is_ok() {
                return Ok(file);
            }
            thread::sleep(BETWEEN_TRIES);
        }
        Err(StoreError::Busy {
            path: self.folder.into(),
        })
    }

    /// Adds lines to the log, on disk before this returns, then signs the new end. A torn last
    /// line from an earlier cut is dropped first: it was never acknowledged. Gives the checkpoint.
    pub(crate) fn append(
        &self,
        log: &Log,
        good_bytes: u64,
        lines: &str,
        key: &DeviceKey,
    ) -> Result<String, StoreError> {
        let path = self.file();
        let mut file = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(&path)
            .map_err(StoreError::file(&path))?;
        let end = file
            .seek(SeekFrom::End(0))
            .map_err(StoreError::file(&path))?;
        if end > good_bytes {
            file.set_len(good_bytes).map_err(StoreError::file(&path))?;
        }
        file.seek(SeekFrom::Start(good_bytes))
            .map_err(StoreError::file(&path))?;
        file.write_all(lines.as_bytes())
            .map_err(StoreError::file(&path))?;
        file.sync_data().map_err(StoreError::file(&path))?;
        // The checkpoint can be made again from the log and the key, so it needs no sync of its
        // own: after a cut the log is longer than its checkpoint, which is lawful and reported.
        let checkpoint = log.checkpoint(key)?.to_string();
        replace(&self.checkpoint_file(), checkpoint.as_bytes())?;
        Ok(checkpoint)
    }
}

/// Writes a file whole: beside it first, then in its place.
pub(crate) fn replace(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let beside = path.with_file_name(format!(".{name}.partial"));
    fs::write(&beside, bytes).map_err(StoreError::file(&beside))?;
    fs::rename(&beside, path).map_err(StoreError::file(path))
}

/// Has a written file on disk, before a log names it.
pub(crate) fn sync(path: &Path) -> Result<(), StoreError> {
    let file = OpenOptions::new().write(true).open(path);
    file.and_then(|file| file.sync_all())
        .map_err(StoreError::file(path))
}

/// Writes a file whole and has it on disk, before a log names it.
pub(crate) fn keep(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    replace(path, bytes)?;
    sync(path)
}
