//! Columns of a CSV paper as rows of data: head, grammar and schema from one place.
//!
//! RFC 4180: one head row, CRLF after every line, UTF-8 without a byte-order mark, an empty cell
//! for "not known". A cell outside its column's grammar is never written.

use std::fmt;

use serde_json::{Value, json};

use crate::clock::Moment;
use crate::papers::PaperError;
use crate::papers::cell::{TEXT_PATTERN, marked, plain_text, push_quoted, unmarked};
use crate::units::Decimal;

/// Line end of every CSV paper.
pub(crate) const LINE_END: &str = "\r\n";

/// What a column may hold.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kind {
    /// One of these words.
    Code(&'static [&'static str]),
    /// A lower-case UUID.
    EventId,
    /// One SHA-256 in lower-case hex.
    Hash,
    /// SHA-256 hashes with one blank between.
    Hashes,
    /// RFC 3339 with the local offset.
    LocalTime,
    /// A decimal number, a real minus allowed; from `least` to `most`.
    Number {
        /// Lowest value.
        least: Option<i32>,
        /// Highest value.
        most: Option<i32>,
    },
    /// Free text in the grammar of `cell`.
    Text,
    /// RFC 3339 in UTC with milliseconds and `Z`.
    UtcTime,
    /// A whole number from 0.
    Whole,
}

impl Kind {
    /// Any decimal number.
    pub(crate) const NUMBER: Self = Self::Number {
        least: None,
        most: None,
    };
    /// A decimal number not below zero.
    pub(crate) const AMOUNT: Self = Self::Number {
        least: Some(0),
        most: None,
    };
    /// 0 to 100.
    pub(crate) const PERCENT: Self = Self::Number {
        least: Some(0),
        most: Some(100),
    };
    /// `yes` or `no`.
    pub(crate) const YES_NO: Self = Self::Code(&["yes", "no"]);

    /// Whether a cell that is not empty fits.
    pub(crate) fn accepts(self, cell: &str) -> bool {
        match self {
            Self::Code(words) => words.contains(&cell),
            Self::EventId => is_event_id(cell),
            Self::Hash => is_hash(cell),
            Self::Hashes => cell.split(' ').all(is_hash),
            Self::LocalTime => cell
                .parse::<Moment>()
                .is_ok_and(|moment| moment.local() == cell),
            Self::Number { least, most } => cell.parse::<Decimal>().is_ok_and(|number| {
                least.is_none_or(|least| number >= Decimal::whole(least))
                    && most.is_none_or(|most| number <= Decimal::whole(most))
            }),
            Self::Text => unmarked(cell).is_some(),
            Self::UtcTime => cell
                .parse::<Moment>()
                .is_ok_and(|moment| moment.utc() == cell),
            Self::Whole => cell.bytes().all(|b| b.is_ascii_digit()) && cell.parse::<u64>().is_ok(),
        }
    }

    /// What a cell that does not fit is not.
    pub(crate) const fn wanted(self) -> &'static str {
        match self {
            Self::Code(_) => "one of the column's words",
            Self::EventId => "a lower-case UUID",
            Self::Hash => "a SHA-256 in lower-case hex",
            Self::Hashes => "a list of SHA-256 in lower-case hex, one blank between",
            Self::LocalTime => "a local time with its offset",
            Self::Number { .. } => "a decimal number in the column's range",
            Self::Text => "a text in one line with `'` before a sign that begins a formula",
            Self::UtcTime => "a time in UTC with milliseconds and Z",
            Self::Whole => "a whole number from 0",
        }
    }

    /// Type and constraints as a table schema has them.
    fn schema(self) -> (&'static str, Value) {
        match self {
            Self::Code(words) => ("string", json!({ "enum": words })),
            Self::EventId => (
                "string",
                json!({ "pattern": "^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$" }),
            ),
            Self::Hash => ("string", json!({ "pattern": "^[0-9a-f]{64}$" })),
            Self::Hashes => (
                "string",
                json!({ "pattern": "^[0-9a-f]{64}( [0-9a-f]{64})*$" }),
            ),
            Self::LocalTime => (
                "string",
                json!({
                    "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-5][0-9](\\.[0-9]{1,9})?[+-][0-9]{2}:[0-9]{2}$"
                }),
            ),
            Self::Number { least, most } => {
                let mut constraints = serde_json::Map::new();
                if let Some(least) = least {
                    constraints.insert("minimum".into(), least.into());
                }
                if let Some(most) = most {
                    constraints.insert("maximum".into(), most.into());
                }
                ("number", Value::Object(constraints))
            }
            Self::Text => ("string", json!({ "pattern": TEXT_PATTERN })),
            Self::UtcTime => (
                "string",
                json!({
                    "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-5][0-9]\\.[0-9]{3}Z$"
                }),
            ),
            Self::Whole => ("integer", json!({ "minimum": 0 })),
        }
    }

    /// Datatype as CSVW has it.
    fn datatype(self) -> Value {
        match self {
            Self::Code(words) => json!({ "base": "string", "format": words.join("|") }),
            Self::LocalTime | Self::UtcTime => json!("dateTimeStamp"),
            Self::Number { least, most } => {
                let mut datatype = json!({ "base": "decimal" });
                if let Value::Object(datatype) = &mut datatype {
                    datatype.extend(least.map(|least| ("minimum".to_owned(), least.into())));
                    datatype.extend(most.map(|most| ("maximum".to_owned(), most.into())));
                }
                datatype
            }
            Self::Whole => json!("nonNegativeInteger"),
            Self::EventId | Self::Hash | Self::Hashes | Self::Text => {
                let (_, constraints) = self.schema();
                json!({ "base": "string", "format": constraints.get("pattern") })
            }
        }
    }
}

