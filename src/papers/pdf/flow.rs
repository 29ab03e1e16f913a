//! Pages that follow each other: a head, text downwards, a foot with page x of y.

use super::drawing::{Drawing, Ink, Mark, Turn, mm, pt};
use super::face::Face;
use super::measure::width;
use super::text::{Line, Run, bold, plain, wrap};

/// What a printer is loaded with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stock {
    /// 210 x 297 mm.
    A4,
    /// 148 x 210 mm.
    A5,
    /// 105 x 148 mm.
    A6,
    /// 8.5 x 11 in.
    Letter,
    /// 4 x 6 in.
    FourBySix,
}

impl Stock {
    /// Every stock, with the name that is typed.
    pub const ALL: [(&'static str, Self); 5] = [
        ("a4", Self::A4),
        ("a5", Self::A5),
        ("a6", Self::A6),
        ("letter", Self::Letter),
        ("4x6", Self::FourBySix),
    ];

    /// What papers are printed on where nobody says: Letter where people weigh in pounds.
    #[must_use]
    pub const fn usual(american: bool) -> Self {
        if american { Self::Letter } else { Self::A4 }
    }

    /// The name that is typed and printed.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A5 => "A5",
            Self::A6 => "A6",
            Self::Letter => "Letter",
            Self::FourBySix => "4 x 6 in",
        }
    }

    /// The size of a page for a style sheet.
    pub(crate) const fn css(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A5 => "A5",
            // Style sheets have no word for it.
            Self::A6 => "105mm 148mm",
            Self::Letter => "letter",
            Self::FourBySix => "4in 6in",
        }
    }

    /// Width and height in micrometres (ISO 216; inches of 25.4 mm).
    #[must_use]
    pub const fn size(self) -> (i32, i32) {
        match self {
            Self::A4 => (210_000, 297_000),
            Self::A5 => (148_000, 210_000),
            Self::A6 => (105_000, 148_000),
            Self::Letter => (215_900, 279_400),
            Self::FourBySix => (101_600, 152_400),
        }
    }
}

/// What stands at the top and the bottom of every page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// What the paper is.
    pub title: String,
    /// What it belongs to: the job.
    pub of: String,
    /// The word across a paper that may not be used.
    pub across: Option<String>,
    /// Rule set, edition, issue, ledger.
    pub foot: String,
    /// `page` and `of` in the language of the paper.
    pub page: (&'static str, &'static str),
}

const SIDE: i32 = mm(140);
const TOP: i32 = mm(110);
const BOTTOM: i32 = mm(90);
const FOOT_SIZE: i32 = pt(75);

/// A paper while it is written, downwards.
pub struct Flow {
    head: Head,
    size: (i32, i32),
    done: Vec<Drawing>,
    page: Option<Drawing>,
    y: i32,
    foot: Vec<Line>,
}

/// Distance from one base line to the next.
pub(super) const fn leading(size: i32) -> i32 {
    size * 122 / 100
}

impl Flow {
    /// The first page with its head.
    #[must_use]
    pub fn new(stock: Stock, head: Head) -> Self {
        let size = stock.size();
        let room = size.0 - 2 * SIDE - mm(260);
        let foot = wrap(&[plain(head.foot.clone())], FOOT_SIZE, room);
        let mut flow = Self {
            head,
            size,
            done: Vec::new(),
            page: None,
            y: 0,
            foot,
        };
        flow.next_page();
        flow
    }

    /// Left edge of the text.
    #[must_use]
    pub const fn left(&self) -> i32 {
        SIDE
    }

    /// Width of the text.
    #[must_use]
    pub const fn room(&self) -> i32 {
        self.size.0 - 2 * SIDE
    }

    /// Where the next thing goes.
    #[must_use]
    pub const fn y(&self) -> i32 {
        self.y
    }

    /// Puts the next thing here.
    pub const fn set_y(&mut self, y: i32) {
        self.y = y;
    }

    /// Below this nothing may stand.
    #[must_use]
    pub fn limit(&self) -> i32 {
        let lines = i32::try_from(self.foot.len()).unwrap_or(1).max(1);
        self.size.1 - BOTTOM - lines * leading(FOOT_SIZE) - mm(15)
    }

    /// Height of the text on a page behind the first.
    pub(super) fn page_room(&self) -> i32 {
        self.limit() - TOP - mm(80)
    }

    /// The page that is being written.
    pub fn page(&mut self) -> &mut Drawing {
        let (wide, high) = self.size;
        self.page.get_or_insert_with(|| Drawing::new(wide, high))
    }

