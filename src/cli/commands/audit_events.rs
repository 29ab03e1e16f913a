//! `packdown audit --events`: a table of custody events.

use std::io::{IsTerminal as _, Write as _};
use std::path::Path;

use crate::actions::{self, EventsFiles};
use crate::audit::events::{Check, EventsAnswer, EventsFinding, EventsQuestion};
use crate::cli::advice::CommandError;
use crate::cli::args::{EventsArgs, Format};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, bar, json};

/// Findings of each check that a person is shown.
const SHOWN: usize = 3;
/// Findings of each check in the JSON answer.
const SHOWN_TO_PROGRAMS: usize = 20;

pub(super) fn audit_events(
    events: &Path,
    asked: &EventsArgs,
    out: &mut dyn Answer,
) -> Result<Exit, CommandError> {
    let files = EventsFiles {
        events: events.to_owned(),
        heads: asked.heads.clone(),
        write_heads: asked.write_heads.clone(),
        findings: asked.findings.clone(),
    };
    let question = EventsQuestion {
        last_step: asked.last_step,
        deadline_days: asked.deadline_days,
        removed: asked.removed.clone(),
        dispatched: asked.dispatched.clone(),
        ignored: asked.ignore.clone(),
        chain: asked.chain,
    };
    let shown = match out.format() {
        Format::Json => SHOWN_TO_PROGRAMS,
        _ => SHOWN,
    };
    let watched = std::io::stderr().is_terminal();
    let mut told = None;
    let result = actions::audit_table(&files, &question, shown, &mut |share| {
        if watched && told != Some(share) {
            told = Some(share);
            // Nobody is helped where the terminal cannot be written.
            let _ = write!(std::io::stderr(), "\r{}", bar(share));
        }
    });
    if told.is_some() {
        let _ = write!(std::io::stderr(), "\r{:40}\r", "");
    }
    let answer = result?;
    if out.format() == Format::Json {
        json(out, &answer)?;
    } else {
        say(&answer, asked, out)?;
    }
    Ok(if answer.has_findings() {
        Exit::No
    } else {
        Exit::Done
    })
}

fn say(
    answer: &EventsAnswer,
    asked: &EventsArgs,
    out: &mut dyn Answer,
) -> Result<(), CommandError> {
    out.line(&format!(
        "{} events of {} modules",
        answer.events, answer.modules
    ))?;
    for done in &answer.checks {
        out.line(&format!("{:>10}  {}", done.count, done.check.says()))?;
        for finding in answer.findings.iter().filter(|f| f.check == done.check) {
            out.line(&format!("            {}", sentence(finding)))?;
        }
        let shown = answer
            .findings
            .iter()
            .filter(|f| f.check == done.check)
            .count() as u64;
        if done.count > shown {
            out.line(&format!("            and {} more", done.count - shown))?;
        }
    }
    if let Some(root) = &answer.root {
        out.line(&format!("Root over the hashes of all chains  {root}"))?;
    }
    if answer.has_findings() {
        out.line(&match &asked.findings {
            Some(path) => format!("All findings are in {}.", path.display()),
            None => "--findings FILE writes all of them.".to_owned(),
        })?;
    } else {
        out.line("Nothing found.")?;
    }
    Ok(())
}

fn sentence(finding: &EventsFinding) -> String {
    let EventsFinding {
        seq, is, wanted, ..
    } = finding;
    let module = crate::papers::plain_text(&finding.module_id);
    let (is, wanted) = (
        crate::papers::plain_text(is),
        crate::papers::plain_text(wanted),
    );
    let what = match finding.check {
        Check::SequenceHole => format!("number {is} follows where {wanted} would"),
        Check::HandOverGap => format!("event {seq} from {is}, but {wanted} held it"),
        Check::ClockReversal => format!("event {seq} at {is}, the one before at {wanted}"),
        Check::OpenChain => format!("the last event is {is}, a closed chain ends with {wanted}"),
        Check::LateDispatch => format!("dispatched at {is}, due by {wanted}"),
        Check::LateStart => format!("the first event is {is}, a chain begins with {wanted}"),
        Check::HeadDiffers => format!("its hash is {is}, kept was {wanted}"),
        Check::ModuleMissing => format!("kept was {wanted}"),
        Check::ModuleUnknown => format!("its hash is {is}"),
    };
    match finding.line {
        Some(line) => format!("line {line}, module {module}: {what}"),
        None => format!("module {module}: {what}"),
    }
}
