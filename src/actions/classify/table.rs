//! Judges a list of any length and writes one CSV row for each answer, in constant memory.
//!
//! Rows that no rule can tell apart share one decision: a cell counts by its text, a quantity of
//! the battery by its place between the limits of the rules. The first of them is decided as any
//! other battery and its written row is kept. What is kept is bounded, and forgotten when full.

use std::fs;
use std::io::Write;
use std::path::Path;

use super::judge::{Tally, described};
use super::kept_rows::{KeptRows, Part};
use super::row_key::{Reading, RowKey};
use crate::actions::ActionError;
use crate::papers::answers::{HEADS, id_cell, row_behind_id};
use crate::papers::answers_datapackage;
use crate::store::facts::{Rows, Said, Source, each_of};
use crate::store::{StoreError, describe_beside};
use crate::transport::{Facts, Reader, Reworded, decide_untraced};

/// What is told on the way: rows read, and the share of the file in per cent where its size is
/// known.
pub type Progress<'a> = &'a mut dyn FnMut(u64, Option<u64>);

/// Bytes written at once.
const BLOCK: usize = 256 * 1024;
/// Rows between two tellings.
const TOLD_EVERY: u64 = 1 << 16;

/// Writes to the file `table`. Until the last row is in it, it has another name: nobody mistakes
/// half a table for a whole one. Its Data Package goes beside it.
///
/// # Errors
/// An input that cannot be read, with the first such row; a file that cannot be written.
pub fn classify_to_table(
    input: &Path,
    said: &Said,
    table: &Path,
    progress: Progress<'_>,
) -> Result<Tally, ActionError> {
    let mut partial = table.as_os_str().to_owned();
    partial.push(".partial");
    let partial = Path::new(&partial);
    let mut file = fs::File::create(partial).map_err(StoreError::file(partial))?;
    match classify_to_writer(input, said, &mut file, progress) {
        Ok(tally) => {
            fs::rename(partial, table).map_err(StoreError::file(table))?;
            describe_beside(table, |name, bytes| -> Result<_, ActionError> {
                Ok(answers_datapackage(name, bytes)?)
            })?;
            Ok(tally)
        }
        Err(error) => {
            // The first fault is the one to tell.
            let _ = fs::remove_file(partial);
            Err(error)
        }
    }
}

/// Writes to `out`.
///
/// # Errors
/// As [`classify_to_table`].
pub fn classify_to_writer(
    input: &Path,
    said: &Said,
    out: &mut dyn Write,
    progress: Progress<'_>,
) -> Result<Tally, ActionError> {
    let mut table = Table {
        out,
        text: Vec::with_capacity(BLOCK + 4096),
        tally: Tally::default(),
    };
    table.text.extend_from_slice(HEADS.as_bytes());
    match Rows::open(Source::open(input)?, said)? {
        Ok(rows) => table.rows(rows, said, progress)?,
        Err(source) => {
            each_of(source, said, &mut |_, facts| -> Result<(), ActionError> {
                for facts in said.legs_of(facts) {
                    table.plain(&facts, said.reader);
                }
                table.flush(BLOCK)
            })?;
        }
    }
    table.flush(0)?;
    Ok(table.tally)
}

struct Table<'a> {
    out: &'a mut dyn Write,
    text: Vec<u8>,
    tally: Tally,
}

