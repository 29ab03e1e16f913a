//! Reading the bytes of a log: every line is looked at, every defect named, nothing panics, and
//! what is good stays usable.

use std::collections::BTreeSet;

use serde_json::Value;

use super::breaks::{Break, Fault};
use super::canonical::{Numbers, parse_json};
use super::entry::{LogEntry, MAX_LINE, Reach, reach};
use super::error::LedgerError;
use super::hash::Hash;
use super::log::Log;
use super::tree::leaf_hash;

/// From how many lines on all cores read.
const MANY_LINES: usize = 2_000;

impl Log {
    /// Reads the bytes of a log file.
    ///
    /// The tree covers every whole line, good or not. [`Log::entries`] holds the lines that are
    /// an entry of this log with the id that their content gives. A log with a defect takes no
    /// further entry; one that only ends within a line does, once the file is cut to
    /// [`Log::good_bytes`]. Bytes without any readable entry do not tell which log they are of:
    /// begin with [`Log::open`] then.
    #[must_use]
    pub fn read(bytes: &[u8]) -> (Self, Vec<Break>) {
        let mut reader = Reader::default();
        let (whole, torn) = match bytes.iter().rposition(|byte| *byte == b'\n') {
            Some(end) => bytes.split_at_checked(end).unwrap_or((bytes, &[])),
            None => (&[][..], bytes),
        };
        let torn = torn.strip_prefix(b"\n").unwrap_or(torn);
        if whole.len() + torn.len() < bytes.len() {
            let lines: Vec<&[u8]> = whole.split(|byte| *byte == b'\n').collect();
            let last = lines.len() - 1;
            for (at, looked) in look_at(&lines).into_iter().enumerate() {
                reader.line(looked, at == last && torn.is_empty());
            }
        }
        if !torn.is_empty() {
            reader.torn(torn.len());
        }
        reader.finish()
    }

    /// Takes the lines that were added behind what was read before, and says whether it did: only
    /// where each is plainly the next entry. Otherwise the log stays as it is, and is to be read
    /// as a whole, which names the fault.
    pub fn read_on(&mut self, bytes: &[u8]) -> bool {
        if !self.is_writable() {
            return false;
        }
        let Some(lines) = bytes.strip_suffix(b"\n") else {
            return bytes.is_empty();
        };
        let mut more = self.clone_end();
        for line in lines.split(|byte| *byte == b'\n') {
            let Ok(entry) = read_entry(line) else {
                return false;
            };
            let before = more.entries.last().or(self.entries.last());
            let follows = entry.log == self.origin
                && entry.seq == more.len()
                && reach(&entry.format) == Reach::ReadWrite
                && before.is_some_and(|before| {
                    before.stamp() < entry.stamp() && before.moment() <= entry.moment()
                })
                && u64::try_from(entry.moment().unix_ms()).is_ok_and(|ms| entry.stamp().ms >= ms);
            if !follows {
                return false;
            }
            let leaf = leaf_hash(line);
            more.leaves.push(leaf);
            more.frontier.push(leaf);
            more.good_bytes += line.len() as u64 + 1;
            more.entries.push(entry);
        }
        self.entries.append(&mut more.entries);
        self.leaves.append(&mut more.leaves);
        self.frontier = more.frontier;
        self.good_bytes = more.good_bytes;
        true
    }

    /// The end of the log without what leads to it.
    fn clone_end(&self) -> Self {
        Self {
            origin: self.origin.clone(),
            entries: Vec::new(),
            leaves: Vec::new(),
            frontier: self.frontier.clone(),
            good_bytes: self.good_bytes,
            closed: None,
        }
    }
}

#[derive(Default)]
struct Reader {
    log: Log,
    breaks: Vec<Break>,
    /// For each whole line the place that it claims, if it can be read.
    claims: Vec<Option<u64>>,
}

impl Reader {
    fn line(&mut self, looked: Looked, is_last: bool) {
        let Looked { bytes, leaf, read } = looked;
        let number = self.log.len() + 1;
        if is_last
            && matches!(
                read,
                Err(Fault::NotJson {
                    unfinished: true,
                    ..
                })
            )
        {
            self.torn(bytes + 1);
            return;
        }
        self.log.leaves.push(leaf);
        self.log.frontier.push(leaf);
        self.log.good_bytes += bytes as u64 + 1;
        match read {
            Ok(entry) => self.entry(number, entry),
            Err(fault) => {
                self.claims.push(None);
                self.breaks.push(Break::at(number, None, fault));
            }
        }
    }

    fn entry(&mut self, number: u64, entry: LogEntry) {
        let seq = Some(entry.seq);
        if self.log.origin.is_empty() {
            self.log.origin.clone_from(&entry.log);
        } else if entry.log != self.log.origin {
            self.claims.push(None);
            let fault = Fault::OtherLog {
                found: entry.log,
                expected: self.log.origin.clone(),
            };
            self.breaks.push(Break::at(number, seq, fault));
            return;
        }
        if reach(&entry.format) == Reach::ReadOnly {
            let format = entry.format.clone();
            self.breaks
                .push(Break::at(number, seq, Fault::NewerFormat { format }));
        }
        if let Some(fault) = self.stamp_fault(&entry) {
            self.breaks.push(Break::at(number, seq, fault));
        }
        self.claims.push(seq);
        self.log.entries.push(entry);
    }

