//! An answer as JSON on one line, straight into a text: the same signs as `serde_json` writes.
//!
//! Over a million rows writing takes most of the time, so what answers are full of is quick: texts
//! without an escape go over whole, and figures of at most three places are whole numbers with a
//! point. What is rare is left to `serde_json`.

use std::fmt::Display;
use std::io::Write;

use serde::ser::{
    Error as _, Impossible, Serialize, SerializeMap, SerializeSeq, SerializeStruct, SerializeTuple,
    SerializeTupleStruct, Serializer,
};
use serde_json::Error;

use super::figure::{put_figure, put_whole};

/// Puts `answer` behind what is in `out`.
///
/// # Errors
/// A form that no answer has, such as a variant with named parts: a bug.
pub fn put_json(answer: &(impl Serialize + ?Sized), out: &mut Vec<u8>) -> Result<(), Error> {
    answer.serialize(JsonLine(out))
}

/// Writes behind what is in the text.
struct JsonLine<'o>(&'o mut Vec<u8>);

impl JsonLine<'_> {
    fn again(&mut self) -> JsonLine<'_> {
        JsonLine(self.0)
    }

    fn put(&mut self, text: &str) {
        let text = text.as_bytes();
        let (Some(first), Some(last)) = (text.first_chunk::<8>(), text.last_chunk::<8>()) else {
            self.0.extend_from_slice(text);
            return;
        };
        // Most names have eight to sixteen letters: two words, put whole and cut to their length.
        if let more @ 1..=8 = text.len() - 8 {
            let end = self.0.len() + text.len();
            let behind = u64::from_le_bytes(*last) >> (64 - 8 * more);
            self.0.extend_from_slice(first);
            self.0.extend_from_slice(&behind.to_le_bytes());
            self.0.truncate(end);
        } else {
            self.0.extend_from_slice(text);
        }
    }

    fn slowly(self, value: &(impl Serialize + ?Sized)) -> Result<(), Error> {
        serde_json::to_writer(self.0, value)
    }

    fn quoted(mut self, text: &str) -> Result<(), Error> {
        if needs_escape(text.as_bytes()) {
            return self.slowly(text);
        }
        self.0.push(b'"');
        self.put(text);
        self.0.push(b'"');
        Ok(())
    }
}

impl<'o> Serializer for JsonLine<'o> {
    type Ok = ();
    type Error = Error;
    type SerializeSeq = Parts<'o>;
    type SerializeTuple = Parts<'o>;
    type SerializeTupleStruct = Parts<'o>;
    type SerializeTupleVariant = Impossible<(), Error>;
    type SerializeMap = Parts<'o>;
    type SerializeStruct = Parts<'o>;
    type SerializeStructVariant = Impossible<(), Error>;

    fn serialize_f64(self, value: f64) -> Result<(), Error> {
        if put_figure(self.0, value) {
            return Ok(());
        }
        self.slowly(&value)
    }

    fn serialize_f32(self, value: f32) -> Result<(), Error> {
        self.slowly(&value)
    }

    fn serialize_bool(mut self, value: bool) -> Result<(), Error> {
        self.put(if value { "true" } else { "false" });
        Ok(())
    }

    fn serialize_u64(self, value: u64) -> Result<(), Error> {
        put_whole(self.0, value);
        Ok(())
    }

    fn serialize_u8(self, value: u8) -> Result<(), Error> {
        self.serialize_u64(value.into())
    }

    fn serialize_u16(self, value: u16) -> Result<(), Error> {
        self.serialize_u64(value.into())
    }

    fn serialize_u32(self, value: u32) -> Result<(), Error> {
        self.serialize_u64(value.into())
    }

    fn serialize_i64(self, value: i64) -> Result<(), Error> {
        self.slowly(&value)
    }

    fn serialize_i8(self, value: i8) -> Result<(), Error> {
        self.slowly(&value)
    }

    fn serialize_i16(self, value: i16) -> Result<(), Error> {
        self.slowly(&value)
    }

