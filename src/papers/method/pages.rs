//! The method statement as pages and as HTML.

use serde::Serialize;

use super::content::Method;
use crate::papers::pdf::{self, Cell, Column, Drawing, Flow, SIZE, bold, mm, plain, pt};
use crate::papers::stamp::{Across, Stamp};
use crate::papers::words::Words;
use crate::papers::{PaperError, template};

const TEMPLATE: &str = include_str!("../../../templates/papers/method.html");

#[derive(Serialize)]
struct View<'a> {
    w: Words,
    size: &'static str,
    is_signed: bool,
    across: Option<Across>,
    foot: String,
    m: &'a Method,
}

/// The statement as a page in a browser; `own` is the user's own template.
///
/// # Errors
/// A template that does not read.
pub(crate) fn html(
    method: &Method,
    stamp: &Stamp,
    own: Option<&str>,
) -> Result<String, PaperError> {
    let view = View {
        w: *stamp.words,
        size: stamp.stock.css(),
        is_signed: stamp.is_signed(),
        across: stamp.across(),
        foot: stamp.foot(),
        m: method,
    };
    template::html(
        "method statement",
        "method.html",
        own.unwrap_or(TEMPLATE),
        view,
    )
}

/// The file.
///
/// # Errors
/// A font that cannot be read: a bug.
pub(crate) fn file(method: &Method, stamp: &Stamp) -> Result<Vec<u8>, PaperError> {
    let title = format!("{} {}", stamp.words.method_statement, stamp.job);
    pdf::pdf(&title, &pages(method, stamp))
}

fn pages(method: &Method, stamp: &Stamp) -> Vec<Drawing> {
    let w = stamp.words;
    let mut flow = Flow::new(stamp.stock, stamp.head(w.method_statement));
    flow.runs(&[bold(&method.heading)], pt(105));
    flow.runs(
        &[plain(format!("{}: {}", w.procedure, method.procedure))],
        pt(95),
    );
    flow.heading(w.cautions_first);
    flow.list(&method.cautions, pt(100));
    flow.runs(
        &[bold(format!("{}: ", w.voltage)), plain(&method.voltage)],
        pt(95),
    );
    flow.runs(
        &[
            bold(format!("{}: ", w.wait)),
            plain(format!("{}; {}", method.stored_energy_wait, w.wait_floor)),
        ],
        pt(95),
    );
    for (title, lines) in [
        (w.short_circuit, &method.short_circuit),
        (w.charge_asked, &method.state_of_charge),
        (w.not_in_date, &method.not_in_date),
        (w.people, &method.people),
    ] {
        if !lines.is_empty() {
            flow.heading(title);
            flow.list(lines, SIZE);
        }
    }
    // Short words one after the other: a list of them would take a page.
    for (title, words) in [
        (w.instruments, &method.instruments),
        (w.tools, &method.tools),
        (w.protective, &method.protective),
    ] {
        if !words.is_empty() {
            flow.heading(title);
            flow.runs(&[plain(words.join("  \u{b7}  "))], pt(95));
        }
    }
    lifts(&mut flow, method, stamp);
    steps(&mut flow, w.steps, method, false, stamp);
    steps(&mut flow, w.steps_red_flag, method, true, stamp);
    flow.heading(w.own_numbers);
    for own in &method.by_owner {
        flow.runs(&[bold(&own.owner)], pt(85));
        flow.list(&own.lines, pt(80));
    }
    flow.space(mm(20));
    flow.runs(&[bold(w.plan_not_permit)], pt(100));
    if stamp.is_signed() {
        flow.sign(
            w.plan_not_permit,
            &[
                (
                    w.person_in_charge.to_owned(),
                    w.name_signature_date_time.to_owned(),
                ),
                (
                    w.technician.to_owned(),
                    w.name_signature_date_time.to_owned(),
                ),
            ],
        );
    }
    flow.finish()
}

fn lifts(flow: &mut Flow, method: &Method, stamp: &Stamp) {
    let w = stamp.words;
    flow.heading(w.lifts);
    let columns = [
        Column::words(w.module, 16),
        Column::numbers("kg", 12),
        Column::numbers(w.lifting_index, 18),
        Column::words(w.lifting_index_of_teams, 16),
        Column::words(w.bring, 38),
    ];
    let mut table = flow.table(&columns, SIZE, true);
    for lift in &method.lifts {
        table.row(&[
            Cell::bold(&lift.module),
            Cell::plain(&lift.mass_kg),
            Cell::plain(&lift.lifting_index),
            Cell::plain(&lift.lifting_index_of_teams),
            Cell::plain(&lift.advice),
        ]);
    }
    table.end();
}

/// The steps of the ordinary way, or those that a red flag opens.
fn steps(flow: &mut Flow, title: &str, method: &Method, red_flag: bool, stamp: &Stamp) {
    let w = stamp.words;
    if !method.steps.iter().any(|step| step.red_flag == red_flag) {
        return;
    }
    // A heading alone at the foot of a page helps nobody: a step is some 30 mm high.
    flow.need(mm(450));
    flow.heading(title);
    let columns = [
        Column::words(w.done, 6),
        Column::words(w.step, 7),
        Column::words(w.what_to_do, 67),
        Column::words(w.who, 20),
    ];
    let mut table = flow.table(&columns, SIZE, true);
    for step in method.steps.iter().filter(|one| one.red_flag == red_flag) {
        let mut what = vec![bold(&step.does)];
        let mut add = |title: &str, text: &str| {
            if !text.is_empty() {
                what.push(bold(format!("\n{title}: ")));
                what.push(plain(text));
            }
        };
        add(w.hazard, &step.hazard);
        add(w.caution, &step.cautions.join(" "));
        add(w.asked, &step.asked.join(" "));
        add(w.if_not, &step.if_fails);
        let each = if step.each_module {
            format!(", {}", w.each_module)
        } else {
            String::new()
        };
        table.row(&[
            Cell::plain("[  ]"),
            Cell::bold(&step.step),
            Cell::runs(what),
            Cell::plain(format!("{} ({}{each})", step.who, step.people)),
        ]);
    }
    table.end();
}
