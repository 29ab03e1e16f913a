//! Logs of several devices put together: every copy counts, nothing is decided.
//!
//! Of each log the longest copy is kept, since a log only grows. Two copies of which neither is
//! the beginning of the other are a fork: both are kept and both are shown. Every checkpoint that
//! somebody holds is compared with every copy by a consistency proof. In whatever order copies
//! come, the result is the same.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::LogName;
use crate::ledger::{Checkpoint, Hash, Log, Note, from_hex, to_hex, verify_consistency};

/// One copy of a log.
#[derive(Debug, Clone)]
pub struct Branch {
    /// Its whole lines, as they stand in the file.
    pub bytes: Vec<u8>,
    /// The log that they are.
    pub log: Log,
}

/// All that is known of one log.
#[derive(Debug, Clone, Default)]
pub struct Branches {
    /// Copies of which none is the beginning of another, by their roots; more than one is a fork.
    copies: BTreeMap<Hash, Branch>,
    /// Checkpoints by their text, with every signature line that was seen under it.
    notes: BTreeMap<String, BTreeSet<String>>,
}

/// Logs by name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Merged {
    logs: BTreeMap<LogName, Branches>,
}

/// What people have to look at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Conflict {
    /// Two histories of one log.
    Fork {
        /// The log.
        log: LogName,
        /// Entries that both share.
        shared: u64,
        /// Root and length of each.
        copies: Vec<(Hash, u64)>,
    },
    /// A signed checkpoint that no copy leads to.
    Contradicts {
        /// The log.
        log: LogName,
        /// Entries that it covers.
        size: u64,
        /// The root that it names.
        root: Hash,
    },
    /// One load that several devices say they received.
    TwoReceivers {
        /// The entry of the hand-over that all answer: its leaf hash, lower-case hexadecimal.
        released: String,
        /// The logs that answer it.
        receivers: Vec<LogName>,
    },
    /// A signed checkpoint over more entries than any copy has.
    Missing {
        /// The log.
        log: LogName,
        /// Entries of the longest copy.
        found: u64,
        /// Entries that were signed.
        signed: u64,
    },
}

impl PartialEq for Branches {
    fn eq(&self, other: &Self) -> bool {
        // The root stands for the bytes.
        self.copies.keys().eq(other.copies.keys()) && self.notes == other.notes
    }
}

impl Eq for Branches {}

impl Branches {
    /// The copies, by their roots.
    pub fn copies(&self) -> impl Iterator<Item = (&Hash, &Branch)> {
        self.copies.iter()
    }

    /// The checkpoints, each with all its signatures.
    pub fn notes(&self) -> impl Iterator<Item = Note> {
        self.notes.iter().filter_map(|(text, lines)| {
            let lines: String = lines.iter().map(|line| format!("{line}\n")).collect();
            Note::parse(&format!("{text}\n{lines}")).ok()
        })
    }

    fn take(&mut self, branch: Branch) {
        if self
            .copies
            .values()
            .any(|old| begins(&old.log, &branch.log))
        {
            return;
        }
        self.copies.retain(|_, old| !begins(&branch.log, &old.log));
        self.copies.insert(branch.log.root(), branch);
    }
}

/// Whether `long` begins with all of `short`.
fn begins(long: &Log, short: &Log) -> bool {
    long.root_at(short.len()) == Some(short.root())
}

impl Merged {
    /// Takes one copy: the whole lines of a log without breaks, and the checkpoints that came with
    /// it. `None` where it has no first entry to name it by.
    pub fn take(&mut self, branch: Branch, notes: &[Note]) -> Option<()> {
        let name = LogName::of(&branch.log)?;
        let branches = self.logs.entry(name).or_default();
        branches.take(branch);
        for note in notes {
            let whole = note.to_string();
            let lines = whole.strip_prefix(note.text()).unwrap_or_default();
            let lines = lines.lines().filter(|line| !line.is_empty());
            let known = branches.notes.entry(note.text().to_owned()).or_default();
            known.extend(lines.map(str::to_owned));
        }
        Some(())
    }

    /// Everything in `other` as well.
    pub fn join(&mut self, other: Self) {
        for (name, theirs) in other.logs {
            let ours = self.logs.entry(name).or_default();
            for branch in theirs.copies.into_values() {
                ours.take(branch);
            }
            for (text, lines) in theirs.notes {
                ours.notes.entry(text).or_default().extend(lines);
            }
        }
    }

    /// Every log with what is known of it.
    pub fn logs(&self) -> impl Iterator<Item = (&LogName, &Branches)> {
        self.logs.iter()
    }

    /// Everything that people have to look at.
    #[must_use]
    pub fn conflicts(&self) -> Vec<Conflict> {
        let mut conflicts = Vec::new();
        for (name, branches) in &self.logs {
            if branches.copies.len() > 1 {
                conflicts.push(fork(name, branches));
            }
            for text in branches.notes.keys() {
                conflicts.extend(against(name, branches, text));
            }
        }
        conflicts.extend(self.two_receivers());
        conflicts
    }

