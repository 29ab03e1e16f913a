//! Ids of events, and of things that have no number of their own.

use uuid::Builder;

/// A version 7 UUID (RFC 9562) for an event at `unix_ms`, its random part taken from `digest`.
///
/// The id is then the same each time the same record is played, and still unique, since the
/// digest covers the log's origin, the position and the content.
#[must_use]
pub fn event_id(unix_ms: i64, digest: &[u8; 32]) -> String {
    let mut tail = [0_u8; 10];
    for (to, from) in tail.iter_mut().zip(digest) {
        *to = *from;
    }
    let ms = u64::try_from(unix_ms).unwrap_or(0);
    Builder::from_unix_timestamp_millis(ms, &tail)
        .into_uuid()
        .hyphenated()
        .to_string()
}

/// A version 8 UUID (RFC 9562, free use) made of `digest`, lower case: the name of a thing that
/// nobody gave a number, the same each time the same record is read.
#[must_use]
pub fn name_uuid(digest: &[u8; 32]) -> String {
    let mut bytes = [0_u8; 16];
    for (to, from) in bytes.iter_mut().zip(digest) {
        *to = *from;
    }
    Builder::from_custom_bytes(bytes)
        .into_uuid()
        .hyphenated()
        .to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_name_of_a_thing_is_a_version_8_uuid() {
        // RFC 9562, 5.8: version bits 8, variant bits 10.
        assert_eq!(
            name_uuid(&[0xff; 32]),
            "ffffffff-ffff-8fff-bfff-ffffffffffff"
        );
    }

    #[test]
    fn the_published_example_of_version_7_comes_out() {
        // RFC 9562, appendix A.6: 017F22E2-79B0-7CC3-98C4-DC0C0C07398F at 1645557742000 ms;
        // rand_a = 0xCC3, rand_b = 0x18C4DC0C0C07398F.
        let mut digest = [0_u8; 32];
        digest[..10].copy_from_slice(&[0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
        assert_eq!(
            event_id(1_645_557_742_000, &digest),
            "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
        );
    }
}
