//! Cosignatures (C2SP tlog-cosignature, Ed25519): somebody else's device says when it saw which
//! state of a log.
//!
//! The key of a device signs its own checkpoints (type 0x01) and cosigns those of others (type
//! 0x04). The two messages begin differently, so neither can be passed off as the other: a
//! checkpoint's second line is a size, a cosignature's is `time ...`.

use super::checkpoint::Checkpoint;
use super::error::LedgerError;
use super::key::{DeviceKey, Verifier};
use super::note::{Note, NoteSignature};
use crate::clock::Moment;

/// Bytes of the time in front of the signature.
const TIME: usize = 8;

/// A cosignature on a note, and what it is worth to somebody who trusts certain keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cosignature {
    /// Name of the key that signed.
    pub by: String,
    /// When, by the clock of the device that signed; seconds since 1970.
    pub unix_s: u64,
    /// Whether it is that key's own signature over this note at that time.
    pub holds: bool,
}

/// What is signed: two lines, then the whole text of the note.
fn message(unix_s: u64, text: &str) -> String {
    format!("cosignature/v1\ntime {unix_s}\n{text}")
}

impl Note {
    /// Adds the cosignature of `key` at `at`, cut to whole seconds.
    ///
    /// The caller has compared the log with what it saw of it before: a cosignature says that
    /// this is the largest consistent state seen.
    ///
    /// # Errors
    /// A note that is no checkpoint, or a time before 1970.
    pub fn cosign(&mut self, key: &DeviceKey, at: Moment) -> Result<(), LedgerError> {
        Checkpoint::parse(self.text())?;
        let unix_s = u64::try_from(at.unix_ms().div_euclid(1000))
            .map_err(|_| LedgerError::Early(at.utc()))?;
        let signature = key.sign(message(unix_s, self.text()).as_bytes());
        self.add(NoteSignature {
            name: key.name().to_owned(),
            key_id: key.verifier().cosigner_id(),
            bytes: [&unix_s.to_be_bytes()[..], &signature].concat(),
        });
        Ok(())
    }

    /// The cosignatures of the keys in `trusted`, in the order of the note; those of other keys
    /// are passed over.
    #[must_use]
    pub fn cosignatures(&self, trusted: &[Verifier]) -> Vec<Cosignature> {
        let of = |line: &NoteSignature| {
            let key = trusted
                .iter()
                .find(|key| key.name() == line.name && key.cosigner_id() == line.key_id)?;
            let (time, signature) = line.bytes.split_first_chunk::<TIME>()?;
            let unix_s = u64::from_be_bytes(*time);
            // The specification allows no later time than this.
            let in_range = i64::try_from(unix_s).is_ok();
            let text = message(unix_s, self.text());
            Some(Cosignature {
                by: line.name.clone(),
                unix_s,
                holds: in_range && key.accepts(text.as_bytes(), signature),
            })
        };
        self.signatures().iter().filter_map(of).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn checkpoint() -> Note {
        Checkpoint {
            origin: "works.invalid/job-log/tablet-7".into(),
            size: 12,
            root: [9; 32],
            extensions: Vec::new(),
        }
        .sign(&DeviceKey::demo())
        .unwrap()
    }

    #[test]
    fn a_cosignature_holds_for_its_note_key_and_time_only() {
        let receiver = DeviceKey::from_seed("store.invalid/receiving/desk-1", &[5; 32]).unwrap();
        let mut note = checkpoint();
        note.cosign(&receiver, "2026-11-25T08:50:00.900+01:00".parse().unwrap())
            .unwrap();
        let trusted = [receiver.verifier()];
        let read = Note::parse(&note.to_string()).unwrap();
        let expected = Cosignature {
            by: receiver.name().into(),
            unix_s: 1_764_057_000 + 365 * 86_400,
            holds: true,
        };
        assert_eq!(read.cosignatures(&trusted), [expected]);
        // The signer's own signature is none, and strangers count for nothing.
        assert_eq!(read.cosignatures(&[DeviceKey::demo().verifier()]), []);
        // Another root, or another time in front of the same signature.
        let forged = note.to_string().replacen("\n12\n", "\n13\n", 1);
        let forged = Note::parse(&forged).unwrap().cosignatures(&trusted);
        assert!(!forged[0].holds);
        let mut later = checkpoint();
        let mut line = note.signatures()[1].clone();
        line.bytes[7] ^= 1;
        later.add(line);
        assert!(!later.cosignatures(&trusted)[0].holds);
    }

    #[test]
    fn what_is_no_checkpoint_is_not_cosigned() {
        let mut note = Note::new("a letter\n").unwrap();
        let at = "2026-11-25T08:50:00+01:00".parse().unwrap();
        assert!(note.cosign(&DeviceKey::demo(), at).is_err());
        assert_eq!(note.signatures().len(), 0);
    }
}
