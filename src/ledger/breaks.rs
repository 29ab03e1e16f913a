//! What is wrong with a record, and where: one line of text for each, and a stable code.

use std::fmt;

/// One thing found wrong in a log or between a log and its checkpoint.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Break {
    /// The line of the file, from 1; none where the whole record is meant.
    pub line: Option<u64>,
    /// The entry, from 0, as the line itself or its place tells.
    pub seq: Option<u64>,
    /// What is wrong.
    pub fault: Fault,
}

/// What can be wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fault {
    /// The file ends within a line, as after a power cut.
    TornLastLine {
        /// Bytes of the file up to the end of its last whole line.
        good_bytes: u64,
        /// Bytes after that.
        lost_bytes: u64,
    },
    /// A line without anything.
    EmptyLine,
    /// A line beyond [`super::MAX_LINE`].
    LineTooLong {
        /// Its length in bytes.
        bytes: u64,
    },
    /// A line that is not UTF-8.
    NotUtf8,
    /// A line that is not JSON.
    NotJson {
        /// What the reader met.
        why: String,
        /// The line ends before its JSON does.
        unfinished: bool,
    },
    /// An object with one key twice.
    RepeatedKey {
        /// JSON pointer.
        pointer: String,
    },
    /// A fraction, or a whole number that some readers would change.
    InexactNumber {
        /// JSON pointer.
        pointer: String,
    },
    /// A member that is missing or of the wrong form.
    Member {
        /// What is wrong with it.
        why: String,
    },
    /// An entry of a format that this program cannot read.
    UnknownFormat {
        /// The format.
        format: String,
    },
    /// An entry of a newer minor format: read, but nothing is written behind it.
    NewerFormat {
        /// The format.
        format: String,
    },
    /// JSON, but not in the one form that is hashed.
    NotCanonical,
    /// The content does not give the id: the line was edited.
    IdMismatch {
        /// The id in the line.
        id: String,
    },
    /// An entry of another log.
    OtherLog {
        /// Its origin.
        found: String,
        /// The origin of this log.
        expected: String,
    },
    /// Entries are missing before this one.
    SeqHole {
        /// The first that is missing.
        from: u64,
        /// The last that is missing.
        to: u64,
    },
    /// An entry that is there already.
    SeqRepeat,
    /// An entry that stands later than its place.
    SeqOutOfOrder,
    /// This entry and the next one have changed places.
    SeqSwapped,
    /// The device's clock was set back before this entry.
    ClockSetBack {
        /// By how much.
        by_ms: u64,
    },
    /// The stamp does not follow the one before, or lies before the entry's own time.
    StampBackwards,
    /// There is no checkpoint: nothing says that this is the whole record, or the original one.
    NoCheckpoint,
    /// The checkpoint is not in the form of one.
    CheckpointUnreadable {
        /// Why.
        why: String,
    },
    /// The checkpoint belongs to another log.
    CheckpointOfOtherLog {
        /// The origin that the checkpoint names.
        checkpoint: String,
        /// The origin of the log.
        log: String,
    },
    /// No signature of the checkpoint is by a key that is trusted for this log.
    UnknownKey {
        /// The keys that signed.
        signers: Vec<String>,
    },
    /// A signature of the checkpoint is false.
    BadSignature {
        /// The key it pretends to be of.
        signer: String,
    },
    /// Entries that were signed are gone.
    ShorterThanCheckpoint {
        /// Whole lines in the file.
        found: u64,
        /// Entries in the checkpoint.
        signed: u64,
    },
    /// The signed entries are not those that were signed.
    RootMismatch {
        /// How many were signed.
        signed: u64,
    },
    /// Entries behind the last checkpoint, as after a power cut.
    UnsignedTail {
        /// The first of them.
        from: u64,
        /// The last of them.
        to: u64,
    },
}

impl Fault {
    /// A stable code for programs.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::TornLastLine { .. } => "torn-last-line",
            Self::EmptyLine => "empty-line",
            Self::LineTooLong { .. } => "line-too-long",
            Self::NotUtf8 => "not-utf8",
            Self::NotJson { .. } => "not-json",
            Self::RepeatedKey { .. } => "repeated-key",
            Self::InexactNumber { .. } => "inexact-number",
            Self::Member { .. } => "member",
            Self::UnknownFormat { .. } => "unknown-format",
            Self::NewerFormat { .. } => "newer-format",
            Self::NotCanonical => "not-canonical",
            Self::IdMismatch { .. } => "id-mismatch",
            Self::OtherLog { .. } => "other-log",
            Self::SeqHole { .. } => "seq-hole",
            Self::SeqRepeat => "seq-repeat",
            Self::SeqOutOfOrder => "seq-out-of-order",
            Self::SeqSwapped => "seq-swapped",
            Self::ClockSetBack { .. } => "clock-set-back",
            Self::StampBackwards => "stamp-backwards",
            Self::NoCheckpoint => "no-checkpoint",
            Self::CheckpointUnreadable { .. } => "checkpoint-unreadable",
            Self::CheckpointOfOtherLog { .. } => "checkpoint-of-other-log",
            Self::UnknownKey { .. } => "unknown-key",
            Self::BadSignature { .. } => "bad-signature",
            Self::ShorterThanCheckpoint { .. } => "shorter-than-checkpoint",
            Self::RootMismatch { .. } => "root-mismatch",
            Self::UnsignedTail { .. } => "unsigned-tail",
        }
    }

    /// Whether this comes about without anybody's doing wrong: a power cut, a clock put right, a
    /// newer program. It is said all the same.
    #[must_use]
    pub const fn is_lawful(&self) -> bool {
        matches!(
            self,
            Self::TornLastLine { .. }
                | Self::NewerFormat { .. }
                | Self::ClockSetBack { .. }
                | Self::UnsignedTail { .. }
        )
    }
}

