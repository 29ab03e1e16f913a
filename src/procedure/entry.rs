//! One line of the field record, as the crew made it.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::MapDeserializer;
use serde::de::{self, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::value::RawValue;

use super::Kind;
use crate::clock::Moment;
use crate::text::composed;
use crate::units::Decimal;

/// Longest text of one answer, in characters.
pub const LONGEST_TEXT: usize = 2_000;
/// The member of an entry with its answers.
const EVIDENCE: &str = "evidence";
/// Rows in a table inside a list inside an answer; deeper is refused.
const DEEPEST: u8 = 4;

/// One line of the field record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// What it is.
    pub kind: Kind,
    /// The step, where it is one: `C21`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// The module, where it is one module's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub module: Option<String>,
    /// When it was written down, by the device's clock.
    pub at: Moment,
    /// Who, by id.
    pub by: String,
    /// The second person, by id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with: Option<String>,
    /// Answers by name; names carry the unit.
    #[serde(default, skip_serializing_if = "Evidence::is_empty")]
    pub evidence: Evidence,
    /// Why; compulsory for corrections, late entries, stops and what is left behind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// Late entries: when it happened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub happened_at: Option<Moment>,
    /// Corrections: number of the entry in the record (its first line is 1; papers issued and loads
    /// handed over do not count).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amends: Option<u32>,
    /// Photographs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<Photo>,
}

impl Entry {
    /// Reads an entry as it stands in a log.
    ///
    /// # Errors
    /// As for an entry of a record.
    pub fn of_json(json: &serde_json::Value) -> Result<Self, serde_json::Error> {
        let members = json
            .as_object()
            .ok_or_else(|| de::Error::custom("an entry has members"))?;
        let others = members.iter().filter(|(name, _)| *name != EVIDENCE);
        let others = others.map(|(name, member)| (name.as_str(), member));
        let mut entry = Self::deserialize(MapDeserializer::new(others))?;
        if let Some(evidence) = members.get(EVIDENCE) {
            entry.evidence = Evidence::of_json(evidence)?;
        }
        Ok(entry)
    }

    /// The entry with its texts in one Unicode form, however they were typed.
    #[must_use]
    pub fn composed(mut self) -> Self {
        let texts = [&mut self.step, &mut self.module, &mut self.with];
        for text in texts.into_iter().chain([&mut self.reason]).flatten() {
            *text = composed(std::mem::take(text));
        }
        self.by = composed(self.by);
        for photo in &mut self.photos {
            photo.file = composed(std::mem::take(&mut photo.file));
        }
        self
    }
}

/// A photograph: its file name inside the job's `photos/` folder, and its hash.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// Plain file name, no folder.
    pub file: String,
    /// SHA-256 of the file, lower-case hex; filled in from the file where it is at hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sha256: Option<String>,
}

impl Photo {
    /// Whether the name is a plain file name: no folder, no drive, no hidden or empty name.
    #[must_use]
    pub fn has_plain_name(&self) -> bool {
        !self.file.is_empty()
            && self.file.len() <= 120
            && !self.file.starts_with('.')
            && !self
                .file
                .chars()
                .any(|c| matches!(c, '/' | '\\' | ':' | '~') || c.is_control())
    }
}

/// Answers by name.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Evidence(BTreeMap<String, Value>);

/// One answer. Numbers stay the digits they were written with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Value {
    /// Not known, said so.
    Unknown,
    /// Yes or no.
    YesNo(bool),
    /// A text, or the digits of a number.
    Text(String),
    /// Several answers.
    List(Vec<Value>),
    /// A row of a table.
    Row(Evidence),
}

impl Evidence {
    /// The answers in a value of a log. A log holds no fraction, so no digit was lost in reading
    /// it, and it need not be made a text again to keep them.
    pub(super) fn of_json<E: de::Error>(json: &serde_json::Value) -> Result<Self, E> {
        Self::of_json_at(json, 0)
    }

