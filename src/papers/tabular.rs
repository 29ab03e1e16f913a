//! What is said beside a CSV paper so that other programs read it as meant: a Data Package, CSVW
//! metadata, and a twin for people who open it in a spreadsheet.

use serde_json::{Value, json};

use super::PaperError;
use super::cell::{looks_like_a_number, marked, plain_text};
use super::column::{Column, Kind, LINE_END};
use super::indented::indented;

/// A CSV paper as a whole.
pub(crate) struct Tabular {
    /// File name without its ending.
    pub(crate) name: &'static str,
    /// What it is.
    pub(crate) title: &'static str,
    /// How to read it, beyond [`READING`].
    pub(crate) about: &'static str,
    /// Version of its form. A reader takes any minor of its own major.
    pub(crate) format: &'static str,
    /// Columns whose cells together stand once.
    pub(crate) key: &'static [&'static str],
    /// The columns.
    pub(crate) columns: &'static [Column],
}

/// How every CSV paper is to be read.
const READING: &str = "An empty cell is not known or does not apply. \
    A text carries an apostrophe before each = + - @ ' (or full-width twin) that begins it or \
    follows ; | or a double quote, blanks skipped, so that no spreadsheet takes it for a \
    formula; take that one apostrophe away to have the exact text.";

/// Where a table lies and how its lines end.
pub(crate) struct Place<'a> {
    path: &'a str,
    bytes: u64,
    line_end: &'static str,
}

impl<'a> Place<'a> {
    /// A table with lines that end in a line feed alone, as programs write them for programs.
    pub(crate) const fn of(path: &'a str, bytes: u64) -> Self {
        Self {
            path,
            bytes,
            line_end: "\n",
        }
    }
}

impl Tabular {
    fn description(&self, line_end: &str) -> String {
        let lines = if line_end == LINE_END { "CRLF" } else { "LF" };
        format!("Lines end in {lines}. {READING} {}", self.about)
            .trim_end()
            .to_owned()
    }

    /// A Data Package 2.0 descriptor of `csv`, for the same folder.
    ///
    /// `sha256` is the lower-case hex hash of `csv`, where the caller has it.
    ///
    /// # Errors
    /// A hash outside its grammar.
    pub(crate) fn datapackage(
        &self,
        csv: &str,
        sha256: Option<&str>,
    ) -> Result<String, PaperError> {
        let place = Place {
            path: &format!("{}.csv", self.name),
            bytes: u64::try_from(csv.len()).unwrap_or(u64::MAX),
            line_end: LINE_END,
        };
        self.package(&place, sha256)
    }

    /// The same of a table that lies elsewhere.
    ///
    /// # Errors
    /// A hash outside its grammar.
    pub(crate) fn package(
        &self,
        place: &Place<'_>,
        sha256: Option<&str>,
    ) -> Result<String, PaperError> {
        let fields: Vec<Value> = self.columns.iter().map(Column::field).collect();
        let mut schema = json!({
            "$schema": "https://datapackage.org/profiles/2.0/tableschema.json",
            "fields": fields,
            "missingValues": [""],
        });
        if let Value::Object(schema) = &mut schema
            && !self.key.is_empty()
        {
            schema.insert("primaryKey".to_owned(), json!(self.key));
        }
        let mut resource = json!({
            "name": self.name,
            "type": "table",
            "path": place.path,
            "title": self.title,
            "scheme": "file",
            "format": "csv",
            "mediatype": "text/csv",
            "encoding": "utf-8",
            "bytes": place.bytes,
            "dialect": {
                "$schema": "https://datapackage.org/profiles/2.0/tabledialect.json",
                "header": true,
                "delimiter": ",",
                "lineTerminator": place.line_end,
                "quoteChar": "\"",
                "doubleQuote": true,
                "skipInitialSpace": false,
            },
            "schema": schema,
        });
        if let (Some(sha256), Value::Object(resource)) = (sha256, &mut resource) {
            if !Kind::Hash.accepts(sha256) {
                return Err(PaperError::OutsideGrammar {
                    column: "hash",
                    value: plain_text(sha256).chars().take(40).collect(),
                    wanted: Kind::Hash.wanted(),
                });
            }
            resource.insert("hash".to_owned(), format!("sha256:{sha256}").into());
        }
        self.text(&json!({
            "$schema": "https://datapackage.org/profiles/2.0/datapackage.json",
            "name": format!("packdown-{}", self.name),
            "title": self.title.split(',').next().unwrap_or(self.title),
            "description": self.description(place.line_end),
            "version": self.format,
            "resources": [resource],
        }))
    }

    /// Metadata as CSVW has it (W3C, Metadata Vocabulary for Tabular Data, 2015), for the same
    /// folder.
    ///
    /// # Errors
    /// None that a user can cause.
    pub(crate) fn csvw(&self) -> Result<String, PaperError> {
        let columns: Vec<Value> = self.columns.iter().map(Column::csvw).collect();
        self.text(&json!({
            "@context": ["http://www.w3.org/ns/csvw", { "@language": "en" }],
            "url": format!("{}.csv", self.name),
            "dc:title": self.title,
            "dc:description": self.description(LINE_END),
            "dialect": {
                "encoding": "utf-8",
                "header": true,
                "delimiter": ",",
                "lineTerminators": [LINE_END],
                "quoteChar": "\"",
                "doubleQuote": true,
                "skipInitialSpace": false,
            },
            "tableSchema": { "columns": columns, "primaryKey": self.key },
        }))
    }

    fn text(&self, value: &Value) -> Result<String, PaperError> {
        indented("description of a table", value)
    }

    /// The table for people who open it in a spreadsheet: a first line that says what it is, a
    /// byte-order mark, every cell in quotes, and an apostrophe also before a text that a
    /// spreadsheet would take for a number or a date. Never read back.
    pub(crate) fn for_spreadsheets<const N: usize>(&self, rows: &[[String; N]]) -> String {
        let mut out = String::from("\u{feff}");
        push_cells(
            &mut out,
            [format!(
                "For reading only. {}.csv is the record: exact, and what its hash is of. Here an \
                 apostrophe stands before every text that a spreadsheet would take for a formula, \
                 a number or a date.",
                self.name
            )],
        );
        push_cells(&mut out, self.columns.iter().map(|c| c.name.to_owned()));
        for row in rows {
            let cells = self.columns.iter().zip(row).map(|(column, value)| {
                let plain = plain_text(value);
                match column.kind {
                    Kind::Number { .. } | Kind::Whole => plain,
                    _ if looks_like_a_number(&plain) => format!("'{plain}"),
                    _ => marked(&plain),
                }
            });
            push_cells(&mut out, cells);
        }
        out
    }
}

fn push_cells(out: &mut String, cells: impl IntoIterator<Item = String>) {
    for (n, cell) in cells.into_iter().enumerate() {
        if n > 0 {
            out.push(',');
        }
        out.push('"');
        out.push_str(&cell.replace('"', "\"\""));
        out.push('"');
    }
    out.push_str(LINE_END);
}
