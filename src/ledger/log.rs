//! A log in memory: takes entries, gives the line to write, and signs what it is.

use serde_json::{Map, Value};

use super::breaks::{Break, Fault};
use super::checkpoint::Checkpoint;
use super::entry::{FORMAT, LogEntry, MAX_LINE, Photo, moment_of};
use super::error::LedgerError;
use super::hash::Hash;
use super::key::{DeviceKey, known_name};
use super::note::Note;
use super::stamp::Stamp;
use super::tree::{Frontier, consistency_proof, inclusion_proof, leaf_hash, root_of};
use crate::clock::Moment;

/// What is to be recorded; the log adds place, stamp and id.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// When it is recorded.
    pub time: Moment,
    /// Who.
    pub actor: String,
    /// What kind of event.
    pub kind: String,
    /// The event itself; no fractions.
    pub body: Value,
    /// Entries that it answers or corrects.
    pub refs: Vec<String>,
    /// Files that belong to it.
    pub photos: Vec<Photo>,
}

/// What an append gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Appended {
    /// The bytes to add to the file, with their line feed.
    pub line: String,
    /// The leaf of the tree.
    pub leaf: Hash,
    /// The place in the log, from 0.
    pub seq: u64,
    /// The id of the entry.
    pub id: String,
}

/// The log of one device.
#[derive(Debug, Clone, Default)]
pub struct Log {
    pub(super) origin: String,
    pub(super) entries: Vec<LogEntry>,
    pub(super) leaves: Vec<Hash>,
    pub(super) frontier: Frontier,
    pub(super) good_bytes: u64,
    /// Why nothing more may be written.
    pub(super) closed: Option<LedgerError>,
}

impl Log {
    /// A log without entries. `origin` names the device, `works.invalid/job-log/tablet-7`, and is
    /// the name of its key.
    ///
    /// # Errors
    /// A name that is empty or holds a space, a plus sign or a control character.
    pub fn open(origin: &str) -> Result<Self, LedgerError> {
        Ok(Self {
            origin: known_name(origin)?.to_owned(),
            ..Self::default()
        })
    }

    /// Appends an entry and gives the line to write. A clock that was set back is taken as it is:
    /// the stamp goes on rising, and reading reports it.
    ///
    /// # Errors
    /// A log that is broken or of a newer format, a time before 1970, or a member that cannot be
    /// written. The log is then unchanged.
    pub fn append(&mut self, draft: Draft) -> Result<Appended, LedgerError> {
        if let Some(why) = &self.closed {
            return Err(why.clone());
        }
        let (time, tz) = (draft.time.utc(), draft.time.offset());
        // Read back, so that an appended entry equals the one that is read from the file.
        let moment = moment_of(&time, &tz)?;
        let clock_ms =
            u64::try_from(moment.unix_ms()).map_err(|_| LedgerError::Early(time.clone()))?;
        let before = self.entries.last().map(LogEntry::stamp);
        let stamp = Stamp::next(before, clock_ms).ok_or_else(|| {
            LedgerError::LastStamp(before.map(|stamp| stamp.to_string()).unwrap_or_default())
        })?;
        let mut entry = LogEntry {
            format: FORMAT.to_owned(),
            id: String::new(),
            log: known_name(&self.origin)?.to_owned(),
            seq: self.len(),
            hlc: stamp.to_string(),
            time,
            tz,
            actor: draft.actor,
            kind: draft.kind,
            body: draft.body,
            refs: draft.refs,
            photos: draft.photos,
            more: Map::new(),
            moment,
            stamp,
        };
        entry.check_members()?;
        let rest = entry.rest()?;
        entry.id = rest.id(moment.unix_ms());
        let mut line = rest.line(&entry.id);
        if line.len() > MAX_LINE {
            return Err(LedgerError::LineTooLong(line.len()));
        }
        let appended = Appended {
            leaf: leaf_hash(line.as_bytes()),
            seq: entry.seq,
            id: entry.id.clone(),
            line: {
                line.push('\n');
                line
            },
        };
        self.good_bytes += appended.line.len() as u64;
        self.leaves.push(appended.leaf);
        self.frontier.push(appended.leaf);
        self.entries.push(entry);
        Ok(appended)
    }

