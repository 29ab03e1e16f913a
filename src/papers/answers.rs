//! Transport decisions as text: prose for a person, one line for a long list, one CSV row for
//! another program. Nothing here shows the exact quantities that were given, except in prose: so
//! equal rows may be written once and copied.

use std::fmt::Write as _;

use crate::citation::Reason;
use crate::papers::cell::{marked, plain_text, push_quoted};
use crate::transport::{Answer, Decision, PackageAnswer, Regime, TraceOutcome, UsWaste};

/// Heads of the CSV, one row a battery and leg.
pub const HEADS: &str = "id,regime,answer,edition,un,provisions,packing_instructions,\
                         transport_category,marks,labels,document_line,statements,eu_waste_code,us_waste,\
                         package,missing,reasons\n";

/// How much prose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// The answer, what to do, and why not.
    Short,
    /// Every duty and every row that decided.
    Full,
}

/// The words of an answer.
#[must_use]
pub const fn answer_words(answer: Answer) -> &'static str {
    match answer {
        Answer::Allowed => "ALLOWED",
        Answer::AllowedWith => "ALLOWED if everything named is done",
        Answer::NotDetermined => "NOT DETERMINED",
        Answer::Forbidden => "FORBIDDEN",
    }
}

/// The name of an answer in files.
#[must_use]
pub const fn answer_name(answer: Answer) -> &'static str {
    match answer {
        Answer::Allowed => "allowed",
        Answer::AllowedWith => "allowed_with",
        Answer::NotDetermined => "not_determined",
        Answer::Forbidden => "forbidden",
    }
}

const fn package_name(answer: PackageAnswer) -> &'static str {
    match answer {
        PackageAnswer::Accepted => "accepted",
        PackageAnswer::NotDetermined => "not_determined",
        PackageAnswer::Refused => "refused",
    }
}

const fn waste_name(waste: UsWaste) -> &'static str {
    match waste {
        UsWaste::HazardousWaste => "hazardous_waste",
        UsWaste::NotWaste => "not_waste",
        UsWaste::UniversalWaste => "universal_waste",
    }
}

/// The id as a cell, and nothing behind it.
#[must_use]
pub fn id_cell(id: &str) -> String {
    let mut cell = String::with_capacity(id.len());
    push_quoted(&mut cell, &marked(&plain_text(id)));
    cell
}

/// Everything of a row behind the id, with its line end. `described` says whether the facts name a
/// package at all.
#[must_use]
pub fn row_behind_id(regime: Regime, decision: &Decision, described: bool) -> String {
    let mut row = String::with_capacity(400);
    let mut push = |text: &str| {
        row.push(',');
        push_quoted(&mut row, &marked(text));
    };
    push(regime.name());
    push(answer_name(decision.answer));
    push(&decision.edition);
    push(decision.entry.as_ref().map_or("", |entry| &entry.un));
    push(&decision.provisions.join("; "));
    push(&decision.packing_instructions.join("; "));
    push(decision.transport_category.as_deref().unwrap_or_default());
    let marks: Vec<String> = decision
        .marks
        .iter()
        .map(|mark| match mark.min_height_mm {
            0 => mark.text.to_string(),
            height => format!("{} ({height} mm)", mark.text),
        })
        .collect();
    push(&marks.join("; "));
    push(&decision.labels.join("; "));
    push(&decision.document.line);
    push(&decision.document.statements.join("; "));
    let waste = decision.waste.as_ref();
    push(
        waste
            .and_then(|waste| waste.eu_code.as_deref())
            .unwrap_or_default(),
    );
    push(waste.and_then(|waste| waste.us).map_or("", waste_name));
    push(if described {
        package_name(decision.package.answer)
    } else {
        ""
    });
    push(&decision.missing.join("; "));
    // A missing fact has its own column; its question need not be repeated in each row.
    let mut reasons: Vec<String> = decision
        .reasons
        .iter()
        .filter(|reason| !decision.missing.iter().any(|name| *name == reason.what))
        .map(cure)
        .collect();
    if described && decision.answer < Answer::NotDetermined {
        reasons.extend(decision.package.reasons.iter().map(cure));
    }
    // What stands in the facts may be in several lines.
    push(&plain_text(&reasons.join("; ")));
    row.push('\n');
    row
}

fn cure(reason: &Reason) -> String {
    if reason.way_out.is_empty() {
        return reason.what.clone();
    }
    format!("{}: {}", reason.what, reason.way_out)
}

/// One line for a long list.
#[must_use]
pub fn one_line(decision: &Decision) -> String {
    let mut line = format!(
        "{}: {}",
        plain_text(decision.id.as_deref().unwrap_or("(no id)")),
        answer_words(decision.answer)
    );
    let mut add = |caption: &str, text: &str| {
        if !text.is_empty() {
            let _ = write!(line, "; {caption}{text}");
        }
    };
    add("", &decision.edition);
    add("", decision.entry.as_ref().map_or("", |entry| &entry.un));
    add("", &decision.packing_instructions.join(" or "));
    add("missing ", &decision.missing.join(", "));
    if decision.answer >= Answer::NotDetermined
        && let Some(first) = decision.reasons.first()
    {
        add("", &plain_text(&cure(first)));
    }
    line
}