fn is_hex(text: &str) -> bool {
    text.bytes()
        .all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
}

fn is_hash(text: &str) -> bool {
    text.len() == 64 && is_hex(text)
}

fn is_event_id(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    parts.iter().map(|part| part.len()).eq([8, 4, 4, 4, 12]) && parts.iter().all(|p| is_hex(p))
}

/// One column.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Column {
    /// The head, with its unit.
    pub(crate) name: &'static str,
    /// What it may hold.
    pub(crate) kind: Kind,
    /// Whether the cell may not be empty.
    pub(crate) required: bool,
    /// What it means, for the schema.
    pub(crate) about: &'static str,
}

/// A column that may be empty.
pub(crate) const fn column(name: &'static str, kind: Kind, about: &'static str) -> Column {
    Column {
        name,
        kind,
        required: false,
        about,
    }
}

/// A column that may not be empty.
pub(crate) const fn required(name: &'static str, kind: Kind, about: &'static str) -> Column {
    Column {
        name,
        kind,
        required: true,
        about,
    }
}

impl Column {
    /// The cell for `value`, or why there is none.
    fn cell(&self, value: &str) -> Result<String, PaperError> {
        let plain = plain_text(value);
        if plain.is_empty() && self.required {
            return Err(PaperError::Missing { column: self.name });
        }
        if matches!(self.kind, Kind::Text) {
            return Ok(marked(&plain));
        }
        if value.is_empty() || self.kind.accepts(value) {
            return Ok(value.to_owned());
        }
        Err(PaperError::OutsideGrammar {
            column: self.name,
            value: plain.chars().take(40).collect(),
            wanted: self.kind.wanted(),
        })
    }

    /// The column as a field of a Data Package 2.0 table schema.
    pub(crate) fn field(&self) -> Value {
        let (kind, mut constraints) = self.kind.schema();
        if self.required
            && let Value::Object(constraints) = &mut constraints
        {
            constraints.insert("required".into(), true.into());
        }
        let mut field = json!({
            "name": self.name,
            "type": kind,
            "description": self.about,
        });
        if constraints != json!({})
            && let Value::Object(field) = &mut field
        {
            field.insert("constraints".into(), constraints);
        }
        field
    }
}

impl Column {
    /// The column as CSVW has it.
    pub(crate) fn csvw(&self) -> Value {
        json!({
            "name": self.name,
            "titles": self.name,
            "dc:description": self.about,
            "datatype": self.kind.datatype(),
            "required": self.required,
        })
    }
}

/// The head row and a row for each of `rows`.
///
/// # Errors
/// [`PaperError::Missing`] or [`PaperError::OutsideGrammar`], with the column.
pub(crate) fn table<const N: usize>(
    columns: &[Column; N],
    rows: &[[String; N]],
) -> Result<String, PaperError> {
    let mut out = head(columns);
    for row in rows {
        push_row(&mut out, columns, row)?;
    }
    Ok(out)
}

