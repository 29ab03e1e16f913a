//! Makes zip files byte by byte, also such as no honest program would write.

/// One file in a zip; every field can lie.
#[derive(Clone)]
pub(crate) struct Member {
    pub(crate) name: Vec<u8>,
    pub(crate) flags: u16,
    pub(crate) method: u16,
    pub(crate) crc: u32,
    /// What stands in the file.
    pub(crate) data: Vec<u8>,
    pub(crate) size: u32,
    /// File type and mode of a system that has them; 0 for one that has none.
    pub(crate) mode: u32,
    pub(crate) extra: Vec<u8>,
    /// The name in front of the file itself, where it is another one.
    pub(crate) local_name: Option<Vec<u8>>,
    /// Takes the bytes of an earlier file instead of its own.
    pub(crate) shares: Option<usize>,
}

impl Member {
    /// A file that is as it says.
    pub(crate) fn stored(name: &str, data: &[u8]) -> Self {
        Self {
            name: name.into(),
            flags: 1 << 11,
            method: 0,
            crc: crc(data),
            data: data.to_vec(),
            size: u32::try_from(data.len()).unwrap(),
            mode: 0,
            extra: Vec::new(),
            local_name: None,
            shares: None,
        }
    }
}

/// The zip of `members`, in their order.
pub(crate) fn zip(members: &[Member]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut directory = Vec::new();
    let mut places = Vec::new();
    for member in members {
        let form = |name: &[u8]| {
            let mut form = Vec::new();
            for part in [20, member.flags, member.method, 0, 0x21] {
                form.extend(part.to_le_bytes());
            }
            let packed = u32::try_from(member.data.len()).unwrap();
            for part in [member.crc, packed, member.size] {
                form.extend(part.to_le_bytes());
            }
            form.extend(u16::try_from(name.len()).unwrap().to_le_bytes());
            form
        };
        let at = match member.shares {
            Some(other) => places[other],
            None => {
                let at = u32::try_from(out.len()).unwrap();
                let name = member.local_name.as_ref().unwrap_or(&member.name);
                out.extend(b"PK\x03\x04");
                out.extend(form(name));
                out.extend([0, 0]);
                out.extend(name);
                out.extend(&member.data);
                at
            }
        };
        places.push(at);
        directory.extend(b"PK\x01\x02");
        directory.extend([20, if member.mode == 0 { 0 } else { 3 }]);
        directory.extend(form(&member.name));
        directory.extend(u16::try_from(member.extra.len()).unwrap().to_le_bytes());
        directory.extend([0; 6]);
        directory.extend((member.mode << 16).to_le_bytes());
        directory.extend(at.to_le_bytes());
        directory.extend(&member.name);
        directory.extend(&member.extra);
    }
    let at = u32::try_from(out.len()).unwrap();
    let files = u16::try_from(members.len()).unwrap();
    let size = u32::try_from(directory.len()).unwrap();
    out.extend(directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(files.to_le_bytes());
    out.extend(files.to_le_bytes());
    out.extend(size.to_le_bytes());
    out.extend(at.to_le_bytes());
    out.extend([0, 0]);
    out
}

/// CRC-32, bit by bit.
pub(crate) fn crc(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 {
                (sum >> 1) ^ 0xedb8_8320
            } else {
                sum >> 1
            };
        }
    }
    !sum
}