/// The decision in prose, line by line.
#[must_use]
pub fn prose(decision: &Decision, described: bool, depth: Depth) -> Vec<String> {
    let mut lines = vec![headline(decision)];
    if let Some(entry) = &decision.entry {
        lines.push(format!(
            "  It is {} {}, class {}, label {}.",
            entry.un, entry.proper_shipping_name, entry.hazard_class, entry.label
        ));
    }
    let mut add = |caption: &str, text: String| {
        if !text.is_empty() {
            lines.push(format!("  {caption}: {text}"));
        }
    };
    add("Special provisions", decision.provisions.join(", "));
    add("Pack by", decision.packing_instructions.join(" or "));
    add(
        "Transport category",
        decision
            .transport_category
            .as_deref()
            .unwrap_or_default()
            .to_owned(),
    );
    let marks: Vec<String> = decision
        .marks
        .iter()
        .map(|mark| match mark.min_height_mm {
            0 => mark.text.to_string(),
            height => format!("{} (at least {height} mm)", mark.text),
        })
        .collect();
    add("Mark the package", marks.join("; "));
    add("Label it", decision.labels.join("; "));
    add(
        "Write in the transport document",
        decision.document.line.clone(),
    );
    add("and", decision.document.statements.join("; "));
    if let Some(waste) = &decision.waste {
        let mut add = |caption: &str, text: &str| {
            if !text.is_empty() {
                lines.push(format!("  {caption}: {text}"));
            }
        };
        add(
            "European waste code",
            waste.eu_code.as_deref().unwrap_or_default(),
        );
        let us = waste.us.map_or("", waste_name).replace('_', " ");
        add("Waste law of the United States", &us);
    }
    if described {
        lines.push(format!(
            "  The package as described: {}.",
            match decision.package.answer {
                PackageAnswer::Accepted => "accepted",
                PackageAnswer::NotDetermined => "NOT DETERMINED",
                PackageAnswer::Refused => "REFUSED",
            }
        ));
        push_reasons(&mut lines, &decision.package.reasons);
    }
    if !decision.reasons.is_empty() {
        lines.push("  Why, and what to do:".to_owned());
        push_reasons(&mut lines, &decision.reasons);
    }
    if depth == Depth::Full {
        full(&mut lines, decision);
    } else if !decision.requirements.is_empty() {
        lines.push(format!(
            "  Duties: {}; `packdown explain` names each.",
            decision.requirements.len()
        ));
    }
    if !decision.unverified.is_empty() {
        lines.push(format!(
            "  Rests on something not verified: {}",
            decision.unverified.join(", ")
        ));
    }
    lines
}

fn headline(decision: &Decision) -> String {
    let id = plain_text(decision.id.as_deref().unwrap_or("The battery"));
    let edition = if decision.edition.is_empty() {
        String::new()
    } else {
        format!(" ({})", decision.edition)
    };
    format!("{id}{edition}: {}.", answer_words(decision.answer))
}

fn push_reasons(lines: &mut Vec<String>, reasons: &[Reason]) {
    for reason in reasons {
        let value = if reason.value.is_empty() {
            String::new()
        } else {
            format!(": {}", plain_text(&reason.value))
        };
        lines.push(format!("    - {}{value}", plain_text(&reason.what)));
        for (caption, text) in [
            ("limit", &reason.limit),
            ("clause", &reason.clause),
            ("do now", &reason.way_out),
        ] {
            if !text.is_empty() {
                lines.push(format!("        {caption}: {}", plain_text(text)));
            }
        }
    }
}

fn full(lines: &mut Vec<String>, decision: &Decision) {
    if !decision.requirements.is_empty() {
        lines.push("  Duties:".to_owned());
        for due in &decision.requirements {
            lines.push(format!("    - {} [{}]", due.says, due.clause));
        }
    }
    if let Some(waste) = &decision.waste
        && !waste.requirements.is_empty()
    {
        lines.push("  Duties of waste law, beside those of transport:".to_owned());
        for due in &waste.requirements {
            lines.push(format!("    - {} [{}]", due.says, due.clause));
        }
    }
    for (outcome, caption) in [
        (TraceOutcome::Applies, "Rows that apply"),
        (TraceOutcome::Unknown, "Rows that lack a fact"),
    ] {
        let mut rows = decision
            .trace
            .iter()
            .filter(|row| row.outcome == outcome)
            .peekable();
        if rows.peek().is_some() {
            lines.push(format!("  {caption}:"));
            for row in rows {
                lines.push(format!("    - {}: {}", row.rule, plain_text(&row.because)));
            }
        }
    }
    let others = decision
        .trace
        .iter()
        .filter(|row| row.outcome == TraceOutcome::DoesNotApply)
        .count();
    if others > 0 {
        lines.push(format!("  Rows looked at that do not apply: {others}"));
    }
    lines.push(format!("  Rule set: {}", decision.rule_set));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::transport::{Facts, decide};

    #[test]
    fn a_row_has_as_many_cells_as_the_head() {
        let mut facts = Facts::new(Regime::Adr);
        facts.id = Some("=m1, \"a\"".into());
        let row = id_cell("=m1, \"a\"") + &row_behind_id(Regime::Adr, &decide(&facts), false);
        let text = format!("{HEADS}{row}");
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let heads = reader.headers().unwrap().clone();
        let row = reader.records().next().unwrap().unwrap();
        assert_eq!(heads.len(), row.len());
        // A spreadsheet must not take the id for a formula.
        assert_eq!(&row[0], "'=m1, \"a\"");
        assert_eq!(&row[2], "not_determined");
    }
}
