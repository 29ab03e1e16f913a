//! The method statement before the visit, as an answer and as a printed paper.

use super::ActionError;
use crate::papers::method::Method;
use crate::papers::{Look, method_of, print_method};
use crate::store::JobFolder;

/// The method statement of the job in `folder`.
///
/// # Errors
/// A plan or procedure that cannot be used.
pub fn method_statement(folder: &JobFolder) -> Result<Method, ActionError> {
    let (job, _) = folder.new_job(None, None)?;
    Ok(method_of(&job))
}

/// The same as a PDF.
///
/// # Errors
/// A plan or procedure that cannot be used.
pub fn method_pdf(folder: &JobFolder, look: &Look) -> Result<Vec<u8>, ActionError> {
    let (job, _) = folder.new_job(None, None)?;
    Ok(print_method(&job, look)?)
}
