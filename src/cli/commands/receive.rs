//! `packdown receive`: a line each, as a scanner types it.

use std::io::{BufRead, IsTerminal as _, Write as _};

use crate::actions::{
    self, ActionError, ColumnGuess, Context, DOCK_HELP, Delivery, Load, ReceiptShown, Receiving,
    Saying, Table, Typed, read_typed,
};
use crate::citation::Reason;
use crate::cli::advice::CommandError;
use crate::cli::args::Format;
use crate::cli::dock_args::ReceiveArgs;
use crate::cli::exit::Exit;
use crate::cli::large::large;
use crate::cli::output::{Answer, granted, json, list, paragraph, reasons, table};
use crate::custody::{ColumnsConfirmed, Expected, Heard, Scan, Subject, facts_of};
use crate::inspection;
use crate::store::RegisterFolder;

pub(super) fn receive(args: &ReceiveArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let folder = RegisterFolder::at(&args.pen.register);
    let (load, confirmed) = match load(args, &folder)? {
        Stated::Load(load, confirmed) => (*load, confirmed),
        Stated::Guessed(guesses) => return guessed(&guesses, out),
    };
    let delivery = Delivery {
        delivered_by: args.delivered_by.clone(),
        vehicle: args.vehicle.clone(),
    };
    let begun = actions::begin(
        &folder,
        load,
        &delivery,
        confirmed,
        &args.pen.by,
        args.pen.at,
    )?;
    let receiving = match begun {
        Ok(receiving) => receiving,
        Err(why) => return Ok(granted(out, Err(why), "")?),
    };
    if let Some(reason) = &args.refuse {
        return refuse(&receiving, reason, out);
    }
    if let Some(path) = &args.scans {
        let (name, text) = actions::read_named(path)?;
        let expected = Expected::from(receiving.handover());
        let scans = actions::read_scans(&name, &text, &expected)?;
        return match receiving.scan_all(scans)? {
            Err(why) => Ok(granted(out, Err(why), "")?),
            Ok(count) if args.keep_open => {
                let done = format!("{}: {count} scans kept, it stays open", receiving.receipt());
                Ok(granted(out, Ok(()), &done)?)
            }
            Ok(_) => close(&receiving, args.bay.as_deref(), out),
        };
    }
    let loud = Loud {
        large: args.large && out.format() == Format::Text,
        bell: !args.quiet && out.format() == Format::Text && std::io::stderr().is_terminal(),
    };
    at_the_dock(&receiving, args.bay.as_deref(), loud, out)
}

/// How an answer reaches somebody with gloves, across a dock.
#[derive(Clone, Copy)]
struct Loud {
    /// Large letters.
    large: bool,
    /// A bell on what needs a person.
    bell: bool,
}

enum Stated {
    Load(Box<Load>, Option<ColumnsConfirmed>),
    Guessed(Vec<ColumnGuess>),
}

fn load(args: &ReceiveArgs, folder: &RegisterFolder) -> Result<Stated, CommandError> {
    let at = ActionError::in_time(args.pen.at)?;
    let site = folder.site()?;
    let Some(path) = &args.load else {
        let from = args.unannounced.as_deref().unwrap_or("");
        let load = Load::unannounced(from, &args.purpose, &site, at);
        return Ok(Stated::Load(Box::new(load), None));
    };
    let is = |ending: &str| {
        path.extension()
            .is_some_and(|own| own.eq_ignore_ascii_case(ending))
    };
    if is("csv") || is("tsv") || is("txt") {
        let (name, text) = actions::read_named(path)?;
        let saying = Saying {
            from: args.from.clone().ok_or_else(|| {
                CommandError::Argument("a table names no sender: say it with --from".into())
            })?,
            purpose: args.purpose.clone(),
            confirm: args.confirm,
            columns: columns(args)?,
            by: args.pen.by.clone(),
        };
        let open = folder.open()?;
        return Ok(
            match actions::read_table(&name, &text, &open.register, &site, &saying, at)? {
                Table::Guessed(guesses) => Stated::Guessed(guesses),
                Table::Read {
                    handover,
                    confirmed,
                } => Stated::Load(Box::new(Load::of_table(*handover, path, text)), confirmed),
            },
        );
    }
    Ok(Stated::Load(Box::new(Load::read(path)?), None))
}

fn columns(args: &ReceiveArgs) -> Result<Vec<(String, String)>, CommandError> {
    args.column
        .iter()
        .map(|text| {
            text.rsplit_once('=')
                .map(|(head, fact)| (head.to_owned(), fact.to_owned()))
                .ok_or_else(|| CommandError::Argument(format!("--column `{text}`: HEAD=FACT")))
        })
        .collect()
}

