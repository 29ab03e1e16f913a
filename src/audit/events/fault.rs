//! Why a table of custody events cannot be read.

/// Why a table of custody events cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum EventsFault {
    /// A row, or the head.
    #[error("line {line}{}: {why}", if column.is_empty() { String::new() } else { format!(", column `{column}`") })]
    Row {
        /// The line of the file, from 1.
        line: u64,
        /// The column; empty where it is the whole line.
        column: String,
        /// What is wrong, with the value and the limit.
        why: String,
        /// Names that would have been known there.
        known: Vec<String>,
    },
    /// The file gives nothing more.
    #[error("{0}")]
    Io(#[from] std::io::Error),
    /// The file of hashes kept before.
    #[error("hashes kept before, line {line}: {why}")]
    Heads {
        /// The line, from 1.
        line: u64,
        /// What is wrong.
        why: String,
    },
    /// The second reading found other rows than the first.
    #[error("the file changed while it was read")]
    Changed,
}

/// A fault of one row, before its line in the file is known.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct RowFault {
    /// Line in the text given, from 0.
    pub(super) line: u32,
    pub(super) column: String,
    pub(super) why: String,
}

impl RowFault {
    /// The same with its line in the file.
    pub(super) fn in_file(self, lines_before: u64) -> EventsFault {
        EventsFault::Row {
            line: lines_before + u64::from(self.line) + 1,
            column: self.column,
            why: self.why,
            known: Vec::new(),
        }
    }
}

/// A value as a message shows it: never longer than a line.
pub(super) fn shown(value: &[u8]) -> String {
    let text = String::from_utf8_lossy(value);
    let mut short: String = text.chars().take(40).collect();
    if short.len() < text.len() {
        short.push_str("...");
    }
    short
}
