//! Two small charts: the temperature of a module over time, and its state of charge as an interval
//! on the resting curve of its chemistry. Whole thousandths in, a drawing out.

use crate::papers::pdf::{Drawing, Face, Ink, Seg, mm, pt, width};
use crate::papers::words::Words;

const WIDE: i32 = mm(820);
const HIGH: i32 = mm(550);
const LEFT: i32 = mm(120);
const TOP: i32 = mm(95);
const RIGHT: i32 = mm(30);
const BOTTOM: i32 = mm(95);
const TYPE: i32 = pt(75);

/// A reading: minutes since the first, face, air; the temperatures in thousandths of a degree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TrendPoint {
    pub(super) minutes: i64,
    pub(super) face: i64,
    pub(super) air: Option<i64>,
}

/// A field with its two ranges, in thousandths.
struct Plot {
    drawing: Drawing,
    x: (i64, i64),
    y: (i64, i64),
}

impl Plot {
    fn new(title: &str, x: (i64, i64), y: (i64, i64), x_title: &str, y_title: &str) -> Self {
        let mut drawing = Drawing::new(WIDE, HIGH);
        drawing.text(0, mm(32), pt(90), Face::Bold, title);
        drawing.frame(LEFT, TOP, WIDE - LEFT - RIGHT, HIGH - TOP - BOTTOM, mm(3));
        drawing.text(LEFT, TOP - mm(14), TYPE, Face::Plain, y_title);
        let long = width(x_title, TYPE, Face::Plain);
        drawing.text(
            WIDE - RIGHT - long,
            HIGH - mm(10),
            TYPE,
            Face::Plain,
            x_title,
        );
        Self { drawing, x, y }
    }

    fn at_x(&self, value: i64) -> i32 {
        place(value, self.x, LEFT, WIDE - RIGHT)
    }

    fn at_y(&self, value: i64) -> i32 {
        place(value, self.y, HIGH - BOTTOM, TOP)
    }

    fn ticks(&mut self, x_step: i64, y_step: i64) {
        let mut x = self.x.0;
        while x <= self.x.1 && x_step > 0 {
            let at = self.at_x(x);
            let words = plain_number(x);
            let half = width(&words, TYPE, Face::Plain) / 2;
            self.drawing
                .line((at, HIGH - BOTTOM), (at, HIGH - BOTTOM + mm(10)), mm(2));
            self.drawing
                .text(at - half, HIGH - BOTTOM + mm(38), TYPE, Face::Plain, words);
            x += x_step;
        }
        let mut y = self.y.0;
        while y <= self.y.1 && y_step > 0 {
            let at = self.at_y(y);
            let words = plain_number(y);
            let long = width(&words, TYPE, Face::Plain);
            self.drawing.line((LEFT - mm(10), at), (LEFT, at), mm(2));
            self.drawing.text(
                LEFT - mm(18) - long,
                at + TYPE / 3,
                TYPE,
                Face::Plain,
                words,
            );
            y += y_step;
        }
    }

    fn curve(&mut self, points: &[(i64, i64)], line: i32) {
        let segs = points
            .iter()
            .enumerate()
            .map(|(n, (x, y))| {
                let (x, y) = (self.at_x(*x), self.at_y(*y));
                if n == 0 {
                    Seg::Move(x, y)
                } else {
                    Seg::Line(x, y)
                }
            })
            .collect();
        self.drawing.path(segs, None, Some((line, Ink::Black)));
    }

    fn says(mut self, words: &str) -> Drawing {
        self.drawing.text(
            LEFT + mm(120),
            HIGH - BOTTOM - mm(120),
            pt(90),
            Face::Bold,
            words,
        );
        self.drawing
    }
}

fn place(value: i64, (from, to): (i64, i64), left: i32, right: i32) -> i32 {
    let range = (to - from).max(1);
    let run = i64::from(right) - i64::from(left);
    left + i32::try_from((value - from) * run / range).unwrap_or(0)
}

fn plain_number(thousandths: i64) -> String {
    crate::units::Decimal::from_thousandths(thousandths).to_string()
}

/// 1, 2 or 5 times a power of ten that cuts the range into at most six.
fn step(range: i64) -> i64 {
    let mut ten = 1;
    while range / (ten * 5) > 6 && ten < i64::MAX / 100 {
        ten *= 10;
    }
    let fits = |step: &i64| range / step <= 6;
    [ten, ten * 2, ten * 5]
        .into_iter()
        .find(fits)
        .unwrap_or(ten * 10)
}

