//! Audits a table of custody events: reads it, writes every finding and the hashes where asked.

use std::fs::{self, File};
use std::io::{BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use super::ActionError;
use crate::audit::events::{
    Audited, EventsAnswer, EventsFault, EventsFinding, EventsInput, EventsQuestion, audit_events,
};
use crate::papers::{marked, plain_text};
use crate::store::StoreError;

/// What is read and written beside the question.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct EventsFiles {
    /// The table of events.
    pub events: PathBuf,
    /// Hashes kept before, to compare with.
    pub heads: Option<PathBuf>,
    /// Where to write the hashes of this table.
    pub write_heads: Option<PathBuf>,
    /// Where to write every finding, as CSV.
    pub findings: Option<PathBuf>,
}

/// Checks the table. The answer holds at most `shown` findings of each check.
///
/// `progress` is told the share read so far, in per cent.
///
/// # Errors
/// A file that cannot be read, with its first wrong row, or written. Nothing is written then.
pub fn audit_table(
    files: &EventsFiles,
    question: &EventsQuestion,
    shown: usize,
    progress: &mut dyn FnMut(u64),
) -> Result<EventsAnswer, ActionError> {
    let mut question = question.clone();
    question.chain |= files.write_heads.is_some();
    let table = Table(&files.events);
    let size = table.size()?;
    let mut kept = match &files.heads {
        Some(path) => Some(BufReader::new(
            File::open(path).map_err(StoreError::file(path))?,
        )),
        None => None,
    };
    let audited = audit_events(
        &table,
        &question,
        kept.as_mut().map(|kept| kept as &mut dyn Read),
        &mut |bytes| progress((bytes.saturating_mul(100) / size.max(1)).min(100)),
    )
    .map_err(|fault| wrong(files, fault))?;
    if let Some(path) = &files.write_heads {
        write_whole(path, |out| match audited.heads() {
            Some(heads) => heads.write(out),
            None => Ok(()),
        })?;
    }
    if let Some(path) = &files.findings {
        write_whole(path, |out| write_findings(&audited, out))?;
    }
    Ok(audited.answer(shown))
}

struct Table<'a>(&'a Path);

impl Table<'_> {
    fn size(&self) -> Result<u64, StoreError> {
        let found = fs::metadata(self.0).map_err(StoreError::file(self.0))?;
        if found.is_file() {
            return Ok(found.len());
        }
        // A pipe could not be read a second time.
        Err(StoreError::input(
            self.0.display(),
            "",
            "is not a file; a table of events is read more than once where its rows are out of \
             order",
        ))
    }
}

impl EventsInput for Table<'_> {
    type Reader = File;

    fn open(&self) -> std::io::Result<File> {
        File::open(self.0)
    }
}

fn wrong(files: &EventsFiles, fault: EventsFault) -> StoreError {
    let name = files.events.display();
    match fault {
        EventsFault::Row {
            line,
            column,
            why,
            known,
        } => StoreError::Input {
            name: name.to_string(),
            place: if column.is_empty() {
                format!("line {line}")
            } else {
                format!("line {line}, column `{column}`")
            },
            why,
            known,
        },
        EventsFault::Heads { line, why } => {
            let heads = files.heads.as_deref().unwrap_or(&files.events);
            StoreError::input(heads.display(), format!("line {line}"), why)
        }
        EventsFault::Io(why) => StoreError::file(&files.events)(why),
        fault @ EventsFault::Changed => StoreError::input(name, "", fault.to_string()),
    }
}

/// Writes a file that has another name until it is whole and on the disk.
fn write_whole(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
) -> Result<(), StoreError> {
    let mut partial = path.as_os_str().to_owned();
    partial.push(".partial");
    let partial = Path::new(&partial);
    let written = File::create(partial).and_then(|file| {
        let mut out = BufWriter::new(file);
        write(&mut out)?;
        out.flush()?;
        out.get_ref().sync_data()
    });
    match written {
        Ok(()) => fs::rename(partial, path).map_err(StoreError::file(path)),
        Err(why) => {
            // The first fault is the one to tell.
            let _ = fs::remove_file(partial);
            Err(StoreError::file(path)(why))
        }
    }
}

fn write_findings(audited: &Audited, out: &mut dyn Write) -> std::io::Result<()> {
    let mut table = csv::Writer::from_writer(out);
    table.write_record(["check", "line", "module_id", "seq", "is", "wanted"])?;
    for EventsFinding {
        check,
        line,
        module_id,
        seq,
        is,
        wanted,
    } in audited.findings()
    {
        let line = line.map_or(String::new(), |line| line.to_string());
        // No spreadsheet may take a name for a formula.
        let cell = |text: &str| marked(&plain_text(text));
        table.write_record([
            check.name(),
            &line,
            &cell(&module_id),
            &seq.to_string(),
            &cell(&is),
            &cell(&wanted),
        ])?;
    }
    table.flush()
}
