//! A CSV of facts, row by row: the head says what each column is.

use serde_json::{Map, Value};

use super::columns::{Column, columns};
use super::fault::json_fault;
use super::lines::{Bytes, Row, RowFault};
use super::source::Source;
use super::{Form, Said};
use crate::store::StoreError;
use crate::transport::{Facts, Regime};

/// What a column of the file is to us.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Role {
    /// Passed over.
    Ignored,
    /// A fact.
    Fact(Column),
}

/// The rows of a CSV of facts.
pub(crate) struct Rows {
    name: String,
    pub(crate) size: Option<u64>,
    pub(crate) bytes: Bytes,
    row: Row,
    line: u64,
    pub(crate) roles: Vec<Role>,
    regime: Option<Regime>,
    has_regime: bool,
}

impl Rows {
    /// Reads the head. A head that is no fact, or stands twice, is refused by name.
    pub(super) fn begin(source: Source, said: &Said) -> Result<Self, StoreError> {
        let regime = said.legs.first().map(|leg| leg.regime);
        let mut rows = Self {
            name: source.name,
            size: source.size,
            bytes: Bytes::new(Box::new(source.reader)),
            row: Row::default(),
            line: 0,
            roles: Vec::new(),
            regime,
            has_regime: false,
        };
        if !rows.take_row()? {
            return Err(StoreError::input(&rows.name, "", "is empty"));
        }
        let known = columns();
        let mut seen: Vec<String> = Vec::new();
        for head in rows.row.cells() {
            let Ok(head) = std::str::from_utf8(head) else {
                return Err(rows.wrong("is not UTF-8 text"));
            };
            let head = head.trim();
            if seen.iter().any(|known| known == head) {
                return Err(rows.wrong(format!("column `{}` stands twice", short(head))));
            }
            seen.push(head.to_owned());
            if said.ignored.iter().any(|ignored| ignored == head) {
                rows.roles.push(Role::Ignored);
                continue;
            }
            match known.iter().find(|column| column.name == head) {
                Some(column) => rows.roles.push(Role::Fact(column.clone())),
                None => {
                    let parts = known
                        .iter()
                        .filter(|column| {
                            column
                                .name
                                .strip_prefix(head)
                                .is_some_and(|rest| rest.starts_with('.'))
                        })
                        .map(|column| format!("`{}`", column.name));
                    let parts: Vec<String> = parts.collect();
                    if !parts.is_empty() {
                        return Err(rows.wrong(format!(
                            "column `{}` is written in parts: {}",
                            short(head),
                            parts.join(", ")
                        )));
                    }
                    return Err(StoreError::Input {
                        place: rows.place(),
                        name: rows.name,
                        why: format!("unknown column `{}`", short(head)),
                        known: known.into_iter().map(|column| column.name).collect(),
                    });
                }
            }
        }
        rows.has_regime = seen.iter().any(|head| head == "regime");
        if !rows.has_regime && regime.is_none() {
            return Err(rows.wrong("there is no column `regime`, and --regime is not given"));
        }
        Ok(rows)
    }

    /// The rows of a file that is CSV, or the file itself where it has another form.
    pub(crate) fn open(
        mut source: Source,
        said: &Said,
    ) -> Result<Result<Self, Source>, StoreError> {
        Ok(match source.form()? {
            Form::Csv => Ok(Self::begin(source, said)?),
            _ => Err(source),
        })
    }

    fn take_row(&mut self) -> Result<bool, StoreError> {
        match self.bytes.row(&mut self.row) {
            Ok(Some(line)) => {
                self.line = line;
                Ok(true)
            }
            Ok(None) => Ok(false),
            Err(fault) => Err(self.broken(fault)),
        }
    }

    /// Reads the next row; `false` at the end.
    pub(crate) fn next(&mut self) -> Result<bool, StoreError> {
        if !self.take_row()? {
            return Ok(false);
        }
        if self.row.len() != self.roles.len() {
            return Err(self.wrong(format!(
                "has {} cells, but the head has {}",
                self.row.len(),
                self.roles.len()
            )));
        }
        Ok(true)
    }

    /// The facts of the next row, which stays where it is.
    pub(crate) fn look(&mut self) -> Result<Facts, StoreError> {
        let (line, taken) = (self.bytes.line, self.bytes.taken);
        if !self.next()? {
            return Err(self.wrong("ends in the middle of a row"));
        }
        self.bytes.back(line, taken);
        self.facts()
    }

    /// Reads on behind what is left.
    pub(crate) fn more(&mut self) -> Result<(), StoreError> {
        self.bytes.more().map_err(|fault| self.broken(fault))
    }

    fn broken(&mut self, fault: RowFault) -> StoreError {
        self.line = self.bytes.line;
        self.wrong(match fault {
            RowFault::Io(why) => why.to_string(),
            RowFault::TooLarge => "one row is too large; is a quote left open".to_owned(),
        })
    }

    fn place(&self) -> String {
        format!("line {}", self.line)
    }

    fn wrong(&self, why: impl Into<String>) -> StoreError {
        StoreError::input(&self.name, self.place(), why)
    }

    /// The facts of the row.
    pub(crate) fn facts(&self) -> Result<Facts, StoreError> {
        let mut object = Map::new();
        for (cell, role) in self.row.cells().zip(&self.roles) {
            let Role::Fact(column) = role else { continue };
            let place = || format!("{}, column `{}`", self.place(), column.name);
            let Ok(cell) = std::str::from_utf8(cell) else {
                return Err(StoreError::input(&self.name, place(), "is not UTF-8 text"));
            };
            let cell = cell.trim();
            if cell.is_empty() {
                continue;
            }
            let value = column.read(cell).map_err(|fault| StoreError::Input {
                name: self.name.clone(),
                place: place(),
                why: fault.why,
                known: fault.known,
            })?;
            column.put(&mut object, value);
        }
        if let (false, Some(regime)) = (self.has_regime, self.regime) {
            object.insert("regime".into(), Value::from(regime.name()));
        }
        serde_json::from_value(Value::Object(object))
            .map_err(|error| json_fault(&self.name, &self.place(), &error))
    }
}

fn short(text: &str) -> String {
    text.chars().take(60).collect()
}
