//! `packdown check-mark`, `check-document`, `load`.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, InputArgs, MarkArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list, reasons};
use crate::papers::answers::answer_words;
use crate::papers::plain_text;
use crate::transport::{self, DocumentStanding, MarkAnswer, MarkStanding, Reworded};

pub(super) fn mark(args: &MarkArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let answer = actions::check_mark(&args.mark);
    if out.format() == Format::Json {
        json(out, &answer)?;
    } else {
        mark_text(&args.mark, &answer, out)?;
    }
    Ok(match answer.answer {
        MarkStanding::Valid => Exit::Done,
        MarkStanding::Invalid | MarkStanding::NotAUnMark => Exit::No,
    })
}

fn mark_text(mark: &str, answer: &MarkAnswer, out: &mut dyn Answer) -> Result<(), CommandError> {
    out.line(&format!(
        "{}: {}",
        plain_text(mark),
        match answer.answer {
            MarkStanding::Valid => "a whole UN mark",
            MarkStanding::Invalid => "NOT IN ORDER",
            MarkStanding::NotAUnMark => "NOT A UN MARK",
        }
    ))?;
    let group = answer.group.map(|group| group.letter().to_owned());
    let made = answer.year.map(|year| match answer.month {
        Some(month) => format!("{year}-{month:02}"),
        None => year.to_string(),
    });
    let facts = [
        ("code", answer.code.clone()),
        ("group", group),
        (
            "at most, gross",
            answer.gross_limit_kg.map(|mass| mass.to_string()),
        ),
        ("kind", answer.kind.clone()),
        ("made", made),
        ("state", answer.state.clone()),
        ("maker", answer.maker.clone()),
        ("large packaging", answer.large.then(|| "yes".to_owned())),
        (
            "salvage packaging",
            answer.salvage.then(|| "yes".to_owned()),
        ),
    ];
    for (caption, value) in facts {
        if let Some(value) = value {
            out.line(&format!("  {caption}: {}", plain_text(&value)))?;
        }
    }
    list(out, "Doubtful:", &answer.warnings)?;
    reasons(out, &answer.reasons)?;
    Ok(())
}

pub(super) fn document(args: &InputArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let answer = actions::check_document(&args.file)?.for_reader(args.reader);
    if out.format() == Format::Json {
        json(out, &answer)?;
    } else {
        out.line(match answer.answer {
            DocumentStanding::Accepted => "The transport document is accepted.",
            DocumentStanding::NotDetermined => "NOT DETERMINED: something is not known.",
            DocumentStanding::Refused => "REFUSED: put these right before it travels.",
        })?;
        by_edition(out, &answer.edition)?;
        reasons(out, &answer.reasons)?;
    }
    Ok(match answer.answer {
        DocumentStanding::Accepted => Exit::Done,
        DocumentStanding::NotDetermined => Exit::NotDetermined,
        DocumentStanding::Refused => Exit::No,
    })
}

/// The edition that answered, where there is one.
fn by_edition(out: &mut dyn Answer, edition: &str) -> Result<(), CommandError> {
    if !edition.is_empty() {
        out.line(&format!("By: {edition}"))?;
    }
    Ok(())
}

pub(super) fn load(args: &InputArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let answer = actions::check_load(&args.file)?.for_reader(args.reader);
    if out.format() == Format::Json {
        json(out, &answer)?;
    } else {
        out.line(&format!("The load is {}.", answer_words(answer.answer)))?;
        by_edition(out, &answer.edition)?;
        if let Some(points) = answer.points {
            out.line(&format!("Points: {points}"))?;
        }
        out.line(if answer.small_load {
            "The relief for small loads applies."
        } else {
            "No relief for small loads applies."
        })?;
        reasons(out, &answer.reasons)?;
        let duties: Vec<String> = answer
            .requirements
            .iter()
            .map(|due| format!("{} [{}]", due.says, due.clause))
            .collect();
        list(out, "Duties:", &duties)?;
    }
    Ok(match answer.answer {
        transport::Answer::Allowed | transport::Answer::AllowedWith => Exit::Done,
        transport::Answer::NotDetermined => Exit::NotDetermined,
        transport::Answer::Forbidden => Exit::No,
    })
}
