//! Inspection sheets as pages, each module on its own.

use super::content::InspectionSheet;
use crate::papers::PaperError;
use crate::papers::manifest_pdf::shape;
use crate::papers::pdf::{self, Cell, Column, Drawing, Flow, bold, mm, plain, pt};
use crate::papers::stamp::Stamp;

/// The file.
///
/// # Errors
/// A font that cannot be read: a bug.
pub(crate) fn file(sheets: &[InspectionSheet], stamp: &Stamp) -> Result<Vec<u8>, PaperError> {
    let title = format!("{} {}", stamp.words.inspection_sheet, stamp.job);
    pdf::pdf(&title, &pages(sheets, stamp))
}

fn pages(sheets: &[InspectionSheet], stamp: &Stamp) -> Vec<Drawing> {
    let w = stamp.words;
    let mut flow = Flow::new(stamp.stock, stamp.head(w.inspection_sheet));
    for (n, sheet) in sheets.iter().enumerate() {
        if n > 0 {
            flow.next_page();
        }
        let mut name = vec![bold(&sheet.serial)];
        if !sheet.serial_proved {
            name.push(plain(format!("  ({})", w.identity_unproved)));
        }
        flow.runs(&name, pt(140));
        flow.space(mm(10));
        let columns = STATE.map(|share| Column::words("", share));
        let mut table = flow.table(&columns, pt(110), true);
        table.row(&[
            Cell::plain(w.soundness),
            Cell::states(vec![(
                shape(sheet.soundness_shape),
                vec![bold(sheet.soundness)],
            )]),
            Cell::plain(w.findings),
            Cell::bold(if sheet.findings.is_empty() {
                w.none.to_owned()
            } else {
                sheet.findings.join("; ")
            }),
        ]);
        table.end();
        let (top, left, room) = (flow.y(), flow.left(), flow.room());
        // Readings on the left, charts on the right where both fit.
        let chart = sheet.trend.width;
        let beside = room >= chart + mm(700);
        let table_room = if beside { room - chart - mm(50) } else { room };
        for (title, rows) in [(w.reading, &sheet.readings), (w.facts, &sheet.facts)] {
            let columns = [Column::words(title, 40), Column::words(w.value, 60)];
            let mut table = flow.table_in(&columns, ROWS, true, left, table_room);
            for (name, value) in rows {
                table.row(&[Cell::plain(name), Cell::bold(value)]);
            }
            table.end();
        }
        let bottom = flow.y();
        let (x, mut y) = if beside {
            (left + room - chart, top)
        } else {
            (left, bottom)
        };
        for drawing in [&sheet.trend, &sheet.charge] {
            if !beside && flow.need(drawing.height) {
                y = flow.y();
            }
            flow.page().place(drawing, x, y);
            y += drawing.height + mm(40);
            if !beside {
                flow.set_y(y);
            }
        }
        flow.set_y(flow.y().max(if beside { y } else { 0 }));
    }
    flow.finish()
}

/// A module has its page for itself: letters as large as it allows.
const ROWS: i32 = pt(105);
const STATE: [i32; 4] = [12, 22, 12, 54];
