//! Reads a treater's certificate from a file.

use std::path::Path;

use crate::actions::ActionError;
use crate::audit::Certificate;
use crate::store::{StoreError, read_text};

/// The certificate in `file`.
///
/// # Errors
/// A file that cannot be read, is no CSV, or names no serial.
pub fn read_certificate(file: &Path) -> Result<Certificate, ActionError> {
    let text = read_text(file)?;
    Certificate::read(&text).map_err(|fault| {
        let name = file.display().to_string();
        ActionError::Store(StoreError::input(name, "", fault.to_string()))
    })
}