    /// Begins a page.
    pub fn next_page(&mut self) {
        let before = self.page.take();
        let first = before.is_none();
        self.done.extend(before);
        if first {
            self.first_head();
        } else {
            self.later_head();
        }
    }

    /// Begins a page where there is not this much room left; says whether it did.
    pub fn need(&mut self, height: i32) -> bool {
        if self.y + height <= self.limit() {
            return false;
        }
        self.next_page();
        true
    }

    fn first_head(&mut self) {
        let Head {
            title, of, across, ..
        } = self.head.clone();
        let right = self.size.0 - SIDE;
        let title_size = pt(180);
        let of_size = pt(130);
        let base = TOP + title_size * 3 / 4;
        let title_width = width(&title, title_size, Face::Bold);
        let lines = wrap(
            &[bold(of)],
            of_size,
            (self.room() - title_width - mm(60)).max(mm(400)),
        );
        let page = self.page();
        page.text(SIDE, base, title_size, Face::Bold, title);
        let mut y = base;
        for (n, line) in lines.iter().enumerate() {
            if n > 0 {
                y += leading(of_size);
            }
            for (_, run) in line {
                let x = right - width(&run.text, of_size, run.face);
                page.text(x, y, of_size, run.face, run.text.clone());
            }
        }
        y += mm(25);
        page.line((SIDE, y), (right, y), mm(7));
        self.y = y + mm(30);
        if let Some(word) = across {
            let size = pt(130);
            let lines = wrap(&[bold(word)], size, self.room() - mm(60));
            let height = leading(size) * i32::try_from(lines.len()).unwrap_or(1) + mm(25);
            let (x, y, room) = (SIDE, self.y, self.room());
            let page = self.page();
            page.frame(x, y, room, height, mm(7));
            draw(page, &lines, x + mm(30), y + mm(15), size);
            self.y += height + mm(20);
        }
    }

    fn later_head(&mut self) {
        let Head { title, of, .. } = self.head.clone();
        let right = self.size.0 - SIDE;
        let size = pt(95);
        let base = TOP + size * 3 / 4;
        let page = self.page();
        page.text(SIDE, base, size, Face::Bold, title);
        page.text(
            right - width(&of, size, Face::Bold),
            base,
            size,
            Face::Bold,
            of,
        );
        page.line((SIDE, base + mm(15)), (right, base + mm(15)), mm(4));
        self.y = base + mm(40);
    }

    /// A blank stretch.
    pub const fn space(&mut self, height: i32) {
        self.y += height;
    }

    /// A heading that stays with the three lines behind it.
    pub fn heading(&mut self, text: &str) {
        let size = pt(110);
        self.need(leading(size) + 4 * leading(pt(95)));
        self.space(mm(20));
        self.runs(&[bold(text)], size);
        self.space(mm(5));
    }

    /// A paragraph over the whole width.
    pub fn runs(&mut self, runs: &[Run], size: i32) {
        self.indented(runs, size, 0);
    }

    /// A paragraph with `indent` on its left.
    pub fn indented(&mut self, runs: &[Run], size: i32, indent: i32) {
        let lines = wrap(runs, size, self.room() - indent);
        for line in &lines {
            self.need(leading(size));
            let y = self.y;
            let page = self.page();
            draw(page, std::slice::from_ref(line), SIDE + indent, y, size);
            self.y += leading(size);
        }
    }

    /// A list, each with a dash before it.
    pub fn list(&mut self, items: &[String], size: i32) {
        let indent = mm(45);
        for item in items {
            self.need(leading(size) * 2);
            let y = self.y;
            let base = y + size * 3 / 4 + (leading(size) - size) / 2;
            self.page()
                .text(SIDE + mm(10), base, size, Face::Plain, "\u{2013}");
            self.indented(&[plain(item.clone())], size, indent);
            self.space(mm(6));
        }
    }

