//! Reads a file of facts battery by battery.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde_json::value::RawValue;

use super::columns::{Kind, columns};
use super::fault::json_fault;
use super::rows::Rows;
use super::said::{Form, Said};
use super::source::Source;
use crate::store::StoreError;
use crate::transport::Facts;

/// What to do with a file that is too large to be read whole.
const INSTEAD: &str = "write one object a line, or CSV";

/// Calls `each` with every battery of `source` in order; gives the form that the input has.
pub(crate) fn each_of<E: From<StoreError>>(
    mut source: Source,
    said: &Said,
    each: &mut dyn FnMut(Form, Facts) -> Result<(), E>,
) -> Result<Form, E> {
    match source.form()? {
        Form::Csv => {
            let mut rows = Rows::begin(source, said)?;
            while rows.next()? {
                each(Form::Csv, rows.facts()?)?;
            }
            Ok(Form::Csv)
        }
        Form::Array => {
            let text = source.whole(INSTEAD)?;
            let text = with_blank_lines(&source, text);
            let parts: Vec<&RawValue> = serde_json::from_str(&text)
                .map_err(|error| json_fault(&source.name, "", &error))?;
            for (n, part) in parts.into_iter().enumerate() {
                let place = format!("object {}", n + 1);
                each(Form::Array, facts(part.get(), said, &source.name, &place)?)?;
            }
            Ok(Form::Array)
        }
        Form::Object | Form::Lines => {
            let top = source.blank_lines as u64 + 1;
            let first = source.line(top)?.unwrap_or_default();
            if serde_json::from_str::<serde::de::IgnoredAny>(&first).is_ok() {
                return lines(&mut source, &first, said, each);
            }
            let text = first + &source.whole(INSTEAD)?;
            let text = with_blank_lines(&source, text);
            let parts = serde_json::Deserializer::from_str(&text).into_iter::<&RawValue>();
            for part in parts {
                let part = part.map_err(|error| json_fault(&source.name, "", &error))?;
                each(Form::Object, facts(part.get(), said, &source.name, "")?)?;
            }
            Ok(Form::Object)
        }
    }
}

/// The text with the blank lines that were passed over before it, so that a fault is named by the
/// line that an editor shows.
fn with_blank_lines(source: &Source, text: String) -> String {
    if source.blank_lines == 0 {
        return text;
    }
    "\n".repeat(source.blank_lines) + &text
}

fn lines<E: From<StoreError>>(
    source: &mut Source,
    first: &str,
    said: &Said,
    each: &mut dyn FnMut(Form, Facts) -> Result<(), E>,
) -> Result<Form, E> {
    let top = source.blank_lines as u64 + 1;
    let mut number = top;
    let mut second = None;
    // A single line is one object; only a second one makes it a list.
    while second.is_none() {
        number += 1;
        match source.line(number)? {
            None => break,
            Some(text) if text.trim().is_empty() => {}
            Some(text) => second = Some((number, text)),
        }
    }
    let form = if second.is_some() {
        Form::Lines
    } else {
        Form::Object
    };
    let place = if second.is_some() || top > 1 {
        format!("line {top}")
    } else {
        String::new()
    };
    each(form, facts(first, said, &source.name, &place)?)?;
    let Some((at, text)) = second else {
        return Ok(form);
    };
    each(
        form,
        facts(&text, said, &source.name, &format!("line {at}"))?,
    )?;
    while let Some(text) = {
        number += 1;
        source.line(number)?
    } {
        if !text.trim().is_empty() {
            each(
                form,
                facts(&text, said, &source.name, &format!("line {number}"))?,
            )?;
        }
    }
    Ok(form)
}

/// The facts in one JSON text. Where the regime is said on the command line, it need not be there.
fn facts(text: &str, said: &Said, name: &str, place: &str) -> Result<Facts, StoreError> {
    if !text.trim_start().starts_with('{') {
        return Err(StoreError::input(name, place, "is not an object of facts"));
    }
    let error = match serde_json::from_str::<Facts>(text) {
        Ok(facts) => {
            return match list_for_object(text, "") {
                None => Ok(facts),
                Some(fact) => Err(StoreError::input(
                    name,
                    place,
                    format!("`{fact}` is a list, not an object with names"),
                )),
            };
        }
        Err(error) => error,
    };
    if let (Some(leg), true, Some(rest)) = (
        said.legs.first(),
        error.to_string().starts_with("missing field `regime`"),
        text.trim_start().strip_prefix('{'),
    ) {
        let comma = if rest.trim_start().starts_with('}') {
            ""
        } else {
            ","
        };
        let whole = format!("{{\"regime\":\"{}\"{comma}{rest}", leg.regime);
        return serde_json::from_str(&whole).map_err(|error| fault_of_facts(name, place, &error));
    }
    Err(fault_of_facts(name, place, &error))
}

/// A fault of facts; a name that belongs one step further down is named where it belongs.
fn fault_of_facts(name: &str, place: &str, error: &serde_json::Error) -> StoreError {
    let mut fault = json_fault(name, place, error);
    if let StoreError::Input { why, known, .. } = &mut fault
        && let Some(word) = why
            .strip_prefix("unknown field `")
            .and_then(|rest| rest.split('`').next())
    {
        let below = format!(".{word}");
        let columns = columns().into_iter().map(|column| column.name);
        let found: Vec<String> = columns.filter(|column| column.ends_with(&below)).collect();
        if !found.is_empty() {
            *known = found;
        }
    }
    fault
}

/// The first fact that is written as a list although it has parts with names: the reader of the
/// types would take them by their order, and nobody would see what was meant.
fn list_for_object(text: &str, prefix: &str) -> Option<String> {
    static LISTS: OnceLock<Vec<String>> = OnceLock::new();
    let lists = LISTS.get_or_init(|| {
        columns()
            .into_iter()
            .filter(|column| matches!(column.kind, Kind::List | Kind::Objects))
            .map(|column| column.name)
            .collect()
    });
    let parts: BTreeMap<String, &RawValue> = serde_json::from_str(text).ok()?;
    parts.into_iter().find_map(|(key, part)| {
        let name = format!("{prefix}{key}");
        match part.get().as_bytes().first() {
            Some(b'{') => list_for_object(part.get(), &format!("{name}.")),
            Some(b'[') if !lists.contains(&name) => Some(name),
            _ => None,
        }
    })
}
