//! Reads `record.jsonl`: one entry a line, each line checked by itself.

use std::fs;
use std::io::Read;
use std::path::Path;

use super::StoreError;
use crate::procedure::Entry;
use crate::text::composed;

/// Longest line of a record, in bytes. An entry is a few hundred.
const LONGEST_LINE: usize = 256 * 1024;
/// Largest file read whole: a plan or a record of one job.
const LARGEST_FILE: u64 = 64 * 1024 * 1024;

/// The text of a file: UTF-8, not larger than a job's file can be, brought to one Unicode form.
pub(crate) fn read_text(path: &Path) -> Result<String, StoreError> {
    let file = fs::File::open(path).map_err(StoreError::file(path))?;
    let size = file.metadata().map_err(StoreError::file(path))?.len();
    if size > LARGEST_FILE {
        return Err(StoreError::TooLarge {
            path: path.into(),
            what: format!("is {size} bytes long; at most {LARGEST_FILE}"),
        });
    }
    let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or(0));
    file.take(LARGEST_FILE)
        .read_to_end(&mut bytes)
        .map_err(StoreError::file(path))?;
    let text = String::from_utf8(bytes).map_err(|error| StoreError::NotText {
        path: path.into(),
        at: error.utf8_error().valid_up_to(),
    })?;
    // Some editors put a byte-order mark first; it is no part of the text.
    Ok(composed(match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    }))
}

/// Every entry of a field record. Empty lines are passed over.
///
/// # Errors
/// The first line that is not an entry, with its number and what is wrong with it.
pub fn read_record(path: &Path) -> Result<Vec<Entry>, StoreError> {
    let text = read_text(path)?;
    let mut entries = Vec::new();
    for (n, line) in text.lines().enumerate() {
        if line.len() > LONGEST_LINE {
            return Err(StoreError::TooLarge {
                path: path.into(),
                what: format!(
                    "line {} is {} bytes long; at most {LONGEST_LINE}",
                    n + 1,
                    line.len()
                ),
            });
        }
        if line.trim().is_empty() {
            continue;
        }
        entries.push(
            serde_json::from_str(line).map_err(|error| StoreError::Record {
                path: path.into(),
                line: n + 1,
                why: plain(&error),
            })?,
        );
    }
    Ok(entries)
}

/// What a JSON reader says, without its own line number (each line is read by itself).
fn plain(error: &serde_json::Error) -> String {
    let text = error.to_string();
    match text.rsplit_once(" at line ") {
        Some((what, place)) => match place.rsplit_once("column ") {
            Some((_, column)) => format!("{what} (column {column})"),
            None => what.to_owned(),
        },
        None => text,
    }
}
