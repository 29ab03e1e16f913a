//! The packing manifest as pages: the same finished texts as its HTML.

use super::manifest::Manifest;
use super::page::{Handling, ShownPackage, View, view};
use super::pdf::{Cell, Column, Drawing, Flow, SIZE, Shape, bold, fewest, mm, plain, pt, qr};
use super::stamp::{Stamp, scanned};
use super::{PaperError, pdf};

/// The pages.
///
/// # Errors
/// Counts that do not add up (unless it is a draft), or a gross mass below the net mass.
pub(super) fn pages(manifest: &Manifest, stamp: &Stamp) -> Result<Vec<Drawing>, PaperError> {
    manifest.printable()?;
    let view = view(manifest)?;
    Ok(fewest(3, |percent| {
        pages_in(manifest, &view, stamp, percent)
    }))
}

fn pages_in(manifest: &Manifest, view: &View, stamp: &Stamp, percent: i32) -> Vec<Drawing> {
    let w = stamp.words;
    let small = pt(85) * percent / 100;
    let mut flow = Flow::new(stamp.stock, stamp.head(w.packing_manifest));
    facts(&mut flow, manifest, view, stamp);
    load(&mut flow, view, stamp, SIZE * percent / 100);
    if !view.handling.is_empty() {
        flow.heading(w.how_packages_travel);
        handling(&mut flow, &view.handling, stamp, small);
    }
    let left: Vec<String> = view
        .left_behind
        .iter()
        .map(|left| format!("{}: {}", left.serial, left.reason))
        .collect();
    for (title, lines) in [
        (w.left_behind, &left),
        (w.count_differs, &view.differences),
        (w.caution, &view.cautions),
        (w.still_open, &view.open_points),
    ] {
        if !lines.is_empty() {
            flow.heading(title);
            flow.list(lines, small);
        }
    }
    if stamp.is_signed() {
        sign(&mut flow, view, stamp);
    }
    flow.runs(&[plain(w.identity_note)], small);
    // Long in the air and on the sea: behind the signatures, so that these stay with the load.
    if !view.unverified.is_empty() {
        flow.heading(w.unverified);
        flow.list(&view.unverified, small);
    }
    flow.finish()
}

/// Both sides of the hand-over, in the order in which they sign.
fn sign(flow: &mut Flow, view: &View, stamp: &Stamp) {
    let w = stamp.words;
    flow.sign(
        &totals(view, stamp),
        &[
            (
                format!("{}\n{}", w.technician, view.technician),
                w.signature_date_time.to_owned(),
            ),
            (
                w.carrier_seals.to_owned(),
                w.name_signature_date_time.to_owned(),
            ),
            (
                format!("{}\n{}", w.person_in_charge, view.person_in_charge),
                w.signature_date_time.to_owned(),
            ),
            (
                w.consignee_seals.to_owned(),
                w.name_signature_date_time.to_owned(),
            ),
        ],
    );
}

/// The file.
///
/// # Errors
/// As for [`pages`].
pub(super) fn file(manifest: &Manifest, stamp: &Stamp) -> Result<Vec<u8>, PaperError> {
    let title = format!("{} {}", stamp.words.packing_manifest, stamp.job);
    pdf::pdf(&title, &pages(manifest, stamp)?)
}

fn facts(flow: &mut Flow, manifest: &Manifest, view: &View, stamp: &Stamp) {
    let w = stamp.words;
    let top = flow.y();
    let mut room = flow.room();
    let mut bottom = top;
    if let Some(code) = qr(&scanned(manifest), mm(5)) {
        room -= code.width;
        let x = flow.left() + room;
        flow.page().place(&code, x, top - mm(15));
        bottom = top + code.height - mm(15);
    }
    let columns = [
        Column::words("", 13),
        Column::words("", 41),
        Column::words("", 10),
        Column::words("", 36),
    ];
    let left = flow.left();
    let mut table = flow.table_in(&columns, SIZE, false, left, room);
    let party = |name: &str, address: &str| {
        let mut runs = vec![bold(name)];
        if !address.is_empty() {
            runs.push(plain(format!(", {address}")));
        }
        Cell::runs(runs)
    };
    let title = if view.title.is_empty() {
        view.purpose.clone()
    } else {
        format!("{}, {} {}", view.title, w.for_purpose, view.purpose)
    };
    table.row(&[
        Cell::plain(w.from),
        party(&view.consignor.name, &view.consignor.address),
        Cell::plain(w.site),
        Cell::plain(&view.site),
    ]);
    table.row(&[
        Cell::plain(w.to),
        party(&view.consignee.name, &view.consignee.address),
        Cell::plain(w.job),
        Cell::plain(title),
    ]);
    table.row(&[
        Cell::plain(w.carrier),
        party(&view.carrier.name, &view.carrier.address),
        Cell::plain(w.planned),
        Cell::plain(&view.planned_on),
    ]);
    table.row(&[
        Cell::plain(w.rules),
        Cell::plain(&view.regimes),
        Cell::plain(w.issued),
        Cell::plain(match view.issue.as_str() {
            "" => view.issued.clone(),
            issue => format!("{}, {} {issue}", view.issued, w.issue_in_text),
        }),
    ]);
    flow.set_y(flow.y().max(bottom));
    flow.space(mm(10));
}