    fn of_json_at<E: de::Error>(json: &serde_json::Value, depth: u8) -> Result<Self, E> {
        let members = json
            .as_object()
            .ok_or_else(|| E::custom("answers are given by name"))?;
        let answers = members
            .iter()
            .map(|(name, answer)| Ok((name.clone(), Value::of_json(answer, depth)?)));
        answers.collect::<Result<_, E>>().map(Self)
    }

    /// Whether nothing was answered.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The answer to `name`.
    #[must_use]
    pub fn answer(&self, name: &str) -> Option<&Value> {
        self.0.get(name)
    }

    /// With one more answer; a later one replaces an earlier one.
    pub fn put(&mut self, name: impl Into<String>, value: Value) {
        self.0.insert(name.into(), value);
    }

    /// Names and answers, in order of name.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.0.iter().map(|(name, value)| (name.as_str(), value))
    }

    /// The text under `name`, where it is one.
    #[must_use]
    pub fn text(&self, name: &str) -> Option<&str> {
        match self.answer(name)? {
            Value::Text(text) if !text.is_empty() => Some(text),
            _ => None,
        }
    }

    /// The number under `name`, where it is one.
    #[must_use]
    pub fn number(&self, name: &str) -> Option<Decimal> {
        self.answer(name)?.number()
    }

    /// Yes or no under `name`, where it is one.
    #[must_use]
    pub fn yes_no(&self, name: &str) -> Option<bool> {
        self.answer(name)?.yes_no()
    }

    /// The time under `name`, where it is one.
    #[must_use]
    pub fn time(&self, name: &str) -> Option<Moment> {
        self.text(name)?.parse().ok()
    }

    /// The rows under `name`; empty where there are none.
    #[must_use]
    pub fn rows(&self, name: &str) -> Vec<&Evidence> {
        match self.answer(name) {
            Some(Value::List(values)) => values
                .iter()
                .filter_map(|value| match value {
                    Value::Row(row) => Some(row),
                    _ => None,
                })
                .collect(),
            _ => Vec::new(),
        }
    }

    /// The texts under `name`; empty where there are none.
    #[must_use]
    pub fn texts(&self, name: &str) -> Vec<&str> {
        match self.answer(name) {
            Some(Value::List(values)) => values
                .iter()
                .filter_map(|value| match value {
                    Value::Text(text) => Some(text.as_str()),
                    _ => None,
                })
                .collect(),
            Some(Value::Text(text)) if !text.is_empty() => vec![text],
            _ => Vec::new(),
        }
    }
}

impl Value {
    /// The answer a person typed: empty or `unknown` is not known.
    #[must_use]
    pub fn typed(text: &str) -> Self {
        let text = text.trim();
        if text.is_empty() || text.eq_ignore_ascii_case("unknown") {
            return Self::Unknown;
        }
        Self::Text(composed(printable(text)))
    }

    /// The number, where it is one.
    #[must_use]
    pub fn number(&self) -> Option<Decimal> {
        match self {
            Self::Text(text) => text.parse().ok(),
            _ => None,
        }
    }

    /// Yes or no, where it is one; the words `yes`, `no`, `true` and `false` count.
    #[must_use]
    pub fn yes_no(&self) -> Option<bool> {
        match self {
            Self::YesNo(answer) => Some(*answer),
            Self::Text(text) => match text.to_ascii_lowercase().as_str() {
                "yes" | "true" => Some(true),
                "no" | "false" => Some(false),
                _ => None,
            },
            _ => None,
        }
    }

    fn not_too_deep<E: de::Error>(depth: u8) -> Result<(), E> {
        if depth > DEEPEST {
            return Err(E::custom(format!(
                "answers nested more than {DEEPEST} deep"
            )));
        }
        Ok(())
    }

    fn said<E: de::Error>(text: &str) -> Result<Self, E> {
        let length = text.chars().count();
        if length > LONGEST_TEXT {
            return Err(E::custom(format!(
                "a text of {length} characters; at most {LONGEST_TEXT}"
            )));
        }
        Ok(Self::typed(text))
    }

    /// A number keeps its digits as written.
    fn digits<E: de::Error>(raw: &str) -> Result<Self, E> {
        let digits: Decimal = raw.parse().map_err(E::custom)?;
        Ok(Self::Text(digits.to_string()))
    }

