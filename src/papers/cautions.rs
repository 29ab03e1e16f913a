//! Cautions for the driver and the receiver, in plain words of this project (`words`); law, maker
//! and local code come first. What is not sound stands first, with its shape.

use serde::Serialize;

use super::manifest::Manifest;
use super::manifest_pdf::shape;
use super::page::soundness_shape;
use super::pdf::{self, Cell, Column, Drawing, Flow, Shape, bold, fewest, mm, plain, pt, svg};
use super::stamp::{Across, Stamp};
use super::words::Words;
use super::{PaperError, plain_text, template};
use crate::battery::Soundness;

const TEMPLATE: &str = include_str!("../../templates/papers/cautions.html");

/// The sheet.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Cautions {
    w: Words,
    size: &'static str,
    job: String,
    across: Option<Across>,
    /// What is on board and sound, in words.
    on_board: Vec<String>,
    /// The other packages; they stand first.
    not_sound: Vec<NotSound>,
    /// Title and lines.
    parts: Vec<Part>,
    foot: String,
}

/// A package with a module that is not plainly sound.
#[derive(Debug, Clone, Serialize)]
struct NotSound {
    word: String,
    what: String,
    #[serde(skip)]
    shape: Shape,
    /// The shape for a page in a browser.
    drawn: String,
}

#[derive(Debug, Clone, Serialize)]
struct Part {
    title: String,
    lines: Vec<String>,
}

/// The sheet of a job.
pub(super) fn cautions(manifest: &Manifest, emergency: Option<&str>, stamp: &Stamp) -> Cautions {
    let w = stamp.words;
    let (mut on_board, mut not_sound) = (Vec::new(), Vec::new());
    for package in &manifest.packages {
        let worst = package.modules.iter().map(|module| module.soundness).max();
        let what = format!(
            "{}: {} {}, {}",
            plain_text(&package.package_id),
            package.modules.len(),
            if package.modules.len() == 1 {
                w.one_module
            } else {
                w.modules
            },
            stamp.mass_or_not(package.gross_mass_kg)
        );
        match worst.unwrap_or(Soundness::Sound) {
            Soundness::Sound => {
                on_board.push(format!("{what}, {}", w.states.soundness(Soundness::Sound)));
            }
            worst => {
                let shape = shape(soundness_shape(worst));
                not_sound.push(NotSound {
                    word: w.states.soundness(worst).to_uppercase(),
                    what,
                    shape,
                    drawn: svg(&shape.alone(), w.states.soundness(worst)),
                });
            }
        }
    }
    let lines = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect();
    let mut wrong: Vec<String> = lines(w.cautions.wrong);
    if let Some(number) = emergency {
        wrong.push(format!("{}: {}", w.emergency_contact, plain_text(number)));
    }
    Cautions {
        w: *w,
        size: stamp.stock.css(),
        job: stamp.job.clone(),
        across: stamp.across(),
        on_board,
        not_sound,
        parts: vec![
            Part {
                title: w.if_it_goes_wrong.to_owned(),
                lines: wrong,
            },
            Part {
                title: w.for_driver.to_owned(),
                lines: lines(w.cautions.driver),
            },
            Part {
                title: w.for_receiver.to_owned(),
                lines: lines(w.cautions.receiver),
            },
        ],
        foot: stamp.foot(),
    }
}

/// The sheet as a page in a browser; `own` is the user's own template.
///
/// # Errors
/// A template that does not read.
pub(super) fn html(cautions: &Cautions, own: Option<&str>) -> Result<String, PaperError> {
    template::html(
        "cautions",
        "cautions.html",
        own.unwrap_or(TEMPLATE),
        cautions,
    )
}

/// The file.
///
/// # Errors
/// A font that cannot be read: a bug.
pub(super) fn file(cautions: &Cautions, stamp: &Stamp) -> Result<Vec<u8>, PaperError> {
    let title = format!("{} {}", stamp.words.cautions_sheet, stamp.job);
    pdf::pdf(&title, &pages(cautions, stamp))
}

/// On one page where that can be.
fn pages(cautions: &Cautions, stamp: &Stamp) -> Vec<Drawing> {
    fewest(3, |percent| {
        pages_in(cautions, stamp, pt(115) * percent / 100)
    })
}

fn pages_in(cautions: &Cautions, stamp: &Stamp, size: i32) -> Vec<Drawing> {
    let w = stamp.words;
    let mut flow = Flow::new(stamp.stock, stamp.head(w.cautions_sheet));
    let mut on_board = vec![bold(format!("{}  ", w.on_board))];
    if !cautions.on_board.is_empty() || cautions.not_sound.is_empty() {
        on_board.push(plain(cautions.on_board.join("  \u{b7}  ")));
    }
    flow.runs(&on_board, pt(105));
    if !cautions.not_sound.is_empty() {
        flow.space(mm(8));
        let columns = [Column::words("", 26), Column::words("", 74)];
        let mut table = flow.table(&columns, pt(115), true);
        for one in &cautions.not_sound {
            table.row(&[
                Cell::states(vec![(one.shape, vec![bold(&one.word)])]),
                Cell::bold(&one.what),
            ]);
        }
        table.end();
    }
    flow.space(mm(10));
    for part in &cautions.parts {
        flow.heading(&part.title);
        flow.list(&part.lines, size);
    }
    flow.space(mm(20));
    flow.runs(&[plain(w.cautions_limits)], pt(90));
    flow.finish()
}
