//! Reads facts: one object, an array, lines of JSON, or CSV; which of them is seen from the text.
//! One battery is held at a time, except for an array, which is read whole.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;
use std::str::FromStr;
use std::sync::OnceLock;

use chrono::NaiveDate;
use serde::de::DeserializeOwned;
use serde_json::value::RawValue;
use serde_json::{Map, Value};

use super::ActionError;
use super::facts_columns::{Column, Kind, columns};
use super::rows::{Bytes, Row, RowFault};
use crate::transport::{Facts, Mode, Regime};

/// Longest line of JSON, in bytes. One battery is one or two thousand.
const LONGEST_LINE: u64 = 1024 * 1024;
/// Largest object or array read whole, in bytes.
const LARGEST_WHOLE: u64 = 64 * 1024 * 1024;
const BUFFER: usize = 256 * 1024;

/// One leg to judge each battery for, instead of the one in its facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leg {
    /// The regime.
    pub regime: Regime,
    /// The mode, where the facts do not say it.
    pub mode: Option<Mode>,
}

impl FromStr for Leg {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (regime, mode) = match text.split_once(':') {
            Some((regime, mode)) => (regime, Some(mode)),
            None => (text, None),
        };
        let wrong =
            |what: &str| format!("`{text}` names no {what}; write such as adr or cfr49:road");
        Ok(Self {
            regime: word(regime).ok_or_else(|| wrong("regime"))?,
            mode: mode
                .map(|mode| word(mode).ok_or_else(|| wrong("mode")))
                .transpose()?,
        })
    }
}

fn word<T: DeserializeOwned>(text: &str) -> Option<T> {
    serde_json::from_value(Value::from(text)).ok()
}

/// What is said on the command line, which goes before what the facts say.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Said {
    /// Day of carriage.
    pub on: Option<NaiveDate>,
    /// The legs; empty: the one in the facts.
    pub legs: Vec<Leg>,
    /// Heads of CSV columns that are passed over.
    pub ignored: Vec<String>,
}

impl Said {
    /// The facts for each leg.
    pub(super) fn legs_of(&self, mut facts: Facts) -> Vec<Facts> {
        facts.on = self.on.or(facts.on);
        if self.legs.is_empty() {
            return vec![facts];
        }
        self.legs
            .iter()
            .map(|leg| {
                let mut facts = facts.clone();
                facts.regime = leg.regime;
                facts.mode = leg.mode.or(facts.mode);
                facts
            })
            .collect()
    }
}

/// The form that an input has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// One object, or several one after the other.
    Object,
    /// A JSON array.
    Array,
    /// One JSON object a line.
    Lines,
    /// CSV with dotted names as heads.
    Csv,
}

/// An input, with its name for messages.
pub(super) struct Source {
    pub(super) name: String,
    pub(super) size: Option<u64>,
    reader: BufReader<Box<dyn Read>>,
}

impl Source {
    /// The file, or standard input for `-`.
    pub(super) fn open(path: &Path) -> Result<Self, ActionError> {
        let (name, size, reader): (_, _, Box<dyn Read>) = if path == Path::new("-") {
            ("standard input".to_owned(), None, Box::new(io::stdin()))
        } else {
            let file = File::open(path).map_err(ActionError::file(path))?;
            let found = file.metadata().map_err(ActionError::file(path))?;
            if found.is_dir() {
                return Err(ActionError::input(
                    path.display(),
                    "",
                    "is a folder, not a file of facts",
                ));
            }
            (
                path.display().to_string(),
                Some(found.len()),
                Box::new(file),
            )
        };
        Ok(Self {
            name,
            size,
            reader: BufReader::with_capacity(BUFFER, reader),
        })
    }

    /// The whole text.
    pub(super) fn whole(&mut self) -> Result<String, ActionError> {
        let mut bytes = Vec::new();
        (&mut self.reader)
            .take(LARGEST_WHOLE + 1)
            .read_to_end(&mut bytes)
            .map_err(|why| self.broken(&why))?;
        if bytes.len() as u64 > LARGEST_WHOLE {
            return Err(self.wrong(
                "",
                format!(
                    "is larger than {} MiB as one piece; write one object a line, or CSV",
                    LARGEST_WHOLE / 1024 / 1024
                ),
            ));
        }
        let bytes = bytes
            .strip_prefix(b"\xef\xbb\xbf")
            .map_or(bytes.clone(), <[u8]>::to_vec);
        String::from_utf8(bytes).map_err(|error| {
            let at = error.utf8_error().valid_up_to();
            self.wrong("", format!("is not UTF-8 text (byte {at})"))
        })
    }