    fn of_json<E: de::Error>(json: &serde_json::Value, depth: u8) -> Result<Self, E> {
        use serde_json::Value as Json;
        Self::not_too_deep(depth)?;
        match json {
            Json::Null => Ok(Self::Unknown),
            Json::Bool(answer) => Ok(Self::YesNo(*answer)),
            Json::String(text) => Self::said(text),
            Json::Number(number) => Self::digits(&number.to_string()),
            Json::Array(items) => items
                .iter()
                .map(|item| Self::of_json(item, depth + 1))
                .collect::<Result<_, E>>()
                .map(Self::List),
            Json::Object(_) => Evidence::of_json_at(json, depth + 1).map(Self::Row),
        }
    }

    fn read<E: de::Error>(raw: &str, depth: u8) -> Result<Self, E> {
        Self::not_too_deep(depth)?;
        let inner = |error: serde_json::Error| E::custom(error);
        match raw.as_bytes().first() {
            Some(b'n') => Ok(Self::Unknown),
            Some(b't' | b'f') => serde_json::from_str(raw).map(Self::YesNo).map_err(inner),
            Some(b'"') => {
                let text: String = serde_json::from_str(raw).map_err(inner)?;
                Self::said(&text)
            }
            Some(b'[') => {
                let items: Vec<Box<RawValue>> = serde_json::from_str(raw).map_err(inner)?;
                let items: Result<_, E> = items
                    .iter()
                    .map(|item| Self::read(item.get(), depth + 1))
                    .collect();
                items.map(Self::List)
            }
            Some(b'{') => {
                let mut deserializer = serde_json::Deserializer::from_str(raw);
                deserializer
                    .deserialize_map(EvidenceVisitor { depth: depth + 1 })
                    .map(Self::Row)
                    .map_err(inner)
            }
            // What is left in JSON is a number.
            _ => Self::digits(raw),
        }
    }
}

/// Text without control characters, which no form or paper can show.
fn printable(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown => f.write_str("unknown"),
            Self::YesNo(true) => f.write_str("yes"),
            Self::YesNo(false) => f.write_str("no"),
            Self::Text(text) => f.write_str(text),
            Self::List(values) => {
                for (n, value) in values.iter().enumerate() {
                    if n > 0 {
                        f.write_str(", ")?;
                    }
                    write!(f, "{value}")?;
                }
                Ok(())
            }
            Self::Row(row) => {
                for (n, (name, value)) in row.iter().enumerate() {
                    if n > 0 {
                        f.write_str("; ")?;
                    }
                    write!(f, "{name}={value}")?;
                }
                Ok(())
            }
        }
    }
}

struct EvidenceVisitor {
    depth: u8,
}

impl<'de> Visitor<'de> for EvidenceVisitor {
    type Value = Evidence;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("answers by name")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Evidence, A::Error> {
        let mut answers = BTreeMap::new();
        while let Some(name) = map.next_key::<String>()? {
            let raw: Box<RawValue> = map.next_value()?;
            let value = Value::read(raw.get(), self.depth)?;
            if answers.insert(name.clone(), value).is_some() {
                return Err(de::Error::custom(format!("`{name}` is answered twice")));
            }
        }
        Ok(Evidence(answers))
    }
}

impl<'de> Deserialize<'de> for Evidence {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(EvidenceVisitor { depth: 0 })
    }
}

impl Serialize for Evidence {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(&self.0)
    }
}

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Unknown => serializer.serialize_none(),
            Self::YesNo(answer) => serializer.serialize_bool(*answer),
            Self::Text(text) => serializer.serialize_str(text),
            Self::List(values) => serializer.collect_seq(values),
            Self::Row(row) => row.serialize(serializer),
        }
    }
}

