//! Standard base 64 with padding (RFC 4648 section 4), as signed notes write it.

const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// `bytes` as padded base 64.
#[must_use]
pub fn to_base64(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |at: usize| u32::from(chunk.get(at).copied().unwrap_or(0));
        let group = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4_usize {
            if place > chunk.len() {
                text.push('=');
            } else {
                let six = (group >> (18 - 6 * place)) & 63;
                let letter = ALPHABET.get(six as usize).copied().unwrap_or(b'=');
                text.push(char::from(letter));
            }
        }
    }
    text
}

/// The bytes of padded base 64. Missing padding, line breaks and bits that carry nothing are
/// refused, so that one value has one text.
#[must_use]
pub fn from_base64(text: &str) -> Option<Vec<u8>> {
    let (groups, []) = text.as_bytes().as_chunks::<4>() else {
        return None;
    };
    let mut bytes = Vec::with_capacity(groups.len() * 3);
    for (at, group) in groups.iter().enumerate() {
        let letters = match group {
            [_, _, b'=', b'='] => 2,
            [_, _, _, b'='] => 3,
            _ => 4,
        };
        if letters < 4 && at + 1 != groups.len() {
            return None;
        }
        let mut bits = 0_u32;
        for letter in group.iter().take(letters) {
            bits = bits << 6 | six_bits(*letter)?;
        }
        bits <<= 6 * (4 - letters);
        let [_, first, second, third] = bits.to_be_bytes();
        match letters {
            2 if second == 0 && third == 0 => bytes.push(first),
            3 if third == 0 => bytes.extend([first, second]),
            4 => bytes.extend([first, second, third]),
            _ => return None,
        }
    }
    Some(bytes)
}

fn six_bits(letter: u8) -> Option<u32> {
    let value = match letter {
        b'A'..=b'Z' => letter - b'A',
        b'a'..=b'z' => letter - b'a' + 26,
        b'0'..=b'9' => letter - b'0' + 52,
        b'+' => 62,
        b'/' => 63,
        _ => return None,
    };
    Some(u32::from(value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_examples_come_out_both_ways() {
        // RFC 4648 section 10, from memory.
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(to_base64(plain.as_bytes()), coded);
            assert_eq!(from_base64(coded).as_deref(), Some(plain.as_bytes()));
        }
    }

    #[test]
    fn a_second_text_for_the_same_bytes_is_refused() {
        for text in [
            "Zg", "Zh==", "Zm9=", "Zg==Zg==", "Z===", "====", "Zm9v\n", "Zm-v",
        ] {
            assert_eq!(from_base64(text), None, "{text}");
        }
    }

    #[test]
    fn every_byte_value_returns() {
        let all: Vec<u8> = (0..=255).collect();
        for length in 0..all.len() {
            let bytes = &all[..length];
            assert_eq!(from_base64(&to_base64(bytes)).as_deref(), Some(bytes));
        }
    }
}
