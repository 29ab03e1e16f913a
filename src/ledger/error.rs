//! Why a text is refused or an entry is not taken; for everyone who calls the ledger.
//!
//! Words from outside are printed with their control characters spelt out, so that a message is
//! one line and does nothing to a terminal.

/// Why the ledger refuses. Defects found in a finished record are [`super::Break`]s instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LedgerError {
    /// The name of a key or a log.
    #[error(
        "`{0}` is not a name: a name is not empty and holds no space, plus sign or control character"
    )]
    Name(String),
    /// A number that other readers could take for another one.
    #[error(
        "the number at `{pointer}` is not a whole number within ±9007199254740991; a measured value is written as text"
    )]
    Number {
        /// JSON pointer (RFC 6901) to it.
        pointer: String,
    },
    /// An object that has one key twice.
    #[error("the key at `{}` is there twice", .pointer.escape_debug())]
    RepeatedKey {
        /// JSON pointer to the second one.
        pointer: String,
    },
    /// Values within values beyond [`super::MAX_DEPTH`].
    #[error("the value at `{}` is nested too deeply", .pointer.escape_debug())]
    TooDeep {
        /// JSON pointer to the place.
        pointer: String,
    },
    /// Not JSON at all.
    #[error("not JSON: {why}")]
    NotJson {
        /// What the reader met, with its column.
        why: String,
        /// The text ends before the value does.
        unfinished: bool,
    },
    /// A verifier key in text form.
    #[error("`{}` is not a verifier key of the form name+id+key", .0.escape_debug())]
    VerifierKey(String),
    /// A signed note.
    #[error("not a signed note: {0}")]
    Note(&'static str),
    /// A proof to take away.
    #[error("not a proof: {0}")]
    Proof(&'static str),
    /// The text of a checkpoint.
    #[error("not a checkpoint: {0}")]
    Checkpoint(&'static str),
    /// A time that version 7 ids cannot carry.
    #[error("the time `{0}` is before 1970")]
    Early(String),
    /// A member of an entry that does not have the form of this format.
    #[error("`{}` is not in the form of an entry: {why}", .member.escape_debug())]
    Member {
        /// Its name.
        member: String,
        /// What was expected.
        why: &'static str,
    },
    /// An entry longer than [`super::MAX_LINE`].
    #[error("an entry of {0} bytes is longer than 10485760 bytes")]
    LineTooLong(usize),
    /// A log whose last stamp leaves no later one.
    #[error("the last entry is stamped `{0}`, and no later stamp can be written")]
    LastStamp(String),
    /// A log that was written by a newer program.
    #[error("the log holds entries of format `{0}`, newer than this program can write")]
    NewerFormat(String),
    /// A log in which something is wrong already.
    #[error("the log is broken and takes no further entry: {0}")]
    Broken(String),
}
