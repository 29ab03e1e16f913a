//! Writes a zip file: the same content gives the same bytes, on every machine and day.

use std::io::{self, Write};

use super::crc::crc32;

/// 1 January 1980, the first day that the format can say: no file has a day of its own.
const DAY: u16 = 0x21;
/// Names are UTF-8.
const FLAGS: u16 = 1 << 11;
/// Version of the format that is needed to read it: 2.0.
const VERSION: u16 = 20;
/// How hard to look for a shorter form; more gains little on text.
const EFFORT: u8 = 6;

/// A zip file while it is written. Files stand in it in the order in which they are added.
pub(super) struct ZipWriter<W: Write> {
    out: W,
    at: u64,
    directory: Vec<u8>,
    files: u16,
}

impl<W: Write> ZipWriter<W> {
    pub(super) const fn new(out: W) -> Self {
        Self {
            out,
            at: 0,
            directory: Vec::new(),
            files: 0,
        }
    }

    /// Adds a file; its bytes are packed where that makes them shorter.
    pub(super) fn add(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let packed = miniz_oxide::deflate::compress_to_vec(bytes, EFFORT);
        let (method, data): (u16, &[u8]) = if packed.len() < bytes.len() {
            (8, &packed)
        } else {
            (0, bytes)
        };
        let mut form = Vec::with_capacity(30);
        for part in [VERSION, FLAGS, method, 0, DAY] {
            form.extend(part.to_le_bytes());
        }
        for part in [crc32(bytes), whole(data.len())?, whole(bytes.len())?] {
            form.extend(part.to_le_bytes());
        }
        form.extend(short(name.len())?.to_le_bytes());
        form.extend([0, 0]);

        let at = u32::try_from(self.at).map_err(|_| too_large())?;
        self.put(b"PK\x03\x04")?;
        self.put(&form)?;
        self.put(name.as_bytes())?;
        self.put(data)?;

        self.directory.extend(b"PK\x01\x02");
        // Made by a system without file modes.
        self.directory.extend(VERSION.to_le_bytes());
        self.directory.extend(&form);
        // No comment, first disk, no attributes.
        self.directory.extend([0; 10]);
        self.directory.extend(at.to_le_bytes());
        self.directory.extend(name.as_bytes());
        self.files = self.files.checked_add(1).ok_or_else(too_large)?;
        Ok(())
    }

    /// Writes the directory and gives the writer back.
    pub(super) fn end(mut self) -> io::Result<W> {
        let at = u32::try_from(self.at).map_err(|_| too_large())?;
        let directory = std::mem::take(&mut self.directory);
        self.put(&directory)?;
        let mut end = b"PK\x05\x06\0\0\0\0".to_vec();
        end.extend(self.files.to_le_bytes());
        end.extend(self.files.to_le_bytes());
        end.extend(whole(directory.len())?.to_le_bytes());
        end.extend(at.to_le_bytes());
        end.extend([0, 0]);
        self.put(&end)?;
        Ok(self.out)
    }

    fn put(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.at += bytes.len() as u64;
        self.out.write_all(bytes)
    }
}

fn whole(length: usize) -> io::Result<u32> {
    u32::try_from(length).map_err(|_| too_large())
}

fn short(length: usize) -> io::Result<u16> {
    u16::try_from(length).map_err(|_| too_large())
}

fn too_large() -> io::Error {
    io::Error::other("more than a zip file can hold")
}
