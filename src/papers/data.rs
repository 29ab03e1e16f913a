//! The papers that are data for other programs, beside those that every job leaves.

use super::custody_of::custody_rows;
use super::epcis_of::{epcis_events, onward_events};
use super::sheets_of::sheet_rows;
use super::stamp::words;
use super::{Issued, PaperError, custody, epcis, manifest, materials, sheets};
use crate::clock::Moment;
use crate::job::Job;
use crate::ledger::{Log, sha256, to_hex};

/// Names of the papers that only come from here.
pub(super) const DATA: [&str; 2] = ["custody-for-spreadsheets", "epcis"];

/// Descriptions of the tables, the twin and the workbooks for spreadsheets, and the events for
/// systems of others, for the papers in `issued`; only what belongs to the papers named, where any
/// are named.
///
/// # Errors
/// Content that a paper cannot show.
pub fn data_papers(
    job: &Job,
    log: &Log,
    issued: &Issued,
    only: &[String],
) -> Result<Vec<(String, Vec<u8>)>, PaperError> {
    let wanted = |paper: &str| only.is_empty() || only.iter().any(|one| one == paper);
    let hash = |csv: &str| to_hex(&sha256(csv.as_bytes()));
    let mut files: Vec<(String, Vec<u8>)> = Vec::new();
    let mut push = |name: &str, bytes: Vec<u8>| files.push((name.to_owned(), bytes));
    if wanted("custody") {
        push("custody.csv-metadata.json", custody::csvw()?.into_bytes());
    }
    if wanted("custody") || wanted("custody-for-spreadsheets") {
        let rows = custody_rows(job, log);
        if wanted("custody-for-spreadsheets") {
            push(
                "custody-for-spreadsheets.csv",
                custody::for_spreadsheets(&rows).into_bytes(),
            );
        }
        if wanted("custody") {
            push("custody.xlsx", custody::workbook(&rows, issued)?);
        }
    }
    if wanted("sheets") {
        let csv = sheets::csv(&sheet_rows(job))?;
        push(
            "sheets.datapackage.json",
            sheets::datapackage(&csv, Some(&hash(&csv)))?.into_bytes(),
        );
        push("sheets.csv-metadata.json", sheets::csvw()?.into_bytes());
    }
    if wanted("manifest") {
        let csv = manifest::csv(&issued.manifest)?;
        push(
            "manifest.datapackage.json",
            manifest::datapackage(&csv, Some(&hash(&csv)))?.into_bytes(),
        );
        push("manifest.csv-metadata.json", manifest::csvw()?.into_bytes());
        push("manifest.xlsx", manifest::workbook(issued)?);
    }
    if wanted("materials") && materials::not_for_recycling(job).is_empty() {
        let content = materials::materials_of(job, words());
        let csv = materials::csv(&content)?;
        let about = materials::datapackage(&csv, Some(&hash(&csv)))?;
        push("materials.json", materials::json(&content)?.into_bytes());
        push("materials.datapackage.json", about.into_bytes());
        push(
            "materials.csv-metadata.json",
            materials::csvw()?.into_bytes(),
        );
        push("materials.csv", csv.into_bytes());
    }
    if let Some(last) = issued.last_at.filter(|_| wanted("epcis")) {
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

/// The events of a load that a site sent on as one EPCIS document, from the load's own log, made up
/// when it left.
///
/// # Errors
/// Content that the document cannot show.
pub fn onward_document(log: &Log, consignment: &str, left: Moment) -> Result<String, PaperError> {
    epcis::document(left, &onward_events(log, consignment))
}
