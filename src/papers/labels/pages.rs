//! Sheets of labels and marks on the stock at hand.
//!
//! A label of 100 mm on its point is 141.4 mm across. Where the stock is narrower it is printed
//! upright, and the sheet says so. Words whose letters must be 12 mm high lie along the longer side
//! where the shorter one cannot hold a word.

use serde::Serialize;

use super::diamond::{ACROSS, SIDE, diamond};
use super::pictures::{arrows, cargo_aircraft_only};
use super::take::{PackageLabel, Words};
use crate::papers::pdf::{
    Drawing, Face, Stock, bold, height_for_letters, mm, plain, pt, svg, text_block, width,
    word_across,
};
use crate::papers::stamp::Stamp;
use crate::papers::{PaperError, template};

const TEMPLATE: &str = include_str!("../../../templates/papers/labels.html");

/// From the edge of the sheet to what is printed.
const EDGE: i32 = mm(40);
const NOTE: i32 = pt(70);
/// A label by the name that decisions give it.
pub(crate) const CARGO_AIRCRAFT_ONLY: &str = "CARGO AIRCRAFT ONLY";

/// One sheet, with what it is for.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    pub(crate) package: String,
    pub(crate) drawing: Drawing,
}

/// Every sheet of every package.
pub(crate) fn label_pages(labels: &[PackageLabel], stock: Stock, stamp: &Stamp) -> Vec<Sheet> {
    labels
        .iter()
        .flat_map(|label| sheets(label, stock, stamp))
        .collect()
}

fn sheets(label: &PackageLabel, stock: Stock, stamp: &Stamp) -> Vec<Sheet> {
    let (wide, high) = stock.size();
    let mut sheets = Vec::new();
    let mut sheet = Making::new(label, stamp, wide, high);
    if label.nine_a {
        sheet.diamond();
    }
    for words in &label.marks {
        if !sheet.words(words) {
            sheets.extend(sheet.done());
            // The longer side is asked where the shorter one cannot hold the longest word.
            let (wide, high) = if fits(words, wide) {
                (wide, high)
            } else {
                (wide.max(high), wide.min(high))
            };
            sheet = Making::new(label, stamp, wide, high);
            sheet.words(words);
        }
    }
    let w = stamp.words;
    let mut pictures: Vec<(Option<Drawing>, String)> = Vec::new();
    for coloured in &label.coloured {
        let is_cargo = coloured == CARGO_AIRCRAFT_ONLY;
        let mut note = format!("{coloured}: {}", w.needs_colour);
        if is_cargo {
            note = format!("{note} {}", w.cargo_aircraft_note);
        }
        pictures.push((is_cargo.then(cargo_aircraft_only), note));
    }
    if label.arrows {
        // One for each of two opposite sides.
        let note = w.arrows_note.to_owned();
        pictures.extend([(Some(arrows()), note.clone()), (Some(arrows()), note)]);
    }
    for (n, (picture, note)) in pictures.iter().enumerate() {
        // What no sheet of this stock holds is said once.
        let again = n > 0 && pictures.get(n - 1).is_some_and(|before| before.1 == *note);
        if again && !holds(picture.as_ref(), (wide, high)) {
            continue;
        }
        if !sheet.picture(picture.as_ref(), note) {
            sheets.extend(sheet.done());
            sheet = Making::new(label, stamp, wide, high);
            sheet.picture(picture.as_ref(), note);
        }
    }
    sheets.extend(sheet.done());
    sheets
}

/// Whether a sheet of this size may hold the picture beside its head, ruler and foot.
fn holds(picture: Option<&Drawing>, (wide, high): (i32, i32)) -> bool {
    picture.is_none_or(|one| one.width + mm(20) <= wide && one.height + mm(400) <= high)
}

/// Height of the letters as printed: what is asked, and 8 mm where nothing is.
fn letters(words: &Words) -> i32 {
    if words.height == 0 {
        mm(80)
    } else {
        mm(words.height * 10)
    }
}