impl Break {
    pub(super) const fn at(line: u64, seq: Option<u64>, fault: Fault) -> Self {
        Self {
            line: Some(line),
            seq,
            fault,
        }
    }

    pub(super) const fn whole(fault: Fault) -> Self {
        Self {
            line: None,
            seq: None,
            fault,
        }
    }

    /// A stable code for programs.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        self.fault.kind()
    }

    /// Whether this comes about without anybody's doing wrong.
    #[must_use]
    pub const fn is_lawful(&self) -> bool {
        self.fault.is_lawful()
    }
}

impl fmt::Display for Break {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.seq, self.line) {
            (Some(seq), Some(line)) => write!(f, "entry {seq} (line {line}): ")?,
            (Some(seq), None) => write!(f, "entry {seq}: ")?,
            (None, Some(line)) => write!(f, "line {line}: ")?,
            (None, None) => {}
        }
        self.fault.fmt(f)
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TornLastLine {
                good_bytes,
                lost_bytes,
            } => write!(
                f,
                "the file ends within this line; {good_bytes} bytes are whole, {lost_bytes} are not"
            ),
            Self::EmptyLine => f.write_str("the line is empty"),
            Self::LineTooLong { bytes } => {
                write!(
                    f,
                    "the line has {bytes} bytes, more than {}",
                    super::MAX_LINE
                )
            }
            Self::NotUtf8 => f.write_str("the line is not UTF-8"),
            Self::NotJson { why, .. } => write!(f, "the line is not JSON: {why}"),
            Self::RepeatedKey { pointer } => {
                let pointer = pointer.escape_debug();
                write!(f, "the key at `{pointer}` is there twice")
            }
            Self::InexactNumber { pointer } => write!(
                f,
                "the number at `{}` is not a whole number within ±{}",
                pointer.escape_debug(),
                super::MAX_INTEGER
            ),
            Self::Member { why } => f.write_str(why),
            Self::UnknownFormat { format } => write!(
                f,
                "the format `{}` cannot be read; this program reads {}",
                format.escape_debug(),
                super::FORMAT
            ),
            Self::NewerFormat { format } => write!(
                f,
                "the format `{}` is newer than {}; it is read, and nothing is written behind it",
                format.escape_debug(),
                super::FORMAT
            ),
            Self::NotCanonical => {
                f.write_str("the line is not in the one form that is hashed (RFC 8785)")
            }
            Self::IdMismatch { id } => write!(
                f,
                "edited: the content does not give its id `{}`",
                id.escape_debug()
            ),
            Self::OtherLog { found, expected } => {
                write!(f, "belongs to the log `{found}`, not to `{expected}`")
            }
            Self::SeqHole { from, to } if from == to => {
                write!(f, "entry {from} is missing before it")
            }
            Self::SeqHole { from, to } => {
                write!(f, "entries {from} to {to} are missing before it")
            }
            Self::SeqRepeat => f.write_str("is there already"),
            Self::SeqOutOfOrder => f.write_str("stands later than its place"),
            Self::SeqSwapped => f.write_str("has changed places with the next line"),
            Self::ClockSetBack { by_ms } => {
                write!(
                    f,
                    "the clock of the device was set back by {by_ms} ms before it"
                )
            }
            Self::StampBackwards => f.write_str("its stamp does not follow the one before"),
            Self::NoCheckpoint => f.write_str("there is no signed checkpoint"),
            Self::CheckpointUnreadable { why } => f.write_str(why),
            Self::CheckpointOfOtherLog { checkpoint, log } => write!(
                f,
                "the checkpoint is of the log `{checkpoint}`, not of `{log}`"
            ),
            Self::UnknownKey { signers } => write!(
                f,
                "the checkpoint is signed by `{}`, which is not trusted for this log",
                signers.join("`, `")
            ),
            Self::BadSignature { signer } => {
                write!(f, "the signature of `{signer}` on the checkpoint is false")
            }
            Self::ShorterThanCheckpoint { found, signed } => write!(
                f,
                "the log has {found} whole lines, the checkpoint {signed} entries"
            ),
            Self::RootMismatch { signed } => write!(
                f,
                "the first {signed} entries are not those that the checkpoint was made of"
            ),
            Self::UnsignedTail { from, to } if from == to => {
                write!(f, "entry {from} is not signed yet")
            }
            Self::UnsignedTail { from, to } => {
                write!(f, "entries {from} to {to} are not signed yet")
            }
        }
    }
}
