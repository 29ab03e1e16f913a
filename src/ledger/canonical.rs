//! JSON with one text for one value: strict reading, and the bytes that are hashed (RFC 8785).
//!
//! RFC 8785 writes numbers as IEEE doubles, so `48.10` and `48.1`, or two large integers, would
//! hash alike. Whole numbers within ±(2^53 - 1) are therefore the only numbers taken.

use std::cell::RefCell;
use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::map::Entry;
use serde_json::{Map, Number, Value};

use super::error::LedgerError;

/// The largest whole number that every JSON reader keeps exactly: 2^53 - 1 (RFC 7493 section 2.2).
pub const MAX_INTEGER: u64 = 9_007_199_254_740_991;

/// How many values may stand within one another; the reader stops at 128.
pub const MAX_DEPTH: usize = 100;

/// Which numbers a text may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Numbers {
    /// Whole numbers within ±[`MAX_INTEGER`]: everything that is hashed.
    Whole,
    /// Fractions too. Such a value cannot enter the ledger.
    Any,
}

/// The bytes of `value` by RFC 8785.
///
/// # Errors
/// A fraction, a number beyond ±[`MAX_INTEGER`], or nesting beyond [`MAX_DEPTH`], with its place.
pub fn canonical_bytes(value: &Value) -> Result<Vec<u8>, LedgerError> {
    let mut bytes = Vec::with_capacity(256);
    write_checked(value, &mut bytes)?;
    Ok(bytes)
}

/// Appends the RFC 8785 bytes of `value` if its numbers are exact.
pub(super) fn write_checked(value: &Value, bytes: &mut Vec<u8>) -> Result<(), LedgerError> {
    refuse_inexact(value, &Path::Root)?;
    if has_ascii_keys(value) {
        // A map is kept in order of UTF-8 bytes, which for ASCII keys is the order of UTF-16 units
        // that RFC 8785 section 3.2.3 asks for; whole numbers and texts are written alike. The
        // plain writer then gives the same bytes, several times faster.
        return serde_json::to_writer(bytes, value).map_err(|error| not_written(&error));
    }
    write_canonical(value, bytes)
}

fn has_ascii_keys(value: &Value) -> bool {
    match value {
        Value::Array(items) => items.iter().all(has_ascii_keys),
        Value::Object(members) => members
            .iter()
            .all(|(key, member)| key.is_ascii() && has_ascii_keys(member)),
        _ => true,
    }
}

/// Appends the RFC 8785 bytes of a value whose numbers have been checked.
pub(super) fn write_canonical(
    value: &(impl serde::Serialize + ?Sized),
    bytes: &mut Vec<u8>,
) -> Result<(), LedgerError> {
    serde_json_canonicalizer::to_writer(&value, bytes).map_err(|error| not_written(&error))
}

/// Appends a text. The plain writer escapes exactly what RFC 8785 section 3.2.2.2 asks for, and is
/// several times faster than the canonical one.
pub(super) fn write_text(text: &str, bytes: &mut Vec<u8>) -> Result<(), LedgerError> {
    serde_json::to_writer(bytes, text).map_err(|error| not_written(&error))
}

fn not_written(error: &serde_json::Error) -> LedgerError {
    LedgerError::NotJson {
        why: error.to_string(),
        unfinished: false,
    }
}

/// Reads one JSON value and refuses what two readers could take for two values.
///
/// # Errors
/// No JSON, a key that is there twice, or a number outside `numbers`, with its place.
pub fn parse_json(text: &str, numbers: Numbers) -> Result<Value, LedgerError> {
    let refusal = RefCell::new(None);
    let mut json = serde_json::Deserializer::from_str(text);
    let strict = Strict {
        numbers,
        path: &Path::Root,
        refusal: &refusal,
    };
    let read = strict
        .deserialize(&mut json)
        .and_then(|value| json.end().map(|()| value));
    read.map_err(|error| {
        refusal.take().unwrap_or_else(|| LedgerError::NotJson {
            unfinished: error.is_eof(),
            why: error.to_string(),
        })
    })
}

/// A place in a value, kept on the stack while walking and spelt out only for a refusal.
enum Path<'p> {
    Root,
    Key(&'p Path<'p>, &'p str),
    Index(&'p Path<'p>, usize),
}

