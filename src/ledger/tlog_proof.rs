//! Proofs to take away (C2SP tlog-proof): one entry, the hashes up to the root, and the signed
//! checkpoint, as text. Whoever has it can check the entry without seeing the rest of the log.
//!
//! The line of the entry itself stands under `extra`, so the file is all that is needed. Several
//! proofs follow one another in one file; cut before each first line, every piece is whole.

use std::fmt;

use super::base64::{from_base64, to_base64};
use super::checkpoint::Checkpoint;
use super::error::LedgerError;
use super::hash::Hash;
use super::log::Log;
use super::note::Note;
use super::tree::{leaf_hash, verify_inclusion};

/// The first line of every proof.
const HEAD: &str = "c2sp.org/tlog-proof@v1";

/// A tree of 2^63 leaves has no longer proof.
const MOST_HASHES: usize = 63;

/// A proof that an entry is in a log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TlogProof {
    /// The line of the entry, without its line feed; empty where the proof brings none.
    pub line: Vec<u8>,
    /// Its place in the log, from 0.
    pub index: u64,
    /// From the leaf's sibling up.
    pub hashes: Vec<Hash>,
    /// The signed checkpoint.
    pub note: Note,
}

impl TlogProof {
    /// The proof for the line at `index` of `log` under the checkpoint in `note`; `None` where the
    /// log has no such line or `note` is no checkpoint of it.
    #[must_use]
    pub fn of(log: &Log, index: u64, note: &Note) -> Option<Self> {
        let checkpoint = Checkpoint::parse(note.text()).ok()?;
        if !log.extends(&checkpoint) {
            return None;
        }
        let line = log.entry(index)?.line().ok()?.into_bytes();
        if log.leaf(index)? != leaf_hash(&line) {
            return None;
        }
        Some(Self {
            line,
            index,
            hashes: log.inclusion_proof(index, checkpoint.size)?,
            note: note.clone(),
        })
    }

    /// The checkpoint.
    ///
    /// # Errors
    /// A note that is none.
    pub fn checkpoint(&self) -> Result<Checkpoint, LedgerError> {
        Checkpoint::parse(self.note.text())
    }

    /// Whether the line is in the log that the checkpoint was made of. What the checkpoint's
    /// signature is worth is asked of the note.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.checkpoint().is_ok_and(|checkpoint| {
            let leaf = leaf_hash(&self.line);
            verify_inclusion(
                self.index,
                checkpoint.size,
                &leaf,
                &self.hashes,
                &checkpoint.root,
            )
        })
    }

    /// Reads every proof of a file.
    ///
    /// # Errors
    /// What is not in the form of a proof.
    pub fn parse_all(text: &str) -> Result<Vec<Self>, LedgerError> {
        let wrong = LedgerError::Proof;
        let rest = text
            .strip_prefix(HEAD)
            .and_then(|rest| rest.strip_prefix('\n'))
            .ok_or(wrong("its first line is not `c2sp.org/tlog-proof@v1`"))?;
        let cut = format!("\n{HEAD}\n");
        let pieces: Vec<&str> = rest.split(&cut).collect();
        let (last, others) = pieces.split_last().ok_or(wrong("it is empty"))?;
        // The cut took the line feed that ends every piece but the last.
        others
            .iter()
            .map(|piece| Self::parse_rest(&format!("{piece}\n")))
            .chain([Self::parse_rest(last)])
            .collect()
    }

    fn parse_rest(text: &str) -> Result<Self, LedgerError> {
        let wrong = LedgerError::Proof;
        let (head, note) = text
            .split_once("\n\n")
            .ok_or(wrong("no blank line before the checkpoint"))?;
        let mut lines = head.split('\n').peekable();
        let extra = lines.next_if(|line| line.starts_with("extra "));
        let line = extra
            .and_then(|line| line.strip_prefix("extra "))
            .map(|coded| from_base64(coded).ok_or(wrong("`extra` is not base64")))
            .transpose()?
            .unwrap_or_default();
        let index = lines
            .next()
            .and_then(|line| line.strip_prefix("index "))
            .and_then(|text| text.parse::<u64>().ok().filter(|n| n.to_string() == text))
            .ok_or(wrong("no line `index` with a place"))?;
        let hashes: Vec<Hash> = lines
            .map(|line| from_base64(line).and_then(|bytes| bytes.try_into().ok()))
            .collect::<Option<_>>()
            .ok_or(wrong("a line is not a hash"))?;
        if hashes.len() > MOST_HASHES {
            return Err(wrong("more hashes than any tree has levels"));
        }
        let note = Note::parse(note)?;
        Checkpoint::parse(note.text())?;
        Ok(Self {
            line,
            index,
            hashes,
            note,
        })
    }
}

