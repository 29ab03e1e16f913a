//! Label 9A, drawn: seven stripes above, a battery group with one broken and burning below, an
//! underlined 9 in the bottom corner, no text.
//!
//! ADR 2025, 5.2.2.2.1.1.2 and .3: a square of at least 100 mm set on its point, a line inside it
//! about 5 mm from the edge to the outside of the line; 5.2.2.2.1.3 and the table of models for
//! what is in it. 49 CFR 172.407(c)(1): the same, the line at least 2 mm wide; 172.447(b).

use crate::papers::pdf::{Drawing, Ink, Seg, mm};

/// Side of the square.
pub(super) const SIDE: i32 = mm(1_000);
/// Corner to corner, rounded up so that the side is never short.
pub(super) const ACROSS: i32 = 141_424;
const HALF: i32 = ACROSS / 2;
/// Half the diagonal of the middle of the inner line: its outside is 5 mm from the edge.
const LINE: i32 = 62_225;
const LINE_WIDTH: i32 = mm(20);
/// Half the diagonal inside of it.
const CLEAR: i32 = 60_811;
/// A stripe, and a gap between two.
const STRIPE: i32 = mm(80);

/// The label standing on its point, or upright where the stock is too narrow for that.
pub(super) fn diamond(upright: bool) -> Drawing {
    let size = if upright { SIDE } else { ACROSS };
    let mut art = Art {
        drawing: Drawing::new(size, size),
        upright,
        middle: size / 2,
    };
    art.square(HALF, Some(mm(3)));
    art.square(LINE, Some(LINE_WIDTH));
    art.stripes();
    art.batteries();
    art.flame();
    art.nine();
    art.drawing
}

/// A piece of the flame, in tenths of a millimetre.
enum FlamePart {
    From(i32, i32),
    To(i32, i32, i32, i32, i32, i32),
}

/// The drawing with its middle as the origin; everything is thought of as standing on its point.
struct Art {
    drawing: Drawing,
    upright: bool,
    middle: i32,
}

impl Art {
    /// A place on the sheet: turned by an eighth where the square lies level.
    fn at(&self, x: i32, y: i32) -> (i32, i32) {
        if !self.upright {
            return (self.middle + x, self.middle + y);
        }
        // 0.70711 is half the root of two.
        let turn = |value: i32| {
            let scaled = i64::from(value) * 70_711;
            i32::try_from((scaled + scaled.signum() * 50_000) / 100_000).unwrap_or(0)
        };
        (self.middle + turn(x - y), self.middle + turn(x + y))
    }

    fn shape(&mut self, points: &[(i32, i32)], fill: Option<Ink>, line: Option<i32>) {
        let mut segs: Vec<Seg> = points
            .iter()
            .enumerate()
            .map(|(n, (x, y))| {
                let (x, y) = self.at(*x, *y);
                if n == 0 {
                    Seg::Move(x, y)
                } else {
                    Seg::Line(x, y)
                }
            })
            .collect();
        segs.push(Seg::Close);
        self.drawing
            .path(segs, fill, line.map(|width| (width, Ink::Black)));
    }

    fn square(&mut self, half: i32, line: Option<i32>) {
        self.shape(&[(0, -half), (half, 0), (0, half), (-half, 0)], None, line);
    }

    /// Seven, as wide as the gaps between them, from the middle up to the line.
    fn stripes(&mut self) {
        for n in 0..7 {
            let left = (2 * n - 6) * STRIPE - STRIPE / 2;
            let right = left + STRIPE;
            let top = |x: i32| -(CLEAR - x.abs());
            let mut points = vec![(left, 0), (left, top(left))];
            if left < 0 && right > 0 {
                points.push((0, top(0)));
            }
            points.extend([(right, top(right)), (right, 0)]);
            self.shape(&points, Some(Ink::Black), None);
        }
    }