    /// The origin; empty where a file was read that has no readable entry.
    #[must_use]
    pub fn origin(&self) -> &str {
        &self.origin
    }

    /// The number of whole lines, readable or not.
    #[must_use]
    pub const fn len(&self) -> u64 {
        self.frontier.size()
    }

    /// Whether there is no whole line.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The root over all lines.
    #[must_use]
    pub fn root(&self) -> Hash {
        self.frontier.root()
    }

    /// The root over the first `size` lines; `None` where there are fewer.
    #[must_use]
    pub fn root_at(&self, size: u64) -> Option<Hash> {
        if size == self.len() {
            return Some(self.root());
        }
        let size = usize::try_from(size).ok()?;
        self.leaves.get(..size).map(root_of)
    }

    /// The readable entries, in the order of the file.
    #[must_use]
    pub fn entries(&self) -> &[LogEntry] {
        &self.entries
    }

    /// The entry at `seq`.
    #[must_use]
    pub fn entry(&self, seq: u64) -> Option<&LogEntry> {
        usize::try_from(seq)
            .ok()
            .and_then(|at| self.entries.get(at))
            .filter(|entry| entry.seq == seq)
            .or_else(|| self.entries.iter().find(|entry| entry.seq == seq))
    }

    /// The leaf of the line at `index`, from 0; in a whole log the entry with that `seq`.
    #[must_use]
    pub fn leaf(&self, index: u64) -> Option<Hash> {
        let index = usize::try_from(index).ok()?;
        self.leaves.get(index).copied()
    }

    /// The bytes up to the end of the last whole line: where a file with a torn last line is cut
    /// before anything is added to it.
    #[must_use]
    pub const fn good_bytes(&self) -> u64 {
        self.good_bytes
    }

    /// Whether entries may be appended.
    #[must_use]
    pub const fn is_writable(&self) -> bool {
        self.closed.is_none() && !self.origin.is_empty()
    }

    /// The hashes that lead from the line at `index` to the root over the first `size` lines.
    #[must_use]
    pub fn inclusion_proof(&self, index: u64, size: u64) -> Option<Vec<Hash>> {
        let leaves = self.leaves.get(..usize::try_from(size).ok()?)?;
        inclusion_proof(leaves, usize::try_from(index).ok()?)
    }

    /// The hashes that show that the log still begins with its first `size` lines.
    #[must_use]
    pub fn consistency_proof(&self, size: u64) -> Option<Vec<Hash>> {
        consistency_proof(&self.leaves, usize::try_from(size).ok()?)
    }

    /// Whether the log still begins with what `checkpoint` was made of. Asked before signing a
    /// later one, and before a log from elsewhere takes the place of the one that is known.
    #[must_use]
    pub fn extends(&self, checkpoint: &Checkpoint) -> bool {
        (self.origin.is_empty() || self.origin == checkpoint.origin)
            && self.root_at(checkpoint.size) == Some(checkpoint.root)
    }

    /// The first place at which two copies of one log differ; `None` where one is the beginning
    /// of the other. Such a fork is shown to people and never resolved silently.
    #[must_use]
    pub fn fork(&self, other: &Self) -> Option<u64> {
        let mut pairs = self.leaves.iter().zip(&other.leaves);
        pairs
            .position(|(ours, theirs)| ours != theirs)
            .map(|at| at as u64)
    }

    /// What the log is now, signed with the device's key.
    ///
    /// # Errors
    /// A broken log is not signed, nor one of a newer format, nor one without origin.
    pub fn checkpoint(&self, key: &DeviceKey) -> Result<Note, LedgerError> {
        if let Some(why) = &self.closed {
            return Err(why.clone());
        }
        Checkpoint {
            origin: known_name(&self.origin)?.to_owned(),
            size: self.len(),
            root: self.root(),
            extensions: Vec::new(),
        }
        .sign(key)
    }

    /// Closes the log for writing where a break is more than a torn end or a clock put right.
    pub(super) fn close_over(&mut self, breaks: &[Break]) {
        self.closed = breaks.iter().find_map(|found| match &found.fault {
            Fault::NewerFormat { format } => Some(LedgerError::NewerFormat(format.clone())),
            fault if fault.is_lawful() => None,
            _ => Some(LedgerError::Broken(found.to_string())),
        });
    }
}