impl Path<'_> {
    fn depth(&self) -> usize {
        match self {
            Self::Root => 0,
            Self::Key(above, _) | Self::Index(above, _) => above.depth() + 1,
        }
    }
}

impl fmt::Display for Path<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Root => Ok(()),
            Self::Key(above, key) => {
                write!(f, "{above}/{}", key.replace('~', "~0").replace('/', "~1"))
            }
            Self::Index(above, index) => write!(f, "{above}/{index}"),
        }
    }
}

fn is_exact(number: &Number) -> bool {
    number.as_u64().is_some_and(|whole| whole <= MAX_INTEGER)
        || number
            .as_i64()
            .is_some_and(|whole| whole.unsigned_abs() <= MAX_INTEGER)
}

fn refuse_inexact(value: &Value, path: &Path<'_>) -> Result<(), LedgerError> {
    match value {
        Value::Number(number) if !is_exact(number) => Err(LedgerError::Number {
            pointer: path.to_string(),
        }),
        Value::Array(_) | Value::Object(_) if path.depth() >= MAX_DEPTH => {
            Err(LedgerError::TooDeep {
                pointer: path.to_string(),
            })
        }
        Value::Array(items) => items
            .iter()
            .enumerate()
            .try_for_each(|(at, item)| refuse_inexact(item, &Path::Index(path, at))),
        Value::Object(members) => members
            .iter()
            .try_for_each(|(key, member)| refuse_inexact(member, &Path::Key(path, key))),
        _ => Ok(()),
    }
}

/// Builds a [`Value`] as the library would, but looks at every key and number.
struct Strict<'p> {
    numbers: Numbers,
    path: &'p Path<'p>,
    refusal: &'p RefCell<Option<LedgerError>>,
}

impl Strict<'_> {
    fn refuse<E: serde::de::Error>(&self, why: LedgerError) -> E {
        self.refusal.replace(Some(why));
        E::custom("refused")
    }

    fn number<E: serde::de::Error>(&self, number: Number) -> Result<Value, E> {
        if self.numbers == Numbers::Any && number.is_f64() || is_exact(&number) {
            Ok(Value::Number(number))
        } else {
            Err(self.refuse(LedgerError::Number {
                pointer: self.path.to_string(),
            }))
        }
    }
}