fn guessed(guesses: &[ColumnGuess], out: &mut dyn Answer) -> Result<Exit, CommandError> {
    if out.format() == Format::Json {
        json(out, &serde_json::json!({ "guessed": guesses }))?;
    } else {
        out.line("This table is not known here. Its columns are taken for:")?;
        table(
            out,
            &["column", "first value", "fact"],
            guesses.iter().map(|guess| {
                vec![
                    guess.head.clone(),
                    guess.example.clone(),
                    if guess.fact.is_empty() {
                        "(passed over)".into()
                    } else {
                        guess.fact.clone()
                    },
                ]
            }),
        )?;
        paragraph(
            out,
            "",
            if guesses.iter().any(|guess| guess.fact == "serial") {
                "Right? Say it again with --confirm; wrong ones with --column HEAD=FACT. It is \
                 remembered for the next table with these heads. A condition that is not plainly \
                 good is not taken for good."
            } else {
                "No column is taken for the serial: say which with --column HEAD=serial."
            },
        )?;
    }
    Ok(Exit::NotDetermined)
}

fn refuse(receiving: &Receiving, reason: &str, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let given = receiving.refuse(reason)?;
    let done = format!(
        "{}: the load is refused and stays with whoever brought it: {reason}",
        receiving.receipt()
    );
    Ok(granted(out, given, &done)?)
}

fn close(
    receiving: &Receiving,
    bay: Option<&str>,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    match receiving.close(bay)? {
        Ok(shown) => closed(&shown, out),
        Err(why) => Ok(granted(out, Err(why), "")?),
    }
}

fn closed(shown: &ReceiptShown, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    if out.format() == Format::Json {
        json(out, shown)?;
    } else {
        text(shown, out)?;
    }
    Ok(if !shown.is_as_stated() || !shown.limits.is_empty() {
        Exit::No
    } else if !shown.not_looked_at.is_empty() {
        Exit::NotDetermined
    } else {
        Exit::Done
    })
}

fn text(shown: &ReceiptShown, out: &mut dyn Answer) -> Result<(), CommandError> {
    paragraph(
        out,
        "",
        &format!(
            "Receipt {} from {}: brought by {}, received by {} at {}",
            shown.receipt, shown.from, shown.delivered_by, shown.received_by, shown.at
        ),
    )?;
    paragraph(out, "Stated: ", &shown.proof)?;
    let counts: Vec<String> = shown
        .count
        .iter()
        .map(|(answer, count)| format!("{count} {answer}"))
        .collect();
    out.line(&format!("Lines: {}", counts.join(", ")))?;
    for line in shown
        .lines
        .iter()
        .filter(|line| line.answers != ["received"])
    {
        let package = line
            .package
            .as_ref()
            .filter(|package| !package.is_empty())
            .map(|package| format!(" in {package}"))
            .unwrap_or_default();
        out.line(&format!(
            "{}{package}: {}",
            line.what,
            line.answers.join(", ").replace('_', " ")
        ))?;
        reasons(out, &line.reasons)?;
    }
    let held: Vec<String> = shown
        .held
        .iter()
        .map(|held| {
            let bay = match &held.bay {
                Some(bay) => format!("bay {bay}"),
                None => "NO HOLD BAY HAS ROOM: set it apart outdoors".into(),
            };
            let due: Vec<String> = held.read_at.iter().map(ToString::to_string).collect();
            format!(
                "{} ({}): {bay}; {}; read at {}",
                held.identity,
                held.soundness,
                held.reason,
                due.join(", ")
            )
        })
        .collect();
    list(out, "Held:", &held)?;
    if !shown.at_the_dock.is_empty() {
        out.line("Still at the dock:")?;
        for (identity, why) in &shown.at_the_dock {
            out.line(&format!("  {identity}"))?;
            reasons(out, why)?;
        }
    }
    list(out, "Not looked at, so not known:", &shown.not_looked_at)?;
    if !shown.limits.is_empty() {
        out.line("LIMITS:")?;
        reasons(out, &shown.limits)?;
    }
    if let Some((day, basis, clause)) = &shown.settle_by {
        paragraph(
            out,
            "",
            &format!("The clock runs to {day}: {basis} [{clause}]"),
        )?;
    }
    Ok(())
}

