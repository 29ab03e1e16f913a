//! The receipt of a load: what came, what is not as stated and until when that is settled, what
//! nobody looked at, and both signatures. Taken from the register as it stands; it decides nothing.

use super::manifest_pdf::shape as named_shape;
use super::page::soundness_shape;
use super::pdf::{Shape, Stock};
use super::sections::{self, Grid, Part, Sections, of_words};
use super::stamp::{Stamp, ledger_mark};
use super::words::{Language, ReceiptWords, Words, fill};
use super::{PaperError, plain_text};
use crate::battery::Soundness;
use crate::custody::{
    Answer, Handover, Line, Receipt, ReceiptState, Register, Sides, Site, Subject,
};
use crate::ledger::Log;

/// The receipt as a page for a browser and as a file, each with its name.
///
/// # Errors
/// A font that cannot be read, or a template that does not: a bug.
pub fn receipt_files(
    site: &Site,
    register: &Register,
    log: &Log,
    receipt: &Receipt,
    stock: Option<Stock>,
    language: Language,
) -> Result<Vec<(String, Vec<u8>)>, PaperError> {
    let name = &receipt.opened.receipt;
    let american = site.country == "US";
    let w = language.words();
    let mut mark = ledger_mark(log);
    mark.origin = mark.origin.replace(Language::ENGLISH.words().demo, w.demo);
    let stamp = Stamp {
        words: w,
        job: format!("{} {name}", site.site),
        issue: None,
        across: (receipt.state == ReceiptState::Open).then(|| w.receipt.open_mark.to_owned()),
        void: None,
        rule_set: String::new(),
        editions: String::new(),
        ledger: Some(mark),
        stock: stock.unwrap_or(Stock::usual(american)),
        pounds: american,
    };
    let paper = paper(site, register, receipt, &stamp);
    let file = format!("receipt-{name}");
    let html = sections::html(&paper, "receipt.html", &stamp, None)?;
    let pdf = sections::file(&paper, &stamp)?;
    Ok(vec![
        (format!("{file}.html"), html.into_bytes()),
        (format!("{file}.pdf"), pdf),
    ])
}

fn paper(site: &Site, register: &Register, receipt: &Receipt, stamp: &Stamp) -> Sections {
    let w = stamp.words;
    let r = &w.receipt;
    let handover = &receipt.opened.handover;
    let load = fill(
        r.load,
        &[
            ("number", &handover.number),
            ("job", &handover.job),
            ("from", &handover.from.name),
            ("purpose", &w.term(&handover.purpose.replace('_', " "))),
        ],
    );
    let heading = fill(
        r.heading,
        &[
            ("receipt", &receipt.opened.receipt),
            ("site", &site.name),
            ("address", &site.address),
            ("load", &load),
        ],
    );
    let mut parts = vec![
        came(site, receipt, w),
        differences(register, receipt, stamp),
    ];
    let as_stated: Vec<&Line> = receipt
        .lines
        .iter()
        .filter(|one| one.is_as_stated())
        .collect();
    if !as_stated.is_empty() {
        parts.push(received(&as_stated, stamp));
    }
    parts.push(Part {
        title: r.not_looked_at.to_owned(),
        lines: match receipt.not_looked_at.as_slice() {
            [] => vec![r.nothing_left.to_owned()],
            left => left.iter().map(|line| not_looked(line, w)).collect(),
        },
        ..Part::default()
    });
    parts.push(Part {
        title: w.caution.to_owned(),
        strong: true,
        lines: vec![r.hidden.to_owned()],
        ..Part::default()
    });
    let by = receipt.ended_by.as_deref().unwrap_or(&receipt.opened_by);
    Sections {
        title: r.title,
        heading: plain_text(&heading),
        parts,
        sign: vec![
            format!("{}\n{}", r.receiver, plain_text(person(site, by))),
            format!(
                "{}\n{}",
                r.bringer,
                plain_text(&receipt.opened.delivered_by)
            ),
        ],
    }
}