    fn serialize_i32(self, value: i32) -> Result<(), Error> {
        self.slowly(&value)
    }

    fn serialize_char(self, value: char) -> Result<(), Error> {
        self.slowly(&value)
    }

    fn serialize_str(self, text: &str) -> Result<(), Error> {
        self.quoted(text)
    }

    fn serialize_bytes(self, bytes: &[u8]) -> Result<(), Error> {
        self.slowly(bytes)
    }

    fn serialize_none(self) -> Result<(), Error> {
        self.serialize_unit()
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Error> {
        value.serialize(self)
    }

    fn serialize_unit(mut self) -> Result<(), Error> {
        self.put("null");
        Ok(())
    }

    fn serialize_unit_struct(self, _name: &'static str) -> Result<(), Error> {
        self.serialize_unit()
    }

    fn serialize_unit_variant(
        self,
        _name: &'static str,
        _index: u32,
        variant: &'static str,
    ) -> Result<(), Error> {
        self.quoted(variant)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        value: &T,
    ) -> Result<(), Error> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        _index: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), Error> {
        let mut one = Parts::begin(self, *b"{}");
        one.field(variant, value)?;
        one.close()
    }

    fn serialize_seq(self, _len: Option<usize>) -> Result<Parts<'o>, Error> {
        Ok(Parts::begin(self, *b"[]"))
    }

    fn serialize_tuple(self, _len: usize) -> Result<Parts<'o>, Error> {
        Ok(Parts::begin(self, *b"[]"))
    }

    fn serialize_tuple_struct(self, _name: &'static str, _len: usize) -> Result<Parts<'o>, Error> {
        Ok(Parts::begin(self, *b"[]"))
    }

    fn serialize_tuple_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _len: usize,
    ) -> Result<Impossible<(), Error>, Error> {
        Err(not_a_form())
    }

    fn serialize_map(self, _len: Option<usize>) -> Result<Parts<'o>, Error> {
        Ok(Parts::begin(self, *b"{}"))
    }

    fn serialize_struct(self, _name: &'static str, _len: usize) -> Result<Parts<'o>, Error> {
        Ok(Parts::begin(self, *b"{}"))
    }

    fn serialize_struct_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _len: usize,
    ) -> Result<Impossible<(), Error>, Error> {
        Err(not_a_form())
    }

    fn collect_str<T: Display + ?Sized>(self, value: &T) -> Result<(), Error> {
        self.0.push(b'"');
        let begun = self.0.len();
        write!(self.0, "{value}").map_err(Error::custom)?;
        if self.0.get(begun..).is_some_and(needs_escape) {
            let text = self.0.split_off(begun);
            self.0.pop();
            return self.slowly(&String::from_utf8_lossy(&text));
        }
        self.0.push(b'"');
        Ok(())
    }
}

/// No early end, so that many bytes are looked at in one step.
fn needs_escape(text: &[u8]) -> bool {
    let escaped =
        |byte: u8| u8::from(byte < b' ') | u8::from(byte == b'"') | u8::from(byte == b'\\');
    text.iter().fold(0, |found, byte| found | escaped(*byte)) != 0
}

/// No answer has parts behind the name of a variant.
fn not_a_form() -> Error {
    Error::custom("an answer of this form cannot be written on a line")
}

/// What stands between two brackets.
struct Parts<'o> {
    line: JsonLine<'o>,
    closing: u8,
    any: bool,
}

impl<'o> Parts<'o> {
    fn begin(line: JsonLine<'o>, brackets: [u8; 2]) -> Self {
        let [opening, closing] = brackets;
        line.0.push(opening);
        Self {
            line,
            closing,
            any: false,
        }
    }

    fn comma(&mut self) {
        if self.any {
            self.line.0.push(b',');
        }
        self.any = true;
    }