    fn wrong(&self, place: &str, why: impl Into<String>) -> ActionError {
        ActionError::input(&self.name, place, why)
    }

    fn broken(&self, why: &io::Error) -> ActionError {
        self.wrong("", why.to_string())
    }

    /// Which form it has; white space before the first sign and a byte order mark are passed over.
    fn form(&mut self) -> Result<Form, ActionError> {
        let mut first_read = true;
        loop {
            let (skip, form) = {
                let seen = match self.reader.fill_buf() {
                    Ok(seen) => seen,
                    Err(why) => return Err(ActionError::input(&self.name, "", why.to_string())),
                };
                if seen.is_empty() {
                    return Err(self.wrong("", "is empty"));
                }
                let mark = usize::from(first_read && seen.starts_with(b"\xef\xbb\xbf")) * 3;
                let blanks = seen
                    .iter()
                    .skip(mark)
                    .take_while(|byte| byte.is_ascii_whitespace())
                    .count();
                let form = match seen.get(mark + blanks) {
                    None => None,
                    Some(b'[') => Some(Form::Array),
                    Some(b'{') => Some(Form::Object),
                    Some(_) => Some(Form::Csv),
                };
                // Lines of CSV are counted from the first, so only the mark goes.
                let skip = if form == Some(Form::Csv) {
                    mark
                } else {
                    mark + blanks
                };
                (skip, form)
            };
            first_read = false;
            self.reader.consume(skip);
            if let Some(form) = form {
                return Ok(form);
            }
        }
    }

    /// The next line without its end, or `None` at the end of the text.
    fn line(&mut self, number: u64) -> Result<Option<String>, ActionError> {
        let mut bytes = Vec::new();
        (&mut self.reader)
            .take(LONGEST_LINE + 1)
            .read_until(b'\n', &mut bytes)
            .map_err(|why| self.broken(&why))?;
        if bytes.len() as u64 > LONGEST_LINE {
            let place = format!("line {number}");
            return Err(self.wrong(&place, format!("is longer than {LONGEST_LINE} bytes")));
        }
        if bytes.is_empty() {
            return Ok(None);
        }
        match String::from_utf8(bytes) {
            Ok(line) => Ok(Some(line)),
            Err(_) => Err(self.wrong(&format!("line {number}"), "is not UTF-8 text")),
        }
    }
}

/// Calls `each` with every battery of `source` in order; gives the form that the input has.
pub(super) fn each_of<E: From<ActionError>>(
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
            let text = source.whole()?;
            let parts: Vec<&RawValue> = serde_json::from_str(&text)
                .map_err(|error| json_fault(&source.name, "", &error))?;
            for (n, part) in parts.into_iter().enumerate() {
                let place = format!("object {}", n + 1);
                each(Form::Array, facts(part.get(), said, &source.name, &place)?)?;
            }
            Ok(Form::Array)
        }
        Form::Object | Form::Lines => {
            let first = source.line(1)?.unwrap_or_default();
            if serde_json::from_str::<serde::de::IgnoredAny>(&first).is_ok() {
                return lines(&mut source, &first, said, each);
            }
            let text = first + &source.whole()?;
            let parts = serde_json::Deserializer::from_str(&text).into_iter::<&RawValue>();
            for part in parts {
                let part = part.map_err(|error| json_fault(&source.name, "", &error))?;
                each(Form::Object, facts(part.get(), said, &source.name, "")?)?;
            }
            Ok(Form::Object)
        }
    }
}

