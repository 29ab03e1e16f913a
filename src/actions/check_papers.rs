//! Checks what stands on a packaging, in a transport document, on a vehicle.

use std::path::Path;

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use crate::store::StoreError;
use crate::store::facts::{Source, json_fault};
use crate::transport::{DocumentAnswer, DocumentQuestion, Load, LoadAnswer, MarkAnswer};

/// What a text says, read as the UN mark of a packaging.
#[must_use]
pub fn check_mark(text: &str) -> MarkAnswer {
    crate::transport::check_mark(text)
}

/// The answer for a transport document.
///
/// # Errors
/// A file that cannot be read.
pub fn check_document(file: &Path) -> Result<DocumentAnswer, StoreError> {
    let (name, text) = whole(file)?;
    let asked: DocumentQuestion = match serde_json::from_str(&text) {
        Ok(asked) => asked,
        // The regime may stand beside the facts instead of in them.
        Err(error) if error.to_string().starts_with("missing field `regime`") => {
            let value = with_regime_inside(&text).ok_or_else(|| json_fault(&name, "", &error))?;
            serde_json::from_value(value).map_err(|error| json_fault(&name, "", &error))?
        }
        Err(error) => return Err(json_fault(&name, "", &error)),
    };
    Ok(crate::transport::check_document(&asked))
}

fn with_regime_inside(text: &str) -> Option<Value> {
    let mut whole: Map<String, Value> = serde_json::from_str(text).ok()?;
    let regime = whole.get("regime")?.clone();
    whole
        .get_mut("facts")?
        .as_object_mut()?
        .entry("regime")
        .or_insert(regime);
    Some(Value::Object(whole))
}

/// The answer for a load.
///
/// # Errors
/// A file that cannot be read.
pub fn check_load(file: &Path) -> Result<LoadAnswer, StoreError> {
    let load: Load = read(file)?;
    Ok(crate::transport::check_load(&load))
}

fn read<T: DeserializeOwned>(file: &Path) -> Result<T, StoreError> {
    let (name, text) = whole(file)?;
    serde_json::from_str(&text).map_err(|error| json_fault(&name, "", &error))
}

fn whole(file: &Path) -> Result<(String, String), StoreError> {
    let mut source = Source::open(file)?;
    let text = source.whole("give one document or load in it")?;
    if text.trim().is_empty() {
        return Err(StoreError::input(&source.name, "", "is empty"));
    }
    Ok((source.name, text))
}
