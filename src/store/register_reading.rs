//! Reading a register again, as at each scan: what is on disk is compared, byte by byte, with what
//! was read and verified before; only what was added since is verified and folded.
//!
//! Anything else than plain growth (a changed byte, a shorter file, a fault in what was added) has
//! the whole ledger read and verified, which names the fault.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::rc::Rc;

use super::StoreError;
use super::device_log::DeviceLog;
use super::keys::trusted;
use super::register::OpenRegister;
use crate::custody::Register;
use crate::ledger::{Log, Verification, verify_read};

/// How much of a file is compared at once.
const PIECE: usize = 256 * 1024;

/// What was read of a register.
#[derive(Debug, Clone)]
pub(super) struct Seen {
    /// The whole lines of the ledger.
    pub(super) bytes: Vec<u8>,
    /// Its checkpoint.
    pub(super) checkpoint: Option<String>,
    pub(super) open: Rc<OpenRegister>,
}

/// A ledger as it is now.
pub(super) struct Reading {
    pub(super) log: Log,
    pub(super) register: Register,
    pub(super) bytes: Vec<u8>,
    pub(super) checkpoint: Option<String>,
}

/// Reads the ledger of a register, as far as it is not what was `seen`.
pub(super) fn read_again(
    device: &DeviceLog<'_>,
    seen: Option<Seen>,
    folder: &Path,
) -> Result<Reading, StoreError> {
    let checkpoint = device.checkpoint_text();
    if let Some(seen) = seen
        && let Some(tail) = tail_behind(&seen.bytes, device)?
        && let Some(reading) = grown(seen, &tail, checkpoint.as_deref(), folder)?
    {
        return Ok(reading);
    }
    let path = device.file();
    let mut bytes = std::fs::read(&path).map_err(StoreError::file(&path))?;
    let (log, breaks) = Log::read(&bytes);
    let verification = verify_read(log, breaks, checkpoint.as_deref(), &trusted(&[])?);
    let log = sound(verification, folder)?;
    if log
        .entries()
        .first()
        .is_some_and(|entry| entry.kind != "register_opened")
    {
        return Err(StoreError::OtherRecord {
            path: folder.into(),
            what: "its first entry does not open a register".into(),
        });
    }
    bytes.truncate(usize::try_from(log.good_bytes()).unwrap_or(usize::MAX));
    Ok(Reading {
        register: Register::fold(log.entries()),
        log,
        bytes,
        checkpoint,
    })
}

/// What was seen with what was added to it; nothing where that is not plainly the next entries.
fn grown(
    seen: Seen,
    tail: &[u8],
    checkpoint: Option<&str>,
    folder: &Path,
) -> Result<Option<Reading>, StoreError> {
    let Seen {
        mut bytes,
        checkpoint: before,
        open,
    } = seen;
    let OpenRegister {
        mut log,
        mut register,
        ..
    } = Rc::unwrap_or_clone(open);
    let known = log.entries().len();
    if !log.read_on(tail) {
        return Ok(None);
    }
    if !tail.is_empty() || before.as_deref() != checkpoint {
        let verification = verify_read(log, Vec::new(), checkpoint, &trusted(&[])?);
        log = sound(verification, folder)?;
    }
    for entry in log.entries().iter().skip(known) {
        register.take(entry);
    }
    bytes.extend_from_slice(tail);
    Ok(Some(Reading {
        log,
        register,
        bytes,
        checkpoint: checkpoint.map(str::to_owned),
    }))
}

/// The log, where nothing is wrong with it but what comes about without anybody's doing wrong.
fn sound(verification: Verification, folder: &Path) -> Result<Log, StoreError> {
    match verification.breaks.iter().find(|fault| !fault.is_lawful()) {
        Some(fault) => Err(StoreError::LedgerBroken {
            path: folder.into(),
            what: fault.to_string(),
        }),
        None => Ok(verification.log),
    }
}

/// What the file holds behind `known`; nothing where it does not begin with it.
fn tail_behind(known: &[u8], device: &DeviceLog<'_>) -> Result<Option<Vec<u8>>, StoreError> {
    let path = device.file();
    let mut file = File::open(&path).map_err(StoreError::file(&path))?;
    let mut piece = vec![0; PIECE.min(known.len())];
    for own in known.chunks(PIECE) {
        let Some(read) = piece.get_mut(..own.len()) else {
            return Ok(None);
        };
        match file.read_exact(read) {
            Ok(()) if read == own => {}
            Ok(()) => return Ok(None),
            Err(error) if error.kind() == ErrorKind::UnexpectedEof => return Ok(None),
            Err(error) => return Err(StoreError::file(&path)(error)),
        }
    }
    let mut tail = Vec::new();
    file.read_to_end(&mut tail)
        .map_err(StoreError::file(&path))?;
    Ok(Some(tail))
}
