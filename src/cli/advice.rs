//! What to do about an error, and with which code to leave. The library says what is wrong.

use std::io::Write;

use super::exit::Exit;
use crate::actions::ActionError;
use crate::packing::PackingError;
use crate::papers::PaperError;
use crate::store::StoreError;
use crate::written::WrittenError;

/// Why a command could not be followed.
#[derive(Debug, thiserror::Error)]
pub(super) enum CommandError {
    /// Something could not be done.
    #[error(transparent)]
    Action(#[from] ActionError),
    /// A job cannot be read or written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Nothing can be written or read at the terminal.
    #[error("terminal: {0}")]
    Terminal(#[from] std::io::Error),
    /// An argument cannot be used.
    #[error("{0}")]
    Argument(String),
}

impl CommandError {
    /// Whether whoever read the answer stopped: `packdown classify ... | head`.
    pub(super) fn reader_went_away(&self) -> bool {
        let why = match self {
            Self::Terminal(why) => why,
            Self::Store(StoreError::File { why, .. })
            | Self::Action(ActionError::Store(StoreError::File { why, .. })) => why,
            _ => return false,
        };
        why.kind() == std::io::ErrorKind::BrokenPipe
    }
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
    match error {
        CommandError::Argument(_) => Exit::WrongCommandLine,
        CommandError::Terminal(_) => Exit::Unreadable,
        CommandError::Store(error) | CommandError::Action(ActionError::Store(error)) => {
            store_exit(error)
        }
        CommandError::Action(error) => match error {
            ActionError::NoSuchSchema { .. }
            | ActionError::NoSuchRule { .. }
            | ActionError::NoSuchSum { .. }
            | ActionError::InTheFuture { .. } => Exit::WrongCommandLine,
            ActionError::Sum { .. } => Exit::Unreadable,
            ActionError::Paper(error) if matches!(**error, PaperError::NoSuchPaper { .. }) => {
                Exit::WrongCommandLine
            }
            ActionError::NotReleased { refused, .. } if refused.is_empty() => Exit::NotDetermined,
            ActionError::NotEntitled(_)
            | ActionError::NotReleased { .. }
            | ActionError::Handover(_) => Exit::No,
            ActionError::Form(_) | ActionError::PlanDoesNotHold { .. } => Exit::Bug,
            ActionError::Packing { .. } | ActionError::Paper(_) | ActionError::Store(_) => {
                Exit::Unreadable
            }
        },
    }
}

fn store_exit(error: &StoreError) -> Exit {
    match error {
        StoreError::Unproved { .. } | StoreError::Older { .. } => Exit::No,
        StoreError::LedgerBroken { .. }
        | StoreError::BundleBroken { .. }
        | StoreError::Fork { .. } => Exit::LedgerBroken,
        StoreError::Busy { .. } => Exit::StoreUnreachable,
        StoreError::Form(_) => Exit::Bug,
        StoreError::File { .. }
        | StoreError::NotText { .. }
        | StoreError::TooLarge { .. }
        | StoreError::Input { .. }
        | StoreError::Plan { .. }
        | StoreError::Site { .. }
        | StoreError::Record { .. }
        | StoreError::Procedure { .. }
        | StoreError::NoSuchProcedure { .. }
        | StoreError::Settings { .. }
        | StoreError::OtherRecord { .. }
        | StoreError::NoLedger { .. }
        | StoreError::Bundle { .. }
        | StoreError::Key(_)
        | StoreError::Ledger(_) => Exit::Unreadable,
    }
}

/// The error of the store inside, where it is one.
fn of_store(error: &CommandError) -> Option<&StoreError> {
    match error {
        CommandError::Store(error) | CommandError::Action(ActionError::Store(error)) => Some(error),
        _ => None,
    }
}

/// Everything that stands behind the one line.
fn details(error: &CommandError) -> Vec<String> {
    if let CommandError::Action(ActionError::NotEntitled(reasons)) = error {
        return reasons.iter().map(ToString::to_string).collect();
    }
    if let CommandError::Action(ActionError::NotReleased { refused, missing }) = error {
        let reasons = refused.iter().chain(missing);
        return reasons.map(ToString::to_string).collect();
    }
    match of_store(error) {
        Some(StoreError::Unproved { escapes, .. }) => {
            escapes.iter().map(ToString::to_string).collect()
        }
        Some(
            StoreError::Plan {
                why: WrittenError::Contradicts { faults, .. },
                ..
            }
            | StoreError::Site {
                why: WrittenError::Contradicts { faults, .. },
                ..
            },
        ) => faults.iter().map(ToString::to_string).collect(),
        _ => Vec::new(),
    }
}

fn advice(error: &CommandError) -> Option<String> {
    if let CommandError::Action(ActionError::NotEntitled(_)) = error {
        return Some("finish the open steps, or add --draft for papers that say so across".into());
    }
    if let CommandError::Action(ActionError::InTheFuture { .. }) = error {
        return Some(
            "enter it when it has happened; put the device's clock right if that is wrong".into(),
        );
    }
    if let CommandError::Action(ActionError::Sum { name, why, .. }) = error {
        return Some(
            unknown_field(why)
                .unwrap_or_else(|| format!("compare the input with `packdown schema calc-{name}`")),
        );
    }
    if let CommandError::Action(ActionError::NoSuchRule { id, known }) = error {
        return Some(match near(id, known.iter().map(String::as_str)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "`packdown rules list` names them all".into(),
        });
    }
    if let CommandError::Action(ActionError::Packing { why, .. }) = error {
        return match why {
            PackingError::FitsNowhere { .. } => {
                Some("take the item out, or give a larger package".into())
            }
            PackingError::Unreadable { .. } => Some(
                "an instance is {\"name\":\"van\",\"cap\":[1500,15000],\"items\":[[298,3263],[240,2560]]}, \
                 one a line, whole numbers only"
                    .into(),
            ),
            PackingError::Carriers(_) => Some(
                "the head is id,kind,length_mm,width_mm,height_mm,wall_mm,deck_mm,max_load_kg,tare_kg,\
                 count,small_load; kind is pallet, overpack or vehicle"
                    .into(),
            ),
            PackingError::Stock(_) => Some(
                "put that right; `packdown pack --help` lists the columns, an empty cell is not known"
                    .into(),
            ),
            PackingError::Modules(_) => Some(
                "the head is module,model,length_mm,width_mm,height_mm,stack_load_kg,terminals_on_top; \
                 a row names a module of the job or a type, and an empty cell is not known"
                    .into(),
            ),
            _ => None,
        };
    }
    Some(match of_store(error)? {
        StoreError::Input { why, known, .. } if !known.is_empty() => {
            let word = why.split('`').nth(1)?;
            match near(word, known.iter().map(String::as_str)) {
                Some(near) => format!("did you mean `{near}` instead of `{word}`?"),
                None => format!("known there: {}", known.join(", ")),
            }
        }
        StoreError::Plan {
            why: WrittenError::Unreadable(text),
            ..
        } => unknown_field(text)
            .unwrap_or_else(|| "compare it with `packdown schema job`".to_owned()),
        StoreError::Plan {
            why: WrittenError::OtherFormat { .. },
            ..
        } => "use the program that wrote it, or write the plan anew".into(),
        StoreError::Site {
            why: WrittenError::Unreadable(text),
            ..
        } => unknown_field(text)
            .unwrap_or_else(|| "compare it with `packdown schema site`".to_owned()),
        StoreError::Record { why, .. } => unknown_field(why)
            .unwrap_or_else(|| "compare the line with `packdown schema record`".to_owned()),
        StoreError::File { path, why } if why.kind() == std::io::ErrorKind::NotFound => {
            if path.ends_with("packagings.csv") {
                "list the packagings at hand in it, or name the list with --stock".into()
            } else if path.ends_with("site.json") {
                "a register is a folder with `site.json` (`packdown schema site`); name it with \
                 --register"
                    .into()
            } else if path.ends_with("job.json") {
                "a job is a folder with `job.json`; `packdown new` begins one like another, sample-jobs has some"
                    .into()
            } else {
                "look at the path".into()
            }
        }
        StoreError::OtherRecord { .. } => "give another folder; nothing was written".into(),
        StoreError::NoLedger { .. } => {
            "play a record with `packdown run JOB --out DIR`, or begin with `packdown run JOB`"
                .into()
        }
        StoreError::LedgerBroken { .. } => {
            "nothing more is written to it; `packdown verify` names every break".into()
        }
        StoreError::Bundle { .. } => {
            "nothing was unpacked; ask the sender for the file again, or unpack it with a tool you \
             trust and give the folder"
                .into()
        }
        StoreError::BundleBroken { .. } => {
            "build nothing on it; `packdown verify` names every fault; ask the sender".into()
        }
        StoreError::Fork { .. } => {
            "two histories of one log: nothing is signed; keep both files, `packdown merge` shows \
             them side by side, and people find out why"
                .into()
        }
        StoreError::Older { .. } => "cosign the later bundle instead; keep this one".into(),
        StoreError::Busy { .. } => "wait until the other program is done, then try again".into(),
        StoreError::NotText { .. } => "save the file as UTF-8".into(),
        StoreError::Unproved { .. } => {
            "close the way round in the file; `packdown procedure show FILE` draws it".into()
        }
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
    let near = near(word, known.split('`').skip(1).step_by(2))?;
    Some(format!("did you mean `{near}` instead of `{word}`?"))
}

/// The known name that is most like `word`, where one is like it at all. A name also counts by its
/// last part, since people leave out where it stands.
fn near<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let last = |name: &'a str| name.rsplit('.').next().unwrap_or(name);
    known
        .map(|candidate| {
            let whole = strsim::jaro_winkler(word, candidate);
            let part = strsim::jaro_winkler(word, last(candidate)) - 0.01;
            (whole.max(part), candidate)
        })
        .filter(|(likeness, _)| *likeness > 0.75)
        // Of names that are alike as much, the first: that of the battery before that of a package.
        .reduce(|best, next| if next.0 > best.0 { next } else { best })
        .map(|(_, candidate)| candidate)
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
