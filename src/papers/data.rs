//! The papers that are data for other programs, beside those that every job leaves.

use super::custody_of::custody_rows;
use super::epcis_of::epcis_events;
use super::sheets_of::sheet_rows;
use super::{Issued, PaperError, custody, epcis, manifest, materials, sheets};
use crate::clock::Moment;
use crate::job::Job;
use crate::ledger::{Log, sha256, to_hex};

/// Descriptions of the tables, the twin and the workbooks for spreadsheets, and the events for
/// systems of others, for the papers in `issued`.
///
/// # Errors
/// Content that a paper cannot show.
pub fn data_papers(
    job: &Job,
    log: &Log,
    issued: &Issued,
) -> Result<Vec<(String, Vec<u8>)>, PaperError> {
    let rows = custody_rows(job, log);
    let hash = |csv: &str| to_hex(&sha256(csv.as_bytes()));
    let sheets_csv = sheets::csv(&sheet_rows(job))?;
    let manifest_csv = manifest::csv(&issued.manifest)?;
    let mut files: Vec<(String, Vec<u8>)> = Vec::new();
    let mut push = |name: &str, bytes: Vec<u8>| files.push((name.to_owned(), bytes));
    push("custody.csv-metadata.json", custody::csvw()?.into_bytes());
    push(
        "custody-for-spreadsheets.csv",
        custody::for_spreadsheets(&rows).into_bytes(),
    );
    push("custody.xlsx", custody::workbook(&rows, issued)?);
    push(
        "sheets.datapackage.json",
        sheets::datapackage(&sheets_csv, Some(&hash(&sheets_csv)))?.into_bytes(),
    );
    push(
        "manifest.datapackage.json",
        manifest::datapackage(&manifest_csv, Some(&hash(&manifest_csv)))?.into_bytes(),
    );
    push("manifest.xlsx", manifest::workbook(issued)?);
    if materials::not_for_recycling(job).is_empty() {
        let content = materials::materials_of(job);
        let csv = materials::csv(&content)?;
        let about = materials::datapackage(&csv, Some(&hash(&csv)))?;
        push("materials.json", materials::json(&content)?.into_bytes());
        push("materials.datapackage.json", about.into_bytes());
        push("materials.csv", csv.into_bytes());
    }
    if let Some(last) = issued.last_at {
        push("epcis.jsonld", event_document(job, log, last)?.into_bytes());
    }
    Ok(files)
}

/// The events of the job as one EPCIS document, made up at `created`.
///
/// # Errors
/// Content that the document cannot show.
pub fn event_document(job: &Job, log: &Log, created: Moment) -> Result<String, PaperError> {
    epcis::document(created, &epcis_events(job, log))
}