impl Table<'_> {
    /// Writes what waits, where it is more than `most` bytes.
    fn flush(&mut self, most: usize) -> Result<(), ActionError> {
        if self.text.len() > most {
            self.out
                .write_all(&self.text)
                .map_err(StoreError::file("the table"))?;
            self.text.clear();
        }
        Ok(())
    }

    /// One battery, decided by itself.
    fn plain(&mut self, facts: &Facts, reader: Option<Reader>) {
        let decision = decide_untraced(facts).for_reader(reader);
        self.tally
            .count(decision.answer, described(facts, &decision), 1);
        let id = id_cell(facts.id.as_deref().unwrap_or_default());
        self.text.extend_from_slice(id.as_bytes());
        let row = row_behind_id(facts.regime, &decision, facts.package.is_some());
        self.text.extend_from_slice(row.as_bytes());
    }

    fn rows(
        &mut self,
        mut rows: Rows,
        said: &Said,
        progress: Progress<'_>,
    ) -> Result<(), ActionError> {
        let mut key = RowKey::of(&rows.roles);
        let mut kept = KeptRows::new(key.words().len(), said.legs.len().max(1));
        let mut count = 0_u64;
        loop {
            count += 1;
            if count.is_multiple_of(TOLD_EVERY) {
                let share = rows
                    .size
                    .filter(|size| *size > 0)
                    .map(|size| (rows.bytes.taken.saturating_mul(100) / size).min(100));
                progress(count, share);
            }
            self.flush(BLOCK)?;
            if key.is_full() || kept.is_full() {
                key.forget();
                kept.forget(&mut self.tally);
            }
            match key.read(rows.bytes.rest()) {
                Reading::Row {
                    id_from,
                    id_to,
                    bytes,
                } => {
                    let found = match kept.find(key.words()) {
                        Some(found) => found,
                        None => {
                            let parts = parts(said.legs_of(rows.look()?), said.reader);
                            kept.keep(key.words(), parts)
                        }
                    };
                    let id = rows.bytes.rest().get(id_from..id_to).unwrap_or_default();
                    for row in kept.rows(found) {
                        self.text.extend_from_slice(id);
                        self.text.extend_from_slice(row);
                    }
                    rows.bytes.take(bytes, 1);
                }
                Reading::Other if rows.bytes.is_torn() => rows.more()?,
                // A quote, a blank line, a number in another form: the plain reader knows.
                Reading::Other => {
                    if !rows.next()? {
                        break;
                    }
                    for facts in said.legs_of(rows.facts()?) {
                        self.plain(&facts, said.reader);
                    }
                }
            }
        }
        kept.forget(&mut self.tally);
        Ok(())
    }
}