fn load(flow: &mut Flow, view: &View, stamp: &Stamp, size: i32) {
    let w = stamp.words;
    let columns = [
        Column::words(w.package_module, 20),
        Column::words(w.model, 11),
        Column::words(w.energy, 10),
        Column::words(w.net_mass, if stamp.pounds { 17 } else { 11 }),
        Column::states(w.soundness, 13, &w.states.soundness),
        Column::words(w.state_of_charge, 41),
    ];
    let mut table = flow.table(&columns, size, false);
    for (n, package) in view.packages.iter().enumerate() {
        // A package is not cut where that can be; the totals stay with the last one.
        let last = n + 1 == view.packages.len();
        let lines = 3 * package.modules.len() + if last { 4 } else { 1 };
        table.stay(lines);
        table.across(&package_line(package, stamp));
        for module in &package.modules {
            let mut serial = vec![bold(&module.serial)];
            if !module.serial_proved {
                serial.push(bold(format!("\n{}", w.identity_unproved)));
            }
            if !module.layer.is_empty() {
                serial.push(plain(format!("\n{}", module.layer)));
            }
            table.row(&[
                Cell::runs(serial),
                Cell::plain(&module.model),
                Cell::plain(&module.energy),
                Cell::plain(&module.net),
                Cell::state(shape(module.soundness_shape), module.soundness),
                Cell::plain(format!("{}, {}", module.charge, module.basis)),
            ]);
        }
    }
    table.across(&Cell::bold(totals(view, stamp)));
    table.end();
}

/// What the load comes to, and the count.
fn totals(view: &View, stamp: &Stamp) -> String {
    let (w, totals) = (stamp.words, &view.totals);
    format!(
        "{}: {} {}, {} {}  \u{b7}  {} {}, {} {}  \u{b7}  {}\n{}: {}",
        w.total,
        totals.packages,
        w.packages,
        totals.modules,
        w.modules,
        w.gross,
        totals.gross,
        w.net,
        totals.net,
        totals.energy,
        w.count,
        view.count
    )
}

fn package_line(package: &ShownPackage, stamp: &Stamp) -> Cell {
    let w = stamp.words;
    let sscc = match package.sscc.as_str() {
        "" => String::new(),
        sscc => format!("{sscc}  \u{b7}  "),
    };
    Cell::runs(vec![
        bold(format!("{}  ", package.id)),
        plain(format!(
            "{sscc}{}  \u{b7}  {} {}, {} {}  \u{b7}  {} {}",
            package.packaging, w.gross, package.gross, w.net, package.net, w.seal, package.seal
        )),
    ])
}

fn handling(flow: &mut Flow, groups: &[Handling], stamp: &Stamp, size: i32) {
    let w = stamp.words;
    let columns = [
        Column::words(w.package, 14),
        Column::words(w.rules, 38),
        Column::words(w.marks_labels_document, 48),
    ];
    let mut table = flow.table(&columns, size, true);
    for group in groups {
        let answers = group.answers.iter().map(|answer| {
            let runs = vec![
                plain(format!("{}: ", answer.regime)),
                bold(answer.words),
                plain(format!(", {}", answer.text)),
            ];
            (shape(answer.shape), runs)
        });
        let answers = Cell::states(answers.collect());
        let mut due = Vec::new();
        let mut part = |title: &str, text: String| {
            if text.is_empty() {
                return;
            }
            if !due.is_empty() {
                due.push(plain("\n"));
            }
            due.push(bold(format!("{title} ")));
            due.push(plain(text));
        };
        part(w.marks, group.marks.join(", "));
        part(w.labels_on, group.labels.join(", "));
        part(w.transport_document, group.document_lines.join("\n"));
        table.row(&[
            Cell::bold(group.packages.join(", ")),
            answers,
            Cell::runs(due),
        ]);
    }
    table.end();
}

/// The shape of the name that the templates use.
pub(super) fn shape(name: &str) -> Shape {
    match name {
        "tick" => Shape::Tick,
        "tick-bar" => Shape::TickBar,
        "ring" => Shape::Ring,
        "half" => Shape::Half,
        "stripes" => Shape::Stripes,
        "solid-warning" => Shape::SolidWarning,
        _ => Shape::SolidCross,
    }
}
