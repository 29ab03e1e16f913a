//! The label for cargo aircraft only, and orientation arrows.
//!
//! 49 CFR 172.448(b), edition of 2018, read: black on orange. 172.407(c)(2), read in a plain summary
//! of the section (second-hand): a rectangle at least 110 mm high and 120 mm wide, CARGO AIRCRAFT
//! ONLY in letters of at least 6.3 mm. The rules of the air say 120 mm by 110 mm too (7.4.2 of the
//! carriers' edition, second-hand). The other words and the picture are ours, after the figure from
//! memory, and the sheet says so.
//!
//! ADR 5.2.1.10.1 (read in Finnish, German and Italian restatements): two black or red arrows on
//! white or another ground that sets them off, a frame around them as one likes, on two opposite
//! upright sides; no size is given. 105 mm by 74 mm is what is sold; common practice, no source.

use crate::papers::pdf::{Drawing, Face, Ink, Seg, height_for_letters, mm, width};

/// Words of the label, as the rule has them: each line with the height of its letters.
const WORDS: [(&str, i32, i32); 4] = [
    ("CARGO AIRCRAFT", mm(78), mm(150)),
    ("ONLY", mm(78), mm(265)),
    ("FORBIDDEN IN", mm(64), mm(945)),
    ("PASSENGER AIRCRAFT", mm(64), mm(1_040)),
];

/// The label for cargo aircraft only.
pub(super) fn cargo_aircraft_only() -> Drawing {
    let (wide, high) = (mm(1_200), mm(1_100));
    let mut drawing = Drawing::new(wide, high);
    drawing.block(0, 0, wide, high, Ink::Orange);
    drawing.frame(mm(15), mm(15), wide - mm(30), high - mm(30), mm(15));
    for (words, letters, y) in WORDS {
        let size = height_for_letters(letters, Face::Bold);
        let x = (wide - width(words, size, Face::Bold)) / 2;
        drawing.text(x, y, size, Face::Bold, words);
    }
    aircraft(&mut drawing);
    drawing
}

/// A freighter seen from its side, its nose open, and boxes on their way in.
fn aircraft(drawing: &mut Drawing) {
    let at = |x: i32, y: i32| (mm(x), mm(y));
    let polygon = |drawing: &mut Drawing, points: &[(i32, i32)], ink: Ink| {
        let mut segs: Vec<Seg> = points
            .iter()
            .enumerate()
            .map(|(n, (x, y))| {
                let (x, y) = at(*x, *y);
                if n == 0 {
                    Seg::Move(x, y)
                } else {
                    Seg::Line(x, y)
                }
            })
            .collect();
        segs.push(Seg::Close);
        drawing.path(segs, Some(ink), None);
    };
    // Body and fin.
    polygon(
        drawing,
        &[
            (330, 500),
            (900, 500),
            (985, 370),
            (1_060, 370),
            (1_030, 510),
            (1_090, 530),
            (900, 640),
            (330, 640),
        ],
        Ink::Black,
    );
    // The nose, swung up.
    polygon(
        drawing,
        &[(318, 495), (300, 400), (230, 345), (190, 395), (230, 460)],
        Ink::Black,
    );
    // The wing, set off from the body.
    polygon(
        drawing,
        &[(520, 585), (640, 585), (840, 735), (770, 735)],
        Ink::Black,
    );
    for line in [((520, 585), (770, 735)), ((640, 585), (840, 735))] {
        let ((x1, y1), (x2, y2)) = line;
        drawing.path(
            vec![Seg::Move(mm(x1), mm(y1)), Seg::Line(mm(x2), mm(y2))],
            None,
            Some((mm(12), Ink::Orange)),
        );
    }
    // Wheels.
    for x in [400, 700] {
        drawing.block(mm(x), mm(650), mm(35), mm(60), Ink::Black);
        drawing.block(mm(x - 20), mm(700), mm(75), mm(40), Ink::Black);
    }
    // Boxes on a belt that rises to the nose.
    polygon(
        drawing,
        &[(110, 760), (310, 640), (310, 665), (150, 760)],
        Ink::Black,
    );
    for (x, y) in [(115, 645), (205, 590)] {
        drawing.block(mm(x), mm(y), mm(75), mm(75), Ink::Black);
        drawing.block(mm(x + 32), mm(y), mm(11), mm(75), Ink::Orange);
    }
    drawing.block(mm(90), mm(800), mm(1_020), mm(12), Ink::Black);
}

/// One field of orientation arrows.
pub(super) fn arrows() -> Drawing {
    let (wide, high) = (mm(740), mm(1_050));
    let mut drawing = Drawing::new(wide, high);
    drawing.frame(mm(15), mm(15), wide - mm(30), high - mm(30), mm(15));
    for middle in [mm(225), mm(515)] {
        let point = |x: i32, y: i32| Seg::Line(middle + mm(x), mm(y));
        drawing.path(
            vec![
                Seg::Move(middle, mm(90)),
                point(120, 380),
                point(50, 380),
                point(50, 800),
                point(-50, 800),
                point(-50, 380),
                point(-120, 380),
                Seg::Close,
            ],
            Some(Ink::Black),
            None,
        );
    }
    drawing.block(mm(90), mm(880), mm(560), mm(60), Ink::Black);
    drawing
}
