//! Where answers go: one writer, three forms.

use std::io::{self, Write};

use serde::Serialize;
use tabled::builder::Builder;
use tabled::settings::object::Segment;
use tabled::settings::peaker::Priority;
use tabled::settings::{Modify, Style, Width};

use super::args::Format;
use super::exit::Exit;
use crate::citation::Reason;
use crate::custody::RunningCase;
use crate::papers::{NotPrinted, summary};
use crate::store::Form;

/// Widest column of a table, in characters.
const WIDEST: usize = 48;

/// Over what the rules say against a package that was just packed.
pub(super) const AGAINST_PACKAGE: &str = "It may not travel so; pack or mark it again now:";

/// The writer of a command.
pub(super) struct Output<W: Write> {
    writer: W,
    format: Format,
}

/// Any writer of a command.
pub(super) trait Answer {
    /// The form asked for.
    fn format(&self) -> Format;
    /// A line of text.
    fn line(&mut self, text: &str) -> io::Result<()>;
    /// Text as it is.
    fn text(&mut self, text: &str) -> io::Result<()>;
    /// Text that is there as bytes.
    fn bytes(&mut self, text: &[u8]) -> io::Result<()>;
    /// Shows at once what was written, before a question.
    fn show_now(&mut self) -> io::Result<()>;
}

impl<W: Write> Output<W> {
    pub(super) const fn new(writer: W, format: Format) -> Self {
        Self { writer, format }
    }

    pub(super) fn flush(&mut self) -> io::Result<()> {
        self.writer.flush()
    }
}

impl<W: Write> Answer for Output<W> {
    fn format(&self) -> Format {
        self.format
    }

    fn line(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.writer, "{text}")
    }

    fn text(&mut self, text: &str) -> io::Result<()> {
        self.bytes(text.as_bytes())
    }

    fn bytes(&mut self, text: &[u8]) -> io::Result<()> {
        self.writer.write_all(text)
    }

    fn show_now(&mut self) -> io::Result<()> {
        self.writer.flush()
    }
}

/// A share in per cent as a bar, for the line of a terminal that is written again and again.
pub(super) fn bar(share: u64) -> String {
    let done = usize::try_from(share.min(100) / 4).unwrap_or_default();
    format!("[{:25}] {share} %", "#".repeat(done))
}

/// Writes `value` as indented JSON.
pub(super) fn json(out: &mut dyn Answer, value: &impl Serialize) -> io::Result<()> {
    let text = serde_json::to_string_pretty(value).map_err(io::Error::other)?;
    out.line(&text)
}

/// Answers as JSON in the form of the input: one object, an array, or a line each.
pub(super) struct JsonAnswers {
    several_legs: bool,
    given: u64,
}

impl JsonAnswers {
    /// `legs`: answers for each battery of the input.
    pub(super) const fn of(legs: usize) -> Self {
        Self {
            several_legs: legs > 1,
            given: 0,
        }
    }

    const fn is_array(&self, form: Form) -> bool {
        matches!(form, Form::Array) || (matches!(form, Form::Object) && self.several_legs)
    }

    /// The next answer.
    pub(super) fn push(
        &mut self,
        out: &mut dyn Answer,
        form: Form,
        value: &impl Serialize,
    ) -> io::Result<()> {
        if self.is_array(form) {
            out.text(if self.given == 0 { "[\n" } else { ",\n" })?;
        }
        self.given += 1;
        let text = match form {
            Form::Object | Form::Array => serde_json::to_string_pretty(value),
            Form::Lines | Form::Csv => serde_json::to_string(value),
        };
        out.text(&text.map_err(io::Error::other)?)?;
        if self.is_array(form) {
            return Ok(());
        }
        out.text("\n")
    }

    /// Closes what was opened.
    pub(super) fn end(&self, out: &mut dyn Answer, form: Form) -> io::Result<()> {
        match (self.is_array(form), self.given) {
            (false, _) => Ok(()),
            (true, 0) => out.text("[]\n"),
            (true, _) => out.text("\n]\n"),
        }
    }
}