/// The words broken into lines that fit; a line may also break behind a stroke.
fn lines(words: &Words, room: i32) -> Vec<String> {
    let size = height_for_letters(letters(words), Face::Bold);
    let mut lines: Vec<String> = Vec::new();
    for word in words.text.replace('/', "/ ").split(' ') {
        let joined = lines.last().map(|last| {
            if last.ends_with('/') {
                format!("{last}{word}")
            } else {
                format!("{last} {word}")
            }
        });
        match (joined, lines.last_mut()) {
            (Some(joined), Some(last)) if width(&joined, size, Face::Bold) <= room => {
                *last = joined;
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

fn fits(words: &Words, wide: i32) -> bool {
    let size = height_for_letters(letters(words), Face::Bold);
    let room = wide - 2 * EDGE;
    lines(words, room)
        .iter()
        .all(|line| width(line, size, Face::Bold) <= room)
}

/// A sheet while it is made.
struct Making<'a> {
    label: &'a PackageLabel,
    stamp: &'a Stamp,
    drawing: Drawing,
    y: i32,
    limit: i32,
    used: bool,
}

impl<'a> Making<'a> {
    fn new(label: &'a PackageLabel, stamp: &'a Stamp, wide: i32, high: i32) -> Self {
        let mut drawing = Drawing::new(wide, high);
        let w = stamp.words;
        let head = format!("{} {}, {} {}", w.put_on, label.id, w.job, stamp.job);
        drawing.text(EDGE, EDGE + NOTE * 3 / 4, NOTE, Face::Bold, head);
        // From below: the foot, then the line to measure.
        let foot = text_block(&[plain(stamp.foot())], pt(55), wide - 2 * EDGE);
        let foot_top = high - mm(30) - foot.height;
        drawing.place(&foot, EDGE, foot_top);
        let ruler = ruler(stamp, wide - 2 * EDGE);
        let ruler_top = foot_top - ruler.height - mm(10);
        drawing.place(&ruler, EDGE, ruler_top);
        Self {
            label,
            stamp,
            drawing,
            y: EDGE + NOTE + mm(5),
            limit: ruler_top - mm(10),
            used: false,
        }
    }

    fn diamond(&mut self) {
        let wide = self.drawing.width;
        let upright = wide < ACROSS + mm(20);
        let size = if upright { SIDE } else { ACROSS };
        let art = diamond(upright);
        self.drawing.place(&art, (wide - size) / 2, self.y);
        self.y += size + mm(15);
        self.used = true;
        if upright {
            self.note(self.stamp.words.upright);
        }
    }

    /// Puts the words on the sheet; says whether there was room.
    fn words(&mut self, words: &Words) -> bool {
        let room = self.drawing.width - 2 * EDGE;
        let size = height_for_letters(letters(words), Face::Bold);
        let lines = lines(words, room);
        let one = letters(words) * 140 / 100;
        let caption = !words.clause.is_empty();
        let high =
            i32::try_from(lines.len()).unwrap_or(1) * one + if caption { mm(50) } else { mm(20) };
        let too_wide = lines
            .iter()
            .any(|line| width(line, size, Face::Bold) > room);
        // A sheet that is still empty takes whatever comes: there is none larger.
        if self.used && (self.y + high > self.limit || too_wide) {
            return false;
        }
        if !self.used && too_wide && self.drawing.width < self.drawing.height {
            return false;
        }
        for line in &lines {
            self.y += one;
            let x = (self.drawing.width - width(line, size, Face::Bold)) / 2;
            self.drawing.text(x, self.y, size, Face::Bold, line.clone());
        }
        self.y += mm(10);
        if caption {
            let w = self.stamp.words;
            let text = format!(
                "{} {} {}: {}",
                w.letters, words.height, w.or_more, words.clause
            );
            let x = (self.drawing.width - width(&text, NOTE, Face::Plain)) / 2;
            self.y += NOTE + mm(10);
            self.drawing.text(x, self.y, NOTE, Face::Plain, text);
        }
        self.y += mm(10);
        self.used = true;
        true
    }

    /// Puts a picture with its note on the sheet, or what to do where no sheet of this stock holds
    /// it; says whether there was room.
    fn picture(&mut self, picture: Option<&Drawing>, note: &str) -> bool {
        let Some(picture) = picture else {
            return self.note(note);
        };
        let room = self.drawing.width - 2 * EDGE;
        let left = self.limit - self.y - picture.height - mm(30);
        // A note in small type where only that leaves the picture its room.
        let block = [pt(90), pt(75), pt(65)]
            .map(|size| text_block(&[bold(note)], size, room))
            .into_iter()
            .reduce(|large, small| if large.height > left { small } else { large })
            .unwrap_or_else(|| Drawing::new(0, 0));
        let high = picture.height + block.height + mm(30);
        if self.drawing.width < picture.width + mm(20) || (!self.used && self.y + high > self.limit)
        {
            let w = self.stamp.words;
            let (wide, high) = (picture.width / mm(10), picture.height / mm(10));
            return self.note(&format!("{note} {}: {wide} x {high} mm.", w.does_not_fit));
        }
        if self.used && self.y + high > self.limit {
            return false;
        }
        self.y += mm(10);
        let x = (self.drawing.width - picture.width) / 2;
        self.drawing.place(picture, x, self.y);
        self.y += picture.height + mm(10);
        self.drawing.place(&block, EDGE, self.y);
        self.y += block.height + mm(10);
        self.used = true;
        true
    }

    fn note(&mut self, text: &str) -> bool {
        let block = text_block(&[bold(text)], pt(90), self.drawing.width - 2 * EDGE);
        if self.used && self.y + block.height > self.limit {
            return false;
        }
        self.drawing.place(&block, EDGE, self.y);
        self.y += block.height + mm(10);
        self.used = true;
        true
    }

    fn done(mut self) -> Option<Sheet> {
        if !self.used {
            return None;
        }
        if let Some(word) = &self.stamp.across {
            word_across(&mut self.drawing, word);
        }
        Some(Sheet {
            package: self.label.id.clone(),
            drawing: self.drawing,
        })
    }
}

/// A line of 100 mm with its ends, and what to do with it; a shorter one where the sheet is narrow
/// is never printed as 100 mm.
fn ruler(stamp: &Stamp, room: i32) -> Drawing {
    let w = stamp.words;
    let long = mm(1_000);
    // On the narrowest stock the line goes to the very edge.
    let left = ((room - long) / 2).min(0);
    let words = text_block(&[plain(w.measure)], pt(65), room);
    let mut drawing = Drawing::new(room, mm(35) + words.height);
    for tick in 0..=10 {
        let x = left + long * tick / 10;
        let high = if tick % 5 == 0 { mm(30) } else { mm(15) };
        drawing.line((x, mm(30) - high), (x, mm(30)), mm(2));
    }
    drawing.line((left, mm(30)), (left + long, mm(30)), mm(3));
    drawing.text(
        left + long / 2 + mm(10),
        mm(22),
        pt(65),
        Face::Bold,
        w.measure_title,
    );
    drawing.place(&words, 0, mm(33));
    drawing
}

#[derive(Serialize)]
struct View<'a> {
    w: crate::papers::words::Words,
    job: &'a str,
    title: &'a str,
    sheets: Vec<ShownSheet>,
}

#[derive(Serialize)]
struct ShownSheet {
    package: String,
    width: String,
    height: String,
    svg: String,
}

/// Sheets as a page in a browser; `own` is the user's own template.
pub(crate) fn html(
    title: &str,
    sheets: &[Sheet],
    stamp: &Stamp,
    own: Option<&str>,
) -> Result<String, PaperError> {
    let millimetres = |length: i32| format!("{}.{:03}", length / 1_000, length % 1_000);
    let view = View {
        w: *stamp.words,
        job: &stamp.job,
        title,
        sheets: sheets
            .iter()
            .map(|sheet| ShownSheet {
                package: sheet.package.clone(),
                width: millimetres(sheet.drawing.width),
                height: millimetres(sheet.drawing.height),
                svg: svg(&sheet.drawing, &format!("{title} {}", sheet.package)),
            })
            .collect(),
    };
    template::html("labels", "labels.html", own.unwrap_or(TEMPLATE), view)
}
