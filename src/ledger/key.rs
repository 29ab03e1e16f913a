//! The key of a device, and the public half by which others know it (C2SP signed-note, Ed25519).

use std::fmt;
use std::str::FromStr;

use ed25519_dalek::{Signature, Signer, SigningKey, VerifyingKey};

use super::base64::{from_base64, to_base64};
use super::error::LedgerError;
use super::hash::{sha256, to_hex};

/// Type byte of an Ed25519 signature on a note.
const ED25519: u8 = 0x01;
/// Type byte of an Ed25519 cosignature.
const COSIGNATURE: u8 = 0x04;

/// The published seed of the demonstration key. Anyone can sign with it: it proves nothing and is
/// never for real work. It makes sample jobs give the same bytes on every machine.
pub const DEMO_SEED: [u8; 32] = *b"packdown demo key - NOT for work";

/// The name of the demonstration key and of the logs signed with it.
pub const DEMO_ORIGIN: &str = "demo.packdown.invalid/job-log/demo-device";

/// The signing key of one device. Its seed is wiped when it is dropped and is never printed.
pub struct DeviceKey {
    name: String,
    signing: SigningKey,
}

impl DeviceKey {
    /// The key called `name` (the origin of the device's log) from 32 random bytes.
    ///
    /// # Errors
    /// A name that is empty or holds a space, a plus sign or a control character.
    pub fn from_seed(name: &str, seed: &[u8; 32]) -> Result<Self, LedgerError> {
        Ok(Self {
            name: known_name(name)?.to_owned(),
            signing: SigningKey::from_bytes(seed),
        })
    }

    /// The demonstration key from [`DEMO_SEED`]; never for real work.
    #[must_use]
    pub fn demo() -> Self {
        Self {
            name: DEMO_ORIGIN.to_owned(),
            signing: SigningKey::from_bytes(&DEMO_SEED),
        }
    }

    /// The name of the key.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The public half.
    #[must_use]
    pub fn verifier(&self) -> Verifier {
        Verifier {
            name: self.name.clone(),
            key: self.signing.verifying_key(),
        }
    }

    /// The Ed25519 signature over `message` (RFC 8032).
    #[must_use]
    pub fn sign(&self, message: &[u8]) -> [u8; 64] {
        self.signing.sign(message).to_bytes()
    }
}

impl fmt::Debug for DeviceKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("DeviceKey")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}

/// The public half of a device's key. Its text form is `name+id+key`, as C2SP signed-note writes
/// verifier keys.
#[derive(Clone, PartialEq, Eq)]
pub struct Verifier {
    name: String,
    key: VerifyingKey,
}

impl Verifier {
    /// The name of the key.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The short id that signature lines carry: the first four bytes of SHA-256 over name, line
    /// feed, type byte and key. It finds a key and proves nothing.
    #[must_use]
    pub fn id(&self) -> [u8; 4] {
        self.short_id(ED25519)
    }

    /// The short id that the cosignatures of this key carry.
    #[must_use]
    pub fn cosigner_id(&self) -> [u8; 4] {
        self.short_id(COSIGNATURE)
    }

    fn short_id(&self, kind: u8) -> [u8; 4] {
        let key = [&[kind][..], self.key.as_bytes()].concat();
        let hash = sha256(&[self.name.as_bytes(), b"\n", &key].concat());
        let [a, b, c, d, ..] = hash;
        [a, b, c, d]
    }

    /// The 32 bytes of the public key.
    #[must_use]
    pub fn public_key(&self) -> [u8; 32] {
        self.key.to_bytes()
    }

    /// Whether this is the demonstration key under any name: its signatures prove nothing.
    #[must_use]
    pub fn is_demo(&self) -> bool {
        self.key == SigningKey::from_bytes(&DEMO_SEED).verifying_key()
    }

    /// Whether `signature` is this key's over `message`. Weak keys and second encodings of a
    /// signature are refused.
    #[must_use]
    pub fn accepts(&self, message: &[u8], signature: &[u8]) -> bool {
        Signature::from_slice(signature)
            .is_ok_and(|signature| self.key.verify_strict(message, &signature).is_ok())
    }

    fn typed_key(&self) -> Vec<u8> {
        [&[ED25519][..], self.key.as_bytes()].concat()
    }
}

impl fmt::Display for Verifier {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}+{}+{}",
            self.name,
            to_hex(&self.id()),
            to_base64(&self.typed_key())
        )
    }
}

impl fmt::Debug for Verifier {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Verifier({self})")
    }
}

impl FromStr for Verifier {
    type Err = LedgerError;

    fn from_str(text: &str) -> Result<Self, LedgerError> {
        let read = || {
            let (name, rest) = text.split_once('+')?;
            // The key itself may hold a plus sign, so only the first two separate.
            let (_, key) = rest.split_once('+')?;
            let name = known_name(name).ok()?.to_owned();
            let bytes = from_base64(key)?;
            let (&ED25519, key) = bytes.split_first()? else {
                return None;
            };
            let key = VerifyingKey::from_bytes(key.try_into().ok()?).ok()?;
            let verifier = Self { name, key };
            // Compares the id, and refuses any second way to write the same key.
            (!verifier.key.is_weak() && verifier.to_string() == text).then_some(verifier)
        };
        read().ok_or_else(|| LedgerError::VerifierKey(text.chars().take(120).collect()))
    }
}

/// `name` if it may name a key or a log.
pub(super) fn known_name(name: &str) -> Result<&str, LedgerError> {
    let unfit = |letter: char| letter == '+' || letter.is_whitespace() || letter.is_control();
    if name.is_empty() || name.contains(unfit) {
        return Err(LedgerError::Name(name.chars().take(120).collect()));
    }
    Ok(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_seed_is_never_printed() {
        let key = DeviceKey::from_seed("works.invalid/job-log/tablet-7", &[0xab; 32]).unwrap();
        assert_eq!(
            format!("{key:?}"),
            r#"DeviceKey { name: "works.invalid/job-log/tablet-7", .. }"#
        );
    }

    #[test]
    fn the_demonstration_key_is_known_under_any_name() {
        assert!(DeviceKey::demo().verifier().is_demo());
        let renamed = DeviceKey::from_seed("works.invalid/serious", &DEMO_SEED).unwrap();
        assert!(renamed.verifier().is_demo());
        let other = DeviceKey::from_seed(DEMO_ORIGIN, &[1; 32]).unwrap();
        assert!(!other.verifier().is_demo());
    }

    #[test]
    fn a_verifier_key_returns_from_its_text_and_only_from_that() {
        let verifier = DeviceKey::demo().verifier();
        let text = verifier.to_string();
        assert_eq!(text.parse(), Ok(verifier));
        for at in 0..text.len() {
            let mut bytes = text.clone().into_bytes();
            bytes[at] ^= 1;
            let changed = String::from_utf8(bytes).unwrap();
            assert!(changed.parse::<Verifier>().is_err(), "{changed}");
        }
        // The neutral point: every message has a signature that a lax reader takes.
        let weak = Verifier {
            name: "a".into(),
            key: VerifyingKey::from_bytes(&{
                let mut one = [0; 32];
                one[0] = 1;
                one
            })
            .unwrap(),
        };
        assert!(weak.to_string().parse::<Verifier>().is_err());
    }

    #[test]
    fn a_name_with_a_space_a_plus_or_a_control_character_is_refused() {
        for name in ["", "a b", "a+b", "a\u{a0}b", "a\nb", "a\u{7f}"] {
            assert!(DeviceKey::from_seed(name, &[1; 32]).is_err(), "{name:?}");
        }
    }
}
