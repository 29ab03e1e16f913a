//! A treater's certificate as a list of serials, matched with what the jobs say was removed.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Dossier, Exchange, Side};

/// Heads under which a treater's list has the serial.
const SERIAL_HEADS: [&str; 6] = [
    "serial",
    "serial_number",
    "serial number",
    "serial no",
    "module serial",
    "item",
];

/// A line of the certificate.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Line {
    serial: String,
    row: usize,
    /// Job and module that it was matched with.
    job: Option<String>,
}

/// A certificate while jobs are matched with it.
#[derive(Debug)]
pub struct Certificate {
    lines: Vec<Line>,
    by_serial: BTreeMap<String, usize>,
    twice: Vec<String>,
    missing: Vec<Unmatched>,
}

/// A serial on one side only.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Unmatched {
    /// The serial.
    pub serial: String,
    /// The job, or the row of the list.
    pub place: String,
    /// Days from the hand-over to the day of the audit, where it was handed over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<i64>,
}

/// What the match gave.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CertificateMatch {
    /// Rows of the list with a serial.
    pub rows: usize,
    /// Serials on the list that a job removed and handed over.
    pub matched: usize,
    /// Handed over, and not on the list.
    pub missing: Vec<Unmatched>,
    /// On the list, and removed by no job.
    pub never_removed: Vec<Unmatched>,
    /// On the list more than once.
    pub twice: Vec<String>,
}

/// Why a list cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ListFault {
    /// Not CSV.
    #[error("{0}")]
    NotCsv(String),
    /// No column holds the serials.
    #[error("no column with the serials; its heads are {}", .0.join(", "))]
    NoSerials(Vec<String>),
    /// Nothing on it.
    #[error("it names no serial: a certificate in bulk proves nothing of one module")]
    Bulk,
}

impl Certificate {
    /// Reads a list. One column must be called `serial`, or close to it.
    ///
    /// # Errors
    /// A text that is no CSV, has no such column, or names no serial.
    pub fn read(text: &str) -> Result<Self, ListFault> {
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
        let wrong = |error: csv::Error| ListFault::NotCsv(error.to_string());
        let heads = reader.headers().map_err(wrong)?.clone();
        let column = SERIAL_HEADS
            .iter()
            .find_map(|wanted| {
                heads
                    .iter()
                    .position(|head| head.to_lowercase().trim().trim_end_matches('.') == *wanted)
            })
            .ok_or_else(|| ListFault::NoSerials(heads.iter().map(str::to_owned).collect()))?;
        let mut found = Self {
            lines: Vec::new(),
            by_serial: BTreeMap::new(),
            twice: Vec::new(),
            missing: Vec::new(),
        };
        for (n, record) in reader.records().enumerate() {
            let record = record.map_err(wrong)?;
            let Some(serial) = record.get(column).filter(|serial| !serial.is_empty()) else {
                continue;
            };
            let key = key(serial);
            if found.by_serial.contains_key(&key) {
                found.twice.push(serial.to_owned());
                continue;
            }
            found.by_serial.insert(key, found.lines.len());
            found.lines.push(Line {
                serial: serial.to_owned(),
                row: n + 2,
                job: None,
            });
        }
        if found.lines.is_empty() {
            return Err(ListFault::Bulk);
        }
        Ok(found)
    }

    /// Every serial in the order of the list; one that stands twice is there twice.
    #[must_use]
    pub fn serials(&self) -> Vec<String> {
        let lines = self.lines.iter().map(|line| line.serial.clone());
        lines.chain(self.twice.iter().cloned()).collect()
    }

    /// Matches the modules of one job that were handed over; `handed` is from [`handed_over`].
    pub fn add(&mut self, job: &str, handed: Vec<(String, i64)>) {
        for (serial, days) in handed {
            let line = self
                .by_serial
                .get(&key(&serial))
                .and_then(|at| self.lines.get_mut(*at));
            match line {
                Some(line) => line.job = Some(job.to_owned()),
                None => self.missing.push(Unmatched {
                    serial,
                    place: job.to_owned(),
                    days: Some(days),
                }),
            }
        }
    }

    /// What the match gave.
    #[must_use]
    pub fn end(mut self) -> CertificateMatch {
        // The longest without a certificate first.
        self.missing.sort_by_key(|one| std::cmp::Reverse(one.days));
        CertificateMatch {
            rows: self.lines.len() + self.twice.len(),
            matched: self.lines.iter().filter(|line| line.job.is_some()).count(),
            missing: self.missing,
            never_removed: self
                .lines
                .into_iter()
                .filter(|line| line.job.is_none())
                .map(|line| Unmatched {
                    serial: line.serial,
                    place: format!("row {}", line.row),
                    days: None,
                })
                .collect(),
            twice: self.twice,
        }
    }
}

impl CertificateMatch {
    /// Whether both sides are the same.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.missing.is_empty() && self.never_removed.is_empty() && self.twice.is_empty()
    }
}

/// Serials are compared without regard to case and blanks, which scanners and typists change.
fn key(serial: &str) -> String {
    serial
        .chars()
        .filter(|sign| !sign.is_whitespace())
        .flat_map(char::to_uppercase)
        .collect()
}

/// Identities of the modules of a job that were handed over, with the days since then. Where the
/// hand-over does not list a module, the last one counts.
#[must_use]
pub fn handed_over(dossier: &Dossier) -> Vec<(String, i64)> {
    let gave = || {
        dossier
            .exchanges
            .iter()
            .filter(|one| one.side == Side::Gave)
    };
    let Some(last) = gave().next_back() else {
        return Vec::new();
    };
    let removed = dossier.removed_identities().into_iter();
    removed
        .map(|identity| {
            let lists = |one: &&Exchange| {
                let listed = one.identities();
                listed.is_some_and(|listed| listed.contains(&identity))
            };
            let left = gave().rfind(lists).unwrap_or(last);
            let days = (dossier.day - left.at.local_day()).num_days();
            (identity, days)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_matched_serial_by_serial_whatever_case_and_blanks() {
        let mut list =
            Certificate::read("Row,Serial No.,kg\n1,ab-1,5\n2, AB 2 ,5\n3,X9,5\n4,ab-1,5\n")
                .unwrap();
        let handed = [("AB-1", 9), ("AB2", 9), ("AB-4", 9), ("AB-3", 40)];
        list.add(
            "J1",
            handed
                .map(|(serial, days)| (serial.to_owned(), days))
                .into(),
        );
        let found = list.end();
        assert_eq!((found.rows, found.matched), (4, 2));
        assert_eq!(found.missing[0].serial, "AB-3", "the oldest first");
        assert_eq!(found.missing[0].days, Some(40));
        assert_eq!(found.never_removed[0].place, "row 4");
        assert_eq!(found.twice, ["ab-1"]);
        assert!(!found.is_whole());
    }

    #[test]
    fn a_list_without_serials_is_refused() {
        assert!(matches!(
            Certificate::read("kg,process\n120,shredded\n"),
            Err(ListFault::NoSerials(heads)) if heads == ["kg", "process"]
        ));
        assert_eq!(
            Certificate::read("serial,kg\n,120\n").unwrap_err(),
            ListFault::Bulk
        );
    }
}