fn lines<E: From<ActionError>>(
    source: &mut Source,
    first: &str,
    said: &Said,
    each: &mut dyn FnMut(Form, Facts) -> Result<(), E>,
) -> Result<Form, E> {
    let mut number = 1_u64;
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
    let place = if second.is_some() { "line 1" } else { "" };
    each(form, facts(first, said, &source.name, place)?)?;
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
fn facts(text: &str, said: &Said, name: &str, place: &str) -> Result<Facts, ActionError> {
    if !text.trim_start().starts_with('{') {
        return Err(ActionError::input(name, place, "is not an object of facts"));
    }
    let error = match serde_json::from_str::<Facts>(text) {
        Ok(facts) => {
            return match list_for_object(text, "") {
                None => Ok(facts),
                Some(fact) => Err(ActionError::input(
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
        return serde_json::from_str(&whole).map_err(|error| json_fault(name, place, &error));
    }
    Err(json_fault(name, place, &error))
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

/// A fault of JSON in words of ours: no Rust names, the known names apart from the sentence.
pub(super) fn json_fault(name: &str, place: &str, error: &serde_json::Error) -> ActionError {
    let text = error.to_string();
    let (what, at) = match text.rsplit_once(" at line ") {
        Some((what, at)) => (what, at.replace(" column ", ", column ")),
        None => (text.as_str(), String::new()),
    };
    let mut place = place.to_owned();
    // The reader of one line counts lines from that line, which would only confuse.
    if !at.is_empty() && !place.starts_with("line") {
        place = if place.is_empty() {
            format!("line {at}")
        } else {
            format!("{place}, its line {at}")
        };
    } else if let Some((_, column)) = at.split_once(", ") {
        place = format!("{place}, {column}");
    }
    let (what, known) = match what.split_once(", expected ") {
        Some((head, list)) if head.starts_with("unknown ") => (
            head.replace("unknown variant", "unknown word"),
            list.split('`')
                .skip(1)
                .step_by(2)
                .map(str::to_owned)
                .collect(),
        ),
        _ => (plain_words(what), Vec::new()),
    };
    ActionError::Input {
        name: name.to_owned(),
        place,
        why: what,
        known,
    }
}

/// `expected struct Item` says nothing to a reader.
fn plain_words(what: &str) -> String {
    for opener in ["expected struct ", "expected internally tagged enum "] {
        if let Some((head, _)) = what.split_once(opener) {
            return format!("{head}expected an object");
        }
    }
    what.replace("expected string or map", "expected a text")
        .replace("EOF while parsing", "the text ends inside")
        .replace("unit variant", "a word")
}

/// What a column of the file is to us.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Role {
    /// Passed over.
    Ignored,
    /// A fact.
    Fact(Column),
}

/// The rows of a CSV of facts.
pub(super) struct Rows {
    name: String,
    pub(super) size: Option<u64>,
    pub(super) bytes: Bytes,
    row: Row,
    line: u64,
    pub(super) roles: Vec<Role>,
    regime: Option<Regime>,
    has_regime: bool,
}

impl Rows {
    /// Reads the head. A head that is no fact, or stands twice, is refused by name.
    fn begin(source: Source, said: &Said) -> Result<Self, ActionError> {
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
            return Err(ActionError::input(&rows.name, "", "is empty"));
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
                    return Err(ActionError::Input {
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
    pub(super) fn open(
        mut source: Source,
        said: &Said,
    ) -> Result<Result<Self, Source>, ActionError> {
        Ok(match source.form()? {
            Form::Csv => Ok(Self::begin(source, said)?),
            _ => Err(source),
        })
    }

    fn take_row(&mut self) -> Result<bool, ActionError> {
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
    pub(super) fn next(&mut self) -> Result<bool, ActionError> {
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
    pub(super) fn look(&mut self) -> Result<Facts, ActionError> {
        let (line, taken) = (self.bytes.line, self.bytes.taken);
        if !self.next()? {
            return Err(self.wrong("ends in the middle of a row"));
        }
        self.bytes.back(line, taken);
        self.facts()
    }

    /// Reads on behind what is left.
    pub(super) fn more(&mut self) -> Result<(), ActionError> {
        self.bytes.more().map_err(|fault| self.broken(fault))
    }

    fn broken(&mut self, fault: RowFault) -> ActionError {
        self.line = self.bytes.line;
        self.wrong(match fault {
            RowFault::Io(why) => why.to_string(),
            RowFault::TooLarge => "one row is too large; is a quote left open".to_owned(),
        })
    }

    fn place(&self) -> String {
        format!("line {}", self.line)
    }

    fn wrong(&self, why: impl Into<String>) -> ActionError {
        ActionError::input(&self.name, self.place(), why)
    }

    /// The facts of the row.
    pub(super) fn facts(&self) -> Result<Facts, ActionError> {
        let mut object = Map::new();
        for (cell, role) in self.row.cells().zip(&self.roles) {
            let Role::Fact(column) = role else { continue };
            let place = || format!("{}, column `{}`", self.place(), column.name);
            let Ok(cell) = std::str::from_utf8(cell) else {
                return Err(ActionError::input(&self.name, place(), "is not UTF-8 text"));
            };
            let cell = cell.trim();
            if cell.is_empty() {
                continue;
            }
            let value = column.read(cell).map_err(|fault| ActionError::Input {
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
