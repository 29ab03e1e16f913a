//! Prints the receipt of a load, for both sides to sign.

use std::path::{Path, PathBuf};

use super::ActionError;
use crate::citation::Reason;
use crate::papers::pdf::Stock;
use crate::papers::{Language, receipt_files};
use crate::store::{RegisterFolder, StoreError, replace};

/// Prints the receipt `name` into the folder `out`, for both sides to sign.
///
/// # Errors
/// A register that cannot be opened, or a folder that cannot be written.
pub fn print_receipt(
    folder: &RegisterFolder,
    name: &str,
    out: &Path,
    language: Language,
    stock: Option<Stock>,
) -> Result<Result<Vec<PathBuf>, Vec<Reason>>, ActionError> {
    let open = folder.open()?;
    let Some(receipt) = open.register.receipts.get(name) else {
        let known: Vec<&str> = open.register.receipts.keys().map(String::as_str).collect();
        let known = if known.is_empty() {
            "none yet".to_owned()
        } else {
            known.join(", ")
        };
        return Ok(Err(vec![
            Reason::new("receipt", name)
                .limit(format!("one of this register: {known}"))
                .way_out("name one of these; `packdown receive` opens one"),
        ]));
    };
    let files = receipt_files(
        &open.site,
        &open.register,
        &open.log,
        receipt,
        stock,
        language,
    )?;
    std::fs::create_dir_all(out).map_err(StoreError::file(out))?;
    let mut written = Vec::new();
    for (name, bytes) in files {
        let path = out.join(name);
        replace(&path, &bytes)?;
        written.push(path);
    }
    Ok(Ok(written))
}
