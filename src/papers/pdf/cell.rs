//! Cells of a table and the shapes that stand beside a state's word. A shape never stands alone.

use super::drawing::{Drawing, Ink, Seg, mm};
use super::text::{Line, Run, bold, plain, wrap};

/// A shape; no two alike where they can be taken for each other in black.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// An outlined box with a tick.
    Tick,
    /// The same with a bar under it.
    TickBar,
    /// A striped box.
    Stripes,
    /// A black box with a white cross.
    SolidCross,
    /// A black triangle with a white exclamation mark.
    SolidWarning,
    /// A ring.
    Ring,
    /// A ring, half of it black.
    Half,
}

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Cell {
    /// What it says.
    pub runs: Vec<Run>,
    /// A shape before it.
    pub shape: Option<Shape>,
    /// Further states under it, each with its own shape.
    pub more: Vec<(Shape, Vec<Run>)>,
}

impl Cell {
    /// A cell in the regular face.
    #[must_use]
    pub fn plain(text: impl Into<String>) -> Self {
        Self {
            runs: vec![plain(text)],
            ..Self::default()
        }
    }

    /// A cell in the bold face.
    #[must_use]
    pub fn bold(text: impl Into<String>) -> Self {
        Self {
            runs: vec![bold(text)],
            ..Self::default()
        }
    }

    /// A word with its shape.
    #[must_use]
    pub fn state(shape: Shape, text: impl Into<String>) -> Self {
        Self {
            runs: vec![plain(text)],
            shape: Some(shape),
            more: Vec::new(),
        }
    }

    /// Several states, one under the other, each with its shape.
    #[must_use]
    pub fn states(states: Vec<(Shape, Vec<Run>)>) -> Self {
        let mut states = states.into_iter();
        let (shape, runs) = states
            .next()
            .map_or((None, Vec::new()), |(shape, runs)| (Some(shape), runs));
        Self {
            runs,
            shape,
            more: states.collect(),
        }
    }

    /// Its lines at most `room` wide, and the lines that a shape stands before.
    pub(super) fn lines(&self, size: i32, room: i32) -> (Vec<Line>, Vec<(usize, Shape)>) {
        let mut lines = wrap(&self.runs, size, room);
        let mut shapes: Vec<(usize, Shape)> =
            self.shape.map(|shape| (0, shape)).into_iter().collect();
        for (shape, runs) in &self.more {
            shapes.push((lines.len(), *shape));
            lines.extend(wrap(runs, size, room));
        }
        (lines, shapes)
    }

    /// Several runs.
    #[must_use]
    pub const fn runs(runs: Vec<Run>) -> Self {
        Self {
            runs,
            shape: None,
            more: Vec::new(),
        }
    }
}

/// Side of a shape.
pub(super) const SIDE: i32 = mm(32);

impl Shape {
    /// The shape as a drawing of its own, for a page in a browser.
    #[must_use]
    pub fn alone(self) -> Drawing {
        let mut drawing = Drawing::new(SIDE, SIDE);
        self.draw(&mut drawing, 0, 0);
        drawing
    }

    /// Draws it, its upper left corner at this place.
    pub fn draw(self, on: &mut Drawing, x: i32, y: i32) {
        // The shapes are given on a field of 16 by 16.
        let at = |across: i32, down: i32| (x + SIDE * across / 32, y + SIDE * down / 32);
        let width = SIDE / 11;
        let lines = |on: &mut Drawing, points: &[(i32, i32)], width: i32, ink: Ink| {
            let mut segs = Vec::with_capacity(points.len());
            for (n, (across, down)) in points.iter().enumerate() {
                let (x, y) = at(*across, *down);
                segs.push(if n == 0 {
                    Seg::Move(x, y)
                } else {
                    Seg::Line(x, y)
                });
            }
            on.path(segs, None, Some((width, ink)));
        };
        let framed = |on: &mut Drawing| {
            let (left, top) = at(2, 2);
            on.frame(left, top, SIDE * 28 / 32, SIDE * 28 / 32, width);
        };
        match self {
            Self::Tick => {
                framed(on);
                lines(on, &[(8, 17), (14, 23), (24, 9)], SIDE / 8, Ink::Black);
            }
            Self::TickBar => {
                framed(on);
                lines(on, &[(8, 12), (14, 18), (24, 5)], SIDE / 8, Ink::Black);
                lines(on, &[(2, 25), (30, 25)], SIDE * 3 / 16, Ink::Black);
            }
            Self::Stripes => {
                framed(on);
                for line in [
                    [(2, 12), (12, 2)],
                    [(2, 22), (22, 2)],
                    [(4, 30), (30, 4)],
                    [(14, 30), (30, 14)],
                    [(24, 30), (30, 24)],
                ] {
                    lines(on, &line, width, Ink::Black);
                }
            }
            Self::SolidCross => {
                on.block(x, y, SIDE, SIDE, Ink::Black);
                lines(on, &[(8, 8), (24, 24)], SIDE / 7, Ink::White);
                lines(on, &[(24, 8), (8, 24)], SIDE / 7, Ink::White);
            }
            Self::SolidWarning => {
                let ((a, b), (c, d), (e, f)) = (at(16, 0), at(32, 32), at(0, 32));
                on.path(
                    vec![
                        Seg::Move(a, b),
                        Seg::Line(c, d),
                        Seg::Line(e, f),
                        Seg::Close,
                    ],
                    Some(Ink::Black),
                    None,
                );
                lines(on, &[(16, 11), (16, 22)], SIDE / 8, Ink::White);
                lines(on, &[(16, 25), (16, 29)], SIDE / 8, Ink::White);
            }
            Self::Ring | Self::Half => {
                let (cx, cy) = at(16, 16);
                circle(
                    on,
                    (cx, cy),
                    SIDE * 13 / 32,
                    None,
                    Some((SIDE / 9, Ink::Black)),
                );
                if self == Self::Half {
                    let radius = SIDE * 13 / 32;
                    let handle = radius * 552 / 1_000;
                    on.path(
                        vec![
                            Seg::Move(cx, cy - radius),
                            Seg::Curve(
                                cx + handle,
                                cy - radius,
                                cx + radius,
                                cy - handle,
                                cx + radius,
                                cy,
                            ),
                            Seg::Curve(
                                cx + radius,
                                cy + handle,
                                cx + handle,
                                cy + radius,
                                cx,
                                cy + radius,
                            ),
                            Seg::Close,
                        ],
                        Some(Ink::Black),
                        None,
                    );
                }
            }
        }
    }
}

/// A circle of four curves.
pub(super) fn circle(
    on: &mut Drawing,
    (x, y): (i32, i32),
    radius: i32,
    fill: Option<Ink>,
    line: Option<(i32, Ink)>,
) {
    let handle = radius * 552 / 1_000;
    on.path(
        vec![
            Seg::Move(x, y - radius),
            Seg::Curve(
                x + handle,
                y - radius,
                x + radius,
                y - handle,
                x + radius,
                y,
            ),
            Seg::Curve(
                x + radius,
                y + handle,
                x + handle,
                y + radius,
                x,
                y + radius,
            ),
            Seg::Curve(
                x - handle,
                y + radius,
                x - radius,
                y + handle,
                x - radius,
                y,
            ),
            Seg::Curve(
                x - radius,
                y - handle,
                x - handle,
                y - radius,
                x,
                y - radius,
            ),
            Seg::Close,
        ],
        fill,
        line,
    );
}
