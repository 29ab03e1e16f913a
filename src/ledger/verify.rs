//! The question of every later reader: is this the whole record, as it was signed?

use super::breaks::{Break, Fault};
use super::checkpoint::Checkpoint;
use super::hash::Hash;
use super::key::Verifier;
use super::log::Log;
use super::note::{Note, Standing};

/// What the signature on a checkpoint is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signed {
    /// Signed by a trusted key of the log's own name.
    Signed,
    /// There is no checkpoint, or none that can be read.
    Unsigned,
    /// A signature in a trusted name is false.
    BadSignature,
    /// Signed only by keys that are not trusted for this log.
    UnknownKey,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct Verification {
    /// The log, as far as it can be read.
    pub log: Log,
    /// Whole lines in the log.
    pub size: u64,
    /// The root over them.
    pub root: Hash,
    /// The checkpoint, if it can be read; to be believed only where it is signed.
    pub checkpoint: Option<Checkpoint>,
    /// What its signature is worth.
    pub signed: Signed,
    /// Trusted keys that signed, the device's own and those of receivers.
    pub signers: Vec<String>,
    /// Everything that is wrong: first the log by line, then the checkpoint.
    pub breaks: Vec<Break>,
}

impl Verification {
    /// Whether the record is whole up to its checkpoint, which is signed, and nothing is wrong
    /// but what comes about without anybody's doing wrong.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.signed == Signed::Signed && self.breaks.iter().all(Break::is_lawful)
    }

    /// How many entries a trusted signature covers.
    #[must_use]
    pub fn signed_size(&self) -> u64 {
        match &self.checkpoint {
            Some(checkpoint) if self.signed == Signed::Signed => checkpoint.size,
            _ => 0,
        }
    }
}

/// Reads a log and compares it with its checkpoint (`None` where there is none), as somebody who
/// trusts the keys in `trusted`.
///
/// A key is trusted for the log of its own name only: the key of one device cannot vouch for the
/// log of another. A checkpoint alone cannot name the entry that was changed; an entry whose
/// content does not give its id is named. An older copy of the log beside its own older checkpoint
/// holds as well: what is printed on the papers, or a later checkpoint in other hands, shows that
/// it is not the latest.
#[must_use]
pub fn verify(log_bytes: &[u8], checkpoint: Option<&str>, trusted: &[Verifier]) -> Verification {
    let (log, breaks) = Log::read(log_bytes);
    verify_read(log, breaks, checkpoint, trusted)
}

/// As [`verify`], of a log that was read before, with the defects that were found in reading it.
#[must_use]
pub fn verify_read(
    log: Log,
    mut breaks: Vec<Break>,
    checkpoint: Option<&str>,
    trusted: &[Verifier],
) -> Verification {
    let mut found = Verification {
        size: log.len(),
        root: log.root(),
        checkpoint: None,
        signed: Signed::Unsigned,
        signers: Vec::new(),
        breaks: Vec::new(),
        log,
    };
    match checkpoint.map(read_checkpoint) {
        None => breaks.push(Break::whole(Fault::NoCheckpoint)),
        Some(Err(why)) => breaks.push(Break::whole(Fault::CheckpointUnreadable { why })),
        Some(Ok((note, checkpoint))) => {
            breaks.extend(found.weigh(&note, &checkpoint, trusted));
            breaks.extend(compare(&found.log, &checkpoint));
            found.checkpoint = Some(checkpoint);
        }
    }
    let signed = found.signed_size();
    if signed < found.size {
        let (from, to) = (signed, found.size - 1);
        breaks.push(Break::whole(Fault::UnsignedTail { from, to }));
    }
    found.breaks = breaks;
    found
}

fn read_checkpoint(text: &str) -> Result<(Note, Checkpoint), String> {
    let note = Note::parse(text).map_err(|error| error.to_string())?;
    let checkpoint = Checkpoint::parse(note.text()).map_err(|error| error.to_string())?;
    Ok((note, checkpoint))
}

impl Verification {
    /// Looks at the signatures.
    fn weigh(
        &mut self,
        note: &Note,
        checkpoint: &Checkpoint,
        trusted: &[Verifier],
    ) -> Option<Break> {
        let (signed, fault) = match note.standing(trusted) {
            Standing::Signed(signers) if signers.contains(&checkpoint.origin) => {
                self.signers = signers;
                (Signed::Signed, None)
            }
            Standing::Bad(signer) => (Signed::BadSignature, Some(Fault::BadSignature { signer })),
            Standing::Signed(_) | Standing::Unknown => {
                let signers = note.signatures().iter().map(|line| line.name.clone());
                let signers = signers.collect();
                (Signed::UnknownKey, Some(Fault::UnknownKey { signers }))
            }
        };
        self.signed = signed;
        fault.map(Break::whole)
    }
}

/// Compares the log with what the checkpoint says, whoever signed it.
fn compare(log: &Log, checkpoint: &Checkpoint) -> Vec<Break> {
    let mut faults = Vec::new();
    if !log.origin().is_empty() && log.origin() != checkpoint.origin {
        faults.push(Fault::CheckpointOfOtherLog {
            checkpoint: checkpoint.origin.clone(),
            log: log.origin().to_owned(),
        });
    }
    match log.root_at(checkpoint.size) {
        None => faults.push(Fault::ShorterThanCheckpoint {
            found: log.len(),
            signed: checkpoint.size,
        }),
        Some(root) if root != checkpoint.root => faults.push(Fault::RootMismatch {
            signed: checkpoint.size,
        }),
        Some(_) => {}
    }
    faults.into_iter().map(Break::whole).collect()
}
