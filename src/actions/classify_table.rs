//! Judges a list of any length and writes one CSV row for each answer, in constant memory.

use std::fs;
use std::io::{BufWriter, Write};
use std::path::Path;

use super::ActionError;
use super::classify::{Tally, described};
use super::read_facts::{Said, Source, each_of};
use crate::papers::answers::{HEADS, id_cell, row_behind_id};
use crate::transport::decide_untraced;

/// What is told on the way: rows read, and the share of the file in per cent where its size is
/// known.
pub type Progress<'a> = &'a mut dyn FnMut(u64, Option<u64>);

/// Writes to the file `table`. Until the last row is in it, it has another name: nobody mistakes
/// half a table for a whole one.
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
    let mut file = fs::File::create(partial).map_err(ActionError::file(partial))?;
    let tally = classify_to_writer(input, said, &mut file, progress);
    match tally {
        Ok(tally) => {
            fs::rename(partial, table).map_err(ActionError::file(table))?;
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
    let mut out = BufWriter::with_capacity(256 * 1024, out);
    let failed = |why: std::io::Error| ActionError::input("the table", "", why.to_string());
    out.write_all(HEADS.as_bytes()).map_err(failed)?;
    let mut tally = Tally::default();
    let _ = progress;
    each_of(Source::open(input)?, said, &mut |_, facts| {
        for facts in said.legs_of(facts) {
            let decision = decide_untraced(&facts);
            tally.count(decision.answer, described(&facts, &decision), 1);
            let id = id_cell(facts.id.as_deref().unwrap_or_default());
            let row = row_behind_id(facts.regime, &decision, facts.package.is_some());
            out.write_all(id.as_bytes()).map_err(failed)?;
            out.write_all(row.as_bytes()).map_err(failed)?;
        }
        Ok::<(), ActionError>(())
    })?;
    out.flush().map_err(failed)?;
    Ok(tally)
}