/// `what: of which`, the first part in the paper's words.
fn not_looked(line: &str, w: &Words) -> String {
    let line = plain_text(line);
    match line.split_once(": ") {
        Some((what, of)) => format!("{}: {of}", w.term(what)),
        None => w.term(&line),
    }
}

/// Who a person of the site is, by name where the id is known.
fn person<'a>(site: &'a Site, id: &'a str) -> &'a str {
    let known = site.people.iter().find(|person| person.id == id);
    known.map_or(id, |person| &person.name)
}

/// How the load came, and the count.
fn came(site: &Site, receipt: &Receipt, w: &Words) -> Part {
    let r = &w.receipt;
    let opened = &receipt.opened;
    let mut brought = fill(r.brought_by, &[("by", &opened.delivered_by)]);
    if let Some(vehicle) = &opened.vehicle {
        brought.push_str(", ");
        brought.push_str(&fill(r.vehicle, &[("vehicle", vehicle)]));
    }
    let mut lines = vec![counted(&opened.handover, receipt, r), brought];
    if !opened.source.is_empty() {
        lines.push(fill(
            r.stated_in,
            &[
                ("source", &opened.source),
                ("proof", &w.refusal(&opened.proof)),
            ],
        ));
    }
    let entry = |sentence: &str, at: &dyn std::fmt::Display, by: &str| {
        fill(sentence, &[("at", at), ("by", &person(site, by))])
    };
    lines.push(entry(r.begun, &receipt.opened_at, &receipt.opened_by));
    match (receipt.state, receipt.ended_at, &receipt.ended_by) {
        (ReceiptState::Open, ..) => lines.insert(0, r.open.to_owned()),
        (_, Some(at), Some(by)) => lines.push(entry(r.ended, &at, by)),
        _ => {}
    }
    if let Some(why) = &receipt.refused_for {
        lines.insert(0, fill(r.refused, &[("why", why)]));
    }
    Part {
        title: r.title.to_owned(),
        lines: lines.iter().map(|line| plain_text(line)).collect(),
        ..Part::default()
    }
}

fn counted(handover: &Handover, receipt: &Receipt, r: &ReceiptWords) -> String {
    let here = receipt
        .lines
        .iter()
        .filter(|line| matches!(line.subject, Subject::Module(_)) && line.is_here())
        .count();
    let stated: usize = handover.packages.iter().map(|one| one.modules.len()).sum();
    let packages = handover.packages.len();
    let sentence = if packages == 0 {
        r.unannounced
    } else {
        r.counted
    };
    fill(
        sentence,
        &[
            ("here", &here),
            ("stated", &stated),
            ("packages", &packages),
        ],
    )
}

/// Each line that is not as stated, the weightiest shape first in it.
fn differences(register: &Register, receipt: &Receipt, stamp: &Stamp) -> Part {
    let w = stamp.words;
    let r = &w.receipt;
    let different: Vec<&Line> = receipt
        .lines
        .iter()
        .filter(|one| !one.is_as_stated())
        .collect();
    if different.is_empty() {
        let still_open = receipt.state == ReceiptState::Open;
        let said = if still_open { r.open } else { r.no_differences };
        return Part {
            title: r.differences.to_owned(),
            lines: vec![said.to_owned()],
            ..Part::default()
        };
    }
    let rows = different.iter().map(|line| {
        let answers = line.answers.iter().filter(|one| **one != Answer::Received);
        let words: Vec<&str> = answers.map(|answer| answer.words()).collect();
        let mut what = in_package(line, w);
        if let Some(why) = &line.hold {
            what.push_str("; ");
            what.push_str(&fill(r.held, &[("why", &w.term(why))]));
        }
        vec![
            w.terms_of(&words, ", "),
            plain_text(&what),
            sides(&line.sent, &line.found, w),
            sides(&line.found, &line.sent, w),
            settle_by(register, receipt, line, r),
        ]
    });
    Part {
        title: r.differences.to_owned(),
        table: Some(Grid {
            columns: vec![
                of_words("", 16),
                of_words(r.what, 17),
                of_words(r.stated, 29),
                of_words(r.found, 26),
                of_words(r.settle_by, 12),
            ],
            rows: rows.collect(),
            shapes: different.iter().map(|line| shape(line)).collect(),
            ..Grid::default()
        }),
        ..Part::default()
    }
}