    /// Two whole ones and a broken one.
    fn batteries(&mut self) {
        for left in [mm(-250), mm(-120)] {
            self.block(left, mm(105), mm(105), mm(230));
            self.block(left + mm(33), mm(80), mm(39), mm(30));
        }
        let (left, right) = (mm(10), mm(115));
        let crack = [(0, 225), (35, 205), (65, 235), (105, 200)];
        let edge = |down: i32| crack.map(|(x, y)| (left + mm(x), mm(y + down)));
        let mut upper = edge(0).to_vec();
        upper.extend([(right, mm(105)), (left, mm(105))]);
        self.shape(&upper, Some(Ink::Black), None);
        self.block(left + mm(33), mm(80), mm(39), mm(30));
        let mut lower = edge(24).to_vec();
        lower.extend([(right, mm(335)), (left, mm(335))]);
        self.shape(&lower, Some(Ink::Black), None);
    }

    fn block(&mut self, left: i32, top: i32, wide: i32, high: i32) {
        let (right, bottom) = (left + wide, top + high);
        self.shape(
            &[(left, top), (right, top), (right, bottom), (left, bottom)],
            Some(Ink::Black),
            None,
        );
    }

    /// A flame beside the broken battery, white inside.
    fn flame(&mut self) {
        use FlamePart::{From, To};
        let outer = [
            From(200, 60),
            To(215, 130, 265, 160, 255, 235),
            To(250, 285, 215, 320, 180, 320),
            To(145, 320, 128, 290, 128, 262),
            To(128, 230, 150, 215, 152, 178),
            To(168, 190, 174, 200, 176, 214),
            To(196, 180, 206, 130, 200, 60),
        ];
        let inner = [
            From(194, 232),
            To(206, 262, 216, 270, 210, 288),
            To(205, 303, 192, 306, 182, 304),
            To(164, 300, 158, 282, 166, 268),
            To(176, 254, 190, 250, 194, 232),
        ];
        self.curves(&outer, Ink::Black);
        self.curves(&inner, Ink::White);
    }

    fn curves(&mut self, parts: &[FlamePart], ink: Ink) {
        let mut segs = Vec::with_capacity(parts.len() + 1);
        for part in parts {
            segs.push(match *part {
                FlamePart::From(x, y) => {
                    let (x, y) = self.at(mm(x), mm(y));
                    Seg::Move(x, y)
                }
                FlamePart::To(a, b, c, d, e, f) => {
                    let ((a, b), (c, d), (e, f)) = (
                        self.at(mm(a), mm(b)),
                        self.at(mm(c), mm(d)),
                        self.at(mm(e), mm(f)),
                    );
                    Seg::Curve(a, b, c, d, e, f)
                }
            });
        }
        segs.push(Seg::Close);
        self.drawing.path(segs, Some(ink), None);
    }

    /// A 9 of strokes, and the line under it.
    fn nine(&mut self) {
        let (middle, radius, width) = (mm(430), mm(34), mm(21));
        let handle = radius * 552 / 1_000;
        let ring = [
            (0, -radius, None),
            (radius, 0, Some((handle, -radius, radius, -handle))),
            (0, radius, Some((radius, handle, handle, radius))),
            (-radius, 0, Some((-handle, radius, -radius, handle))),
            (0, -radius, Some((-radius, -handle, -handle, -radius))),
        ];
        let mut segs: Vec<Seg> = ring
            .iter()
            .map(|(x, y, handles)| {
                let (ex, ey) = self.at(*x, middle + *y);
                match handles {
                    None => Seg::Move(ex, ey),
                    Some((a, b, c, d)) => {
                        let ((a, b), (c, d)) = (self.at(*a, middle + *b), self.at(*c, middle + *d));
                        Seg::Curve(a, b, c, d, ex, ey)
                    }
                }
            })
            .collect();
        segs.push(Seg::Close);
        let (x, y) = self.at(radius, middle);
        segs.push(Seg::Move(x, y));
        let ((a, b), (c, d), (e, f)) = (
            self.at(radius, middle + mm(45)),
            self.at(mm(14), middle + mm(76)),
            self.at(mm(-24), middle + mm(78)),
        );
        segs.push(Seg::Curve(a, b, c, d, e, f));
        self.drawing.path(segs, None, Some((width, Ink::Black)));
        self.block(mm(-52), mm(537), mm(104), mm(18));
    }
}