/// The hottest face over time, the air as a broken line.
pub(super) fn trend(points: &[TrendPoint], w: &Words) -> Drawing {
    let all = points
        .iter()
        .flat_map(|point| [Some(point.face), point.air])
        .flatten();
    let (low, high) = (all.clone().min().unwrap_or(0), all.max().unwrap_or(10_000));
    // Ten kelvin at the least, so that the noise of a thermometer does not look like a fire.
    let low = (low - 2_000).div_euclid(5_000) * 5_000;
    let high = (high + 6_999).div_euclid(5_000) * 5_000;
    let high = high.max(low + 10_000);
    let last = points.iter().map(|point| point.minutes).max().unwrap_or(0);
    let x_step = step(last.max(10)) * 1_000;
    let end = (last * 1_000).max(10_000);
    let end = (end + x_step - 1).div_euclid(x_step) * x_step;
    let mut plot = Plot::new(
        w.temperature_trend,
        (0, end),
        (low, high),
        w.minutes_axis,
        w.temperature_axis,
    );
    plot.ticks(x_step, 5_000.max(step((high - low) / 1_000) * 1_000));
    if points.is_empty() {
        return plot.says(w.no_reading);
    }
    let face: Vec<(i64, i64)> = points
        .iter()
        .map(|point| (point.minutes * 1_000, point.face))
        .collect();
    if face.len() > 1 {
        plot.curve(&face, mm(5));
    }
    for (x, y) in &face {
        let (x, y) = (plot.at_x(*x), plot.at_y(*y));
        plot.drawing
            .block(x - mm(8), y - mm(8), mm(16), mm(16), Ink::Black);
    }
    let air: Vec<(i64, i64)> = points
        .iter()
        .filter_map(|point| Some((point.minutes * 1_000, point.air?)))
        .collect();
    for pair in air.windows(2) {
        if let [from, to] = pair {
            dashed(&mut plot, *from, *to);
        }
    }
    for (x, y) in &air {
        let (x, y) = (plot.at_x(*x), plot.at_y(*y));
        plot.drawing
            .frame(x - mm(7), y - mm(7), mm(14), mm(14), mm(3));
    }
    // What the two signs mean, in the upper corner.
    let (x, y) = (LEFT + mm(20), TOP + mm(40));
    plot.drawing
        .block(x, y - mm(18), mm(16), mm(16), Ink::Black);
    plot.drawing.text(x + mm(28), y, TYPE, Face::Plain, w.face);
    let x = x + mm(130);
    plot.drawing.frame(x, y - mm(17), mm(14), mm(14), mm(3));
    plot.drawing.text(x + mm(28), y, TYPE, Face::Plain, w.air);
    if points.len() == 1 {
        plot.drawing
            .text(LEFT + mm(250), y, TYPE, Face::Plain, w.one_reading);
    }
    plot.drawing
}

fn dashed(plot: &mut Plot, from: (i64, i64), to: (i64, i64)) {
    let (x0, y0) = (plot.at_x(from.0), plot.at_y(from.1));
    let (x1, y1) = (plot.at_x(to.0), plot.at_y(to.1));
    let count = ((x1 - x0).abs() / mm(30)).clamp(1, 200);
    for n in 0..count {
        let at = |part: i32| {
            (
                x0 + (x1 - x0) * part / (count * 2),
                y0 + (y1 - y0) * part / (count * 2),
            )
        };
        plot.drawing.line(at(2 * n), at(2 * n + 1), mm(3));
    }
}

/// The curve in millivolts at each per cent, and the interval on it, in thousandths of a per cent.
pub(super) fn charge(curve: Option<&[i64]>, interval: Option<(i64, i64)>, w: &Words) -> Drawing {
    let millivolts = curve.unwrap_or_default();
    let low = millivolts.iter().min().copied().unwrap_or(2_000);
    let high = millivolts.iter().max().copied().unwrap_or(4_000);
    let (low, high) = (low / 200 * 200, (high + 199) / 200 * 200);
    let mut plot = Plot::new(
        w.charge_curve,
        (0, 100_000),
        (low, high),
        w.charge_axis,
        w.cell_axis,
    );
    plot.ticks(20_000, 400);
    if let Some((from, to)) = interval {
        // A hatched band says the interval even where no curve is at hand.
        let (left, right) = (plot.at_x(from), plot.at_x(to).max(plot.at_x(from) + mm(5)));
        let (top, bottom) = (TOP, HIGH - BOTTOM);
        plot.drawing
            .frame(left, top, right - left, bottom - top, mm(3));
        let mut down = top;
        while down < bottom {
            let run = (right - left).min(bottom - down);
            plot.drawing
                .line((left, down), (left + run, down + run), mm(1));
            down += mm(35);
        }
    }
    if millivolts.is_empty() {
        return plot.says(w.no_curve);
    }
    let points: Vec<(i64, i64)> = (0..)
        .map(|percent: i64| percent * 1_000)
        .zip(millivolts.iter().copied())
        .collect();
    plot.curve(&points, mm(6));
    if interval.is_none() {
        return plot.says(w.taken_as_full);
    }
    plot.drawing
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_few() {
        for (range, wanted) in [(5, 1), (10, 2), (30, 5), (60, 10), (120, 20), (1_440, 500)] {
            assert_eq!(step(range), wanted, "{range}");
        }
    }
}
