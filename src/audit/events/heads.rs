//! The hash of each chain, a root over all of them, and the comparison with hashes kept before.
//!
//! The hash of a chain of no event is 32 zero bytes; each event makes it SHA-256 of the hash before
//! and the row as it stands in the file, without its line end, in the order of the numbers. Whoever
//! kept the hashes, or the root over them alone, sees whether one row was changed since.

use std::collections::BTreeSet;
use std::io::{self, Read, Write};

use super::answer::{Check, EventsFinding};
use super::custody::Half;
use super::fault::{EventsFault, shown};
use super::names::Name;
use crate::ledger::{Frontier, Hash, leaf_hash, to_hex};

/// The head line of a file of hashes.
const HEAD: [&str; 2] = ["module_id", "head"];

/// The hash of every chain, in the order of the modules: whole numbers first, then by bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heads(Vec<(Name, Hash)>);

impl Heads {
    pub(super) fn of(halves: &[Half; 2], names: &[Vec<Name>; 2]) -> Option<Self> {
        let mut heads = Vec::new();
        for (half, names) in halves.iter().zip(names) {
            heads.extend(
                names
                    .iter()
                    .cloned()
                    .zip(half.heads.as_ref()?.iter().copied()),
            );
        }
        heads.sort_unstable();
        Some(Self(heads))
    }

    /// The RFC 6962 root over the lines that [`Heads::write`] writes, without the head line and the
    /// line ends, as hexadecimal digits.
    #[must_use]
    pub fn root(&self) -> String {
        let mut tree = Frontier::default();
        for (name, head) in &self.0 {
            tree.push(leaf_hash(line(name, head).as_bytes()));
        }
        to_hex(&tree.root())
    }

    /// Writes a CSV with the columns `module_id` and `head`.
    ///
    /// # Errors
    /// What the system says.
    pub fn write(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(out, "{}", HEAD.join(","))?;
        for (name, head) in &self.0 {
            writeln!(out, "{}", line(name, head))?;
        }
        Ok(())
    }

    fn find(&self, name: &Name) -> Option<&Hash> {
        let at = self.0.binary_search_by(|(known, _)| known.cmp(name)).ok()?;
        self.0.get(at).map(|(_, head)| head)
    }
}

fn line(name: &Name, head: &Hash) -> String {
    let name = name.text();
    // A name has no quotes in it: the rows are not read otherwise.
    if name.contains(',') {
        format!("\"{name}\",{}", to_hex(head))
    } else {
        format!("{name},{}", to_hex(head))
    }
}

/// What a comparison with kept hashes found.
pub(super) struct Kept {
    pub(super) findings: Vec<EventsFinding>,
}

impl Kept {
    pub(super) fn compare(kept: &mut dyn Read, heads: Option<&Heads>) -> Result<Self, EventsFault> {
        let fault = |line: u64, why: String| EventsFault::Heads { line, why };
        let mut reader = csv::Reader::from_reader(kept);
        let columns: Vec<&str> = reader
            .headers()
            .map_err(|error| fault(1, plain(&error)))?
            .iter()
            .collect();
        if columns != HEAD {
            return Err(fault(
                1,
                format!(
                    "the columns are `{}`, not {}",
                    shown(columns.join(",").as_bytes()),
                    HEAD.join(",")
                ),
            ));
        }
        let mut findings = Vec::new();
        let mut seen = BTreeSet::new();
        for row in reader.records() {
            let row = row.map_err(|error| {
                fault(
                    error.position().map_or(0, csv::Position::line),
                    plain(&error),
                )
            })?;
            let line = row.position().map_or(0, csv::Position::line);
            let (Some(module), Some(wanted)) = (row.get(0), row.get(1)) else {
                continue;
            };
            if wanted.len() != 64 || crate::ledger::from_hex(wanted).is_none() {
                return Err(fault(
                    line,
                    format!(
                        "`{}` is not a hash of 64 lower-case hexadecimal digits",
                        shown(wanted.as_bytes())
                    ),
                ));
            }
            let name = Name::read(module);
            let found = heads.and_then(|heads| heads.find(&name));
            let (check, is) = match found {
                None => (Check::ModuleMissing, String::new()),
                Some(head) if to_hex(head) != wanted => (Check::HeadDiffers, to_hex(head)),
                Some(_) => {
                    if !seen.insert(name) {
                        return Err(fault(line, format!("module `{module}` stands twice")));
                    }
                    continue;
                }
            };
            findings.push(EventsFinding {
                check,
                line: None,
                module_id: module.to_owned(),
                seq: 0,
                is,
                wanted: wanted.to_owned(),
            });
            if !seen.insert(name) {
                return Err(fault(line, format!("module `{module}` stands twice")));
            }
        }
        for (name, head) in heads.iter().flat_map(|heads| &heads.0) {
            if !seen.contains(name) {
                findings.push(EventsFinding {
                    check: Check::ModuleUnknown,
                    line: None,
                    module_id: name.text(),
                    seq: 0,
                    is: to_hex(head),
                    wanted: String::new(),
                });
            }
        }
        findings.sort_by_key(|found| found.check);
        Ok(Self { findings })
    }
}

/// The fault without the position, which stands before it.
fn plain(error: &csv::Error) -> String {
    match error.kind() {
        csv::ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => format!("has {len} cells, but the head has {expected_len}"),
        csv::ErrorKind::Utf8 { .. } => "is not UTF-8 text".to_owned(),
        _ => error.to_string(),
    }
}
