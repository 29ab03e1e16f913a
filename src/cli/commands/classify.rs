//! `packdown classify`: how each battery may travel.

use std::io::{IsTerminal as _, Write as _};
use std::path::Path;

use crate::actions::{self, Comparison, Tally, Worst};
use crate::cli::advice::CommandError;
use crate::cli::args::{ClassifyArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, JsonAnswers, bar, json};
use crate::papers::answers::{Depth, one_line, prose};
use crate::store::{Form, Said};

/// Names that a person reads of one group of equal changes.
const NAMES_SHOWN: usize = 12;

pub(super) fn classify(args: &ClassifyArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let said = args.said.said();
    if let Some(day) = args.compare_on {
        let found = actions::compare(&args.file, &said, day)?;
        if out.format() == Format::Json {
            json(out, &found)?;
        } else {
            compared(&found, out)?;
        }
        return Ok(Exit::Done);
    }
    let tally = match &args.csv {
        Some(table) => to_table(&args.file, &said, table, out)?,
        None if out.format() == Format::Json => as_json(&args.file, &said, out)?,
        None => as_text(&args.file, &said, out)?,
    };
    Ok(match tally.worst() {
        Worst::Allowed => Exit::Done,
        Worst::NotDetermined => Exit::NotDetermined,
        Worst::Refused => Exit::No,
    })
}

fn as_json(file: &Path, said: &Said, out: &mut dyn Answer) -> Result<Tally, CommandError> {
    let mut answers = JsonAnswers::of(said.legs.len());
    let (form, tally) = actions::classify(file, said, &mut |form,
                                                            _,
                                                            decision|
     -> Result<(), CommandError> {
        Ok(answers.push(out, form, &decision)?)
    })?;
    answers.end(out, form)?;
    Ok(tally)
}

fn as_text(file: &Path, said: &Said, out: &mut dyn Answer) -> Result<Tally, CommandError> {
    let (form, tally) = actions::classify(file, said, &mut |form,
                                                            facts,
                                                            decision|
     -> Result<(), CommandError> {
        match form {
            Form::Object | Form::Array => {
                for line in prose(&decision, facts.package.is_some(), Depth::Short) {
                    out.line(&line)?;
                }
            }
            Form::Lines | Form::Csv => out.line(&one_line(&decision))?,
        }
        Ok(())
    })?;
    if form != Form::Object || tally.judged > 1 {
        out.line(&counted(&tally))?;
    }
    Ok(tally)
}

fn to_table(
    file: &Path,
    said: &Said,
    table: &Path,
    out: &mut dyn Answer,
) -> Result<Tally, CommandError> {
    let watched = std::io::stderr().is_terminal();
    let mut shown = false;
    let mut progress = |rows: u64, share: Option<u64>| {
        if watched {
            shown = true;
            let share = share.map_or(String::new(), |share| format!("{} ", bar(share)));
            // Nobody is helped where the terminal cannot be written.
            let _ = write!(std::io::stderr(), "\r{share}{rows} rows ");
        }
    };
    let to_stdout = table == Path::new("-");
    let result = if to_stdout {
        let mut stdout = std::io::stdout();
        actions::classify_to_writer(file, said, &mut stdout, &mut progress)
    } else {
        actions::classify_to_table(file, said, table, &mut progress)
    };
    if shown {
        let _ = write!(std::io::stderr(), "\r{:60}\r", "");
    }
    let tally = result?;
    if to_stdout {
        writeln!(std::io::stderr(), "{}", counted(&tally))?;
    } else if out.format() == Format::Json {
        json(out, &tally)?;
    } else {
        out.line(&counted(&tally))?;
    }
    Ok(tally)
}

fn counted(tally: &Tally) -> String {
    let mut line = format!(
        "{} judged: {} allowed, {} not determined, {} forbidden",
        tally.judged,
        tally.allowed + tally.allowed_with,
        tally.not_determined,
        tally.forbidden
    );
    for (count, what) in [
        (tally.packages_refused, "packages refused"),
        (tally.packages_open, "packages not determined"),
    ] {
        if count > 0 {
            line.push_str(&format!("; {count} {what}"));
        }
    }
    line
}

fn compared(found: &Comparison, out: &mut dyn Answer) -> Result<(), CommandError> {
    let by = found.weightiest;
    out.line(&format!(
        "On {} {} of {} packages change: {} in their answer, {} in class or packing, {} in papers or \
         marks, {} in waste law, {} in duties alone; {} more only in the name of the edition.",
        found.on,
        found.changed,
        found.compared,
        by.answer,
        by.class,
        by.papers,
        by.waste,
        by.duties,
        found.edition_only
    ))?;
    for group in &found.groups {
        let mut names: Vec<String> = group
            .ids
            .iter()
            .take(NAMES_SHOWN)
            .map(|id| crate::papers::plain_text(id))
            .collect();
        if group.ids.len() > NAMES_SHOWN {
            names.push(format!("and {} more", group.ids.len() - NAMES_SHOWN));
        }
        out.line(&format!("{}: {}", group.ids.len(), names.join(", ")))?;
        for change in &group.changes {
            out.line(&format!("  {}", change.what))?;
            out.line(&format!("    is       {}", change.was))?;
            out.line(&format!("    becomes  {}", change.becomes))?;
        }
    }
    Ok(())
}