    fn element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        self.comma();
        value.serialize(self.line.again())
    }

    /// The name of a field in a source needs no escape.
    fn field<T: Serialize + ?Sized>(&mut self, name: &'static str, value: &T) -> Result<(), Error> {
        self.comma();
        self.line.0.push(b'"');
        self.line.put(name);
        self.line.put("\":");
        value.serialize(self.line.again())
    }

    fn close(self) -> Result<(), Error> {
        self.line.0.push(self.closing);
        Ok(())
    }
}

impl SerializeSeq for Parts<'_> {
    type Ok = ();
    type Error = Error;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        self.element(value)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl SerializeTuple for Parts<'_> {
    type Ok = ();
    type Error = Error;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        self.element(value)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl SerializeTupleStruct for Parts<'_> {
    type Ok = ();
    type Error = Error;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        self.element(value)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl SerializeStruct for Parts<'_> {
    type Ok = ();
    type Error = Error;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), Error> {
        self.field(name, value)
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

impl SerializeMap for Parts<'_> {
    type Ok = ();
    type Error = Error;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Error> {
        self.comma();
        let mut name = Vec::new();
        key.serialize(JsonLine(&mut name))?;
        // A number as a key is a text.
        if name.first() != Some(&b'"') {
            name.insert(0, b'"');
            name.push(b'"');
        }
        self.line.0.extend_from_slice(&name);
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        self.line.0.push(b':');
        value.serialize(self.line.again())
    }

    fn end(self) -> Result<(), Error> {
        self.close()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    fn line(value: &impl Serialize) -> String {
        let mut out = Vec::new();
        put_json(value, &mut out).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn figures_are_those_of_serde_json() {
        let mut figures = vec![
            0.0,
            -0.0,
            0.1,
            0.3,
            1.0 / 3.0,
            2.675,
            100.0,
            35.25,
            99.999,
            1e-5,
            5e-324,
            1e10,
            1e11,
            99_999_999_999.999,
            123_456_789.125,
            1e16,
            1e300,
            f64::NAN,
            f64::INFINITY,
            -1.5,
        ];
        // A plain generator of bits; most are no figures of few places.
        let mut bits = 0x9e37_79b9_7f4a_7c15_u64;
        for n in 0..200_000_u32 {
            bits = bits.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            figures.push(f64::from_bits(bits));
            figures.push(f64::from(n) / 1000.0);
            figures.push(f64::from(n * 20_011) / 100.0);
            figures.push(f64::from((bits >> 33) as u32) / 1000.0);
        }
        for figure in figures {
            assert_eq!(line(&figure), serde_json::to_string(&figure).unwrap());
        }
    }

    #[derive(serde::Serialize)]
    enum Kind {
        Plain,
        Holding(Vec<u8>),
    }

    #[derive(serde::Serialize)]
    struct All {
        none: Option<u8>,
        some: Option<&'static str>,
        kinds: (Kind, Kind),
        map: BTreeMap<u8, (i8, bool)>,
        names: BTreeMap<&'static str, char>,
        empty: [u8; 0],
        large: u64,
        unit: (),
        shown: Shown,
    }

    /// Put by its words.
    struct Shown(&'static str);

    impl Serialize for Shown {
        fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            serializer.collect_str(self.0)
        }
    }

    #[test]
    fn every_form_is_that_of_serde_json() {
        for text in [
            "",
            "plain",
            "eight123",
            "nine12345",
            "fifteen12345678",
            "sixteen123456789",
            "seventeen12345678",
            "with \"quotes\"",
            "line\nend",
            "back\\slash",
            "\u{7f}\u{e9}\u{1}",
        ] {
            let text: &'static str = text;
            let all = All {
                none: None,
                some: Some(text),
                kinds: (Kind::Plain, Kind::Holding(vec![0, 9, 10, 99, 100, 255])),
                map: BTreeMap::from([(1, (-1, true)), (20, (5, false))]),
                names: BTreeMap::from([(text, 'x'), ("other", '"')]),
                empty: [],
                large: u64::MAX,
                unit: (),
                shown: Shown(text),
            };
            assert_eq!(line(&all), serde_json::to_string(&all).unwrap());
        }
    }
}
