//! The transport document as pages.

use super::content::{Named, TransportDocument};
use crate::papers::PaperError;
use crate::papers::pdf::{self, Cell, Column, Drawing, Flow, SIZE, bold, mm, plain, pt};
use crate::papers::stamp::Stamp;

/// The file.
///
/// # Errors
/// A font that cannot be read: a bug.
pub(crate) fn file(document: &TransportDocument, stamp: &Stamp) -> Result<Vec<u8>, PaperError> {
    let title = format!(
        "{} {}, {}",
        document.w.transport_document, document.job, document.leg
    );
    pdf::pdf(&title, &pages(document, stamp))
}

fn pages(document: &TransportDocument, stamp: &Stamp) -> Vec<Drawing> {
    let w = &document.w;
    let mut flow = Flow::new(stamp.stock, stamp.head(w.transport_document));
    flow.runs(
        &[
            bold(&document.rules),
            plain(format!(", {}, {}", document.leg, document.day)),
        ],
        pt(110),
    );
    flow.space(mm(10));
    facts(&mut flow, document);
    entries(&mut flow, document);
    if !document.small_load.is_empty() {
        flow.runs(&[bold(format!("{}: ", w.small_load))], pt(95));
        flow.list(&document.small_load, pt(95));
    }
    flow.runs(&[plain(w.quantity_note)], pt(85));
    if !document.declarations.is_empty() {
        flow.heading(w.declaration);
    }
    for declaration in &document.declarations {
        flow.runs(&[bold(declaration.text)], pt(100));
        flow.runs(&[plain(declaration.clause)], pt(75));
    }
    if stamp.is_signed() {
        flow.sign(
            &document.totals,
            &[
                (
                    format!("{}\n{}", w.consignor, document.consignor.name),
                    w.name_signature_date_time.to_owned(),
                ),
                (
                    format!("{}\n{}", w.carrier, document.carrier.name),
                    w.name_signature_date_time.to_owned(),
                ),
            ],
        );
    }
    flow.heading(w.what_is_in_each);
    each(&mut flow, document);
    if !document.travels_with.is_empty() {
        flow.heading(w.travels_with);
        flow.list(&document.travels_with, pt(85));
    }
    flow.finish()
}

fn facts(flow: &mut Flow, document: &TransportDocument) {
    let w = &document.w;
    let columns = [
        Column::words("", 13),
        Column::words("", 37),
        Column::words("", 13),
        Column::words("", 37),
    ];
    let mut table = flow.table(&columns, pt(95), true);
    let party = |named: &Named| {
        let mut runs = vec![bold(&named.name)];
        if !named.address.is_empty() {
            runs.push(plain(format!("\n{}", named.address)));
        }
        Cell::runs(runs)
    };
    table.row(&[
        Cell::plain(w.consignor),
        party(&document.consignor),
        Cell::plain(w.consignee),
        party(&document.consignee),
    ]);
    table.row(&[
        Cell::plain(w.from),
        Cell::plain(&document.from),
        Cell::plain(w.to),
        Cell::plain(&document.to),
    ]);
    table.row(&[
        Cell::plain(w.carrier),
        party(&document.carrier),
        Cell::plain(w.emergency_contact),
        Cell::bold(&document.emergency),
    ]);
    table.end();
}

fn entries(flow: &mut Flow, document: &TransportDocument) {
    let w = &document.w;
    let columns = [
        Column::words(w.dangerous_goods, 42),
        Column::words(w.number_and_kind, 24),
        Column::numbers(w.batteries, 10),
        Column::numbers(w.net_mass, 12),
        Column::numbers(w.gross_mass, 12),
    ];
    let mut table = flow.table(&columns, SIZE, true);
    for entry in &document.entries {
        let mut goods = vec![bold(&entry.line)];
        goods.extend(
            entry
                .statements
                .iter()
                .map(|statement| plain(format!("\n{statement}"))),
        );
        table.row(&[
            Cell::runs(goods),
            Cell::plain(entry.packages.join("\n")),
            Cell::plain(entry.batteries.to_string()),
            Cell::plain(&entry.net),
            Cell::plain(&entry.gross),
        ]);
    }
    table.across(&Cell::bold(&document.totals));
    table.end();
}

fn each(flow: &mut Flow, document: &TransportDocument) {
    let w = &document.w;
    let columns = [
        Column::words(w.package, 13),
        Column::words(w.kinds, 20),
        Column::words(w.serials, 20),
        Column::numbers(w.net_mass, 11),
        Column::numbers(w.gross_mass, 13),
        Column::words(w.marks, 23),
    ];
    let mut table = flow.table(&columns, pt(85), true);
    for package in &document.each {
        table.row(&[
            Cell::bold(&package.id),
            Cell::plain(&package.kind),
            Cell::plain(&package.serials),
            Cell::plain(&package.net),
            Cell::plain(&package.gross),
            Cell::plain(&package.marks),
        ]);
    }
    table.end();
}
