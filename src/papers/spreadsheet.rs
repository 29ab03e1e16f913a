//! A CSV paper as a workbook, for people who live in spreadsheets.
//!
//! Texts are typed as text, so that none becomes a formula, a date or a rounded number; numbers
//! show the digits that the CSV has. The same content gives the same bytes: every date inside is
//! that of the job's last entry. The CSV stays the record.

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError,
};

use super::cell::plain_text;
use super::column::{Column, Kind};
use super::tabular::Tabular;
use super::{Issued, PaperError};
use crate::clock::Moment;
use crate::units::Decimal;

/// Longest text of a cell, in UTF-16 units (limit of the file format, from the crate's manual).
const LONGEST: usize = 32_767;
/// Digits that a spreadsheet keeps of a number; a longer one is written as text.
const DIGITS: usize = 15;
/// Widest column, in characters.
const WIDEST: usize = 48;

impl Tabular {
    /// The workbook: a sheet with the rows, one with what the columns mean, one with where the
    /// paper comes from.
    ///
    /// # Errors
    /// More rows than a sheet holds.
    pub(crate) fn workbook<const N: usize>(
        &self,
        rows: &[[String; N]],
        issued: &Issued,
    ) -> Result<Vec<u8>, PaperError> {
        self.write(rows, issued)
            .map_err(|error| PaperError::Workbook {
                paper: self.name,
                what: error.to_string(),
            })
    }

    fn write<const N: usize>(
        &self,
        rows: &[[String; N]],
        issued: &Issued,
    ) -> Result<Vec<u8>, XlsxError> {
        let mut book = Workbook::new();
        let mut properties = DocProperties::new()
            .set_title(self.title)
            .set_subject(&issued.manifest.job);
        if let Some(made) = issued.last_at.and_then(date) {
            properties = properties.set_creation_datetime(&made);
        }
        book.set_properties(&properties);
        self.write_rows(book.add_worksheet(), rows)?;
        self.write_columns(book.add_worksheet())?;
        self.write_origin(book.add_worksheet(), issued)?;
        book.save_to_buffer()
    }

    fn write_rows<const N: usize>(
        &self,
        sheet: &mut Worksheet,
        rows: &[[String; N]],
    ) -> Result<(), XlsxError> {
        sheet.set_name(self.name)?;
        let head = head_format();
        let text = Format::new().set_num_format("@");
        for ((at, column), number) in self.columns.iter().enumerate().zip(0_u16..) {
            sheet.write_string_with_format(0, number, column.name, &head)?;
            let widest = rows
                .iter()
                .filter_map(|row| row.get(at))
                .map(|cell| cell.chars().count())
                .chain([column.name.len() + 3])
                .max()
                .unwrap_or(0);
            sheet.set_column_width(number, u16::try_from(widest.min(WIDEST)).unwrap_or(10))?;
        }
        let mut line = 1;
        for row in rows {
            for ((column, value), number) in self.columns.iter().zip(row).zip(0_u16..) {
                write_cell(sheet, line, number, column, value, &text)?;
            }
            line += 1;
        }
        sheet.set_freeze_panes(1, 0)?;
        let last = u16::try_from(self.columns.len().saturating_sub(1)).unwrap_or(0);
        sheet.autofilter(0, 0, line - 1, last)?;
        sheet.set_landscape().set_repeat_rows(0, 0)?;
        sheet.set_print_fit_to_pages(1, 0);
        Ok(())
    }

    fn write_columns(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        sheet.set_name("columns")?;
        let head = head_format();
        sheet.write_string_with_format(0, 0, "column", &head)?;
        sheet.write_string_with_format(0, 1, "what it means", &head)?;
        for (line, column) in (1_u32..).zip(self.columns) {
            sheet.write_string(line, 0, column.name)?;
            sheet.write_string(line, 1, column.about)?;
        }
        sheet.set_column_width(0, 32)?;
        sheet.set_column_width(1, 100)?;
        sheet.set_freeze_panes(1, 0)?;
        Ok(())
    }

    fn write_origin(&self, sheet: &mut Worksheet, issued: &Issued) -> Result<(), XlsxError> {
        sheet.set_name("origin")?;
        let manifest = &issued.manifest;
        let ledger = manifest.ledger.as_ref().map_or(String::new(), |mark| {
            format!("{}, {} entries, root {}", mark.origin, mark.size, mark.root)
        });
        let lines = [
            ("what", self.title.to_owned()),
            ("job", manifest.job.clone()),
            ("issue", issued.issue.to_string()),
            ("state", manifest.draft.clone().unwrap_or("issued".into())),
            (
                "issued at",
                issued.last_at.map_or(String::new(), |at| at.to_string()),
            ),
            ("regimes", manifest.regimes.join("; ")),
            ("rule set", manifest.rule_set.clone()),
            ("ledger", ledger),
            (
                "record",
                format!(
                    "{}.csv is the record. This copy is for reading; what is changed here changes \
                     nothing there.",
                    self.name
                ),
            ),
        ];
        let wrap = Format::new()
            .set_text_wrap()
            .set_align(FormatAlign::Top)
            .set_num_format("@");
        let bold = Format::new().set_bold().set_align(FormatAlign::Top);
        for (line, (caption, value)) in (0_u32..).zip(&lines) {
            sheet.write_string_with_format(line, 0, *caption, &bold)?;
            sheet.write_string_with_format(line, 1, short(value), &wrap)?;
        }
        sheet.set_column_width(0, 12)?;
        sheet.set_column_width(1, 100)?;
        Ok(())
    }
}

fn head_format() -> Format {
    Format::new()
        .set_bold()
        .set_border_bottom(FormatBorder::Thin)
}

fn write_cell(
    sheet: &mut Worksheet,
    line: u32,
    number: u16,
    column: &Column,
    value: &str,
    text: &Format,
) -> Result<(), XlsxError> {
    if value.is_empty() {
        return Ok(());
    }
    let decimal = match column.kind {
        Kind::Number { .. } | Kind::Whole => value.parse::<Decimal>().ok(),
        _ => None,
    };
    let digits = value.bytes().filter(u8::is_ascii_digit).count();
    match decimal.filter(|_| digits <= DIGITS) {
        Some(decimal) => {
            let places = value.split_once('.').map_or(0, |(_, places)| places.len());
            let shown = match places {
                0 => "0".to_owned(),
                places => format!("0.{}", "0".repeat(places)),
            };
            let format = Format::new().set_num_format(shown);
            sheet.write_number_with_format(line, number, decimal, &format)?;
        }
        None => {
            sheet.write_string_with_format(line, number, short(&plain_text(value)), text)?;
        }
    }
    Ok(())
}

/// The text as far as a cell holds it.
fn short(text: &str) -> String {
    const MORE: &str = " ... (the whole text is in the CSV)";
    if text.encode_utf16().count() <= LONGEST {
        return text.to_owned();
    }
    let mut units = 0;
    let mut kept: String = text
        .chars()
        .take_while(|sign| {
            units += sign.len_utf16();
            units + MORE.len() <= LONGEST
        })
        .collect();
    kept.push_str(MORE);
    kept
}

fn date(at: Moment) -> Option<ExcelDateTime> {
    let utc = at.utc();
    let part = |from: usize, to: usize| utc.get(from..to)?.parse::<u16>().ok();
    let small = |from, to| u8::try_from(part(from, to)?).ok();
    ExcelDateTime::from_ymd(part(0, 4)?, small(5, 7)?, small(8, 10)?)
        .ok()?
        .and_hms(part(11, 13)?, small(14, 16)?, small(17, 19)?)
        .ok()
}