/// The written rows of one battery, one a leg.
fn parts(legs: Vec<Facts>, reader: Option<Reader>) -> Vec<Part> {
    legs.iter()
        .map(|facts| {
            let decision = decide_untraced(facts).for_reader(reader);
            Part {
                answer: decision.answer,
                package: described(facts, &decision),
                row: row_behind_id(facts.regime, &decision, facts.package.is_some()),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Leg;

    /// A small generator of its own (Steele and others, SplitMix64), so that the rows are the same
    /// on every machine.
    struct Dice(u64);

    impl Dice {
        fn roll(&mut self, sides: usize) -> usize {
            self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = self.0;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            usize::try_from((z ^ (z >> 31)) % sides as u64).unwrap()
        }

        fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
            of[self.roll(of.len())]
        }
    }

    /// Columns with values that lie on, below and above every limit that the rules have today, and
    /// cells that only the plain reader understands.
    const COLUMNS: &[(&str, &[&str])] = &[
        ("id", &["m1", "m2", "\"a, b\"", "=x", "", "-1"]),
        (
            "on",
            &[
                "2026-11-25",
                "2026-12-09",
                "2027-01-01",
                "2024-12-31",
                "2031-01-01",
                "",
            ],
        ),
        (
            "item.chemistry",
            &[
                "lithium_ion",
                "lithium_ion",
                "lithium_metal",
                "sodium_ion_organic",
                "nickel_metal_hydride",
                "unknown",
                "",
            ],
        ),
        (
            "item.rated_energy_wh",
            &[
                "100", "100.001", "99.999", "5120.0", "2000", "2000.001", "20", "2.7", "2.701", "",
            ],
        ),
        (
            "item.net_mass_kg",
            &[
                "0.5", "0.501", "11.999", "12", "12.000", "12.001", "29.9", "30", "30.001", "48.0",
                "35", "35.001", "400", "400.001", "\"48.0\"", "",
            ],
        ),
        ("item.household_collected", &["true", "false", ""]),
        ("country", &["DE", "US", "CH", ""]),
        ("item.casing", &["strong", "weak", ""]),
        ("item.tested_type", &["true", "no", ""]),
        (
            "item.made_on",
            &[
                "2003-06-30",
                "2011-12-31",
                "2012-01-01",
                "2021-05-01",
                "2025-12-31",
                "2026-01-01",
                "",
            ],
        ),
        ("item.energy_marked_on_case", &["true", "false", ""]),
        (
            "item.configuration",
            &["alone", "alone", "contained_in_equipment", ""],
        ),
        (
            "item.soundness",
            &[
                "sound",
                "sound",
                "suspect",
                "undiagnosed",
                "damaged",
                "critical",
                "",
            ],
        ),
        ("item.recalled_for_safety", &["false", "true", ""]),
        ("item.leaking", &["false", "true", ""]),
        ("item.state_of_charge_percent.low", &["10", "29.9", "0"]),
        (
            "item.state_of_charge_percent.high",
            &["30", "30.1", "25", "25.001", "100", "100.001", "1", "0"],
        ),
        (
            "item.purpose",
            &[
                "use",
                "reuse",
                "warranty_return",
                "safety_return",
                "recycling",
                "disposal",
                "sorting",
                "prototype_test",
                "",
            ],
        ),
    ];

    const PACKAGE: &[(&str, &[&str])] = &[
        (
            "package.kind",
            &["un_packaging", "pallet", "strong_outer", ""],
        ),
        (
            "package.mark",
            &["4D/X90/S/25/GB/1234", "4G/Y20/S/24/D/9", ""],
        ),
        ("package.items", &["1", "2"]),
        (
            "package.net_mass_kg",
            &["20", "30", "30.001", "60", "400.5", ""],
        ),
        ("package.gross_mass_kg", &["71", "90", "90.001", ""]),
        ("package.secured", &["true", ""]),
    ];

    fn table(columns: &[(&str, &[&str])], rows: usize, seed: u64) -> String {
        let mut dice = Dice(seed);
        let heads: Vec<&str> = columns.iter().map(|(head, _)| *head).collect();
        let mut text = heads.join(",") + "\r\n";
        let mut cells: Vec<&str> = vec![""; columns.len()];
        for n in 0..rows {
            for (cell, (head, values)) in cells.iter_mut().zip(columns) {
                // Words stay for a while, quantities change with each row: so many rows share a
                // decision, and those on either side of a limit do not.
                let is_quantity = ["_wh", "_kg", "_on", ".low", ".high"]
                    .iter()
                    .any(|end| head.ends_with(end));
                if is_quantity || *head == "id" || n % 40 == 0 {
                    *cell = dice.one(values);
                }
            }
            text.push_str(&cells.join(","));
            text.push_str(dice.one(&["\n", "\r\n", "\n\n"]));
        }
        text
    }

    fn agree(columns: &[(&str, &[&str])], rows: usize, seed: u64) {
        let folder = tempfile::tempdir().unwrap();
        let input = folder.path().join("facts.csv");
        fs::write(&input, table(columns, rows, seed)).unwrap();
        let said = Said {
            legs: [
                "adr",
                "cfr49:road",
                "rid",
                "imdg",
                "air:cargo_aircraft",
                "cfr49:cargo_aircraft",
            ]
            .map(|leg| leg.parse::<Leg>().unwrap())
            .to_vec(),
            ..Said::default()
        };
        let mut kept = Vec::new();
        let told = classify_to_writer(&input, &said, &mut kept, &mut |_, _| {}).unwrap();

        let mut plain = Table {
            out: &mut std::io::sink(),
            text: HEADS.as_bytes().to_vec(),
            tally: Tally::default(),
        };
        each_of(Source::open(&input).unwrap(), &said, &mut |_, facts| {
            for facts in said.legs_of(facts) {
                plain.plain(&facts, said.reader);
            }
            Ok::<(), ActionError>(())
        })
        .unwrap();
        let lines = |text: &[u8]| -> Vec<String> {
            String::from_utf8(text.to_vec())
                .unwrap()
                .lines()
                .map(str::to_owned)
                .collect()
        };
        let (kept, plain_lines) = (lines(&kept), lines(&plain.text));
        for (a, b) in kept.iter().zip(&plain_lines) {
            assert_eq!(a, b);
        }
        assert_eq!(kept.len(), plain_lines.len());
        assert_eq!(told, plain.tally);
        assert_eq!(told.judged, 6 * rows as u64);
    }

    #[test]
    fn rows_that_share_a_decision_get_the_one_they_would_get_alone() {
        agree(COLUMNS, 3_000, 1);
    }

    #[test]
    fn so_they_do_where_a_package_is_described() {
        let columns: Vec<_> = COLUMNS.iter().chain(PACKAGE).copied().collect();
        agree(&columns, 600, 2);
    }

    #[test]
    fn what_is_kept_is_forgotten_when_full_and_nothing_is_lost() {
        // More than `kept_rows::MOST` different keys: each row has its own day.
        let mut text = "regime,on,item.chemistry\n".to_owned();
        let first = chrono::NaiveDate::from_ymd_opt(1990, 1, 1).unwrap();
        let days = first.iter_days().take(9_000);
        for day in days {
            text.push_str(&format!("adr,{day},lithium_ion\n"));
        }
        let folder = tempfile::tempdir().unwrap();
        let input = folder.path().join("facts.csv");
        fs::write(&input, text).unwrap();
        let mut out = Vec::new();
        let tally = classify_to_writer(&input, &Said::default(), &mut out, &mut |_, _| {}).unwrap();
        assert_eq!(tally.judged, 9_000);
        assert_eq!(out.iter().filter(|byte| **byte == b'\n').count(), 9_001);
    }
}