    fn two_receivers(&self) -> Vec<Conflict> {
        let mut by_load: BTreeMap<&str, BTreeSet<&LogName>> = BTreeMap::new();
        for (name, one) in &self.logs {
            let entries = one.copies.values().flat_map(|branch| branch.log.entries());
            for entry in entries.filter(|entry| entry.kind.starts_with("receipt_")) {
                for leaf in &entry.refs {
                    by_load.entry(leaf).or_default().insert(name);
                }
            }
        }
        by_load
            .into_iter()
            .filter(|(leaf, names)| leaf.len() == 64 && names.len() > 1)
            .map(|(leaf, names)| Conflict::TwoReceivers {
                released: leaf.to_owned(),
                receivers: names.into_iter().cloned().collect(),
            })
            .collect()
    }

    /// Leaf hashes that entries refer to and that no log here has: the other side of a hand-over
    /// that is not at hand.
    #[must_use]
    pub fn open_ends(&self) -> Vec<(LogName, u64, String)> {
        let branches = || self.logs.values().flat_map(|one| one.copies.values());
        let known: BTreeSet<Hash> = branches()
            .flat_map(|branch| (0..branch.log.len()).filter_map(|at| branch.log.leaf(at)))
            .collect();
        let mut open = BTreeSet::new();
        for (name, one) in &self.logs {
            for entry in one.copies.values().flat_map(|branch| branch.log.entries()) {
                let leaves = entry.refs.iter().filter(|text| text.len() == 64);
                for text in leaves {
                    let leaf: Option<Hash> = from_hex(text).and_then(|hash| hash.try_into().ok());
                    if leaf.is_some_and(|leaf| !known.contains(&leaf)) {
                        open.insert((name.clone(), entry.seq, text.clone()));
                    }
                }
            }
        }
        open.into_iter().collect()
    }
}

fn fork(name: &LogName, branches: &Branches) -> Conflict {
    let copies: Vec<&Branch> = branches.copies.values().collect();
    let pairs = copies
        .iter()
        .enumerate()
        .flat_map(|(n, one)| copies.iter().skip(n + 1).map(move |other| (one, other)));
    let shared = pairs.filter_map(|(one, other)| one.log.fork(&other.log));
    Conflict::Fork {
        log: name.clone(),
        shared: shared.min().unwrap_or(0),
        copies: branches
            .copies
            .iter()
            .map(|(root, branch)| (*root, branch.log.len()))
            .collect(),
    }
}

/// Whether the checkpoint is of one of the copies; a consistency proof shows it.
fn against(name: &LogName, branches: &Branches, text: &str) -> Option<Conflict> {
    let checkpoint = Checkpoint::parse(text).ok()?;
    let leads_on = |branch: &Branch| {
        let proof = branch.log.consistency_proof(checkpoint.size);
        proof.is_some_and(|proof| {
            verify_consistency(
                checkpoint.size,
                branch.log.len(),
                &checkpoint.root,
                &branch.log.root(),
                &proof,
            )
        })
    };
    let of_this = checkpoint.origin == name.origin;
    if of_this && branches.copies.values().any(leads_on) {
        return None;
    }
    let longest = branches
        .copies
        .values()
        .map(|branch| branch.log.len())
        .max();
    let longest = longest.unwrap_or(0);
    Some(if of_this && longest < checkpoint.size {
        Conflict::Missing {
            log: name.clone(),
            found: longest,
            signed: checkpoint.size,
        }
    } else {
        Conflict::Contradicts {
            log: name.clone(),
            size: checkpoint.size,
            root: checkpoint.root,
        }
    })
}

impl fmt::Display for Conflict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Fork {
                log,
                shared,
                copies,
            } => {
                write!(
                    f,
                    "FORK in {log}: {shared} entries are the same, then there are"
                )?;
                for (n, (root, length)) in copies.iter().enumerate() {
                    let lead = if n == 0 { "" } else { " and" };
                    let short: String = to_hex(root).chars().take(16).collect();
                    write!(f, "{lead} {} more (root {short})", length - shared)?;
                }
                Ok(())
            }
            Self::Contradicts { log, size, root } => write!(
                f,
                "CHECKPOINT AGAINST THE LOG in {log}: somebody signed {size} entries with root {}, \
                 and no copy begins like that",
                to_hex(root)
            ),
            Self::TwoReceivers {
                released,
                receivers,
            } => {
                let names: Vec<String> = receivers.iter().map(ToString::to_string).collect();
                write!(
                    f,
                    "RECEIVED TWICE: hand-over {released} is answered by {}",
                    names.join(" and by ")
                )
            }
            Self::Missing { log, found, signed } => write!(
                f,
                "ENTRIES MISSING in {log}: {signed} were signed, the longest copy has {found}"
            ),
        }
    }
}