fn in_package(line: &Line, w: &Words) -> String {
    let subject = w.term(&line.subject.to_string());
    match &line.package {
        Some(package) => format!("{subject}, {package}"),
        None => subject,
    }
}

/// The facts of one side that the other side has otherwise or not at all.
fn sides(of: &Sides, other: &Sides, w: &Words) -> String {
    let facts = of
        .iter()
        .filter(|(name, value)| other.get(*name) != Some(value));
    let lines: Vec<String> = facts
        .map(|(name, value)| {
            let (name, unit) = match name.rsplit_once('_') {
                Some((name, "kg")) => (name, " kg"),
                Some((name, "c")) => (name, " \u{b0}C"),
                Some((name, "wh")) => (name, " Wh"),
                Some((name, "m3")) => (name, " m3"),
                _ => (name.as_str(), ""),
            };
            format!(
                "{} {}{unit}",
                w.term(&name.replace('_', " ")),
                w.term(value)
            )
        })
        .collect();
    plain_text(&lines.join("; "))
}

/// The first day by which a difference of the line is to be settled, or when all were.
fn settle_by(register: &Register, receipt: &Receipt, line: &Line, r: &ReceiptWords) -> String {
    let cases = register.cases.values().filter(|case| {
        case.opened.receipt == receipt.opened.receipt && case.opened.subject == line.subject
    });
    let mut settled = None;
    let mut due = None;
    for case in cases {
        match &case.settled {
            Some((at, _)) => settled = settled.max(Some(at.local_day())),
            None => {
                due = Some(due.map_or(case.opened.clock.due, |day| case.opened.clock.due.min(day)))
            }
        }
    }
    match (due, settled) {
        (Some(day), _) => day.to_string(),
        (None, Some(day)) => fill(r.settled, &[("day", &day)]),
        (None, None) => String::new(),
    }
}

/// The shape of the weightiest answer.
fn shape(line: &Line) -> Shape {
    let has = |answer| line.answers.contains(&answer);
    if has(Answer::Hotter) {
        Shape::SolidWarning
    } else if has(Answer::Damaged) {
        Shape::SolidCross
    } else if has(Answer::Missing) {
        Shape::Stripes
    } else {
        Shape::Half
    }
}

fn received(lines: &[&Line], stamp: &Stamp) -> Part {
    let w = stamp.words;
    let r = &w.receipt;
    let rows = lines.iter().map(|line| {
        let state = line
            .soundness
            .map_or_else(String::new, |one| w.states.soundness(one).to_owned());
        let state = match &line.hold {
            Some(why) => format!("{state}, {}", fill(r.held, &[("why", &w.term(why))])),
            None => state,
        };
        vec![
            plain_text(&w.term(&line.subject.to_string())),
            plain_text(line.package.as_deref().unwrap_or_default()),
            plain_text(&state),
            plain_text(&w.term(line.how.as_deref().unwrap_or_default())),
        ]
    });
    Part {
        title: r.as_stated.to_owned(),
        table: Some(Grid {
            columns: vec![
                of_words(r.what, 30),
                of_words(w.package, 16),
                of_words(w.soundness, 24),
                of_words(r.how, 30),
            ],
            rows: rows.collect(),
            shapes: lines
                .iter()
                .map(|line| match line.soundness {
                    // As stated is not sound: a held module keeps the shape of its state.
                    Some(state) if state > Soundness::Sound => named_shape(soundness_shape(state)),
                    _ => Shape::Tick,
                })
                .collect(),
            ..Grid::default()
        }),
        ..Part::default()
    }
}