impl fmt::Display for TlogProof {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{HEAD}")?;
        if !self.line.is_empty() {
            writeln!(f, "extra {}", to_base64(&self.line))?;
        }
        writeln!(f, "index {}", self.index)?;
        for hash in &self.hashes {
            writeln!(f, "{}", to_base64(hash))?;
        }
        write!(f, "\n{}", self.note)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::{DeviceKey, Draft};

    fn log(entries: usize) -> Log {
        let mut log = Log::open(crate::ledger::DEMO_ORIGIN).unwrap();
        for n in 0..entries {
            log.append(Draft {
                time: "2026-11-25T08:50:00+01:00".parse().unwrap(),
                actor: "ada".into(),
                kind: "step".into(),
                body: n.into(),
                refs: Vec::new(),
                photos: Vec::new(),
            })
            .unwrap();
        }
        log
    }

    #[test]
    fn a_proof_has_the_published_lines_and_returns_from_its_text() {
        let log = log(7);
        let note = log.checkpoint(&DeviceKey::demo()).unwrap();
        let all: Vec<TlogProof> = (0..7)
            .filter_map(|n| TlogProof::of(&log, n, &note))
            .collect();
        assert_eq!(all.len(), 7);
        // C2SP tlog-proof: head, extra, index, the hashes, a blank line, the checkpoint.
        let text = all[4].to_string();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[0], "c2sp.org/tlog-proof@v1");
        assert!(lines[1].starts_with("extra "));
        assert_eq!(lines[2], "index 4");
        // Leaf 4 of 7: its sibling 5, then 6 alone, then the four before.
        assert_eq!((lines[5].len(), lines[6]), (44, ""));
        assert!(text.ends_with(&format!("\n\n{note}")));
        let file: String = all.iter().map(ToString::to_string).collect();
        assert_eq!(TlogProof::parse_all(&file).unwrap(), all);
        assert!(all.iter().all(TlogProof::holds));
    }

    #[test]
    fn a_proof_of_another_entry_or_log_does_not_hold() {
        let whole = log(7);
        let note = whole.checkpoint(&DeviceKey::demo()).unwrap();
        let good = TlogProof::of(&whole, 4, &note).unwrap();
        for change in [
            |proof: &mut TlogProof| proof.index = 5,
            |proof: &mut TlogProof| proof.line.push(b' '),
            |proof: &mut TlogProof| proof.line.clear(),
            |proof: &mut TlogProof| proof.hashes.truncate(2),
            |proof: &mut TlogProof| proof.hashes.reverse(),
        ] {
            let mut bad = good.clone();
            change(&mut bad);
            assert!(!bad.holds());
        }
        // A checkpoint of a log that is another one, and an entry that it does not cover.
        let shorter = log(3).checkpoint(&DeviceKey::demo()).unwrap();
        assert!(TlogProof::of(&whole, 4, &shorter).is_none());
        assert!(TlogProof::of(&log(2), 0, &note).is_none());
    }

    #[test]
    fn what_is_no_proof_is_refused() {
        let log = log(3);
        let note = log.checkpoint(&DeviceKey::demo()).unwrap();
        let good = TlogProof::of(&log, 1, &note).unwrap().to_string();
        for (old, new) in [
            ("tlog-proof@v1", "tlog-proof@v2"),
            ("index 1", "index 01"),
            ("index 1", "place 1"),
            ("extra ", "extra !"),
            ("\n\ndemo", "\ndemo"),
        ] {
            assert!(good.contains(old));
            assert!(
                TlogProof::parse_all(&good.replacen(old, new, 1)).is_err(),
                "{new}"
            );
        }
        assert!(TlogProof::parse_all("").is_err());
    }
}