/// Takes lines until the receipt is closed, refused or left open.
fn at_the_dock(
    receiving: &Receiving,
    bay: Option<&str>,
    loud: Loud,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    let handover = receiving.handover().clone();
    let expected = Expected::from(&handover);
    let talks = out.format() != Format::Json;
    if talks {
        out.line(&format!(
            "Receipt {} from {}: {} packages, {} modules stated. `help` says what may be typed.",
            receiving.receipt(),
            handover.from.name,
            expected.packages().len(),
            expected.modules().count()
        ))?;
        if let Some(file) = &receiving.cosigned {
            paragraph(
                out,
                "",
                &format!(
                    "This device signed what it saw of the giver's log; send {} back.",
                    file.display()
                ),
            )?;
        }
        if receiving.kept_before > 0 {
            out.line(&format!(
                "Gone on with: {} scans were kept before.",
                receiving.kept_before
            ))?;
        }
        out.line("Before the load is moved: count, seals, warmest spot, damage.")?;
    }
    let mut context = Context::default();
    let stdin = std::io::stdin();
    let mut input = stdin.lock();
    loop {
        if talks {
            out.text("> ")?;
            out.show_now()?;
        }
        let mut line = String::new();
        if input.read_line(&mut line)? == 0 {
            return left_open(receiving, out);
        }
        match read_typed(&line, &expected, &context) {
            Typed::Nothing => {}
            Typed::Help => out.line(DOCK_HELP)?,
            Typed::Findings => findings(out)?,
            Typed::In(package) => context.package = package,
            Typed::NotUnderstood(why) => say(out, talks, &format!("??  {why}"))?,
            Typed::Stop => return left_open(receiving, out),
            // A slip in the name of a bay closes nothing.
            Typed::Done(named) => match receiving.close(named.as_deref().or(bay))? {
                Ok(shown) => return closed(&shown, out),
                Err(why) if talks => no(out, talks, &why)?,
                Err(why) => return Ok(granted(out, Err(why), "")?),
            },
            Typed::Refuse(reason) => match receiving.refuse(&reason)? {
                Ok(()) => {
                    let done = format!("{}: the load is refused: {reason}", receiving.receipt());
                    return Ok(granted(out, Ok(()), &done)?);
                }
                Err(why) => no(out, talks, &why)?,
            },
            Typed::List => standing(receiving, out)?,
            Typed::UndoLast => {
                let given = receiving.undo_last()?;
                answer(given, None, &mut context, out, talks.then_some(loud))?;
            }
            Typed::Scan(scan) => {
                let given = receiving.scan((*scan).clone())?;
                answer(given, Some(&scan), &mut context, out, talks.then_some(loud))?;
            }
        }
    }
}

fn findings(out: &mut dyn Answer) -> Result<(), CommandError> {
    for one in inspection::catalogue() {
        out.line(&format!("  {}  {}", one.code, one.words))?;
    }
    Ok(())
}

fn say(out: &mut dyn Answer, talks: bool, text: &str) -> Result<(), CommandError> {
    if talks {
        out.line(text)?;
    }
    Ok(())
}

fn no(out: &mut dyn Answer, talks: bool, why: &[Reason]) -> Result<(), CommandError> {
    if talks {
        out.line("NO")?;
        reasons(out, why)?;
    }
    Ok(())
}

type Given = Result<(u32, Subject, Heard), Vec<Reason>>;

fn answer(
    given: Given,
    scan: Option<&Scan>,
    context: &mut Context,
    out: &mut dyn Answer,
    loud: Option<Loud>,
) -> Result<(), CommandError> {
    match given {
        Err(why) => no(out, loud.is_some(), &why),
        Ok((number, subject, heard)) => {
            let taken_back = scan.is_none_or(|scan| scan.withdraws.is_some());
            if !taken_back {
                context.last = Some(subject.clone());
            }
            let Some(loud) = loud else {
                return Ok(());
            };
            aloud(&heard, loud, out)?;
            let sign = if heard.alarm { "!!" } else { "ok" };
            let what = if taken_back { "taken back: " } else { "" };
            let facts: Vec<String> = scan
                .map(facts_of)
                .unwrap_or_default()
                .into_iter()
                .map(|(name, value)| format!("{name} {value}"))
                .collect();
            out.line(
                format!("{sign}  {number}  {what}{subject}  {}", facts.join(", ")).trim_end(),
            )?;
            for said in &heard.at_once {
                paragraph(out, "      ", said)?;
            }
            Ok(())
        }
    }
}

/// The answer in a word and a count: what is read first, and from afar.
fn aloud(heard: &Heard, loud: Loud, out: &mut dyn Answer) -> Result<(), CommandError> {
    let words = if heard.listed == 0 {
        heard.word.to_owned()
    } else {
        format!("{} {} of {}", heard.word, heard.here, heard.listed)
    };
    if loud.large {
        // Not behind the prompt.
        out.line("")?;
        for line in large(heard.word) {
            out.line(&line)?;
        }
        if heard.listed > 0 {
            out.line("")?;
            for line in large(&format!("{} of {}", heard.here, heard.listed)) {
                out.line(&line)?;
            }
        }
        out.line("")?;
    } else {
        out.line(&words)?;
    }
    if heard.alarm && loud.bell {
        // Nobody is helped where the terminal cannot be written.
        let _ = write!(std::io::stderr(), "\x07");
    }
    Ok(())
}

fn standing(receiving: &Receiving, out: &mut dyn Answer) -> Result<(), CommandError> {
    let compared = match receiving.standing()? {
        Ok(compared) => compared,
        Err(why) => return no(out, true, &why),
    };
    let lines: Vec<String> = compared
        .lines
        .iter()
        .map(|line| {
            let answers: Vec<&str> = line.answers.iter().map(|answer| answer.words()).collect();
            format!("{}: {}", line.subject, answers.join(", "))
        })
        .collect();
    list(out, "As it stands:", &lines)?;
    list(out, "Not looked at yet:", &compared.not_looked_at)?;
    Ok(())
}

fn left_open(receiving: &Receiving, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let done = format!(
        "{} stays open, every scan is kept; `packdown receive` goes on with it",
        receiving.receipt()
    );
    Ok(granted(out, Ok(()), &done)?)
}
