//! A table that a command wrote where its user said, for what is written beside it.

use std::fs;
use std::path::{Path, PathBuf};

use super::StoreError;

/// A table that was written to a file of the user's choice, and where its description goes.
pub(crate) struct FinishedTable {
    /// Name of the file.
    pub(crate) name: String,
    /// Its length.
    pub(crate) bytes: u64,
    /// `TABLE.datapackage.json` beside `TABLE.csv`.
    pub(crate) description: PathBuf,
}

/// The table at `path`; `None` where that is no plain file, such as a pipe: nothing lies beside it.
///
/// # Errors
/// A file that is not there.
pub(crate) fn finished_table(path: &Path) -> Result<Option<FinishedTable>, StoreError> {
    let about = fs::metadata(path).map_err(StoreError::file(path))?;
    let name = path.file_name().filter(|_| about.is_file());
    Ok(name.map(|name| FinishedTable {
        name: name.to_string_lossy().into_owned(),
        bytes: about.len(),
        description: path.with_extension("datapackage.json"),
    }))
}
