//! What stands on a page: paths and texts, in micrometres from the upper left corner.

use super::face::Face;

/// Tenths of a millimetre as micrometres: `mm(1_000)` is 100 mm.
#[must_use]
pub const fn mm(tenths: i32) -> i32 {
    tenths * 100
}

/// Tenths of a point as micrometres: `pt(95)` is 9.5 pt.
#[must_use]
pub const fn pt(tenths: i32) -> i32 {
    tenths * 25_400 / 720
}

/// What something is drawn with. Papers are black on white; grey only lies under text, orange is
/// the ground of one label.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Black.
    Black,
    /// White, on black.
    White,
    /// Grey of a word across the page.
    Grey,
    /// Ground of the label for cargo aircraft only.
    Orange,
}

/// A piece of a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seg {
    /// Begin here.
    Move(i32, i32),
    /// A straight line to here.
    Line(i32, i32),
    /// A curve by two handles to here.
    Curve(i32, i32, i32, i32, i32, i32),
    /// Back to the beginning.
    Close,
    /// A rectangle: left, top, width, height.
    Rect(i32, i32, i32, i32),
}

/// How a text lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// Level.
    None,
    /// Read from below upwards.
    Up,
    /// Along the rising diagonal of a page of this width and height.
    Diagonal(i32, i32),
}

/// One thing on a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mark {
    /// A path.
    Path {
        /// Its pieces.
        segs: Vec<Seg>,
        /// What it is filled with.
        fill: Option<Ink>,
        /// Width of its line, and what it is drawn with.
        line: Option<(i32, Ink)>,
    },
    /// A text in one line.
    Text {
        /// Left end of the base line.
        x: i32,
        /// Base line.
        y: i32,
        /// Size of the type.
        size: i32,
        /// Face.
        face: Face,
        /// What it is printed with.
        ink: Ink,
        /// Only the outlines of its letters, this wide.
        outline: Option<i32>,
        /// How it lies.
        turn: Turn,
        /// The text.
        text: String,
    },
}

/// A page, a label, a chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// Width.
    pub width: i32,
    /// Height.
    pub height: i32,
    /// What stands on it, in the order it is drawn.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// An empty one.
    #[must_use]
    pub const fn new(width: i32, height: i32) -> Self {
        Self {
            width,
            height,
            marks: Vec::new(),
        }
    }

    /// A line from one place to another.
    pub fn line(&mut self, from: (i32, i32), to: (i32, i32), width: i32) {
        self.marks.push(Mark::Path {
            segs: vec![Seg::Move(from.0, from.1), Seg::Line(to.0, to.1)],
            fill: None,
            line: Some((width, Ink::Black)),
        });
    }

    /// The outline of a rectangle.
    pub fn frame(&mut self, x: i32, y: i32, width: i32, height: i32, line: i32) {
        self.marks.push(Mark::Path {
            segs: vec![Seg::Rect(x, y, width, height)],
            fill: None,
            line: Some((line, Ink::Black)),
        });
    }

    /// A filled rectangle.
    pub fn block(&mut self, x: i32, y: i32, width: i32, height: i32, ink: Ink) {
        self.marks.push(Mark::Path {
            segs: vec![Seg::Rect(x, y, width, height)],
            fill: Some(ink),
            line: None,
        });
    }

    /// A closed or open path.
    pub fn path(&mut self, segs: Vec<Seg>, fill: Option<Ink>, line: Option<(i32, Ink)>) {
        self.marks.push(Mark::Path { segs, fill, line });
    }

    /// A level text in black.
    pub fn text(&mut self, x: i32, y: i32, size: i32, face: Face, text: impl Into<String>) {
        self.text_in(x, y, size, face, Ink::Black, text);
    }

    /// A level text.
    pub fn text_in(
        &mut self,
        x: i32,
        y: i32,
        size: i32,
        face: Face,
        ink: Ink,
        text: impl Into<String>,
    ) {
        self.marks.push(Mark::Text {
            x,
            y,
            size,
            face,
            ink,
            outline: None,
            turn: Turn::None,
            text: text.into(),
        });
    }

    /// Everything on `other`, its upper left corner at this place.
    pub fn place(&mut self, other: &Self, x: i32, y: i32) {
        self.marks
            .extend(other.marks.iter().map(|mark| moved(mark, x, y)));
    }

    /// Every text on it, in the order it is drawn.
    pub fn texts(&self) -> impl Iterator<Item = &str> {
        self.marks.iter().filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some(text.as_str()),
            Mark::Path { .. } => None,
        })
    }
}

fn moved(mark: &Mark, dx: i32, dy: i32) -> Mark {
    let mut mark = mark.clone();
    match &mut mark {
        Mark::Text { x, y, .. } => {
            *x += dx;
            *y += dy;
        }
        Mark::Path { segs, .. } => {
            for seg in segs {
                match seg {
                    Seg::Move(x, y) | Seg::Line(x, y) | Seg::Rect(x, y, _, _) => {
                        *x += dx;
                        *y += dy;
                    }
                    Seg::Curve(a, b, c, d, e, f) => {
                        for x in [a, c, e] {
                            *x += dx;
                        }
                        for y in [b, d, f] {
                            *y += dy;
                        }
                    }
                    Seg::Close => {}
                }
            }
        }
    }
    mark
}
