//! SHA-256 and SHA-512, and hashes as hexadecimal text; for entries, trees, photographs, bundles.

use std::fmt;

use sha2::{Digest, Sha256, Sha512};

/// A SHA-256 value.
pub type Hash = [u8; 32];

/// SHA-256 of `bytes`.
#[must_use]
pub fn sha256(bytes: &[u8]) -> Hash {
    Sha256::digest(bytes).into()
}

/// One link of a chain: SHA-256 of the hash before it, then the line.
#[must_use]
pub fn link(before: &Hash, line: &[u8]) -> Hash {
    Sha256::new()
        .chain_update(before)
        .chain_update(line)
        .finalize()
        .into()
}

/// SHA-512 of `bytes`.
#[must_use]
pub fn sha512(bytes: &[u8]) -> [u8; 64] {
    Sha512::digest(bytes).into()
}

/// SHA-256 of bytes that come in pieces, such as a photograph read from a disk.
#[derive(Debug, Clone, Default)]
pub struct Sum(Sha256);

impl Sum {
    /// Takes the next piece.
    pub fn add(&mut self, piece: &[u8]) {
        self.0.update(piece);
    }

    /// The hash of all pieces.
    #[must_use]
    pub fn hash(self) -> Hash {
        self.0.finalize().into()
    }
}

/// A text may be written into it piece by piece, so that it need not stand in memory as a whole.
impl fmt::Write for Sum {
    fn write_str(&mut self, piece: &str) -> fmt::Result {
        self.add(piece.as_bytes());
        Ok(())
    }
}

/// Lower-case hexadecimal digits of `bytes`.
#[must_use]
pub fn to_hex(bytes: &[u8]) -> String {
    let digit = |nibble: u8| char::from_digit(u32::from(nibble), 16).unwrap_or('0');
    bytes
        .iter()
        .flat_map(|byte| [digit(byte >> 4), digit(byte & 15)])
        .collect()
}

/// The bytes of lower-case hexadecimal digits; `None` for anything else, so that one value has
/// one text.
#[must_use]
pub fn from_hex(text: &str) -> Option<Vec<u8>> {
    let nibble = |digit: u8| match digit {
        b'0'..=b'9' => Some(digit - b'0'),
        b'a'..=b'f' => Some(digit - b'a' + 10),
        _ => None,
    };
    let (pairs, []) = text.as_bytes().as_chunks::<2>() else {
        return None;
    };
    pairs
        .iter()
        .map(|[high, low]| Some(nibble(*high)? << 4 | nibble(*low)?))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_of_pieces_is_the_hash_of_the_whole() {
        // FIPS 180-4 example "abc", from memory; the same bytes in the RFC 6962 empty root
        // (e3b0c442...) are read from a published table in tests/suite/ledger_vectors.rs.
        let mut sum = Sum::default();
        sum.add(b"a");
        sum.add(b"bc");
        assert_eq!(
            to_hex(&sum.hash()),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn one_value_has_one_hexadecimal_text() {
        assert_eq!(from_hex("00ff10"), Some(vec![0, 255, 16]));
        assert_eq!(from_hex(""), Some(Vec::new()));
        for text in ["0", "0F", "0g", "é"] {
            assert_eq!(from_hex(text), None, "{text}");
        }
    }
}
