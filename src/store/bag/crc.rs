//! The checksum of zip files (CRC-32 of ISO 3309). It finds accidents, not deeds.

const TABLE: [u32; 256] = table();

const fn table() -> [u32; 256] {
    let mut table = [0; 256];
    let mut n = 0;
    while n < 256 {
        let mut value = n;
        let mut bit = 0;
        while bit < 8 {
            value = if value & 1 == 1 {
                0xedb8_8320 ^ (value >> 1)
            } else {
                value >> 1
            };
            bit += 1;
        }
        #[expect(clippy::indexing_slicing, reason = "n is below the length")]
        {
            table[n as usize] = value;
        }
        n += 1;
    }
    table
}

/// The checksum of `bytes`.
pub(super) fn crc32(bytes: &[u8]) -> u32 {
    let step = |sum: u32, byte: &u8| {
        let [low, ..] = sum.to_le_bytes();
        let next = TABLE.get(usize::from(low ^ byte)).copied().unwrap_or(0);
        next ^ (sum >> 8)
    };
    !bytes.iter().fold(u32::MAX, step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_check_value_of_the_catalogues_comes_out() {
        // CRC-32/ISO-HDLC: check value for "123456789", as in the catalogues of checksums; from
        // memory. tests/outside/bundle.py reads the files with another program.
        assert_eq!(crc32(b"123456789"), 0xcbf4_3926);
        assert_eq!(crc32(b""), 0);
    }
}