impl<'de> DeserializeSeed<'de> for Strict<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Strict<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(value.to_owned()))
    }

    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(Value::String(value))
    }

    fn visit_u64<E: serde::de::Error>(self, value: u64) -> Result<Value, E> {
        self.number(value.into())
    }

    fn visit_i64<E: serde::de::Error>(self, value: i64) -> Result<Value, E> {
        self.number(value.into())
    }

    fn visit_f64<E: serde::de::Error>(self, value: f64) -> Result<Value, E> {
        match Number::from_f64(value) {
            Some(number) => self.number(number),
            None => Err(E::custom("not a number")),
        }
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<Value, A::Error> {
        let mut items = Vec::new();
        loop {
            let path = Path::Index(self.path, items.len());
            let Some(item) = access.next_element_seed(Strict {
                path: &path,
                ..self
            })?
            else {
                return Ok(Value::Array(items));
            };
            items.push(item);
        }
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Value, A::Error> {
        let mut members = Map::new();
        while let Some(key) = access.next_key::<String>()? {
            match members.entry(key) {
                Entry::Occupied(known) => {
                    let pointer = Path::Key(self.path, known.key()).to_string();
                    return Err(self.refuse(LedgerError::RepeatedKey { pointer }));
                }
                Entry::Vacant(room) => {
                    let path = Path::Key(self.path, room.key());
                    let member = access.next_value_seed(Strict {
                        path: &path,
                        ..self
                    })?;
                    room.insert(member);
                }
            }
        }
        Ok(Value::Object(members))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn pointer(result: Result<impl fmt::Debug, LedgerError>) -> String {
        match result.unwrap_err() {
            LedgerError::Number { pointer }
            | LedgerError::RepeatedKey { pointer }
            | LedgerError::TooDeep { pointer } => pointer,
            other => panic!("{other}"),
        }
    }

    #[test]
    fn the_plain_writer_gives_the_canonical_bytes_where_it_is_used() {
        let value: Value = serde_json::from_str(
            r#"{"b":[1,-2,9007199254740991,true,null],"a":{"_":"\u0000\b\f\n\r\t\"\\/é€𝄞\u007f","A":"","a":[]}}"#,
        )
        .unwrap();
        let (mut plain, mut canonical) = (Vec::new(), Vec::new());
        write_checked(&value, &mut plain).unwrap();
        write_canonical(&value, &mut canonical).unwrap();
        assert!(has_ascii_keys(&value));
        assert_eq!(
            String::from_utf8(plain).unwrap(),
            String::from_utf8(canonical).unwrap()
        );
        // Here the orders differ: U+FB33 sorts before U+1D11E in bytes, after it in UTF-16 units.
        let other: Value = serde_json::from_str(r#"{"\ufb33":1,"𝄞":2}"#).unwrap();
        let mut bytes = Vec::new();
        write_checked(&other, &mut bytes).unwrap();
        assert_eq!(
            String::from_utf8(bytes).unwrap(),
            "{\"𝄞\":2,\"\u{fb33}\":1}"
        );
    }

    #[test]
    fn a_number_that_could_be_read_in_two_ways_is_refused_with_its_place() {
        for (text, place) in [
            (r#"{"readings":[{"voltage":48.10}]}"#, "/readings/0/voltage"),
            (r#"{"a/b":{"c~d":9007199254740992}}"#, "/a~1b/c~0d"),
            ("[0,-9007199254740992]", "/1"),
            ("1e3", ""),
            ("-0", ""),
            ("18446744073709551616", ""),
        ] {
            assert_eq!(pointer(parse_json(text, Numbers::Whole)), place, "{text}");
            let lax: Value = serde_json::from_str(text).unwrap();
            assert_eq!(pointer(canonical_bytes(&lax)), place, "{text}");
        }
        for text in ["9007199254740991", "-9007199254740991", "0"] {
            let value = parse_json(text, Numbers::Whole).unwrap();
            assert_eq!(canonical_bytes(&value).unwrap(), text.as_bytes());
        }
    }

    #[test]
    fn fractions_are_read_only_where_the_caller_asks() {
        assert_eq!(
            parse_json(r#"{"lat":50.9}"#, Numbers::Any),
            Ok(json!({"lat":50.9}))
        );
        assert_eq!(
            pointer(parse_json("[9007199254740993]", Numbers::Any)),
            "/0"
        );
    }

    #[test]
    fn a_key_that_is_there_twice_is_named() {
        let twice = r#"{"a":1,"b":[{"x":1,"\u0078":2}]}"#;
        assert_eq!(pointer(parse_json(twice, Numbers::Any)), "/b/0/x");
    }

    #[test]
    fn an_unfinished_text_is_told_from_a_wrong_one() {
        let unfinished = |text| match parse_json(text, Numbers::Whole) {
            Err(LedgerError::NotJson { unfinished, .. }) => unfinished,
            other => panic!("{other:?}"),
        };
        assert!(unfinished(r#"{"a":"#));
        assert!(unfinished(""));
        assert!(!unfinished("{} {}"));
        assert!(!unfinished("{a:1}"));
        assert!(!unfinished(&"[".repeat(200)));
    }

    #[test]
    fn the_plain_writer_escapes_a_text_as_the_canonical_one() {
        for letter in ('\0'..='\u{2ff}').chain(['\u{2028}', '\u{fffd}', '\u{1f600}']) {
            let text = format!("a{letter}b");
            let (mut plain, mut canonical) = (Vec::new(), Vec::new());
            write_text(&text, &mut plain).unwrap();
            write_canonical(&text, &mut canonical).unwrap();
            assert_eq!(plain, canonical, "{letter:?}");
        }
    }

    #[test]
    fn what_can_be_written_can_be_read_again() {
        let mut nested = json!(1);
        for _ in 0..MAX_DEPTH {
            nested = json!([nested]);
        }
        let bytes = canonical_bytes(&nested).unwrap();
        let text = std::str::from_utf8(&bytes).unwrap();
        assert_eq!(parse_json(text, Numbers::Whole), Ok(nested.clone()));
        assert_eq!(
            pointer(canonical_bytes(&json!([nested]))),
            "/0".repeat(MAX_DEPTH)
        );
    }
}