    /// Compares with the entry before, where that is the one before in the log too.
    fn stamp_fault(&self, entry: &LogEntry) -> Option<Fault> {
        let own_ms = u64::try_from(entry.moment().unix_ms()).unwrap_or(0);
        let before = self
            .log
            .entries
            .last()
            .filter(|before| before.seq.checked_add(1) == Some(entry.seq));
        if entry.stamp().ms < own_ms || before.is_some_and(|before| before.stamp() >= entry.stamp())
        {
            return Some(Fault::StampBackwards);
        }
        let back = before?.moment().unix_ms() - entry.moment().unix_ms();
        u64::try_from(back)
            .ok()
            .filter(|by_ms| *by_ms > 0)
            .map(|by_ms| Fault::ClockSetBack { by_ms })
    }

    fn torn(&mut self, lost: usize) {
        let fault = Fault::TornLastLine {
            good_bytes: self.log.good_bytes,
            lost_bytes: lost as u64,
        };
        self.breaks.push(Break::at(self.log.len() + 1, None, fault));
    }

    fn finish(mut self) -> (Log, Vec<Break>) {
        self.breaks.extend(order_breaks(&self.claims));
        self.breaks.sort_by_key(|found| found.line);
        self.log.close_over(&self.breaks);
        (self.log, self.breaks)
    }
}

/// A line by itself.
struct Looked {
    bytes: usize,
    leaf: Hash,
    read: Result<LogEntry, Fault>,
}

/// Looks at each line by itself; at many lines on all cores, which gives the same.
fn look_at(lines: &[&[u8]]) -> Vec<Looked> {
    let look = |line: &&[u8]| Looked {
        bytes: line.len(),
        leaf: leaf_hash(line),
        read: read_entry(line),
    };
    if lines.len() < MANY_LINES {
        return lines.iter().map(look).collect();
    }
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    std::thread::scope(|scope| {
        let threads: Vec<_> = lines
            .chunks(lines.len().div_ceil(cores))
            .map(|part| scope.spawn(move || part.iter().map(look).collect::<Vec<_>>()))
            .collect();
        threads
            .into_iter()
            .flat_map(|one| {
                one.join()
                    .unwrap_or_else(|bug| std::panic::resume_unwind(bug))
            })
            .collect()
    })
}

fn read_entry(line: &[u8]) -> Result<LogEntry, Fault> {
    if line.is_empty() {
        return Err(Fault::EmptyLine);
    }
    if line.len() > MAX_LINE {
        let bytes = line.len() as u64;
        return Err(Fault::LineTooLong { bytes });
    }
    let text = std::str::from_utf8(line).map_err(|_| Fault::NotUtf8)?;
    let value = parse_json(text, Numbers::Whole).map_err(fault_of)?;
    entry_of(text, value)
}

fn entry_of(text: &str, value: Value) -> Result<LogEntry, Fault> {
    let Value::Object(members) = value else {
        return Err(Fault::Member {
            why: "the line is not a JSON object".to_owned(),
        });
    };
    // Before anything else: another major may look quite different.
    if let Some(Value::String(format)) = members.get("format")
        && reach(format) == Reach::Neither
    {
        let format = format.chars().take(20).collect();
        return Err(Fault::UnknownFormat { format });
    }
    let entry = LogEntry::from_members(members).map_err(fault_of)?;
    let rest = entry.rest().map_err(fault_of)?;
    if rest.line(&entry.id) != text {
        return Err(Fault::NotCanonical);
    }
    if rest.id(entry.moment().unix_ms()) != entry.id {
        return Err(Fault::IdMismatch { id: entry.id });
    }
    Ok(entry)
}

fn fault_of(error: LedgerError) -> Fault {
    match error {
        LedgerError::NotJson { why, unfinished } => Fault::NotJson { why, unfinished },
        LedgerError::RepeatedKey { pointer } => Fault::RepeatedKey { pointer },
        LedgerError::Number { pointer } => Fault::InexactNumber { pointer },
        other => Fault::Member {
            why: other.to_string(),
        },
    }
}

/// Holes, repeats and swaps, from the places that the lines claim. A line that cannot be read
/// may hold any one place.
fn order_breaks(claims: &[Option<u64>]) -> Vec<Break> {
    let mut breaks = Vec::new();
    let mut expected = 0_u64;
    // Lines just passed that cannot be read.
    let mut unread = 0_u64;
    let mut seen: Option<BTreeSet<u64>> = None;
    let mut lines = claims.iter().enumerate().peekable();
    while let Some((index, claim)) = lines.next() {
        let line = index as u64 + 1;
        let Some(seq) = *claim else {
            unread += 1;
            continue;
        };
        let follows = (expected..=expected.saturating_add(unread)).contains(&seq);
        if !follows {
            let next = lines.peek().and_then(|(_, next)| **next);
            let fault = if seq < expected {
                let seen = seen.get_or_insert_with(BTreeSet::new);
                if seen.is_empty() {
                    seen.extend(claims.iter().take(index).flatten());
                }
                if seen.contains(&seq) {
                    Fault::SeqRepeat
                } else {
                    Fault::SeqOutOfOrder
                }
            } else if seq == expected.saturating_add(1) && next == Some(expected) {
                lines.next();
                Fault::SeqSwapped
            } else {
                Fault::SeqHole {
                    from: expected.saturating_add(unread),
                    to: seq - 1,
                }
            };
            breaks.push(Break::at(line, Some(seq), fault));
        }
        if let Some(seen) = &mut seen {
            seen.insert(seq);
        }
        expected = expected.max(seq.saturating_add(1));
        unread = 0;
    }
    breaks
}
