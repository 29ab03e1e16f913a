//! The package's own label: from, to, package, job, mass, count, state of charge, seal, code.

use super::pages::Sheet;
use super::take::PackageLabel;
use crate::papers::pdf::{
    Drawing, Face, Stock, bars, bold, each, gs1_128, height_for_letters, mm, piece, plain, pt, qr,
    text_block, tiled, width, word_across,
};
use crate::papers::stamp::Stamp;

const EDGE: i32 = mm(40);
/// GS1 General Specifications, 2D symbols in logistics: 1.5 times 0.495 mm (read second-hand).
const MODULE: i32 = 743;
/// The same, 5.4.4.2 and 5.4.4.3 of the edition of 2018 (read): ten modules free on each side, at
/// most 165.10 mm with them. A national GS1 organisation (gs1ie.org, page on GS1-128, read): bars at
/// least 32 mm high, a module of 25 to 100 % of 1.016 mm, 48.7 % (0.495 mm) aimed at. That logistic
/// units take 0.495 to 0.940 mm is from memory and lies within; so is that the number below stands in
/// letters of at least 3 mm.
const BAR: (i32, i32) = (495, 940);
const BARS_HIGH: i32 = mm(320);
const QUIET: i32 = 20;
const LONGEST: i32 = mm(1_651);

/// The labels: on A6, A5 and 4 x 6 in one a sheet, on larger stock as many A6 as it holds, with
/// lines to cut along.
pub(crate) fn package_pages(labels: &[PackageLabel], stock: Stock, stamp: &Stamp) -> Vec<Sheet> {
    let pieces: Vec<Drawing> = labels
        .iter()
        .map(|label| one(label, piece(stock), stamp))
        .collect();
    tiled(stock, &pieces)
        .into_iter()
        .zip(labels.chunks(each(stock)))
        .map(|(mut drawing, some)| {
            if let Some(word) = &stamp.across {
                word_across(&mut drawing, word);
            }
            let names: Vec<&str> = some.iter().map(|label| label.id.as_str()).collect();
            Sheet {
                package: names.join(", "),
                drawing,
            }
        })
        .collect()
}

fn one(label: &PackageLabel, (wide, high): (i32, i32), stamp: &Stamp) -> Drawing {
    let w = stamp.words;
    // Larger stock, larger letters.
    let large = |size: i32| {
        let grown = i64::from(size) * i64::from(wide.min(high * 105 / 148)) / 105_000;
        i32::try_from(grown).unwrap_or(size).max(size)
    };
    let mut drawing = Drawing::new(wide, high);
    let room = wide - 2 * EDGE;
    let mut y = EDGE;
    for (title, (name, address), name_size, size) in [
        (w.from, &label.from, pt(100), pt(85)),
        (w.to, &label.to, pt(140), pt(110)),
    ] {
        let indent = large(mm(110));
        drawing.text(EDGE, y + large(pt(80)), large(pt(75)), Face::Plain, title);
        for (run, size) in [(bold(name), name_size), (plain(address), size)] {
            let block = text_block(&[run], large(size), room - indent);
            drawing.place(&block, EDGE + indent, y);
            y += block.height;
        }
        y += mm(15);
    }
    drawing.line((EDGE, y), (wide - EDGE, y), mm(5));
    y += mm(20);
    // The package's own name at arm's length: letters of 9 mm, smaller where it is long.
    let mut size = height_for_letters(large(mm(90)), Face::Bold);
    let id_width = width(&label.id, size, Face::Bold);
    let count = format!("{} {} {}", label.number, w.of, label.count);
    let count_width = width(&count, large(pt(160)), Face::Bold);
    let id_room = room - count_width - mm(50);
    if id_width > id_room {
        let fitted = i64::from(size) * i64::from(id_room) / i64::from(id_width.max(1));
        size = i32::try_from(fitted).unwrap_or(size);
    }
    y += large(mm(90));
    drawing.text(EDGE, y, size, Face::Bold, label.id.clone());
    drawing.text(
        wide - EDGE - count_width,
        y,
        large(pt(160)),
        Face::Bold,
        count,
    );
    y += mm(30);
    drawing.line((EDGE, y), (wide - EDGE, y), mm(5));
    y += mm(10);
    let code = qr(&label.code.square(), large(MODULE));
    // A package with a number of its own has bars across the foot, and the square beside the rows.
    let bars = linear(label, room);
    let beside_rows = bars.as_ref().and(code.as_ref());
    let rows_room = room - beside_rows.map_or(0, |code| code.width - large(MODULE));
    let rows_top = y;
    for (title, value) in [
        (w.job, stamp.job.clone()),
        (w.gross_mass, label.gross.clone()),
        (w.net_mass, label.net.clone()),
        (w.batteries, label.modules.to_string()),
        (w.state_of_charge, label.charge.clone()),
        (w.seal_title, label.seal.clone()),
    ] {
        let size = large(pt(125));
        let indent = large(mm(320));
        let block = text_block(&[bold(value)], size, rows_room - indent);
        drawing.text(EDGE, y + size * 86 / 100, large(pt(85)), Face::Plain, title);
        drawing.place(&block, EDGE + indent, y);
        y += block.height + large(mm(8));
    }
    if let Some(code) = beside_rows {
        let x = wide - EDGE - code.width + 2 * large(MODULE);
        drawing.place(code, x, rows_top);
        y = y.max(rows_top + code.height);
    }
    let foot = text_block(&[plain(stamp.foot())], pt(50), room);
    let mut bottom = high - mm(30) - foot.height;
    drawing.place(&foot, EDGE, bottom);
    bottom -= mm(10);
    let mut left = 0;
    match (&bars, &code) {
        (Some(bars), _) => {
            bottom -= bars.height;
            drawing.place(bars, (wide - bars.width) / 2, bottom);
            bottom -= mm(10);
        }
        (None, Some(code)) => {
            let top = bottom + mm(5) - code.height;
            drawing.place(code, EDGE - 2 * large(MODULE), top);
            left = code.width;
        }
        (None, None) => {}
    }
    let mut beside = vec![bold(format!("{}\n", w.live_terminals))];
    if let Some(number) = &label.emergency {
        beside.push(bold(format!("{}: {number}", w.emergency_contact)));
    }
    let block = text_block(&beside, large(pt(90)), room - left);
    // What stands under the bars already is not said twice.
    let name = match &bars {
        Some(_) => Drawing::new(0, 0),
        None => text_block(&[plain(label.code.shown())], large(pt(65)), room - left),
    };
    let top = (bottom - block.height - name.height).max(y);
    drawing.place(&block, EDGE + left, top);
    drawing.place(&name, EDGE + left, top + block.height + mm(5));
    drawing
}

/// The bars of the package's number with the number below, where it has one: as wide as the sheet
/// allows within what the standard allows.
fn linear(label: &PackageLabel, room: i32) -> Option<Drawing> {
    let widths = gs1_128(&label.code.gs1_128()?)?;
    let modules: i32 = widths.iter().map(|width| i32::from(*width)).sum::<i32>() + QUIET;
    let module = (room.min(LONGEST) / modules).clamp(BAR.0, BAR.1);
    let mut drawing = bars(&widths, module, BARS_HIGH);
    let shown = label.code.shown();
    let size = height_for_letters(mm(32), Face::Plain);
    let x = (drawing.width - width(&shown, size, Face::Plain)) / 2;
    drawing.height += mm(45);
    drawing.text(x, BARS_HIGH + mm(42), size, Face::Plain, shown);
    Some(drawing)
}
