//! Finds the procedure and the settings of a job; a procedure is only used when it is proved.

use std::path::Path;

use super::StoreError;
use super::record::read_text;
use crate::procedure::{Procedure, Proof, Settings, prove};

/// A procedure by name, or from a user's own file; proved either way.
///
/// # Errors
/// No such name, a file that does not read, or a procedure whose proof fails.
pub fn load_procedure(name: &str, file: Option<&Path>) -> Result<Procedure, StoreError> {
    let (name, procedure) = match file {
        Some(file) => (
            file.display().to_string(),
            Procedure::read(&read_text(file)?),
        ),
        None => (
            name.to_owned(),
            Procedure::shipped(name).ok_or_else(|| StoreError::NoSuchProcedure {
                name: name.to_owned(),
                known: Procedure::shipped_ids(),
            })?,
        ),
    };
    let procedure = procedure.map_err(|why| StoreError::Procedure {
        name: name.clone(),
        why: Box::new(why),
    })?;
    // What ships is proved by the tests on every change; a user's file is proved here.
    if file.is_some()
        && let Err(escapes) = prove(&procedure)
    {
        return Err(StoreError::Unproved { name, escapes });
    }
    Ok(procedure)
}

/// The settings that ship, or a user's own.
///
/// # Errors
/// A file that does not read, lacks a setting, or goes beyond a published limit.
pub fn load_settings(file: Option<&Path>) -> Result<Settings, StoreError> {
    match file {
        Some(path) => Settings::read(&read_text(path)?).map_err(|why| StoreError::Settings {
            path: path.into(),
            why: Box::new(why),
        }),
        None => Settings::shipped().map_err(|why| StoreError::Settings {
            path: "templates/settings.toml".into(),
            why: Box::new(why),
        }),
    }
}

/// A procedure by name or file, without its proof: to draw it even where it is not safe.
///
/// # Errors
/// No such name, or a file that does not read.
pub fn find_procedure(name: &str) -> Result<Procedure, StoreError> {
    let file = Path::new(name);
    if file.is_file() {
        return Procedure::read(&read_text(file)?).map_err(|why| StoreError::Procedure {
            name: name.to_owned(),
            why: Box::new(why),
        });
    }
    load_procedure(name, None)
}

/// The proof of a procedure by name or file.
///
/// # Errors
/// As [`find_procedure`]; [`StoreError::Unproved`] names each way round.
pub fn proof_of(name: &str) -> Result<Proof, StoreError> {
    prove(&find_procedure(name)?).map_err(|escapes| StoreError::Unproved {
        name: name.to_owned(),
        escapes,
    })
}
