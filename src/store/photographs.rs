//! Photographs beside a job: finds each one an entry names, and hashes it.

use std::fs;
use std::path::{Path, PathBuf};

use super::{JobFolder, StoreError};
use crate::ledger::{sha256, to_hex};
use crate::text::same;

/// Fills in the hashes of photographs that lie in the job's `photos/` folder.
pub(crate) fn hash_photos(
    folder: &JobFolder,
    entry: &mut crate::procedure::Entry,
) -> Result<(), StoreError> {
    for photo in entry
        .photos
        .iter_mut()
        .filter(|photo| photo.has_plain_name() && photo.sha256.is_none())
    {
        if let Some(path) = photo_file(folder, &photo.file) {
            let bytes = fs::read(&path).map_err(StoreError::file(&path))?;
            photo.sha256 = Some(to_hex(&sha256(&bytes)));
        }
    }
    Ok(())
}

/// The photographs that `entries` name with a hash and that lie in the folder: name and place.
pub(crate) fn photographs_of<'e>(
    folder: &JobFolder,
    entries: impl IntoIterator<Item = &'e crate::procedure::Entry>,
) -> Vec<(String, PathBuf)> {
    let mut named: Vec<(String, PathBuf)> = entries
        .into_iter()
        .flat_map(|entry| &entry.photos)
        .filter(|photo| photo.has_plain_name() && photo.sha256.is_some())
        .filter_map(|photo| Some((photo.file.clone(), photo_file(folder, &photo.file)?)))
        .collect();
    named.sort();
    named.dedup();
    named
}

/// Copies a photograph beside its place first, so that it appears whole.
pub(super) fn copy_photograph(from: &Path, to: &Path) -> Result<(), StoreError> {
    if from == to || to.is_file() {
        return Ok(());
    }
    if let Some(parent) = to.parent() {
        fs::create_dir_all(parent).map_err(StoreError::file(parent))?;
    }
    let name = to
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let beside = to.with_file_name(format!(".{}.partial", name.unwrap_or_default()));
    fs::copy(from, &beside).map_err(StoreError::file(from))?;
    fs::rename(&beside, to).map_err(StoreError::file(to))
}

/// The photograph of that name, in whichever Unicode form its name was written on the disk.
fn photo_file(folder: &JobFolder, name: &str) -> Option<PathBuf> {
    let photos = folder.file("photos");
    let path = photos.join(name);
    if name.is_ascii() || path.is_file() {
        return path.is_file().then_some(path);
    }
    let files = fs::read_dir(&photos).ok()?;
    let mut alike: Vec<PathBuf> = files
        .filter_map(|file| Some(file.ok()?.path()))
        .filter(|path| path.is_file())
        .filter(|path| {
            let found = path.file_name().map(|found| found.to_string_lossy());
            found.is_some_and(|found| same(&found, name))
        })
        .collect();
    alike.sort();
    alike.into_iter().next()
}
