//! Signed notes (C2SP signed-note): text, a blank line, and one line for each signature.
//!
//! A note may carry signatures of kinds that are not known here, such as a receiver's
//! cosignature: they are kept as they stand and count for nothing.

use std::fmt;

use super::base64::{from_base64, to_base64};
use super::error::LedgerError;
use super::key::{DeviceKey, Verifier, known_name};

/// More signatures than a custody chain can need; C2SP asks for a limit of at least 16.
const MOST_SIGNATURES: usize = 64;

/// One signature line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoteSignature {
    /// The name of the key.
    pub name: String,
    /// The short id of the key.
    pub key_id: [u8; 4],
    /// What follows the id; for Ed25519 64 bytes.
    pub bytes: Vec<u8>,
}

/// A text with its signatures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    text: String,
    signatures: Vec<NoteSignature>,
}

/// What the signatures of a note are worth to somebody who trusts certain keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Signed by these trusted keys; no signature of a trusted key fails.
    Signed(Vec<String>),
    /// A signature that bears the name and id of this trusted key is not its own.
    Bad(String),
    /// None of the signatures is of a trusted key.
    Unknown,
}

impl Note {
    /// A note without signatures.
    ///
    /// # Errors
    /// A text that does not end in a line feed or holds another control character.
    pub fn new(text: impl Into<String>) -> Result<Self, LedgerError> {
        let text = text.into();
        if !text.ends_with('\n') {
            return Err(LedgerError::Note("its text does not end in a line feed"));
        }
        if has_control(&text) {
            return Err(LedgerError::Note("a control character"));
        }
        Ok(Self {
            text,
            signatures: Vec::new(),
        })
    }

    /// Reads a note; whether its signatures hold is asked with [`Self::standing`].
    ///
    /// # Errors
    /// What is not in the form of a signed note.
    pub fn parse(note: &str) -> Result<Self, LedgerError> {
        let at = note
            .rfind("\n\n")
            .ok_or(LedgerError::Note("no blank line before the signatures"))?;
        let (text, lines) = note
            .split_at_checked(at + 1)
            .ok_or(LedgerError::Note("no blank line before the signatures"))?;
        let mut read = Self::new(text)?;
        let lines = lines
            .strip_prefix('\n')
            .and_then(|lines| lines.strip_suffix('\n'))
            .ok_or(LedgerError::Note("no whole signature line"))?;
        for line in lines.split('\n') {
            if read.signatures.len() == MOST_SIGNATURES {
                return Err(LedgerError::Note("more than 64 signatures"));
            }
            let signature =
                signature_line(line).ok_or(LedgerError::Note("a line that is not a signature"))?;
            read.signatures.push(signature);
        }
        Ok(read)
    }

    /// The signed text, with its last line feed.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// All signature lines, known or not.
    #[must_use]
    pub fn signatures(&self) -> &[NoteSignature] {
        &self.signatures
    }

    /// Adds the signature of `key`.
    pub fn sign(&mut self, key: &DeviceKey) {
        self.add(NoteSignature {
            name: key.name().to_owned(),
            key_id: key.verifier().id(),
            bytes: key.sign(self.text.as_bytes()).to_vec(),
        });
    }

    /// Adds a signature line.
    pub(super) fn add(&mut self, line: NoteSignature) {
        self.signatures.push(line);
    }

    /// What the signatures are worth to somebody who trusts `trusted`. One false signature of a
    /// trusted key spoils the note.
    #[must_use]
    pub fn standing(&self, trusted: &[Verifier]) -> Standing {
        let mut signers = Vec::new();
        for signature in &self.signatures {
            let Some(verifier) = trusted.iter().find(|verifier| {
                verifier.name() == signature.name && verifier.id() == signature.key_id
            }) else {
                continue;
            };
            if !verifier.accepts(self.text.as_bytes(), &signature.bytes) {
                return Standing::Bad(signature.name.clone());
            }
            if !signers.contains(&signature.name) {
                signers.push(signature.name.clone());
            }
        }
        if signers.is_empty() {
            Standing::Unknown
        } else {
            Standing::Signed(signers)
        }
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}", self.text)?;
        for signature in &self.signatures {
            let bytes = [&signature.key_id, signature.bytes.as_slice()].concat();
            writeln!(f, "\u{2014} {} {}", signature.name, to_base64(&bytes))?;
        }
        Ok(())
    }
}

fn signature_line(line: &str) -> Option<NoteSignature> {
    let (name, coded) = line.strip_prefix("\u{2014} ")?.split_once(' ')?;
    let bytes = from_base64(coded)?;
    let (key_id, bytes) = bytes.split_first_chunk::<4>()?;
    if bytes.is_empty() {
        return None;
    }
    Some(NoteSignature {
        name: known_name(name).ok()?.to_owned(),
        key_id: *key_id,
        bytes: bytes.to_vec(),
    })
}

fn has_control(text: &str) -> bool {
    text.bytes().any(|byte| byte < b' ' && byte != b'\n')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signed() -> String {
        let mut note = Note::new("one\n\ntwo\n").unwrap();
        note.sign(&DeviceKey::demo());
        note.to_string()
    }

    #[test]
    fn unknown_signatures_are_kept_and_count_for_nothing() {
        let text = format!("{}\u{2014} stranger.invalid/x AAAAAAQB\n", signed());
        let note = Note::parse(&text).unwrap();
        assert_eq!(note.to_string(), text);
        assert_eq!(note.text(), "one\n\ntwo\n");
        let demo = DeviceKey::demo().verifier();
        let name = demo.name().to_owned();
        assert_eq!(note.standing(&[demo]), Standing::Signed(vec![name]));
        let stranger = DeviceKey::from_seed("stranger.invalid/x", &[3; 32]).unwrap();
        assert_eq!(note.standing(&[stranger.verifier()]), Standing::Unknown);
    }

    #[test]
    fn one_false_signature_of_a_trusted_key_spoils_the_note() {
        let good = signed();
        let line = good.lines().last().unwrap();
        let forged = Note::parse(&good.replacen("one", "ten", 1)).unwrap();
        let demo = DeviceKey::demo().verifier();
        let bad = Standing::Bad(demo.name().to_owned());
        assert_eq!(forged.standing(std::slice::from_ref(&demo)), bad);
        let short = format!(
            "{good}{}\n",
            line.replace(
                line.rsplit(' ').next().unwrap(),
                &to_base64(&[&demo.id()[..], b"no signature"].concat()),
            )
        );
        assert_eq!(Note::parse(&short).unwrap().standing(&[demo]), bad);
    }

    #[test]
    fn what_is_no_note_is_refused() {
        let good = signed();
        for text in [
            "",
            "\n\n",
            "text\n",
            "text\n\n",
            "text\n\n\u{2014} name AAAA\n",
            "text\n\n\u{2014} name AAAAAA==\n",
            "text\n\n\u{2014} na+me AAAAAAQB\n",
            "text\n\n- name AAAAAAQB\n",
            "text\n\n\u{2014} name AAAAAAQB",
            "te\rxt\n\n\u{2014} name AAAAAAQB\n",
            good.trim_end(),
        ] {
            assert!(Note::parse(text).is_err(), "{text:?}");
        }
        assert!(Note::new("no line feed").is_err());
        let many = format!("text\n\n{}", "\u{2014} name AAAAAAQB\n".repeat(65));
        assert!(Note::parse(&many).is_err());
    }
}