impl JsonSchema for Evidence {
    fn schema_name() -> Cow<'static, str> {
        "Evidence".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "answers by name; names carry the unit (`voltage_v`); null or \"unknown\" is not known; a table is a list of objects",
            "type": "object",
            "additionalProperties": {
                "type": ["null", "boolean", "string", "number", "array", "object"]
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn evidence(json: &str) -> Result<Evidence, String> {
        serde_json::from_str(json).map_err(|error| error.to_string())
    }

    #[test]
    fn the_digits_of_the_meter_survive() {
        let read = evidence(r#"{"voltage_v": 48.10, "current_a": 0.0}"#).unwrap();
        assert_eq!(read.text("voltage_v"), Some("48.10"));
        assert_eq!(
            serde_json::to_string(&read).unwrap(),
            r#"{"current_a":"0.0","voltage_v":"48.10"}"#
        );
    }

    #[test]
    fn reading_back_what_was_written_gives_the_same() {
        let json = r#"{"a":null,"b":true,"c":"x","d":["1","2"],"e":[{"f":"3.0","g":null}]}"#;
        let read = evidence(json).unwrap();
        assert_eq!(serde_json::to_string(&read).unwrap(), json);
        assert_eq!(
            evidence(&serde_json::to_string(&read).unwrap()).unwrap(),
            read
        );
    }

    #[test]
    fn a_name_answered_twice_is_refused() {
        assert!(
            evidence(r#"{"a":1,"a":2}"#)
                .unwrap_err()
                .contains("`a` is answered twice")
        );
        assert!(
            evidence(r#"{"t":[{"a":1,"a":2}]}"#)
                .unwrap_err()
                .contains("answered twice")
        );
    }

    #[test]
    fn huge_numbers_and_deep_nests_are_refused() {
        assert!(
            evidence(r#"{"a":1e400}"#)
                .unwrap_err()
                .contains("plain decimal")
        );
        assert!(
            evidence(r#"{"a":99999999999999999999}"#)
                .unwrap_err()
                .contains("more digits")
        );
        assert!(evidence(r#"{"a":NaN}"#).is_err());
        let deep = format!("{{\"a\":{}1{}}}", "[".repeat(60), "]".repeat(60));
        assert!(evidence(&deep).unwrap_err().contains("nested"));
    }

    #[test]
    fn unknown_is_said_in_three_ways() {
        let read = evidence(r#"{"a":null,"b":"unknown","c":""}"#).unwrap();
        assert!(read.iter().all(|(_, value)| *value == Value::Unknown));
    }

    #[test]
    fn an_entry_of_a_log_is_read_as_one_of_a_record() {
        for json in [
            r#"{"kind":"step","step":"C21","at":"2026-11-25T08:50:00+01:00","by":"nora","evidence":
                {"a":null,"b":true,"c":"x","d":["1",2,"unknown"],"e":[{"f":"3.0","g":[{"h":-7}]}],
                 "i":{"j":""}},"photos":[{"file":"a.jpg"}]}"#,
            r#"{"kind":"resume","at":"2026-11-25T08:50:00Z","by":"nora"}"#,
            r#"{"kind":"resume","at":"2026-11-25T08:50:00Z","by":"nora","evidence":[]}"#,
            r#"{"kind":"resume","at":"2026-11-25T08:50:00Z","by":"nora","other":1}"#,
            r#"{"kind":"resume","by":"nora"}"#,
            r#"{"kind":"resume","at":"2026-11-25T08:50:00Z","by":"nora","evidence":{"a":[[[[[[1]]]]]]}}"#,
            r#"{"kind":"resume","at":"2026-11-25T08:50:00Z","by":"nora","evidence":{"a":9999999999999999}}"#,
            "[]",
        ] {
            let tree: serde_json::Value = serde_json::from_str(json).unwrap();
            let of_record = serde_json::from_str::<Entry>(json).ok();
            assert_eq!(Entry::of_json(&tree).ok(), of_record, "{json}");
        }
    }

    #[test]
    fn a_photo_name_is_a_plain_file_name() {
        for (file, plain) in [
            ("m1-front.jpg", true),
            ("../m1.jpg", false),
            ("/etc/passwd", false),
            ("a\\b.jpg", false),
            ("C:x.jpg", false),
            ("~x", false),
            (".hidden", false),
            ("", false),
        ] {
            let photo = Photo {
                file: file.into(),
                sha256: None,
            };
            assert_eq!(photo.has_plain_name(), plain, "{file}");
        }
    }
}