/// Writes a table: boxed for people, one `head: cell` line each in plain.
pub(super) fn table(
    out: &mut dyn Answer,
    heads: &[&str],
    rows: impl IntoIterator<Item = Vec<String>>,
) -> io::Result<()> {
    if out.format() == Format::Plain {
        for row in rows {
            let cells: Vec<String> = heads
                .iter()
                .zip(&row)
                .filter(|(_, cell)| !cell.is_empty())
                .map(|(head, cell)| format!("{head}: {cell}"))
                .collect();
            out.line(&cells.join("; "))?;
        }
        return Ok(());
    }
    let mut builder = Builder::default();
    builder.push_record(heads.iter().copied());
    for row in rows {
        builder.push_record(row);
    }
    let mut table = builder.build();
    table
        .with(Style::psql())
        .with(Modify::new(Segment::all()).with(Width::wrap(WIDEST).keep_words(true)))
        .with(
            Width::wrap(summary::WIDTH)
                .priority(Priority::max(true))
                .keep_words(true),
        );
    out.line(&table.to_string())
}

/// Writes a paragraph, broken to the width of a terminal for people, in one line in plain.
pub(super) fn paragraph(out: &mut dyn Answer, lead: &str, text: &str) -> io::Result<()> {
    if out.format() == Format::Plain {
        return out.line(&format!("{lead}{text}"));
    }
    let mut lines = String::new();
    summary::paragraph(&mut lines, lead, text);
    out.text(&lines)
}

/// Names the papers that were not printed, each with its reasons.
pub(super) fn not_printed(out: &mut dyn Answer, papers: &[NotPrinted]) -> io::Result<()> {
    for paper in papers {
        out.line("")?;
        out.line(&format!("NOT PRINTED: {}, because", paper.paper))?;
        reasons(out, &paper.reasons)?;
    }
    Ok(())
}

/// Writes reasons, each on lines of its own: what and value, limit, clause, next action.
pub(super) fn reasons(out: &mut dyn Answer, reasons: &[Reason]) -> io::Result<()> {
    for reason in reasons {
        let value = if reason.value.is_empty() {
            String::new()
        } else {
            format!(": {}", reason.value)
        };
        paragraph(out, "  - ", &format!("{}{value}", reason.what))?;
        for (caption, text) in [
            ("limit", &reason.limit),
            ("clause", &reason.clause),
            ("do now", &reason.way_out),
        ] {
            if !text.is_empty() {
                paragraph(out, "      ", &format!("{caption}: {text}"))?;
            }
        }
    }
    Ok(())
}

/// Writes a caption and its items, where there are any.
pub(super) fn list(out: &mut dyn Answer, caption: &str, items: &[String]) -> io::Result<()> {
    if items.is_empty() {
        return Ok(());
    }
    out.line(caption)?;
    for item in items {
        paragraph(out, "  - ", item)?;
    }
    Ok(())
}

/// Says that something was done, or why not.
pub(super) fn granted(
    out: &mut dyn Answer,
    given: Result<(), Vec<Reason>>,
    done: &str,
) -> io::Result<Exit> {
    match given {
        Ok(()) => {
            if out.format() == Format::Json {
                json(out, &serde_json::json!({ "done": done }))?;
            } else {
                out.line(done)?;
            }
            Ok(Exit::Done)
        }
        Err(why) => {
            if out.format() == Format::Json {
                json(out, &serde_json::json!({ "refused": why }))?;
            } else {
                out.line("REFUSED")?;
                reasons(out, &why)?;
            }
            Ok(Exit::No)
        }
    }
}

/// Writes the discrepancies whose clock runs, the first due first.
pub(super) fn running(out: &mut dyn Answer, cases: &[RunningCase]) -> io::Result<()> {
    let cases: Vec<String> = cases
        .iter()
        .map(|case| {
            let left = if case.days_left < 0 {
                format!("OVER by {} days", -case.days_left)
            } else {
                format!("{} days left", case.days_left)
            };
            format!(
                "{left}, until {}: {} ({}); {} [{}]",
                case.due, case.what, case.id, case.basis, case.clause
            )
        })
        .collect();
    list(out, "Discrepancies whose clock runs:", &cases)
}