    /// Boxes to sign in, two in a row: who it is, and what is asked of him. They stay together;
    /// where they begin a page, `again` says there what is signed.
    pub fn sign(&mut self, again: &str, boxes: &[(String, String)]) {
        let size = pt(90);
        let high = mm(135);
        self.space(mm(20));
        let rows = i32::try_from(boxes.len().div_ceil(2)).unwrap_or(1);
        let all = rows * (high + mm(20));
        if self.need(all.min(self.page_room() / 2)) && !again.is_empty() {
            self.runs(&[bold(again)], pt(100));
            self.space(mm(20));
        }
        for pair in boxes.chunks(2) {
            self.need(high + mm(20));
            let half = self.room() / 2;
            let y = self.y;
            let page = self.page();
            for (x, (who, asked)) in [SIDE, SIDE + half].into_iter().zip(pair) {
                let lines = wrap(&[plain(who.clone())], size, half * 2 / 5 - mm(20));
                draw(page, &lines, x, y, size);
                let at = x + half * 2 / 5;
                let end = if x == SIDE {
                    x + half - mm(20)
                } else {
                    x + half
                };
                page.frame(at, y, end - at, high, mm(2));
                page.text(
                    at + mm(10),
                    y + high - mm(12),
                    pt(75),
                    Face::Plain,
                    asked.clone(),
                );
            }
            self.y += high + mm(20);
        }
    }

    /// Every page, finished: foot, page x of y, the word across.
    #[must_use]
    pub fn finish(mut self) -> Vec<Drawing> {
        self.done.extend(self.page.take());
        let count = self.done.len();
        let (wide, high) = self.size;
        let across = self.head.across.clone();
        let lines = i32::try_from(self.foot.len()).unwrap_or(1).max(1);
        let y = high - BOTTOM - lines * leading(FOOT_SIZE);
        for (n, page) in self.done.iter_mut().enumerate() {
            page.line((SIDE, y - mm(5)), (wide - SIDE, y - mm(5)), mm(2));
            draw(page, &self.foot, SIDE, y, FOOT_SIZE);
            let (page_word, of) = self.head.page;
            let words = format!("{page_word} {} {of} {count}", n + 1);
            let size = pt(90);
            let x = wide - SIDE - width(&words, size, Face::Plain);
            page.text(x, y + size, size, Face::Plain, words);
            if let Some(word) = &across {
                word_across(page, word);
            }
        }
        self.done
    }
}

/// The pages of a paper by its size of type in per cent: a little smaller where that saves a page, so
/// that no page carries a signature alone. A paper of more than `most` pages is left as it is.
pub fn fewest(most: usize, pages: impl Fn(i32) -> Vec<Drawing>) -> Vec<Drawing> {
    let large = pages(100);
    if !(2..=most).contains(&large.len()) {
        return large;
    }
    [91, 85]
        .into_iter()
        .map(&pages)
        .find(|small| small.len() < large.len())
        .unwrap_or(large)
}

/// The word along the diagonal, as outlines, so that what lies under it stays legible.
pub fn word_across(page: &mut Drawing, word: &str) {
    let (wide, high) = (i64::from(page.width), i64::from(page.height));
    let long = (wide * wide + high * high).isqrt();
    let room = i32::try_from(long * 3 / 4).unwrap_or(i32::MAX);
    let at_one = width(word, mm(100), Face::Bold).max(1);
    let size = i32::try_from(i64::from(room) * i64::from(mm(100)) / i64::from(at_one))
        .unwrap_or(mm(100))
        .min(mm(400));
    let text_width = i64::from(width(word, size, Face::Bold));
    // The middle of the text lies on the middle of the page.
    let (cos, sin) = (wide * 1_000 / long, high * 1_000 / long);
    let half_high = i64::from(size) * 36 / 100;
    let x = wide / 2 - text_width * cos / 2_000 + half_high * sin / 1_000;
    let y = high / 2 + text_width * sin / 2_000 + half_high * cos / 1_000;
    page.marks.push(Mark::Text {
        x: i32::try_from(x).unwrap_or(0),
        y: i32::try_from(y).unwrap_or(0),
        size,
        face: Face::Bold,
        ink: Ink::Grey,
        outline: Some(mm(4)),
        turn: Turn::Diagonal(page.width, page.height),
        text: word.to_owned(),
    });
}

/// Lines downwards from `y`, their left edge at `x`.
pub(super) fn draw(page: &mut Drawing, lines: &[Line], x: i32, y: i32, size: i32) {
    let mut base = y + size * 3 / 4 + (leading(size) - size) / 2;
    for line in lines {
        for (offset, run) in line {
            page.text(x + offset, base, size, run.face, run.text.clone());
        }
        base += leading(size);
    }
}

/// The runs as a block of its own, at most `room` wide.
#[must_use]
pub fn text_block(runs: &[Run], size: i32, room: i32) -> Drawing {
    let lines = wrap(runs, size, room);
    let count = i32::try_from(lines.len()).unwrap_or(i32::MAX);
    let mut block = Drawing::new(room, leading(size).saturating_mul(count));
    draw(&mut block, &lines, 0, 0, size);
    block
}
