//! Takes a treater's certificate into the register: the list of serials, and the document as it came.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use serde::Serialize;

use super::ActionError;
use crate::audit::Certificate;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{CertificateTaken, certify, not_certified};
use crate::store::{RegisterFolder, StoreError, plain, read_text};

/// A certificate as it is said to be.
#[derive(Debug, Clone)]
pub struct CertificateSaid {
    /// The list of serials, CSV.
    pub list: PathBuf,
    /// The document itself, where it is another file.
    pub document: Option<PathBuf>,
    /// Its number.
    pub number: String,
    /// Who treated.
    pub treater: String,
    /// The day on it.
    pub issued_on: Option<NaiveDate>,
    /// What was done.
    pub treatment: Option<String>,
}

/// What a certificate gave.
#[derive(Debug, Clone, Serialize)]
pub struct CertificateMatched {
    /// The entry as it stands in the register.
    pub certificate: CertificateTaken,
    /// Serials on it that left this site.
    pub matched: usize,
    /// Modules that left as waste before and have no certificate yet, with the day.
    pub waiting: Vec<(String, NaiveDate)>,
}

/// Takes the certificate, its files on disk before its entry.
///
/// # Errors
/// A list that names no serial, a register that cannot be opened or is being written elsewhere.
pub fn take_certificate(
    folder: &RegisterFolder,
    said: &CertificateSaid,
    by: &str,
    at: Moment,
) -> Result<Result<CertificateMatched, Vec<Reason>>, ActionError> {
    let serials = serials_of(&said.list)?;
    let taken = |files| CertificateTaken {
        number: said.number.trim().to_owned(),
        treater: said.treater.trim().to_owned(),
        issued_on: said.issued_on,
        treatment: said.treatment.clone(),
        serials: serials.clone(),
        never_sent: Vec::new(),
        named_before: Vec::new(),
        files,
        by: by.to_owned(),
    };
    // Asked before anything is kept, and once more under the lock.
    let open = folder.open()?;
    if let Err(no) = certify(&open.register, &open.site, taken(Vec::new()), at) {
        return Ok(Err(no));
    }
    let mut files = vec![folder.keep_photo(&said.list)?];
    if let Some(document) = &said.document {
        files.push(folder.keep_photo(document)?);
    }
    let (given, open) = folder.write(at, by, |open| {
        certify(&open.register, &open.site, taken(files), at)
            .map(|taken| (taken.clone(), plain(vec![taken.into()])))
            .map_err(|reasons| (reasons, Vec::new()))
    })?;
    Ok(given.map(|certificate| CertificateMatched {
        matched: certificate.serials.len() - certificate.never_sent.len(),
        waiting: not_certified(&open.register)
            .into_iter()
            .map(|(identity, left)| (identity, left.local_day()))
            .collect(),
        certificate,
    }))
}

fn serials_of(list: &Path) -> Result<Vec<String>, ActionError> {
    let found = Certificate::read(&read_text(list)?).map_err(|fault| {
        let name = list.display().to_string();
        ActionError::Store(StoreError::input(name, "", fault.to_string()))
    })?;
    Ok(found.serials())
}
