//! Reads the part of JSON Schema (draft 7) that the schemas in `docs/` use; a word that it does not
//! know stops the test, so that nothing stands there unchecked. `tests/outside/epcis.py` compares
//! it with the PyPI package `jsonschema`.

use std::cell::RefCell;
use std::collections::HashMap;

use regex_lite::Regex;
use serde_json::Value;

thread_local! {
    static PATTERNS: RefCell<HashMap<String, Regex>> = RefCell::default();
}

fn is_match(pattern: &str, text: &str) -> bool {
    PATTERNS.with_borrow_mut(|patterns| {
        patterns
            .entry(pattern.to_owned())
            .or_insert_with(|| Regex::new(pattern).unwrap())
            .is_match(text)
    })
}

/// Where and why `value` does not fit `schema`; empty where it does.
pub(crate) fn faults(schema: &Value, value: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    look(schema, schema, value, "$", &mut faults);
    faults
}

/// As [`faults`], for one of the definitions.
pub(crate) fn faults_in(schema: &Value, definition: &str, value: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    look(
        schema,
        &schema["definitions"][definition],
        value,
        "$",
        &mut faults,
    );
    faults
}

fn look(root: &Value, schema: &Value, value: &Value, at: &str, faults: &mut Vec<String>) {
    for (word, limit) in schema.as_object().unwrap() {
        let mut fault = |what: String| faults.push(format!("{at}: {word}: {what}"));
        match word.as_str() {
            "$schema" | "title" | "description" | "definitions" => {}
            // Looked at with `properties`.
            "additionalProperties" => assert_eq!(*limit, false),
            "$ref" => {
                let name = limit.as_str().unwrap();
                let name = name.strip_prefix("#/definitions/").unwrap();
                look(root, &root["definitions"][name], value, at, faults);
            }
            "type" => {
                let fits = match limit.as_str().unwrap() {
                    "object" => value.is_object(),
                    "array" => value.is_array(),
                    "string" => value.is_string(),
                    "number" => value.is_number(),
                    "integer" => value.is_u64() || value.is_i64(),
                    other => panic!("type {other}"),
                };
                if !fits {
                    fault(format!("{value} is no {limit}"));
                }
            }
            "const" if value != limit => fault(format!("{value} is not {limit}")),
            "enum" if !limit.as_array().unwrap().contains(value) => {
                fault(format!("{value} is none of {limit}"));
            }
            "const" | "enum" => {}
            "pattern" => {
                if let Some(text) = value.as_str()
                    && !is_match(limit.as_str().unwrap(), text)
                {
                    fault(format!("{text} does not match"));
                }
            }
            "minimum" | "maximum" => {
                if let Some(number) = value.as_f64() {
                    let limit = limit.as_f64().unwrap();
                    let beyond = if word == "minimum" {
                        number < limit
                    } else {
                        number > limit
                    };
                    if beyond {
                        fault(format!("{number} beyond {limit}"));
                    }
                }
            }
            "required" => {
                if let Some(object) = value.as_object() {
                    for name in limit.as_array().unwrap() {
                        if !object.contains_key(name.as_str().unwrap()) {
                            fault(format!("no {name}"));
                        }
                    }
                }
            }
            "properties" => {
                let closed = schema.get("additionalProperties").is_some();
                for (name, inner) in value.as_object().into_iter().flatten() {
                    match limit.get(name) {
                        Some(rule) => look(root, rule, inner, &format!("{at}.{name}"), faults),
                        None if closed => faults.push(format!("{at}: `{name}` does not belong")),
                        None => {}
                    }
                }
            }
            "items" => {
                for (n, inner) in value.as_array().into_iter().flatten().enumerate() {
                    look(root, limit, inner, &format!("{at}[{n}]"), faults);
                }
            }
            "minItems" | "maxItems" | "uniqueItems" => {
                if let Some(items) = value.as_array() {
                    let fits = match word.as_str() {
                        "minItems" => items.len() as u64 >= limit.as_u64().unwrap(),
                        "maxItems" => items.len() as u64 <= limit.as_u64().unwrap(),
                        _ => (1..items.len()).all(|n| !items[..n].contains(&items[n])),
                    };
                    if !fits {
                        fault(format!("{} items", items.len()));
                    }
                }
            }
            "oneOf" => {
                let ways: Vec<Vec<String>> = limit
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|way| {
                        let mut faults = Vec::new();
                        look(root, way, value, at, &mut faults);
                        faults
                    })
                    .collect();
                let fitting = ways.iter().filter(|way| way.is_empty()).count();
                if fitting != 1 {
                    let near = ways.iter().min_by_key(|way| way.len()).unwrap();
                    fault(format!("{fitting} ways fit; nearest: {near:?}"));
                }
            }
            other => panic!("the reader of schemas does not know `{other}`"),
        }
    }
}
