//! A paper of headed parts: lines, a table, boxes to sign in. One content, pages and HTML.

use serde::Serialize;

use super::pdf::{self, Cell, Column, Drawing, Flow, SIZE, Shape, bold, fewest, mm, pt, svg};
use super::stamp::{Across, Stamp};
use super::words::Words;
use super::{PaperError, template};

const TEMPLATE: &str = include_str!("../../templates/papers/sections.html");

/// A paper, with finished texts.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Sections {
    /// What the paper is.
    pub(super) title: &'static str,
    /// What it is about, in bold under the title.
    pub(super) heading: String,
    /// Its parts in order.
    pub(super) parts: Vec<Part>,
    /// Who signs.
    pub(super) sign: Vec<String>,
}

/// A part under a heading of its own.
#[derive(Debug, Clone, Default, Serialize)]
pub(super) struct Part {
    /// Heading.
    pub(super) title: String,
    /// Whether it begins a page.
    pub(super) new_page: bool,
    /// Whether its lines are warnings: bold.
    pub(super) strong: bool,
    /// Lines, each with a dash before it.
    pub(super) lines: Vec<String>,
    /// A table behind the lines.
    pub(super) table: Option<Grid>,
}

/// A table; the first cell of each row is bold.
#[derive(Debug, Clone, Default, Serialize)]
pub(super) struct Grid {
    /// Titles of the columns, each with its share of the width and whether it holds numbers.
    pub(super) columns: Vec<Title>,
    /// Rows, one cell a column.
    pub(super) rows: Vec<Vec<String>>,
    /// Whether people write into the empty cells by hand: rows are high enough for that.
    pub(super) to_fill: bool,
    /// A shape before the first cell of each row, where its words are a state.
    #[serde(skip)]
    pub(super) shapes: Vec<Shape>,
}

/// Title of a column.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Title {
    pub(super) text: String,
    pub(super) share: i32,
    pub(super) numbers: bool,
}

/// A column of words.
pub(super) fn of_words(text: impl Into<String>, share: i32) -> Title {
    Title {
        text: text.into(),
        share,
        numbers: false,
    }
}

/// A column of numbers.
pub(super) fn of_numbers(text: impl Into<String>, share: i32) -> Title {
    Title {
        text: text.into(),
        share,
        numbers: true,
    }
}

#[derive(Serialize)]
struct View<'a> {
    w: Words,
    size: &'static str,
    job: &'a str,
    across: Option<Across>,
    foot: String,
    p: &'a Sections,
    sign_before: usize,
    /// Drawings of the shapes, by part and row.
    shapes: Vec<Vec<String>>,
}

/// The paper as a page in a browser; `file` names its template, `own` is the user's own text of it.
///
/// # Errors
/// A template that does not read.
pub(super) fn html(
    paper: &Sections,
    file: &str,
    stamp: &Stamp,
    own: Option<&str>,
) -> Result<String, PaperError> {
    let view = View {
        w: *stamp.words,
        size: stamp.stock.css(),
        job: &stamp.job,
        across: stamp.across(),
        foot: stamp.foot(),
        p: paper,
        sign_before: sign_before(paper),
        shapes: paper.parts.iter().map(drawn).collect(),
    };
    template::html(paper.title, file, own.unwrap_or(TEMPLATE), view)
}

/// The shapes of a part's rows; empty where it has none.
fn drawn(part: &Part) -> Vec<String> {
    let Some(grid) = &part.table else {
        return Vec::new();
    };
    let says = grid
        .rows
        .iter()
        .map(|row| row.first().map_or("", |text| text.as_str()));
    let shapes = grid.shapes.iter().zip(says);
    shapes
        .map(|(shape, says)| svg(&shape.alone(), says))
        .collect()
}

/// The file.
///
/// # Errors
/// A font that cannot be read: a bug.
pub(super) fn file(paper: &Sections, stamp: &Stamp) -> Result<Vec<u8>, PaperError> {
    pdf::pdf(
        &format!("{} {}", paper.title, stamp.job),
        &fewest(most(paper), |percent| pages(paper, stamp, percent)),
    )
}

/// Before which part people sign: before the first that begins a page, such as a sheet to fill, for
/// these follow from what is signed; else behind all.
fn sign_before(paper: &Sections) -> usize {
    let sheet = paper.parts.iter().position(|part| part.new_page);
    sheet.unwrap_or(paper.parts.len())
}

/// A form has a page for each module, and all of them are to fit.
fn most(paper: &Sections) -> usize {
    let is_form = |part: &Part| part.table.as_ref().is_some_and(|grid| grid.to_fill);
    if paper.parts.iter().any(is_form) {
        60
    } else {
        3
    }
}

fn pages(paper: &Sections, stamp: &Stamp, percent: i32) -> Vec<Drawing> {
    let mut flow = Flow::new(stamp.stock, stamp.head(paper.title));
    flow.runs(&[bold(&paper.heading)], pt(105));
    let sign_before = sign_before(paper);
    for (n, part) in paper.parts.iter().enumerate() {
        if n == sign_before {
            sign(&mut flow, paper, stamp);
        }
        if part.new_page {
            flow.next_page();
        }
        flow.heading(&part.title);
        if part.strong {
            for line in &part.lines {
                flow.runs(&[bold(line)], pt(100) * percent / 100);
                flow.space(mm(6));
            }
        } else {
            flow.list(&part.lines, pt(95) * percent / 100);
        }
        if let Some(grid) = &part.table {
            table(&mut flow, grid, percent);
        }
    }
    if sign_before >= paper.parts.len() {
        sign(&mut flow, paper, stamp);
    }
    flow.finish()
}

fn sign(flow: &mut Flow, paper: &Sections, stamp: &Stamp) {
    if paper.sign.is_empty() {
        return;
    }
    let asked = stamp.words.name_signature_date_time;
    let boxes: Vec<(String, String)> = paper
        .sign
        .iter()
        .map(|who| (who.clone(), asked.to_owned()))
        .collect();
    flow.sign(&paper.heading, &boxes);
}

fn table(flow: &mut Flow, grid: &Grid, percent: i32) {
    flow.space(mm(8));
    let columns: Vec<Column> = grid
        .columns
        .iter()
        .map(|title| {
            if title.numbers {
                Column::numbers(&title.text, title.share)
            } else {
                Column::words(&title.text, title.share)
            }
        })
        .collect();
    let size = if grid.to_fill {
        pt(110)
    } else {
        SIZE * percent / 100
    };
    let mut table = flow.table(&columns, size, true);
    if grid.to_fill {
        table.line_columns();
    }
    for (place, row) in grid.rows.iter().enumerate() {
        let cells: Vec<Cell> = row
            .iter()
            .enumerate()
            .map(|(n, text)| {
                let shape = grid.shapes.get(place).filter(|_| n == 0);
                if let Some(shape) = shape {
                    Cell::states(vec![(*shape, vec![bold(text)])])
                } else if n == 0 {
                    Cell::bold(text)
                } else {
                    Cell::plain(text)
                }
            })
            .collect();
        table.row(&cells);
    }
    table.end();
}