/// The head row.
pub(crate) fn head(columns: &[Column]) -> String {
    let names: Vec<&str> = columns.iter().map(|column| column.name).collect();
    let mut line = names.join(",");
    line.push_str(LINE_END);
    line
}

/// One row, a value for each column; an empty value is an empty cell.
///
/// # Errors
/// [`PaperError::Missing`] or [`PaperError::OutsideGrammar`], with the column.
pub(crate) fn push_row<const N: usize>(
    out: &mut String,
    columns: &[Column; N],
    values: &[String; N],
) -> Result<(), PaperError> {
    for (index, (column, value)) in columns.iter().zip(values).enumerate() {
        if index > 0 {
            out.push(',');
        }
        push_quoted(out, &column.cell(value)?);
    }
    out.push_str(LINE_END);
    Ok(())
}

/// The value of something that may not be known.
pub(crate) fn known<T: ToString>(value: Option<T>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

/// `yes` or `no`.
pub(crate) fn yes_no(value: bool) -> String {
    if value { "yes" } else { "no" }.to_owned()
}

/// Where a CSV paper breaks its own rules.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Line of the file: 1 is the head row; 0 is the file as a whole.
    pub line: usize,
    /// The column, or empty where it is the row.
    pub column: String,
    /// What is wrong.
    pub what: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, self.column.as_str()) {
            (0, _) => f.write_str(&self.what),
            (line, "") => write!(f, "line {line}: {}", self.what),
            (line, column) => write!(f, "line {line}, column `{column}`: {}", self.what),
        }
    }
}

/// The rows of `text` whose cells all fit, as the exact values, each with its line; everything
/// else goes to `faults`.
///
/// The file may be of another minor: it may have columns behind the known ones, which are passed
/// over, and lack columns at the end that need not be filled.
pub(crate) fn lines<const N: usize>(
    columns: &[Column; N],
    text: &str,
    faults: &mut Vec<Fault>,
) -> Vec<(usize, [String; N])> {
    let mut whole = |what: &str| {
        faults.push(Fault {
            line: 0,
            column: String::new(),
            what: what.to_owned(),
        });
    };
    if text.is_empty() {
        whole("the file is empty");
    } else if !ends_lines_well(text) {
        whole("not every line ends in CRLF");
    } else if text.split_terminator(LINE_END).any(str::is_empty) {
        whole("a line is empty");
    }
    let mut rows = Vec::new();
    let mut wide = N;
    let records = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
        .into_records();
    for (index, record) in records.enumerate() {
        let line = index + 1;
        let mut fault = |column: &str, what: String| {
            faults.push(Fault {
                line,
                column: column.to_owned(),
                what,
            });
        };
        let mut cells: Vec<String> = match record {
            Ok(record) => record.iter().map(str::to_owned).collect(),
            Err(error) => {
                fault("", error.to_string());
                continue;
            }
        };
        if line == 1 {
            wide = cells.len();
            let named = columns.iter().enumerate().all(|(n, column)| {
                cells
                    .get(n)
                    .map_or(!column.required, |cell| column.name == cell)
            });
            if !named {
                fault(
                    "",
                    "the head row does not name the columns of this format".to_owned(),
                );
            }
            continue;
        }
        if cells.len() != wide {
            fault("", format!("must have {wide} cells"));
            continue;
        }
        cells.resize(N, String::new());
        let Ok(cells) = <[String; N]>::try_from(cells) else {
            continue;
        };
        let mut fits = true;
        for (column, cell) in columns.iter().zip(&cells) {
            let what = match cell.as_str() {
                "" if column.required => "must not be empty".to_owned(),
                "" => continue,
                cell if column.kind.accepts(cell) => continue,
                cell => {
                    let short: String = plain_text(cell).chars().take(40).collect();
                    format!("`{short}` is not {}", column.kind.wanted())
                }
            };
            fault(column.name, what);
            fits = false;
        }
        if !fits {
            continue;
        }
        let mut values = cells;
        for (column, value) in columns.iter().zip(&mut values) {
            if matches!(column.kind, Kind::Text) {
                *value = unmarked(value).unwrap_or_default();
            }
        }
        rows.push((line, values));
    }
    rows
}

fn ends_lines_well(text: &str) -> bool {
    let without = text.replace(LINE_END, "");
    text.ends_with(LINE_END) && !without.contains(['\r', '\n'])
}
