//! What to do about an error, and with which code to leave. The library says what is wrong.

use std::io::Write;

use super::exit::Exit;
use crate::actions::ActionError;
use crate::job::PlanError;
use crate::packing::PackingError;

/// Why a command could not be followed.
#[derive(Debug, thiserror::Error)]
pub(super) enum CommandError {
    /// Something could not be done.
    #[error(transparent)]
    Action(#[from] ActionError),
    /// Nothing can be written or read at the terminal.
    #[error("terminal: {0}")]
    Terminal(#[from] std::io::Error),
    /// An argument cannot be used.
    #[error("{0}")]
    Argument(String),
}

/// Says what is wrong and what to do, on standard error; gives the exit code.
pub(super) fn report(error: &CommandError) -> Exit {
    let exit = exit(error);
    let mut err = std::io::stderr().lock();
    // Nothing helps where standard error cannot be written.
    let _ = writeln!(err, "packdown: {error}");
    for line in details(error) {
        let _ = writeln!(err, "  - {line}");
    }
    if let Some(advice) = advice(error) {
        let _ = writeln!(err, "  do now: {advice}");
    }
    exit
}

fn exit(error: &CommandError) -> Exit {
    let CommandError::Action(error) = error else {
        return match error {
            CommandError::Argument(_) => Exit::WrongCommandLine,
            _ => Exit::Unreadable,
        };
    };
    match error {
        ActionError::File { .. }
        | ActionError::NotText { .. }
        | ActionError::TooLarge { .. }
        | ActionError::Plan { .. }
        | ActionError::Record { .. }
        | ActionError::Procedure { .. }
        | ActionError::NoSuchProcedure { .. }
        | ActionError::Settings { .. }
        | ActionError::OtherRecord { .. }
        | ActionError::NoLedger { .. }
        | ActionError::Packing { .. }
        | ActionError::Key(_)
        | ActionError::Paper(_)
        | ActionError::Ledger(_) => Exit::Unreadable,
        ActionError::NoSuchSchema { .. } | ActionError::NotNameValue(_) => Exit::WrongCommandLine,
        ActionError::Unproved { .. } | ActionError::NotEntitled(_) => Exit::No,
        ActionError::LedgerBroken { .. } => Exit::LedgerBroken,
        ActionError::Busy { .. } => Exit::StoreUnreachable,
        ActionError::Form(_) | ActionError::PlanDoesNotHold { .. } => Exit::Bug,
    }
}

/// Everything that stands behind the one line.
fn details(error: &CommandError) -> Vec<String> {
    match error {
        CommandError::Action(ActionError::Unproved { escapes, .. }) => {
            escapes.iter().map(ToString::to_string).collect()
        }
        CommandError::Action(ActionError::NotEntitled(reasons))
        | CommandError::Action(ActionError::Plan {
            why: PlanError::Contradicts(reasons),
            ..
        }) => reasons.iter().map(ToString::to_string).collect(),
        _ => Vec::new(),
    }
}

fn advice(error: &CommandError) -> Option<String> {
    let CommandError::Action(error) = error else {
        return None;
    };
    Some(match error {
        ActionError::Plan {
            why: PlanError::Unreadable(text),
            ..
        } => unknown_field(text)
            .unwrap_or_else(|| "compare it with `packdown schema job`".to_owned()),
        ActionError::Plan {
            why: PlanError::OtherFormat(_),
            ..
        } => "use the program that wrote it, or write the plan anew".into(),
        ActionError::Record { why, .. } => unknown_field(why)
            .unwrap_or_else(|| "compare the line with `packdown schema record`".to_owned()),
        ActionError::File { path, why } if why.kind() == std::io::ErrorKind::NotFound => {
            if path.ends_with("job.json") {
                "a job is a folder with `job.json`; sample-jobs has some to copy".into()
            } else {
                "look at the path".into()
            }
        }
        ActionError::OtherRecord { .. } => {
            "give another folder with --out; nothing was written".into()
        }
        ActionError::NoLedger { .. } => {
            "play a record with `packdown run JOB --out DIR`, or begin with `packdown run JOB`"
                .into()
        }
        ActionError::LedgerBroken { .. } => {
            "nothing more is written to it; `packdown verify` names every break".into()
        }
        ActionError::Busy { .. } => "wait until the other program is done, then try again".into(),
        ActionError::NotText { .. } => "save the file as UTF-8".into(),
        ActionError::NotEntitled(_) => {
            "finish the open steps, or add --draft for papers that say so across".into()
        }
        ActionError::Unproved { .. } => {
            "close the way round in the file; `packdown procedure show FILE` draws it".into()
        }
        ActionError::Packing { why: PackingError::FitsNowhere { .. }, .. } => {
            "take the item out, or give a larger package".into()
        }
        ActionError::Packing { why: PackingError::Unreadable { .. }, .. } => {
            "an instance is {\"name\":\"...\",\"cap\":[1500,15000],\"items\":[[298,3263],[298,3263]]}, one a \
             line; whole numbers only"
                .into()
        }
        ActionError::NotNameValue(_) => "write --evidence name=value".into(),
        _ => return None,
    })
}

/// The near match for a field that a reader does not know.
fn unknown_field(text: &str) -> Option<String> {
    let rest = text
        .split("unknown field `")
        .nth(1)
        .or_else(|| text.split("unknown variant `").nth(1))?;
    let (word, known) = rest.split_once('`')?;
    let near = known
        .split('`')
        .skip(1)
        .step_by(2)
        .map(|candidate| (strsim::jaro_winkler(word, candidate), candidate))
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(format!("did you mean `{}` instead of `{word}`?", near.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_in_a_field_name_gets_the_near_match() {
        let text = "unknown field `vlotage_v`, expected one of `voltage_v`, `current_a` at line 1";
        assert_eq!(
            unknown_field(text).unwrap(),
            "did you mean `voltage_v` instead of `vlotage_v`?"
        );
        assert_eq!(
            unknown_field("unknown field `zzz`, expected `voltage_v`"),
            None
        );
    }
}
