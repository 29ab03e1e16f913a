//! A row of CSV as a question: dotted heads become parts within parts, an empty cell is absent, and
//! a cell reads as the JSON that it spells, else as a text. No value is built on the way.

use serde::de::value::BorrowedStrDeserializer;
use serde::de::{DeserializeSeed, Deserializer, IntoDeserializer, MapAccess, Visitor};
use serde::forward_to_deserialize_any;
use serde_json::{Error, Number, Value};

use crate::physics::Figure;

/// The head of a CSV: each name with the column or the part behind it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Heads {
    fields: Vec<(String, Field)>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Field {
    Cell(usize),
    Part(Heads),
}

impl Heads {
    /// Puts a column under its dotted name.
    ///
    /// # Errors
    /// The name stands already, or is both a cell and a part.
    pub(super) fn put(&mut self, name: &str, column: usize) -> Result<(), String> {
        let (outer, inner) = match name.split_once('.') {
            Some((outer, inner)) => (outer, Some(inner)),
            None => (name, None),
        };
        let known = self.fields.iter_mut().find(|(name, _)| name == outer);
        match (known, inner) {
            (None, None) => self.fields.push((outer.to_owned(), Field::Cell(column))),
            (None, Some(inner)) => {
                let mut part = Self::default();
                part.put(inner, column)?;
                self.fields.push((outer.to_owned(), Field::Part(part)));
            }
            (Some((_, Field::Part(part))), Some(inner)) => part.put(inner, column)?,
            (Some(_), _) => return Err(format!("column `{name}` stands twice")),
        }
        Ok(())
    }

    fn is_empty_in(&self, cells: &[&str]) -> bool {
        self.fields
            .iter()
            .all(|(_, field)| field.is_empty_in(cells))
    }
}

impl Field {
    fn is_empty_in(&self, cells: &[&str]) -> bool {
        match self {
            Self::Cell(column) => cell(cells, *column).is_empty(),
            Self::Part(part) => part.is_empty_in(cells),
        }
    }
}

/// The cell of a column; it has no blanks around it.
pub(super) fn cell<'t>(cells: &[&'t str], column: usize) -> &'t str {
    cells.get(column).copied().unwrap_or_default()
}

/// A row under its heads.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row<'a> {
    pub(super) heads: &'a Heads,
    /// Without the blanks around each.
    pub(super) cells: &'a [&'a str],
}

impl<'de> Deserializer<'de> for Row<'de> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_map(Fields {
            row: self,
            next: 0,
            value: None,
        })
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

struct Fields<'de> {
    row: Row<'de>,
    next: usize,
    value: Option<&'de Field>,
}

impl<'de> MapAccess<'de> for Fields<'de> {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Error> {
        while let Some((name, field)) = self.row.heads.fields.get(self.next) {
            self.next += 1;
            let is_empty = match field {
                Field::Cell(column) => cell(self.row.cells, *column).is_empty(),
                Field::Part(part) => part.is_empty_in(self.row.cells),
            };
            if !is_empty {
                self.value = Some(field);
                return seed
                    .deserialize(BorrowedStrDeserializer::new(name))
                    .map(Some);
            }
        }
        Ok(None)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Error> {
        let cells = self.row.cells;
        match self.value.take() {
            Some(Field::Part(heads)) => seed.deserialize(Row { heads, cells }),
            Some(Field::Cell(column)) => seed.deserialize(Cell(cell(cells, *column))),
            None => Err(serde::de::Error::custom("a value without a key")),
        }
    }
}

/// A cell that is not empty.
#[derive(Clone, Copy)]
struct Cell<'de>(&'de str);

/// What a cell spells.
enum Spelt<'de> {
    Number(Number),
    Other(Value),
    Text(&'de str),
}

impl<'de> Cell<'de> {
    fn spelt(self) -> Spelt<'de> {
        let text = self.0;
        match text.as_bytes().first() {
            Some(b'-' | b'0'..=b'9') => {
                serde_json::from_str(text).map_or(Spelt::Text(text), Spelt::Number)
            }
            Some(b'"' | b'[' | b'{') => {
                serde_json::from_str(text).map_or(Spelt::Text(text), Spelt::Other)
            }
            _ => match text {
                "true" => Spelt::Other(Value::Bool(true)),
                "false" => Spelt::Other(Value::Bool(false)),
                "null" => Spelt::Other(Value::Null),
                _ => Spelt::Text(text),
            },
        }
    }
}

impl<'de> Deserializer<'de> for Cell<'de> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        if let Some(figure) = Figure::read(self.0) {
            return figure.visit(visitor);
        }
        match self.spelt() {
            Spelt::Number(number) => number.deserialize_any(visitor),
            Spelt::Other(value) => value.deserialize_any(visitor),
            Spelt::Text(text) => visitor.visit_borrowed_str(text),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        if self.0 == "null" {
            visitor.visit_none()
        } else {
            visitor.visit_some(self)
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self.spelt() {
            Spelt::Text(text) => visitor.visit_enum(text.into_deserializer()),
            Spelt::Other(value) => value.deserialize_enum(name, variants, visitor),
            Spelt::Number(number) => {
                Value::Number(number).deserialize_enum(name, variants, visitor)
            }
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}
