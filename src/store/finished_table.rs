//! A table that a command wrote where its user said, and the description that goes beside it.

use std::fs;
use std::path::Path;

use super::{StoreError, replace};

/// Writes `TABLE.datapackage.json` beside a finished `TABLE.csv`; `about` makes it from the name of the
/// file and its length. Nothing lies beside what is no plain file, such as a pipe.
///
/// # Errors
/// A table that is not there, a file that cannot be written, and those of `about`.
pub(crate) fn describe_beside<E: From<StoreError>>(
    table: &Path,
    about: impl FnOnce(&str, u64) -> Result<String, E>,
) -> Result<(), E> {
    let meta = fs::metadata(table).map_err(StoreError::file(table))?;
    if let Some(name) = table.file_name().filter(|_| meta.is_file()) {
        let text = about(&name.to_string_lossy(), meta.len())?;
        replace(&table.with_extension("datapackage.json"), text.as_bytes())?;
    }
    Ok(())
}
